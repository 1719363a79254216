"""The demo's pulls by two libraries that share neither unknowns nor method.

``large`` is KratosMultiphysics, ``conic`` PyNiteFEA with clarabel; docs/theory/referee.md says
what each does. They start from the job file and know nothing of how the tool computes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from . import conic, large
from .model import Floats, Loads, Model, build, lay_load, read

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMO = EXAMPLES / "reading-room.toml"
ALIKE = 1e-6  # of the largest pull
POINT = {"roof.hub": "point", "roof.hub_radius": "0 in", "roof.heads": "pinned"}
BEARING = {"roof.hub": "disc", "roof.hub_radius": "9 in", "roof.heads": "bearing"}


@dataclass(frozen=True)
class State:
    """A state of the demo, with the keys that differ from its file."""

    towards: float | None  # of one-sided snow; None is balanced
    longer: tuple[int, float] | None = None  # leg, and by how much its rope is too long [m]
    wall: float = 0.0  # [N/m]
    changes: Mapping[str, object] = field(default_factory=lambda: POINT)

    def build(self) -> tuple[Model, Loads]:
        job = read(DEMO, self.changes)
        extra = np.zeros(int(job["roof"]["sides"]))
        if self.longer:
            extra[self.longer[0]] = self.longer[1]
        return build(job, wall=self.wall, leg_extra=extra), lay_load(job, towards=self.towards)


RING = {
    "roof.hub": "ring",
    "roof.hub_radius": "14 in",
    "roof.hub_width": "5 1/2 in",
    "roof.hub_depth": "11 1/4 in",
}
SLACK = "D+S/unbalanced-000, leg 4 70 mm long: slack"
STATES = {
    "D+S/balanced as in the file": State(None, changes={}),
    "D+S/unbalanced-036 as in the file": State(36.0, changes={}),
    "D+S/balanced": State(None),
    "D+S/unbalanced-000": State(0.0),
    "D+S/unbalanced-018, leg 5 10 mm long": State(18.0, longer=(4, 0.010)),
    SLACK: State(0.0, longer=(3, 0.070)),
    "D+S/unbalanced-054 on stiff walls": State(54.0, wall=0.7e6),
    "D+S/unbalanced-090, nothing braced": State(
        90.0, wall=0.4e6, changes=POINT | {"roof.bracing": "none", "tie.height": "0.41"}
    ),
    "D+S/unbalanced-162, heads bearing on a disc": State(162.0, changes=BEARING),
    "D+S/unbalanced-036, ring of beams on stiff walls": State(
        36.0, wall=2.3e6, changes=RING | {"roof.heads": "pinned"}
    ),
    "D+S/unbalanced-306, heads bearing on a ring of beams": State(
        306.0, changes=RING | {"roof.heads": "bearing"}
    ),
}


@pytest.mark.parametrize("name", STATES)
def test_two_libraries_agree(name: str) -> None:
    model, loads = STATES[name].build()
    whole = conic.solve(model, loads)
    assert whole.status in {"Solved", "AlmostSolved"}
    # Kratos starts from the shape under part of the load, not from the answer.
    shape = conic.solve(model, Loads(0.9 * loads.hip, 0.9 * loads.head)).moves
    pulls = large.solve(model, loads, shape)
    assert np.abs(pulls - whole.pulls).max() <= ALIKE * pulls.max()


def test_the_longer_leg_is_slack() -> None:
    model, loads = STATES[SLACK].build()
    answer = conic.solve(model, loads)
    ends = [
        model.points[name] + answer.moves[name][:3]
        for name in (model.links[9].start, model.links[11].end)
    ]
    rope = sum(link.unstretched for link in model.links[9:12])
    assert np.linalg.norm(ends[1] - ends[0]) < rope - 0.001
    legs = answer.legs(model)
    assert 0.0 < legs[3] < 0.01 * legs.max()  # its own weight still hangs on it


def test_a_block_of_pinned_heads_is_loose_under_one_sided_snow() -> None:
    """Heads pinned round a block let it tilt and shift while each hip swings about its foot."""
    loose = BEARING | {"roof.heads": "pinned"}
    model, loads = State(0.0, changes=loose).build()
    moves = conic.solve(model, loads).moves
    span = 2.0 * float(np.linalg.norm(model.points["foot 0"]))
    assert np.linalg.norm(moves["hub"][:3]) > span / 10.0
    for held in (State(0.0), State(0.0, changes=BEARING)):
        model, loads = held.build()
        assert np.linalg.norm(conic.solve(model, loads).moves["hub"][:3]) < span / 100.0


def test_tightening_on_a_prop() -> None:
    """The setting state: dead load, post under the hub, ropes cut short, walls that resist."""
    job = read(DEMO, POINT)
    dead = lay_load(job, snow=0.0)
    legs = []
    for tightening in (0.0, 3000.0):
        model = build(job, wall=6.1e6, propped=True, tightening=tightening)
        answer = conic.solve(model, dead)
        pulls = large.solve(model, dead, conic.solve(model, Loads(0.9 * dead.hip, dead.head)).moves)
        assert np.abs(pulls - answer.pulls).max() <= ALIKE * pulls.max()
        legs.append(answer.legs(model).mean())
    assert legs[1] > 1.05 * legs[0]


def test_pulls_balance_weight_and_load_at_every_bolt_free_node() -> None:
    """At an eye, where only ropes meet, pulls and weight add to nothing."""
    model, loads = STATES["D+S/unbalanced-018, leg 5 10 mm long"].build()
    answer = conic.solve(model, loads)
    at = {name: point + answer.moves[name][:3] for name, point in model.points.items()}
    left = {f"eye {k}": np.array([0.0, 0.0, -model.weights[f"eye {k}"]]) for k in range(model.n)}
    for link, pull in zip(model.links, answer.pulls, strict=True):
        along: Floats = at[link.end] - at[link.start]
        force = pull * along / np.linalg.norm(along)
        for name, sign in ((link.start, 1.0), (link.end, -1.0)):
            if name in left:
                left[name] = left[name] + sign * force
    assert max(float(np.abs(force).max()) for force in left.values()) < 0.01
