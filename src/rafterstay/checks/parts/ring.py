"""Ring rope: its pull, its sharp bend over every eye, and room for the eyes."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from rafterstay.checks.asce19_2016 import strength
from rafterstay.checks.judging import Asked, Worst, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.practice.clearance import eye_chord, eye_width
from rafterstay.core.sources import Source
from rafterstay.core.tables import table
from rafterstay.rope import bending_efficiency, bending_source
from rafterstay.rope import ring_pull as equal_ring_pull
from rafterstay.rope.stretch import TABLES

__all__ = ["note_bend", "ring_bend", "ring_clearance", "ring_pull"]

# Rope over a greased steel thimble through 45 degrees, e^(mu pi/4) - 1 with mu 0.1 to 0.2:
# 8 to 17 %; common practice, no source. [-]
FRICTION = 0.17

GEOMETRY = Source("geometry of a regular polygon", "", "docs/theory/thrust.md", "computed", 99)


def _asked_of_ring(asked: Asked) -> tuple[Ledger, Worst]:
    """Open a ledger with the ring's largest pull and the ring rope's breaking strength."""
    rope = asked.tie.ring_rope
    worst = largest(asked.forces.ring_pull, asked.forces)
    sliding = asked.tie.ring == "rope-sliding"
    found = worst.value
    worst = replace(worst, value=found * (1 + FRICTION)) if sliding else worst
    side = f"side {worst.leg} to {worst.leg % asked.tie.n + 1}"
    ledger = Ledger(asked.job.show)
    if sliding:
        ledger.given("T_s", f"pull all round without friction, {worst.state.id}", found, "force")
        ledger.given("f", "what friction at the eyes may add to one side", FRICTION, "-")
        ledger.line("T_r", "T_s (1 + f)", "{T_s} * (1 + {f})", worst.value, "force")
    else:
        ledger.given("T_r", f"largest ring pull, {side} in {worst.state.id}", worst.value, "force")
    alone = "" if asked.tie.ring_ropes == 1 else ", one of two"
    ledger.given("S", f"breaking strength of ring rope {rope.name}{alone}", rope.strength, "force")
    ledger.given("N_f", "pressed-sleeve joint of the ring, untested", strength.FITTING, "-")
    ledger.given("F", "factor on breaking strength for buildings", strength.FACTOR, "-")
    return ledger, worst


def _pulls(asked: Asked) -> str:
    """Of two ropes each must be able to hold it all: nobody can share a pull out between them."""
    if asked.tie.ring_ropes == 1:
        return "rope pulls"
    return "is two ropes, and either alone must hold its pull of"


def ring_pull(asked: Asked) -> Check:
    """Set the ring's largest pull against breaking strength x fitting / 2.2, bend left out."""
    ledger, worst = _asked_of_ring(asked)
    n = asked.tie.n
    capacity = strength.allowable_pull(asked.tie.ring_rope.strength, strength.FITTING, 1.0)
    ledger.line("T_allowed", "S N_f / F", "{S} * {N_f} / {F}", capacity, "force")
    ledger.line("u", "T_r / T_allowed", "{T_r} / {T_allowed}", worst.value / capacity, "-")
    leg = float(asked.forces.leg_pull[worst.row].max())
    ledger.given("T", f"largest leg pull in {worst.state.id}", leg, "force")
    ledger.given("n", "number of legs", float(n), "-")
    ledger.line(
        "T_equal",
        "hand check, every leg pulling T: T / (2 sin(180/n))",
        "{T} / (2 * sin_deg(180 / {n}))",
        equal_ring_pull(leg, n),
        "force",
    )
    return judged(
        "ring-pull",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"The ring {_pulls(asked)} {ledger.said(worst.value, 'force')}; straight it may be "
            f"pulled {ledger.said(capacity, 'force')} (its bend over the eyes is "
            "ring-bend). A thicker ring rope would help."
        ),
        sources=(strength.SOURCE, strength.FITTING_SOURCE, asked.tie.ring_rope.source),
        working=ledger.lines,
        worst=worst,
    )


