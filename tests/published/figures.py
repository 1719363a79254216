"""Our figures in the units a source prints."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from rafterstay import catalog
from rafterstay.catalog.shelf import TABLES
from rafterstay.core.tables import table

if TYPE_CHECKING:
    from rafterstay.core.tables import TableRow

__all__ = ["INCH", "KSI", "LBF", "POUND", "PSI", "TONNE_FORCE", "cell", "mass", "strength"]

# Exact by definition: NIST SP 811 (2008), appendix B.
INCH: Final = 0.0254  # [m]
POUND: Final = 0.45359237  # [kg]
LBF: Final = POUND * 9.80665  # [N]
PSI: Final = LBF / INCH**2  # [Pa]
KSI: Final = 1000.0 * PSI  # [Pa]
TONNE_FORCE: Final = 9806.65  # [N]


def strength(rope: str, unit: float) -> float:
    """Give a rope's breaking strength in a unit."""
    return catalog.find("rope", rope).strength / unit


def mass(rope: str, unit: float) -> float:
    """Give a rope's mass per length in a unit."""
    return catalog.find("rope", rope).mass / unit


def cell(name: str, column: str, *, folder: Path = TABLES, **where: str) -> float:
    """Give one cell of a table in SI, its row found by other columns as printed."""
    rows: tuple[TableRow, ...] = table(folder, name)
    (row,) = (row for row in rows if all(row.printed[key] == where[key] for key in where))
    return row.values[column]
