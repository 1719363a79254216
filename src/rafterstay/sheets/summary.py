"""What a reader looks for first in a design: pulls leg by leg, and the state worth drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Protocol

import numpy as np

from rafterstay.checks.nouns import Check, Checks
from rafterstay.core.quantities import Dimension, System, show
from rafterstay.loads.nouns import Cases
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.nouns import Forces
from rafterstay.tie.nouns import Tie

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.survey import AsBuilt

__all__ = [
    "Designed",
    "LegPull",
    "LegShare",
    "asks_and_gives",
    "drawn_state",
    "first_largest",
    "largest_pull",
    "least_pull",
    "leg_pulls",
    "ring_pull",
    "share",
    "weakest_leg_part",
]

# Checks whose demand grows in step with the pull of one leg.
_OF_A_LEG: Final = frozenset(
    {"rope-strength", "eye-pin", "turnbuckle-load", "shackle-load", "bolt-yield", "bolt-steel"}
)
_DIMENSION: Final[dict[str, Dimension]] = {
    "N": "force",
    "m": "length",
    "Pa": "stress",
    "rad": "angle",
}
# States that mirror one another differ by rounding only: the first of them is named.
_ALIKE: Final = 1e-6


class Designed(Protocol):
    """What the drawings and pages read of a design."""

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
class LegPull:
    """Largest and least second-order pull of one leg, and the states they stand in. [N]"""

    leg: int
    azimuth_deg: float
    most: float
    most_in: str
    least: float
    least_in: str


@dataclass(frozen=True)
class LegShare:
    """The weakest part of a leg, and the pull that would use it up. [N]"""

    check: Check
    full_pull: float


def leg_pulls(design: Designed) -> tuple[LegPull, ...]:
    """Largest and least pull of every leg over all states.

    Args:
        design: A finished design.

    Returns:
        One entry a leg, leg 1 first; its azimuth is that of the hip it starts at.
    """
    pulls, states = design.forces.leg_pull, design.forces.states
    found = []
    for leg, (x, y) in enumerate(_plan(design.frame)[: design.tie.n]):
        most, least = first_largest(pulls[:, leg]), first_largest(-pulls[:, leg])
        azimuth = round(math.degrees(math.atan2(x, y)), 6) % 360.0
        found.append(
            LegPull(
                leg=leg + 1,
                azimuth_deg=azimuth,
                most=float(pulls[most, leg]),
                most_in=states[most].id,
                least=float(pulls[least, leg]),
                least_in=states[least].id,
            )
        )
    return tuple(found)


def ring_pull(design: Designed, row: int | None = None) -> float | None:
    """Largest pull in the ring's rope, in one state or in all.

    Args:
        design: A finished design.
        row: Of the state; all if left out.

    Returns:
        Pull; None where no ring of rope is. [N]
    """
    pulls = np.asarray(design.forces.ring_pull)
    pulls = pulls if row is None else pulls[row]
    return float(pulls.max()) if pulls.size else None


def largest_pull(pulls: tuple[LegPull, ...]) -> LegPull:
    """The leg that pulls hardest; the lowest number of those alike."""
    return pulls[first_largest(np.array([pull.most for pull in pulls]))]


def least_pull(pulls: tuple[LegPull, ...]) -> LegPull:
    """The leg that pulls least; the lowest number of those alike."""
    return pulls[first_largest(-np.array([pull.least for pull in pulls]))]


def drawn_state(design: Designed) -> int:
    """Row of the state a plan shows: one-sided if there is any, with the largest leg pull.

    Args:
        design: A finished design.

    Returns:
        Index into ``design.forces.states``.
    """
    most = np.asarray(design.forces.leg_pull).max(axis=1)
    sided = np.array([state.case.direction_deg is not None for state in design.forces.states])
    return first_largest(np.where(sided, most, -np.inf) if sided.any() else most)


def weakest_leg_part(design: Designed) -> LegShare | None:
    """The part of a leg that is used most, and the leg pull at which it would be used up.

    Args:
        design: A finished design.

    Returns:
        None where no check of a leg states a utilisation.

    Limits: exact for the direction of pull and the load duration of the deciding state.
    """
    used = [
        check
        for check in design.checks.checks
        if check.id in _OF_A_LEG and check.decides and check.leg is not None and check.utilisation
    ]
    if not used:
        return None
    worst = max(used, key=lambda check: check.utilisation or 0.0)
    rows = [i for i, state in enumerate(design.forces.states) if state.id == worst.combination]
    if not rows or worst.leg is None or not worst.utilisation:
        return None
    pull = float(np.asarray(design.forces.leg_pull)[rows, worst.leg - 1].max())
    return LegShare(worst, pull / worst.utilisation) if pull > 0.0 else None


def share(utilisation: float) -> str:
    """A utilisation in two decimals, more where two would hide which side of 1 it lies.

    Args:
        utilisation: demand / capacity. [-]

    Returns:
        Text.

    >>> share(0.7812), share(1.0004), share(0.9996), share(1.0)
    ('0.78', '1.0004', '0.9996', '1.00')
    """
    if not math.isfinite(utilisation):
        return "over"
    for decimals in (2, 3, 4, 5, 6):
        said = f"{utilisation:.{decimals}f}"
        if (float(said) > 1.0) == (utilisation > 1.0) and (float(said) < 1.0) == (
            utilisation < 1.0
        ):
            return said
    return f"{utilisation:.2f}"


def asks_and_gives(check: Check, system: System) -> tuple[str, str]:
    """Demand and capacity of a check as the reader writes them.

    Args:
        check: Any check.
        system: ``us`` or ``si``.

    Returns:
        Two texts; a dash where nothing is stated.
    """
    dimension = _DIMENSION.get(check.unit, "number")
    asked = show(check.demand, dimension, system)
    if check.capacity is None:
        return asked if check.demand else "-", "-"
    return asked, show(check.capacity, dimension, system)


def _plan(frame: Frame) -> Floats:
    """Unit vectors of the legs on plan, centre to foot. (n, 2)"""
    return np.asarray(frame.outward)[:, :2]


def first_largest(values: Floats) -> int:
    """Index of the largest value; of values alike but for rounding, the first.

    Args:
        values: Any figures. [-] (n,)

    Returns:
        Index.

    >>> first_largest(np.array([1.0, 2.0 - 1e-9, 2.0]))
    1
    """
    top = float(values.max())
    return int(np.argmax(values >= top - _ALIKE * max(abs(top), 1.0)))
