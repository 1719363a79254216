"""ASCE/SEI 7-16, Table 27.5-2: wind pressures on roofs by the simplified directional procedure.

Read: exposure C, mean roof height 160 ft, zones 1 (windward) and 2 (leeward). The table was made
from Figure 27.3-1. Load case 1 goes with the figure's column for a height as great as the
length, case 2 with that for a quarter of it. The table is itself made from rounded figures: its
last digit is good to 0.15 psf. The row for 3 on 12 takes the figure's reduction of -1.3 for
large areas, which is not taken here, and is left out. K_z at 15 ft for exposures C and D are
values from memory, 97 %.
"""

from __future__ import annotations

from math import atan, degrees
from typing import TYPE_CHECKING

import pytest

from rafterstay.core.errors import DataError, InputError
from rafterstay.core.sources import Source
from rafterstay.loads.asce7_2016.printed_in import FOOT, MPH, PSF
from rafterstay.loads.asce7_2016.wind import (
    external_coefficients,
    internal_coefficient,
    roof_winds,
    velocity_coefficient,
    velocity_pressure,
)
from tests.published.printed import Row, require_agreement

if TYPE_CHECKING:
    from collections.abc import Callable

SOURCE = Source("ASCE/SEI 7", "2016", "Table 27.5-2, exposure C, h 160 ft", "read", 97)
GUIDE = "Wind Loads: guide to ASCE 7-16, house of chapter 8: K_z of exposure B at 12.1 ft"

# Rise in 12, then case 1 windward and leeward, case 2 windward and leeward, at each wind speed.
PRINTED = {
    160: {
        4: ("-66.5", "-53.7", "23.0", "-23.6"),
        5: ("-53.4", "-53.7", "30.7", "-25.7"),
        6: ("-42.9", "-53.7", "33.9", "-25.7"),
        9: ("-24.8", "-53.7", "40.5", "-25.7"),
        12: ("-14.0", "-53.7", "40.5", "-25.7"),
    },
    180: {
        4: ("-84.2", "-68.0", "29.2", "-29.8"),
        5: ("-67.6", "-68.0", "38.8", "-32.5"),
        6: ("-54.3", "-68.0", "42.9", "-32.5"),
        9: ("-31.4", "-68.0", "51.2", "-32.5"),
        12: ("-17.7", "-68.0", "51.2", "-32.5"),
    },
    200: {
        4: ("-104.0", "-83.9", "36.0", "-36.8"),
        5: ("-83.4", "-83.9", "47.9", "-40.1"),
        6: ("-67.0", "-83.9", "52.9", "-40.1"),
        9: ("-38.8", "-83.9", "63.2", "-40.1"),
        12: ("-21.9", "-83.9", "63.2", "-40.1"),
    },
}
CASES = (
    (1.0, "pull-inside-high", "windward"),
    (1.0, "pull-inside-high", "leeward"),
    (0.25, "push-inside-low", "windward"),
    (0.25, "push-inside-low", "leeward"),
)


def _pressure(speed: int, rise: int, case: tuple[float, str, str]) -> Callable[[], float]:
    ratio, name, side = case

    def computed() -> float:
        q = velocity_pressure(speed * MPH, velocity_coefficient(160 * FOOT, "C"))
        winds = roof_winds(
            q,
            slope_deg=degrees(atan(rise / 12)),
            height_over_length=ratio,
            height_over_length_along=ratio,
            internal=internal_coefficient("enclosed"),
        )
        (one,) = (wind for wind in winds if wind.name == name)
        return float(getattr(one, side)) / PSF

    return computed


ROWS = (
    *(
        Row(
            f"{side} at {rise} on 12, {speed} mph, h/L {ratio:g}",
            text,
            "psf",
            serves="asce7_2016.roof_winds",
            computed=_pressure(speed, rise, (ratio, name, side)),
            step="0.3",
        )
        for speed, by_slope in PRINTED.items()
        for rise, texts in by_slope.items()
        for (ratio, name, side), text in zip(CASES, texts, strict=True)
    ),
    Row(
        GUIDE,
        "0.57",
        "-",
        serves="asce7_2016.velocity_coefficient",
        computed=lambda: velocity_coefficient(12.1 * FOOT, "B"),
        confidence=98,
    ),
    Row(
        "velocity pressure, 115 mph, 15 ft, exposure C",
        "24.46",
        "psf",
        serves="asce7_2016.velocity_pressure",
        computed=lambda: velocity_pressure(115 * MPH, 0.85) / PSF,
        obtained="computed",
        confidence=95,
    ),
    Row(
        "K_z at 15 ft, exposure C",
        "0.85",
        "-",
        serves="asce7_2016.velocity_coefficient",
        computed=lambda: velocity_coefficient(15 * FOOT, "C"),
        obtained="memory",
        confidence=97,
    ),
    Row(
        "K_z at 15 ft, exposure D",
        "1.03",
        "-",
        serves="asce7_2016.velocity_coefficient",
        computed=lambda: velocity_coefficient(9 * FOOT, "D"),
        obtained="memory",
        confidence=97,
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


@pytest.mark.parametrize("slope_deg", [9.5, 61.0, 0.0])
def test_a_slope_outside_the_figure_is_refused(slope_deg: float) -> None:
    with pytest.raises(InputError, match="IN-841.*uplift"):
        external_coefficients(slope_deg, 0.5)


def test_an_unknown_terrain_or_enclosure_is_refused() -> None:
    with pytest.raises(DataError, match=r"DA-042.*B, C, D"):
        velocity_coefficient(3.0, "A")
    with pytest.raises(DataError, match=r"DA-042.*partially"):
        internal_coefficient("open")
