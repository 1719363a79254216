"""How far a turnbuckle travels as its body turns."""

from __future__ import annotations

from rafterstay.rope.arguments import require_above_zero

__all__ = ["turnbuckle_travel"]


def turnbuckle_travel(threads_per_metre: float) -> float:
    """Shortening of a leg for one whole turn of its turnbuckle's body.

    Args:
        threads_per_metre: Threads along either end, one right-hand and one left-hand, > 0. [1/m]

    Returns:
        Two pitches. [m]

    Raises:
        InputError: IN-801, IN-802.

    Source: ASME B1.1 for the pitch

    >>> round(turnbuckle_travel(13 / 0.0254) / 0.0254, 4)
    0.1538
    """
    require_above_zero(threads_per_metre=threads_per_metre)
    return 2.0 / threads_per_metre
