"""How the pull of the legs goes round a centre ring."""

from __future__ import annotations

import math

from rafterstay.rope.arguments import (
    require,
    require_count,
    require_finite,
    require_not_negative,
)

__all__ = ["leg_pull_at_corner", "ring_pull"]


def ring_pull(leg_pull: float, n_legs: int) -> float:
    """Pull in each side of a centre ring between equal legs.

    Args:
        leg_pull: Pull in every leg, >= 0. [N]
        n_legs: Number of legs, >= 3. [-]

    Returns:
        Pull in a side of the ring. [N]

    Raises:
        InputError: IN-801, IN-803, IN-804.

    Limits: a regular ring whose sides only pull; a stiff ring bends as well.

    Source: statics of a regular polygon; docs/theory/thrust.md

    >>> round(ring_pull(1000.0, 8), 1)
    1306.6
    """
    require_not_negative(leg_pull=leg_pull)
    require_count("n_legs", n_legs, 3)
    return leg_pull / (2.0 * math.sin(math.pi / n_legs))


def leg_pull_at_corner(ring_pull: float, corner: float) -> float:
    """Pull of the leg that holds a corner of a rope ring whose eyes can slide.

    Args:
        ring_pull: The one pull all round the rope ring, >= 0. [N]
        corner: Inside angle between the two sides at the eye, 0 to pi. [rad]

    Returns:
        Pull in the leg, along the bisector. [N]

    Raises:
        InputError: IN-801, IN-803, IN-806 not an inside angle.

    Limits: without eye friction; with it the two sides differ by 8 to 17 % at 45 degrees.

    Source: statics of one corner

    >>> round(leg_pull_at_corner(1306.563, math.radians(135.0)), 1)
    1000.0
    """
    require_not_negative(ring_pull=ring_pull)
    require_finite(corner=corner)
    require(
        0.0 <= corner <= math.pi,
        "IN-806",
        "corner",
        corner,
        bound="an inside angle, 0 to pi",
        remedy="Measure the angle inside the ring.",
    )
    return 2.0 * ring_pull * math.cos(corner / 2.0)
