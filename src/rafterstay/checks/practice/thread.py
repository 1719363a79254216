"""How far a turnbuckle can still shorten its leg, and how much thread holds."""

from __future__ import annotations

__all__ = ["engagement", "shorten_left"]


def shorten_left(length: float, closed: float) -> float:
    """How much shorter the turnbuckle can be made.

    Args:
        length: Pin to pin as it stands. [m]
        closed: Pin to pin screwed right in. [m]

    Returns:
        Length left. [m]

    Source: geometry

    >>> shorten_left(15.5, 13.0)
    2.5
    """
    return length - closed


def engagement(thread: float, opened: float, length: float) -> float:
    """Length of thread inside the body at each end.

    Args:
        thread: Nominal thread diameter; one is engaged at the full-open stop. [m]
        opened: Pin to pin at the full-open stop. [m]
        length: Pin to pin as it stands. [m]

    Returns:
        Engaged length at each end; under one diameter it must not be loaded. [m]

    Source: common practice, no source

    >>> engagement(0.5, 19.0, 17.5)
    1.25
    """
    return thread + (opened - length) / 2.0
