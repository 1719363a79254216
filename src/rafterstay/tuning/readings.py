"""Which readings of the tie does a file hold? Every fault of the file is told at once."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Final, get_args

from rafterstay.core import quantities
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.lines import lines_of
from rafterstay.tuning.nouns import SIGMA, Reading, What

if TYPE_CHECKING:
    from rafterstay.core.quantities import Dimension

__all__ = ["COLUMNS", "KINDS", "LARGEST_FILE", "MOST_ROWS", "parse", "read"]

COLUMNS: Final = ("what", "where", "value", "sigma")
KINDS: Final[tuple[What, ...]] = get_args(What)
LARGEST_FILE: Final = 1_000_000  # [bytes]
MOST_ROWS: Final = 5_000
MOST_FINDINGS: Final = 100

_DIMENSION: Final[dict[str, Dimension]] = {
    "pull": "force",
    "corner": "angle",
    "side": "length",
    "offset": "length",
    "level": "length",
    "opening": "length",
    "temperature": "temperature",
    "turned": "number",
}
_BOUNDS: Final[dict[str, tuple[float, float, str]]] = {
    "pull": (0.0, 1e6, "between 0 and 1000 kN"),
    "corner": (0.1, 3.1415, "between 6 and 180 deg"),
    "side": (0.005, 10.0, "between 5 mm and 10 m"),
    "offset": (-1.0, 1.0, "within 1 m of 0"),
    "level": (-1.0, 1.0, "within 1 m of 0"),
    "opening": (0.0, 1.0, "between 0 and 1 m"),
    "temperature": (200.0, 350.0, "between -100 and 170 degF"),
    "turned": (-50.0, 50.0, "within 50 turns of 0"),
}
_LEAST_PULL: Final = 5.0  # a slack leg is felt no finer than that: common practice [N]
_STIFF: Final = {"corner", "side"}  # tell nothing of a ring that keeps its shape
_NUMBER: Final = re.compile(r"[1-9][0-9]{0,2}")


def read(path: Path, *, legs: int, rope_ring: bool = True) -> tuple[Reading, ...]:
    """Readings of a file.

    Args:
        path: A CSV file.
        legs: How many the tie has.
        rope_ring: The ring is of rope, so that its corners and sides tell something.

    Returns:
        The readings in the file's order.

    Raises:
        InputError: TU-001 to TU-009, every fault at once with line and column.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as fault:
        found = Finding(
            "TU-001",
            key="the readings",
            value=path.name,
            bound="a file that can be opened",
            remedy=f"{fault.strerror or 'It cannot be read'}.",
        )
        raise InputError(found) from fault
    return parse(data, legs=legs, file=path.name, rope_ring=rope_ring)


def parse(
    data: bytes, *, legs: int, file: str = "readings", rope_ring: bool = True
) -> tuple[Reading, ...]:
    r"""Readings of a file's content.

    Args:
        data: Lines ``what,where,value,sigma`` under that heading; ``#`` starts a comment line.
        legs: How many the tie has.
        file: Name to call it by in findings.
        rope_ring: The ring is of rope, so that its corners and sides tell something.

    Returns:
        The readings in the order written. Lines that say the same are independent readings;
        a line ``turned`` parts those before it from those after it.

    Raises:
        InputError: TU-002 to TU-009, every fault at once with line and column.

    Limits: 1 MB, 5,000 rows.

    >>> rows = b"what,where,value,sigma\npull,3,210 lb,\nside,8-1,4 1/2 in,1/16 in\n"
    >>> [(one.what, one.where, one.to) for one in parse(rows, legs=8)]
    [('pull', 3, 0), ('side', 8, 1)]
    """
    lines = _lines(data, file)
    said = [(k, line) for k, line in enumerate(lines, 1) if _is_said(line)]
    if len(said) < 2 or len(said) > MOST_ROWS + 1:
        count = f"{max(len(said) - 1, 0)} rows"
        raise InputError(
            Finding(
                "TU-003", "readings", count, f"1 to {MOST_ROWS} rows under a heading",
                f"Write {','.join(COLUMNS)} above them.", file,
            )
        )  # fmt: skip
    findings = _heading(said[0], file)
    readings: list[Reading] = []
    stage, before = 0, ""
    for number, line in said[1:]:
        try:
            one = _Row(_fields(line), file, number, legs, rope_ring).reading()
        except InputError as fault:
            findings += fault.findings
            continue
        if one.what == "turned" and before != "turned":
            stage += 1
        before = one.what
        readings.append(replace(one, stage=stage))
    if not findings and all(one.what in {"turned", "temperature"} for one in readings):
        findings.append(
            Finding("TU-003", "readings", "none of the tie", "at least one", "Read a pull.", file)
        )
    if findings:
        raise InputError(findings[:MOST_FINDINGS])
    return tuple(readings)


def _lines(data: bytes, file: str) -> list[str]:
    if len(data) > LARGEST_FILE:
        bound = f"{LARGEST_FILE // 1_000_000} MB or less"
        raise InputError(
            Finding("TU-002", "readings", "a larger file", bound, "Is it the right file?", file)
        )
    return lines_of(data, lambda line: InputError(_not_text(file, line)))


def _not_text(file: str, line: int) -> Finding:
    return Finding(
        "TU-002", "readings", "bytes that are not text", "UTF-8 text",
        "Save the sheet as CSV UTF-8, not as a workbook.", file, line,
    )  # fmt: skip


