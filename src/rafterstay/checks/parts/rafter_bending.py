"""Hip: bending together with the compression or the pull along it, section by section."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rafterstay.checks.judging import Asked, Worst, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.combined import bending_with_compression
from rafterstay.checks.nds_2018.members import (
    beam_buckling_stress,
    beam_effective_length,
    beam_slenderness,
    beam_stability_factor,
    bending_with_tension,
    column_buckling_stress,
    column_stability_factor,
)
from rafterstay.checks.nds_2018.spaced import fixity_factor, spaced_buckling_stress
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.timber import (
    Timber,
    note_allowable,
    note_section,
    sources_of,
    timber_of,
)
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = [
    "Slender",
    "Stressed",
    "held_by",
    "note_buckling",
    "rafter_bending",
    "slender",
    "stressed",
]

COMBINED = Source("NDS", "2018", "3.9.1, 3.9.2, eq. 3.9-1 to 3.9-3", "read", 98)
STABILITY = Source("NDS", "2018", "3.3.3, 3.7.1, eq. 3.3-6, 3.7-1", "read", 98)
NIL = 1e-6
"""A moment under this is nil beside the solver's own floor. [N m]"""
PAST = 1e6
"""Stands for a utilisation past any: a stress beyond a buckling stress. [-]"""


@dataclass(frozen=True)
class Slender:
    """Buckling stresses of a ply, and the factors they leave in every state.

    Attributes:
        strong: F_cE in the plane of the roof load; the hip's whole length counts, for a rope
            holds nothing against buckling. [Pa]
        weak: F_cE sideways. [Pa]
        top, bottom: F_bE with the top or the bottom edge pressed; only a deck holds an edge,
            and only the top one. [Pa]
        column: C_P. [-] (n_states,)
        beam_top, beam_bottom: C_L. [-] (n_states,)
    """

    strong: float
    weak: float
    top: float
    bottom: float
    column: Floats
    beam_top: Floats
    beam_bottom: Floats


@dataclass(frozen=True)
class Stressed:
    """Stresses in one ply. [Pa] (n_states, n_legs, n_stations)

    Attributes:
        along: Compression +.
        bending: About the strong axis, top pressed +.
        sideways: About the weak axis, the largest along the hip.
    """

    along: Floats
    bending: Floats
    sideways: Floats


def slender(asked: Asked, wood: Timber) -> Slender:
    """Work the buckling stresses of a ply and C_P and C_L of every state."""
    e_min = wood.allowable("e_min")
    strong = column_buckling_stress(e_min, wood.length, wood.depth)
    weak = spaced_buckling_stress(e_min, wood.held, wood.thickness, asked.job.rafter.end_fixity)
    edges = []
    for unbraced in (wood.held, wood.length):
        effective = beam_effective_length(unbraced, wood.depth)
        ratio = beam_slenderness(effective, wood.depth, wood.thickness)
        edges.append(beam_buckling_stress(e_min, ratio))
    durations = [float(each) for each in asked.duration_factors[:, 0]]
    pressed = [wood.allowable("fc", each) for each in durations]
    bent = [wood.allowable("fb", each) for each in durations]
    return Slender(
        strong=strong,
        weak=weak,
        top=edges[0],
        bottom=edges[1],
        column=np.array([column_stability_factor(min(strong, weak), each) for each in pressed]),
        beam_top=np.array([beam_stability_factor(edges[0], each) for each in bent]),
        beam_bottom=np.array([beam_stability_factor(edges[1], each) for each in bent]),
    )


def stressed(asked: Asked, wood: Timber) -> Stressed:
    """Work the stresses of one ply from the forces of its hip."""
    forces = asked.forces
    turned = np.where(forces.hip_sideways < NIL, 0.0, forces.hip_sideways)
    sideways = turned[..., np.newaxis] / (wood.plies * wood.weak_modulus)
    return Stressed(
        along=forces.hip_axial / (wood.plies * wood.area),
        bending=forces.hip_moment / (wood.plies * wood.modulus),
        sideways=np.broadcast_to(sideways, forces.hip_axial.shape),
    )


