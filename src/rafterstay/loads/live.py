"""Every pattern in which roof live load may stand on a many-sided roof."""

from __future__ import annotations

from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016.roof_live import reduced_roof_live
from rafterstay.loads.asce7_2016.shown import US, Shown
from rafterstay.loads.laid import Laid, Plan
from rafterstay.loads.spread import around, even, halves
from rafterstay.loads.worked import live_worked

__all__ = ["lay_live", "live_working"]


def lay_live(stated: float, plan: Plan) -> list[Laid]:
    """Lay roof live load all over, and on one half only.

    Args:
        stated: Unreduced, on plan. [Pa]
        plan: The roof in pieces.

    Returns:
        Patterns ``balanced`` and ``one-sided``; none where nothing was stated.

    Limits: the least plan area of any hip and the least slope of any face reduce all alike.
    Source: ASCE 7-16 4.8.2; the half after 4.3.3, partial loading (memory, 85 %)
    """
    if stated <= 0:
        return []
    tributary, slope = _least(plan)
    pressure = reduced_roof_live(stated, tributary=tributary, slope=slope)
    return [
        Laid("balanced", None, even(plan, pressure)),
        *(
            Laid("one-sided", towards, halves(plan, towards, pressure, 0.0))
            for towards in around(plan)
        ),
    ]


def live_working(stated: float, plan: Plan, shown: Shown = US) -> list[Line]:
    """Lines that show how the reduced load was found.

    Args:
        stated: Unreduced, on plan. [Pa]
        plan: The roof in pieces.
        shown: Units of the lines.

    Returns:
        R_1, R_2 and L_r; none where nothing was stated.
    """
    if stated <= 0:
        return []
    tributary, slope = _least(plan)
    return live_worked(stated, tributary=tributary, slope=slope, shown=shown)


def _least(plan: Plan) -> tuple[float, float]:
    """Least plan area of a hip, hub included [m2]; least slope of a face [-]."""
    area = (plan.faces.whole().amount + plan.hub.whole().amount).sum(axis=1)
    return float(area.min()), float(plan.slope.min())
