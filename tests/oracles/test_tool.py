"""The tool against the referees, every leg, on the frame as drawn."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from . import conic
from .model import Floats, build, lay_load, read
from .tool import told

EXAMPLES = Path(__file__).parents[2] / "examples"
RING = {"roof.hub": "ring", "roof.hub_width": "5 1/2 in", "roof.hub_depth": "11 1/4 in"}
PLATE: dict[str, str | bool | int | list[str]] = {
    "support.plate": "continuous",
    "support.plate_ply": "2x6",
    "support.plate_plies": 2,
    "support.joint_capacity": "1400 lb",
    "support.joint_slip": ["1/32 in", "1/8 in"],
}
POINT = {"roof.hub": "point", "roof.hub_radius": "0 in", "roof.heads": "pinned"}
STIFF = {"support.walls": "stiff", "support.wall_stiffness": ["1 kip/in", "4 kip/in"]}
STRIDE = 5  # every fifth state: balanced, legs and mid-sides, all round
WANTED = re.compile(r"D\+(0\.75)?S/(?:balanced|unbalanced-(\d{3}))(/stated)?")


def disagreement(
    name: str, changes: dict[str, str | bool | int | list[str]], extra: Floats | None = None
) -> dict[str, float]:
    """Largest difference in any leg, of the largest pull, by state."""
    path = EXAMPLES / f"{name}.toml"
    job = read(path, changes)
    steps = 180.0 / int(job["roof"]["sides"])  # ids are rounded to whole degrees
    found = {}
    for state in [s for s in told(path, changes, extra) if WANTED.fullmatch(s.id)][::STRIDE]:
        part, direction, _ = WANTED.fullmatch(state.id).groups()  # type: ignore[union-attr]
        towards = round(float(direction) / steps) * steps if direction else None
        slips = dict(zip(("most", "least"), job["support"].get("joint_slip", ()), strict=False))
        slip = slips.get(state.variant.split(" ", 1)[0], "")
        model = build(
            job, wall=state.wall, leg_extra=extra, rope_factor=state.rope_factor, slip=slip
        )
        loads = lay_load(job, snow=float(part or 1.0), towards=towards)
        legs = conic.solve(model, loads).legs(model)
        said = f"{state.id} wall {state.wall:.6g} N/m, ropes x {state.rope_factor}"
        found[said] = float(np.abs(state.legs - legs).max() / legs.max())
    return found


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("reading-room", {}),
        ("reading-room", POINT),
        ("reading-room", RING),
        ("reading-room", {"roof.bracing": "none", "tie.height": "0.4", "roof.sides": 7}),
        ("octagon", {"tie.height": "0"}),
        ("octagon", {"tie.height": "1/3", "loads.dead": "13 psf"}),
        ("octagon", {"tie.height": "1/2"}),
        ("octagon", {"tie.height": "2/3", "roof.bracing": "none"}),
        ("reading-room", STIFF),
        ("octagon", {"tie.layout": "band", "loads.dead": "13 psf", "roof.sides": 7}),
        ("octagon", PLATE | {"tie.layout": "band", "loads.dead": "13 psf", "roof.sides": 5}),
        ("reading-room", PLATE | STIFF | {"roof.sides": 9}),
        ("octagon", {"tie.layout": "cross", "tie.height": "0.3", "roof.sides": 10}),
    ],
)
def test_every_leg(name: str, changes: dict[str, str | bool | int | list[str]]) -> None:
    found = disagreement(name, changes)
    assert len(found) >= 6
    assert max(found.values()) <= 1e-6, found


def test_walls_are_springs_at_each_foot() -> None:
    """1 and 4 kip/in, with 1 kip = 4448.2216 N and 1 in = 25.4 mm."""
    walls = {round(state.wall, 1) for state in told(EXAMPLES / "reading-room.toml", STIFF)}
    assert walls == {0.0, 175126.8, 700507.3}


@pytest.mark.parametrize(("leg", "longer"), [(4, 0.010), (3, 0.070)])
def test_a_leg_cut_too_long(leg: int, longer: float) -> None:
    """By 10 mm it still pulls; by 70 mm it hangs slack under snow from one side."""
    extra = np.zeros(10)
    extra[leg] = longer
    found = disagreement("reading-room", {}, extra)
    assert max(found.values()) <= 1e-6, found
