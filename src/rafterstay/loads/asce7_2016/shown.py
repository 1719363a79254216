"""The units lines of working are printed in, and what turns them into those of ASCE 7."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016.printed_in import FOOT, PCF, PSF

if TYPE_CHECKING:
    from rafterstay.core.quantities import System

__all__ = ["SI", "US", "Shown", "figure", "shown_in"]


def figure(value: float) -> str:
    """A figure as a line of working writes it.

    Args:
        value: In the line's own unit. [-]

    Returns:
        Eight digits.

    >>> figure(1 / 3)
    '0.33333333'
    """
    return f"{value:.8g}"


@dataclass(frozen=True)
class Shown:
    """Units of pressures, lengths and densities in lines of working.

    Attributes:
        psf: One of its units of pressure. [Pa]
        pressure: Its name.
        foot: One of its units of length. [m]
        length: Its name.
        pcf: One of its units of density. [N/m3]
        density: Its name.
    """

    psf: float
    pressure: str
    foot: float
    length: str
    pcf: float
    density: str

    @property
    def is_si(self) -> bool:
        """Whether ASCE 7, whose constants are US units, must be turned into them."""
        return self.pressure != "psf"

    def p(self, pressure: float) -> str:
        """A pressure as printed.

        Args:
            pressure: In SI. [Pa]

        Returns:
            Eight digits of its units.
        """
        return figure(pressure / self.psf)

    def long(self, length: float) -> str:
        """A length as printed.

        Args:
            length: In SI. [m]

        Returns:
            Eight digits of its units.
        """
        return figure(length / self.foot)

    def line(self, symbol: str, formula: str, numbers: str, pressure: float) -> Line:
        """A line that comes to a pressure.

        Args:
            symbol: Of the pressure.
            formula: In symbols.
            numbers: In its own units.
            pressure: What it comes to. [Pa]

        Returns:
            The line.
        """
        return Line(symbol, formula, numbers, pressure / self.psf, self.pressure)

    def in_psf(self, pressure: float) -> str:
        """A pressure as printed, and what turns it into psf.

        Args:
            pressure: In SI. [Pa]

        Returns:
            An expression.
        """
        return f"{self.p(pressure)}{self._by(PSF / self.psf, '/')}"

    def in_feet(self, length: float) -> str:
        """A length as printed, and what turns it into feet.

        Args:
            length: In SI. [m]

        Returns:
            An expression.
        """
        return f"{self.long(length)}{self._by(FOOT / self.foot, '/')}"

    @property
    def from_psf(self) -> str:
        """What turns psf into its unit; empty where it is psf."""
        return self._by(PSF / self.psf, "*")

    @property
    def from_pcf(self) -> str:
        """What turns pcf into its unit; empty where it is pcf."""
        return self._by(PCF / self.pcf, "*")

    @property
    def from_feet(self) -> str:
        """What turns feet into its unit; empty where it is feet."""
        return self._by(FOOT / self.foot, "*")

    def told(self, formula: str, units: str) -> str:
        """A formula of the standard, with the units its constants ask for where not shown.

        Args:
            formula: As the standard prints it.
            units: Such as ``pg in psf``.

        Returns:
            The words of the line.
        """
        return f"{formula}; {units}" if self.is_si else formula

    def _by(self, factor: float, sign: str) -> str:
        return f" {sign} {figure(factor)}" if self.is_si else ""


US: Final = Shown(PSF, "psf", FOOT, "ft", PCF, "pcf")
SI: Final = Shown(1000.0, "kPa", 1.0, "m", 1000.0, "kN/m3")


def shown_in(system: System) -> Shown:
    """Units of the answers of a job.

    Args:
        system: ``us`` or ``si``.

    Returns:
        The units of its lines.
    """
    return US if system == "us" else SI
