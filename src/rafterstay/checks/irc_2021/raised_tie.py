"""What a tie is for, by its height, and what raising it costs."""

from __future__ import annotations

import math
from typing import Literal

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.sources import Source

__all__ = ["SOURCE", "duty", "prescriptive", "span_factor", "tie_factor"]

SOURCE = Source("IRC", "2021", "R802.4.6, R802.5.2", "read", 97)


def duty(height_ratio: float) -> str:
    """Which tie of the code this one stands for.

    Args:
        height_ratio: Hc/Hr, height of the tie over height of the hub. [-]

    Returns:
        ``rafter tie`` in the lower third, ``collar tie`` in the upper, else that neither
        rule covers it.

    Source: IRC 2021 R802.5.2 (lower third), R802.4.6 (upper third)

    >>> duty(0.2)
    'rafter tie'
    """
    edge = 1e-9
    if height_ratio <= 1.0 / 3.0 + edge:
        return "rafter tie"
    if height_ratio >= 2.0 / 3.0 - edge:
        return "collar tie"
    return "neither: engineer"


def prescriptive(sides: int) -> tuple[Literal["within", "outside"], str]:
    """Whether the prescriptive tables cover the roof, and why.

    Args:
        sides: Sides of the plan; 0 for a gable's parallel rafters.

    Returns:
        ``within`` or ``outside``, and the reason in a sentence.

    Source: IRC 2021 R802.4, R802.5 (tables for common rafters)

    >>> prescriptive(8)[0]
    'outside'
    """
    if sides >= 3:
        return "outside", (
            "The prescriptive tables are for common rafters in pairs across a ridge; hips that "
            f"meet at the hub of a roof of {sides} sides are outside them."
        )
    return "within", "Common rafters in pairs across a ridge are what the tables are for."


def tie_factor(height_ratio: float) -> float:
    """How much a tie's pull grows when it is raised above the plate.

    Args:
        height_ratio: Hc/Hr, 0 to under 1. [-]

    Returns:
        1 / (1 - Hc/Hr). [-]

    Raises:
        InputError: IN-822. The ratio lies outside 0 to 1.

    Source: IRC 2021 Table R802.5.2, note on raised ties; docs/theory/thrust.md eq. 2

    >>> tie_factor(0.5)
    2.0
    """
    if not 0.0 <= height_ratio < 1.0:
        raise InputError(Finding("IN-822", "Hc/Hr", f"{height_ratio:g}", "from 0 to under 1"))
    return 1.0 / (1.0 - height_ratio)


def span_factor(height_ratio: float) -> float:
    """How much shorter a rafter may span when its tie is raised.

    Args:
        height_ratio: Hc/Hr, above 0 to under 1. [-]

    Returns:
        Square root of the bending moments' ratio, at most 1. [-]

    Raises:
        InputError: IN-822. The ratio lies outside 0 to 1.

    Source: IRC 2021 Tables R802.4.1, note on raised ties; docs/theory/thrust.md eq. 5

    >>> round(span_factor(0.25), 4)
    0.7559
    """
    if not 0.0 < height_ratio < 1.0:
        raise InputError(Finding("IN-822", "Hc/Hr", f"{height_ratio:g}", "from 0 to under 1"))
    bending = height_ratio - height_ratio**2 / 2.0
    return min(1.0, math.sqrt(0.125 / bending))
