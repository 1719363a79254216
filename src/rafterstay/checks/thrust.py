"""Pulls of ties and rings by hand: what the solver must agree with on regular roofs."""

from __future__ import annotations

import math

__all__ = [
    "cone_ring",
    "cone_thrust",
    "gable_thrust",
    "hip_slice",
    "inclined_pull",
    "leg_pull",
    "raised_tie_moment",
    "ring_pull_continuous",
]


def hip_slice(load: float, radius: float, n: int) -> float:
    """Load of one hip's slice of a regular roof under load uniform on plan.

    Args:
        load: Per area on plan. [Pa]
        radius: Centre to corner. [m]
        n: Number of sides, >= 3. [-]

    Returns:
        W1 = p R^2 sin(2 pi/n) / 2. [N]

    Source: geometry of a regular polygon

    >>> round(hip_slice(40.0, 12.0, 8), 1)
    2036.5
    """
    return load * radius**2 * math.sin(2.0 * math.pi / n) / 2.0


def leg_pull(slice_load: float, radius: float, *, rise: float, height: float) -> float:
    """Pull of a level tie leg under one hip's slice, feet free to slide outwards.

    Args:
        slice_load: W1, the load of the slice, largest at the foot and none at the hub. [N]
        radius: Foot to hub on plan. [m]
        rise: Hub above the feet, Hr. [m]
        height: Tie above the feet, Hc < Hr. [m]

    Returns:
        W1 R / (3 (Hr - Hc)). [N]

    Limits: point hub, no wall or plate help, first order.

    Source: statics; docs/theory/thrust.md eq. 1

    >>> round(leg_pull(2036.4675, 12.0, rise=6.0, height=2.0), 1)
    2036.5
    """
    return slice_load * radius / (3.0 * (rise - height))


def ring_pull_continuous(leg_pull: float, n_legs: int) -> float:
    """Pull of a round ring under the same legs smeared along it; always under the polygon's.

    Args:
        leg_pull: Pull in every leg. [N]
        n_legs: Number of legs. [-]

    Returns:
        T n / (2 pi). [N]

    Source: statics; docs/theory/thrust.md eq. 3

    >>> round(ring_pull_continuous(1.0, 12), 3)
    1.91
    """
    return leg_pull * n_legs / (2.0 * math.pi)


def gable_thrust(load: float, span: float, rise: float) -> float:
    """Pull of a rafter tie at the plate of a gable.

    Args:
        load: Per length on plan. [N/m]
        span: Wall to wall. [m]
        rise: Plate to ridge. [m]

    Returns:
        w L^2 / (8 h). [N]

    Source: statics of three hinges; docs/theory/thrust.md eq. 4

    >>> gable_thrust(80.0, 24.0, 4.0)
    1440.0
    """
    return load * span**2 / (8.0 * rise)


def raised_tie_moment(load: float, half_span: float, height_ratio: float) -> float:
    """Bending of a gable rafter at the place of a raised tie.

    Args:
        load: Per length on plan. [N/m]
        half_span: Wall to ridge on plan. [m]
        height_ratio: Hc/Hr = k. [-]

    Returns:
        w L1^2 (k - k^2/2). [N m]

    Source: statics; docs/theory/thrust.md eq. 5

    >>> raised_tie_moment(80.0, 12.0, 0.5)
    4320.0
    """
    return load * half_span**2 * (height_ratio - height_ratio**2 / 2.0)


def cone_thrust(load: float, radius: float, rise: float) -> float:
    """Outward thrust along the eave of a cone under load uniform on plan.

    Args:
        load: Per area on plan. [Pa]
        radius: [m]
        rise: [m]

    Returns:
        p R^2 / (6 f). [N/m]

    Source: statics of triangular slices; docs/theory/thrust.md eq. 6

    >>> cone_thrust(40.0, 12.0, 6.0)
    160.0
    """
    return load * radius**2 / (6.0 * rise)


def cone_ring(load: float, radius: float, rise: float) -> float:
    """Pull of a band round the eave of a cone.

    Args:
        load: Per area on plan. [Pa]
        radius: [m]
        rise: [m]

    Returns:
        Thrust times radius. [N]

    Source: statics; docs/theory/thrust.md eq. 6

    >>> cone_ring(40.0, 12.0, 6.0)
    1920.0
    """
    return cone_thrust(load, radius, rise) * radius


def inclined_pull(thrust: float, angle: float) -> float:
    """Pull of a leg that is not level.

    Args:
        thrust: Horizontal part. [N]
        angle: Above or below level. [rad]

    Returns:
        H / cos(angle). [N]

    Source: statics

    >>> round(inclined_pull(1.0, math.radians(15.0)), 4)
    1.0353
    """
    return thrust / math.cos(angle)
