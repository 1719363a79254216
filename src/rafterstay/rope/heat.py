"""What warming and cooling do to a rope."""

from __future__ import annotations

from typing import Literal

from rafterstay.core.tables import table
from rafterstay.rope.arguments import require_above_zero, require_finite
from rafterstay.rope.stretch import TABLES

__all__ = ["expansion", "restrained_thermal_force", "thermal_change"]


def expansion(metal: Literal["carbon", "stainless"]) -> float:
    """Thermal expansion of a rope's metal.

    Args:
        metal: ``carbon`` for bright and galvanized rope, or ``stainless``.

    Returns:
        Strain for each degree. [1/K]

    Source: tables/expansion.csv and tables/expansion_stainless.csv

    >>> expansion("carbon")
    1.2e-05
    """
    rows = table(TABLES, "expansion") + table(TABLES, "expansion_stainless")
    return next(row.values["expansion"] for row in rows if row.printed["metal"] == metal)


def thermal_change(length: float, expansion: float, warming: float) -> float:
    """Change of a free rope's length.

    Args:
        length: Length of the rope, > 0. [m]
        expansion: Strain for each degree, > 0. [1/K]
        warming: Rise of temperature, below 0 for cooling. [K]

    Returns:
        The change, above 0 when it grows. [m]

    Raises:
        InputError: IN-801, IN-802.

    Source: definition of the coefficient of expansion

    >>> round(thermal_change(3.0, 12e-6, -30.0) * 1000, 2)
    -1.08
    """
    require_above_zero(length=length, expansion=expansion)
    require_finite(warming=warming)
    return length * expansion * warming


def restrained_thermal_force(stiffness: float, expansion: float, cooling: float) -> float:
    """Pull that cooling adds to a rope whose ends cannot move.

    Args:
        stiffness: EA of the rope, > 0. [N]
        expansion: Strain for each degree, > 0. [1/K]
        cooling: Fall of temperature, below 0 for warming. [K]

    Returns:
        Pull added; below 0 is pull lost. [N]

    Raises:
        InputError: IN-801, IN-802.

    Limits: the most there can be; a frame that moves with the rope gets less.

    Source: Hooke's law on the thermal strain

    >>> round(restrained_thermal_force(1.986e6, 12e-6, 20.0), 1)
    476.6
    """
    require_above_zero(stiffness=stiffness, expansion=expansion)
    require_finite(cooling=cooling)
    return stiffness * expansion * cooling
