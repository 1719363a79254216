"""All sheets on one picture, small, to be looked over at once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from rafterstay.sheets.as_svg import to_svg
from rafterstay.sheets.nouns import Sheet

__all__ = ["contact_sheet"]

_ACROSS: Final = 4
_CELL: Final = 300.0  # side of the square a sheet has, gap included [mm]
_GAP: Final = 6.0
_GROUND: Final = "#d9dade"
_OPENING: Final = re.compile(r"<svg [^>]*>")


def contact_sheet(sheets: Sequence[Sheet]) -> str:
    """Lay sheets side by side.

    Args:
        sheets: At least one.

    Returns:
        A whole SVG document.
    """
    down = -(-len(sheets) // _ACROSS)
    wide, high = _ACROSS * _CELL + _GAP, down * _CELL + _GAP
    laid = []
    for count, sheet in enumerate(sheets):
        row, column = divmod(count, _ACROSS)
        x = _GAP + column * _CELL + (_CELL - _GAP - sheet.width_mm) / 2
        y = _GAP + row * _CELL + (_CELL - _GAP - sheet.height_mm) / 2
        laid.append(f'<g transform="translate({x:g} {y:g})">{_inside(sheet)}</g>')
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" role="img" '
        'aria-label="Every sheet, small">\n'
        f'<rect width="{wide:g}" height="{high:g}" fill="{_GROUND}"/>\n'
        + "\n".join(laid)
        + "\n</svg>\n"
    )


def _inside(sheet: Sheet) -> str:
    """What is drawn on a sheet, its paper included, without what a lone file needs."""
    whole = to_svg(sheet.scene, paper="#ffffff")
    whole = whole[_found(whole) :].removesuffix("</svg>\n")
    whole = re.sub(r"<title[^>]*>.*?</title>\n", "", whole, flags=re.DOTALL)
    return re.sub(r' (?:class|lengthAdjust|xml:space)="[^"]*"', "", whole)


def _found(whole: str) -> int:
    opening = _OPENING.search(whole)
    return opening.end() if opening else 0
