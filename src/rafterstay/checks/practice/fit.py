"""Does a part go through, round or into the other."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Comparison", "match", "passes_through"]


@dataclass(frozen=True)
class Comparison:
    """One part set against the room it has; fits at a ratio of 1 or less.

    Attributes:
        what: In words.
        part: Size of the part. [m]
        room: Room for it. [m]
        ratio: How full the room is. [-]
        matches: True where the two sizes must be alike, not one inside the other.
    """

    what: str
    part: float
    room: float
    ratio: float
    matches: bool = False


def passes_through(what: str, part: float, room: float) -> Comparison:
    """Set a part against the opening it must pass.

    Args:
        what: In words.
        part: [m]
        room: > 0. [m]

    Returns:
        The comparison; a part exactly as large as its room fits.

    Source: common practice, no source

    >>> passes_through("bolt in thimble", 0.5, 1.0).ratio
    0.5
    """
    return Comparison(what, part, room, part / room)


def match(what: str, part: float, made_for: float) -> Comparison:
    """Set a part's size against the size another is made for.

    Args:
        what: In words.
        part: > 0. [m]
        made_for: > 0. [m]

    Returns:
        The comparison; any difference, larger or smaller, is above 1.

    Source: common practice, no source

    >>> match("rope in sleeve", 0.25, 0.3125).ratio
    1.25
    """
    ratio = max(part / made_for, made_for / part)
    # A size read in inches and one worked in metres may differ in the last bit.
    return Comparison(what, part, made_for, 1.0 if ratio < 1.0 + 1e-9 else ratio, matches=True)
