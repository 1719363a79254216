"""Hub: can the heads be held sideways, up and down, and against being pulled apart."""

from __future__ import annotations

from rafterstay.checks.judging import Asked, Worst, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source

__all__ = ["hub_shear", "hub_tension"]

DURATION = Source("NDS", "2018", "2.3.2, load duration factor", "read", 99)
NIL = 1.0
"""A force under this is nil beside the solver's own floor. [N]"""


def hub_shear(asked: Asked) -> Check:
    """Set the shear between head and hub against what the job states its joint can take."""
    worst = largest(asked.forces.head_shear, asked.forces, asked.duration_factors)
    allowable = asked.job.roof.hub_shear_allowable
    return _hub_check("hub-shear", "shear between head and hub", asked, worst, allowable)


def hub_tension(asked: Asked) -> Check:
    """Set the pull of a head out of the hub against what the job states its joint can take."""
    worst = largest(-asked.forces.head_push, asked.forces, asked.duration_factors)
    allowable = asked.job.roof.hub_tension_allowable
    return _hub_check("hub-tension", "pull of head out of hub", asked, worst, allowable)


def _hub_check(check_id: str, what: str, asked: Asked, worst: Worst, allowable: float) -> Check:
    """Judge one force of the heads; a joint nothing is said of is referred unless unloaded."""
    demand = max(0.0, worst.value)
    key = f"roof.{check_id.replace('-', '_')}_allowable"
    ledger = Ledger(asked.job.show)
    place = f"largest {what}, {worst.place}" if demand >= NIL else f"{what} in every state, nil"
    ledger.given("V", place, demand, "force")
    said = ledger.said(demand, "force", "up")
    if allowable <= 0.0 and demand < NIL:
        return judged(
            check_id,
            demand=0.0,
            capacity=NIL,
            unit="N",
            why=f"No {what} worth the name in any state.",
            sources=(stated_in_job(key),),
            working=ledger.lines,
        )
    if allowable <= 0.0:
        return judged(
            check_id,
            demand=demand,
            capacity=None,
            unit="N",
            why=f"The {what} reaches {said} at {worst.place}; state {key} of the joint you build.",
            sources=(stated_in_job(key),),
            working=ledger.lines,
            worst=worst,
            refer="the job does not say what the joint between head and hub can take",
        )
    duration = worst.state.case.duration_factor
    capacity = allowable * duration
    ledger.given("V_10", f"{key} of the job, normal duration", allowable, "force")
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    ledger.line("V_allowed", "V_10 C_D", "{V_10} * {C_D}", capacity, "force")
    ledger.line("u", "V / V_allowed", "{V} / {V_allowed}", demand / capacity, "-")
    return judged(
        check_id,
        demand=demand,
        capacity=capacity,
        unit="N",
        why=(
            f"The {what} reaches {said}; the joint may take "
            f"{ledger.said(capacity, 'force', 'down')}. A stronger joint at the hub would help."
        ),
        sources=(stated_in_job(key), DURATION),
        working=ledger.lines,
        worst=worst,
    )
