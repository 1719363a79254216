"""Working in the user's units, line by line, as a reviewer would redo it."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Final, Literal

from rafterstay.core.quantities import System, parse, show
from rafterstay.core.working import Line

__all__ = ["Kind", "Ledger"]

Kind = Literal[
    "force",
    "length",
    "area",
    "section modulus",
    "second moment",
    "stress",
    "force per length",
    "moment",
    "area of moment",
    "flexibility",
    "angle",
    "-",
]

_LBF: Final = parse("1 lbf", "force")
_INCH: Final = parse("1 in", "length")
_PSI: Final = parse("1 psi", "stress")
_UNITS: Final[dict[System, dict[Kind, tuple[str, float]]]] = {
    "us": {
        "force": ("lbf", _LBF),
        "length": ("in", _INCH),
        "area": ("in2", _INCH**2),
        "section modulus": ("in3", _INCH**3),
        "second moment": ("in4", _INCH**4),
        "stress": ("psi", _PSI),
        "force per length": ("lbf/in", _LBF / _INCH),
        "moment": ("lbf in", _LBF * _INCH),
        "area of moment": ("lbf in3", _LBF * _INCH**3),
        "flexibility": ("in/lbf", _INCH / _LBF),
        "angle": ("deg", math.radians(1.0)),
        "-": ("-", 1.0),
    },
    "si": {
        "force": ("N", 1.0),
        "length": ("mm", 1e-3),
        "area": ("mm2", 1e-6),
        "section modulus": ("mm3", 1e-9),
        "second moment": ("mm4", 1e-12),
        "stress": ("MPa", 1e6),
        "force per length": ("N/mm", 1e3),
        "moment": ("N mm", 1e-3),
        "area of moment": ("N mm3", 1e-9),
        "flexibility": ("mm/N", 1e-3),
        "angle": ("deg", math.radians(1.0)),
        "-": ("-", 1.0),
    },
}
_DIGITS: Final = 8


class Ledger:
    """Collects the lines of one check.

    Args:
        system: ``us`` or ``si``: the units the lines are shown in.
    """

    def __init__(self, system: System) -> None:
        self.system: Final = system
        self._lines: list[Line] = []
        self._figures: dict[str, str] = {}

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines so far."""
        return tuple(self._lines)

    @property
    def from_psi(self) -> str:
        """What an empirical formula in psi is multiplied by to show in the ledger's unit."""
        return "" if self.system == "us" else f" * {_figure(_PSI / 1e6)}"

    @property
    def to_inches(self) -> str:
        """What a shown length is divided by to enter an empirical formula in inches."""
        return "" if self.system == "us" else f" / {_figure(_INCH * 1e3)}"

    def given(self, symbol: str, place: str, value: float, kind: Kind) -> None:
        """Note a figure that comes from the job, a catalogue row, a clause or the solver.

        Args:
            symbol: For later lines.
            place: Where it stands, in words.
            value: In SI; angles in radians. [-]
            kind: What it is.
        """
        unit, size = _UNITS[self.system][kind]
        self._add(Line(symbol, place, _figure(value / size), value / size, unit))

    def line(self, symbol: str, formula: str, numbers: str, value: float, kind: Kind) -> None:
        """Note a result.

        Args:
            symbol: For later lines.
            formula: As a book would write it.
            numbers: The same with ``{symbol}`` for every earlier figure.
            value: The result the check uses, in SI. [-]
            kind: What it is.
        """
        unit, size = _UNITS[self.system][kind]
        self._add(Line(symbol, formula, numbers.format_map(self._figures), value / size, unit))

    def said(self, value: float, kind: Literal["force", "length", "stress"]) -> str:
        """Tell a figure within a sentence as every table of results shows it.

        Args:
            value: In SI. [N, m or Pa]
            kind: What it is.
        """
        return show(value, kind, self.system)

    def _add(self, line: Line) -> None:
        figure = _figure(line.value)
        self._figures[line.symbol] = f"({figure})" if line.value < 0.0 else figure
        self._lines.append(line)


def _figure(value: float) -> str:
    """Eight digits without an exponent: what a pocket calculator takes.

    >>> _figure(9.46653e-05), _figure(2276.0), _figure(0.625)
    ('0.0000946653', '2276', '0.625')
    """
    return format(Decimal(f"{value:.{_DIGITS}g}"), "f")
