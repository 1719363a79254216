"""Hip: shear along the grain, splitting at the bolt, and what the bolt's hole leaves."""

from __future__ import annotations

import numpy as np

from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.combined import strength_at_net_section
from rafterstay.checks.nds_2018.dowel import lever_shares
from rafterstay.checks.nds_2018.members import net_area, net_section_modulus
from rafterstay.checks.nds_2018.shear import NEAR_END, allowable_shear, allowable_shear_at_bolt
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.bolt import grain_angles
from rafterstay.checks.parts.bolt_distances import bolt_ends
from rafterstay.checks.parts.eye_pin import on_bolt
from rafterstay.checks.parts.on_hips import lift_of_pulls, pulls_on_hips
from rafterstay.checks.parts.timber import (
    at_bolt,
    note_allowable,
    note_section,
    sources_of,
    timber_of,
)
from rafterstay.core.quantities import parse
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = ["rafter_shear", "wood_net", "wood_splitting"]

SHEAR = Source("NDS", "2018", "eq. 3.4-2", "memory", 98)
AT_BOLT = Source("NDS", "2018", "3.4.3.3, 3.8.2", "memory", 90)
NET = Source("NDS", "2018", "3.1.2, 3.6.3, 3.9.1, 12.1.3.2", "memory", 97)


