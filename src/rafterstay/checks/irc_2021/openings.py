"""How large a notch or hole a sawn rafter may have."""

from __future__ import annotations

from dataclasses import dataclass

from rafterstay.core.quantities import parse

__all__ = ["Openings", "allowed_openings"]


@dataclass(frozen=True)
class Openings:
    """What a rafter of one depth may lose. Lengths in m.

    Attributes:
        notch_depth: Outside the middle third of the length; inside it none is allowed.
        notch_length: Along the rafter.
        end_notch_depth: At an end.
        hole: Diameter of a bored hole.
        hole_edge: Least wood between a hole and an edge, a notch or another hole.
    """

    notch_depth: float
    notch_length: float
    end_notch_depth: float
    hole: float
    hole_edge: float


def allowed_openings(depth: float) -> Openings:
    """Largest notches and holes of a sawn rafter.

    Args:
        depth: Dressed depth, > 0. [m]

    Returns:
        A sixth, a third, a quarter, a third of the depth; 2 in.

    Source: IRC 2021 R802.7.1

    >>> round(allowed_openings(9.25 * 0.0254).notch_depth / 0.0254, 2)
    1.54
    """
    return Openings(depth / 6.0, depth / 3.0, depth / 4.0, depth / 3.0, parse("2 in", "length"))
