"""Screw-pin bow shackles to Federal Specification RR-C-271 and EN 13889: a maker's sheet.

Undated sheet in millimetres, read: diameter of the pin, length inside from the pin to the bow,
and weight. The catalogue has the pins in inches from memory, 90 %; the sheet confirms each.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's sheet of bow shackles", "undated", "RR-C-271 and EN 13889", "read", 90)


def of(size: str, figure: str, times: float) -> float:
    found = getattr(catalog.find("shackle", f"anchor {size} in"), figure)
    assert isinstance(found, float)
    return times * found


ROWS = tuple(
    Row(
        f"bow shackle {size} in, pin",
        pin,
        "mm",
        serves="catalog.shackle pin",
        computed=partial(of, size, "pin", 1000.0),
    )
    for size, pin in (("1/4", "8"), ("3/8", "11"), ("7/16", "13"), ("1/2", "16"), ("5/8", "19"))
) + tuple(
    Row(
        f"bow shackle {size} in, {what}",
        text,
        unit,
        serves=f"catalog.shackle {what}",
        computed=partial(of, size, figure, times),
    )
    for size, what, figure, text, unit, times in (
        ("1/4", "inside length", "inside_length", "29", "mm", 1000.0),
        ("3/8", "inside length", "inside_length", "36", "mm", 1000.0),
        ("1/2", "inside length", "inside_length", "47", "mm", 1000.0),
        ("5/8", "inside length", "inside_length", "60", "mm", 1000.0),
        ("3/8", "weight", "mass", "0.14", "kg", 1.0),
        ("1/2", "weight", "mass", "0.36", "kg", 1.0),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
