"""Hip: does it stay straight, as a column, as a beam, and as both at once."""

from __future__ import annotations

import numpy as np

from rafterstay.checks.judging import Asked, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.combined import stability_under_both
from rafterstay.checks.nds_2018.members import beam_effective_length, beam_slenderness
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.rafter_bending import note_buckling, slender, stressed
from rafterstay.checks.parts.timber import note_section, sources_of, timber_of
from rafterstay.core.sources import Source

__all__ = ["MOST_SLENDER", "rafter_stability"]

SOURCE = Source("NDS", "2018", "3.3.3.7, 3.7.1.4, eq. 3.9-4", "memory", 97)
MOST_SLENDER = 50.0
"""Most l_e/d of a column and R_B of a beam. Source: NDS 2018 3.7.1.4, 3.3.3.7"""


def rafter_stability(asked: Asked) -> Check:
    """Set slenderness in the plane of the load, as a beam, and eq. 3.9-4 against their limits."""
    wood = timber_of(asked)
    held, inside = slender(asked, wood), stressed(asked, wood)
    pressed_top = inside.bending >= 0.0
    both = stability_under_both(
        np.maximum(inside.along, 0.0),
        np.abs(inside.bending),
        buckling_weak=held.weak,
        buckling_beam=np.where(pressed_top, held.top, held.bottom),
    )
    worst = largest(both.max(axis=2), asked.forces, of="hip")
    station = int(np.argmax(both[worst.row, worst.leg - 1]))
    here = (worst.row, worst.leg - 1, station)
    top = bool(pressed_top[here])
    forces = asked.forces
    axial, moment = max(0.0, float(forces.hip_axial[here])), abs(float(forces.hip_moment[here]))
    ledger = Ledger(asked.job.show)
    at = f"at {forces.hip_at[station]:.3f} of the hip from its foot, {worst.place}"
    ledger.given("N", f"compression along the hip {at}", axial, "force")
    edge = "top" if top else "bottom"
    ledger.given("M", f"moment there, {edge} edge pressed", moment, "moment")
    note_section(ledger, asked, wood)
    pressed = axial / wood.plies / wood.area
    bent = moment / wood.plies / wood.modulus
    ledger.line("f_a", "N / (n_p A)", "{N} / ({n_p} * {A})", pressed, "stress")
    ledger.line("f_b", "M / (n_p S)", "{M} / ({n_p} * {S})", bent, "stress")
    note_buckling(ledger, asked, wood, held, top=top)
    column = wood.length / wood.depth / MOST_SLENDER
    ledger.line("u_1", "as a column, l / d / 50", "{l} / {d} / 50", column, "-")
    unbraced = wood.held if top else wood.length
    ratio = beam_slenderness(
        beam_effective_length(unbraced, wood.depth), wood.depth, wood.thickness
    )
    ledger.line("u_2", "as a beam, R_B / 50", "{R_B} / 50", ratio / MOST_SLENDER, "-")
    ledger.line(
        "u_3",
        "f_a / F_cE2 + (f_b / F_bE)**2",
        "{f_a} / {F_cE2} + ({f_b} / {F_bE})**2",
        worst.value,
        "-",
    )
    used = max(column, ratio / MOST_SLENDER, worst.value)
    ledger.line("u", "max(u_1, u_2, u_3)", "max({u_1}, {u_2}, {u_3})", used, "-")
    what = {
        column: "the hip's length over its depth",
        ratio / MOST_SLENDER: "a ply's length between braces and its depth over its thickness",
        worst.value: "pressing and bending a ply towards buckling sideways",
    }[used]
    return judged(
        "rafter-stability",
        demand=used,
        capacity=1.0,
        unit="1",
        why=(
            f"Nearest to its limit is {what}, at {used:.2f} of it. Braces closer together or "
            "thicker plies would help."
        ),
        sources=(SOURCE, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )
