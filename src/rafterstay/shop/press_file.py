"""Sleeves as they were written down at the bench, and the sheet to write them on."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rafterstay.shop.bench_file import LARGEST_FILE, Line, parse_lines, read_file
from rafterstay.shop.press_log import GAUGES, Pressed, leg_eyes, ring_sleeves

if TYPE_CHECKING:
    from rafterstay.shop.nouns import Cutting
    from rafterstay.tie.nouns import Tie

__all__ = ["COLUMNS", "LARGEST_FILE", "blank_presses", "parse_presses", "read_presses"]

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
_TOLD: Final = ("eye", "reel", "sleeve", "tool", "order", "gauge", "who", "when")
_BY_HAND: Final = ("reel", "tool", "order", "tail_before", "tail_after", "who", "when")


def read_presses(path: Path) -> tuple[Pressed, ...]:
    """Sleeves of a file.

    Args:
        path: A CSV file under the heading of ``COLUMNS``.

    Returns:
        In the file's order.

    Raises:
        InputError: IN-069 the file cannot be read, or a cell cannot be used.
    """
    return parse_presses(read_file(path), file=path.name)


def parse_presses(data: bytes, *, file: str = "press log") -> tuple[Pressed, ...]:
    """Sleeves of a file's content.

    Args:
        data: UTF-8, a heading and one line a sleeve; ``#`` starts a comment line. A line of the
            blank sheet that nobody has filled in yet is passed over.
        file: Name to call it by.

    Returns:
        In the order written.

    Raises:
        InputError: IN-069, every fault at once with its line.
    """
    return parse_lines(data, COLUMNS, _pressed, file=file)


def blank_presses(tie: Tie, cutting: Cutting) -> str:
    """The sheet to write sleeves on: a line for each, what is known filled in.

    Args:
        tie: Its sleeve.
        cutting: Its legs.

    Returns:
        CSV under the heading of ``COLUMNS``; the gauge stands at ``not gauged``.
    """
    text = io.StringIO()
    sheet = csv.writer(text, lineterminator="\n")
    sheet.writerow(COLUMNS)
    for body in cutting.bodies:
        for eye in leg_eyes(tie.layout):
            known = {
                "leg": str(body.leg),
                "eye": eye,
                "sleeve": tie.sleeve.name,
                "presses": str(tie.sleeve.presses),
                "gauge": "not gauged",
            }
            sheet.writerow([known.get(column, "") for column in COLUMNS])
    if cutting.ring is not None:
        for eye in ring_sleeves(cutting.ring.ropes):
            known = {
                "eye": eye,
                "sleeve": cutting.ring.sleeve,
                "presses": str(cutting.ring.presses or ""),
                "gauge": "not gauged",
            }
            sheet.writerow([known.get(column, "") for column in COLUMNS])
    return text.getvalue()


def _pressed(line: Line) -> Pressed | None:
    said = line.said
    if not any(said[name] for name in _BY_HAND):
        return None
    line.filled(*_TOLD)
    leg = line.count("leg", may_be_empty=True)
    presses = line.count("presses")
    line.one_of("gauge", GAUGES)
    before = line.quantity("tail_before", "length")
    after = line.quantity("tail_after", "length")
    return Pressed(
        leg=leg,
        eye=said["eye"],
        reel=said["reel"],
        sleeve=said["sleeve"],
        tool=said["tool"],
        presses=presses or 0,
        order=said["order"],
        tail_before=before,
        tail_after=after,
        gauge=said["gauge"],
        who=said["who"],
        when=said["when"],
    )
