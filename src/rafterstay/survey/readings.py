"""Which readings does a file hold? Every fault of the file is told at once."""

from __future__ import annotations

import csv
import re
from collections.abc import Collection
from difflib import get_close_matches
from pathlib import Path
from typing import Final

from rafterstay.core import quantities
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.lines import lines_of
from rafterstay.survey.nouns import DEFAULT_SIGMA, Kind, Reading

__all__ = ["COLUMNS", "LARGEST_FILE", "MOST_FINDINGS", "MOST_ROWS", "parse", "read"]

COLUMNS: Final = ("from", "to", "kind", "value", "sigma")
LARGEST_FILE: Final = 5_000_000  # [bytes]
MOST_ROWS: Final = 20_000
MOST_FINDINGS: Final = 100  # told in full; the rest are counted

_KINDS: Final[dict[str, Kind]] = {"level": "level", "slope": "slope", "height": "height"}
_NAME: Final = re.compile(r"t?[1-9][0-9]{0,2}|centre|hub")
_LONGEST: Final = 100.0  # [m] no tape reaches further
_SHORTEST: Final = 0.01  # [m]
_LARGEST_SIGMA: Final = 0.3048  # [m]


def read(path: Path, points: Collection[str] = ()) -> tuple[Reading, ...]:
    """Readings of a file.

    Args:
        path: A CSV file.
        points: Names the frame has; any well-formed name where empty.

    Returns:
        The readings in the file's order.

    Raises:
        InputError: SV-001 to SV-013, every fault at once with line and column.
    """
    # One byte more than allowed tells a large file without reading it whole.
    with path.open("rb") as file:
        data = file.read(LARGEST_FILE + 1)
    return parse(data, file=path.name, points=points)


def parse(
    data: bytes | str, *, file: str = "readings", points: Collection[str] = ()
) -> tuple[Reading, ...]:
    r"""Readings of a file's content.

    Args:
        data: Lines ``from,to,kind,value,sigma`` under that heading; ``#`` starts a comment line.
        file: Name to call it by in findings.
        points: Names the frame has; any well-formed name where empty.

    Returns:
        The readings in the order written. Lines that say the same are independent readings.

    Raises:
        InputError: SV-001 to SV-013, every fault at once with line and column, the column
            counted in fields from 1.

    Limits: 5 MB, 20,000 rows.

    >>> parse("from,to,kind,value,sigma\n1,2,level,9'-2 1/4\",\n")[0].value == 110.25 * 0.0254
    True
    """
    lines = _lines(data, file)
    heading = next((k for k, line in enumerate(lines) if _is_said(line)), None)
    if heading is None:
        raise InputError(_nothing(file))
    findings = _check_heading(lines[heading], file, heading + 1)
    said = [(k + 1, line) for k, line in enumerate(lines) if k > heading and _is_said(line)]
    if len(said) > MOST_ROWS:
        raise InputError(
            Finding(
                "SV-003",
                "readings",
                f"{len(said)} rows",
                f"{MOST_ROWS} rows or fewer",
                "Keep one survey in one file.",
                file,
            )
        )
    readings = []
    for number, line in said:
        faults, reading = _row(line, points, file, number)
        findings += faults
        if reading is not None:
            readings.append(reading)
    if not said:
        findings.append(_nothing(file))
    if findings:
        raise InputError(_cut_short(findings, file))
    return tuple(readings)


def _lines(data: bytes | str, file: str) -> list[str]:
    if len(data) > LARGEST_FILE:
        raise InputError(
            Finding(
                "SV-001",
                "readings",
                f"more than {LARGEST_FILE // 1_000_000} MB",
                f"{LARGEST_FILE // 1_000_000} MB or less",
                "A survey is a few hundred short lines: is this the right file?",
                file,
            )
        )
    return lines_of(data, lambda line: InputError(_not_text(file, line)))


def _not_text(file: str, line: int) -> Finding:
    return Finding(
        "SV-002",
        "readings",
        "bytes that are not text",
        "UTF-8 text",
        "Save the sheet as CSV UTF-8, not as a workbook or UTF-16.",
        file,
        line,
    )


def _is_said(line: str) -> bool:
    text = line.strip()
    return bool(text.strip(",")) and not text.startswith("#")


def _nothing(file: str) -> Finding:
    return Finding(
        "SV-012",
        "readings",
        "none",
        "at least one reading under the heading",
        "Write one line for each reading under from,to,kind,value,sigma.",
        file,
    )


def _cut_short(findings: list[Finding], file: str) -> list[Finding]:
    if len(findings) <= MOST_FINDINGS:
        return findings
    rest = len(findings) - MOST_FINDINGS
    more = Finding("SV-013", "readings", f"{rest} more faults", "free of faults", "", file)
    return [*findings[:MOST_FINDINGS], more]


def _fields(line: str) -> list[str]:
    # One physical line at a time, so that a stray quotation mark spoils one row, not the file.
    try:
        return [text.strip() for text in next(csv.reader([line]))]
    except csv.Error:  # a field beyond the module's own limit
        return [line]


