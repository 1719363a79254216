"""Every pattern in which roof live load may stand on a many-sided roof."""

from __future__ import annotations

from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016.printed_in import FOOT, PSF
from rafterstay.loads.asce7_2016.roof_live import area_factor, reduced_roof_live, rise_factor
from rafterstay.loads.laid import Laid, Plan
from rafterstay.loads.spread import around, even, halves

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


def live_working(stated: float, plan: Plan) -> list[Line]:
    """Lines that show how the reduced load was found.

    Args:
        stated: Unreduced, on plan. [Pa]
        plan: The roof in pieces.

    Returns:
        R_1, R_2 and L_r in psf; none where nothing was stated.
    """
    if stated <= 0:
        return []
    tributary, slope = _least(plan)
    said, area = f"{stated / PSF:.10g}", f"{tributary / FOOT**2:.10g}"
    rise = f"{12 * slope:.10g}"
    reduced = reduced_roof_live(stated, tributary=tributary, slope=slope) / PSF
    factors = f"{area_factor(tributary):.8g} * {rise_factor(slope):.8g}"
    least = f"min({said}, max(12, {said} * {factors}))" if stated <= 20 * PSF * (1 + 1e-9) else said
    return [
        Line(
            "R1",
            "1.2 - 0.001 At, 0.6 to 1",
            f"min(1, max(0.6, 1.2 - 0.001 * {area}))",
            area_factor(tributary),
            "-",
        ),
        Line(
            "R2",
            "1.2 - 0.05 F, 0.6 to 1",
            f"min(1, max(0.6, 1.2 - 0.05 * {rise}))",
            rise_factor(slope),
            "-",
        ),
        Line("Lr", "Lo R1 R2, not under 12 psf", least, reduced, "psf"),
    ]


def _least(plan: Plan) -> tuple[float, float]:
    """Least plan area of a hip, hub included [m2]; least slope of a face [-]."""
    area = (plan.faces.whole().amount + plan.hub.whole().amount).sum(axis=1)
    return float(area.min()), float(plan.slope.min())
