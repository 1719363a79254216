"""What sizing answers: the parts, what drives each, and what stays open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Protocol

if TYPE_CHECKING:
    from rafterstay.checks import Checks
    from rafterstay.job import Job
    from rafterstay.loads import Cases
    from rafterstay.roof import Frame
    from rafterstay.statics import Forces
    from rafterstay.survey import AsBuilt
    from rafterstay.tie import Tie

__all__ = ["Band", "Carried", "Down", "Sizes", "Unmet"]


class Carried(Protocol):
    """A job carried from what was stated to its checks."""

    @property
    def job(self) -> Job: ...
    @property
    def frame(self) -> Frame: ...
    @property
    def tie(self) -> Tie: ...
    @property
    def cases(self) -> Cases: ...
    @property
    def forces(self) -> Forces: ...
    @property
    def checks(self) -> Checks: ...
    @property
    def built(self) -> AsBuilt | None: ...


@dataclass(frozen=True)
class Down:
    """One part, one size down, all others as chosen.

    Attributes:
        part: For example ``ring_rope``.
        name: The size that was tried; None where the chosen one is the smallest there is.
        check: What does not pass then, or its error code; where there is no smaller size, the
            check of the part that is used most.
        refers: It does not fail, but an engineer must decide.
    """

    part: str
    name: str | None
    check: str
    refers: bool


@dataclass(frozen=True)
class Unmet:
    """A check that the sizes found do not meet, at its best.

    Attributes:
        check: Its id.
        utilisation: The least that was seen. [-]
        parts: Sizes it was seen with, of the parts it depends on.
        alone: No size on the ladders meets it; else other checks rule out what might.
    """

    check: str
    utilisation: float
    parts: Mapping[str, str]
    alone: bool = False


@dataclass(frozen=True)
class Sizes:
    """The smallest parts that pass together.

    Attributes:
        job: The job with them.
        sized: Parts that were free to change.
        found: What it was carried to, whole check included.
        downs: What one size down does, part by part.
        unmet: Checks that give less than is asked whatever the sizes.
    """

    job: Job
    sized: tuple[str, ...]
    found: Carried
    downs: tuple[Down, ...]
    unmet: tuple[Unmet, ...]


@dataclass(frozen=True)
class Band:
    """Between which pulls the legs may be set, and what draws the line on either side.

    Attributes:
        status: ``found``, or ``none`` where the two cross.
        low: Least mean pull in the setting state; None where none is enough. [N]
        high: Most; None where any is too much. [N]
        low_because: Id of the check that asks for so much, or why there is no least.
        high_because: Id of the check that allows no more, or ``hub-prop``.
        low_why: In words.
        high_why: In words.
        told: What a reader must know beside it.
    """

    status: Literal["found", "none"]
    low: float | None
    high: float | None
    low_because: str
    high_because: str
    low_why: str
    high_why: str
    told: tuple[str, ...] = ()
