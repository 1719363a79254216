"""Drawings: what a design says, on paper.

takes Design; gives Sheets (a Scene each: mm on paper, layers) and their SVG, DXF and PDF; next:
packet.

    sheets = draw(design, paper="letter", revision="B", date="2026-03-02", cut=cutting)
    svg(sheets[0])      -> str    one sheet, real text
    dxf(sheets[0])      -> bytes  one sheet at true size, real dimensions, one layer a pen
    pdf(sheets)         -> bytes  all sheets, one page each, at true scale

Revision and date are lettered as given: blank lines to write on where left out. Without a cut
list the settings of the turnbuckles are those of the drawing. Same input, same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rafterstay.sheets.nouns import Paper, Sheet

if TYPE_CHECKING:
    from rafterstay.sheets.summary import Designed
    from rafterstay.shop import Cutting

__all__ = ["Paper", "Sheet", "draw", "dxf", "pdf", "svg"]


def draw(
    design: Designed,
    *,
    paper: Paper = "letter",
    revision: str = "",
    date: str = "",
    cut: Cutting | None = None,
) -> tuple[Sheet, ...]:
    """Draw every sheet of a design.

    Args:
        design: A finished design.
        paper: ``letter`` or ``a4``.
        revision: As it is lettered in the title block.
        date: As it is lettered in the title block.
        cut: Its cut list, where legs are cut.

    Returns:
        Sheets in the order they are read; their names are unique and fit for files.
    """
    from rafterstay.sheets.every import every_sheet

    return every_sheet(design, paper=paper, revision=revision, date=date, cut=cut)


def svg(sheet: Sheet) -> str:
    """One sheet as an SVG document on white paper."""
    from rafterstay.sheets.as_svg import to_svg

    return to_svg(sheet.scene, paper="#ffffff")


def dxf(sheet: Sheet) -> bytes:
    """One sheet as a DXF drawing; a unit is a millimetre of the real thing."""
    from rafterstay.sheets.as_dxf import to_dxf

    return to_dxf(sheet.scene, scale=sheet.scale or 1.0)


def pdf(sheets: Sheet | Sequence[Sheet]) -> bytes:
    """One sheet or several as a PDF document, one page each, at true scale."""
    from rafterstay.sheets.as_pdf import to_pdf

    return to_pdf([sheets] if isinstance(sheets, Sheet) else sheets)
