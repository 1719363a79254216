"""What a rigger would allow on the same rope."""

from __future__ import annotations

from rafterstay.core.sources import Source

__all__ = ["FACTOR", "SOURCE", "working_load"]

FACTOR = 5.0
"""Design factor of rope slings and rigging hardware. [-]"""

SOURCE = Source("29 CFR", "1915.112(b)(1)", "safety factor not less than 5", "read", 98)


def working_load(strength: float) -> float:
    """Working load by lifting practice.

    Args:
        strength: Minimum breaking strength. [N]

    Returns:
        Strength over 5, no other reduction. [N]

    Source: 29 CFR 1915.112(b)(1); ASME B30.9

    >>> working_load(7000.0)
    1400.0
    """
    return strength / FACTOR
