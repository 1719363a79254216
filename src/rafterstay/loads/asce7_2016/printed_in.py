"""The units ASCE 7 prints its formulas in, in SI."""

from __future__ import annotations

from typing import Final

from rafterstay.core.quantities import parse

__all__ = ["FOOT", "MPH", "PCF", "PSF"]

FOOT: Final = parse("1 ft", "length")  # [m]
PSF: Final = parse("1 psf", "pressure")  # [Pa]
PCF: Final = PSF / FOOT  # [N/m3]
MPH: Final = parse("1 mph", "speed")  # [m/s]
