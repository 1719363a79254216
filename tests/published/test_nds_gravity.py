"""ANSI/AWC NDS, National Design Specification for Wood Construction, 2018.

Table 12.3.3A, assigned specific gravities. Read in public worked examples.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import INCH
from tests.published.printed import Row, require_agreement

SOURCE = Source("NDS", "2018", "Table 12.3.3A", "read", 99)


def gravity(species: str) -> float:
    return catalog.species(species, "No. 2", 9.25 * INCH).gravity


ROWS = tuple(
    Row(
        f"{species}, specific gravity",
        text,
        "-",
        serves="catalog.species gravity",
        computed=partial(gravity, species),
        check="bolt-yield",
    )
    for species, text in (
        ("Douglas Fir-Larch", "0.50"),
        ("Southern Pine", "0.55"),
        ("Hem-Fir", "0.43"),
        ("Spruce-Pine-Fir", "0.42"),
    )
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
