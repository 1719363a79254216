"""How hard a rope with its fittings and bends may be pulled in service."""

from __future__ import annotations

from rafterstay.core.sources import Source

__all__ = ["FACTOR", "FITTING", "FITTING_SOURCE", "SOURCE", "allowable_pull"]

FACTOR = 2.2
"""Breaking strength, reductions taken, over the largest service pull. [-]"""

FITTING = 0.90
"""Share of the breaking strength a pressed-sleeve eye on a thimble keeps, unless tested. [-]"""

SOURCE = Source("ASCE/SEI 19", "2016", "ch. 3, strength of cables, factor 2.2", "memory", 88)
FITTING_SOURCE = Source("EN 13411-3", "2004", "cl. 5.1, ferrule-secured eye 0.9", "memory", 93)


def allowable_pull(strength: float, fitting: float, bend: float) -> float:
    """Largest service pull of a rope.

    Args:
        strength: Minimum breaking strength. [N]
        fitting: Termination efficiency, 0 to 1. [-]
        bend: Bending efficiency, 0 to 1. [-]

    Returns:
        Allowable pull under unfactored loads. [N]

    Limits: never combined with the lifting factor of 5; the formats differ.

    Source: ASCE/SEI 19-16 ch. 3 (from memory, 88 %)

    >>> round(allowable_pull(7000.0, 0.9, 1.0))
    2864
    """
    return strength * fitting * bend / FACTOR
