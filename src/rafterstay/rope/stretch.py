"""How much a rope lengthens: elastically, and once for all as it beds in."""

from __future__ import annotations

from pathlib import Path

from rafterstay.core.errors import DataError, Finding
from rafterstay.core.tables import table
from rafterstay.rope.arguments import require_above_zero, require_not_negative

__all__ = ["TABLES", "constructional_stretch", "elastic_stretch", "stiffness_from_factor"]

TABLES = Path(__file__).parent / "tables"


def elastic_stretch(pull: float, length: float, stiffness: float) -> float:
    """Lengthening of a rope under a pull.

    Args:
        pull: Pull in the rope, >= 0. [N]
        length: Length without pull, > 0. [m]
        stiffness: EA of the rope, > 0. [N]

    Returns:
        The lengthening. [m]

    Raises:
        InputError: IN-801, IN-802, IN-803.

    Limits: straight line through the origin; makers' factors and marine rules for one rope
        differ by a quarter, so carry EA as a range.

    Source: Hooke's law

    >>> round(elastic_stretch(5000.0, 3.0, 2.0e6) * 1000, 2)
    7.5
    """
    require_not_negative(pull=pull)
    require_above_zero(length=length, stiffness=stiffness)
    return pull * length / stiffness


def stiffness_from_factor(diameter: float, factor: float) -> float:
    """EA of a rope from its maker's stretch factor.

    Args:
        diameter: Nominal diameter D, > 0. [m]
        factor: Stretch factor G, the strain times D^2 for each unit of pull, > 0. A printed
            factor of 1e-5 % in2/lbf is 1.4504e-11 m2/N. [m2/N]

    Returns:
        EA = D^2/G. [N]

    Raises:
        InputError: IN-801, IN-802.

    Source: makers' technical bulletins, elastic stretch in percent = W G/D^2

    >>> round(stiffness_from_factor(0.00635, 2.0305e-11) / 1e6, 3)
    1.986
    """
    require_above_zero(diameter=diameter, factor=factor)
    return diameter**2 / factor


def constructional_stretch(lay: str) -> tuple[float, float]:
    """Least and most lengthening of a new rope as its wires bed in, over its length.

    Args:
        lay: ``7x7``, ``7x19``, ``1x19`` or ``6x19 IWRC``.

    Returns:
        Least and most permanent strain. [-]

    Raises:
        DataError: DA-014 no figure for that lay.

    Limits: rope that was not prestretched; prestretched rope has next to none.

    Source: tables/bedding_iwrc.csv and tables/bedding_cord.csv

    >>> constructional_stretch("6x19 IWRC")
    (0.0025, 0.005)
    """
    rows = table(TABLES, "bedding_iwrc") + table(TABLES, "bedding_cord")
    for row in rows:
        if row.printed["lay"] == lay:
            return row.values["least"], row.values["most"]
    known = ", ".join(row.printed["lay"] for row in rows)
    raise DataError(
        Finding(
            "DA-014",
            key="lay",
            value=repr(lay),
            bound=f"one of {known}",
            remedy="Its bedding-in is not in the tables.",
        )
    )
