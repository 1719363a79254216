"""Room for every eye on the centre ring."""

from __future__ import annotations

import math

__all__ = ["eye_chord", "eye_width"]


def eye_chord(radius: float, n_legs: int) -> float:
    """Straight distance between neighbouring eye crowns on the ring.

    Args:
        radius: Centre to eye crown. [m]
        n_legs: Number of legs, >= 3. [-]

    Returns:
        2 r sin(pi/n). [m]

    Source: geometry of a regular polygon

    >>> round(eye_chord(6.0, 6), 9)
    6.0
    """
    return 2.0 * radius * math.sin(math.pi / n_legs)


def eye_width(overall: float, inside: float, rope: float) -> float:
    """Widest part of an eye, rope over thimble.

    Args:
        overall: Overall width of the thimble. [m]
        inside: Inside width of the thimble. [m]
        rope: Diameter of the rope round it. [m]

    Returns:
        The thimble's own width, or the rope on both sides of its bore where that is more. [m]

    Source: common practice, no source

    >>> eye_width(1.5, 0.88, 0.25)
    1.5
    """
    return max(overall, inside + 2.0 * rope)
