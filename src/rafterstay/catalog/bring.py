"""How the user's own catalogue files become rows: ``catalogue/<kind>.csv`` of a job folder.

Any bytes give a ``Catalogue`` or a ``DataError`` with every finding at once, each with file,
line, column, bound and remedy. docs/catalogue.md.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import stat
from pathlib import Path
from typing import TYPE_CHECKING, Final, get_args

from rafterstay.catalog import shelf
from rafterstay.catalog.columns import COLUMNS, RATIOS, Column, OwnKind, units_of
from rafterstay.catalog.own import STANDARD, Catalogue, Own
from rafterstay.catalog.whole import as_part
from rafterstay.core.errors import DataError, Finding
from rafterstay.core.sources import Source
from rafterstay.core.tables import UNITS, TableRow, printed_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["FOLDER", "LARGEST", "MOST_ROWS", "load_own", "read_own"]

FOLDER: Final = "catalogue"
LARGEST: Final = 200_000  # bytes of one file
MOST_ROWS: Final = 1000  # of one file
_MOST_FINDINGS: Final = 40
_TRUSTED: Final = 80  # % confidence of a row that states none: the least that may pass by itself
_LONGEST_NAME: Final = 80  # as a job may state one
# Words that tell metal or kind in a name: a label must not lend them to another part.
_TELLING: Final = ("galvanized", "stainless", "bright", "zinc", "copper", "alumin", "heavy")


def load_own(folder: str | os.PathLike[str]) -> Catalogue:
    """Read every catalogue file of a job folder.

    Args:
        folder: The job folder; without a folder ``catalogue`` in it the package's tables stand
            alone.

    Returns:
        The catalogue with the user's rows.

    Raises:
        DataError: DA-050 to DA-059, every finding at once.
    """
    place = Path(folder) / FOLDER
    if not os.path.lexists(place):
        return STANDARD
    files, faults = _files(place)
    texts: dict[OwnKind, bytes] = {}
    for kind, path in files.items():
        try:
            texts[kind] = _bytes_of(path)
        except OSError:
            faults.append(_unreadable(_name(kind), "a file this user may read"))
    try:
        found = read_own(texts)
    except DataError as fault:
        faults += fault.findings
    if faults:
        raise DataError(_most_of(faults))
    return found


def read_own(files: Mapping[OwnKind, bytes]) -> Catalogue:
    """Read catalogue files of the user's own.

    Args:
        files: Content of each, by kind.

    Returns:
        The catalogue with the user's rows.

    Raises:
        DataError: DA-051 to DA-059, every finding at once.
    """
    rows: list[Own] = []
    faults: list[Finding] = []
    for kind, raw in files.items():
        table = _Table(kind)
        rows += table.read(raw)
        faults += table.faults
    faults += _clashes(rows)
    if faults:
        raise DataError(_most_of(faults))
    return Catalogue(tuple(rows)) if rows else STANDARD


class _Table:
    """One file: its rows, and everything that is wrong with it."""

    def __init__(self, kind: OwnKind) -> None:
        self.kind: Final = kind
        self.file: Final = _name(kind)
        self.known: Final = {column.name: column for column in COLUMNS[kind]}
        self.faults: list[Finding] = []

    def read(self, raw: bytes) -> list[Own]:
        lines = self._lines(raw)
        names, units = self._header(lines) if not self.faults else ([], [])
        if self.faults:
            return []
        if len(lines) - 2 > MOST_ROWS:
            self._fault("DA-051", "rows", f"{len(lines) - 2}", f"at most {MOST_ROWS}", "Thin it.")
            return []
        return [own for line, cells in lines[2:] if (own := self._own(line, cells, names, units))]

    def _lines(self, raw: bytes) -> list[tuple[int, list[str]]]:
        """Lines that hold anything, with their numbers; ``#`` starts a remark."""
        if len(raw) > LARGEST:
            bound = f"at most {LARGEST} bytes"
            self._fault("DA-051", "the file", f"{len(raw)} bytes", bound, "Keep to used parts.")
            return []
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError as fault:
            line = raw[: fault.start].count(b"\n") + 1
            said = f"byte 0x{raw[fault.start]:02x}"
            self._fault("DA-052", "text", said, "UTF-8", "Save it as CSV UTF-8.", line, 1)
            return []
        bad = next((x for x in text if not x.isprintable() and x not in "\r\n\t"), None)
        if bad is not None:
            line = text[: text.index(bad)].count("\n") + 1
            said = f"U+{ord(bad):04X}"
            self._fault("DA-052", "text", said, "printable", "Write it again as text.", line, 1)
            return []
        found: list[tuple[int, list[str]]] = []
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        try:
            begun = 1
            for cells in reader:
                plain = [cell.strip() for cell in cells]
                if any(plain) and not plain[0].startswith("#"):
                    found.append((begun, plain))
                begun = reader.line_num + 1
        except csv.Error as fault:
            line, remedy = reader.line_num, "Close every quote; write an inch as in."
            self._fault("DA-055", "the line", str(fault), "cells between commas", remedy, line, 1)
        return found

    def _header(self, lines: list[tuple[int, list[str]]]) -> tuple[list[str], list[str]]:
        if len(lines) < 2:
            bound = "a row of names over a row of units"
            remedy = f"Names here: {', '.join(self.known)}."
            self._fault("DA-053", "the heading", "", bound, remedy, 1, 1)
            return [], []
        (first, names), (second, units) = lines[0], lines[1]
        for place, name in enumerate(names, start=1):
            if name not in self.known or names.index(name) != place - 1:
                bound = f"one of {', '.join(self.known)}, once"
                self._fault("DA-053", "column", _quoted(name), bound, "", first, place)
        for column in self.known.values():
            if column.name not in names and not column.may_be_missing:
                remedy = "No figure without a source." if column.name == "source" else ""
                self._fault("DA-053", f"column {column.name}", "", "there", remedy, first, 1)
        if len(units) != len(names):
            said, bound = f"{len(units)} units", f"{len(names)}, one a column"
            self._fault("DA-054", "the units row", said, bound, "", second, 1)
        elif not self.faults:
            for place, (name, unit) in enumerate(zip(names, units, strict=True), start=1):
                allowed = units_of(self.known[name].quantity)
                if unit not in allowed:
                    bound = f"one of {', '.join(allowed)}"
                    self._fault(
                        "DA-054", f"unit of {name}", _quoted(unit), bound, "", second, place
                    )
        return names, units

    def _own(self, line: int, cells: list[str], names: list[str], units: list[str]) -> Own | None:
        if len(cells) != len(names):
            said, bound = f"{len(cells)} cells", f"{len(names)} cells, one a column"
            remedy = "A text with a comma in it stands in quotes."
            self._fault("DA-055", "the row", said, bound, remedy, line, 1)
            return None
        before = len(self.faults)
        printed = dict(zip(names, cells, strict=True))
        unit = dict(zip(names, units, strict=True))
        values: dict[str, float] = {}
        for place, name in enumerate(names, start=1):
            value = self._cell(self.known[name], printed[name], unit[name], line, place)
            if value is not None:
                values[name] = value
        if len(self.faults) == before:
            self._weigh(values, printed, names, line)
        if len(self.faults) > before:
            return None
        row = TableRow(printed, unit, values, self._source(printed, values, line))
        part = as_part(self.kind, row, printed.get("label", ""))
        if len(part.name) > _LONGEST_NAME:
            bound = f"at most {_LONGEST_NAME} characters"
            self._fault("DA-057", "name", _quoted(part.name), bound, "", line, 1)
            return None
        told = json.dumps([self.kind, sorted((name, unit[name], printed[name]) for name in names)])
        return Own(self.kind, part, self.file, line, hashlib.sha256(told.encode()).hexdigest())

    def _cell(self, column: Column, cell: str, unit: str, line: int, place: int) -> float | None:
        """A figure in SI; None for text, a blank and a fault."""
        if not cell:
            if not column.may_be_blank:
                remedy = "No figure without a source." if column.name == "source" else ""
                self._fault("DA-056", column.name, "", "filled in", remedy, line, place)
            return None
        if column.quantity == "text":
            self._text(column, cell, line, place)
            return None
        exact = printed_number(cell)
        least, most = (edge / float(UNITS[unit]) for edge in (column.least, column.most))
        bound = f"a number from {least:.4g} to {most:.4g} {unit}, as 0.41, 3/8 or 4-1/2"
        if exact is None or not column.least <= float(exact * UNITS[unit]) <= column.most:
            self._fault("DA-057", column.name, _quoted(cell), bound, "", line, place)
            return None
        if column.quantity == "count" and exact.denominator != 1:
            self._fault("DA-057", column.name, _quoted(cell), "a whole number", "", line, place)
            return None
        return float(exact * UNITS[unit])

    def _text(self, column: Column, cell: str, line: int, place: int) -> None:
        if column.words and cell not in column.words:
            bound = f"one of {', '.join(column.words)}"
            self._fault("DA-057", column.name, _quoted(cell), bound, "", line, place)
        elif len(cell) > column.most or not cell.isprintable():
            bound = f"one line of at most {column.most:.0f} characters"
            self._fault("DA-057", column.name, _quoted(cell), bound, "", line, place)
        elif column.name == "label" and any(word in cell.casefold() for word in _TELLING):
            bound = f"free of {', '.join(_TELLING)}: they tell what a part is made of"
            self._fault("DA-057", column.name, _quoted(cell), bound, "", line, place)

    def _weigh(
        self, values: Mapping[str, float], printed: Mapping[str, str], names: list[str], line: int
    ) -> None:
        """Two figures that cannot both be right: most often one in another unit."""
        for ratio in RATIOS[self.kind]:
            if ratio.above not in values or ratio.below not in values:
                continue
            found = values[ratio.above] / values[ratio.below] ** ratio.power
            if not ratio.least <= found <= ratio.most:
                said = f"{ratio.above} = {printed[ratio.above]}, {ratio.below}"
                bound = (
                    f"in step: {ratio.means} is {found:.3g}, and no such part leaves "
                    f"{ratio.least:.3g} to {ratio.most:.3g} (SI)"
                )
                place = names.index(ratio.above) + 1
                remedy = "Look at the units row and at the decimal point."
                self._fault("DA-058", said, printed[ratio.below], bound, remedy, line, place)

    def _source(self, printed: Mapping[str, str], values: Mapping[str, float], line: int) -> Source:
        trusted = round(100 * values.get("confidence", _TRUSTED / 100))
        place = f"(your own row, {self.file} line {line})"
        return Source(printed["source"], "", place, "read", trusted)

    def _fault(
        self,
        code: str,
        key: str,
        value: str,
        bound: str,
        remedy: str = "",
        line: int | None = None,
        column: int | None = None,
    ) -> None:
        remedy = remedy or "Write it as docs/catalogue.md says."
        self.faults.append(Finding(code, key, value, bound, remedy, self.file, line, column))


