"""Snow: is the one-sided pattern the standard's, or a simplified one."""

from __future__ import annotations

from rafterstay.checks.judging import judged
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source

__all__ = ["unbalanced_snow"]

SOURCE = Source("ASCE/SEI 7", "2016", "7.6, unbalanced roof snow loads", "memory", 90)


def unbalanced_snow(simplified: bool) -> Check | None:
    """Refer a job whose one-sided snow is half the roof full and the other half 0.3 of it."""
    if not simplified:
        return None
    return judged(
        "unbalanced-snow",
        demand=0.0,
        capacity=None,
        unit="1",
        why=(
            "The roof's snow was stated alone, so one-sided snow is taken as half the roof full "
            "and the other half 0.3 of it; drifts may lie deeper."
        ),
        sources=(SOURCE,),
        working=(),
        refer="the simplified pattern is not the standard's for this roof",
    )
