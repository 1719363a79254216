"""How a rope hangs under its own weight, and whether that matters."""

from __future__ import annotations

import math

from rafterstay.rope.arguments import require_above_zero, require_not_negative

__all__ = ["CROSSOVER", "lambda_squared", "sag", "sagged_length"]

# Where the first symmetric mode in the plane meets the first antisymmetric one.
CROSSOVER = 4.0 * math.pi**2


def sag(weight: float, length: float, pull: float) -> float:
    """Sag of a level rope at midspan.

    Args:
        weight: Weight per length, >= 0. [N/m]
        length: Span, > 0. [m]
        pull: Level pull, > 0. [N]

    Returns:
        s = w L^2/(8 H). [m]

    Raises:
        InputError: IN-801, IN-802, IN-803.

    Limits: the parabola; within 0.4 % of the catenary up to a sag of L/20.

    Source: Irvine, Cable Structures, 1981

    >>> sag(0.5, 200.0, 500.0)
    5.0
    """
    require_not_negative(weight=weight)
    require_above_zero(length=length, pull=pull)
    return weight * length**2 / (8.0 * pull)


def sagged_length(length: float, sag: float) -> float:
    """Length of a rope along its sag.

    Args:
        length: Span, > 0. [m]
        sag: Sag at midspan, >= 0. [m]

    Returns:
        S = L + 8 s^2/(3 L). [m]

    Raises:
        InputError: IN-801, IN-802, IN-803.

    Limits: first term of the series for a parabola.

    Source: Irvine, Cable Structures, 1981

    >>> sagged_length(300.0, 15.0)
    302.0
    """
    require_above_zero(length=length)
    require_not_negative(sag=sag)
    return length + 8.0 * sag**2 / (3.0 * length)


def lambda_squared(weight: float, length: float, pull: float, *, stiffness: float) -> float:
    """Weigh a rope's sag against its stretch: near 0 for a taut string.

    Args:
        weight: Weight per length, >= 0. [N/m]
        length: Span, > 0. [m]
        pull: Level pull, > 0. [N]
        stiffness: EA of the rope, > 0. [N]

    Returns:
        (w L/H)^2 L/(H Le/EA) with Le = L (1 + (w L/H)^2/8). [-]

    Raises:
        InputError: IN-801, IN-802, IN-803.

    Limits: sag of at most L/8.

    Source: Irvine, Cable Structures, 1981

    >>> round(lambda_squared(1.605, 6.0, 2000.0, stiffness=1.986e6), 4)
    0.023
    """
    require_not_negative(weight=weight)
    require_above_zero(length=length, pull=pull, stiffness=stiffness)
    slope = weight * length / pull
    return slope**2 * stiffness / (pull * (1.0 + slope**2 / 8.0))
