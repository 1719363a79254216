"""Ties between points that do not move, for closed forms of ropes alone."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Literal

import numpy as np

from rafterstay.statics.condense import Condensed, Followers
from rafterstay.statics.network import Network, Pose, Web, start_pose
from rafterstay.statics.newton import Rest
from rafterstay.statics.problem import Problem
from rafterstay.statics.turning import come_to_rest

ROCK = 1e13  # stiffness of an anchor [N/m]


def tie_between(
    n: int,
    *,
    radius: float,
    leg: float,
    ring: Literal["eyes", "body"],
    turns: bool = False,
    sliding: bool = False,
    leg_ea: float = 1.98e6,
    ring_ea: float = 3.1e6,
    pull: float = 1.0,
    ring_pull: float | None = None,
) -> Problem:
    """Weightless legs of rope alone to a level ring, pulling ``pull`` each in the pose drawn."""
    turn = 2 * np.pi * np.arange(n) / n
    outward = np.stack([np.sin(turn), np.cos(turn), 0 * turn], axis=1)
    eyes, anchors = radius * outward, (radius + leg) * outward
    here = np.arange(n, dtype=np.intp)
    sides = np.stack([here, np.roll(here, -1)], axis=1)
    if ring != "eyes":
        sides = sides[:0]
    chord = np.linalg.norm(eyes[sides[:, 1]] - eyes[sides[:, 0]], axis=1)
    around = pull / (2 * np.sin(np.pi / n)) if ring_pull is None else ring_pull
    side = chord / (1 + around / ring_ea)
    if sliding:
        side = side.sum(keepdims=True)
    pieces = np.full((1, n, 3), leg / 3 / (1 + pull / leg_ea))
    links = Network(
        web=Web(here, np.full(n, -1), sides, ring, turns=turns, sliding=sliding),
        leg_length=pieces,
        leg_rate=leg_ea / pieces,
        side_length=side[None],
        side_rate=ring_ea / side[None],
        start_weight=np.zeros((1, n)),
        joint_weight=np.zeros((1, n, 2)),
        end_weight=np.zeros((1, n)),
        ring_weight=np.zeros(1),
        ring_at=eyes[None],
        centre=np.zeros((1, 3)),
        turn_rate=np.zeros((1, 3, 3)),
    )
    return anchored(links, anchors)


def anchored(links: Network, anchors: np.ndarray) -> Problem:
    """Links hung from points of a frame as stiff as rock, one state, no load on the frame."""
    n = len(anchors)
    reach = np.eye(3 * n).reshape(n, 3, 3 * n)
    bones = SimpleNamespace(
        frame=SimpleNamespace(span=float(np.ptp(anchors, axis=0).max()), feet=np.arange(n)),
        attach=np.arange(n),
        kept=np.arange(3 * n),
        reach=reach,
        prop=np.zeros(3 * n),
        free=SimpleNamespace(outward=np.zeros((n, 3 * n)), nodes=np.zeros((n, 6, 3 * n))),
        blocks=SimpleNamespace(buckets=(), outer=np.arange(3 * n), n_kept=3 * n),
    )
    frame = Condensed(
        stiffness=ROCK * np.eye(3 * n)[None],
        push=np.zeros((1, 3 * n)),
        shared=Followers(np.zeros((1, 0)), np.zeros((1, 0, 3 * n))),
        local=(),
    )
    return Problem(bones, frame, links, np.ones(1), anchors[None])


def at_rest(problem: Problem) -> tuple[Problem, Rest]:
    """Let it come to rest from the drawing."""
    start = start_pose(problem.bones, problem.links, problem.points, 1)
    shaken = Pose(start.kept, start.ring + 1e-4, start.joints + 1e-4)
    if problem.links.web.turns:
        shaken = start
    return come_to_rest(problem, shaken, ["here"])


def shorter(problem: Problem, leg: int, by: float) -> Problem:
    """One leg drawn up by a length, taken from its middle piece; EA stays."""
    links = problem.links
    lengths = links.leg_length.copy()
    lengths[:, leg, 1] -= by
    rates = links.leg_rate * links.leg_length / lengths
    return replace(problem, links=replace(links, leg_length=lengths, leg_rate=rates))
