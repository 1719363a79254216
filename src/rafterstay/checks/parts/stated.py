"""A joint of the user's own: its force against what the job states it may carry."""

from __future__ import annotations

from typing import Final

from rafterstay.checks.judging import Asked, Worst, judged, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source

__all__ = ["of_a_joint"]

DURATION = Source("NDS", "2018", "2.3.2, load duration factor", "read", 99)
NIL: Final = 1.0
"""A force under this is nil beside the solver's own floor. [N]"""


def of_a_joint(
    check_id: str,
    asked: Asked,
    worst: Worst,
    *,
    what: str,
    key: str,
    allowable: float,
    joint: str,
    remedy: str,
    refer: str = "",
) -> Check:
    """Judge a force on a joint; one nothing is said of is referred unless unloaded.

    Args:
        check_id: Id of the contract.
        asked: Job.
        worst: Largest force for its duration. [N]
        what: The force, in words.
        key: Where the job states what the joint may carry.
        allowable: What it states, normal duration; 0 where it does not. [N]
        joint: The joint, in words.
        remedy: What would help, one sentence.
        refer: Reason why an engineer must decide whatever the figures; empty where none.

    Returns:
        The check.
    """
    demand = max(0.0, worst.value)
    ledger = Ledger(asked.job.show)
    place = f"largest {what}, {worst.place}" if demand >= NIL else f"{what} in every state, nil"
    ledger.given("V", place, demand, "force")
    said = ledger.said(demand, "force")
    if allowable <= 0.0 and demand < NIL:
        return judged(
            check_id,
            demand=0.0,
            capacity=NIL,
            unit="N",
            why=f"No {what} worth the name in any state.",
            sources=(stated_in_job(key),),
            working=ledger.lines,
            refer=refer,
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
            refer=f"the job does not say what {joint} can take",
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
            f"{ledger.said(capacity, 'force')}. {remedy}"
        ),
        sources=(stated_in_job(key), DURATION),
        working=ledger.lines,
        worst=worst,
        of_leg=demand >= NIL,
        refer=refer,
    )
