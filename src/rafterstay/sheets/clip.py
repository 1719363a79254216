"""The part of a line inside a window."""

from __future__ import annotations

from rafterstay.sheets.scene import Point

__all__ = ["clip"]


def clip(
    start: Point, end: Point, window: tuple[float, float, float, float]
) -> tuple[Point, Point] | None:
    """Cut a line to a window.

    Args:
        start: Of the line. [mm]
        end: Of the line. [mm]
        window: Left, low, right and high edge. [mm]

    Returns:
        The part inside; None where there is none. [mm]

    Source: Liang and Barsky, A new concept and method for line clipping, ACM Transactions on
    Graphics 3(1), 1984: parameters of entry and exit, side by side

    >>> clip((-1.0, 1.0), (4.0, 1.0), (0.0, 0.0, 3.0, 2.0))
    ((0.0, 1.0), (3.0, 1.0))
    """
    left, low, right, high = window
    dx, dy = end[0] - start[0], end[1] - start[1]
    first, last = 0.0, 1.0
    for step, gap in (
        (-dx, start[0] - left),
        (dx, right - start[0]),
        (-dy, start[1] - low),
        (dy, high - start[1]),
    ):
        if step == 0.0:
            if gap < 0.0:
                return None
        elif step < 0.0:
            first = max(first, gap / step)
        else:
            last = min(last, gap / step)
    if first >= last:
        return None
    return (
        (start[0] + first * dx, start[1] + first * dy),
        (start[0] + last * dx, start[1] + last * dy),
    )