def _shown(text: str) -> str:
    return text if len(text) <= 40 else text[:40] + "..."


def _check_heading(line: str, file: str, number: int) -> list[Finding]:
    found = [text.casefold() for text in _fields(line)]
    while found and not found[-1]:
        found.pop()
    if tuple(found) in (COLUMNS, COLUMNS[:4]):
        return []
    return [
        Finding(
            "SV-004",
            "heading",
            _shown(line.strip()),
            ",".join(COLUMNS),
            "Put that line above the readings.",
            file,
            number,
            1,
        )
    ]


def _row(
    line: str, points: Collection[str], file: str, number: int
) -> tuple[list[Finding], Reading | None]:
    """The faults of a row, or its reading."""
    fields = _fields(line)
    while len(fields) > len(COLUMNS) and not fields[-1]:
        fields.pop()
    if not 4 <= len(fields) <= len(COLUMNS):
        bound = f"{len(COLUMNS)} fields: {','.join(COLUMNS)}"
        remedy = "Write a decimal point, not a comma, inside a value."
        key = f"{len(fields)} fields"
        return [Finding("SV-005", key, _shown(line.strip()), bound, remedy, file, number)], None
    faults: list[Finding] = []
    start, end, kind_text, value_text = fields[:4]
    sigma_text = fields[4] if len(fields) == len(COLUMNS) else ""
    for column, name in ((1, start), (2, end)):
        faults += _check_name(name, points, file, number, column)
    if start and start == end:
        bound = "two different points"
        remedy = "A reading joins two points."
        faults.append(Finding("SV-007", "to", end, bound, remedy, file, number, 2))
    kind = _KINDS.get(kind_text)
    if kind is None:
        faults.append(_wrong_kind(kind_text, file, number))
    value = _length(value_text, "value", faults, (file, number, 4))
    if value is not None and not _is_reachable(value, kind):
        faults.append(_out_of_reach(value_text, kind, file, number))
    sigma: float | None = DEFAULT_SIGMA
    if sigma_text:
        sigma = _length(sigma_text, "sigma", faults, (file, number, 5))
    if sigma is not None and not 0.0 < sigma <= _LARGEST_SIGMA:
        bound = "above 0 and at most 1 ft"
        remedy = "Write how far the reading may be off, or leave it blank for 1/16 in."
        faults.append(
            Finding("SV-011", "sigma", _shown(sigma_text), bound, remedy, file, number, 5)
        )
    if faults or kind is None or value is None or sigma is None:
        return faults, None
    return [], Reading(start, end, kind, value, sigma, value_text, number)


def _check_name(
    name: str, points: Collection[str], file: str, number: int, column: int
) -> list[Finding]:
    known = name in points if points else bool(_NAME.fullmatch(name))
    if known:
        return []
    key = COLUMNS[column - 1]
    offered = sorted(points) if points else ["centre", "hub"]
    near = get_close_matches(name.casefold(), offered, n=1, cutoff=0.6)
    remedy = "Feet are 1, 2, 3 ..., their tie bolts t1, t2 ..."
    if near:
        remedy = f"Did you mean {near[0]}?"
    if points:
        bound = f"a point of this frame: {_spelled(points)}"
    else:
        bound = "a foot (1, 2 ...), a tie bolt (t1, t2 ...), centre or hub"
    value = _shown(name) or "blank"
    return [Finding("SV-006", key, value, bound, remedy, file, number, column)]


def _spelled(points: Collection[str]) -> str:
    names = list(points)
    return ", ".join(names) if len(names) <= 12 else ", ".join([*names[:8], "...", *names[-2:]])


def _wrong_kind(text: str, file: str, number: int) -> Finding:
    near = get_close_matches(text.casefold(), list(_KINDS), n=1, cutoff=0.5)
    remedy = f"Did you mean {near[0]}?" if near else "level is between plumbed marks."
    value = _shown(text) or "blank"
    return Finding("SV-008", "kind", value, "level, slope or height", remedy, file, number, 3)


def _length(
    text: str, key: str, faults: list[Finding], place: tuple[str, int, int]
) -> float | None:
    file, line, column = place
    if not text:
        remedy = "Take the reading, or strike the line out with #."
        faults.append(
            Finding("SV-009", key, "blank", "a length with its unit", remedy, file, line, column)
        )
        return None
    try:
        return quantities.parse(text, "length")
    except InputError as fault:
        said = fault.findings[0]
        faults.append(
            Finding("SV-009", key, said.value, said.bound, said.remedy, file, line, column)
        )
        return None


def _is_reachable(value: float, kind: Kind | None) -> bool:
    if kind == "height" or kind is None:
        return abs(value) <= _LONGEST
    return _SHORTEST <= value <= _LONGEST


def _out_of_reach(text: str, kind: Kind | None, file: str, number: int) -> Finding:
    bound = "within 100 m of 0" if kind == "height" else "between 10 mm and 100 m"
    remedy = "Only a height may be below 0." if kind != "height" else "Check the unit."
    return Finding("SV-010", "value", _shown(text), bound, remedy, file, number, 4)
