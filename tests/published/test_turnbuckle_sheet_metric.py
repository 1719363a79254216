"""A maker's data sheet of jaw and jaw turnbuckles to ASTM F1145-92 in millimetres, undated. Read.

Jaw opening and pin are its columns D and F, a meaning inferred from the drawing: 80 %. Loads are
printed in tonnes to two places.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import TONNE_FORCE, cell
from tests.published.printed import Row, require_agreement

SOURCE = Source("Maker's millimetre sheet of jaw turnbuckles", "undated", "", "read", 98)


def length(turned_out: bool) -> float:
    body = catalog.find("turnbuckle", "jaw-jaw 1/2 in x 6 in")
    return 1000.0 * (body.closed + (body.take_up if turned_out else 0.0))


def tonnes(thread: str) -> float:
    return cell("turnbuckle_load", "working_load", thread=thread) / TONNE_FORCE


def jaw(thread: str, column: str) -> float:
    return 1000.0 * cell("turnbuckle_jaw_metric", column, thread=thread)


ROWS = (
    Row(
        "jaw-jaw 1/2 in x 6 in, closed",
        "330",
        "mm",
        serves="catalog.turnbuckle closed",
        computed=partial(length, False),
    ),
    Row(
        "jaw-jaw 1/2 in x 6 in, open",
        "482",
        "mm",
        serves="catalog.turnbuckle open",
        computed=partial(length, True),
    ),
    *(
        Row(
            f"jaw-jaw {thread} in, {which}",
            text,
            "mm",
            serves=f"catalog.turnbuckle {which}",
            computed=partial(jaw, thread, column),
            confidence=80,
            check="eye-pin" if column == "pin" else "",
        )
        for thread, opening, pin in (
            ("1/2", "16", "11"),
            ("5/8", "21", "14"),
            ("3/4", "26", "17.5"),
        )
        for which, column, text in (("jaw gap", "jaw_opening", opening), ("pin", "pin", pin))
    ),
    *(
        Row(
            f"jaw-jaw {thread} in, working load limit",
            text,
            "t",
            serves="catalog.turnbuckle working load in tonnes",
            computed=partial(tonnes, thread),
            check="turnbuckle-load",
        )
        for thread, text in (
            ("1/4", "0.23"),
            ("5/16", "0.36"),
            ("3/8", "0.54"),
            ("1/2", "1.00"),
            ("5/8", "1.59"),
            ("3/4", "2.36"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
