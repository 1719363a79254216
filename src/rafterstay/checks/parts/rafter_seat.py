"""Foot: what it presses on the plate, and what would lift it."""

from __future__ import annotations

from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.stated import of_a_joint
from rafterstay.checks.parts.timber import note_allowable, sources_of, timber_of
from rafterstay.core.sources import Source

__all__ = ["holddown", "rafter_bearing"]

BEARING = Source("NDS", "2018", "3.10.2", "memory", 98)
SEAT = Source("IRC", "2021", "R802.6", "read", 99)


def rafter_bearing(asked: Asked) -> Check:
    """Set the foot's push on the plate against compression across the plate's grain.

    The plate is taken as timber of the hip's own species: it lies across the push, while the
    hip meets it at an angle to its grain and takes no less. No load duration factor is due.
    """
    wood = timber_of(asked)
    seat = asked.job.rafter.seat
    worst = largest(asked.forces.foot_reaction, asked.forces, of="foot")
    demand = max(0.0, worst.value)
    area = wood.plies * wood.thickness * seat
    capacity = area * wood.allowable("fc_perp")
    ledger = Ledger(asked.job.show)
    ledger.given("R", f"largest push of a foot on the plate, {worst.place}", demand, "force")
    ledger.given("t", f"thickness of ply {asked.tie.ply.name}", wood.thickness, "length")
    ledger.given("n_p", "rafter.plies of the job", wood.plies, "-")
    ledger.given("b", "rafter.seat of the job, bearing on plan", seat, "length")
    ledger.line("A_b", "n_p t b", "{n_p} * {t} * {b}", area, "area")
    note_allowable(ledger, wood, "fc_perp")
    ledger.line("R_allowed", "A_b F_cp_adj", "{A_b} * {F_cp_adj}", capacity, "force")
    ledger.line("u", "R / R_allowed", "{R} / {R_allowed}", demand / capacity, "-")
    return judged(
        "rafter-bearing",
        demand=demand,
        capacity=capacity,
        unit="N",
        why=(
            f"Foot {worst.leg} presses {ledger.said(demand, 'force')} on the plate; a seat "
            f"of {ledger.said(seat, 'length')} takes "
            f"{ledger.said(capacity, 'force')} if the plate is as good as the hip. A "
            "longer seat would help."
        ),
        sources=(BEARING, SEAT, stated_in_job("rafter.seat"), *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def holddown(asked: Asked) -> Check:
    """Set the uplift of a foot against what the job states its joint to the wall can take.

    Where uplift draws the feet in, only the stated walls or plate hold the roof in its place:
    that is not for a rope's check to pass.
    """
    left_out = asked.forces.left_out
    drawn_in = (
        f"in {left_out[0]} uplift draws the feet in, and only the walls or the plate that the "
        "job states keep them apart"
        if left_out
        else ""
    )
    worst = largest(-asked.forces.foot_reaction, asked.forces, asked.duration_factors, of="foot")
    return of_a_joint(
        "holddown",
        asked,
        worst,
        what="uplift of a foot off its wall",
        key="support.holddown_allowable",
        allowable=asked.job.support.holddown_allowable,
        joint="the joint between foot and wall",
        remedy="A stronger hold-down would help; a rope holds nothing down.",
        refer=drawn_in,
    )
