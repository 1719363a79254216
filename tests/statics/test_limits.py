"""The figures told in docs/theory, measured."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from itertools import pairwise

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from rafterstay.core.errors import Mechanism
from rafterstay.job import Job
from rafterstay.loads import Cases
from rafterstay.roof import Frame
from rafterstay.statics.beams import Beams, deformation
from rafterstay.statics.bound import energy_gap
from rafterstay.statics.condense import Skeleton
from rafterstay.statics.newton import Rest, settle
from rafterstay.statics.sense import FARTHEST
from tests.statics.roofs import FOOT, PSF, Value, half_loaded, row, solved, stated
from tests.statics.states import problem_of

# The package's verb hides the module of the same name.
SOLVE = import_module("rafterstay.statics.solve")

RING: dict[str, Value] = {
    "roof__hub": "ring",
    "roof__hub_width": "4 in",
    "roof__hub_depth": "9 in",
}
PINNED: dict[str, Value] = {
    "roof__hub": "disc",
    "roof__hub_radius": "9 in",
    "roof__heads": "pinned",
}


def _at_rest(job: Job, frame: Frame, cases: Cases) -> tuple[Skeleton, np.ndarray, Rest]:
    """The frame, its condensed stiffness, and where it rests."""
    problem, start = problem_of(frame, tie.rig(job, frame), cases)
    return problem.bones, problem.frame.stiffness[0], settle(problem, start)


def _spans_over_movement(job: Job, frame: Frame, cases: Cases) -> float:
    """The span over the largest movement of a tie bolt, first order."""
    bones, _, rest = _at_rest(job, frame, cases)
    reach = bones.free.nodes[frame.bolts, :3][:, :, bones.kept]
    moved = np.linalg.norm(np.einsum("nij,bj->bni", reach, rest.pose.kept), axis=-1)
    return float(frame.span / moved.max())


@pytest.mark.parametrize(("height", "parts"), [("0", 744), ("1/3", 166), ("1/2", 93), ("2/3", 59)])
def test_the_limit_of_sense_lies_beyond_what_roofs_do(height: str, parts: float) -> None:
    """docs/theory/sense.md, table of section 1: roofs."""
    job = stated(tie__height=height)
    frame = roof.lay_out(job)
    found = _spans_over_movement(job, frame, loads.gather(job, frame))
    assert found == pytest.approx(parts, rel=0.01)
    assert found > 2 / FARTHEST


@pytest.mark.parametrize(("height", "parts"), [("1/2", 7.1), ("1/3", 4.2)])
def test_the_limit_of_sense_lies_before_what_mechanisms_do(height: str, parts: float) -> None:
    """docs/theory/sense.md, table of section 1: heads pinned round a disc."""
    job = stated(tie__height=height, **PINNED)
    frame = roof.lay_out(job)
    found = _spans_over_movement(job, frame, half_loaded(frame, 40 * PSF, 0.0))
    assert found == pytest.approx(parts, rel=0.02)
    assert found < 1 / FARTHEST / 3


def test_uplift_slides_the_roof_through_itself() -> None:
    """docs/theory/sense.md, table of section 1: the feet end on the far side."""
    job = stated()
    frame = roof.lay_out(job)
    down = half_loaded(frame, 8 * PSF, 0.0, other=1.0)
    up = replace(down.cases[0], hip_load=-down.cases[0].hip_load, pattern="uplift")
    found = _spans_over_movement(job, frame, replace(down, cases=(up,)))
    assert found == pytest.approx(1.0, rel=0.01)


def test_stiff_walls_do_not_hold_heads_pinned_round_a_disc() -> None:
    """docs/theory/hub.md section 4: a wall pushes back only on a hip that pushes."""
    job = stated(**PINNED)
    frame = roof.lay_out(job)
    with pytest.raises(Mechanism, match="ST-00[123].*bear"):
        statics.solve(
            frame,
            tie.rig(job, frame),
            half_loaded(frame, 40 * PSF, 22.5),
            walls=(6e5, 9e5),
        )


def test_few_steps_and_no_middle_ground_between_loose_and_firm() -> None:
    """docs/theory/convexity.md and error-bound.md, Limits."""
    jobs = [stated(tie__height=height) for height in ("0", "1/3", "1/2", "2/3")]
    jobs += [stated("reading-room"), stated(roof__sides=64, tie__ring_radius="30 in")]
    jobs += [
        stated(roof__sides=3, roof__bracing="none", loads__dead="11 psf", tie__height="0.1"),
        stated(roof__sides=13, rafter__ply="2x12", **RING | {"roof__hub_radius": "19 in"}),
        stated("reading-room", roof__bracing="none", tie__height="0.55", rafter__ply="2x12"),
        stated("reading-room", roof__sides=15, roof__rise="3 ft", **RING),
        stated("reading-room", roof__sides=5, roof__rise="11 ft", tie__height="0"),
    ]
    for job in jobs:
        frame = roof.lay_out(job)
        _, stiffness, rest = _at_rest(job, frame, loads.gather(job, frame))
        assert rest.settled.all()
        assert rest.steps.max() <= 8
        values = np.linalg.eigvalsh(stiffness)
        share = np.abs(values) / values[-1]
        assert not ((share > 1e-13) & (share < 5e-7)).any()


@pytest.mark.parametrize(
    ("height", "changes"),
    [
        ("0", [1.4e-2, 2.7e-4, 3.8e-6]),
        ("1/3", [2.9e-2, 4.5e-4, 6.8e-6]),
        ("1/2", [3.8e-2, 6.9e-4, 1.3e-5, 2.9e-7]),
        ("2/3", [4.8e-2, 1.2e-3, 3.2e-5, 1.0e-6]),
    ],
)
def test_passes_shrink_as_the_amplification_says(
    height: str, changes: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """docs/theory/second-order.md section 3: table and eq. 3."""
    # Stop after the first pass, the second, ...: between the changes told.
    told = np.array(changes)
    stops = [1.0, *np.sqrt(told[:-1] * told[1:])]
    job = stated(tie__height=height)
    seen = []
    for same in stops:
        monkeypatch.setattr(SOLVE, "SAME", same)
        forces = solved(job)
        seen.append(forces.leg_pull)
    found = [np.abs(b - a).max() / b.max() for a, b in pairwise([forces.first_order, *seen])]
    assert found == pytest.approx(changes, rel=0.05)
    ratio = np.array(found[1:]) / np.array(found[:-1]) / (forces.amplification.max() - 1)
    assert ((ratio > 0.4) & (ratio < 1.5)).all()


def test_a_chord_turned_far_counts_as_its_sine() -> None:
    """docs/theory/second-order.md, Limits: two beams in line, turned and kinked, node turned."""
    turned, kink, long = 0.05, 1e-5, 2.3
    drawn = np.array([[0.0, 0, 0], [long, 0, 0], [2 * long, 0, 0]])
    ways = np.array([turned, turned + kink])
    # Turned about +y, x goes towards -z.
    steps = long * np.stack([np.cos(ways), np.zeros(2), -np.sin(ways)], axis=1)
    movement = np.zeros((1, 3, 6))
    movement[0, 1:, :3] = np.cumsum(steps, axis=0) - drawn[1:]
    movement[0, :, 4] = turned
    free = np.zeros((2, 2), dtype=bool)
    beams = Beams(
        ends=np.array([[0, 1], [1, 2]]),
        up=np.array([[0.0, 0, 1], [0, 0, 1]]),
        length=np.full(2, long),
        stiffness=np.zeros((2, 6, 6)),
        pinned=free,
        loose=free,
    )
    bent = deformation(beams, drawn, movement)[0]
    assert bent[:, 0] == pytest.approx(0, abs=1e-12)
    assert bent[0, 2] / turned == pytest.approx(0.0004, abs=5e-5)
    assert 1 - (bent[0, 2] - bent[1, 1]) / kink == pytest.approx(0.00125, abs=2e-5)


@pytest.mark.parametrize(
    ("name", "changes", "inches"),
    [
        ("reading-room", {}, 1.0),
        ("reading-room", RING, 1.76),
        ("octagon", RING | {"roof__hub_radius": "14 in"}, 5.85),
    ],
)
def test_how_far_off_centre_heads_push(name: str, changes: dict[str, Value], inches: float) -> None:
    """docs/theory/hub.md section 7, table."""
    forces = solved(stated(name, **changes))
    off = forces.head_moment / forces.head_push
    assert off.max() / (FOOT / 12) == pytest.approx(inches, abs=0.05)


@pytest.mark.parametrize("changes", [{}, RING])
def test_the_hub_is_pushed_to_no_side(changes: dict[str, Value]) -> None:
    """docs/theory/hub.md eq. 4, though more than twice as much lies on one side."""
    job = stated("reading-room", **changes)
    frame = roof.lay_out(job)
    forces = solved(job)
    push = forces.head_push[row(forces, "D+S/unbalanced-036")]
    # First order exact; the displaced roof leans by under a thousandth.
    assert np.abs(push @ frame.outward).max() < 0.001 * push.sum()


def test_the_gap_holds_for_all_links_together() -> None:
    """docs/theory/error-bound.md eq. 5: the pose of one load against the forces of the next."""
    job = stated("reading-room", tie__height="0.27", roof__sides=7)
    frame = roof.lay_out(job)
    problem, start = problem_of(frame, tie.rig(job, frame), loads.gather(job, frame))
    rest = settle(problem, start)
    following = np.roll(np.arange(len(rest.settled)), -1)
    gap = energy_gap(problem.only(following), rest.pose, rest.pulls)
    off = rest.pulls.leg_pull - rest.pulls.leg_pull[following]
    total = (off**2 / (2 * problem.links.leg_rate)).sum(axis=(1, 2))
    assert (total > 0).all()
    assert (total <= gap * (1 + 1e-9)).all()
