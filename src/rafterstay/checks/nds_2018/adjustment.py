"""Factors that turn a tabulated stress into an allowable one."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from rafterstay.core.errors import DataError, Finding
from rafterstay.core.tables import TableRow, table

__all__ = [
    "BY_DEPTH",
    "WET_CONNECTION",
    "incising_factor",
    "load_duration_factor",
    "size_factor",
    "wet_service_factor",
]

TABLES: Final = Path(__file__).parent / "tables"

BY_DEPTH: Final = frozenset({"Southern Pine"})
"""Species whose values are printed by depth, so that no size factor is due to 12 in.
Source: NDS Supplement 2018 Table 4B"""
WET_CONNECTION: Final = 0.7
"""C_M of bolts in timber above 19 % in service. Source: NDS 2018 Table 11.3.3 (from memory,
95 %)"""


def load_duration_factor(duration: str) -> float:
    """C_D of the shortest load in a combination.

    Args:
        duration: ``permanent``, ``ten years``, ``two months`` (snow), ``seven days``
            (construction), ``ten minutes`` (wind, earthquake) or ``impact``.

    Returns:
        C_D. [-]

    Raises:
        DataError: DA-031 no such duration.

    Source: NDS 2018 Table 2.3.2

    >>> load_duration_factor("two months")
    1.15
    """
    for row in table(TABLES, "load_duration"):
        if row.printed["duration"] == duration:
            return row.values["factor"]
    names = ", ".join(row.printed["duration"] for row in table(TABLES, "load_duration"))
    raise DataError(Finding("DA-031", "load duration", duration, f"one of {names}"))


def size_factor(depth: float, *, compression: bool = False) -> float:
    """C_F of visually graded dimension lumber, 2 to 3 in thick, except southern pine.

    Args:
        depth: Dressed depth, > 0. [m]
        compression: For Fc; else for Fb and Ft.

    Returns:
        C_F; between listed depths that of the next deeper, which is never larger. [-]

    Limits: grades No. 2 and better.

    Source: NDS Supplement 2018 Table 4A

    >>> size_factor(7.25 * 0.0254)
    1.2
    """
    column = "compression" if compression else "bending_and_tension"
    rows = table(TABLES, "size_factor")
    for row in rows:
        if depth <= row.values["depth"] * (1.0 + 1e-9):
            return row.values[column]
    return rows[-1].values[column]


def wet_service_factor(stress: str, tabulated: float = float("inf")) -> float:
    """C_M of dimension lumber above 19 % moisture in service.

    Args:
        stress: ``fb``, ``ft``, ``fv``, ``fc_perp``, ``fc``, ``e`` or ``e_min``.
        tabulated: Fb C_F or Fc C_F, for which low values need no factor. [Pa]

    Returns:
        C_M. [-]

    Raises:
        DataError: DA-032 no such stress.

    Source: NDS Supplement 2018 Table 4A

    >>> wet_service_factor("fb", 900 * 1.2 * 6894.757)
    1.0
    """
    row = _of_stress("wet_service", stress)
    spared = tabulated <= row.values.get("spared_to", 0.0)
    return 1.0 if spared else row.values["factor"]


def incising_factor(stress: str) -> float:
    """C_i of dimension lumber cut to take its treatment.

    Args:
        stress: ``fb``, ``ft``, ``fv``, ``fc_perp``, ``fc``, ``e`` or ``e_min``.

    Returns:
        C_i. [-]

    Raises:
        DataError: DA-032 no such stress.

    Source: NDS 2018 Table 4.3.8 (from memory, 97 %)

    >>> incising_factor("fb"), incising_factor("fc_perp")
    (0.8, 1.0)
    """
    return _of_stress("incising", stress).values["factor"]


def _of_stress(name: str, stress: str) -> TableRow:
    """Row of a stress in a table that goes by stresses."""
    rows = table(TABLES, name)
    for row in rows:
        if row.printed["stress"] == stress:
            return row
    names = ", ".join(row.printed["stress"] for row in rows)
    raise DataError(Finding("DA-032", "stress", stress, f"one of {names}"))
