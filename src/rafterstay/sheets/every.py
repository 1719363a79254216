"""Which sheets a design has, in the order they are read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rafterstay.sheets.cards import draw_cards
from rafterstay.sheets.desk import Desk, Stamp, to_sheet
from rafterstay.sheets.figures import draw_loads, draw_pulls
from rafterstay.sheets.hub import draw_hub
from rafterstay.sheets.joints import draw_bolt, draw_eye_sheet
from rafterstay.sheets.middle import draw_ring
from rafterstay.sheets.nouns import Paper, Sheet
from rafterstay.sheets.plan_sheet import draw_plan_sheets
from rafterstay.sheets.request import Request
from rafterstay.sheets.summary import Designed
from rafterstay.sheets.templates import draw_drilling, draw_eye_marks, draw_ring_corners
from rafterstay.sheets.turnbuckle import draw_turnbuckles
from rafterstay.sheets.upright import draw_elevation, draw_section
from rafterstay.shop import Cutting

__all__ = ["every_sheet"]

_DRAWERS: Final[tuple[tuple[str, Callable[[Request], list[Desk]]], ...]] = (
    ("plan", draw_plan_sheets),
    ("section", draw_section),
    ("elevation", draw_elevation),
    ("bolt", draw_bolt),
    ("eye", draw_eye_sheet),
    ("ring", draw_ring),
    ("hub", draw_hub),
    ("turnbuckle", draw_turnbuckles),
    ("loads", draw_loads),
    ("pulls", draw_pulls),
    ("template-ring", draw_ring_corners),
    ("template-rafter", draw_drilling),
    ("template-eye", draw_eye_marks),
    ("card", draw_cards),
)


def every_sheet(
    design: Designed, *, paper: Paper, revision: str, date: str, cut: Cutting | None
) -> tuple[Sheet, ...]:
    """Draw every sheet of a design.

    Args:
        design: A finished design.
        paper: Letter or A4.
        revision: As lettered.
        date: As lettered.
        cut: Its cut list, where legs are cut.

    Returns:
        Sheets, numbered in their names.
    """
    asked = Request(design, paper, Stamp.of(design, revision=revision, date=date), cut)
    drawn = [
        (name if len(desks) == 1 else f"{name}-{count}", desk)
        for name, drawer in _DRAWERS
        for desks in [drawer(asked)]
        for count, desk in enumerate(desks, start=1)
    ]
    return tuple(
        to_sheet(desk, f"{number:02d}-{name}", number, len(drawn))
        for number, (name, desk) in enumerate(drawn, start=1)
    )
