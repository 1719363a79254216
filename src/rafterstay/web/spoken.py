"""A length said in words, so that a slip of the thumb is heard."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from rafterstay.core.quantities import System

__all__ = ["in_words"]

_INCH: Final = 0.0254  # [m], exact
_UNDER_TWENTY: Final = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS: Final = [
    "zero",
    "ten",
    "twenty",
    "thirty",
    "forty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
]
_PARTS: Final = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth"}


def in_words(length: float, system: System) -> str:
    """A length as it is read out on site.

    Args:
        length: [m]
        system: ``us``: feet, inches and sixteenths; ``si``: metres and millimetres.

    Returns:
        Words; "about" first where the length is no whole step.

    >>> in_words(138.5 * 0.0254, "us"), in_words(0.0254 * 3 / 16, "us")
    ('eleven feet six and a half inches', 'three sixteenths of an inch')
    >>> in_words(2.035, "si")
    'two metres thirty-five millimetres'
    """
    step = _INCH / 16 if system == "us" else 0.001
    steps = round(abs(length) / step)
    about = "" if abs(abs(length) / step - steps) < 1e-6 * max(steps, 1) else "about "
    minus = "minus " if length < 0.0 and steps else ""
    return about + minus + (_inches(steps) if system == "us" else _millimetres(steps))


def _inches(steps: int) -> str:
    feet, rest = divmod(steps, 192)
    whole, part = divmod(rest, 16)
    said = [f"{_count(feet)} {'foot' if feet == 1 else 'feet'}"] if feet else []
    piece = _part(Fraction(part, 16))
    if whole and piece:
        said.append(f"{_count(whole)} and {'a ' if piece == 'half' else ''}{piece} inches")
    elif whole or not (feet or part):
        said.append(f"{_count(whole)} {'inch' if whole == 1 else 'inches'}")
    elif piece:
        said.append("half an inch" if piece == "half" else f"{piece} of an inch")
    return " ".join(said)


def _part(part: Fraction) -> str:
    if not part:
        return ""
    name = _PARTS[part.denominator]
    if name == "half":
        return name
    return f"{_count(part.numerator)} {name}{'s' if part.numerator > 1 else ''}"


def _millimetres(steps: int) -> str:
    metres, rest = divmod(steps, 1000)
    said = [f"{_count(metres)} {'metre' if metres == 1 else 'metres'}"] if metres else []
    if rest or not metres:
        said.append(f"{_count(rest)} {'millimetre' if rest == 1 else 'millimetres'}")
    return " ".join(said)


def _count(number: int) -> str:
    """A whole number in words; in figures from a thousand on.

    >>> _count(0), _count(21), _count(340), _count(12345)
    ('zero', 'twenty-one', 'three hundred forty', '12345')
    """
    if number >= 1000:
        return str(number)
    hundreds, rest = divmod(number, 100)
    said = [f"{_UNDER_TWENTY[hundreds]} hundred"] if hundreds else []
    if rest >= 20:
        tens, ones = divmod(rest, 10)
        said.append(_TENS[tens] + (f"-{_UNDER_TWENTY[ones]}" if ones else ""))
    elif rest or not hundreds:
        said.append(_UNDER_TWENTY[rest])
    return " ".join(said)
