"""The basic combinations of allowable stress design, whatever carries the loads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rafterstay.core.sources import Source

__all__ = [
    "COMBINATIONS",
    "CONSTRUCTION",
    "PERMANENT",
    "SNOW",
    "SOURCE",
    "WIND",
    "Combination",
]

SOURCE: Final = Source(
    "International Building Code", "2018", "1605.3.1 (basic, allowable stress)", "read", 97
)
# Load duration, NDS 2018 Table 2.3.2: permanent, two months, seven days, ten minutes.
PERMANENT, SNOW, CONSTRUCTION, WIND = 0.9, 1.15, 1.25, 1.6


@dataclass(frozen=True)
class Combination:
    """One equation.

    Attributes:
        equation: As it is named.
        duration_factor: C_D of its shortest load. [-]
        dead: Factor on the dead load. [-]
        live: Factor on the roof live load. [-]
        snow: Factor on the snow. [-]
        wind: Factor on the strength-level wind. [-]
    """

    equation: str
    duration_factor: float
    dead: float = 1.0
    live: float = 0.0
    snow: float = 0.0
    wind: float = 0.0


# Floor load, rain and fluid are nil on a roof; earthquake is not covered.
COMBINATIONS: Final = (
    Combination("D", PERMANENT),
    Combination("D+Lr", CONSTRUCTION, live=1.0),
    Combination("D+S", SNOW, snow=1.0),
    Combination("D+0.75Lr", CONSTRUCTION, live=0.75),
    Combination("D+0.75S", SNOW, snow=0.75),
    Combination("D+0.6W", WIND, wind=0.6),
    Combination("D+0.75(0.6W)+0.75Lr", WIND, live=0.75, wind=0.45),
    Combination("D+0.75(0.6W)+0.75S", WIND, snow=0.75, wind=0.45),
    Combination("0.6D+0.6W", WIND, dead=0.6, wind=0.6),
)
