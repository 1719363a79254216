"""From the snow on the ground to the snow that lies even on a roof."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rafterstay.core.errors import DataError, Finding
from rafterstay.core.sources import Source
from rafterstay.core.tables import table
from rafterstay.loads.asce7_2016.printed_in import FOOT, PSF

__all__ = [
    "BALANCED",
    "exposure_factor",
    "flat_roof_snow",
    "full_snow_to",
    "importance_factor",
    "minimum_snow",
    "rain_on_snow",
    "service_ground_snow",
    "slope_factor",
    "thermal_factor",
]

TABLES: Final = Path(__file__).parent / "tables"
BALANCED: Final = Source("ASCE/SEI 7", "2016", "7.3 and 7.4, flat and sloped roof", "read", 97)


def _factor(name: str, column: str, word: str) -> float:
    rows = table(TABLES, name)
    for row in rows:
        if row.printed[column] == word:
            return row.values["factor"]
    known = ", ".join(row.printed[column] for row in rows)
    raise DataError(Finding("DA-041", f"{name} of the snow", word, f"one of {known}"))


def exposure_factor(exposure: str) -> float:
    """Wind clears an exposed roof and spares a sheltered one.

    Args:
        exposure: Surface roughness and how the roof stands, as ``C partially exposed``.

    Returns:
        C_e. [-]

    Raises:
        DataError: DA-041 no such exposure.

    Source: ASCE 7-16 Table 7.3-1 (memory, 95 %)

    >>> exposure_factor("B partially exposed")
    1.0
    """
    return _factor("exposure", "exposure", exposure)


def thermal_factor(thermal: str) -> float:
    """A warm roof melts some of its snow, a cold one none.

    Args:
        thermal: ``heated``, ``cold ventilated`` (kept warm, the roof above well insulated and
            ventilated), ``unheated`` (and open to the air) or ``freezer``.

    Returns:
        C_t. [-]

    Raises:
        DataError: DA-041 no such condition.

    Source: ASCE 7-16 Table 7.3-2 (memory, 95 %); heated greenhouses are left out

    >>> thermal_factor("unheated")
    1.2
    """
    return _factor("thermal", "thermal", thermal)


def importance_factor(risk_category: str) -> float:
    """Snow importance factor.

    Args:
        risk_category: ``I`` to ``IV``; a dwelling is ``II``.

    Returns:
        I_s. [-]

    Raises:
        DataError: DA-041 no such category.

    Source: ASCE 7-16 Table 1.5-2 (memory, 96 %)

    >>> importance_factor("III")
    1.1
    """
    return _factor("importance", "risk_category", risk_category)


def service_ground_snow(strength_ground: float) -> float:
    """Ground snow of the strength-level maps as the allowable-stress combinations take it.

    Args:
        strength_ground: Ground snow of ASCE 7-22, >= 0. [Pa]

    Returns:
        0.7 of it, in the place of the ground snow of ASCE 7-16. [Pa]

    Limits: the maps of ASCE 7-22 hold the risk category already, so I_s stays 1.

    Source: ASCE 7-22 2.4.1, 0.7 S in the allowable-stress combinations (memory, 90 %)

    >>> round(service_ground_snow(50.0), 6)
    35.0
    """
    return 0.7 * strength_ground


def flat_roof_snow(ground: float, *, exposure: float, thermal: float, importance: float) -> float:
    """Snow on a roof before its slope is counted.

    Args:
        ground: Ground snow, >= 0. [Pa]
        exposure: C_e. [-]
        thermal: C_t. [-]
        importance: I_s. [-]

    Returns:
        p_f on plan. [Pa]

    Source: ASCE 7-16 eq. 7.3-1

    >>> round(flat_roof_snow(50.0, exposure=0.9, thermal=1.1, importance=1.0), 2)
    34.65
    """
    return 0.7 * exposure * thermal * importance * ground


def full_snow_to(thermal: float, *, slippery: bool) -> float:
    """Steepest slope that keeps all of its snow.

    Args:
        thermal: C_t. [-]
        slippery: See `slope_factor`.

    Returns:
        Slope of the roof plane. [deg]

    Source: ASCE 7-16 Figure 7.4-1 (memory, 96 %)

    >>> full_snow_to(1.1, slippery=False)
    37.5
    """
    column = "slippery_full_to_deg" if slippery else "full_to_deg"
    rows = table(TABLES, "slope")
    first = rows[0].values[column]
    return max(
        (row.values[column] for row in rows if row.values["thermal_factor"] <= thermal),
        default=first,
    )


def slope_factor(slope_deg: float, thermal: float, *, slippery: bool) -> float:
    """How much of the snow stays on a slope.

    Args:
        slope_deg: Of the roof plane, 0 to 90. [deg]
        thermal: C_t. [-]
        slippery: Nothing holds the snow back and the surface is slippery (metal, glass,
            membrane); a warm roof counts as slippery only when it is insulated as 7.4.1 says.

    Returns:
        C_s: 1 up to the slope of the table, straight down to 0 at 70 degrees. [-]

    Source: ASCE 7-16 Figure 7.4-1; 7.4.1 and 7.4.2 (memory, 96 %)

    >>> slope_factor(45.0, 1.0, slippery=False)
    0.625
    """
    full_to = full_snow_to(thermal, slippery=slippery)
    return min(1.0, max(0.0, (70.0 - slope_deg) / (70.0 - full_to)))


def minimum_snow(ground: float, importance: float, slope_deg: float) -> float:
    """Least even snow on a low roof, whatever the factors say.

    Args:
        ground: Ground snow, >= 0. [Pa]
        importance: I_s. [-]
        slope_deg: Of the roof plane. [deg]

    Returns:
        p_m on plan; 0 from 15 degrees up. Not combined with one-sided snow. [Pa]

    Source: ASCE 7-16 7.3.4 (the 20 psf read in a worked example, the rest memory, 95 %)

    >>> round(minimum_snow(30.0 * 47.880259, 1.0, 2.4) / 47.880259, 3)
    20.0
    """
    return importance * min(ground, 20.0 * PSF) if slope_deg < 15.0 else 0.0


def rain_on_snow(ground: float, slope_deg: float, eave_to_ridge: float) -> float:
    """Rain held by the snow of a nearly flat roof where little snow falls.

    Args:
        ground: Ground snow, >= 0. [Pa]
        slope_deg: Of the roof plane. [deg]
        eave_to_ridge: Plan distance W, > 0. [m]

    Returns:
        5 psf, added to even snow, where the ground snow is at most 20 psf and the slope in
        degrees is under W/50 with W in feet; else 0. [Pa]

    Source: ASCE 7-16 7.10 (memory, 92 %)

    >>> rain_on_snow(15.0 * 47.88, 26.6, 3.6)
    0.0
    """
    flat = slope_deg < eave_to_ridge / FOOT / 50.0
    return 5.0 * PSF if 0.0 < ground <= 20.0 * PSF * (1 + 1e-9) and flat else 0.0
