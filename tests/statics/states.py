"""The solver's own problem of some cases, for tests that look inside."""

from __future__ import annotations

import numpy as np

from rafterstay.loads import Cases
from rafterstay.roof import Frame
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.condense import condense, skeleton
from rafterstay.statics.network import Pose, chains, hung_on, start_pose
from rafterstay.statics.problem import Problem
from rafterstay.tie import Tie


def problem_of(frame: Frame, tie: Tie, cases: Cases, *, walls: float = 0.0) -> tuple[Problem, Pose]:
    """First order problem of all cases with snug legs, and the pose of the drawing."""
    bones = skeleton(frame)
    links = chains(tie, strain=0.0, rope_factor=1.0)
    weight = np.array([case.dead_factor for case in cases.cases])
    forces, work = loads_on(bones, list(cases.cases))
    forces[:, bones.attach, 2] -= weight[:, None] * hung_on(links, len(bones.attach))
    still = np.zeros((1, len(frame.nodes), 6))
    condensed = condense(bones, still, forces=forces, work=work, wall_stiffness=walls)
    points = frame.nodes[None, bones.attach]
    problem = Problem(bones, condensed, links, weight, points)
    return problem, start_pose(bones, links, points, len(cases.cases))
