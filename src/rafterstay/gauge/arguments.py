"""What a gauge refuses before it reckons."""

from __future__ import annotations

import math

from rafterstay.core.errors import Finding, InputError

__all__ = ["require_between"]


def require_between(name: str, value: float, bounds: tuple[float, float], unit: str) -> None:
    """Raise unless a figure lies in the range a gauge is made for.

    Args:
        name: Name of the figure.
        value: The figure. [its own unit]
        bounds: Least and most. [its own unit]
        unit: Of the figure.

    Raises:
        InputError: GA-010.
    """
    low, high = bounds
    if not (math.isfinite(value) and low <= value <= high):
        raise InputError(
            Finding(
                "GA-010",
                key=name,
                value=f"{value:g} {unit}".rstrip(),
                bound=f"between {low:g} and {high:g} {unit}".rstrip(),
                remedy="Measure again, and look at the unit.",
            )
        )
