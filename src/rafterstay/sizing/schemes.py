"""Ring, band or ties straight across: the same roof tied three ways, side by side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from rafterstay.core.errors import RafterstayError
from rafterstay.core.quantities import parse
from rafterstay.job import Height
from rafterstay.sizing.heights import headroom

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.sizing.nouns import Carried
    from rafterstay.tie import Tie

__all__ = ["LAYOUTS", "Layout", "Scheme", "laid_out", "scheme"]

Layout = Literal["ring", "band", "cross"]
LAYOUTS: Final[tuple[Layout, ...]] = ("ring", "band", "cross")
_JOINTS: Final[dict[Layout, str]] = {
    "ring": "a bolt through the plies of every hip, one eye on it; a ring in mid-air",
    "band": "two eyes at every corner of the plate, pulling in two directions",
    "cross": "a bolt through the plies of every hip; ties pass one another in the middle, each "
    "at its own height",
}


@dataclass(frozen=True)
class Scheme:
    """One way to tie the roof, with the parts the job states.

    Attributes:
        layout: ``ring``, ``band`` or ``cross``.
        cannot: Why it cannot be built or has no answer; empty where it can.
        joints: What it needs at its joints, in words.
        pull: Largest leg pull. [N]
        steel: Ropes, turnbuckles and a stiff ring. [kg]
        eyes: Number of eyes to press.
        turnbuckles: Number of turnbuckles.
        headroom: Clear height above the plate in the middle of the room. [m]
        weakest: Fullest deciding check.
        utilisation: Of that check; None where it states none. [-]
        verdict: Of the whole check.
        cost: Of ropes at net length, and of parts; None where a price is missing. [-]
    """

    layout: Layout
    cannot: str
    joints: str
    pull: float | None = None
    steel: float | None = None
    eyes: int | None = None
    turnbuckles: int | None = None
    headroom: float | None = None
    weakest: str = ""
    utilisation: float | None = None
    verdict: str = ""
    cost: float | None = None


def laid_out(job: Job, layout: Layout) -> Job | str:
    """The job tied another way, or why that cannot be built.

    Args:
        job: As stated.
        layout: How to tie it.

    Returns:
        The job to check: a band stands at the plate, other ties at the stated height.
    """
    if layout == "cross" and job.roof.shape == "polygon" and job.roof.sides % 2:
        return (
            f"A roof of {job.roof.sides} sides has no hip opposite a hip: ties straight across "
            "need an even number of sides."
        )
    if job.roof.shape == "gable" and layout != "cross":
        return (
            "A gable's rafters stand in pairs: a tie runs straight across from one to the other; "
            "there are no hips to reach with a ring or a band."
        )
    made_of = job.parts.ring_rope or job.tie.ring_bar or job.tie.plate_thickness
    if layout == "ring" and None in (job.tie.ring_radius, made_of):
        return "The job states no ring: give tie.ring_radius and parts.ring_rope to compare it."
    height = Height(0.0, is_fraction=True) if layout == "band" else job.tie.height
    return replace(job, tie=replace(job.tie, layout=layout, height=height))


def scheme(layout: Layout, found: Carried | RafterstayError | str) -> Scheme:
    """What was found of one way to tie the roof.

    Args:
        layout: The way.
        found: What the job was carried to, or why there is no answer.

    Returns:
        Its figures.
    """
    empty = Scheme(layout, "", _JOINTS[layout])
    if isinstance(found, str):
        return replace(empty, cannot=found)
    if isinstance(found, RafterstayError):
        return replace(empty, cannot=str(found.findings[0]))
    tie, checks = found.tie, found.checks
    weakest = next(check for check in checks.checks if check.id == checks.weakest)
    rope, once = _rope_lengths(tie)
    ring = tie.ring_ropes * once
    eyes = tie.n * (4 if tie.has_turnbuckles else 2)
    turnbuckles = tie.n if tie.has_turnbuckles else 0
    steel = rope * tie.rope.mass + ring * tie.ring_rope.mass + tie.ring_mass
    return replace(
        empty,
        pull=float(found.forces.leg_pull.max()),
        steel=steel + turnbuckles * tie.turnbuckle.mass,
        eyes=eyes,
        turnbuckles=turnbuckles,
        headroom=headroom(found),
        weakest=weakest.id,
        utilisation=weakest.utilisation,
        verdict=checks.verdict,
        cost=_cost(
            found.job, rope=rope, ring=ring, eyes=eyes, turnbuckles=turnbuckles, bolts=found.frame.n
        ),
    )


def _rope_lengths(tie: Tie) -> tuple[float, float]:
    """Rope of the legs and of the ring, as drawn, without the turns of their eyes. [m]"""
    legs = float(tie.leg_lengths.sum())
    if tie.has_turnbuckles:
        legs -= tie.n * tie.turnbuckle_set
    if tie.layout != "ring" or not tie.ring.startswith("rope"):
        return legs, 0.0
    sides = np.roll(tie.ring_points, -1, axis=0) - tie.ring_points
    return legs, float(np.linalg.norm(sides, axis=1).sum())


def _cost(
    job: Job, *, rope: float, ring: float, eyes: int, turnbuckles: int, bolts: int
) -> float | None:
    prices = job.prices
    by = prices.rope_by or ("ft" if job.show == "us" else "m")
    unit = parse(f"1 {by}", "length")
    wanted = [
        (rope / unit, prices.rope),
        (ring / unit, prices.ring_rope),
        (turnbuckles, prices.turnbuckle),
        (bolts, prices.bolt),
        (eyes, prices.thimble),
        (eyes, prices.sleeve),
    ]
    if any(number and price is None for number, price in wanted):
        return None
    return float(sum(number * (price or 0.0) for number, price in wanted))