def _is_said(line: str) -> bool:
    return bool(line.strip(" ,\t")) and not line.lstrip().startswith("#")


def _fields(line: str) -> list[str]:
    # One line at a time, so that a stray quotation mark spoils one row, not the file.
    try:
        fields = [text.strip() for text in next(csv.reader([line]))]
    except csv.Error:  # a field beyond the module's own limit
        return [line]
    while len(fields) > len(COLUMNS) and not fields[-1]:
        fields.pop()
    return fields


def _shown(text: str) -> str:
    return (text if len(text) <= 40 else text[:40] + "...") or "blank"


def _heading(said: tuple[int, str], file: str) -> list[Finding]:
    number, line = said
    found = [text.casefold() for text in _fields(line)]
    while found and not found[-1]:
        found.pop()
    if tuple(found) in (COLUMNS, COLUMNS[:3]):
        return []
    return [
        Finding(
            "TU-004", "heading", _shown(line.strip()), ",".join(COLUMNS),
            "Put that line above the readings.", file, number, 1,
        )
    ]  # fmt: skip


class _Row:
    """One line under the heading."""

    def __init__(self, fields: list[str], file: str, line: int, legs: int, rope_ring: bool) -> None:
        self.fields, self.file, self.line = fields, file, line
        self.legs, self.rope_ring = legs, rope_ring

    def reading(self) -> Reading:
        """The reading; every field is looked at before a fault is raised."""
        if len(self.fields) not in (3, 4):
            bound = f"{len(COLUMNS)} fields: {','.join(COLUMNS)}"
            remedy = "Write a decimal point, not a comma, inside a value."
            raise self._fault("TU-004", "fields", str(len(self.fields)), bound, remedy)
        what = self._kind()
        faults: list[Finding] = []
        where, to, value, sigma = 0, 0, 0.0, 0.0
        try:
            where, to = self._where(what)
        except InputError as fault:
            faults += fault.findings
        try:
            value = self._value(what)
            sigma = self._sigma(what, value)
        except InputError as fault:
            faults += fault.findings
        if faults:
            raise InputError(faults)
        return Reading(what, where, value, sigma, to, self.line)

    def _fault(
        self, code: str, key: str, value: str, bound: str, remedy: str, column: int | None = None
    ) -> InputError:
        place = (self.file, self.line, column)
        return InputError(Finding(code, key, _shown(value), bound, remedy, *place))

    def _kind(self) -> What:
        said = self.fields[0]
        kind = next((one for one in KINDS if one == said.casefold()), None)
        if kind is None:
            near = get_close_matches(said.casefold(), KINDS, n=1, cutoff=0.5)
            remedy = f"Did you mean {near[0]}?" if near else "See docs/tune.md."
            raise self._fault("TU-005", "what", said, ", ".join(KINDS), remedy, 1)
        if kind in _STIFF and not self.rope_ring:
            remedy = "A stiff ring keeps its shape: read pulls, offsets and levels."
            raise self._fault("TU-005", "what", said, "of a ring of rope", remedy, 1)
        return kind

    def _where(self, what: What) -> tuple[int, int]:
        said = self.fields[1]
        if what == "temperature":
            if said.casefold() == "air":
                return 0, 0
            raise self._fault("TU-006", "where", said, "air", "Read it in the shade.", 2)
        if what == "side":
            first, _, second = said.partition("-")
            a, b = self._leg(first.strip()), self._leg(second.strip())
            if a and b and a != b:
                return a, b
            bound = f"two eyes from 1 to {self.legs}, such as 3-4"
            raise self._fault("TU-006", "where", said, bound, "Any two eyes may be taped.", 2)
        leg = self._leg(said)
        if not leg:
            bound = f"a leg from 1 to {self.legs}"
            remedy = "Legs number clockwise seen from above, leg 1 as on the plan."
            raise self._fault("TU-006", "where", said, bound, remedy, 2)
        return leg, 0

    def _leg(self, text: str) -> int:
        """The number of a leg, 0 where there is none of that name."""
        if not _NUMBER.fullmatch(text) or not text.isascii():
            return 0
        return int(text) if int(text) <= self.legs else 0

    def _value(self, what: What) -> float:
        value = self._quantity(self.fields[2], _DIMENSION[what], "value", 3)
        low, high, bound = _BOUNDS[what]
        if not low <= value <= high:
            raise self._fault("TU-008", what, self.fields[2], bound, "Check the unit.", 3)
        return value

    def _sigma(self, what: What, value: float) -> float:
        """As stated, or what is common; a pull's is a share of it."""
        stated = self.fields[3] if len(self.fields) == len(COLUMNS) else ""
        sigma = SIGMA[what] * (value if what == "pull" else 1.0)
        if stated:
            dimension = _DIMENSION[what]
            of: Dimension = "temperature difference" if what == "temperature" else dimension
            sigma = self._quantity(stated, of, "sigma", 4)
            if not 0.0 < sigma <= _BOUNDS[what][1]:
                remedy = "Write how far the reading may be off, or leave it blank."
                raise self._fault("TU-009", "sigma", stated, "above 0", remedy, 4)
        return max(sigma, _LEAST_PULL) if what == "pull" else sigma

    def _quantity(self, text: str, dimension: Dimension, key: str, column: int) -> float:
        try:
            return quantities.parse(text, dimension)
        except InputError as fault:
            said = fault.findings[0]
            raise self._fault("TU-007", key, text, said.bound, said.remedy, column) from fault
