"""Snow Loads, guide to the snow provisions of ASCE 7-10: examples 4-3 and 6-2, read.

A wide gable of 1/2 on 12, W 130 ft, unheated, exposure B partly sheltered, ground snow 30 psf.
The clauses it uses stand unchanged in ASCE 7-16. Rows marked so are values from memory: the slope
factors of Figure 7.4-1 at 96 %; others are computed from the formulas.
"""

from __future__ import annotations

import pytest

from rafterstay.core.errors import DataError
from rafterstay.core.sources import Source
from rafterstay.loads.asce7_2016 import snow
from rafterstay.loads.asce7_2016.printed_in import FOOT, PCF, PSF
from rafterstay.loads.asce7_2016.unbalanced import (
    Drifted,
    cone_snow,
    drift_height,
    drifted_snow,
    is_cone_unbalanced,
    is_unbalanced,
    short_roof_snow,
    snow_density,
)
from tests.published.printed import Row, require_agreement

SOURCE = Source("Snow Loads, guide to ASCE 7-10", "2010", "examples 4-3 and 6-2", "read", 98)
SHEET = "a joist maker's drift sheet after ASCE 7-05"


def _flat(exposure: str, thermal: str, category: str, ground: float) -> float:
    return (
        snow.flat_roof_snow(
            ground * PSF,
            exposure=snow.exposure_factor(exposure),
            thermal=snow.thermal_factor(thermal),
            importance=snow.importance_factor(category),
        )
        / PSF
    )


def _wide(sloped: float = 25.0) -> Drifted:
    return drifted_snow(
        sloped * PSF, 30 * PSF, slope=1 / 24, eave_to_ridge=130 * FOOT, importance=1.0
    )


def _drift(upwind: float, ground: float) -> float:
    return drift_height(upwind * FOOT, ground * PSF, 1.0) / FOOT


