"""What one table file says, in SI, and where it was read.

A file is a CSV with a names row, a units row and then rows as printed. ``sources.toml`` beside
it holds one entry a file; a file without an entry must name the source of every row in a
``source`` column. A table with neither is refused: no value without a source.
"""

from __future__ import annotations

import csv
import re
import tomllib
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast, get_args

from rafterstay.core.errors import DataError, Finding
from rafterstay.core.sources import Obtained, Source

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["UNITS", "TableRow", "printed_number", "read_sources", "read_table", "table"]

# Factors are exact fractions, so that 95 % is 0.95 and not its neighbour.
_INCH: Final = Fraction("0.0254")  # [m]
_FOOT: Final = 12 * _INCH  # [m]
_POUND: Final = Fraction("0.45359237")  # [kg]
_GRAVITY: Final = Fraction("9.80665")  # [m/s2], standard
_LBF: Final = _POUND * _GRAVITY  # [N]
UNITS: Final[Mapping[str, Fraction]] = {
    "-": Fraction(1),
    "%": Fraction(1, 100),
    "in": _INCH,
    "mm": Fraction(1, 1000),
    "1/in": 1 / _INCH,
    "1/mm": Fraction(1000),
    "lbf": _LBF,
    "kN": Fraction(1000),
    "short ton": 2000 * _LBF,
    "tonne-force": 1000 * _GRAVITY,
    "lb": _POUND,
    "kg": Fraction(1),
    "lb/ft": _POUND / _FOOT,
    "lb/1000 ft": _POUND / (1000 * _FOOT),
    "kg/100 m": Fraction(1, 100),
    "kg/m": Fraction(1),
    "psf": _LBF / _FOOT**2,
    "psi": _LBF / _INCH**2,
    "ksi": 1000 * _LBF / _INCH**2,
    "MPa": Fraction(10**6),
    "% in2/lbf": _INCH**2 / (100 * _LBF),
    "1e-6/degC": Fraction(1, 10**6),
}
# As printed: 0.41, 6.98e-6, 3/8 or 4-1/2; bounded, so that no cell costs more than another.
_NUMBER: Final = re.compile(
    r"(?P<plain>[0-9]{1,12}(\.[0-9]{1,12})?(e[+-]?[0-9]{1,2})?)"
    r"|((?P<whole>[0-9]{1,6})-)?(?P<part>[0-9]{1,6}/[0-9]{1,6})"
)
_TEXT: Final = "text"
_MAY_BE_BLANK: Final = " or blank"


@dataclass(frozen=True)
class TableRow:
    """One row of one file.

    Attributes:
        printed: Every cell as printed, by column.
        units: The unit of every column, without its "or blank".
        values: The numeric cells in SI; a cell that may be blank and is, is left out.
        source: Where this row was read.
    """

    printed: Mapping[str, str]
    units: Mapping[str, str]
    values: Mapping[str, float]
    source: Source


def printed_number(cell: str) -> Fraction | None:
    """Read a number as sheets print it.

    Args:
        cell: A cell.

    Returns:
        The number, 0 or more; None where it is none. [-]

    >>> float(printed_number("4-1/2")), printed_number("1,000"), printed_number("1/0")
    (4.5, None, None)
    """
    match = _NUMBER.fullmatch(cell)
    if match is None or (match["part"] and not int(match["part"].partition("/")[2])):
        return None
    if match["plain"]:
        return Fraction(match["plain"])
    return Fraction(match["whole"] or 0) + Fraction(match["part"])


@cache
def table(folder: Path, name: str) -> tuple[TableRow, ...]:
    """Read ``<name>.csv`` in a package's folder of tables; each file is read once.

    Raises:
        DataError: See `read_table`.
    """
    return read_table(folder / f"{name}.csv", _sources_of(folder).get(name))


