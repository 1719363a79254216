"""What a rope carries: by its grade, and bent over a pin."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

from rafterstay.core.sources import Source
from rafterstay.core.tables import TableRow, table
from rafterstay.rope.arguments import require, require_above_zero, require_finite
from rafterstay.rope.stretch import TABLES

__all__ = ["bending_efficiency", "bending_source", "strength_from_grade"]


def strength_from_grade(factor: float, diameter: float, grade: float) -> float:
    """Minimum breaking force of a rope from its construction and wire grade.

    Args:
        factor: Minimum breaking force factor K of the construction, > 0. [-]
        diameter: Nominal diameter d, > 0. [m]
        grade: Rope grade R0, > 0. [Pa]

    Returns:
        F = K d^2 R0. [N]

    Raises:
        InputError: IN-801, IN-802.

    Source: EN 12385-4 clause 6; API Specification 9A

    >>> round(strength_from_grade(0.332, 0.010, 1770e6) / 1000, 2)
    58.76
    """
    require_above_zero(factor=factor, diameter=diameter, grade=grade)
    return factor * diameter**2 * grade


def bending_efficiency(ratio: float) -> float:
    """Share of its straight strength that a rope keeps when it is bent over a pin.

    Args:
        ratio: Diameter of the pin or thimble over the rope's, D/d, >= 1. [-]

    Returns:
        Efficiency, 0.50 at D/d 1 to 0.95 at 40. [-]

    Raises:
        InputError: IN-801 not finite, IN-805 a bend sharper than the rope itself.

    Limits: straight lines between the printed points, at any angle of turn. Above D/d 40 the
        last printed value is kept, which is on the safe side; below 1 nothing is printed.

    Source: tables/bending.csv

    >>> bending_efficiency(40.0)
    0.95
    >>> round(bending_efficiency(2.8), 3)
    0.69
    """
    require_finite(ratio=ratio)
    require(
        ratio >= 1.0,
        "IN-805",
        "ratio",
        ratio,
        bound="1 or more",
        remedy="Bend the rope over a pin at least as thick as itself.",
    )
    points = _bends()
    for near, far in pairwise(points):
        if ratio <= far.values["ratio"]:
            part = (ratio - near.values["ratio"]) / (far.values["ratio"] - near.values["ratio"])
            return near.values["efficiency"] * (1.0 - part) + far.values["efficiency"] * part
    return points[-1].values["efficiency"]


def bending_source(ratio: float) -> Source:
    """Say where the efficiency at a ratio is printed: the weaker known of its two points.

    Args:
        ratio: D/d as for `bending_efficiency`, >= 1. [-]

    Raises:
        InputError: IN-801, IN-805.

    >>> bending_source(3.0).obtained
    'memory'
    """
    bending_efficiency(ratio)
    rows = _bends()
    below = [row for row in rows if row.values["ratio"] <= ratio][-1]
    above = next((row for row in rows if row.values["ratio"] >= ratio), below)
    return min(below.source, above.source, key=lambda source: source.confidence)


@cache
def _bends() -> tuple[TableRow, ...]:
    """The printed points, sharpest bend first."""
    return tuple(sorted(table(TABLES, "bending"), key=lambda row: row.values["ratio"]))
