"""Where each key and value of a TOML text stands, found in one pass from left to right.

The TOML parser keeps no places, and deep nesting or endless dotted keys would cost it stack,
memory and time; this pass runs first and refuses both. It agrees with the parser on everything
up to the first fault of syntax, stops there without a word, and leaves the telling to it.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Final

from rafterstay.core.errors import Finding, InputError

__all__ = ["DEEPEST", "Place", "Places", "find_places", "place_at"]

DEEPEST: Final = 16  # tables, lists and parts of a dotted key; the contract needs 3

_BLANK: Final = re.compile(r"[ \t]*+")
_BLANK_LINES: Final = re.compile(r"(?:[ \t\r\n]|#[^\n]*+)*+")
_BARE: Final = re.compile(r"[A-Za-z0-9_-]++")
_STRINGS: Final = (
    ('"""', re.compile(r'"""(?:[^"\\]|\\[\s\S]|"(?!"")|""(?!"))*+"""(?:"{0,2})')),
    ("'''", re.compile(r"'''(?:[^']|'(?!'')|''(?!'))*+'''(?:'{0,2})")),
    ('"', re.compile(r'"(?:[^"\\\n]|\\[^\n])*+"')),
    ("'", re.compile(r"'[^'\n]*+'")),
)
_SCALAR: Final = re.compile(r"[^,\]}\n#]++")


@dataclass(frozen=True)
class Place:
    """Line and column, both from 1, of a key and of its value."""

    line: int
    column: int
    value_line: int
    value_column: int


@dataclass
class Places:
    """Places by path; what has no place of its own stands where its table does."""

    by_path: dict[tuple[str, ...], Place] = field(default_factory=dict)

    def of(self, path: tuple[str, ...]) -> Place:
        """Place of the longest part of the path that stands in the text."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.by_path:
                return self.by_path[path[:length]]
        return Place(1, 1, 1, 1)


class _StopError(Exception):
    """The text is not TOML from here on."""


def find_places(text: str) -> Places:
    r"""Place of every key in the text.

    Raises:
        InputError: IN-026 where tables, lists or dotted keys nest deeper than ``DEEPEST``.

    >>> find_places('[roof]\nrise = "6 ft"\n').of(("roof", "rise"))
    Place(line=2, column=1, value_line=2, value_column=8)
    """
    scan = _Scan(text)
    with suppress(_StopError):
        scan.document()
    return scan.places


def place_at(text: str, offset: int) -> tuple[int, int]:
    """Line and column of a character, both from 1."""
    before = text[: max(0, offset)]
    return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1


class _Scan:
    """A reader of TOML that keeps only places."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.places = Places()
        self.starts = [0, *(found.end() for found in re.finditer("\n", text))]

    def document(self) -> None:
        """Headers and keys until the end."""
        table: tuple[str, ...] = ()
        while True:
            self.skip(_BLANK_LINES)
            if self.at >= len(self.text):
                return
            start = self.at
            if self.text[self.at] == "[":
                bracket = "]]" if self.text.startswith("[[", self.at) else "]"
                self.at += len(bracket)
                table = self.key()
                self.expect(bracket)
                self.keep(table, start, start)
            else:
                self.pair(table, 0)

    def pair(self, table: tuple[str, ...], depth: int) -> None:
        """``key = value``."""
        start = self.at
        path = table + self.key()
        self.limit(len(path), start)
        self.expect("=")
        self.skip(_BLANK)
        self.keep(path, start, self.at)
        self.value(path, depth)

    def key(self) -> tuple[str, ...]:
        """The parts of a dotted key, blanks around it skipped."""
        parts: list[str] = []
        start = self.at
        while True:
            self.skip(_BLANK)
            parts.append(self.part())
            self.limit(len(parts), start)
            self.skip(_BLANK)
            if not self.text.startswith(".", self.at):
                return tuple(parts)
            self.at += 1

    def part(self) -> str:
        """One bare or quoted part of a key."""
        if found := _BARE.match(self.text, self.at):
            self.at = found.end()
            return found[0]
        start = self.at
        self.string()
        try:
            return str(tomllib.loads(f"k = {self.text[start : self.at]}")["k"])
        except ValueError:
            raise _StopError from None

    def string(self) -> None:
        """Pass over a string of any of the four kinds."""
        for opening, pattern in _STRINGS:
            if self.text.startswith(opening, self.at):
                found = pattern.match(self.text, self.at)
                if found is None:
                    raise _StopError
                self.at = found.end()
                return
        raise _StopError

    def value(self, path: tuple[str, ...], depth: int) -> None:
        """Pass over a value, keeping the places inside tables."""
        mark = self.text[self.at : self.at + 1]
        self.limit(depth, self.at)
        if mark in ("'", '"') and mark:
            self.string()
        elif mark == "[":
            self.listed(path, depth + 1)
        elif mark == "{":
            self.inline(path, depth + 1)
        elif found := _SCALAR.match(self.text, self.at):
            self.at = found.end()
        else:
            raise _StopError

    def listed(self, path: tuple[str, ...], depth: int) -> None:
        """A list; its values share the place of the list."""
        self.at += 1
        while True:
            self.skip(_BLANK_LINES)
            if self.text.startswith("]", self.at):
                self.at += 1
                return
            self.value((*path, ""), depth)
            self.skip(_BLANK_LINES)
            if not self.text.startswith((",", "]"), self.at):
                raise _StopError
            self.at += self.text[self.at] == ","

    def inline(self, path: tuple[str, ...], depth: int) -> None:
        """An inline table."""
        self.at += 1
        while True:
            self.skip(_BLANK)
            if self.text.startswith("}", self.at):
                self.at += 1
                return
            self.pair(path, depth)
            self.skip(_BLANK)
            if not self.text.startswith((",", "}"), self.at):
                raise _StopError
            self.at += self.text[self.at] == ","

    def keep(self, path: tuple[str, ...], key_at: int, value_at: int) -> None:
        """Remember where a key and its value stand; the first of two stays."""
        self.places.by_path.setdefault(path, Place(*self.place(key_at), *self.place(value_at)))

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column of a character, both from 1."""
        line = bisect_right(self.starts, offset)
        return line, offset - self.starts[line - 1] + 1

    def limit(self, depth: int, at: int) -> None:
        """Refuse what nests deeper than any job does."""
        if depth > DEEPEST:
            line, column = self.place(at)
            raise InputError(
                Finding(
                    "IN-026",
                    value="tables, lists or dotted keys one in another",
                    bound=f"at most {DEEPEST} deep",
                    remedy="No key of a job file stands deeper than three.",
                    line=line,
                    column=column,
                )
            )

    def expect(self, mark: str) -> None:
        """Pass over a mark that must stand here."""
        self.skip(_BLANK)
        if not self.text.startswith(mark, self.at):
            raise _StopError
        self.at += len(mark)

    def skip(self, pattern: re.Pattern[str]) -> None:
        """Pass over what matters not."""
        if found := pattern.match(self.text, self.at):
            self.at = found.end()
