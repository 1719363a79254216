"""Sheets as a PDF document: each scene's SVG laid on a page of its own size, nothing scaled."""

from __future__ import annotations

import json
from collections.abc import Sequence

from rafterstay.sheets.as_svg import to_svg
from rafterstay.sheets.nouns import Sheet

__all__ = ["to_pdf"]

_PAGES = """
#let sheets = json(bytes(sys.inputs.sheets))
#set document(title: sheets.at(0).title, date: none)
#for sheet in sheets {
  page(width: sheet.width * 1mm, height: sheet.height * 1mm, margin: 0pt,
    image(bytes(sheet.svg), format: "svg", alt: sheet.title,
      width: sheet.width * 1mm, height: sheet.height * 1mm))
}
"""


def to_pdf(sheets: Sequence[Sheet]) -> bytes:
    """Write sheets, one page each.

    Args:
        sheets: At least one.

    Returns:
        A whole PDF document; the same sheets give the same bytes. Letters come from the
        typesetter's own fonts, never from those of the machine.
    """
    import typst

    laid = [
        {
            "title": sheet.title,
            "width": sheet.width_mm,
            "height": sheet.height_mm,
            "svg": to_svg(sheet.scene, paper="#ffffff"),
        }
        for sheet in sheets
    ]
    return bytes(
        typst.compile(
            _PAGES.encode(),
            sys_inputs={"sheets": json.dumps(laid)},
            ignore_system_fonts=True,
            timestamp=0,
        )
    )
