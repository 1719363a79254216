"""What raising the tie costs: pull, bending of the rafter, and the head-room it buys."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.core.errors import RafterstayError
from rafterstay.job import Height

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.sizing.nouns import Carried

__all__ = ["HeightRow", "at_height", "headroom", "heights_of", "raised"]

_STEPS: Final = 12
_LAST: Final = 8  # two thirds: from there up it is a collar tie
_SAME: Final = 1e-6


@dataclass(frozen=True)
class HeightRow:
    """One height of the tie, parts held.

    Attributes:
        share: Hc/Hr. [-]
        height: Tie bolts above the feet. [m]
        stated: The job's own height.
        third: The top of the lower third, where rafter ties may stand by the code's tables.
        pull: Largest leg pull; NaN where there is no answer. [N]
        rafter: Fullest deciding check of the rafter; NaN where there is none. [-]
        headroom: Clear height under the tie above the plate. [m]
        verdict: Of the whole check; empty where there is no answer.
        weakest: Its fullest check, or why there is no answer.
        duty: Which tie of the code this one is.
    """

    share: float
    height: float
    stated: bool
    third: bool
    pull: float
    rafter: float
    headroom: float
    verdict: str
    weakest: str
    duty: str


def heights_of(job: Job) -> tuple[float, ...]:
    """Heights to try: twelfths of the rise up to two thirds, and the stated one. [-] (n,)"""
    own = job.tie_height / job.roof.rise
    shares = [step / _STEPS for step in range(_LAST + 1)]
    if all(abs(own - share) > _SAME for share in shares):
        shares.append(own)
    return tuple(sorted(shares))


def raised(job: Job, share: float) -> Job:
    """The job with its tie at another height.

    Args:
        job: As stated.
        share: Hc/Hr. [-]

    Returns:
        The job to check.
    """
    return replace(job, tie=replace(job.tie, height=Height(share, is_fraction=True)))


def at_height(job: Job, share: float, found: Carried | RafterstayError) -> HeightRow:
    """What was found at one height.

    Args:
        job: As stated.
        share: Hc/Hr. [-]
        found: What it was carried to, or why there is no answer.

    Returns:
        The row.
    """
    empty = HeightRow(
        share=share,
        height=share * job.roof.rise,
        stated=abs(share * job.roof.rise - job.tie_height) < _SAME,
        third=abs(share - 1.0 / 3.0) < _SAME,
        pull=math.nan,
        rafter=math.nan,
        headroom=math.nan,
        verdict="",
        weakest="",
        duty="",
    )
    if isinstance(found, RafterstayError):
        return replace(empty, weakest=found.findings[0].code)
    checks = found.checks
    used = [
        check.utilisation
        for check in checks.checks
        if check.part == "rafter" and check.decides and check.utilisation is not None
    ]
    return replace(
        empty,
        pull=float(found.forces.leg_pull.max()),
        rafter=max(used, default=math.nan),
        headroom=headroom(found),
        verdict=checks.verdict,
        weakest=checks.weakest,
        duty=checks.duty,
    )


def headroom(found: Carried) -> float:
    """Clear height above the plate in the middle of the room.

    Args:
        found: A job carried to its checks.

    Returns:
        To the ring at its deepest sag, to straight ties as drawn, or under a band to the hub. [m]
    """
    tie, forces = found.tie, found.forces
    if tie.layout == "band":
        return found.frame.rise
    sags = forces.ring_sag[np.isfinite(forces.ring_sag)]
    sag = float(sags.max()) if tie.layout == "ring" and sags.size else 0.0
    return tie.height - max(0.0, sag)
