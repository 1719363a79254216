"""Plate: bent sideways between tied feet, or between corners, by rafters that stand on it."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from rafterstay import catalog
from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.timber import note_allowable, sources_of, timber_of
from rafterstay.core.sources import Source
from rafterstay.loads.laid import Lines
from rafterstay.loads.on_pair import feet_push
from rafterstay.roof.area import jack_strips, polygon_area
from rafterstay.roof.frame import Floats
from rafterstay.statics.nouns import State

__all__ = ["jack_thrust", "plate_bending", "untied_push"]

SIMPLE: Final = Source("statics of a simple beam", "", "docs/theory/gable.md eq. 4", "computed", 99)
UPPER: Final = Source("statics of a leaning jack", "", "docs/theory/jacks.md eq. 3", "computed", 99)


def plate_bending(asked: Asked) -> Check | None:
    """Set sideways bending of the plate against its timber; None where nothing bends it.

    The plate lies flat, of the rafters' species and grade, and is taken as simple between the
    feet that hold it: joints in it need no care then.
    """
    job, frame = asked.job, asked.frame
    if frame.shape == "gable" and job.roof.tie_every > 1 and not frame.ridge_beam:
        pushes = np.array([untied_push(state, asked) for state in asked.forces.states])
        per_length, span = np.abs(pushes) / job.roof.spacing, job.roof.tie_every * job.roof.spacing
        return _judge(asked, per_length, span, source=SIMPLE, apart=job.roof.spacing)
    if frame.jacks:
        pushes = np.array([jack_thrust(state, asked) for state in asked.forces.states])
        feet = frame.nodes[frame.feet]
        sides = np.linalg.norm(np.roll(feet, -1, axis=0) - feet, axis=1)
        return _judge(asked, pushes, float(sides.max()), source=UPPER, ramp=_ramp(asked))
    return None


def untied_push(state: State, asked: Asked) -> Floats:
    """Outward push of an untied pair's feet on the plate.

    The case of the tied pair holds, on each foot, its own tail's push and one push for each
    untied pair; what one pair pushes follows from its lines.

    Args:
        state: Of a gable.
        asked: Frame and how many pairs one tie holds.

    Returns:
        Push of each foot. [N] (2,)

    Source: docs/theory/gable.md eq. 2 and 3
    """
    case, frame, every = state.case, asked.frame, asked.job.roof.tie_every
    lines = Lines(case.hip_load, case.head_load, case.hip_push, tail_moment=case.tail_moment)
    without_tail = feet_push(lines, frame)
    on_foot = (case.tail_push * frame.outward[:, :2]).sum(axis=1)
    return np.asarray((on_foot + without_tail) / every)


def jack_thrust(state: State, asked: Asked) -> Floats:
    """Most a jack at the middle of a side can push on the plate, per length of plate.

    As if the hips held its top only sideways. The load on plan comes back from the hip's line:
    a jack hands half of it on.

    Args:
        state: Of a roof with jacks.
        asked: Frame.

    Returns:
        Push of the longest jack beside each hip. [N/m] (n,)

    Source: docs/theory/jacks.md eq. 3
    """
    frame = asked.frame
    hip = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    on_hip = hip * state.case.hip_load.sum(axis=1) / 2
    beside, _ = jack_strips(frame.wedges)
    pressure = 2 * np.abs(on_hip) / polygon_area(beside).sum(axis=1)
    return np.asarray(pressure * frame.rise / (2 * frame.plane_slope**2))


def _ramp(asked: Asked) -> float:
    """How far from a corner jacks lengthen along the plate, the least of all sides. [m]"""
    beside, _ = jack_strips(asked.frame.wedges)
    return float(np.linalg.norm(beside[..., 1, :] - beside[..., 0, :], axis=-1).min())


def _judge(
    asked: Asked,
    pushes: Floats,
    span: float,
    *,
    source: Source,
    apart: float = 0.0,
    ramp: float = 0.0,
) -> Check:
    """Judge q L^2/8 - q r^2/6: an even push between two ramps, each r long."""
    support = asked.job.support
    moments = pushes * (span**2 / 8 - ramp**2 / 6)
    worst = largest(moments, asked.forces, asked.duration_factors, of="foot")
    push = float(pushes[worst.row, worst.leg - 1])
    ledger = Ledger(asked.job.show)
    ledger.given("L", "plate between feet that hold it", span, "length")
    if apart:
        ledger.given("H_1", f"push of one untied pair on the plate, {worst.place}", push * apart,
                     "force")  # fmt: skip
        ledger.given("a", "roof.spacing of the job", apart, "length")
        ledger.line("H", "H_1 L / a", "{H_1} * {L} / {a}", push * span, "force")
    else:
        ledger.given("H", f"most that leaning jacks push over a length of L, {worst.place}",
                     push * span, "force")  # fmt: skip
    if ramp:
        ledger.given("r", "over which jacks lengthen from a corner", ramp, "length")
        ledger.line("M", "H (L / 8 - r**2 / (6 L))", "{H} * ({L} / 8 - {r}**2 / (6 * {L}))",
                    worst.value, "moment")  # fmt: skip
    else:
        ledger.line("M", "H L / 8", "{H} * {L} / 8", worst.value, "moment")
    if support.plate_ply is None:
        return judged(
            "plate-bending",
            demand=push * span,
            capacity=None,
            unit="N",
            why=(
                "Rafters between those the tie holds bend the plate sideways by "
                f"{ledger.said(push * span, 'force')} over "
                f"{ledger.said(span, 'length')}; state support.plate_ply."
            ),
            sources=(source, stated_in_job("support.plate_ply")),
            working=ledger.lines,
            worst=worst,
            refer="the job does not say what the plate is",
        )
    flat = _plate(asked)
    wood = timber_of(flat)
    duration = worst.state.case.duration_factor
    ledger.given("t", f"thickness of plate {support.plate_ply}", wood.thickness, "length")
    ledger.given("d", "its width, which lies level", wood.depth, "length")
    ledger.given("n_p", "support.plate_plies of the job", wood.plies, "-")
    modulus = wood.plies * wood.modulus
    ledger.line("S", "n_p t d**2 / 6", "{n_p} * {t} * {d}**2 / 6", modulus, "section modulus")
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    note_allowable(ledger, wood, "fb", duration=duration)
    stress, capacity = worst.value / modulus, wood.allowable("fb", duration)
    ledger.line("f_b", "M / S", "{M} / {S}", stress, "stress")
    ledger.line("u", "f_b / F_b_star", "{f_b} / {F_b_star}", stress / capacity, "-")
    return judged(
        "plate-bending",
        demand=stress,
        capacity=capacity,
        unit="Pa",
        why=(
            "Rafters between those the tie holds bend the plate sideways over "
            f"{ledger.said(span, 'length')}: {ledger.said(stress, 'stress')} where "
            f"it takes {ledger.said(capacity, 'stress')}. Closer ties or a wider plate "
            "would help."
        ),
        sources=(source, stated_in_job("support.plate_ply"), *sources_of(flat)),
        working=ledger.lines,
        worst=worst,
    )


def _plate(asked: Asked) -> Asked:
    """The same question with the plate's timber in the place of the rafters'."""
    job = asked.job
    ply = job.catalogue.find("ply", job.support.plate_ply or "")
    species = catalog.species(job.rafter.species, job.rafter.grade, ply.depth)
    tie = replace(asked.tie, ply=ply, species=species, plies=job.support.plate_plies or 1)
    return replace(asked, tie=tie)
