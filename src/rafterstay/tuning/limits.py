"""What tuning is to reach, and what no step may exceed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.tuning.nouns import Goal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rafterstay.tuning.model import Model

__all__ = ["goal_of"]

SHARE: Final = 0.10  # of the target: how far a leg may be off, common practice [-]
NEAR: Final = 0.0254 / 4  # ring off its centre or out of level: common practice [m]
PLUMB: Final = 0.0254 / 16  # what a plumb line shows: common practice [m]
LIFTING: Final = 5.0  # rope under a person's hands, lifting practice [-]


def goal_of(model: Model, *, standing: Mapping[int, float] | None = None) -> Goal:
    """The job's target and its parts' limits.

    Args:
        model: The tie.
        standing: How far outward each foot was surveyed, by its number; plumb where left out.
            [m]

    Returns:
        The goal: the job's target, 0 for the mean as it stands.
    """
    tie = model.tie
    leans = np.zeros(len(model.bones.free.outward))
    for foot, outward in (standing or {}).items():
        leans[foot - 1] = outward
    return Goal(
        pull=tie.target,
        share=SHARE,
        shift=NEAR,
        level=NEAR,
        most=min(tie.turnbuckle.working_load, tie.rope.strength / LIFTING),
        standing=leans,
        leaning=PLUMB,
    )
