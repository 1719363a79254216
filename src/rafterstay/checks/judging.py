"""What is asked, which state asks the most, and whether the answer is enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from rafterstay.checks.nouns import Check, Status
from rafterstay.core.sources import Source
from rafterstay.core.working import Line

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.roof.frame import Floats, Frame
    from rafterstay.statics.lost import Losses
    from rafterstay.statics.nouns import Forces, State
    from rafterstay.tie.nouns import Tie

__all__ = ["LEAST_CONFIDENCE", "Asked", "Worst", "judged", "largest", "stated_in_job"]

LEAST_CONFIDENCE: Final = 80
"""Under this many percent a value never makes a part pass: an engineer must decide."""

Unit = Literal["N", "m", "Pa", "1"]


ALIKE: Final = 1e-6
"""States that mirror one another differ by rounding, relative: the first of them is named."""

_PARTS: Final = {"ply": "rafter", "wood": "rafter"}


@dataclass(frozen=True)
class Asked:
    """Everything a check may look at.

    Attributes:
        losses: Forces with a leg or a side of the ring gone, where they were sought.
    """

    job: Job
    frame: Frame
    tie: Tie
    forces: Forces
    losses: tuple[Losses, ...] = ()

    @property
    def duration_factors(self) -> Floats:
        """C_D of every state. [-] (n_states, 1)"""
        return np.array([[state.case.duration_factor] for state in self.forces.states])


@dataclass(frozen=True)
class Worst:
    """The state that asks the most, and where: ``leg`` counts from 1.

    Attributes:
        value: In the unit of what was asked.
        row: Of the state.
        leg: Number of the leg, or of whatever ``of`` says.
        of: ``leg``, ``hip``, ``foot``, ``head`` or ``side``.
        n_legs: Ties straight across have half as many legs as there are hips.
    """

    value: float
    state: State
    row: int
    leg: int
    of: str = "leg"
    n_legs: int = 0

    @property
    def place(self) -> str:
        """Where it stands, in words."""
        return f"{self.of} {self.leg} in {self.state.id}"

    @property
    def hanging(self) -> int:
        """Number of the leg there: the one that hangs on a hip, of a band starts at it."""
        return (self.leg - 1) % self.n_legs + 1 if self.n_legs else self.leg


def largest(values: Floats, forces: Forces, per: Floats | float = 1.0, *, of: str = "leg") -> Worst:
    """Find where ``values / per`` is largest.

    Args:
        values: NaN where there is none, never everywhere. [N or m] (n_states, n_legs or n_hips)
        forces: Whose states the rows are.
        per: What every value is set against, for example C_D. [-] (n_states, 1)
        of: What a column stands for: ``leg``, ``hip``, ``foot``, ``head`` or ``side``.

    Returns:
        The value itself with its state and place.
    """
    against = values / per
    top = np.nanmax(against)
    first = int(np.argmax(against >= top - ALIKE * abs(top)))
    row, column = np.unravel_index(first, values.shape)
    return Worst(
        value=float(values[row, column]),
        state=forces.states[row],
        row=int(row),
        leg=int(column) + 1,
        of=of,
        n_legs=forces.leg_pull.shape[1],
    )


def stated_in_job(key: str) -> Source:
    """Source of a figure that is the user's own."""
    return Source("job file", "", key, "read", 100)


def judged(
    check_id: str,
    *,
    demand: float,
    capacity: float | None,
    unit: Unit,
    why: str,
    sources: tuple[Source, ...],
    working: tuple[Line, ...],
    worst: Worst | None = None,
    of_leg: bool = True,
    decides: bool = True,
    refer: str = "",
) -> Check:
    """Set demand against capacity.

    Args:
        check_id: Id of the contract; its first word is the part, or a part of the rafter.
        demand: What is asked. [unit]
        capacity: What can be given; None where nothing says, 0 where the part may not be
            used. [unit]
        unit: SI.
        why: What it asks and what would help, in plain words.
        sources: Every clause and table used; the least confidence counts.
        working: Lines.
        worst: Deciding state and leg.
        of_leg: False where the state decides but no one leg does.
        decides: False for advice.
        refer: Reason why an engineer must decide; empty where none.

    Returns:
        The check. A failing one fails whatever the confidence.
    """
    word = check_id.partition("-")[0]
    utilisation = demand / capacity if capacity else None
    unsure = min(sources, key=lambda source: source.confidence)
    if capacity is not None and unsure.confidence < LEAST_CONFIDENCE and not refer:
        refer = f"{unsure.title} {unsure.place} is known to {unsure.confidence} % only"
    status: Status = "passes"
    if capacity is not None and demand > capacity:
        status = "fails"
    elif refer or capacity is None:
        status = "refer"
    if status == "refer":
        why += f" An engineer must decide: {refer}."
    return Check(
        id=check_id,
        part=_PARTS.get(word, word),
        demand=demand,
        capacity=capacity,
        unit=unit,
        utilisation=utilisation,
        status=status,
        decides=decides,
        why=why,
        sources=sources,
        combination=worst.state.id if worst else "",
        leg=worst.hanging if worst and of_leg else None,
        working=working,
    )
