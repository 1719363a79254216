"""Which simple slip of tape or pencil explains a wrong reading?"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from rafterstay.core import quantities
from rafterstay.core.errors import InputError
from rafterstay.survey.nouns import Reading

__all__ = ["Slip", "likely_slip"]

_INCH: Final = 0.0254  # [m]
_REACH: Final = 2.58  # [-] sigmas within which a slip must explain the residual: 99 in 100
_LONGEST_TRIED: Final = 24  # characters of a value whose digits are tried out

_OFFSETS: Final = (
    (1.0, "an inch"),
    (12.0, "a foot"),
    (0.5, "a half-inch mark misread"),
    (2.0, "two inches"),
    (120.0, "ten feet"),
)


@dataclass(frozen=True)
class Slip:
    """A slip and what the reading would be without it.

    Attributes:
        words: For example ``an inch too long``.
        value: [m]
    """

    words: str
    value: float


def likely_slip(
    reading: Reading, predicted: float, sigma: float, elsewhere: Iterable[tuple[str, float]] = ()
) -> Slip | None:
    """The slip that explains a reading best, if any does.

    Args:
        reading: As written.
        predicted: What all other readings say it should be. [m]
        sigma: Standard deviation of the difference of the two. [m]
        elsewhere: Lengths the reading would have to other points: (words, length [m]).

    Returns:
        The slip, or None where none lies within 2.58 sigma. Slips of the hand that holds the
        tape come before slips of the pencil: the first kind that fits is given.

    Source: common practice, no source; ways of going wrong with a tape in feet and inches

    >>> r = Reading("1", "2", "level", 2.8257, text="9'-3 1/4 in")
    >>> likely_slip(r, 2.8003, 0.0025).words
    'an inch too long'
    """
    reach = _REACH * sigma
    found: Slip | None = None
    for kind in (_offsets, _digits, _turned):
        slips = [slip for slip in kind(reading) if abs(slip.value - predicted) <= reach]
        best = min(slips, key=lambda slip: abs(slip.value - predicted), default=None)
        found = found or best
    if found is not None:
        return found
    near = [(abs(length - reading.value), words) for words, length in elsewhere]
    closest = min(near, default=None)
    if closest is not None and closest[0] <= reach:
        return Slip(f"taken to the wrong point: it fits {closest[1]}", predicted)
    return None


def _offsets(reading: Reading) -> Iterator[Slip]:
    for inches, words in _OFFSETS:
        half = inches == 0.5
        for sign in (1.0, -1.0):
            side = "too long" if sign > 0 else "too short"
            if reading.kind == "height":
                side = "too high" if sign > 0 else "too low"
            value = reading.value - sign * inches * _INCH
            yield Slip(words if half else f"{words} {side}", value)


def _digits(reading: Reading) -> Iterator[Slip]:
    """Swapped and dropped digits, in whatever unit the value was written."""
    text = reading.text
    if not text or len(text) > _LONGEST_TRIED:
        return
    for pair in re.finditer(r"(?=(\d)(\d))", text):
        k = pair.start()
        if pair[1] != pair[2]:
            yield from _said(text[:k] + pair[2] + pair[1] + text[k + 2 :], "swapped digits")
    for k in range(len(text) + 1):
        beside = text[max(k - 1, 0) : k + 1]
        if any(mark.isdigit() for mark in beside):
            for digit in "0123456789":
                yield from _said(text[:k] + digit + text[k:], "dropped digit")
    feet_swapped = re.fullmatch(r"(\d+)(\D*['t]\D*)(\d+)(\D.*)", text)
    if feet_swapped:
        feet, between, inches, rest = feet_swapped.groups()
        yield from _said(inches + between + feet + rest, "feet and inches swapped")


def _turned(reading: Reading) -> Iterator[Slip]:
    """Read from the wrong end, or with the sign turned."""
    if reading.kind == "height":
        yield Slip("up and down exchanged", -reading.value)
        return
    feet, inches = divmod(reading.value / _INCH, 12.0)
    if 0.0 < inches < 12.0:
        turned = (12.0 * feet + 12.0 - inches) * _INCH
        yield Slip("inches counted from the other end of the foot", turned)


def _said(text: str, words: str) -> Iterator[Slip]:
    try:
        value = quantities.parse(text, "length")
    except InputError:
        return
    yield Slip(f"{words}: {text.strip()}", value)
