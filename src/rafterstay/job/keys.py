"""What may stand behind a key of the job file, and how it is read.

Each kind of key reads one TOML value strictly and raises ``InputError`` with a finding that
knows value, bound and remedy; the audit adds file, line, column and the key's name. The same
objects are what the table in ``docs/job-file.md`` is written from.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, ClassVar, Final, NoReturn

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import Dimension, parse, units

if TYPE_CHECKING:
    from pydantic_core import CoreSchema

    from rafterstay.catalog.shelf import Kind

__all__ = [
    "REQUIRED",
    "STRICT",
    "Choice",
    "Count",
    "Flag",
    "Height",
    "Key",
    "Name",
    "Pair",
    "Quantity",
    "Text",
    "TieHeight",
    "printable",
]


class _Required:
    """The default of a key that must be stated."""

    def __repr__(self) -> str:
        return "required"


REQUIRED: Final = _Required()
# How the validator treats a table: no key beyond the contract, no NaN or infinity.
STRICT: Final[dict[str, Any]] = {"extra": "forbid", "allow_inf_nan": False}


@dataclass(frozen=True)
class Height:
    """Height of the tie as stated: a fraction of the rise [-] or a length above the plate [m]."""

    value: float
    is_fraction: bool


def printable(value: object, longest: int = 60) -> str:
    r"""A value as it is quoted in a message: one line, no control characters, not endless.

    >>> printable("2\nft"), printable(True), printable([1, 2])
    ('2\\nft', 'true', 'a list')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and abs(value) > 10**15:
        return "a whole number of more than 15 digits"
    text = str(value)
    text = text if len(text) <= longest else text[:longest] + "..."
    return "".join(mark if mark.isprintable() else ascii(mark)[1:-1] for mark in text)


@dataclass(frozen=True, kw_only=True)
class Key:
    """One key of the contract.

    Attributes:
        means: What the key states, as a noun phrase.
        default: The value as TOML would give it; ``REQUIRED``, or None where it may be absent.
        why: Why the default is taken; printed among what was assumed.
        same_as: Key of the same table whose value is the default.
        served: False where no value of this key is served yet.
        goes_with: A key of any table by its dotted name, and the words of it that this key goes
            with: beside another word it is refused and its default is not taken.
        proviso: Which values are served, where another key decides it.
    """

    means: str
    default: object = REQUIRED
    why: str = ""
    same_as: str = ""
    served: bool = True
    goes_with: tuple[str, tuple[str, ...]] | None = None
    proviso: str = ""
    kind: ClassVar[str] = "value"

    def read(self, value: object) -> Any:
        """The value in SI.

        Raises:
            InputError: The value cannot be used; the finding says why and what to do.
        """
        if value is None and (self.default is None or self.goes_with):
            return None
        if not self.served:
            self.refuse_unserved(value, "left out")
        return self._read(value)

    def bounds(self) -> str:
        """What is allowed, for messages and the table of keys."""
        return ""

    def _read(self, value: object) -> Any:
        raise NotImplementedError

    def refuse(self, code: str, value: object, bound: str, remedy: str = "") -> NoReturn:
        """Raise the finding about this value."""
        raise InputError(
            Finding(code, value=printable(value), bound=bound, remedy=remedy or self._state())
        )

    def refuse_unserved(self, value: object, bound: str) -> NoReturn:
        """Raise that the contract knows this, but the checks do not yet."""
        remedy = "It is not served yet: no answer would take it into account."
        self.refuse("IN-008", value, bound, remedy)

    def _state(self) -> str:
        return f"State {self.means}."

    def __get_pydantic_core_schema__(self, _source: object, _handler: object) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self.read)


@dataclass(frozen=True, kw_only=True)
class Quantity(Key):
    """A figure with its unit, between two bounds written the same way."""

    dimension: Dimension
    least: str = ""
    most: str = ""
    above: bool = False  # the least bound itself is refused
    only: str = ""  # the one value served so far
    later: tuple[str, ...] = ()  # words of the contract that are not served yet
    words: tuple[str, ...] = ()  # that may stand in place of a figure

    kind: ClassVar[str] = "quantity"

    def bounds(self) -> str:
        words = "".join(f'"{word}", or ' for word in self.words)
        if not self.least:
            return f"{words}at most {self.most}" if self.most else ""
        if self.above:
            return f"{words}above {self.least} and at most {self.most}"
        return f"{words}between {self.least} and {self.most}"

    def _read(self, value: object) -> Any:
        if isinstance(value, str) and value in self.words:
            return value
        if value in self.later:
            self.refuse_unserved(value, f"a {self.dimension} with its unit")
        size = self._parse(value)
        low = parse(self.least, self.dimension) if self.least else -math.inf
        high = parse(self.most, self.dimension) if self.most else math.inf
        # A bound met in another unit differs by a rounding, which must not refuse it.
        slip = 1e-12 * max(abs(size), 1e-300)
        too_low = size <= low if self.above else size < low - slip
        if too_low or size > high + slip:
            self.refuse("IN-001", value, self.bounds())
        if self.only and size != parse(self.only, self.dimension):
            self.refuse_unserved(value, self.only)
        return size

    def _parse(self, value: object) -> float:
        if isinstance(value, (bool, dict, list)):
            self.refuse("IN-006", value, f"text with a unit, like {self._example()}")
        if isinstance(value, (int, float)):
            if isinstance(value, float) and not math.isfinite(value):
                self.refuse("IN-003", value, "a finite figure with its unit")
            if self.dimension == "number":
                self.refuse("IN-002", value, "text", f'Put it in quotes: "{value}".')
            remedy = f'Put it in quotes with its unit, like "{self._example()}".'
            self.refuse("IN-002", value, f"a {self.dimension} with its unit", remedy)
        if not isinstance(value, str):
            self.refuse("IN-006", value, f"text with a unit, like {self._example()}")
        try:
            return parse(value, self.dimension)
        except InputError as fault:
            found = fault.findings[0]
            self.refuse(found.code, value, found.bound, found.remedy)

    def _example(self) -> str:
        return str(self.most or self.only or f"1 {units(self.dimension)[0]}")


