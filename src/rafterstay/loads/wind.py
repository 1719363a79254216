"""Every pattern in which the stated uplift may act on a many-sided roof."""

from __future__ import annotations

from rafterstay.loads.laid import Laid, Plan
from rafterstay.loads.spread import around, even, halves

__all__ = ["lay_uplift"]


def lay_uplift(uplift: float, plan: Plan) -> list[Laid]:
    """Lay a net uplift that stands square to every face.

    Lifting by p per area of roof plane, a face lifts p per area of plan and pulls outwards
    by p times its slope.

    Args:
        uplift: Net, strength level, >= 0. [Pa]
        plan: The roof in pieces; the hub's own area is level and lifts with the rest.

    Returns:
        Patterns ``uplift`` all over and ``uplift-one-sided`` on the half the wind comes from;
        none where nothing was stated.

    Source: the user's figure; one half after ASCE 7-16 27.3.5, unequal design wind
        (memory, 75 %)
    """
    if uplift <= 0:
        return []
    return [
        Laid("uplift", None, even(plan, -uplift, square=True)),
        *(
            Laid("uplift-one-sided", out_of, halves(plan, out_of, -uplift, 0.0, square=True))
            for out_of in around(plan)
        ),
    ]
