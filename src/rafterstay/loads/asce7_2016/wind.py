"""Wind on a gable roof by the directional procedure, for the frame that resists it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from rafterstay.core.errors import DataError, Finding, InputError
from rafterstay.core.sources import Source
from rafterstay.core.tables import table
from rafterstay.loads.asce7_2016.printed_in import FOOT, MPH, PSF

__all__ = [
    "GABLE_WIND",
    "RoofWind",
    "along_coefficient",
    "external_coefficients",
    "internal_coefficient",
    "roof_winds",
    "terrain",
    "velocity_coefficient",
    "velocity_pressure",
]

TABLES: Final = Path(__file__).parent / "tables"
GABLE_WIND: Final = Source(
    "ASCE/SEI 7", "2016", "27.3.1 and Figure 27.3-1, directional procedure", "memory", 90
)
GUST: Final = 0.85  # G of a rigid building, 26.11.1
DIRECTIONALITY: Final = 0.85  # K_d of a building, Table 26.6-1
RATIOS: Final = (0.25, 0.5, 1.0)  # mean roof height over length that the figure has columns for
LEAST_SLOPE_DEG, MOST_SLOPE_DEG = 10.0, 60.0


def _row(name: str, column: str, word: str) -> dict[str, float]:
    rows = table(TABLES, name)
    for row in rows:
        if row.printed[column] == word:
            return dict(row.values)
    known = ", ".join(row.printed[column] for row in rows)
    raise DataError(Finding("DA-042", f"{column} to the wind", word, f"one of {known}"))


def terrain(exposure: str) -> tuple[float, float]:
    """How the wind grows with height over a terrain.

    Args:
        exposure: ``B``, ``C`` or ``D``.

    Returns:
        Power a [-] and gradient height z_g. [ft]

    Raises:
        DataError: DA-042 no such exposure.

    Source: ASCE 7-16 Table 26.11-1

    >>> terrain("C")
    (9.5, 900.0)
    """
    row = _row("terrain", "exposure", exposure)
    return row["power"], row["gradient_height_ft"]


def velocity_coefficient(height: float, exposure: str) -> float:
    """How much of the wind's pressure there is at a height.

    Args:
        height: Above the ground; 15 ft at least is counted. [m]
        exposure: ``B``, ``C`` or ``D``.

    Returns:
        K_z. [-]

    Raises:
        DataError: DA-042 no such exposure.

    Source: ASCE 7-16 Table 26.10-1 note 1 with Table 26.11-1

    >>> round(velocity_coefficient(12.1 * 0.3048, "B"), 2)
    0.57
    """
    power, gradient = terrain(exposure)
    return float(2.01 * (max(height / FOOT, 15.0) / gradient) ** (2.0 / power))


def velocity_pressure(speed: float, coefficient: float) -> float:
    """Pressure of the wind at a height.

    Args:
        speed: Basic wind speed of the site and risk category, strength level. [m/s]
        coefficient: K_z. [-]

    Returns:
        q with K_d 0.85, K_zt 1 (no hill or ridge) and K_e 1 (no credit for altitude). [Pa]

    Source: ASCE 7-16 eq. 26.10-1

    >>> round(velocity_pressure(115 * 0.44704, 0.90) / 47.880259, 1)
    25.9
    """
    return 0.00256 * coefficient * DIRECTIONALITY * (speed / MPH) ** 2 * PSF


def internal_coefficient(enclosure: str) -> float:
    """Pressure inside, either way.

    Args:
        enclosure: ``enclosed`` or ``partially enclosed``.

    Returns:
        GC_pi without its sign. [-]

    Raises:
        DataError: DA-042 no such enclosure.

    Source: ASCE 7-16 Table 26.13-1

    >>> internal_coefficient("enclosed")
    0.18
    """
    return _row("internal", "enclosure", enclosure)["coefficient"]


def external_coefficients(
    slope_deg: float, height_over_length: float
) -> tuple[tuple[float, float], float]:
    """Pressure coefficients of a gable's two slopes, wind square to the ridge.

    Args:
        slope_deg: Of the roof, 10 to 60. [deg]
        height_over_length: Mean roof height over the building's length along the wind. [-]

    Returns:
        The two C_p of the windward slope, least first, and that of the leeward slope; below 0
        the wind lifts. [-]

    Raises:
        InputError: IN-841 the slope lies outside the figure as it is kept here.

    Limits: the reduction of the -1.3 for large areas is not taken.

    Source: ASCE 7-16 Figure 27.3-1, straight between its columns and rows (memory, 93 %)

    >>> external_coefficients(30.0, 0.25)
    ((-0.2, 0.3), -0.6)
    """
    if not LEAST_SLOPE_DEG <= slope_deg <= MOST_SLOPE_DEG:
        raise InputError(
            Finding(
                "IN-841",
                key="slope for wind",
                value=f"{slope_deg:.1f} deg",
                bound=f"between {LEAST_SLOPE_DEG:.0f} and {MOST_SLOPE_DEG:.0f} deg",
                remedy="State the net uplift as loads.wind.uplift, from an engineer.",
            )
        )
    by_ratio = {}
    for ratio in RATIOS:
        every = (row.values for row in table(TABLES, "roof_normal"))
        rows = [row for row in every if row["height_over_length"] == ratio]
        slopes = [row["slope_deg"] for row in rows]
        columns = (
            [-row["windward_suction"] for row in rows],
            [row.get("windward_push", -row.get("windward_least_suction", 0.0)) for row in rows],
            [-row["leeward_suction"] for row in rows],
        )
        by_ratio[ratio] = [float(np.interp(slope_deg, slopes, column)) for column in columns]
    low, high, lee = (
        float(np.interp(height_over_length, RATIOS, column))
        for column in zip(*by_ratio.values(), strict=True)
    )
    return (low, high), lee


def along_coefficient(height_over_length: float) -> float:
    """Pressure coefficient of both slopes for wind along the ridge, next to the gable.

    Args:
        height_over_length: Mean roof height over the building's length along the ridge. [-]

    Returns:
        C_p; below 0 the wind lifts. [-]

    Source: ASCE 7-16 Figure 27.3-1 (memory, 90 %)

    >>> along_coefficient(0.3), round(along_coefficient(0.75), 3)
    (-0.9, -1.1)
    """
    return float(np.interp(height_over_length, (0.5, 1.0), (-0.9, -1.3)))


@dataclass(frozen=True)
class RoofWind:
    """Pressure on the two slopes of a gable and under its windward eave, strength level.

    Attributes:
        name: ``push`` or ``pull`` on the windward slope with the pressure ``inside-low`` or
            ``inside-high``; or ``along`` the ridge.
        windward: On the first slope, towards it above 0. [Pa]
        leeward: On the other slope. [Pa]
        windward_eave: On the windward overhang, top and underside. [Pa]
        leeward_eave: On the leeward overhang, where only the top is loaded. [Pa]
    """

    name: str
    windward: float
    leeward: float
    windward_eave: float
    leeward_eave: float


def roof_winds(
    pressure: float,
    *,
    slope_deg: float,
    height_over_length: float,
    height_over_length_along: float,
    internal: float,
) -> tuple[RoofWind, ...]:
    """Every pressure on a gable's slopes for wind square to the ridge, and the worst along it.

    Args:
        pressure: q at mean roof height. [Pa]
        slope_deg: Of the roof. [deg]
        height_over_length: Mean roof height over the building's length along a wind that
            blows square to the ridge. [-]
        height_over_length_along: The same for a wind along the ridge. [-]
        internal: GC_pi without its sign. [-]

    Returns:
        Four for wind square to the ridge, then one along it.

    Raises:
        InputError: IN-841.

    Limits: along the ridge the zone next to the gable, C_p -0.9 (-1.3 where the ratio reaches
        1), is taken for every rafter.

    Source: ASCE 7-16 eq. 27.3-1, p = q G C_p - q (GC_pi); 27.3.3, C_p 0.8 under the windward
        overhang

    >>> [round(one.leeward, 3) for one in roof_winds(1.0, slope_deg=45, height_over_length=0.25,
    ...     height_over_length_along=0.25, internal=0.18)][:2]
    [-0.33, -0.69]
    """
    windward, lee = external_coefficients(slope_deg, height_over_length)
    eave = 0.8
    winds = []
    for name, out in zip(("pull", "push"), windward, strict=True):
        for inside, sign in (("low", 1.0), ("high", -1.0)):
            winds.append(
                RoofWind(
                    f"{name}-inside-{inside}",
                    windward=pressure * (GUST * out + sign * internal),
                    leeward=pressure * (GUST * lee + sign * internal),
                    windward_eave=pressure * GUST * (out - eave),
                    leeward_eave=pressure * GUST * lee,
                )
            )
    along = along_coefficient(height_over_length_along)
    on_slope, on_eave = pressure * (GUST * along - internal), pressure * GUST * along
    winds.append(RoofWind("along", on_slope, on_slope, on_eave, on_eave))
    return tuple(winds)
