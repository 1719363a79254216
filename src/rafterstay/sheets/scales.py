"""Which drawing scales a sheet may have, and the largest that fits."""

from __future__ import annotations

import math
from typing import Final

__all__ = ["SCALES", "scale_for"]

# Scales that a ruler or a pocket calculator can follow, feet and inches or metric.
SCALES: Final = (
    *(1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 30, 32, 40, 48, 50, 60, 64, 80, 96, 100),
    *(120, 128, 150, 192, 200, 240, 300, 400),
)


def scale_for(sizes: tuple[tuple[float, float], ...]) -> float:
    """Largest scale at which every size fits its room.

    Args:
        sizes: Size of the real thing and room on paper, in pairs, rooms above 0. [mm]

    Returns:
        1 to this. [-]

    >>> scale_for(((3000.0, 120.0), (900.0, 100.0)))
    30
    """
    needed = max(size / room for size, room in sizes)
    return next((scale for scale in SCALES if scale >= needed), math.ceil(needed))