def rafter_shear(asked: Asked) -> Check:
    """Set the largest shear anywhere along a hip against its plies' shear along the grain."""
    wood = timber_of(asked)
    shear: Floats = np.abs(asked.forces.hip_shear)
    worst = largest(shear.max(axis=2), asked.forces, asked.duration_factors, of="hip")
    station = int(np.argmax(shear[worst.row, worst.leg - 1]))
    duration = worst.state.case.duration_factor
    each = allowable_shear(wood.allowable("fv", duration), wood.thickness, wood.depth)
    capacity = wood.plies * each
    ledger = Ledger(asked.job.show)
    at = f"at {asked.forces.hip_at[station]:.3f} of the hip from its foot"
    ledger.given("V", f"largest shear across the hip, {at}, {worst.place}", worst.value, "force")
    note_section(ledger, asked, wood)
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    note_allowable(ledger, wood, "fv", duration=duration)
    ledger.line(
        "V_allowed",
        "n_p 2 F_v_star A / 3",
        "{n_p} * 2 * {F_v_star} * {A} / 3",
        capacity,
        "force",
    )
    ledger.line("u", "V / V_allowed", "{V} / {V_allowed}", worst.value / capacity, "-")
    return judged(
        "rafter-shear",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Hip {worst.leg} carries {ledger.said(worst.value, 'force')} of shear; its "
            f"plies take {ledger.said(capacity, 'force')} along the grain. Deeper plies "
            "would help."
        ),
        sources=(SHEAR, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def wood_splitting(asked: Asked) -> Check:
    """Set the shear beside the bolt against what the wood below or above it may carry.

    A bolt at mid depth leaves half the ply either way. Where the eye may lean, one ply takes
    more than its half. A bolt in the foot stands over the bearing: there only a pull that lifts
    the hip off its seat can split it; one that presses it down goes straight into the plate.
    """
    wood, tie = timber_of(asked), asked.tie
    forces, ends = asked.forces, bolt_ends(asked)
    near_end = min(ends.lower, ends.upper) < NEAR_END * wood.depth
    at_foot = np.array_equal(asked.frame.bolts, asked.frame.feet)
    if at_foot:
        shear = np.maximum(lift_of_pulls(asked), 0.0)
    else:
        pulls = np.linalg.norm(pulls_on_hips(asked), axis=-1)
        across: Floats = pulls * np.sin(grain_angles(asked))
        beside: Floats = np.abs(forces.hip_shear[:, :, at_bolt(asked)]).max(axis=2)
        shear = np.maximum(beside, across if near_end else across / 2.0)
    worst = largest(shear, forces, asked.duration_factors, of="hip")
    duration = worst.state.case.duration_factor
    effective = wood.depth / 2.0
    one = allowable_shear_at_bolt(
        wood.allowable("fv", duration),
        wood.thickness,
        wood.depth,
        effective=effective,
        near_end=near_end,
    )
    width, hung = on_bolt(asked)
    clear = max(0.0, tie.gap - width)
    share = 1.0 / wood.plies
    if not tie.eye_spacers:
        share = max(lever_shares(wood.thickness, width, 0.0, clear))
    capacity = one / share
    ledger = Ledger(asked.job.show)
    said = "pull off the seat, across the hip" if at_foot else "shear beside the bolt"
    ledger.given("V", f"{said}, {worst.place}", worst.value, "force")
    note_section(ledger, asked, wood)
    ledger.line("d_e", "bolt at mid depth, d / 2", "{d} / 2", effective, "length")
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    note_allowable(ledger, wood, "fv", duration=duration)
    if tie.eye_spacers:
        ledger.line("k", "share of one ply, 1 / n_p", "1 / {n_p}", share, "-")
    else:
        ledger.given("w", hung, width, "length")
        ledger.given("s", "rafter.gap of the job, clear between plies", tie.gap, "length")
        ledger.line(
            "g", "clear on the far side, max(0, s - w)", "max(0, {s} - {w})", clear, "length"
        )
        numbers = "({t} / 2 + {g} + {w} / 2) / ({t} + {g} + {w})"
        said = "share of the near ply, (t / 2 + g + w / 2) / (t + g + w)"
        ledger.line("k", said, numbers, share, "-")
    formula, numbers = "2 F_v_star t d_e / (3 k)", "2 * {F_v_star} * {t} * {d_e} / (3 * {k})"
    if near_end:
        formula, numbers = f"{formula} (d_e / d)**2", f"{numbers} * ({{d_e}} / {{d}})**2"
    place = "near an end" if near_end else "more than five depths from the ends"
    ledger.line("V_allowed", f"{place}: {formula}", numbers, capacity, "force")
    ledger.line("u", "V / V_allowed", "{V} / {V_allowed}", worst.value / capacity, "-")
    return judged(
        "wood-splitting",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"The bolt of hip {worst.leg} leaves {ledger.said(worst.value, 'force')} of "
            f"{'pull off the seat' if at_foot else 'shear beside it'}; the wood takes "
            f"{ledger.said(capacity, 'force')} before it may split along the grain. "
            "Deeper plies or a spacer on each side of the eye help."
        ),
        sources=(AT_BOLT, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def wood_net(asked: Asked) -> Check:
    """Set bending and the force along the hip, at the bolt, against the section its hole leaves."""
    wood, forces = timber_of(asked), asked.forces
    bolt = asked.tie.bolt.diameter
    area = net_area(wood.thickness, wood.depth, bolt)
    modulus = net_section_modulus(wood.thickness, wood.depth, bolt)
    at = at_bolt(asked)
    axial, moment = forces.hip_axial[:, :, at], np.abs(forces.hip_moment[:, :, at])
    duration = asked.duration_factors[..., np.newaxis]
    along = np.where(axial >= 0.0, wood.allowable("fc"), wood.allowable("ft")) * duration
    used = strength_at_net_section(
        np.abs(axial) / (wood.plies * area),
        moment / (wood.plies * modulus),
        allowable_axial=along,
        allowable_bending=wood.allowable("fb") * duration,
    )
    worst = largest(used.max(axis=2), forces, of="hip")
    here = (worst.row, worst.leg - 1, int(np.argmax(used[worst.row, worst.leg - 1])))
    pressed = bool(axial[here] >= 0.0)
    ledger = Ledger(asked.job.show)
    said = "compression" if pressed else "pull"
    force, bent = abs(float(axial[here])), float(moment[here])
    ledger.given("N", f"{said} along the hip at its bolt, {worst.place}", force, "force")
    ledger.given("M", "moment there", bent, "moment")
    note_section(ledger, asked, wood)
    ledger.given("D", f"diameter of bolt {asked.tie.bolt.name}", bolt, "length")
    ledger.given("c", "a hole is bored 1/16 in over its bolt", parse("1/16 in", "length"), "length")
    ledger.line("A_net", "t (d - (D + c))", "{t} * ({d} - ({D} + {c}))", area, "area")
    ledger.line(
        "S_net",
        "t (d**3 - (D + c)**3) / (6 d)",
        "{t} * ({d}**3 - ({D} + {c})**3) / (6 * {d})",
        modulus,
        "section modulus",
    )
    ledger.given("C_D", f"load duration in {worst.state.id}", worst.state.case.duration_factor, "-")
    stress = note_allowable(
        ledger, wood, "fc" if pressed else "ft", duration=worst.state.case.duration_factor
    )
    note_allowable(ledger, wood, "fb", duration=worst.state.case.duration_factor)
    ledger.line(
        "u",
        f"N / (n_p A_net {stress}) + M / (n_p S_net F_b_star)",
        f"{{N}} / ({{n_p}} * {{A_net}} * {{{stress}}}) + {{M}} / ({{n_p}} * {{S_net}} * "
        "{F_b_star})",
        worst.value,
        "-",
    )
    return judged(
        "wood-net",
        demand=worst.value,
        capacity=1.0,
        unit="1",
        why=(
            f"At its bolt hip {worst.leg} uses {worst.value:.2f} of what the wood around the "
            "hole may take. Deeper plies would help."
        ),
        sources=(NET, stated_in_job("rafter.ply"), *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )
