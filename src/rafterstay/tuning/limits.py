"""What tuning is to reach, and what no step may exceed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.shop.proof import pull_allowed
from rafterstay.tuning.nouns import Goal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rafterstay.checks.nouns import Checks
    from rafterstay.statics.nouns import Forces
    from rafterstay.tuning.model import Model

__all__ = ["goal_of"]

SHARE: Final = 0.10  # of the target: how far a leg may be off, common practice [-]
NEAR: Final = 0.0254 / 4  # ring off its centre or out of level: common practice [m]
PLUMB: Final = 0.0254 / 16  # what a plumb line shows: common practice [m]
LIFTING: Final = 5.0  # rope under a person's hands, lifting practice [-]
CHAIN: Final = {
    "rope-lifting": "the rope in its eyes",
    "turnbuckle-load": "the turnbuckle",
    "shackle-load": "the shackle",
    "bolt-yield": "the bolt in the wood",
    "bolt-steel": "the bolt itself",
    "wood-splitting": "the wood below the bolt",
    "wood-net": "the hip at the bolt's hole",
}


def goal_of(
    model: Model,
    *,
    standing: Mapping[int, float] | None = None,
    checked: tuple[Forces, Checks] | None = None,
    unchecked: str = "",
) -> Goal:
    """The job's target and its parts' limits.

    Args:
        model: The tie.
        standing: How far outward each foot was surveyed, by its number; plumb where left out.
            [m]
        checked: The roof in service and what was checked of it: every part of a leg's chain from
            ring to wood limits its pull. None for rope and turnbuckle alone.
        unchecked: Code of the error that kept the roof in service from being worked out.

    Returns:
        The goal: the job's target, 0 for the mean as it stands.

    Source: docs/theory/tuning.md section 6
    """
    leans = np.zeros(len(model.bones.free.outward))
    for foot, outward in (standing or {}).items():
        leans[foot - 1] = outward
    most, by = min(_limits(model, checked))
    return Goal(
        pull=model.tie.target,
        share=SHARE,
        shift=NEAR,
        level=NEAR,
        most=most,
        standing=leans,
        leaning=PLUMB,
        most_by=by,
        unchecked=unchecked,
    )


def _limits(model: Model, checked: tuple[Forces, Checks] | None) -> list[tuple[float, str]]:
    """Pull that each part of a leg's chain may have, and its name. [N]"""
    tie = model.tie
    found = [
        (tie.turnbuckle.working_load, CHAIN["turnbuckle-load"]),
        (tie.rope.strength / LIFTING, "the rope"),
    ]
    if checked is not None:
        forces, checks = checked
        service = float(forces.leg_pull.max())
        for check in checks.checks:
            if check.id in CHAIN:
                pull = pull_allowed(check, forces, service)
                found += [(pull, CHAIN[check.id])] if pull else []
    return found