ROWS = (
    Row(
        "example 4-3: 0.7 x 1.0 x 1.2 x 1.0 x 30",
        "25.2",
        "psf",
        serves="asce7_2016.flat_roof_snow",
        computed=lambda: _flat("B partially exposed", "unheated", "II", 30.0),
    ),
    Row(
        "example 4-3: slope factor at 2.39 deg, slippery",
        "1.0",
        "-",
        serves="asce7_2016.slope_factor",
        computed=lambda: snow.slope_factor(2.39, 1.2, slippery=True),
    ),
    Row(
        "example 4-3: minimum on a low slope",
        "20",
        "psf",
        serves="asce7_2016.minimum_snow",
        computed=lambda: snow.minimum_snow(30 * PSF, 1.0, 2.39) / PSF,
    ),
    Row(
        "example 4-3: rain on snow above 20 psf of ground snow",
        "0",
        "psf",
        serves="asce7_2016.rain_on_snow",
        computed=lambda: snow.rain_on_snow(30 * PSF, 2.39, 130 * FOOT) / PSF,
        step="0",
    ),
    Row(
        "example 6-2: windward, 0.3 x 25",
        "7.5",
        "psf",
        serves="asce7_2016.drifted_snow",
        check="unbalanced-snow",
        computed=lambda: _wide().windward / PSF,
    ),
    Row(
        "example 6-2: drift height",
        "3.97",
        "ft",
        serves="asce7_2016.drift_height",
        check="unbalanced-snow",
        computed=lambda: _wide().height / FOOT,
        erratum="snow-drift-height",
    ),
    Row(
        "example 6-2: density",
        "17.9",
        "pcf",
        serves="asce7_2016.snow_density",
        computed=lambda: snow_density(30 * PSF) / PCF,
    ),
    Row(
        "example 6-2: surcharge",
        "14.5",
        "psf",
        serves="asce7_2016.drifted_snow",
        check="unbalanced-snow",
        computed=lambda: _wide().surcharge / PSF,
    ),
    Row(
        f"{SHEET}: density, ground 20",
        "16.600",
        "pcf",
        serves="asce7_2016.snow_density",
        computed=lambda: snow_density(20 * PSF) / PCF,
        confidence=96,
    ),
    Row(
        f"{SHEET}: three quarters of the drift height, 35 ft, ground 20",
        "1.344",
        "ft",
        serves="asce7_2016.drift_height",
        check="unbalanced-snow",
        computed=lambda: 0.75 * _drift(35.0, 20.0),
        confidence=96,
    ),
    Row(
        f"{SHEET}: intensity of the drift",
        "22.308",
        "psf",
        serves="asce7_2016.snow_density",
        computed=lambda: (
            0.75 * drift_height(35 * FOOT, 20 * PSF, 1.0) * snow_density(20 * PSF) / PSF
        ),
        confidence=96,
    ),
    *(
        Row(
            f"drift height, {upwind} ft, ground {ground}",
            text,
            "ft",
            serves="asce7_2016.drift_height",
            check="unbalanced-snow",
            computed=lambda upwind=upwind, ground=ground: _drift(upwind, ground),
            obtained="computed",
            confidence=95,
        )
        for upwind, ground, text in ((25, 30, "1.662"), (30, 40, "2.053"), (50, 50, "2.909"))
    ),
    *(
        Row(
            f"flat roof snow, {exposure}, {thermal}, ground {ground}",
            text,
            "psf",
            serves="asce7_2016.flat_roof_snow",
            computed=lambda e=exposure, t=thermal, g=ground: _flat(e, t, "II", g),
            obtained="computed",
            confidence=98,
        )
        for exposure, thermal, ground, text in (
            ("C fully exposed", "cold ventilated", 50.0, "34.65"),
            ("B partially exposed", "heated", 40.0, "28"),
            ("C partially exposed", "heated", 30.0, "21"),
        )
    ),
    *(
        Row(
            f"slope factor, {slope} deg, C_t {thermal}{', slippery' if slippery else ''}",
            text,
            "-",
            serves="asce7_2016.slope_factor",
            computed=lambda s=slope, t=thermal, w=slippery: snow.slope_factor(s, t, slippery=w),
            obtained="memory",
            confidence=96,
        )
        for slope, thermal, slippery, text in (
            (45.0, 1.0, False, "0.625"),
            (33.69, 1.0, False, "0.908"),
            (30.0, 1.0, True, "0.615"),
            (45.0, 1.1, False, "0.769"),
            (30.0, 1.1, True, "0.667"),
            (60.0, 1.2, False, "0.40"),
            (30.0, 1.2, True, "0.727"),
            (30.0, 1.3, True, "0.727"),
            (75.0, 1.0, False, "0"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


def test_the_slopes_that_are_checked_for_one_sided_snow() -> None:
    """7.6.1: 1/2 on 12 to 7 on 12; domes 10 to 60 degrees (value from memory, 85 %)."""
    assert [is_unbalanced(rise / 12) for rise in (0.4, 0.5, 7.0, 7.1)] == [False, True, True, False]
    at = (9.9, 10.0, 60.0, 60.1)
    assert [is_cone_unbalanced(deg) for deg in at] == [False, True, True, False]


def test_no_upwind_length_under_twenty_feet_is_counted() -> None:
    """Figure 7.6-1 (value from memory, 90 %)."""
    assert _drift(7.0, 45.0) == _drift(20.0, 45.0) < _drift(21.0, 45.0)


def test_importance_raises_a_drift_by_its_root_and_never_lowers_it() -> None:
    """Figure 7.6-1 (value from memory, 75 %)."""
    plain = drift_height(9.0, 1700.0, 1.0)
    assert drift_height(9.0, 1700.0, 1.2) == pytest.approx(plain * 1.2**0.5)
    assert drift_height(9.0, 1700.0, 0.8) == plain


def test_a_drift_stays_on_its_roof() -> None:
    """8 h_d sqrt(S) / 3 may pass the eave of a short, flat roof."""
    drifted = drifted_snow(900.0, 2400.0, slope=1 / 20, eave_to_ridge=6.2, importance=1.0)
    assert drifted.width == 6.2
    steep = drifted_snow(900.0, 2400.0, slope=0.55, eave_to_ridge=6.2, importance=1.0)
    assert steep.width < 6.2
    assert steep.width == pytest.approx(8 * steep.height / 0.55**0.5 / 3)


def test_light_snow_takes_the_rain_that_falls_on_it() -> None:
    """7.10: 5 psf up to 20 psf on the ground and under W/50 degrees (from memory, 92 %)."""
    assert snow.rain_on_snow(18 * PSF, 1.1, 60 * FOOT) == pytest.approx(5 * PSF)
    assert snow.rain_on_snow(18 * PSF, 1.3, 60 * FOOT) == 0
    assert snow.rain_on_snow(21 * PSF, 1.1, 60 * FOOT) == 0


def test_short_roofs_and_cones() -> None:
    """7.6.1 I_s p_g (value from memory, 97 %); Figure 7.4-2 0.5 and 2 (from memory, 85 %)."""
    assert short_roof_snow(37 * PSF, 1.2) == pytest.approx(44.4 * PSF)
    crown, eave = cone_snow(26 * PSF, exposure=0.8, slope_factor=0.7)
    assert (crown / PSF, eave / PSF) == pytest.approx((13.0, 45.5))


def test_unknown_words_are_refused_with_those_known() -> None:
    with pytest.raises(DataError, match=r"DA-041.*C sheltered"):
        snow.exposure_factor("A sheltered")
    with pytest.raises(DataError, match=r"DA-041.*freezer"):
        snow.thermal_factor("warm")
    with pytest.raises(DataError, match="DA-041"):
        snow.importance_factor("V")
