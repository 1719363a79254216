"""Small files filled in at the bench: one line an entry, every fault told with its line."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse

if TYPE_CHECKING:
    from rafterstay.core.quantities import Dimension

__all__ = ["LARGEST_FILE", "Line", "parse_lines", "read_file"]

LARGEST_FILE: Final = 1_000_000  # [bytes]
_MOST_TOLD: Final = 50
_MOST_COUNT: Final = 999

Entry = TypeVar("Entry")


@dataclass
class Line:
    """One line of such a file; what is wrong with its cells gathers in ``findings``.

    Attributes:
        file: Name to call the file by.
        number: Of the line.
        said: Cell by column.
        findings: Faults so far.
    """

    file: str
    number: int
    said: dict[str, str]
    findings: list[Finding] = field(default_factory=list)

    def wrong(self, name: str, bound: str) -> None:
        """Note that a cell cannot be used."""
        key = f"{name} = {self.said[name]!r}" if self.said[name] else f"{name} is empty"
        self.findings.append(_fault(self.file, self.number, key, bound))

    def filled(self, *names: str) -> None:
        """Require cells to say something."""
        for name in names:
            if not self.said[name]:
                self.wrong(name, "filled in")

    def count(self, name: str, *, may_be_empty: bool = False) -> int | None:
        """A whole number from 1, written in plain digits; None where it is none."""
        text = self.said[name]
        plain = text.isascii() and text.isdigit() and len(text) <= len(str(_MOST_COUNT))
        if plain and int(text) > 0:
            return int(text)
        if text or not may_be_empty:
            self.wrong(name, "a whole number from 1" + (", or empty" if may_be_empty else ""))
        return None

    def quantity(self, name: str, dimension: Dimension) -> float | None:
        """A quantity with its unit, 0 or more; None where the cell is empty or wrong. [SI]"""
        text = self.said[name]
        if not text:
            return None
        try:
            value = parse(text, dimension)
        except InputError as fault:
            self.wrong(name, fault.findings[0].bound)
            return None
        if value < 0:
            self.wrong(name, "0 or more")
            return None
        return value

    def one_of(self, name: str, words: tuple[str, ...]) -> None:
        """Require a filled cell to be one of some words."""
        if self.said[name] and self.said[name] not in words:
            self.wrong(name, " or ".join(words))


def read_file(path: Path) -> bytes:
    """Bytes of a file, one more than allowed at the most.

    Args:
        path: The file.

    Returns:
        Its content.

    Raises:
        InputError: IN-069 it cannot be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except OSError as fault:
        said = fault.strerror or "cannot be read"
        raise InputError(_fault(str(path), None, said, "a file that can be read")) from fault


def parse_lines(
    data: bytes,
    columns: tuple[str, ...],
    entry: Callable[[Line], Entry | None],
    *,
    file: str,
) -> tuple[Entry, ...]:
    """Entries of a file's content.

    Args:
        data: UTF-8, a heading and one line an entry; ``#`` starts a comment line.
        columns: The heading.
        entry: Makes an entry of a line, or notes what is wrong with it.
        file: Name to call it by.

    Returns:
        In the order written.

    Raises:
        InputError: IN-069, every fault at once with its line.
    """
    if len(data) > LARGEST_FILE:
        raise InputError(_fault(file, None, "too large", "at most 1 MB"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise InputError(_fault(file, None, "not UTF-8", "UTF-8 text")) from fault
    rows = [
        (number, _cells(line))
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not rows or tuple(rows[0][1]) != columns:
        first = rows[0][0] if rows else None
        raise InputError(_fault(file, first, "heading", ",".join(columns)))
    findings: list[Finding] = []
    entries = []
    for number, cells in rows[1:]:
        if len(cells) != len(columns):
            bound = f"{len(columns)} cells"
            findings.append(_fault(file, number, f"{len(cells)} cells", bound))
            continue
        line = Line(file, number, dict(zip(columns, cells, strict=True)))
        made = entry(line)
        findings += line.findings
        if made is not None and not line.findings:
            entries.append(made)
    if findings:
        raise InputError(findings[:_MOST_TOLD])
    return tuple(entries)


def _cells(line: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line]), [])]
    except csv.Error:  # a field beyond the module's own limit
        return [line]


def _fault(file: str, line: int | None, said: str, bound: str) -> Finding:
    remedy = "Mend the file; nothing of it was stored."
    return Finding("IN-069", file=file, line=line, key=said, bound=bound, remedy=remedy)
