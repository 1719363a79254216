"""A gable as its typical tied pair of rafters: two feet opposite one another, one ridge."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from rafterstay.roof.frame import Floats, Frame

if TYPE_CHECKING:
    from rafterstay.job.shape import Roof

__all__ = ["OUTWARD", "as_gable", "tied_pair", "tied_pairs"]

_MOST_PAIRS = 64

# The ridge runs east and west; foot 1 is the north one, at azimuth 000.
OUTWARD: Floats = np.array([[0.0, 1.0], [0.0, -1.0]])


def tied_pair(roof: Roof) -> tuple[Floats, Floats]:
    """Bearing centres of the typical tied pair as drawn.

    Args:
        roof: Span and rise.

    Returns:
        Feet and heads; the heads meet in one point of the ridge. [m] (2, 3) each

    Source: geometry; docs/theory/gable.md section 1
    """
    feet = np.column_stack([roof.span / 2 * OUTWARD, np.zeros(2)])
    return feet, np.array([[0.0, 0.0, roof.rise], [0.0, 0.0, roof.rise]])


def tied_pairs(roof: Roof) -> int:
    """How many pairs of a gable's rafters are tied, one at either end.

    Args:
        roof: Its length, spacing and ``tie_every``.

    Returns:
        Count, 2 to 64. Feet number clockwise: foot k faces foot 2 count + 1 - k.
    """
    apart = roof.spacing * roof.tie_every
    return max(2, min(_MOST_PAIRS, 1 + round(roof.length / apart)))


def as_gable(frame: Frame, roof: Roof) -> Frame:
    """Give the frame of a pair its own strip of roof and its ridge.

    Args:
        frame: Two hips that meet in one point.
        roof: Span, spacing and ridge.

    Returns:
        The same beams. The pair carries half a spacing to either side of itself; rafters that
        stand untied beside it hand it their thrust as a load (`loads.gather`).

    Source: docs/theory/gable.md section 1
    """
    feet, heads = frame.nodes[frame.feet, :2], frame.nodes[frame.heads, :2]
    strips = np.zeros((2, 2, 4, 2))
    for side, towards in enumerate((-1.0, 1.0)):
        edge = np.array([towards * roof.spacing / 2, 0.0])
        strips[:, side] = np.stack([feet, feet + edge, heads + edge, heads], axis=1)
    return replace(
        frame,
        tributary=np.full(2, roof.span / 2 * roof.spacing),
        wedges=strips,
        hub_wedges=np.zeros((2, 2, 3, 2)),
        shape="gable",
        ridge_beam=roof.ridge == "beam",
    )
