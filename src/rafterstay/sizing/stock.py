"""Round bar and plate as steel yards keep them: what a ring of steel may be made of."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from rafterstay.checks.parts.ring_welded import LEAST_RATIO
from rafterstay.core.quantities import parse, show
from rafterstay.core.tables import table

if TYPE_CHECKING:
    from rafterstay.core.quantities import System
    from rafterstay.job import Job

__all__ = ["STEEL", "Steel", "is_held_by_ring", "part_of", "stated_size", "stock"]

TABLES: Final = Path(__file__).parent / "tables"

Steel = Literal["ring_bar", "plate_thickness"]
STEEL: Final[tuple[Steel, ...]] = ("ring_bar", "plate_thickness")
"""Parts that are cut from stock; each is the key of ``[tie]`` that states its size."""

_FILES: Final = {
    "ring_bar": {"us": "round_inch", "si": "round_metric"},
    "plate_thickness": {"us": "plate_inch", "si": "plate_metric"},
}
_SAME: Final = 1e-9  # [m]; a size written in another unit


def part_of(job: Job) -> Steel | None:
    """Which of a ring's sizes is cut from stock; None where its ring is not of steel.

    Args:
        job: Layout and kind of ring.
    """
    if job.tie.layout != "ring":
        return None
    kinds: dict[str, Steel] = {"welded": "ring_bar", "plate": "plate_thickness"}
    return kinds.get(job.tie.ring)


def stock(job: Job, part: Steel) -> tuple[str, ...]:
    """Sizes as yards keep them, smallest first, in inches or in millimetres.

    The job's own size says which: one that is kept in inches stays with inches, whatever the
    job shows. A size that is kept in neither goes by what the job shows.

    Args:
        job: Its ring, and the size it states.
        part: Which size.

    Returns:
        Names that the job may state: ``5/8 in``, ``16 mm``. Of bars only those that make a thin
        ring, or the thinnest there is where none does.

    Source: common practice, no source; docs/theory/welded-ring.md section 6
    """
    names = _series(part, _system(job, part))
    if part == "plate_thickness":
        return tuple(names)
    thin = [name for name, size in names.items() if _is_thin(job.tie.ring_radius, size)]
    return tuple(thin or list(names)[:1])


def is_held_by_ring(job: Job, name: str) -> bool:
    """Whether yards keep a thicker bar, but the ring is too small to be bent of it.

    Args:
        job: With a welded ring.
        name: A bar.
    """
    thickest = stock(job, "ring_bar")[-1]
    return name == thickest != list(_series("ring_bar", _system(job, "ring_bar")))[-1]


def stated_size(job: Job, part: Steel) -> str:
    """The size a job states, by its name where yards keep it, else as a length.

    Args:
        job: States it.
        part: Which size.
    """
    size = _length(job, part)
    for name, kept in _series(part, _system(job, part)).items():
        if abs(size - kept) < _SAME:
            return name
    return show(size, "length", job.show)


def _length(job: Job, part: Steel) -> float:
    """[m]"""
    stated = job.tie.ring_bar if part == "ring_bar" else job.tie.plate_thickness
    return stated or 0.0


def _system(job: Job, part: Steel) -> System:
    """Inches or millimetres."""
    size = _length(job, part)
    systems: tuple[System, ...] = ("us", "si")
    for system in systems:
        if any(abs(size - kept) < _SAME for kept in _series(part, system).values()):
            return system
    return job.show


@cache
def _series(part: Steel, system: System) -> dict[str, float]:
    """Sizes by name, smallest first. [m]"""
    found = {}
    for row in table(TABLES, _FILES[part][system]):
        ((column, printed),) = row.printed.items()
        name = f"{printed} {row.units[column]}"
        # As a job that states this name has it, to the last bit.
        found[name] = parse(name, "length")
    return dict(sorted(found.items(), key=lambda pair: pair[1]))


def _is_thin(ring_radius: float, bar: float) -> bool:
    return (ring_radius + bar / 2.0) / bar >= LEAST_RATIO
