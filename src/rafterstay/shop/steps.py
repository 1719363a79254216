"""How a length is put on a tape: whole steps, to the safe side, and sums that close."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from typing import Final, Literal

__all__ = ["STEP", "above", "below", "closing", "nearest"]

System = Literal["us", "si"]

STEP: Final[dict[System, float]] = {"us": 0.0254 / 16, "si": 0.001}
"""The finest mark a builder sets: 1/16 in, or 1 mm. [m]"""

# A length that came through a conversion is a few units in the last place off its mark.
_SLIP: Final = 1e-6  # [-] of a step


def above(length: float, step: float) -> int:
    """Whole steps that reach at least the length: rope once cut short cannot be mended.

    Args:
        length: [m]
        step: > 0. [m]

    Returns:
        Count of steps.

    >>> above(0.1001, 0.001), above(0.1, 0.001)
    (101, 100)
    """
    return math.ceil(length / step - _SLIP)


def below(length: float, step: float) -> int:
    """Whole steps that do not pass the length.

    Args:
        length: [m]
        step: > 0. [m]

    Returns:
        Count of steps.

    >>> below(0.1009, 0.001), below(0.1, 0.001)
    (100, 100)
    """
    return math.floor(length / step + _SLIP)


def nearest(length: float, step: float) -> int:
    """Whole steps nearest to the length, halves up.

    Args:
        length: [m]
        step: > 0. [m]

    Returns:
        Count of steps.

    >>> nearest(0.1004, 0.001), nearest(0.1006, 0.001)
    (100, 101)
    """
    return math.floor(length / step + 0.5 + _SLIP)


def closing(
    lengths: Sequence[float], step: float, *, down: Collection[int] = ()
) -> tuple[tuple[int, ...], int]:
    """Round the terms of a sum so that the rounded terms add up to the rounded sum.

    The terms with the largest remainders go up; each stays within one step of its length.

    Args:
        lengths: Terms, of either sign. [m]
        step: > 0. [m]
        down: Terms that go up last, because more of them is the unsafe side.

    Returns:
        Steps of each term, and of their sum.

    Source: method of largest remainders

    >>> closing((1.4, 1.4, 1.4), 1.0)
    ((2, 1, 1), 4)
    >>> closing((1.4, 1.4, 1.4), 1.0, down=(0,))
    ((1, 2, 1), 4)
    """
    total = nearest(math.fsum(lengths), step)
    whole = [math.floor(length / step + _SLIP) for length in lengths]
    remainders = [length / step - down for length, down in zip(lengths, whole, strict=True)]
    order = sorted(
        range(len(whole)),
        key=lambda k: (remainders[k] <= _SLIP, k in down, -remainders[k]),
    )
    for k in order[: max(total - sum(whole), 0)]:
        whole[k] += 1
    return tuple(whole), total
