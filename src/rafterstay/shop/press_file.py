"""Sleeves as they were written down at the bench: a small file, every fault told at once."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Final

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse
from rafterstay.shop.press_log import GAUGES, Pressed

__all__ = ["COLUMNS", "LARGEST_FILE", "parse_presses", "read_presses"]

COLUMNS: Final = (
    "leg",
    "eye",
    "reel",
    "sleeve",
    "tool",
    "presses",
    "order",
    "tail_before",
    "tail_after",
    "gauge",
    "who",
    "when",
)
LARGEST_FILE: Final = 1_000_000  # [bytes]
_MOST_TOLD: Final = 50
_MOST_COUNT: Final = 999


def read_presses(path: Path) -> tuple[Pressed, ...]:
    """Sleeves of a file.

    Args:
        path: A CSV file under the heading of ``COLUMNS``.

    Returns:
        In the file's order.

    Raises:
        InputError: IN-069 the file cannot be read, or a cell cannot be used.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as fault:
        said = fault.strerror or "cannot be read"
        raise InputError(_fault(str(path), None, said, "a file that can be read")) from fault
    return parse_presses(data, file=path.name)


def parse_presses(data: bytes, *, file: str = "press log") -> tuple[Pressed, ...]:
    """Sleeves of a file's content.

    Args:
        data: UTF-8, a heading and one line a sleeve; ``#`` starts a comment line.
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
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    rows = [(number, _cells(line)) for number, line in lines]
    if not rows or tuple(rows[0][1]) != COLUMNS:
        first = rows[0][0] if rows else None
        raise InputError(_fault(file, first, "heading", ",".join(COLUMNS)))
    findings: list[Finding] = []
    pressed = []
    for number, cells in rows[1:]:
        faults, one = _row(cells, file, number)
        findings += faults
        pressed += [one] if one is not None else []
    if findings:
        raise InputError(findings[:_MOST_TOLD])
    return tuple(pressed)


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([line]), [])]


def _row(cells: list[str], file: str, line: int) -> tuple[list[Finding], Pressed | None]:
    if len(cells) != len(COLUMNS):
        return [_fault(file, line, f"{len(cells)} cells", f"{len(COLUMNS)} cells")], None
    said = dict(zip(COLUMNS, cells, strict=True))
    findings = [
        _fault(file, line, f"{name} is empty", "filled in")
        for name in ("eye", "reel", "sleeve", "tool", "order", "gauge", "who", "when")
        if not said[name]
    ]
    leg, presses = _count(said["leg"]), _count(said["presses"])
    if said["leg"] and leg is None:
        findings.append(_fault(file, line, f"leg = {said['leg']!r}", "a leg's number, or empty"))
    if presses is None:
        findings.append(_fault(file, line, f"presses = {said['presses']!r}", "a whole number"))
    if said["gauge"] and said["gauge"] not in GAUGES:
        findings.append(_fault(file, line, f"gauge = {said['gauge']!r}", " or ".join(GAUGES)))
    tails: list[float | None] = []
    for name in ("tail_before", "tail_after"):
        try:
            tails.append(parse(said[name], "length") if said[name] else None)
        except InputError as fault:
            found = fault.findings[0]
            findings.append(_fault(file, line, f"{name} = {found.value!r}", found.bound))
            tails.append(None)
        if tails[-1] is not None and tails[-1] < 0:
            findings.append(_fault(file, line, f"{name} = {said[name]!r}", "0 or more"))
    if findings or presses is None:
        return findings, None
    return [], Pressed(
        leg=leg,
        eye=said["eye"],
        reel=said["reel"],
        sleeve=said["sleeve"],
        tool=said["tool"],
        presses=presses,
        order=said["order"],
        tail_before=tails[0],
        tail_after=tails[1],
        gauge=said["gauge"],
        who=said["who"],
        when=said["when"],
    )


def _count(text: str) -> int | None:
    """A whole number from 1, written in plain digits."""
    plain = text.isascii() and text.isdigit() and len(text) <= len(str(_MOST_COUNT))
    return int(text) if plain and int(text) > 0 else None


def _fault(file: str, line: int | None, said: str, bound: str) -> Finding:
    remedy = "Mend the file; nothing of it was stored."
    return Finding("IN-069", file=file, line=line, key=said, bound=bound, remedy=remedy)