def rafter_bending(asked: Asked) -> Check:
    """Set bending with compression or pull at the worst section against the three equations."""
    wood = timber_of(asked)
    held, inside = slender(asked, wood), stressed(asked, wood)
    used = _used(asked, wood, held, inside)
    worst = largest(used.max(axis=2), asked.forces, of="hip")
    station = int(np.argmax(used[worst.row, worst.leg - 1]))
    ledger = Ledger(asked.job.show)
    axial, moment = _note_forces(ledger, asked, wood, inside, worst=worst, station=station)
    if axial >= 0.0:
        _note_pressed(ledger, asked, wood, held, worst=worst, top=moment >= 0.0)
    else:
        _note_pulled(ledger, asked, wood, held, worst=worst, top=moment >= 0.0)
    past = worst.value >= PAST
    if not past:
        _note_result(ledger, worst.value, pressed=axial >= 0.0)
    kind = "pressed" if axial >= 0.0 else "pulled"
    at = f"{asked.forces.hip_at[station]:.2f} of the way up"
    used_up = (
        "it would buckle"
        if past
        else f"it uses {worst.value:.2f} of what the wood may take of both at once"
    )
    return judged(
        "rafter-bending",
        demand=1.0 if past else worst.value,
        capacity=0.0 if past else 1.0,
        unit="1",
        why=(
            f"Hip {worst.leg} is bent and {kind} hardest {at}: {used_up}. A deeper ply or a "
            "lower tie helps most."
        ),
        sources=(COMBINED, STABILITY, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def _used(asked: Asked, wood: Timber, held: Slender, inside: Stressed) -> Floats:
    """Utilisation of every section. [-] (n_states, n_legs, n_stations)"""
    shape = (-1, 1, 1)
    duration = asked.duration_factors.reshape(shape)
    bend = wood.allowable("fb") * duration
    top = inside.bending >= 0.0
    beam = np.where(top, held.beam_top.reshape(shape), held.beam_bottom.reshape(shape))
    bent = np.abs(inside.bending)
    pressed = bending_with_compression(
        np.maximum(inside.along, 0.0),
        bent,
        inside.sideways,
        allowable_compression=wood.allowable("fc") * duration * held.column.reshape(shape),
        allowable_strong=bend * beam,
        allowable_weak=bend,
        buckling_strong=held.strong,
        buckling_weak=held.weak,
        buckling_beam=np.where(top, held.top, held.bottom),
    )
    tension_face, compression_face = bending_with_tension(
        np.maximum(-inside.along, 0.0),
        bent + inside.sideways,
        allowable_tension=wood.allowable("ft") * duration,
        allowable_bending=bend,
        stable_bending=bend * beam,
    )
    pulled = np.maximum(tension_face, compression_face)
    used: Floats = np.minimum(np.where(inside.along >= 0.0, pressed, pulled), PAST)
    return used


def _note_forces(
    ledger: Ledger, asked: Asked, wood: Timber, inside: Stressed, *, worst: Worst, station: int
) -> tuple[float, float]:
    """Note the forces of the deciding section and the stresses they make; give them back."""
    forces, leg = asked.forces, worst.leg - 1
    axial = float(forces.hip_axial[worst.row, leg, station])
    moment = float(forces.hip_moment[worst.row, leg, station])
    sideways = float(inside.sideways[worst.row, leg, station])
    at = f"at {forces.hip_at[station]:.3f} of the hip from its foot, {worst.place}"
    said = "compression" if axial >= 0.0 else "pull"
    edge = "top" if moment >= 0.0 else "bottom"
    ledger.given("N", f"{said} along the hip {at}", abs(axial), "force")
    ledger.given("M", f"moment there, {edge} edge pressed", abs(moment), "moment")
    note_section(ledger, asked, wood)
    ledger.line(
        "f_a", "N / (n_p A)", "{N} / ({n_p} * {A})", abs(axial) / wood.plies / wood.area, "stress"
    )
    bent = abs(moment) / wood.plies / wood.modulus
    ledger.line("f_b", "M / (n_p S)", "{M} / ({n_p} * {S})", bent, "stress")
    if sideways > 0.0:
        turned = sideways * wood.plies * wood.weak_modulus
        ledger.given("M_2", "largest moment sideways along the hip", turned, "moment")
        figures = "6 * {M_2} / ({n_p} * {d} * {t}**2)"
        ledger.line("f_b2", "6 M_2 / (n_p d t**2)", figures, sideways, "stress")
    else:
        ledger.given("f_b2", "bending sideways, nil", 0.0, "stress")
    ledger.given("C_D", f"load duration in {worst.state.id}", worst.state.case.duration_factor, "-")
    return axial, moment


def note_buckling(ledger: Ledger, asked: Asked, wood: Timber, held: Slender, *, top: bool) -> None:
    """Note the buckling stresses of a ply as a column and as a beam.

    Args:
        ledger: Takes the lines; holds those of the section.
        asked: Job.
        wood: The ply.
        held: Its buckling stresses.
        top: The top edge is pressed.
    """
    note_allowable(ledger, wood, "e_min")
    ledger.given("l", "length of the hip, foot to head", wood.length, "length")
    ledger.given("l_s", held_by(asked), wood.held, "length")
    ledger.given(
        "K_x", "end blocks, rafter.end_fixity", fixity_factor(asked.job.rafter.end_fixity), "-"
    )
    ledger.line(
        "F_cE1",
        "in the plane of the load, 0.822 E_min_adj / (l / d)**2",
        "0.822 * {E_min_adj} / ({l} / {d})**2",
        held.strong,
        "stress",
    )
    ledger.line(
        "F_cE2",
        "sideways, 0.822 K_x E_min_adj / (l_s / t)**2",
        "0.822 * {K_x} * {E_min_adj} / ({l_s} / {t})**2",
        held.weak,
        "stress",
    )
    unbraced = wood.held if top else wood.length
    symbol = "l_s" if top else "l"
    effective = beam_effective_length(unbraced, wood.depth)
    if unbraced < 7.0 * wood.depth:
        ledger.line("l_e", f"2.06 {symbol}", f"2.06 * {{{symbol}}}", effective, "length")
    else:
        ledger.line(
            "l_e", f"1.63 {symbol} + 3 d", f"1.63 * {{{symbol}}} + 3 * {{d}}", effective, "length"
        )
    slenderness = beam_slenderness(effective, wood.depth, wood.thickness)
    ledger.line("R_B", "sqrt(l_e d) / t", "sqrt({l_e} * {d}) / {t}", slenderness, "-")
    ledger.line(
        "F_bE",
        "1.2 E_min_adj / R_B**2",
        "1.2 * {E_min_adj} / {R_B}**2",
        held.top if top else held.bottom,
        "stress",
    )


def held_by(asked: Asked) -> str:
    """Say what holds a ply sideways, and how far apart."""
    if asked.frame.deck:
        return "held sideways under the deck: rafter.brace_spacing of the job, at most l"
    return "nothing holds the hip sideways between its ends: its length"


def _note_beam(ledger: Ledger, factor: float) -> None:
    ledger.line(
        "C_L",
        "(1 + F_bE / F_b_star) / 1.9 - sqrt(((1 + F_bE / F_b_star) / 1.9)**2 - F_bE / F_b_star "
        "/ 0.95)",
        "(1 + {F_bE} / {F_b_star}) / 1.9 - sqrt(((1 + {F_bE} / {F_b_star}) / 1.9)**2 - {F_bE} "
        "/ {F_b_star} / 0.95)",
        factor,
        "-",
    )


def _note_pressed(
    ledger: Ledger, asked: Asked, wood: Timber, held: Slender, *, worst: Worst, top: bool
) -> None:
    """Note what a section that is bent and pressed may take."""
    duration = worst.state.case.duration_factor
    note_buckling(ledger, asked, wood, held, top=top)
    note_allowable(ledger, wood, "fb", duration=duration)
    note_allowable(ledger, wood, "fc", duration=duration)
    _note_beam(ledger, float((held.beam_top if top else held.beam_bottom)[worst.row]))
    least = "min(F_cE1, F_cE2)"
    figures = "min({F_cE1}, {F_cE2})"
    ledger.line(
        "r",
        f"{least} / F_c_star",
        f"{figures} / {{F_c_star}}",
        min(held.strong, held.weak) / wood.allowable("fc", duration),
        "-",
    )
    ledger.line(
        "C_P",
        "(1 + r) / 1.6 - sqrt(((1 + r) / 1.6)**2 - r / 0.8)",
        "(1 + {r}) / 1.6 - sqrt(((1 + {r}) / 1.6)**2 - {r} / 0.8)",
        float(held.column[worst.row]),
        "-",
    )


def _note_pulled(
    ledger: Ledger, asked: Asked, wood: Timber, held: Slender, *, worst: Worst, top: bool
) -> None:
    """Note what a section that is bent and pulled may take."""
    duration = worst.state.case.duration_factor
    note_buckling(ledger, asked, wood, held, top=top)
    note_allowable(ledger, wood, "fb", duration=duration)
    note_allowable(ledger, wood, "ft", duration=duration)
    _note_beam(ledger, float((held.beam_top if top else held.beam_bottom)[worst.row]))


def _note_result(ledger: Ledger, used: float, *, pressed: bool) -> None:
    if pressed:
        ledger.line(
            "u",
            "(f_a / (F_c_star C_P))**2 + f_b / (F_b_star C_L (1 - f_a / F_cE1)) + f_b2 / "
            "(F_b_star (1 - f_a / F_cE2 - (f_b / F_bE)**2))",
            "({f_a} / ({F_c_star} * {C_P}))**2 + {f_b} / ({F_b_star} * {C_L} * (1 - {f_a} / "
            "{F_cE1})) + {f_b2} / ({F_b_star} * (1 - {f_a} / {F_cE2} - ({f_b} / {F_bE})**2))",
            used,
            "-",
        )
        return
    ledger.line(
        "u",
        "max(f_a / F_t_star + (f_b + f_b2) / F_b_star, (f_b + f_b2 - f_a) / (F_b_star C_L))",
        "max({f_a} / {F_t_star} + ({f_b} + {f_b2}) / {F_b_star}, ({f_b} + {f_b2} - {f_a}) / "
        "({F_b_star} * {C_L}))",
        used,
        "-",
    )
