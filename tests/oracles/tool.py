"""What the tool says of the same job: the one place where referees and tool meet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rafterstay import design, job, statics

from .model import Floats

__all__ = ["Told", "told"]


@dataclass(frozen=True)
class Told:
    """A state as the tool names it, and its legs."""

    id: str
    wall: float  # spring at each foot, outward [N/m]
    rope_factor: float  # on EA of every rope [-]
    variant: str  # what is varied within the bound
    legs: Floats  # pulls on the frame as drawn [N] (n_legs,)


def told(
    path: Path, changes: Mapping[str, str | bool | int | list[str]], extra: Floats | None = None
) -> list[Told]:
    """Ask the tool for every state of a job.

    Args:
        path: A job file.
        changes: New values by dotted key.
        extra: Added to each leg's unstretched rope. [m] (n_legs,)

    Returns:
        Every state, in the tool's order.
    """
    text = path.read_text(encoding="utf-8")
    for key, value in changes.items():
        text = job.set_value(text, key, value)
    stated = job.loads(text)
    found = design.check(stated)
    forces = found.forces
    if extra is not None:
        walls = stated.support.wall_stiffness
        forces = statics.solve(found.frame, found.tie, found.cases, walls=walls, leg_extra=extra)
    return [
        Told(
            state.id,
            state.wall_stiffness,
            state.rope_factor,
            state.variant,
            forces.first_order[i],
        )
        for i, state in enumerate(forces.states)
    ]
