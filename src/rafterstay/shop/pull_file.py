"""Proof pulls and test eyes as they were written down, and the sheet to write them on."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rafterstay.shop.bench_file import Line, parse_lines, read_file
from rafterstay.shop.press_log import pulled_name

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rafterstay.shop.nouns import Cutting

__all__ = [
    "COLUMNS",
    "RESULTS",
    "Pulled",
    "blank_pulls",
    "parse_pulls",
    "pull_from_log",
    "pull_to_log",
    "read_pulls",
]

COLUMNS: Final = ("leg", "reel", "tool", "scale", "pull", "held", "result", "who", "when")
RESULTS: Final = ("held", "slipped", "broke")
_TOLD: Final = ("scale", "pull", "held", "result", "who", "when")
_BY_HAND: Final = ("reel", "tool", "scale", "pull", "result", "who", "when")
_SECONDS: Final = {"s": 1.0, "min": 60.0}


@dataclass(frozen=True)
class Pulled:
    """A leg that was proved, or a test eye that was pulled until something gave.

    Attributes:
        leg: Number of the leg; None for a test eye.
        part: What was pulled.
        scale: What pulled, and what it was read on.
        pull: Most it was pulled. [N]
        held: How long. [s]
        result: ``held``, ``slipped`` (the sleeve) or ``broke`` (the rope).
        who: Who pulled.
        when: When.
    """

    leg: int | None
    part: str
    scale: str
    pull: float
    held: float
    result: str
    who: str
    when: str


def read_pulls(path: Path) -> tuple[Pulled, ...]:
    """Pulls of a file.

    Args:
        path: A CSV file under the heading of ``COLUMNS``.

    Returns:
        In the file's order.

    Raises:
        InputError: IN-069 the file cannot be read, or a cell cannot be used.
    """
    return parse_pulls(read_file(path), file=path.name)


def parse_pulls(data: bytes, *, file: str = "pull log") -> tuple[Pulled, ...]:
    """Pulls of a file's content.

    Args:
        data: UTF-8, a heading and one line a pull: of a leg its number, of a test eye its reel
            and the tool that pressed it. A line nobody has filled in yet is passed over.
        file: Name to call it by.

    Returns:
        In the order written.

    Raises:
        InputError: IN-069, every fault at once with its line.
    """
    return parse_lines(data, COLUMNS, _pulled, file=file)


def blank_pulls(cutting: Cutting, reels: int) -> str:
    """The sheet to write pulls on: a line for each reel's test eye, and one for each leg.

    Args:
        cutting: Its legs.
        reels: How many reels of leg rope are cut into.

    Returns:
        CSV under the heading of ``COLUMNS``.
    """
    text = io.StringIO()
    sheet = csv.writer(text, lineterminator="\n")
    sheet.writerow(COLUMNS)
    for _ in range(reels):
        sheet.writerow(["", *[""] * 4, "0 s", "", "", ""])
    for body in cutting.bodies:
        sheet.writerow([str(body.leg), *[""] * 4, "60 s", "", "", ""])
    return text.getvalue()


def pull_to_log(pulled: Pulled) -> dict[str, str | int | float | None]:
    """Columns of the log of proof pulls; ``who`` and ``taken`` are given beside them.

    Args:
        pulled: The pull.

    Returns:
        Column to value; each name ends in its unit. [SI]
    """
    return {
        "leg": pulled.leg,
        "part": pulled.part,
        "tool": pulled.scale,
        "pull_N": pulled.pull,
        "held_s": pulled.held,
        "result": pulled.result,
    }


def pull_from_log(values: Mapping[str, str | int | float | None], *, who: str, when: str) -> Pulled:
    """The pull that an entry of the log of proof pulls tells of.

    Args:
        values: Column to value; each name ends in its unit. [SI]
        who: Who pulled.
        when: When.

    Returns:
        The pull.
    """
    leg = values["leg"]
    return Pulled(
        leg=None if leg is None else int(leg),
        part=str(values["part"]),
        scale=str(values["tool"]),
        pull=float(values["pull_N"] or 0.0),
        held=float(values["held_s"] or 0.0),
        result=str(values["result"]),
        who=who,
        when=when,
    )


def _pulled(line: Line) -> Pulled | None:
    said = line.said
    if not any(said[name] for name in _BY_HAND):
        return None
    line.filled(*_TOLD)
    line.one_of("result", RESULTS)
    leg = line.count("leg", may_be_empty=True)
    if not said["leg"]:
        line.filled("reel", "tool")
    pull = line.quantity("pull", "force")
    if pull == 0:
        line.wrong("pull", "above 0")
    return Pulled(
        leg=leg,
        part=f"leg {leg}" if leg else pulled_name(said["reel"], said["tool"]),
        scale=said["scale"],
        pull=pull or 0.0,
        held=_seconds(line),
        result=said["result"],
        who=said["who"],
        when=said["when"],
    )


def _seconds(line: Line) -> float:
    """How long it was held, as ``60 s`` or ``1 min``. [s]"""
    number, _, unit = line.said["held"].partition(" ")
    if unit not in _SECONDS or not number.isascii() or not number.isdigit() or len(number) > 4:
        if line.said["held"]:
            line.wrong("held", "a time such as 60 s or 1 min")
        return 0.0
    return int(number) * _SECONDS[unit]