def ring_bend(asked: Asked) -> Check:
    """Set the ring's largest pull against breaking strength x fitting x bend / 2.2.

    The ring rope bears on the legs' thimbles across their lips, so that width is the diameter
    it bends over. The table's efficiency is used at any angle turned.
    """
    ledger, worst = _asked_of_ring(asked)
    rope, thimble = asked.tie.ring_rope, asked.tie.thimble
    ratio = thimble.thickness / rope.diameter
    ledger.given("D", f"across the lips of thimble {thimble.name}", thimble.thickness, "length")
    ledger.given("d", f"diameter of ring rope {rope.name}", rope.diameter, "length")
    ledger.line("D_d", "D / d", "{D} / {d}", ratio, "-")
    sources: tuple[Source, ...] = (strength.SOURCE, strength.FITTING_SOURCE)
    sources += (rope.source, thimble.source)
    if ratio < 1.0:
        return judged(
            "ring-bend",
            demand=worst.value,
            capacity=0.0,
            unit="N",
            why=(
                f"The ring rope bends over only {ratio:.2f} of its own diameter; under 1 no table "
                "gives it any strength. A thinner ring rope or thicker thimbles would help."
            ),
            sources=sources,
            working=ledger.lines,
            worst=worst,
        )
    bend = bending_efficiency(ratio)
    note_bend(ledger, ratio, bend)
    sources += (bending_source(ratio),)
    capacity = strength.allowable_pull(rope.strength, strength.FITTING, bend)
    ledger.line("T_allowed", "S N_f N_d / F", "{S} * {N_f} * {N_d} / {F}", capacity, "force")
    ledger.line("u", "T_r / T_allowed", "{T_r} / {T_allowed}", worst.value / capacity, "-")
    return judged(
        "ring-bend",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"The ring {_pulls(asked)} {ledger.said(worst.value, 'force')} and bends over each "
            f"eye at D/d {ratio:.2f}, which leaves {100.0 * bend:.0f} % of its strength: "
            f"{ledger.said(capacity, 'force')}. A thicker ring rope with thicker thimbles, "
            "or a welded ring, would help."
        ),
        sources=sources,
        working=ledger.lines,
        worst=worst,
    )


def note_bend(ledger: Ledger, ratio: float, bend: float) -> None:
    """Note the efficiency between the two printed points that hold the ratio.

    Args:
        ledger: Has ``D_d``, the ratio; takes ``N_d`` and what it comes from.
        ratio: D/d. [-]
        bend: Efficiency. [-]
    """
    points = sorted(
        (row.values["ratio"], row.values["efficiency"]) for row in table(TABLES, "bending")
    )
    held = [(near, far) for near, far in pairwise(points) if near[0] <= ratio <= far[0]]
    if not held:
        ledger.given("N_d", f"last printed efficiency, D/d {points[-1][0]:g}", bend, "-")
        return
    (r_1, e_1), (r_2, e_2) = held[0]
    for symbol, what, value in (
        ("r_1", "printed D/d below", r_1),
        ("e_1", "its efficiency", e_1),
        ("r_2", "printed D/d above", r_2),
        ("e_2", "its efficiency", e_2),
    ):
        ledger.given(symbol, what, value, "-")
    ledger.line(
        "N_d",
        "e_1 + (e_2 - e_1) (D_d - r_1) / (r_2 - r_1)",
        "{e_1} + ({e_2} - {e_1}) * ({D_d} - {r_1}) / ({r_2} - {r_1})",
        bend,
        "-",
    )


def ring_clearance(asked: Asked) -> Check:
    """Set the width of an eye against the room between neighbouring eyes."""
    tie, thimble = asked.tie, asked.tie.thimble
    chord = drawn = eye_chord(tie.ring_radius, tie.n)
    width = eye_width(thimble.overall_width, thimble.inside_width, tie.rope.diameter)
    ledger = Ledger(asked.job.show)
    ledger.given("r", "ring radius, centre to eye crown", tie.ring_radius, "length")
    ledger.given("n", "number of legs", float(tie.n), "-")
    ledger.given("W_o", f"overall width of thimble {thimble.name}", thimble.overall_width, "length")
    ledger.given("W_i", f"inside width of thimble {thimble.name}", thimble.inside_width, "length")
    ledger.given("d", f"diameter of rope {tie.rope.name}", tie.rope.diameter, "length")
    ledger.line("W", "max(W_o, W_i + 2 d)", "max({W_o}, {W_i} + 2 * {d})", width, "length")
    ledger.line("c", "2 r sin(180/n)", "2 * {r} * sin_deg(180 / {n})", chord, "length")
    if tie.ring == "rope-sliding" and asked.forces.side_length.size:
        nearest = largest(-asked.forces.side_length, asked.forces)
        slid = -nearest.value
        chord = min(drawn, slid)
        ledger.given("c_s", f"nearest two eyes once slid, in {nearest.state.id}", slid, "length")
        ledger.line("c_least", "min(c, c_s)", "min({c}, {c_s})", chord, "length")
        ledger.line("u", "W / c_least", "{W} / {c_least}", width / chord, "-")
    else:
        ledger.line("u", "W / c", "{W} / {c}", width / chord, "-")
    least = width / (2.0 * math.sin(math.pi / tie.n))
    return judged(
        "ring-clearance",
        demand=width,
        capacity=chord,
        unit="m",
        why=(
            f"Neighbouring eyes stand {ledger.said(chord, 'length')} apart on the ring and "
            f"each is {ledger.said(width, 'length')} wide; the ring radius must be at least "
            f"{ledger.said(least, 'length')}."
        ),
        sources=(GEOMETRY, stated_in_job("tie.ring_radius"), thimble.source),
        working=ledger.lines,
    )
