"""How far a bolt must stand from the edges and ends of the wood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Distance", "edge_distance", "end_distance", "geometry_factor", "spacing_in_row"]

Loading = Literal["toward end", "away from end", "across"]
Edge = Literal["loaded", "unloaded", "along"]


@dataclass(frozen=True)
class Distance:
    """Least allowed, and the distance from which no reduction is due. [m]"""

    least: float
    full: float


def end_distance(loading: Loading, diameter: float) -> Distance:
    """End distance of a bolt in softwood.

    Args:
        loading: ``toward end`` the bolt bears towards the end (tension along the grain);
            ``away from end`` it bears away from it (compression); ``across`` the grain.
        diameter: Of the bolt. [m]

    Returns:
        Least and full end distance. [m]

    Source: NDS 2018 Table 12.5.1A (from memory, 97 %)

    >>> end_distance("away from end", 0.5)
    Distance(least=1.0, full=2.0)
    """
    if loading == "toward end":
        return Distance(3.5 * diameter, 7.0 * diameter)
    return Distance(2.0 * diameter, 4.0 * diameter)


def spacing_in_row(diameter: float) -> Distance:
    """Spacing of bolts in a row along the grain.

    Args:
        diameter: Of the bolt. [m]

    Returns:
        Least and full spacing. [m]

    Source: NDS 2018 Table 12.5.1B (from memory, 97 %)

    >>> spacing_in_row(0.5)
    Distance(least=1.5, full=2.0)
    """
    return Distance(3.0 * diameter, 4.0 * diameter)


def edge_distance(
    edge: Edge, diameter: float, length_ratio: float = 0.0, *, row_spacing: float = 0.0
) -> float:
    """Least edge distance of a bolt; there is no reduced form of it.

    Args:
        edge: ``loaded`` the edge a load across the grain bears towards; ``unloaded`` the
            other; ``along`` either edge under load along the grain.
        diameter: Of the bolt. [m]
        length_ratio: Bolt length in the member over its diameter. [-]
        row_spacing: Between rows of bolts, for ``along`` and ratios above 6. [m]

    Returns:
        Edge distance. [m]

    Source: NDS 2018 Table 12.5.1C (from memory, 97 %)

    >>> edge_distance("loaded", 0.5)
    2.0
    """
    if edge == "loaded":
        return 4.0 * diameter
    if edge == "along" and length_ratio > 6.0:
        return max(1.5 * diameter, row_spacing / 2.0)
    return 1.5 * diameter


def geometry_factor(available: float, distance: Distance) -> float | None:
    """C_delta for one end distance.

    Args:
        available: Distance there is. [m]
        distance: Least and full distance asked for.

    Returns:
        Factor on the bolt's value, None below the least distance. [-]

    Source: NDS 2018 12.5.1.2(a)

    >>> geometry_factor(1.5, Distance(1.0, 2.0))
    0.75
    """
    if available < distance.least:
        return None
    return min(1.0, available / distance.full)
