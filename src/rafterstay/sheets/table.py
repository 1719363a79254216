"""Rows of figures under headings, as many as a sheet holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rafterstay.sheets.desk import LETTER, LINE, Box, Desk
from rafterstay.sheets.literal import cells, clipped
from rafterstay.sheets.scene import ADVANCE, Text

__all__ = ["Column", "rows_that_fit", "tabulate"]


@dataclass(frozen=True)
class Column:
    """One column: its heading, and whether its figures end at its right edge."""

    heading: str
    right: bool = False


def rows_that_fit(box: Box, *, size: float = LETTER) -> int:
    """How many rows a box holds under a heading.

    Args:
        box: Where the table stands. [mm]
        size: Letter height. [mm]

    Returns:
        At least 1.
    """
    step = LINE * size / LETTER
    return max(1, int((box.height - 1.9 * step) / step))


def tabulate(
    desk: Desk,
    box: Box,
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    *,
    size: float = LETTER,
) -> float:
    """Letter a table; columns share the width by what stands in them.

    Args:
        desk: The sheet.
        box: Where the table stands. [mm]
        columns: Headings.
        rows: Cells; what is too wide is cut with three dots.
        size: Letter height. [mm]

    Returns:
        Height under the last row. [mm]
    """
    letter = size * ADVANCE
    most = max(len(columns), int(box.width / letter) - 2 * (len(columns) - 1))
    wanted = [
        max([cells(column.heading), *(cells(row[k]) for row in rows)])
        for k, column in enumerate(columns)
    ]
    wide = _shared(wanted, most)
    spare = max(0, most - sum(wide))
    between = (2 + min(4.0, spare / max(1, len(columns) - 1))) * letter
    step = LINE * size / LETTER
    y = box.high - size
    starts, x = [], box.left
    for cell in wide:
        starts.append(x)
        x += cell * letter + between
    right = min(box.right, x - between)

    def letter_row(cells_of: Sequence[str], y: float, *, bold: bool) -> None:
        for text, column, start, room in zip(cells_of, columns, starts, wide, strict=True):
            said = clipped(text, max(3, room))
            at = start + room * letter if column.right else start
            if said:
                anchor: Literal["start", "end"] = "end" if column.right else "start"
                desk.letter(Text("text", (at, y), said, size, anchor, bold=bold))

    letter_row([column.heading for column in columns], y, bold=True)
    desk.scene.line("rule", (box.left, y - 0.4 * step), (right, y - 0.4 * step))
    y -= 1.3 * step
    for row in rows:
        letter_row(row, y, bold=False)
        y -= step
    return y


def _shared(wanted: list[int], most: int) -> list[int]:
    """Widths that add up to no more than there is: the widest give way first."""
    wide = list(wanted)
    while sum(wide) > most:
        wide[wide.index(max(wide))] -= 1
    return wide