def _files(place: Path) -> tuple[dict[OwnKind, Path], list[Finding]]:
    """Catalogue files by kind, and whatever else stands in the folder."""
    if place.is_symlink() or not place.is_dir():
        return {}, [_unreadable(FOLDER, "a folder of files, one a kind")]
    try:
        inside = sorted(place.iterdir())
    except OSError:
        return {}, [_unreadable(FOLDER, "a folder this user may read")]
    found: dict[OwnKind, Path] = {}
    faults = []
    kinds: tuple[OwnKind, ...] = get_args(OwnKind)
    for path in inside:
        if path.name.startswith("."):
            continue
        kind = next((kind for kind in kinds if path.name == f"{kind}.csv"), None)
        if kind is None:
            allowed = ", ".join(f"{kind}.csv" for kind in kinds)
            name = path.name[:60].encode("unicode_escape").decode("ascii")
            faults.append(_unreadable(f"{FOLDER}/{name}", f"one of {allowed}"))
        elif not stat.S_ISREG(path.lstat().st_mode):
            faults.append(_unreadable(_name(kind), "a plain file"))
        else:
            found[kind] = path
    return found, faults


def _bytes_of(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(LARGEST + 1)


def _name(kind: OwnKind) -> str:
    return f"{FOLDER}/{kind}.csv"


def _quoted(cell: str) -> str:
    return repr(cell if len(cell) <= 40 else cell[:37] + "...")


def _unreadable(file: str, bound: str) -> Finding:
    remedy = "Take it out of the folder, or give it that name and form."
    return Finding("DA-050", key="it", bound=bound, remedy=remedy, file=file)


def _clashes(rows: list[Own]) -> Iterator[Finding]:
    """Names that are taken: a row never steps silently into the place of another."""
    seen: dict[tuple[str, str], Own] = {}
    for own in rows:
        name = own.part.name
        first = seen.setdefault((own.kind, name), own)
        where = f"line {first.line}" if first is not own else "the package's own tables"
        if first is own and name not in shelf.names(own.kind):
            continue
        yield Finding(
            "DA-059",
            key="name",
            value=repr(name),
            bound=f"free: it stands in {where} already",
            remedy="Give the row a label, which goes before its name.",
            file=own.file,
            line=own.line,
            column=1,
        )


def _most_of(faults: list[Finding]) -> list[Finding]:
    more = len(faults) - _MOST_FINDINGS
    if more <= 0:
        return faults
    told = f"{more} more findings are not shown"
    return [*faults[:_MOST_FINDINGS], Finding("DA-050", bound=told, remedy="Mend these first.")]
