"""Turnbuckle: working load, and thread enough for the rope to grow."""

from __future__ import annotations

from rafterstay.checks.judging import Asked, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.practice.thread import engagement, shorten_left
from rafterstay.core.sources import Source
from rafterstay.rope import constructional_stretch, elastic_stretch

__all__ = ["turnbuckle_load", "turnbuckle_thread"]

STRETCH_SOURCE = Source("cable makers' technical pages", "", "constructional stretch", "memory", 88)
STOP_SOURCE = Source(
    "one thread diameter engaged at the full-open stop", "", "", "common practice", 80
)


def turnbuckle_load(asked: Asked) -> Check:
    """Set the largest leg pull against the turnbuckle's working load limit."""
    turnbuckle = asked.tie.turnbuckle
    worst = largest(asked.forces.leg_pull, asked.forces)
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest pull, {worst.place}", worst.value, "force")
    limit = turnbuckle.working_load
    ledger.given("WLL", f"working load limit of turnbuckle {turnbuckle.name}", limit, "force")
    ledger.line("u", "T / WLL", "{T} / {WLL}", worst.value / limit, "-")
    return judged(
        "turnbuckle-load",
        demand=worst.value,
        capacity=limit,
        unit="N",
        why=(
            f"Leg {worst.leg} pulls {ledger.said(worst.value, 'force')}; the turnbuckle's "
            f"working load limit is {ledger.said(limit, 'force')}. A larger turnbuckle "
            "would help."
        ),
        sources=(turnbuckle.source,),
        working=ledger.lines,
        worst=worst,
    )


def _long_term_pull(asked: Asked) -> tuple[float, str]:
    """The pull a leg keeps for years: the target, or the dead load's if that is more."""
    rows = [row for row, state in enumerate(asked.forces.states) if state.case.pattern == "dead"]
    dead = float(asked.forces.leg_pull[rows].max()) if rows else 0.0
    if asked.tie.target >= dead:
        return asked.tie.target, "target pull of the job"
    return dead, "largest pull under dead load"


def turnbuckle_thread(asked: Asked) -> Check:
    """Set what the leg will grow against what its turnbuckle can still take up.

    The set length must also leave one diameter of thread engaged at each end.
    """
    body, rope = asked.tie.turnbuckle, asked.tie.rope
    length = float(asked.forces.setting.leg_length.max())
    pull, pull_place = _long_term_pull(asked)
    _, strain = constructional_stretch(rope.lay)
    bedding = strain * length
    elastic = elastic_stretch(pull, length, rope.stiffness)
    left = shorten_left(asked.tie.turnbuckle_set, body.closed)
    opened = body.closed + body.take_up
    held = engagement(body.thread, opened, asked.tie.turnbuckle_set)
    ledger = Ledger(asked.job.show)
    ledger.given("L", "rope in the longest leg, both pieces", length, "length")
    ledger.given("e_c", f"bedding-in of new {rope.lay}, upper value", strain, "-")
    ledger.given("T", pull_place, pull, "force")
    ledger.given("EA", f"stiffness of rope {rope.name}", rope.stiffness, "force")
    ledger.line("s_c", "e_c L", "{e_c} * {L}", bedding, "length")
    ledger.line("s_e", "T L / EA", "{T} * {L} / {EA}", elastic, "length")
    ledger.line("s", "s_c + s_e", "{s_c} + {s_e}", bedding + elastic, "length")
    ledger.given("P", "pin to pin as set", asked.tie.turnbuckle_set, "length")
    ledger.given("P_closed", f"pin to pin closed, {body.name}", body.closed, "length")
    ledger.given("K", f"take-up, {body.name}", body.take_up, "length")
    ledger.given("D_t", f"thread diameter, {body.name}", body.thread, "length")
    ledger.line("left", "P - P_closed", "{P} - {P_closed}", left, "length")
    engaged = "{D_t} + ({P_closed} + {K} - {P}) / 2"
    ledger.line("E", "engaged at each end, D_t + (P_closed + K - P) / 2", engaged, held, "length")
    ledger.line("u", "s / left", "{s} / {left}", (bedding + elastic) / left, "-")
    engaged_enough = held >= body.thread * (1.0 - 1e-9)
    return judged(
        "turnbuckle-thread",
        demand=bedding + elastic,
        capacity=left if engaged_enough else 0.0,
        unit="m",
        why=(
            f"As the rope beds in and stretches a leg may grow "
            f"{ledger.said(bedding + elastic, 'length')}; from its set the turnbuckle can "
            f"shorten {ledger.said(left, 'length')}, with "
            f"{ledger.said(held, 'length')} of thread engaged at each end (at least "
            f"{ledger.said(body.thread, 'length')}). A longer take-up would help."
        ),
        sources=(STRETCH_SOURCE, STOP_SOURCE, rope.stiffness_source, body.length_source),
        working=ledger.lines,
    )
