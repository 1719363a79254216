"""Which part of an outline lies on one side, and the lines that hatch it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rafterstay.sheets.scene import Point

__all__ = ["half", "hatch"]


def half(outline: Sequence[Point], towards: Point, offset: float = 0.0) -> tuple[Point, ...]:
    """The part of a convex outline that lies towards a direction.

    Args:
        outline: Corners in order. [mm]
        towards: Unit vector; the cutting line is square to it. [-]
        offset: Distance of the cutting line from the origin along ``towards``. [mm]

    Returns:
        Corners in order; empty where nothing lies there.

    Source: cutting a polygon by a half-plane, edge by edge; common practice, no source

    >>> half([(-1, -1), (1, -1), (1, 1), (-1, 1)], (0, 1))
    ((1.0, 0.0), (1, 1), (-1, 1), (-1.0, 0.0))
    """
    kept: list[Point] = []
    for start, end in zip(outline, (*outline[1:], outline[0]), strict=True):
        before = start[0] * towards[0] + start[1] * towards[1] - offset
        after = end[0] * towards[0] + end[1] * towards[1] - offset
        if before >= 0.0:
            kept.append(start)
        if before * after < 0.0:
            part = before / (before - after)
            kept.append(
                (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))
            )
    return tuple(kept)


def hatch(
    outline: Sequence[Point], spacing: float, angle_deg: float
) -> tuple[tuple[Point, Point], ...]:
    """Parallel lines that fill a convex outline.

    Args:
        outline: Corners in order. [mm]
        spacing: Between lines, above 0. [mm]
        angle_deg: Of the lines, counter-clockwise from x. [deg]

    Returns:
        Start and end of every line. [mm]

    >>> len(hatch([(0, 0), (10, 0), (10, 10), (0, 10)], 3.0, 0.0))
    3
    """
    along = (math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg)))
    across = (-along[1], along[0])
    levels = [x * across[0] + y * across[1] for x, y in outline]
    if not levels:
        return ()
    lines = []
    for step in range(math.ceil(min(levels) / spacing), math.floor(max(levels) / spacing) + 1):
        cut = _crossings(outline, across, step * spacing)
        if len(cut) >= 2:
            ends = sorted(cut, key=lambda point: point[0] * along[0] + point[1] * along[1])
            if math.dist(ends[0], ends[-1]) > 1e-6:
                lines.append((ends[0], ends[-1]))
    return tuple(lines)


def _crossings(outline: Sequence[Point], across: Point, level: float) -> list[Point]:
    """Where the line at a level meets the outline's edges."""
    found: list[Point] = []
    for start, end in zip(outline, (*outline[1:], outline[0]), strict=True):
        before = start[0] * across[0] + start[1] * across[1] - level
        after = end[0] * across[0] + end[1] * across[1] - level
        if (before < 0.0) != (after < 0.0):
            part = before / (before - after)
            found.append(
                (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))
            )
    return found
