"""The error bound term by term, each against the energy of a hanging weight worked by hand.

In a rope that hangs from a rock statics leaves no choice of balanced forces: each is the weight
W. The gap is then the energy above rest itself, and where one link is off alone the bound is its
very error. Source: energy of springs and work of weights; no program.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay.roof.frame import Floats
from rafterstay.statics.bound import energy_gap, force_error
from rafterstay.statics.condense import Condensed, Followers
from rafterstay.statics.network import Network, Pose, Pulls, Web
from rafterstay.statics.problem import Problem, held_in
from tests.statics.anchored import anchored

WEIGHT = 730.0  # [N]
RATES = np.array([4.1e5, 9.7e5, 2.3e5])  # outer rope, turnbuckle, inner rope [N/m]
LENGTHS = np.array([1.31, 0.42, 0.87])  # unstretched [m]
LOOP_RATE, LOOP = 1.7e5, 1.9  # a sliding rope, whole [N/m], [m]
DOWN = np.array([0.0, 0.0, -1.0])


def _legs(n: int, **parts: object) -> Network:
    """Weightless legs of three pieces each, by ``RATES`` and ``LENGTHS``."""
    here = np.arange(n, dtype=np.intp)
    nothing = np.zeros((0, 2), dtype=np.intp)
    links = Network(
        web=Web(here, np.full(n, -1), nothing, "body"),
        leg_length=np.tile(LENGTHS, (1, n, 1)),
        leg_rate=np.tile(RATES, (1, n, 1)),
        side_length=np.zeros((1, 0)),
        side_rate=np.zeros((1, 0)),
        start_weight=np.zeros((1, n)),
        joint_weight=np.zeros((1, n, 2)),
        end_weight=np.zeros((1, n)),
        ring_weight=np.zeros(1),
        ring_at=np.zeros((1, n, 3)),
        centre=np.zeros((1, 3)),
        turn_rate=np.zeros((1, 3, 3)),
    )
    return replace(links, **parts)


def _hung() -> tuple[Problem, Floats]:
    """A weight on one leg from a rock at the origin; p, q and the weight at rest. (3, 3)"""
    at_rest = np.cumsum(LENGTHS + WEIGHT / RATES)[:, None] * DOWN
    links = _legs(1, ring_weight=np.array([WEIGHT]), ring_at=at_rest[None, 2:])
    return anchored(links, np.zeros((1, 3))), at_rest


def _off(problem: Problem, at_rest: Floats, places: Floats) -> tuple[Pose, Pulls]:
    """Tensions where p, q and the weight are at ``places``. (3, 3)"""
    pose = Pose(np.zeros((1, 3)), (places - at_rest)[None, 2], places[None, None, :2])
    return pose, held_in(problem, pose)


@pytest.mark.parametrize(("piece", "by"), [(0, 1.1e-3), (0, -0.9e-3), (2, 1.4e-3)])
def test_one_piece_stretched_wrongly(piece: int, by: float) -> None:
    """Energy k s^2/2, error k s: the bound is sharp for the stiffest rope, safe for others."""
    problem, at_rest = _hung()
    places = at_rest + by * DOWN * (np.arange(3) >= piece)[:, None]
    pose, held = _off(problem, at_rest, places)
    rate = RATES[piece]
    assert held.leg_pull[0, 0, piece] - WEIGHT == pytest.approx(rate * by, rel=1e-9)
    assert energy_gap(problem, pose, held)[0] == pytest.approx(rate * by**2 / 2, rel=1e-5)
    bound = force_error(problem, pose, held)[0]
    assert bound == pytest.approx(np.sqrt(RATES[0] * rate) * abs(by), rel=1e-5)
    assert bound >= rate * abs(by) * (1 - 1e-9)


@pytest.mark.parametrize("angle", [1e-6, 0.02, 0.4])
def test_a_piece_pulls_askew_as_a_pendulum_stands(angle: float) -> None:
    """The upper rope turned, all below it hung plumb: W l (1 - cos a), the rise of the weight."""
    problem, at_rest = _hung()
    long = LENGTHS[0] + WEIGHT / RATES[0]
    turned = long * np.array([np.sin(angle), 0.0, -np.cos(angle)])
    pose, held = _off(problem, at_rest, at_rest - at_rest[0] + turned)
    assert held.leg_pull[0, 0] == pytest.approx(WEIGHT, rel=1e-9)
    rock = WEIGHT**2 / 2e13  # the rock has not given by what it bears
    expected = 2 * WEIGHT * long * np.sin(angle / 2) ** 2 + rock
    assert energy_gap(problem, pose, held)[0] == pytest.approx(expected, rel=1e-4)


def test_a_slack_piece_has_its_missing_length_to_fall() -> None:
    """W^2/(2k) to the end of its stretch and W times what it is short of."""
    problem, at_rest = _hung()
    short = 0.19
    places = at_rest.copy()
    places[2] = at_rest[2] - (short + WEIGHT / RATES[2]) * DOWN
    pose, held = _off(problem, at_rest, places)
    assert held.leg_pull[0, 0, 2] == 0
    expected = WEIGHT**2 / (2 * RATES[2]) + WEIGHT * short
    assert energy_gap(problem, pose, held)[0] == pytest.approx(expected, rel=1e-6)
    # A bound on any pull: the inner rope wants W and has none.
    assert force_error(problem, pose, held)[0] > WEIGHT


def _on_frame(problem: Problem, stiffness: Floats, push: Floats) -> Problem:
    frame = Condensed(
        stiffness=np.diag(stiffness)[None],
        push=push[None],
        shared=Followers(np.zeros((1, 0)), np.zeros((1, 0, len(push)))),
        local=(),
    )
    return replace(problem, frame=frame)


def test_a_frame_that_is_off_counts_as_a_spring() -> None:
    """The whole rope and its weight lowered by s with what it hangs from: K s^2/2."""
    problem, at_rest = _hung()
    firm, by = 3.3e5, 2.1e-3
    problem = _on_frame(problem, np.array([7e5, 8e5, firm]), np.zeros(3))
    # At rest the frame has given W / K; here s more.
    low = WEIGHT / firm + by
    pose = Pose(low * DOWN[None], low * DOWN[None], (at_rest + low * DOWN)[None, None, :2])
    held = held_in(problem, pose)
    assert held.leg_pull[0, 0] == pytest.approx(WEIGHT, rel=1e-9)
    assert energy_gap(problem, pose, held)[0] == pytest.approx(firm * by**2 / 2, rel=1e-6)


@pytest.mark.parametrize("sideways", [0.0, 5.0])
def test_a_push_that_nothing_resists_has_no_bound(sideways: float) -> None:
    """A trolley on a level rail: pushed, its energy falls for ever; not pushed, it is at rest."""
    problem, at_rest = _hung()
    firm = 3.3e5
    problem = _on_frame(problem, np.array([0.0, 8e5, firm]), np.array([sideways, 0.0, 0.0]))
    low = WEIGHT / firm * DOWN
    pose = Pose(low[None], low[None], (at_rest + low)[None, None, :2])
    bound = force_error(problem, pose, held_in(problem, pose))[0]
    assert bound == np.inf if sideways else bound < 1e-6 * WEIGHT


def _hung_loop() -> tuple[Problem, Floats]:
    """A closed rope that slides: leg from a rock, two eyes a loop joins, leg to a hung load.

    The load W pushes on a point of the frame that nothing else holds. Places at rest of
    p, q of the upper leg, eye, eye, q, p of the lower leg, load. (7, 3)
    """
    leg = LENGTHS + WEIGHT / RATES
    half = (LOOP + WEIGHT / 2 / LOOP_RATE) / 2
    at_rest = np.cumsum([*leg, half, *leg[::-1]])[:, None] * DOWN
    links = _legs(
        2,
        web=Web(np.arange(2), np.full(2, -1), np.array([[0, 1], [1, 0]]), "eyes", sliding=True),
        side_length=np.array([[LOOP]]),
        side_rate=np.array([[LOOP_RATE]]),
        ring_at=at_rest[None, 2:4],
    )
    problem = anchored(links, np.stack([np.zeros(3), at_rest[6]]))
    stiffness = np.array([1e13, 1e13, 1e13, 0.0, 0.0, 0.0])
    return _on_frame(problem, stiffness, np.array([0, 0, 0, 0, 0, -WEIGHT])), at_rest


def _off_loop(problem: Problem, at_rest: Floats, places: Floats) -> tuple[Pose, Pulls]:
    moved = places - at_rest
    kept = np.concatenate([np.zeros(3), moved[6]])
    joints = np.stack([places[:2], places[[5, 4]]])
    pose = Pose(kept[None], moved[2:4].reshape(1, 6), joints[None])
    return pose, held_in(problem, pose)


@pytest.mark.parametrize("by", [1.2e-3, -0.8e-3])
def test_a_sliding_rope_stretched_wrongly(by: float) -> None:
    """Two falls of rope longer by s each: k (2s)^2/2."""
    problem, at_rest = _hung_loop()
    pose, held = _off_loop(problem, at_rest, at_rest + by * DOWN * (np.arange(7) >= 3)[:, None])
    assert held.side_pull[0] == pytest.approx(WEIGHT / 2 + 2 * LOOP_RATE * by, rel=1e-9)
    assert held.leg_pull[0] == pytest.approx(WEIGHT, rel=1e-9)
    assert energy_gap(problem, pose, held)[0] == pytest.approx(2 * LOOP_RATE * by**2, rel=1e-5)


@pytest.mark.parametrize("angle", [0.013, 0.31])
def test_a_sliding_rope_askew_stands_as_a_pendulum(angle: float) -> None:
    """Both falls turned, all below hung plumb: W l (1 - cos a), l of one fall."""
    problem, at_rest = _hung_loop()
    long = (LOOP + WEIGHT / 2 / LOOP_RATE) / 2
    aside = long * np.array([np.sin(angle), 0.0, 1 - np.cos(angle)])
    pose, held = _off_loop(problem, at_rest, at_rest + aside * (np.arange(7) >= 3)[:, None])
    assert held.side_pull[0] == pytest.approx(WEIGHT / 2, rel=1e-9)
    expected = 2 * WEIGHT * long * np.sin(angle / 2) ** 2
    assert energy_gap(problem, pose, held)[0] == pytest.approx(expected, rel=1e-5)


def test_a_slack_sliding_rope_has_its_missing_length_to_fall() -> None:
    """(W/2)^2/(2k) to the end of its stretch, W/2 a metre of rope that is missing."""
    problem, at_rest = _hung_loop()
    short = 0.23  # of the whole rope
    up = (WEIGHT / 2 / LOOP_RATE + short) / 2
    pose, held = _off_loop(problem, at_rest, at_rest - up * DOWN * (np.arange(7) >= 3)[:, None])
    assert (held.side_pull == 0).all()
    expected = (WEIGHT / 2) ** 2 / (2 * LOOP_RATE) + WEIGHT / 2 * short
    assert energy_gap(problem, pose, held)[0] == pytest.approx(expected, rel=1e-6)


FORCES = np.array([[310.0, 95.0, 0.0], [-240.0, 215.0, 0.0], [-70.0, -310.0, 0.0]])
EYES = {
    "near": np.array([[0.71, 0.10, 0.0], [-0.41, 0.52, 0.0], [-0.16, -0.62, 0.0]]),
    "far": np.array([[0.33, -0.08, 0.0], [-0.52, 0.71, 0.0], [-0.49, -0.35, 0.0]]),
}


def _triangle(eyes: Floats, rope: float) -> tuple[Problem, Pose, Pulls]:
    """A sliding rope through three eyes that steady forces draw outward by legs of their own."""
    size = np.linalg.norm(FORCES, axis=1)
    way = FORCES / size[:, None]
    # From the eye outward: q, p, the point that is pushed.
    lengths = (LENGTHS + size[:, None] / RATES)[:, ::-1]
    q, p, start = np.moveaxis(
        eyes[:, None] + np.cumsum(lengths, axis=1)[..., None] * way[:, None], 1, 0
    )
    links = _legs(
        3,
        web=Web(
            np.arange(3), np.full(3, -1), np.array([[0, 1], [1, 2], [2, 0]]), "eyes", sliding=True
        ),
        side_length=np.array([[rope]]),
        side_rate=np.array([[LOOP_RATE]]),
        ring_at=eyes[None],
    )
    problem = _on_frame(anchored(links, start), np.zeros(9), FORCES.ravel())
    pose = Pose(np.zeros((1, 9)), np.zeros((1, 9)), np.stack([p, q], axis=1)[None])
    return problem, pose, held_in(problem, pose)


@pytest.mark.parametrize(("place", "short"), [("near", 1.07e-3), ("near", -0.04), ("far", 0.9e-3)])
def test_a_side_that_carries_less_wastes_its_length(place: str, short: float) -> None:
    """Side forces by statics: differences are the three forces, parts along the sides are equal.

    Against sliding-ring.md eq. 4 written out, and against energies: at rest all sides pull alike,
    so that T is the radius of the circle through the corners of the forces' own triangle, and the
    energy of rope and forces is -T L0 - T^2/(2k).
    """
    eyes = EYES[place]
    sides = np.roll(eyes, -1, axis=0) - eyes
    long = np.linalg.norm(sides, axis=1)
    rope = long.sum() - short
    problem, pose, held = _triangle(eyes, rope)
    unit = sides / long[:, None]
    # t, t - F1, t - F1 - F2 with one part along each side.
    less = np.array([0 * FORCES[0], FORCES[1], FORCES[1] + FORCES[2]])
    rows = (unit[1:] - unit[0])[:, :2]
    first = np.append(np.linalg.solve(rows, (less[1:] * unit[1:]).sum(axis=1)), 0.0)
    force = first - less
    size = np.linalg.norm(force, axis=1)
    most, pull = size.max(), LOOP_RATE * short
    assert held.side_pull[0] == pytest.approx(max(pull, 0.0))
    taut = (most - pull) ** 2 / (2 * LOOP_RATE)
    slack = most**2 / (2 * LOOP_RATE) + most * -short
    wasted = most * long.sum() - (force * sides).sum()
    gap = energy_gap(problem, pose, held)[0]
    assert gap == pytest.approx((taut if pull > 0 else slack) + wasted, rel=1e-6)
    a, b, c = np.linalg.norm(FORCES, axis=1)
    area = np.linalg.norm(np.cross(FORCES[0], FORCES[1])) / 2
    circle = a * b * c / (4 * area)
    least = -circle * rope - circle**2 / (2 * LOOP_RATE)
    above = max(pull, 0.0) ** 2 / (2 * LOOP_RATE) - (FORCES * eyes).sum() - least
    assert 0 < above <= gap
