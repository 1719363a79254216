"""Checks that no code asks: met they pass, not met an engineer decides."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from rafterstay.checks.judging import judged
from rafterstay.checks.nouns import Check

if TYPE_CHECKING:
    from rafterstay.core.sources import Source
    from rafterstay.core.working import Line

__all__ = ["NO_CODE", "told"]

NO_CODE: Final = "no code asks this of a roof tie; it is practice where people stand under one"


def told(
    check_id: str,
    ratio: float,
    *,
    why: str,
    sources: tuple[Source, ...],
    working: tuple[Line, ...],
    refer: str,
    combination: str = "",
    leg: int | None = None,
    decides: bool = True,
) -> Check:
    """A check that refers where it is not met: no code stands behind it.

    Args:
        check_id: Id of the contract.
        ratio: Demand over what can be given. [-]
        why: In plain words.
        sources: Every clause and table used.
        working: Lines.
        refer: Reason why an engineer must decide; empty where it is met.
        combination: Id of the deciding state.
        leg: Deciding leg.
        decides: False for advice.

    Returns:
        The check: passes or refers, never fails.
    """
    check = judged(
        check_id,
        demand=ratio,
        capacity=None if ratio > 1.0 else 1.0,
        unit="1",
        why=why,
        sources=sources,
        working=working,
        refer=refer,
        decides=decides,
    )
    return replace(check, capacity=1.0, utilisation=ratio, combination=combination, leg=leg)