@dataclass(frozen=True, kw_only=True)
class Pair(Quantity):
    """The least and the most of a quantity, as a list of two."""

    kind: ClassVar[str] = "list of two quantities"

    def bounds(self) -> str:
        return f"two of {super().bounds()}, the least first"

    def _read(self, value: object) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            self.refuse("IN-006", value, f'a list of two, like ["{self.most}", "{self.most}"]')
        least, most = (super(Pair, self)._read(each) for each in value)
        if least > most:
            said = f"{value[0]} to {value[1]}"
            self.refuse("IN-009", said, "the least first, then the most", "Swap the two.")
        return float(least), float(most)


@dataclass(frozen=True, kw_only=True)
class Choice(Key):
    """One word of a few."""

    words: tuple[str, ...]
    later: tuple[str, ...] = ()  # words of the contract that are not served yet
    names_later: bool = False  # so is every other name

    kind: ClassVar[str] = "word"

    def bounds(self) -> str:
        return " or ".join(f'"{word}"' for word in self.words)

    def _read(self, value: object) -> str:
        if not isinstance(value, str):
            self.refuse("IN-006", value, f"in quotes, {self.bounds()}")
        if value not in self.words:
            if value in self.later or self.names_later:
                self.refuse_unserved(value, self.bounds())
            near = get_close_matches(value[:60].casefold(), self.words + self.later, n=1)
            self.refuse("IN-007", value, self.bounds(), _did_you_mean(near))
        return value


@dataclass(frozen=True, kw_only=True)
class Count(Key):
    """A whole number."""

    least: int
    most: int

    kind: ClassVar[str] = "whole number"

    def bounds(self) -> str:
        if self.least == self.most:
            return str(self.most)
        return f"between {self.least} and {self.most}"

    def _read(self, value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            self.refuse("IN-006", value, f"a whole number without quotes, {self.bounds()}")
        if not self.least <= value <= self.most:
            self.refuse("IN-001", value, self.bounds())
        return value


@dataclass(frozen=True, kw_only=True)
class Flag(Key):
    """True or false."""

    only: bool | None = None  # the one value served so far

    kind: ClassVar[str] = "true or false"

    def bounds(self) -> str:
        return "true or false" if self.only is None else str(self.only).lower()

    def _read(self, value: object) -> bool:
        if not isinstance(value, bool):
            self.refuse("IN-006", value, "true or false, without quotes")
        if self.only is not None and value is not self.only:
            self.refuse_unserved(value, self.bounds())
        return value


@dataclass(frozen=True, kw_only=True)
class Text(Key):
    """One line of the user's own words."""

    longest: int

    kind: ClassVar[str] = "text"

    def bounds(self) -> str:
        return f"one line of 1 to {self.longest} characters"

    def _read(self, value: object) -> str:
        if not isinstance(value, str):
            self.refuse("IN-006", value, f"text in quotes, {self.bounds()}")
        if not 0 < len(value.strip()) <= len(value) <= self.longest or not value.isprintable():
            self.refuse("IN-001", value, self.bounds())
        return value


@dataclass(frozen=True, kw_only=True)
class Name(Text):
    """A name of the catalogue; the audit looks it up.

    Attributes:
        shelf: Kind of catalogue row; None for timber, which goes by species, grade and depth.
        besides: Words that stand for no part at all.
    """

    shelf: Kind | None = None
    besides: tuple[str, ...] = ()
    longest: int = 80

    kind: ClassVar[str] = "catalogue name"

    def bounds(self) -> str:
        words = "".join(f'"{word}", or ' for word in self.besides)
        return f"{words}a name of `rafterstay parts {self.shelf or 'timber'}`"


@dataclass(frozen=True, kw_only=True)
class TieHeight(Key):
    """Height of the tie: a share of the rise, or a length above the plate."""

    kind: ClassVar[str] = "fraction of the rise, or length"

    def bounds(self) -> str:
        return "0 to under 1 as a fraction of the rise, or a length from 0 in to under the rise"

    def _read(self, value: object) -> Any:
        if isinstance(value, int) and abs(value) > 1:
            # A whole number may be past any float; it is past the bound first.
            self.refuse("IN-001", value, self.bounds())
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            height = Height(self._fraction(value), is_fraction=True)
        elif isinstance(value, str):
            height = self._written(value)
        else:
            self.refuse("IN-006", value, self.bounds())
        if height.value < 0.0 or (height.is_fraction and height.value >= 1.0):
            self.refuse("IN-001", value, self.bounds(), "The tie must stand below the hub.")
        return height

    def _fraction(self, value: float) -> float:
        if not math.isfinite(value):
            self.refuse("IN-003", value, "a finite fraction of the rise")
        return float(value)

    def _written(self, text: str) -> Height:
        try:
            return Height(parse(text, "number"), is_fraction=True)
        except InputError:
            pass
        try:
            return Height(parse(text, "length"), is_fraction=False)
        except InputError as fault:
            found = fault.findings[0]
            self.refuse(found.code, text, self.bounds(), found.remedy)


def _did_you_mean(near: list[str]) -> str:
    return f'Did you mean "{near[0]}"?' if near else ""
