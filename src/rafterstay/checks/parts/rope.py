"""Leg rope: strong enough for the building, and what a rigger would say beside it."""

from __future__ import annotations

from rafterstay.checks.asce19_2016 import strength
from rafterstay.checks.judging import Asked, Worst, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.lifting import factor
from rafterstay.checks.nouns import Check

__all__ = ["rope_lifting", "rope_strength"]


def _asked_of_rope(asked: Asked) -> tuple[Ledger, Worst]:
    """Open a ledger with the largest leg pull and the rope's breaking strength."""
    rope = asked.tie.rope
    worst = largest(asked.forces.leg_pull, asked.forces)
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest pull, {worst.place}", worst.value, "force")
    ledger.given("S", f"breaking strength of rope {rope.name}", rope.strength, "force")
    return ledger, worst


def rope_strength(asked: Asked) -> Check:
    """Set the largest leg pull against breaking strength x fitting x bend / 2.2.

    The leg rope bends only round its own thimbles, which the fitting's 0.90 covers.
    """
    ledger, worst = _asked_of_rope(asked)
    rope = asked.tie.rope
    capacity = strength.allowable_pull(rope.strength, strength.FITTING, 1.0)
    ledger.given("N_f", "pressed-sleeve eye on a thimble, untested", strength.FITTING, "-")
    ledger.given("N_d", "bend round the thimble, held within N_f", 1.0, "-")
    ledger.given("F", "factor on breaking strength for buildings", strength.FACTOR, "-")
    ledger.line("T_allowed", "S N_f N_d / F", "{S} * {N_f} * {N_d} / {F}", capacity, "force")
    ledger.line("u", "T / T_allowed", "{T} / {T_allowed}", worst.value / capacity, "-")
    return judged(
        "rope-strength",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Leg {worst.leg} pulls {ledger.said(worst.value, 'force')}; the rope with its "
            f"eyes may be pulled {ledger.said(capacity, 'force')} in a building. A thicker "
            "rope or a lower tie would help."
        ),
        sources=(strength.SOURCE, strength.FITTING_SOURCE, rope.source),
        working=ledger.lines,
        worst=worst,
    )


def rope_lifting(asked: Asked) -> Check:
    """Set the largest leg pull against breaking strength / 5, as advice."""
    ledger, worst = _asked_of_rope(asked)
    rope = asked.tie.rope
    capacity = factor.working_load(rope.strength)
    ledger.given("F", "design factor in lifting", factor.FACTOR, "-")
    ledger.line("T_lifting", "S / F", "{S} / {F}", capacity, "force")
    ledger.line("u", "T / T_lifting", "{T} / {T_lifting}", worst.value / capacity, "-")
    return judged(
        "rope-lifting",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Advice only, the building's rule is rope-strength: in lifting this rope would be "
            f"used to {ledger.said(capacity, 'force')}, a fifth of its breaking strength; "
            f"leg {worst.leg} pulls {ledger.said(worst.value, 'force')}."
        ),
        sources=(factor.SOURCE, rope.source),
        working=ledger.lines,
        worst=worst,
        decides=False,
    )
