"""Weights and even or half loads on the plan of a roof."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from rafterstay.loads.laid import Lines, Plan
from rafterstay.loads.nouns import whole_degrees
from rafterstay.loads.pieces import Pieces, Region
from rafterstay.roof.frame import Floats

__all__ = ["around", "dead_lines", "directions", "even", "halves", "heading"]


def directions(n: int) -> tuple[float, ...]:
    """Directions of one-sided load: towards every leg and every middle of a side.

    Args:
        n: Number of hips.

    Returns:
        Clockwise from leg 1. [deg]

    >>> directions(3)
    (0.0, 60.0, 120.0, 180.0, 240.0, 300.0)
    """
    return tuple(180.0 * k / n for k in range(2 * n))


def around(plan: Plan) -> tuple[float, ...]:
    """Directions of one-sided load on a roof, as far as they are asked for.

    Args:
        plan: The roof in pieces.

    Returns:
        Clockwise from leg 1. [deg]
    """
    every = directions(plan.frame.n)
    if plan.only is None:
        return every
    return tuple(towards for towards in every if whole_degrees(towards) in plan.only)


def heading(direction_deg: float) -> Floats:
    """Unit plan vector of a direction.

    Args:
        direction_deg: Clockwise from north. [deg]

    Returns:
        East, north. [-] (2,)

    >>> heading(90.0).round(12).tolist()
    [1.0, 0.0]
    """
    return np.array([sin(radians(direction_deg)), cos(radians(direction_deg))])


def dead_lines(plan: Plan, pressure: float) -> Lines:
    """Load of a weight per area of sloping roof plane.

    Args:
        plan: The roof in pieces.
        pressure: Per area of the roof plane. [Pa]

    Returns:
        The lines. The hub's own area is taken as level.

    Source: docs/theory/loads.md eq. 2; the slope is the plane's, not the hip's
    """
    sloping = pressure * np.sqrt(1 + plan.slope**2)

    def region(pieces: Pieces) -> Region:
        return pieces.whole() * (pressure if pieces is plan.hub else sloping)

    return plan.lay(region)


def even(plan: Plan, pressure: Floats | float, *, square: bool = False) -> Lines:
    """Load of a pressure that is the same all over.

    Args:
        plan: The roof in pieces.
        pressure: Downward on plan. [Pa] () or (n, 2)
        square: It stands square to each face, see `Plan.lay`.

    Returns:
        The lines.
    """
    return plan.lay(lambda pieces: pieces.whole() * pressure, square=square)


def halves(
    plan: Plan,
    direction_deg: float,
    full: Floats | float,
    other: Floats | float,
    *,
    square: bool = False,
) -> Lines:
    """Load of one pressure on one half of the roof and another on the rest.

    The halves meet on the line through the hub's centre square to the direction.

    Args:
        plan: The roof in pieces.
        direction_deg: Towards the full half, clockwise from north. [deg]
        full: Pressure there. [Pa] () or (n, 2)
        other: Pressure on the other half. [Pa] () or (n, 2)
        square: It stands square to each face, see `Plan.lay`.

    Returns:
        The lines.
    """
    towards = heading(direction_deg)

    def region(pieces: Pieces) -> Region:
        here = pieces.beyond(towards, 0.0)
        return here * full + (pieces.whole() - here) * other

    return plan.lay(region, square=square)
