"""What a tie is for, by its height, and what raising it costs."""

from __future__ import annotations

import math
from typing import Literal

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse
from rafterstay.core.sources import Source

__all__ = ["SOURCE", "Duty", "duty", "prescriptive", "span_factor", "tie_factor"]

Duty = Literal["rafter tie", "collar tie", "both", "neither"]

SOURCE = Source("IRC", "2021", "R802.4.6, R802.5.2", "read", 97)


def duty(height_ratio: float, *, heads_held: bool = False) -> tuple[Duty, str]:
    """Which tie of the code this one stands for.

    Args:
        height_ratio: Hc/Hr, height of the tie over height of the hub. [-]
        heads_held: The heads are held together at the hub against wind, which is what a collar
            tie, or a strap over the ridge in its place, is for.

    Returns:
        ``rafter tie`` in the lower third, ``both`` where the hub also does the collar tie's
        duty, ``collar tie`` in the upper third, else ``neither``; and the reason.

    Source: IRC 2021 R802.5.2 (lower third), R802.4.6 (upper third, or strap)

    >>> duty(0.2)[0], duty(0.5)[0]
    ('rafter tie', 'neither')
    """
    edge = 1e-9
    share = f"{height_ratio:.2f} of the rise"
    if height_ratio <= 1.0 / 3.0 + edge and heads_held:
        return "both", (
            f"At {share} the tie stands in the lower third, and the hub's own joints hold the "
            "heads together as collar ties would."
        )
    if height_ratio <= 1.0 / 3.0 + edge:
        return "rafter tie", (
            f"At {share} it stands in the lower third and holds the thrust; collar ties, which "
            "hold the heads together in wind, are another duty."
        )
    if height_ratio >= 2.0 / 3.0 - edge:
        return "collar tie", (
            f"At {share} it stands in the upper third, where the code has collar ties; it may "
            "not take the place of rafter ties without an engineer."
        )
    return "neither", (
        f"At {share} it stands between the lower third of rafter ties and the upper third of "
        "collar ties; an engineer must decide."
    )


def prescriptive(
    *,
    sides: int,
    height_ratio: float,
    slope: float,
    span: float,
    snow: float,
    dead: float,
    ties_apart: float = 0.0,
) -> tuple[Literal["within", "outside"], str]:
    """Whether the prescriptive tables cover the roof, and why.

    Args:
        sides: Sides of the plan; 0 for a gable's parallel rafters.
        height_ratio: Hc/Hr. [-]
        slope: Least rise over run of a face. [-]
        span: Plate to plate. [m]
        snow: On the roof, on plan. [Pa]
        dead: Per area of roof. [Pa]
        ties_apart: Spacing of the ties along a gable. [m]

    Returns:
        ``within`` or ``outside``, and every reason in one sentence.

    Source: IRC 2021 R802.4, R802.5 and their tables (common rafters; spans to 36 ft; snow to
        70 psf; dead load to 20 psf; slopes from 3:12; ties in the lower third, 24 in apart)

    >>> prescriptive(sides=8, height_ratio=0.2, slope=0.5, span=7.0, snow=1e3, dead=500.0)[0]
    'outside'
    """
    edge = 1.0 + 1e-9
    found = []
    if sides >= 3:
        found.append(
            f"a roof of {sides} sides has hips that meet at a hub, not pairs of common rafters"
        )
    if height_ratio > edge / 3.0:
        found.append("the tie stands above the lower third")
    if slope * edge < 0.25:
        found.append("a slope under 3:12 needs beams at ridge and hips")
    if span > parse("36 ft", "length") * edge:
        found.append("the span is over 36 ft")
    if snow > parse("70 psf", "pressure") * edge:
        found.append("the snow is over 70 psf")
    if dead > parse("20 psf", "pressure") * edge:
        found.append("the dead load is over 20 psf")
    if ties_apart > parse("24 in", "length") * edge:
        found.append("the ties stand more than 24 in apart")
    if not found:
        return (
            "within",
            "Shape, slope, span, loads and height of the tie are what the tables cover.",
        )
    said = "; ".join(found)
    return "outside", f"{said[0].upper()}{said[1:]}."


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
