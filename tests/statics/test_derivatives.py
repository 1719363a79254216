"""Derivatives against finite differences of whole solutions, and closed forms of a turn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from rafterstay import roof, tie
from rafterstay.statics.condense import condense
from rafterstay.statics.derivatives import Changes, Derivatives, derivatives
from rafterstay.statics.network import Network, Pose
from rafterstay.statics.newton import Rest
from rafterstay.statics.problem import Problem
from rafterstay.statics.turning import come_to_rest
from tests.statics.roofs import PSF, half_loaded, stated
from tests.statics.states import problem_of


@pytest.fixture(autouse=True)
def _to_the_bottom(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stiff ring is turned until nothing but rounding is left."""
    monkeypatch.setattr("rafterstay.statics.turning.BALANCED", 2e-9)


KINDS = ["rope-seized", "rope-sliding", "welded", "point", "band"]


def _settled(kind: str) -> tuple[Problem, Pose, Rest]:
    job = stated("reading-room", tie__height="0.23", rafter__ply="2x12", roof__sides=7)
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    if kind == "band":
        side = np.linalg.norm(np.roll(rig.bolt_points, -1, axis=0) - rig.bolt_points, axis=1)
        rig = replace(rig, layout="band", leg_lengths=side)
    elif kind == "point":
        centre = rig.ring_points.mean(axis=0)
        lengths = np.linalg.norm(rig.bolt_points - centre, axis=1)
        rig = replace(rig, ring=kind, ring_points=np.tile(centre, (7, 1)), leg_lengths=lengths)
    else:
        rig = replace(rig, ring=kind, ring_mass=1.5)
    cases = half_loaded(frame, 30 * PSF, 40.0, 0.35)
    problem, start = problem_of(frame, rig, cases, walls=3e5)
    rng = np.random.default_rng(5)
    lengths = problem.links.leg_length * (1 + 2e-4 * rng.random(problem.links.leg_length.shape))
    problem = replace(problem, links=_longer(problem.links, leg_length=lengths))
    problem, rest = come_to_rest(problem, start, ["here"])
    return problem, start, rest


def _longer(links: Network, **lengths: np.ndarray) -> Network:
    """New lengths; EA of every link stays."""
    rates = {
        name.replace("length", "rate"): getattr(links, name.replace("length", "rate"))
        * getattr(links, name)
        / value
        for name, value in lengths.items()
    }
    return replace(links, **lengths, **rates)


def _again(problem: Problem, rest: Rest) -> tuple[np.ndarray, ...]:
    pose = replace(rest.pose, ring=np.zeros_like(rest.pose.ring))
    if not problem.links.web.turns:
        pose = rest.pose
    problem, found = come_to_rest(problem, pose, ["here"])
    every = problem.frame.all_movements(problem.bones, found.pose.kept)
    outward = every @ problem.bones.free.outward.T
    pulls = found.pulls
    return pulls.leg_pull[0, :, 0], pulls.side_pull[0], pulls.ends[0], outward[0]


def _differences(
    problem: Problem, rest: Rest, change: Callable[[float], Problem], size: float
) -> list[np.ndarray]:
    """Five points: what is left out goes as the fourth power of the step."""
    at = [_again(change(times * size), rest) for times in (1, -1, 2, -2)]
    return [(8 * (a - b) - (c - d)) / (12 * size) for a, b, c, d in zip(*at, strict=True)]


def _agree(found: Changes, cause: int, differences: list[np.ndarray]) -> None:
    parts = (found.leg_pull, found.side_pull, found.ends, found.outward)
    for part, difference in zip(parts, differences, strict=True):
        # A bolt moved up does little; beside what one moved sideways does.
        least = 1e-3 * np.abs(part).max(initial=0.0)
        scale = max(np.abs(difference).max(initial=0.0), least, 1e-6)
        assert np.abs(part[0, cause] - difference).max(initial=0.0) <= 1e-6 * scale


def _all(kind: str) -> tuple[Problem, Rest, Derivatives]:
    problem, _, rest = _settled(kind)
    return problem, rest, derivatives(problem, rest)


@pytest.mark.parametrize("kind", KINDS)
def test_letting_out_a_turnbuckle(kind: str) -> None:
    problem, rest, found = _all(kind)

    def change(size: float) -> Problem:
        longer = problem.links.leg_length.copy()
        longer[:, 2, 1] += size
        return replace(problem, links=_longer(problem.links, leg_length=longer))

    _agree(found.turnbuckle, 2, _differences(problem, rest, change, 4e-5))


@pytest.mark.parametrize("kind", KINDS)
def test_a_longer_rope(kind: str) -> None:
    problem, rest, found = _all(kind)

    def change(size: float) -> Problem:
        longer = problem.links.leg_length.copy()
        longer[:, 4, [0, 2]] += size / 2
        return replace(problem, links=_longer(problem.links, leg_length=longer))

    _agree(found.rope, 4, _differences(problem, rest, change, 4e-5))


@pytest.mark.parametrize("kind", ["rope-seized", "rope-sliding"])
def test_a_longer_side_of_the_ring(kind: str) -> None:
    problem, rest, found = _all(kind)
    cause = found.side.leg_pull.shape[1] - 1

    def change(size: float) -> Problem:
        longer = problem.links.side_length.copy()
        longer[:, cause] += size
        return replace(problem, links=_longer(problem.links, side_length=longer))

    _agree(found.side, cause, _differences(problem, rest, change, 1e-5))


@pytest.mark.parametrize("kind", KINDS)
def test_heat_in_every_rope(kind: str) -> None:
    problem, rest, found = _all(kind)

    def change(size: float) -> Problem:
        links = problem.links
        lengths = {"leg_length": links.leg_length * (1 + size)}
        if len(links.web.sides):
            lengths["side_length"] = links.side_length * (1 + size)
        return replace(problem, links=_longer(links, **lengths))

    _agree(found.heat, 0, _differences(problem, rest, change, 2e-5))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("way", [0, 1, 2])
def test_a_bolt_in_another_place(kind: str, way: int) -> None:
    problem, rest, found = _all(kind)

    def change(size: float) -> Problem:
        points = problem.points.copy()
        points[:, 3, way] += size
        return replace(problem, points=points)

    _agree(found.place, 9 + way, _differences(problem, rest, change, 4e-5))


def test_another_push_on_the_frame() -> None:
    """Heat in every third beam: pushes its beams, and moves the feet by themselves."""
    problem, _, rest = _settled("rope-seized")
    bones = problem.bones
    still = np.zeros((1, len(bones.frame.nodes), 6))
    work = np.zeros((1, len(bones.frame.members), 6))
    work[:, ::3, 0] = (bones.beams.stiffness[:, 0, 0] * bones.beams.length)[::3]
    nothing = np.zeros((1, len(bones.frame.nodes), 3))
    warmed = condense(bones, still, forces=nothing, work=work, wall_stiffness=3e5)
    found = derivatives(problem, rest, [warmed]).push

    def change(size: float) -> Problem:
        local = tuple(
            replace(a, told=a.alone + size * b.alone)
            for a, b in zip(problem.frame.local, warmed.local, strict=True)
        )
        shared = replace(
            problem.frame.shared,
            told=problem.frame.shared.alone + size * warmed.shared.alone,
        )
        push = problem.frame.push + size * warmed.push
        return replace(problem, frame=replace(problem.frame, push=push, shared=shared, local=local))

    _agree(found, 0, _differences(problem, rest, change, 1e-5))
