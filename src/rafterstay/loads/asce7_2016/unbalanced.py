"""Where the wind leaves the snow: the one-sided patterns of hip, gable and cone."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from rafterstay.core.sources import Source
from rafterstay.loads.asce7_2016.printed_in import FOOT, PCF, PSF
from rafterstay.roof.frame import Floats

__all__ = [
    "CONE",
    "HIP_AND_GABLE",
    "SHORT",
    "Drifted",
    "cone_snow",
    "drift_height",
    "drifted_snow",
    "is_cone_unbalanced",
    "is_unbalanced",
    "sector_share",
    "short_roof_snow",
    "snow_density",
]

HIP_AND_GABLE: Final = Source("ASCE/SEI 7", "2016", "7.6.1, hip and gable roofs", "read", 92)
CONE: Final = Source("ASCE/SEI 7", "2016", "7.6.4 and Figure 7.4-2, domes", "memory", 85)
SHORT: Final = 20.0 * FOOT  # eave to ridge, up to which a simple rafter takes no drift [m]
SECTOR_DEG: Final = 90.0
FADE_DEG: Final = 22.5


def is_unbalanced(slope: float) -> bool:
    """Whether a hip or gable of this slope is checked for one-sided snow.

    Args:
        slope: Rise over run of the roof plane. [-]

    Returns:
        True from 1/2 on 12 to 7 on 12.

    Source: ASCE 7-16 7.6.1

    >>> is_unbalanced(4 / 12), is_unbalanced(8 / 12)
    (True, False)
    """
    slip = 1e-9
    return 0.5 / 12 - slip <= slope <= 7 / 12 + slip


def short_roof_snow(ground: float, importance: float) -> float:
    """Snow on the lee of a roof of at most 20 ft from eave to ridge, on simple rafters.

    Args:
        ground: Ground snow, >= 0. [Pa]
        importance: I_s. [-]

    Returns:
        Even on the lee, on plan; nothing lies to windward. [Pa]

    Limits: members that run from ridge to eave with one section and are held at these two only.

    Source: ASCE 7-16 7.6.1 (memory, 97 %)

    >>> short_roof_snow(30.0, 1.1)
    33.0
    """
    return importance * ground


def snow_density(ground: float) -> float:
    """Weight of drifted snow.

    Args:
        ground: Ground snow, >= 0. [Pa]

    Returns:
        Weight, at most 30 pcf. [N/m3]

    Source: ASCE 7-16 eq. 7.7-1

    >>> round(snow_density(40.0 * 47.880259) / 157.08746, 2)
    19.2
    """
    return min(0.13 * ground / PSF + 14.0, 30.0) * PCF


def drift_height(upwind: float, ground: float, importance: float) -> float:
    """Height of the drift behind a ridge.

    Args:
        upwind: Length of roof the snow comes from, >= 0; 20 ft at least is counted. [m]
        ground: Ground snow, >= 0. [Pa]
        importance: I_s. [-]

    Returns:
        h_d, never below 0. [m]

    Limits: an importance above 1 raises it by its root (Figure 7.6-1 divides by it); one below
        1 is not let lower it, because that root is from memory at 75 %.

    Source: ASCE 7-16 Figure 7.6-1

    >>> round(drift_height(130.0 * 0.3048, 30.0 * 47.880259, 1.0) / 0.3048, 2)
    3.98
    """
    length = max(upwind / FOOT, 20.0)
    height: float = 0.43 * length ** (1 / 3) * (ground / PSF + 10.0) ** 0.25 - 1.5
    return max(0.0, height) * sqrt(max(1.0, importance)) * FOOT


@dataclass(frozen=True)
class Drifted:
    """One-sided snow with a drift behind the ridge.

    Attributes:
        windward: Even on the windward side. [Pa]
        leeward: Even on the lee. [Pa]
        height: Of the drift, h_d. [m]
        surcharge: Added on the lee next to the ridge. [Pa]
        width: How far down from the ridge it lies, on plan; never past the eave. [m]
    """

    windward: float
    leeward: float
    height: float
    surcharge: float
    width: float


def drifted_snow(
    sloped: float, ground: float, *, slope: float, eave_to_ridge: float, importance: float
) -> Drifted:
    """One-sided snow of a hip or gable roof.

    Args:
        sloped: Even snow p_s. [Pa]
        ground: Ground snow. [Pa]
        slope: Rise over run of the roof plane, > 0. [-]
        eave_to_ridge: Plan distance W. [m]
        importance: I_s. [-]

    Returns:
        0.3 p_s to windward; p_s and a rectangular surcharge to leeward.

    Source: ASCE 7-16 7.6.1: h_d g / sqrt(S) over 8 h_d sqrt(S) / 3, S the run for a rise of one
        (surcharge and 0.3 read in a worked example, width memory, 96 %)

    >>> round(drifted_snow(25.2 * 47.880259, 30 * 47.880259, slope=1 / 24,
    ...     eave_to_ridge=130 * 0.3048, importance=1.0).surcharge / 47.880259, 1)
    14.5
    """
    height = drift_height(eave_to_ridge, ground, importance)
    run = 1.0 / slope
    return Drifted(
        windward=0.3 * sloped,
        leeward=sloped,
        height=height,
        surcharge=height * snow_density(ground) / sqrt(run),
        width=min(8.0 * height * sqrt(run) / 3.0, eave_to_ridge),
    )


def is_cone_unbalanced(slope_deg: float) -> bool:
    """Whether a cone of this slope is checked for one-sided snow.

    Args:
        slope_deg: Of the roof plane. [deg]

    Returns:
        True from 10 to 60 degrees.

    Source: ASCE 7-16 7.6.2, which 7.6.4 follows (memory, 85 %)

    >>> is_cone_unbalanced(8.0), is_cone_unbalanced(35.0)
    (False, True)
    """
    return 10.0 - 1e-9 <= slope_deg <= 60.0 + 1e-9


def cone_snow(flat: float, *, exposure: float, slope_factor: float) -> tuple[float, float]:
    """Snow on the downwind sector of a cone, at the crown and at the eave.

    Args:
        flat: p_f. [Pa]
        exposure: C_e. [-]
        slope_factor: C_s of the cone. [-]

    Returns:
        0.5 p_f at the crown, 2 p_f C_s / C_e at the eave, straight between. [Pa]

    Limits: a curved roof's C_s is that at its eave; a cone has one slope. Steeper than 30
        degrees the standard's figure puts its full value higher up: not followed, because a
        cone has no 30 degree point.

    Source: ASCE 7-16 Figure 7.4-2 (memory, 85 %)

    >>> cone_snow(30.0, exposure=1.0, slope_factor=0.9)
    (15.0, 54.0)
    """
    return 0.5 * flat, 2.0 * flat * slope_factor / exposure


def sector_share(turn_deg: Floats) -> Floats:
    """How much of the downwind sector's snow lies at an azimuth.

    Args:
        turn_deg: Azimuth from the downwind direction, -180 to 180. [deg] (...)

    Returns:
        1 within the sector of 90 degrees, straight to 0 over 22.5 degrees on either side. [-]
            (...)

    Source: ASCE 7-16 7.6.4 (memory, 90 %)

    >>> sector_share(np.array([0.0, 45.0, 56.25, 67.5, 180.0])).tolist()
    [1.0, 1.0, 0.5, 0.0, 0.0]
    """
    beyond = np.abs(turn_deg) - SECTOR_DEG / 2
    return np.asarray(np.clip(1.0 - beyond / FADE_DEG, 0.0, 1.0))
