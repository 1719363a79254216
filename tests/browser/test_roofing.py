"""Weights of roofing by name.

ASCE/SEI 7-16, Table C3.1-1a, minimum design dead loads. Values from memory, 85 %. The slate
figures lie within the 7 to 10 psf that TI 809-53 (1999), Table 8-1, prints for slate of 3/16 to
1/4 in. Hips and purlins: common practice, no source.
"""

from __future__ import annotations

import pytest

from rafterstay.core.quantities import parse
from rafterstay.web.roofing import roofings

PSF = parse("1 psf", "pressure")
PRINTED = {
    "asphalt shingles": "2",
    "wood shingles": "3",
    "sheet copper or tin": "1",
    "cement tile": "16",
    "clay tile, Roman": "12",
    "clay tile, Spanish": "19",
    "slate, 3/16 in": "7",
    "slate, 1/4 in": "10",
}
SHEATHING = 3.0  # wood, per inch of thickness
FRAME = 4.0  # hips and purlins


def test_every_covering_is_as_printed() -> None:
    found = {one.name: one.covering / PSF for one in roofings()}
    assert found == pytest.approx({name: float(text) for name, text in PRINTED.items()})


def test_what_carries_the_covering_is_weighed_too() -> None:
    for one in roofings():
        assert one.under / PSF == pytest.approx(SHEATHING + FRAME)
        assert one.weight == pytest.approx(one.covering + one.under)
        assert any("common practice" in str(source) for source in one.sources)
        assert parse(one.stated("us"), "pressure") == pytest.approx(one.weight)
        assert one.name in one.said("si")
