"""More load never helps; a bigger part is never fuller; every line of any job can be redone.

Forces are held while parts change, so that a part is tested and not the roof's stiffness.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay import catalog, design, job
from rafterstay.checks import Check, verify
from rafterstay.job.examples import example, examples
from tests.checks.calculator import figures, worked
from tests.checks.scene import STATED, forces, stated, verified
from tests.checks.test_working import rounding, shown

STRENGTH = frozenset({
    "rope-strength", "rope-lifting", "ring-pull", "ring-bend", "turnbuckle-load", "bolt-yield",
    "bolt-steel", "shackle-load", "hub-shear", "hub-bearing", "wood-splitting", "wood-net",
    "rafter-bending", "rafter-stability", "rafter-shear", "rafter-bearing", "rafter-deflection",
    "ply-buckling",
})  # fmt: skip
# Part, its sizes from small to large, and the checks of its own strength.
SIZES: dict[str, tuple[tuple[str, ...], frozenset[str]]] = {
    "rope": (
        tuple(f"7x19 galvanized {size} in" for size in ("3/16", "1/4", "5/16", "3/8")),
        frozenset({"rope-strength", "rope-lifting"}),
    ),
    "ring_rope": (
        tuple(f"7x19 galvanized {size} in" for size in ("1/4", "5/16", "3/8")),
        frozenset({"ring-pull", "ring-bend"}),
    ),
    "turnbuckle": (
        ("jaw-jaw 1/4 in x 4 in", "jaw-jaw 5/16 in x 4-1/2 in", "jaw-jaw 3/8 in x 6 in",
         "jaw-jaw 1/2 in x 6 in"),
        frozenset({"turnbuckle-load"}),
    ),
    "bolt": (
        ("A307 1/2 in", "A307 5/8 in", "A307 3/4 in"),
        frozenset({"bolt-yield", "bolt-steel"}),
    ),
    "shackle": (
        tuple(f"anchor {size} in" for size in ("1/4", "5/16", "3/8", "1/2", "5/8", "3/4")),
        frozenset({"shackle-load"}),
    ),
    "ply": (
        ("2x6", "2x8", "2x10", "2x12"),
        frozenset({"rafter-bending", "rafter-shear", "wood-splitting", "wood-net",
                   "rafter-deflection", "rafter-hole"}),
    ),
    "seat": (("1 1/2 in", "2 1/4 in", "3 1/2 in"), frozenset({"rafter-bearing"})),
}  # fmt: skip


def fullness(checks: tuple[Check, ...]) -> dict[str, float]:
    """How full every part is; one that may not be used at all is fullest."""
    return {
        check.id: (np.inf if check.status == "fails" else 0.0)
        if check.utilisation is None
        else check.utilisation
        for check in checks
    }


@settings(deadline=None, max_examples=40)
@given(
    scale=st.floats(0.05, 6.0),
    more=st.floats(1.0, 4.0),
    changes=st.sampled_from(
        [{}, {"ply": "2x6"}, {"eye_spacers": "false"}, {"bracing": "none"}, {"wet": "true"},
         {"shackle": "anchor 3/8 in"}, {"species": "Southern Pine", "height": "0"}]
    ),
)  # fmt: skip
def test_more_load_never_lowers_a_utilisation(
    scale: float, more: float, changes: dict[str, str]
) -> None:
    before = fullness(verified(scale, **changes).checks)
    after = fullness(verified(scale * more, **changes).checks)
    for check_id in STRENGTH & before.keys():
        assert after[check_id] >= before[check_id] * (1.0 - 1e-9), check_id


@pytest.mark.parametrize("part", SIZES)
@settings(deadline=None, max_examples=12)
@given(scale=st.floats(0.1, 3.0), gap=st.sampled_from(["7/8 in", "1 1/2 in", "2 1/8 in"]))
def test_a_bigger_part_is_never_fuller(part: str, scale: float, gap: str) -> None:
    sizes, own = SIZES[part]
    last: dict[str, float] = {}
    for size in sizes:
        # Half way up no ply is so deep that the bolt comes to stand near an end (NDS 3.4.3.3).
        read, frame, tie = stated(**{part: size, "gap": gap, "height": "1/2"})
        loads = forces(frame, tie, scale)
        # A deeper ply moves no bolt, so the same forces stand for every size.
        now = fullness(verify(read, frame, tie, loads, simplified_snow=False).checks)
        for check_id in own & last.keys():
            assert now[check_id] <= last[check_id] * (1.0 + 1e-9), (size, check_id)
        last = now
    assert own <= last.keys()


def require_lines(check: Check) -> None:
    """Every line gives its value, and every number in it stands in an earlier line."""
    earlier: set[str] = set()
    for line in check.working:
        answer, doubt = worked(line.numbers), rounding(line.numbers)
        assert answer == pytest.approx(line.value, rel=0.0, abs=doubt), (check.id, line)
        if line.numbers.lstrip("-") not in figures(line.numbers):
            assert not figures(line.numbers) - figures(line.formula) - earlier, (check.id, line)
        earlier.add(shown(line.value))
    for line in check.working:
        if line.symbol == "u":
            assert line.value == pytest.approx(check.utilisation, rel=1e-12), check.id


@pytest.mark.parametrize("name", examples())
def test_every_line_of_the_examples(name: str) -> None:
    for check in design.check(job.loads(example(name))).checks.checks:
        require_lines(check)


@pytest.mark.parametrize("seed", range(8))
def test_every_line_of_two_hundred_jobs(seed: int) -> None:
    """Any parts, timber, units and pulls, fitting or not: 25 a seed."""
    draw = np.random.default_rng(4100 + seed)

    def one_of(kind: str) -> str:
        return str(draw.choice(catalog.names(kind)))  # type: ignore[arg-type]

    for _ in range(25):
        changes = {
            "show": draw.choice(["us", "si"]),
            "gap": f"{draw.uniform(0.3, 3.0):.3f} in",
            "tail": draw.choice(["0 in", "9.3 in"]),
            "height": f"{draw.uniform(0.0, 0.6):.3f}",
            "rope": one_of("rope"),
            "ring_rope": one_of("rope"),
            "turnbuckle": one_of("turnbuckle"),
            "bolt": one_of("bolt"),
            "thimble": one_of("thimble"),
            "sleeve": one_of("sleeve"),
            "shackle": draw.choice(["none", one_of("shackle")]),
            "eye_spacers": draw.choice(["true", "false"]),
            "target": draw.choice(["0 lb", "433 lb"]),
            "bracing": draw.choice(["deck", "none"]),
            "species": draw.choice(["Hem-Fir", "Southern Pine", "Douglas Fir-Larch"]),
            "ply": draw.choice(["2x6", "2x8", "2x10", "2x12"]),
            "braces": f"{draw.uniform(10.0, 60.0):.2f} in",
            "blocks": f"{draw.uniform(10.0, 80.0):.2f} in",
            "fixity": draw.choice(["none", "a", "b"]),
            "wet": draw.choice(["true", "false"]),
            "treatment": draw.choice(["none", "copper", "other"]),
            "hub_tension": draw.choice(["0 lb", "650 lb"]),
        }
        assert changes.keys() <= STATED.keys()
        read, frame, tie = stated(**{key: str(value) for key, value in changes.items()})
        loads = forces(frame, tie, float(draw.uniform(0.1, 5.0)))
        turned = replace(
            loads,
            hip_axial=loads.hip_axial * draw.uniform(-1.0, 2.0),
            hip_moment=loads.hip_moment * draw.uniform(-1.0, 2.0),
            hip_sideways=np.abs(draw.normal(size=loads.hip_sideways.shape)),
            head_moment=np.abs(draw.normal(size=loads.head_moment.shape)) * 60.0,
            foot_reaction=loads.foot_reaction * draw.uniform(-1.0, 1.5),
        )
        for check in verify(read, frame, tie, turned, simplified_snow=True).checks:
            require_lines(check)