def read_table(path: Path, source: Source | None) -> tuple[TableRow, ...]:
    """Read one table file.

    Args:
        path: The CSV file.
        source: Where the whole file was read; None when a ``source`` column says it by row.

    Returns:
        The rows in file order, numbers in SI.

    Raises:
        DataError: DA-001 no source, DA-002 header, DA-003 unknown unit, DA-004 empty cell,
            DA-005 not a number.
    """
    with path.open(encoding="utf-8", newline="") as file:
        lines = list(csv.reader(file))
    names, units = _header(path, lines)
    if source is None and "source" not in names:
        raise DataError(
            Finding(
                "DA-001",
                file=path.name,
                key=f"table {path.stem}",
                bound="a table with a source",
                remedy="Give the file an entry in sources.toml or a source column.",
            )
        )
    rows = []
    for number, line in enumerate(lines[2:], start=3):
        if len(line) != len(names):
            raise _refused(path, number, "DA-002", f"{len(line)} cells", f"{len(names)} cells")
        cells = dict(zip(names, (cell.strip() for cell in line), strict=True))
        rows.append(_row(path, number, cells, units, source))
    return tuple(rows)


def read_sources(path: Path) -> dict[str, Source]:
    """Read a ``sources.toml``: one entry a table file.

    Raises:
        DataError: DA-001 when an entry lacks a title or says not how it was obtained.
    """
    with path.open("rb") as file:
        entries = tomllib.load(file)
    found = {}
    for name, entry in entries.items():
        if not entry.get("title") or entry.get("obtained") not in get_args(Obtained):
            raise DataError(
                Finding(
                    "DA-001",
                    file=path.name,
                    key=name,
                    bound="a source with a title, obtained and confidence",
                    remedy="State the standard or book, its table and how the value was obtained.",
                )
            )
        found[name] = Source(
            title=entry["title"],
            edition=entry.get("edition", ""),
            place=entry.get("table", ""),
            obtained=entry["obtained"],
            confidence=int(entry["confidence"]),
        )
    return found


@cache
def _sources_of(folder: Path) -> dict[str, Source]:
    return read_sources(folder / "sources.toml")


def _header(path: Path, lines: list[list[str]]) -> tuple[list[str], dict[str, str]]:
    """Split off the names row and the units row, and know every unit."""
    if len(lines) < 2 or len(lines[0]) != len(lines[1]) or len(set(lines[0])) != len(lines[0]):
        raise _refused(
            path, 1, "DA-002", "the header", "a row of unlike names over a row of as many units"
        )
    names = lines[0]
    units = dict(zip(names, lines[1], strict=True))
    for column, unit in units.items():
        plain = unit.removesuffix(_MAY_BE_BLANK)
        if plain != _TEXT and plain not in UNITS:
            known = ", ".join([_TEXT, *UNITS])
            raise _refused(path, 2, "DA-003", f"{column} in {unit!r}", f"in one of {known}")
    return names, units


def _row(
    path: Path, number: int, cells: dict[str, str], units: dict[str, str], source: Source | None
) -> TableRow:
    values = {}
    plain = {column: unit.removesuffix(_MAY_BE_BLANK) for column, unit in units.items()}
    for column, cell in cells.items():
        if not cell:
            if units[column].endswith(_MAY_BE_BLANK):
                continue
            code = "DA-001" if column == "source" else "DA-004"
            raise _refused(path, number, code, f"{column} is empty", "filled in")
        if plain[column] != _TEXT:
            printed = _number(path, number, column, cell)
            values[column] = float(printed * UNITS[plain[column]])
    return TableRow(cells, plain, values, _row_source(path, number, cells, source))


def _row_source(path: Path, number: int, cells: dict[str, str], source: Source | None) -> Source:
    """Say where a row was read: the file's source, with what the row itself says of it."""
    if source is None:
        source = Source(cells["source"], "", f"{path.name} line {number}", "read", 100)
    obtained = cells.get("obtained", source.obtained)
    if obtained not in get_args(Obtained):
        allowed = ", ".join(get_args(Obtained))
        raise _refused(path, number, "DA-001", f"obtained {obtained!r}", f"one of {allowed}")
    confidence = int(cells.get("confidence", source.confidence))
    return replace(source, obtained=cast("Obtained", obtained), confidence=confidence)


def _number(path: Path, line: int, column: str, cell: str) -> Fraction:
    """Read a printed number; never below zero."""
    found = printed_number(cell)
    if found is None:
        raise _refused(path, line, "DA-005", f"{column} = {cell!r}", "a number, 0 or more")
    return found


def _refused(path: Path, line: int, code: str, said: str, bound: str) -> DataError:
    remedy = "Mend the table; rows stand as printed in their source."
    return DataError(Finding(code, file=path.name, line=line, key=said, bound=bound, remedy=remedy))
