"""Turns in words: tighten or slacken, and how far the stripe goes round."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

__all__ = ["STRIPE", "fraction", "hand", "way"]

STRIPE: Final = (
    "Tape a stripe along the body, facing you: that is 12 on a clock face. Tighten is the way in "
    "which the two rod ends come closer inside the body. Look along the leg from the end from "
    "which tightening carries the stripe on, as an hour hand goes: 12 on to 3 is a quarter turn. "
    "Slackening carries it back: 12 back to 9. "
    "Slacken by 1/8 turn more than told and come back by it, so that every turn ends tightening "
    "and no play is left. Keep the eyes from turning with it; lock the nuts at the end."
)

_FINEST: Final = 24


def way(turns: float) -> str:
    """``tighten``, ``slacken`` or ``leave``.

    Args:
        turns: Above 0 tightens. [-]

    >>> way(0.25), way(-1.5), way(0.0)
    ('tighten', 'slacken', 'leave')
    """
    if round(turns * _FINEST) == 0:
        return "leave"
    return "tighten" if turns > 0 else "slacken"


def fraction(turns: float) -> str:
    """Turns without their sign, as a hand counts them.

    Args:
        turns: [-]

    >>> fraction(-2.25), fraction(0.041666), fraction(1.0), fraction(0.0)
    ('2 1/4', '1/24', '1', '0')
    """
    part = Fraction(round(abs(turns) * _FINEST), _FINEST)
    whole, rest = divmod(part, 1)
    words = [str(whole)] if whole or not rest else []
    return " ".join([*words, *([str(rest)] if rest else [])])


def hand(turns: float) -> str:
    """Where the stripe goes beyond whole turns, seen from where tightening carries it on.

    Args:
        turns: Above 0 tightens. [-]

    >>> hand(0.25), hand(-1.25), hand(2.0)
    ('12 on to 3', 'once, then 12 back to 9', 'twice')
    >>> hand(1 / 24), hand(-1 / 24)
    ('12 on to half past 12', '12 back to half past 11')
    """
    halves = round(abs(turns) * _FINEST)
    whole, rest = divmod(halves, _FINEST)
    said = [("", "once", "twice")[whole] if whole < 3 else f"{whole} times"] if whole else []
    if rest:
        reached = rest if turns > 0 else _FINEST - rest
        hour, carried = reached // 2 or 12, "on" if turns > 0 else "back"
        half = "half past " if reached % 2 else ""
        said.append(f"{'then ' if whole else ''}12 {carried} to {half}{hour}")
    return ", ".join(said) or "not at all"
