"""Movement: walls, ring, and legs that lose their pull."""

from __future__ import annotations

from typing import Final

import numpy as np

from rafterstay.checks.judging import Asked, Worst, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = ["leg_slack", "ring_sag", "ring_shift", "wall_spread"]

KEPT_SHARE: Final = 0.10
"""A leg under this share of its target pull is slack to the hand. [-]"""
SLACK_SOURCE = Source("a leg under a tenth of its target is slack", "", "", "common practice", 80)
NIL: Final = 1.0  # [N]


def wall_spread(asked: Asked) -> Check:
    """Set the outward movement of the feet since setting against the job's limit."""
    forces = asked.forces.for_spread()
    worst = largest(forces.spread, forces, of="foot")
    limit = asked.job.limits.spread
    return _movement(
        "wall-spread",
        asked,
        worst,
        limit,
        what=f"outward movement since setting of {worst.place}",
        remedy="A thicker rope stretches less; a lower tie pulls less.",
    )


def ring_sag(asked: Asked) -> Check:
    """Set the ring's depth below the bolts against the job's limit."""
    return _of_ring(
        "ring-sag",
        asked,
        asked.forces.ring_sag,
        asked.job.limits.ring_sag,
        what="sag of the ring below the bolts",
        remedy="More pull in the legs would help.",
    )


def ring_shift(asked: Asked) -> Check:
    """Set the sideways movement of the ring since setting against the job's limit."""
    return _of_ring(
        "ring-shift",
        asked,
        np.linalg.norm(asked.forces.ring_shift, axis=1),
        asked.job.limits.ring_shift,
        what="sideways shift of the ring since setting",
        remedy="More pull in the legs, or a hub that holds the heads, would help.",
    )


def _of_ring(
    check_id: str, asked: Asked, moved: Floats, limit: float, *, what: str, remedy: str
) -> Check:
    """Judge a movement of the ring; where ropes are slack its place is not known."""
    key = check_id.replace("-", "_")
    if bool(np.all(np.isnan(moved))):
        return judged(
            check_id,
            demand=0.0,
            capacity=None,
            unit="m",
            why=f"The {what} cannot be told: ropes hang slack in every state.",
            sources=(stated_in_job(f"limits.{key}"),),
            working=(),
            refer="a ring with slack ropes has no place of its own",
        )
    worst = largest(moved[:, np.newaxis], asked.forces)
    return _movement(
        check_id,
        asked,
        worst,
        limit,
        what=f"{what} in {worst.state.id}",
        remedy=remedy,
        of_leg=False,
    )


def _movement(
    check_id: str,
    asked: Asked,
    worst: Worst,
    limit: float,
    *,
    what: str,
    remedy: str,
    of_leg: bool = True,
) -> Check:
    """Judge one movement against a limit of the job."""
    key = f"limits.{check_id.replace('-', '_').removeprefix('wall_')}"
    demand = max(0.0, worst.value)
    ledger = Ledger(asked.job.show)
    ledger.given("x", what, demand, "length")
    ledger.given("x_allowed", f"{key} of the job", limit, "length")
    ledger.line("u", "x / x_allowed", "{x} / {x_allowed}", demand / limit, "-")
    return judged(
        check_id,
        demand=demand,
        capacity=limit,
        unit="m",
        why=(
            f"The {what} is {ledger.said(demand, 'length')}; "
            f"{ledger.said(limit, 'length')} is the limit. {remedy}"
        ),
        sources=(stated_in_job(key),),
        working=ledger.lines,
        worst=worst,
        of_leg=of_leg,
    )


def leg_slack(asked: Asked) -> Check:
    """Set the pull a leg loses against what it may lose before it is slack to the hand.

    Both count from the target, or for snug legs from the mean pull once the prop is lowered;
    snug legs are told of as advice.
    """
    setting, target = asked.forces.setting, asked.tie.target
    reference = target if target > 0.0 else float(setting.lowered_pull.mean())
    ledger = Ledger(asked.job.show)
    worst = largest(-asked.forces.leg_pull, asked.forces)
    least = -worst.value
    ledger.given("T_least", f"least pull, {worst.place}", least, "force")
    if not reference >= NIL:  # NaN where no dead load lies on the legs
        return judged(
            "leg-slack",
            demand=0.0,
            capacity=NIL,
            unit="N",
            why="The legs are set snug and carry nothing once the prop is lowered: none to lose.",
            sources=(SLACK_SOURCE,),
            working=ledger.lines,
            worst=worst,
            decides=False,
        )
    place = "target pull of the job" if target > 0.0 else "mean pull once the prop is lowered"
    lost, may_lose = max(0.0, reference - least), (1.0 - KEPT_SHARE) * reference
    ledger.given("T_0", place, reference, "force")
    ledger.given("k", "share of it below which a leg is slack to the hand", KEPT_SHARE, "-")
    ledger.line("lost", "max(0, T_0 - T_least)", "max(0, {T_0} - {T_least})", lost, "force")
    ledger.line("may_lose", "(1 - k) T_0", "(1 - {k}) * {T_0}", may_lose, "force")
    ledger.line("u", "lost / may_lose", "{lost} / {may_lose}", lost / may_lose, "-")
    return judged(
        "leg-slack",
        demand=lost,
        capacity=may_lose,
        unit="N",
        why=(
            f"The least pull is leg {worst.leg}'s {ledger.said(least, 'force')} against "
            f"{ledger.said(reference, 'force')}, {place}; under a tenth of "
            "that a leg hangs slack. More pull at setting would help."
        ),
        sources=(SLACK_SOURCE, stated_in_job("pretension.target")),
        working=ledger.lines,
        worst=worst,
        decides=target > 0.0,
    )
