"""AISC Design Examples, part III: roof live load of the columns of a four-storey building.

20 psf on a flat roof, reduced by tributary area after ASCE/SEI 7 4.8: read.
R2 between 4 and 12 on 12 is a value from memory, 98 %.
"""

from __future__ import annotations

import pytest

from rafterstay.core.sources import Source
from rafterstay.loads.asce7_2016.printed_in import FOOT, PSF
from rafterstay.loads.asce7_2016.roof_live import area_factor, reduced_roof_live, rise_factor
from tests.published.printed import Row, require_agreement

SOURCE = Source("AISC Design Examples", "V16", "III-49 to III-53, roof live load", "read", 98)


def _load(area: float, slope: float = 0.0, stated: float = 20.0) -> float:
    return reduced_roof_live(stated * PSF, tributary=area * FOOT**2, slope=slope) / PSF


ROWS = (
    *(
        Row(
            f"roof live load, {area:g} ft2",
            text,
            "psf",
            serves="asce7_2016.reduced_roof_live",
            computed=lambda area=area: _load(area),
        )
        for area, text in (
            (690, "12.0"),
            (78.8, "20.0"),
            (318, "17.6"),
            (542, "13.2"),
            (1125, "12.0"),
        )
    ),
    *(
        Row(
            f"R1, {area:g} ft2",
            text,
            "-",
            serves="asce7_2016.area_factor",
            computed=lambda area=area: area_factor(area * FOOT**2),
        )
        for area, text in ((318, "0.882"), (542, "0.658"), (690, "0.6"), (78.8, "1"))
    ),
    *(
        Row(
            f"R2, {rise:g} on 12",
            text,
            "-",
            serves="asce7_2016.rise_factor",
            computed=lambda rise=rise: rise_factor(rise / 12),
            obtained="read" if rise == 12 else "memory",
            confidence=98,
        )
        for rise, text in ((4, "1"), (8, "0.8"), (12, "0.6"), (15, "0.6"))
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


def test_never_under_twelve_nor_more_than_stated() -> None:
    """ASCE 7 4.8.2, 12 to 20 psf: limits read; a load above 20 psf is of another use."""
    assert _load(700, slope=1.2) == pytest.approx(12.0)
    assert _load(700, slope=1.2, stated=10.0) == pytest.approx(10.0)
    assert _load(700, slope=1.2, stated=30.0) == pytest.approx(30.0)
