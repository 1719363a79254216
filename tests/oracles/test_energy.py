"""The conic solver and the tool find the same energy, which no other pose undercuts.

Energies are worked out from the definition, docs/theory/convexity.md eq. 1, in the pose each of
the two gives. clarabel solves the second-order-cone programme from no start at all.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rafterstay import job, loads, roof, tie
from rafterstay.statics.network import Pose
from rafterstay.statics.newton import settle
from rafterstay.statics.problem import Problem, held_in

from ..statics.states import problem_of
from . import conic
from .model import build, lay_load, read

EXAMPLES = Path(__file__).parents[2] / "examples"


def _energy(problem: Problem, pose: Pose) -> float:
    held, links = held_in(problem, pose), problem.links
    stretched = (held.leg_pull**2 / (2 * links.leg_rate)).sum()
    stretched += (held.side_pull**2 / (2 * links.side_rate)).sum()
    kept = pose.kept[0]
    bent = 0.5 * kept @ problem.frame.stiffness[0] @ kept - problem.frame.push[0] @ kept
    lowered = (links.joint_weight * (pose.joints[..., 2])).sum()
    lowered += (links.end_weight * held.ends[..., 2]).sum()
    return float(stretched + bent + lowered)


@pytest.mark.parametrize("height", ["0", "1/3", "0.55"])
def test_same_energy(height: str) -> None:
    path = EXAMPLES / "octagon.toml"
    text = job.set_value(path.read_text(encoding="utf-8"), "tie.height", height)
    stated = job.loads(text)
    frame = roof.lay_out(stated)
    rig = tie.rig(stated, frame)
    cases = loads.gather(stated, frame)
    balanced = [case for case in cases.cases if case.id == "D+S/balanced"]
    problem, start = problem_of(frame, rig, type(cases)(tuple(balanced), cases.setting, False))
    rest = settle(problem, start)
    raw = read(path, {"tie.height": height})
    model = build(raw)
    answer = conic.solve(model, lay_load(raw))
    reach = problem.bones.reach.reshape(-1, problem.bones.reach.shape[2])
    bolt = "bolt" if height != "0" else "foot"
    moves = np.concatenate([answer.moves[f"{bolt} {k}"][:3] for k in range(8)])
    kept = np.linalg.lstsq(reach, moves, rcond=None)[0]
    assert np.abs(reach @ kept - moves).max() < 1e-9

    def place(kind: str) -> np.ndarray:
        names = [f"{kind} {k}" for k in range(8)]
        return np.array([model.points[name] + answer.moves[name][:3] for name in names])

    pose = Pose(
        kept=kept[None],
        ring=(place("eye") - problem.links.ring_at[0]).reshape(1, -1),
        joints=np.stack([place("outer"), place("inner")], axis=1)[None],
    )
    ours, theirs = _energy(problem, rest.pose), _energy(problem, pose)
    size = abs(_energy(problem, start) - ours)
    assert size > 1.0  # the roof does come down
    assert ours <= theirs + 1e-12 * size
    assert theirs - ours <= 1e-9 * size
