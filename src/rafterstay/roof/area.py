"""How much plan area a hip carries, and how much of it lies on one side of a line."""

from __future__ import annotations

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = ["area_beyond", "hub_wedges", "jack_strips", "polygon_area", "wedges"]


def polygon_area(polygons: Floats) -> Floats:
    """Area of simple polygons, whichever way round their corners run.

    Args:
        polygons: Corners in order. [m] (..., n_corners, 2)

    Returns:
        Area. [m2] (...)

    Source: the surveyor's cross-product rule; plane geometry

    >>> polygon_area(np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]])).item()
    6.0
    """
    following = np.roll(polygons, -1, axis=-2)
    return np.asarray(np.abs(_cross(polygons, following).sum(axis=-1)) / 2)


def area_beyond(polygons: Floats, direction: Floats) -> Floats:
    """Area of the part of each polygon that lies on the positive side of a line through 0.

    The cut edge lies on the line, so its cross product about 0 is nil and only the kept parts
    of the polygon's own edges count.

    Args:
        polygons: Corners in order, about a point of the line. [m] (..., n_corners, 2)
        direction: Unit normal of the line, towards the kept side. [-] (2,)

    Returns:
        Area kept. [m2] (...)

    Source: the surveyor's cross-product rule; plane geometry

    >>> square = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    >>> area_beyond(square, np.array([0.0, 1.0])).item()
    2.0
    """
    following = np.roll(polygons, -1, axis=-2)
    here, there = polygons @ direction, following @ direction
    across = np.where(np.abs(there - here) > 0, there - here, 1.0)
    crossing = np.clip(-here / across, 0.0, 1.0)
    start = np.where(here < 0, np.where(there > 0, crossing, 1.0), 0.0)
    stop = np.where(there < 0, np.where(here > 0, crossing, 0.0), 1.0)
    step = following - polygons
    kept_from = polygons + step * start[..., None]
    kept_to = polygons + step * np.maximum(stop, start)[..., None]
    return np.asarray(np.abs(_cross(kept_from, kept_to).sum(axis=-1)) / 2)


def wedges(feet: Floats, heads: Floats) -> Floats:
    """Plan pieces nearer to each hip: a half-face on either side.

    Each face is halved by the line that joins the middle of its plate side and the middle of
    its hub side.

    Args:
        feet: Plan positions, clockwise. [m] (n, 2)
        heads: Plan positions, clockwise. [m] (n, 2)

    Returns:
        Corners (foot, side middle, hub side middle, head), the half before the hip and the
        half after it. [m] (n, 2, 4, 2)

    Source: each purlin carries half its load to either hip; common practice, no source
    """
    pieces = []
    for shift in (1, -1):
        side = (feet + np.roll(feet, shift, axis=0)) / 2
        inner = (heads + np.roll(heads, shift, axis=0)) / 2
        pieces.append(np.stack([feet, side, inner, heads], axis=1))
    return np.stack(pieces, axis=1)


def jack_strips(pieces: Floats) -> tuple[Floats, Floats]:
    """Cut half-faces into where jacks end on the hip and where they end on the hub.

    Jacks run square to the plate, so the line between the two does too, from the head.

    Args:
        pieces: Half-faces as of `wedges`. [m] (n, 2, 4, 2)

    Returns:
        Corners (foot, below the head, head) beside the hip, (n, 2, 3, 2); and (below the head,
        side middle, hub side middle, head), (n, 2, 4, 2). [m]

    Source: plane geometry; docs/theory/jacks.md section 3
    """
    foot, side, inner, head = (pieces[..., corner, :] for corner in range(4))
    along = side - foot
    share = ((head - foot) * along).sum(-1) / (along**2).sum(-1)
    below = foot + np.clip(share, 0.0, 1.0)[..., None] * along
    return np.stack([foot, below, head], axis=-2), np.stack([below, side, inner, head], axis=-2)


def hub_wedges(heads: Floats, centre: Floats) -> Floats:
    """Plan pieces of the hub's own area nearer to each head.

    Args:
        heads: Plan positions, clockwise. [m] (n, 2)
        centre: Plan position of the hub's centre. [m] (2,)

    Returns:
        Corners (head, hub side middle, centre), before and after. [m] (n, 2, 3, 2)

    Source: plane geometry
    """
    middle = np.broadcast_to(centre, heads.shape)
    pieces = [
        np.stack([heads, (heads + np.roll(heads, shift, axis=0)) / 2, middle], axis=1)
        for shift in (1, -1)
    ]
    return np.stack(pieces, axis=1)


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
