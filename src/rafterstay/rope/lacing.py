"""How much pull goes round a pin, and what a purchase through eyes gains."""

from __future__ import annotations

import math

from rafterstay.rope.arguments import require_count, require_not_negative

__all__ = ["capstan_ratio", "purchase"]


def capstan_ratio(friction: float, turn: float) -> float:
    """Pull on the hauled side over the held side, of a rope slipping round a pin.

    Args:
        friction: Coefficient of friction, >= 0. [-]
        turn: Angle of contact, >= 0. [rad]

    Returns:
        e^(mu phi). [-]

    Raises:
        InputError: IN-801, IN-803.

    Limits: rope without stiffness, sliding all along its contact.

    Source: Euler and Eytelwein's belt formula

    >>> round(capstan_ratio(0.2, math.pi), 3)
    1.874
    """
    require_not_negative(friction=friction, turn=turn)
    return math.exp(friction * turn)


def purchase(parts: int, friction: float, *, turn: float = math.pi) -> float:
    """Gain of a purchase whose rope slides through eyes.

    Args:
        parts: Parts of rope that pull the load, >= 1. [-]
        friction: Coefficient of friction at each eye, >= 0. [-]
        turn: Angle of contact at each eye, >= 0. [rad]

    Returns:
        Pull on the load over pull of the hand: 1 + q + q^2 ..., q = e^(-mu phi). [-]

    Raises:
        InputError: IN-801, IN-803, IN-804.

    Limits: the hand's own part pulls the load; every other part lost friction at one more eye.

    Source: the belt formula at each eye

    >>> round(purchase(3, 0.2), 2)
    1.82
    """
    require_count("parts", parts, 1)
    kept = 1.0 / capstan_ratio(friction, turn)
    return sum(kept**eye for eye in range(parts))
