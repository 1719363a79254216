"""Two plies with blocks between them: does each stay straight, and are the blocks close enough."""

from __future__ import annotations

import numpy as np

from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.members import column_stability_factor
from rafterstay.checks.nds_2018.spaced import (
    BLOCK_SLENDERNESS,
    DEPTH_SLENDERNESS,
    PLY_SLENDERNESS,
    fixity_factor,
)
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.rafter_bending import held_by, slender
from rafterstay.checks.parts.timber import note_allowable, note_section, sources_of, timber_of
from rafterstay.core.sources import Source

__all__ = ["ply_blocks", "ply_buckling"]

SPACED = Source("NDS", "2018", "15.2, spaced columns", "memory", 93)


def ply_buckling(asked: Asked) -> Check:
    """Set the compression in one ply, and its slenderness, against those of a spaced column.

    Without connectors in the end blocks each ply is a column by itself, whose slenderness may
    be 50; with them 80.
    """
    wood, forces = timber_of(asked), asked.forces
    held = slender(asked, wood)
    fixity = asked.job.rafter.end_fixity
    most = DEPTH_SLENDERNESS if fixity == "none" else PLY_SLENDERNESS
    durations = asked.duration_factors
    allowed = np.array(
        [
            [wood.area * fc * column_stability_factor(held.weak, fc)]
            for fc in (wood.allowable("fc", float(each)) for each in durations[:, 0])
        ]
    )
    each_ply = np.maximum(forces.hip_axial, 0.0).max(axis=2) / wood.plies
    worst = largest(each_ply, forces, allowed, of="hip")
    duration = worst.state.case.duration_factor
    fc = wood.allowable("fc", duration)
    factor = column_stability_factor(held.weak, fc)
    capacity = float(allowed[worst.row, 0])
    ledger = Ledger(asked.job.show)
    ledger.given(
        "N", f"largest compression along the hip, {worst.place}", worst.value * wood.plies, "force"
    )
    note_section(ledger, asked, wood)
    ledger.line("N_1", "in one ply, N / n_p", "{N} / {n_p}", worst.value, "force")
    note_allowable(ledger, wood, "e_min")
    ledger.given("l_1", held_by(asked), wood.held, "length")
    ledger.given("K_x", "end blocks, rafter.end_fixity", fixity_factor(fixity), "-")
    ledger.line(
        "F_cE",
        "0.822 K_x E_min_adj / (l_1 / t)**2",
        "0.822 * {K_x} * {E_min_adj} / ({l_1} / {t})**2",
        held.weak,
        "stress",
    )
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    note_allowable(ledger, wood, "fc", duration=duration)
    ledger.line("r", "F_cE / F_c_star", "{F_cE} / {F_c_star}", held.weak / fc, "-")
    ledger.line(
        "C_P",
        "(1 + r) / 1.6 - sqrt(((1 + r) / 1.6)**2 - r / 0.8)",
        "(1 + {r}) / 1.6 - sqrt(((1 + {r}) / 1.6)**2 - {r} / 0.8)",
        factor,
        "-",
    )
    ledger.line("N_allowed", "A F_c_star C_P", "{A} * {F_c_star} * {C_P}", capacity, "force")
    ledger.line("u_1", "N_1 / N_allowed", "{N_1} / {N_allowed}", worst.value / capacity, "-")
    slenderness = wood.held / wood.thickness / most
    ledger.given("m", "most l_1 / t", most, "-")
    ledger.line("u_2", "l_1 / (t m)", "{l_1} / ({t} * {m})", slenderness, "-")
    deep = wood.length / wood.depth / DEPTH_SLENDERNESS
    ledger.given("l_2", "length of the hip, foot to head", wood.length, "length")
    ledger.line("u_3", "l_2 / (50 d)", "{l_2} / (50 * {d})", deep, "-")
    used = max(worst.value / capacity, slenderness, deep)
    ledger.line("u", "max(u_1, u_2, u_3)", "max({u_1}, {u_2}, {u_3})", used, "-")
    said = ledger.said(worst.value, "force")
    gives = ledger.said(capacity, "force")
    return judged(
        "ply-buckling",
        demand=used,
        capacity=1.0,
        unit="1",
        why=(
            f"One ply of hip {worst.leg} is pressed with {said} and buckles sideways at no less "
            f"than {gives}; it is held every {ledger.said(wood.held, 'length')}, which is "
            f"{wood.held / wood.thickness:.0f} times its thickness where {most:.0f} is the most. "
            "Braces closer together would help."
        ),
        sources=(SPACED, stated_in_job("rafter.brace_spacing"), *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def ply_blocks(asked: Asked) -> Check:
    """Set the spacing of the blocks between the plies against forty thicknesses and half the hip.

    Connectors in the end blocks ask for blocks at least half as thick as a ply.
    """
    wood, job = timber_of(asked), asked.job
    spacing, fixity = job.rafter.block_spacing, job.rafter.end_fixity
    ledger = Ledger(job.show)
    ledger.given("l_3", "rafter.block_spacing of the job", spacing, "length")
    ledger.given("t", f"thickness of ply {asked.tie.ply.name}", wood.thickness, "length")
    ledger.given("l", "length of the hip, foot to head", wood.length, "length")
    slenderness = BLOCK_SLENDERNESS * wood.thickness
    ledger.line("a_1", "40 t", "40 * {t}", slenderness, "length")
    ledger.line("a_2", "l / 2", "{l} / 2", wood.length / 2.0, "length")
    capacity = min(slenderness, wood.length / 2.0)
    ledger.line("a", "min(a_1, a_2)", "min({a_1}, {a_2})", capacity, "length")
    ledger.line("u", "l_3 / a", "{l_3} / {a}", spacing / capacity, "-")
    thin = fixity != "none" and asked.tie.gap < wood.thickness / 2.0
    return judged(
        "ply-blocks",
        demand=spacing,
        capacity=capacity,
        unit="m",
        why=(
            f"Blocks stand every {ledger.said(spacing, 'length')}; "
            f"{ledger.said(capacity, 'length')} is the most that keeps the plies side by "
            "side. Blocks closer together would help; put one on each side of the tie bolt."
        ),
        sources=(
            SPACED,
            stated_in_job("rafter.block_spacing"),
            stated_in_job("rafter.end_fixity"),
            asked.tie.ply.source,
        ),
        working=ledger.lines,
        refer="the blocks are under half as thick as a ply, which no spaced column's may be"
        if thin
        else "",
    )
