"""Joints of a plate that runs on past the corners: what they pull against what they may."""

from __future__ import annotations

from typing import Final

from rafterstay import catalog
from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.stated import DURATION
from rafterstay.checks.parts.timber import sources_of
from rafterstay.core.sources import Source

__all__ = ["plate_joint"]

RING: Final = Source("statics of a ring of plates", "", "docs/theory/plate-ring.md", "computed", 99)


def plate_joint(asked: Asked) -> Check | None:
    """Set the pull of the plate's joints against what the job states; None where jointed.

    A joint carries what the side of plate beside it carries. The dead load is on tie and plate.
    """
    support = asked.job.support
    if support.plate != "continuous" or support.joint_capacity is None:
        return None
    worst = largest(asked.forces.plate_pull, asked.forces, asked.duration_factors, of="side")
    demand = max(0.0, worst.value)
    place = f"{worst.place}, {worst.state.variant}"
    duration = worst.state.case.duration_factor
    capacity = support.joint_capacity * duration
    ledger = Ledger(asked.job.show)
    ledger.given("N_10", "support.joint_capacity of the job, normal duration",
                 support.joint_capacity, "force")  # fmt: skip
    if demand > 0.0:
        _stretch(ledger, asked, worst.row, worst.leg, place)
    else:
        ledger.given("N", "pull in the plate in every state, nil", 0.0, "force")
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    ledger.line("N_allowed", "N_10 C_D", "{N_10} * {C_D}", capacity, "force")
    ledger.line("u", "N / N_allowed", "{N} / {N_allowed}", demand / capacity, "-")
    return judged(
        "plate-joint",
        demand=demand,
        capacity=capacity,
        unit="N",
        why=(
            f"The joints of the plate pull up to {ledger.said(demand, 'force')} "
            f"({place}) and may pull {ledger.said(capacity, 'force')}."
            f"{_beside(asked, ledger, worst.row, worst.leg)} Stronger joints, a stiffer tie, or a "
            'plate that is not counted on (plate = "jointed") would help.'
        ),
        sources=(RING, stated_in_job("support.joint_capacity"), DURATION, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
        of_leg=False,
    )


def _stretch(ledger: Ledger, asked: Asked, row: int, side: int, place: str) -> None:
    """How the pull comes from the lengthening of a side."""
    job, frame, state = asked.job, asked.frame, asked.forces.states[row]
    support = job.support
    ply = job.catalogue.find("ply", support.plate_ply or "")
    timber = catalog.species(job.rafter.species, job.rafter.grade, ply.depth)
    area = (support.plate_plies or 1) * ply.thickness * ply.depth
    slips = support.joint_slip or (0.0, 0.0)
    slip = slips[0] if state.variant.startswith("most") else slips[1]
    feet = frame.nodes[frame.feet]
    length = float(((feet[side % frame.n] - feet[side - 1]) ** 2).sum() ** 0.5)
    pull = float(asked.forces.plate_pull[row, side - 1])
    stiffness = state.plate_stiffness[side - 1]
    ledger.given("L", f"side {side} of the plate, foot to foot", length, "length")
    ledger.given("E", f"modulus of {job.rafter.species} {job.rafter.grade}", timber.e, "stress")
    ledger.given("A", "area of support.plate_plies of support.plate_ply", area, "area")
    ledger.given("s", "support.joint_slip of the job at N_10, in this state", slip, "length")
    give = 1 / stiffness
    ledger.line("f", "L / (E A) + s / N_10", "{L} / ({E} * {A}) + {s} / {N_10}", give,
                "flexibility")  # fmt: skip
    ledger.given("e", f"lengthening of {place}", pull * give, "length")
    ledger.line("N", "e / f", "{e} / {f}", pull, "force")


def _beside(asked: Asked, ledger: Ledger, row: int, side: int) -> str:
    """What a band round the plate holds beside the joint."""
    if asked.tie.layout != "band":
        return ""
    pull = float(asked.forces.leg_pull[row, side - 1])
    return f" The band beside it holds {ledger.said(pull, 'force')} in that state."
