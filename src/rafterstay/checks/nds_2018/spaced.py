"""Two plies with blocks between them, pressed along the grain."""

from __future__ import annotations

from typing import Final, Literal

__all__ = [
    "BLOCK_SLENDERNESS",
    "DEPTH_SLENDERNESS",
    "PLY_SLENDERNESS",
    "EndFixity",
    "fixity_factor",
    "spaced_buckling_stress",
]

EndFixity = Literal["none", "a", "b"]

PLY_SLENDERNESS: Final = 80.0
"""Most l1/d1. Source: NDS 2018 15.2.3.2 (from memory, 93 %)"""
DEPTH_SLENDERNESS: Final = 50.0
"""Most l2/d2, as of any column. Source: NDS 2018 15.2.3.2 (from memory, 93 %)"""
BLOCK_SLENDERNESS: Final = 40.0
"""Most l3/d1. Source: NDS 2018 15.2.3.2 (from memory, 93 %)"""


def fixity_factor(fixity: EndFixity) -> float:
    """How much the connectors in the end blocks add to the buckling stress.

    Args:
        fixity: ``a`` connectors in the end blocks within a twentieth of the column's length
            from its end; ``b`` within a tenth; ``none`` blocks without such connectors.

    Returns:
        K_x; 1 where no connector ties the plies, each of which is then a column by itself. [-]

    Source: NDS 2018 15.2.3.3 (from memory, 93 %)

    >>> fixity_factor("a"), fixity_factor("b")
    (2.5, 3.0)
    """
    return {"none": 1.0, "a": 2.5, "b": 3.0}[fixity]


def spaced_buckling_stress(
    e_min: float, length: float, thickness: float, fixity: EndFixity = "none"
) -> float:
    """Stress at which the plies of a spaced column would buckle sideways.

    Args:
        e_min: E_min'. [Pa]
        length: l1, between points held sideways. [m]
        thickness: d1, of one ply. [m]
        fixity: Of the end blocks.

    Returns:
        F_cE = 0.822 K_x E_min' / (l1/d1)^2. [Pa]

    Source: NDS 2018 15.2.3.3 (from memory, 93 %)

    >>> round(spaced_buckling_stress(580e3, 90.0, 1.5, "a"))
    331
    """
    return 0.822 * fixity_factor(fixity) * e_min / (length / thickness) ** 2
