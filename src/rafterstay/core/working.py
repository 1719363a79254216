"""The line a reviewer can redo with a pocket calculator."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Line"]


@dataclass(frozen=True)
class Line:
    """One line of working: ``symbol = formula = numbers = value unit``.

    Every number in ``numbers`` comes from the job, a catalogue row or an earlier line.
    ``value`` is the unrounded result in ``unit``; ``numbers`` is an expression with
    ``+ - * / ** ( )`` and the functions sqrt, min, max, sin_deg, cos_deg, tan_deg.

    >>> Line("T", "W R / (3 (Hr - Hc))", "2036.5 * 12 / (3 * (6 - 0))", 1357.6667, "lbf").symbol
    'T'
    """

    symbol: str
    formula: str
    numbers: str
    value: float
    unit: str
