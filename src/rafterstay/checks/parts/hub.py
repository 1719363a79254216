"""Hub: how its heads are held, what they press on it, and how far it comes down."""

from __future__ import annotations

from typing import Final

import numpy as np

from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.bearing import angled_bearing
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.stated import of_a_joint
from rafterstay.checks.parts.timber import Timber, note_allowable, sources_of, timber_of
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = ["MOST_GROWTH", "contact", "hub_bearing", "hub_drop", "hub_shear", "hub_tension"]

PRESSED = Source("NDS", "2018", "3.10.1, 3.10.2, eq. 3.10-1", "memory", 97)
CONTACT = Source("statics of a face that can only press", "", "docs/theory/hub.md", "computed", 100)
GROWTH = Source("pulls that grow more than a tenth as the hub sinks", "", "", "common practice", 80)
MOST_GROWTH: Final = 0.10
"""Most that pulls may grow on the displaced roof. [-]"""
NIL: Final = 1.0
"""A force under this is nil beside the solver's own floor. [N]"""
OFF: Final = 1e6
"""Stands for a pressure past any: the push falls outside the head's face. [Pa]"""


def hub_shear(asked: Asked) -> Check:
    """Set the shear between head and hub against what the job states its joint can take."""
    worst = largest(asked.forces.head_shear, asked.forces, asked.duration_factors, of="head")
    return of_a_joint(
        "hub-shear",
        asked,
        worst,
        what="shear between head and hub",
        key="roof.hub_shear_allowable",
        allowable=asked.job.roof.hub_shear_allowable,
        joint="the joint between head and hub",
        remedy="A stronger joint at the hub would help.",
    )


def hub_tension(asked: Asked) -> Check:
    """Set the pull of a head out of the hub against what the job states its joint can take."""
    worst = largest(-asked.forces.head_push, asked.forces, asked.duration_factors, of="head")
    return of_a_joint(
        "hub-tension",
        asked,
        worst,
        what="pull of a head out of the hub",
        key="roof.hub_tension_allowable",
        allowable=asked.job.roof.hub_tension_allowable,
        joint="the joint between head and hub",
        remedy="A stronger joint at the hub would help.",
    )


def contact(push: Floats, moment: Floats, depth: float) -> tuple[Floats, Floats]:
    """How deep an upright face bears under a push off its middle, and its mean pressure's depth.

    Args:
        push: Square to the face, > 0. [N] (any shape)
        moment: About the middle of the face, >= 0. [N m] (as ``push``)
        depth: Of the face. [m]

    Returns:
        Depth in contact [m], none or less where the push falls outside the face; and the depth
        over which the push spread evenly would press as hard as at the edge. [m]

    Source: statics of a face that can only press; docs/theory/hub.md

    >>> [round(float(x), 3) for x in contact(np.array(300.0), np.array(100.0), 2.0)]
    [2.0, 1.0]
    """
    off = moment / push
    inside = off <= depth / 6.0
    bearing = np.where(inside, depth, 3.0 * (depth / 2.0 - off))
    even = np.where(inside, depth / (1.0 + 6.0 * off / depth), bearing / 2.0)
    return bearing, even


def _allowed(asked: Asked, wood: Timber, slope: float, duration: float) -> float:
    """Pressure a head and its hub may take: along the hip's slope, and across a hub's grain."""
    across = wood.allowable("fc_perp")
    head = angled_bearing(wood.allowable("fc", duration), across, slope)
    return head if _meets_heads(asked) else min(head, across)


def _meets_heads(asked: Asked) -> bool:
    """Whether heads press on one another, with no hub and no ridge board between them."""
    return asked.frame.hub == "point" and asked.frame.shape == "polygon"


def hub_bearing(asked: Asked) -> Check:
    """Set the pressure at the edge of a head's face against the wood at its angle to the grain.

    A disc or ring, and a gable's ridge, is taken as timber of the hips' species pressed across
    its grain; heads in a point press on one another. Heads that pull are hub-tension's.
    """
    wood, frame, forces = timber_of(asked), asked.frame, asked.forces
    pushes = forces.head_push > NIL
    push: Floats = np.where(pushes, forces.head_push, 1.0)
    moment: Floats = np.where(pushes, np.abs(forces.head_moment), 0.0)
    bearing, even = contact(push, moment, wood.depth)
    held = bearing > 0.0
    pressure = push / (wood.plies * wood.thickness * np.where(held, even, 1.0))
    axis = frame.nodes[frame.heads[0]] - frame.nodes[frame.feet[0]]
    slope = float(np.arctan2(axis[2], np.linalg.norm(axis[:2])))
    allowed = np.array(
        [[_allowed(asked, wood, slope, float(each))] for each in asked.duration_factors[:, 0]]
    )
    used = np.where(pushes, np.where(held, pressure / allowed, OFF), 0.0)
    worst = largest(used, forces, of="head")
    here = (worst.row, worst.leg - 1)
    ledger = Ledger(asked.job.show)
    duration = worst.state.case.duration_factor
    on_face, off = float(push[here]), float(moment[here] / push[here])
    ledger.given("H", f"push of the head on the hub, {worst.place}", on_face, "force")
    ledger.given("M", "moment between head and hub there", float(moment[here]), "moment")
    ledger.given("t", f"thickness of ply {asked.tie.ply.name}", wood.thickness, "length")
    ledger.given("d", f"depth of ply {asked.tie.ply.name}, the face", wood.depth, "length")
    ledger.given("n_p", "rafter.plies of the job", wood.plies, "-")
    ledger.line("e", "M / H", "{M} / {H}", off, "length")
    if worst.value >= OFF:
        edge = wood.depth / 2.0
        ledger.line("e_most", "d / 2", "{d} / 2", edge, "length")
        return judged(
            "hub-bearing",
            demand=off,
            capacity=edge,
            unit="m",
            why=(
                f"The push of head {worst.leg} falls {ledger.said(off, 'length')} off the "
                f"middle of its face, which ends at {ledger.said(edge, 'length')}: the "
                "head would roll off the hub. A deeper ply or a smaller hub would help."
            ),
            sources=(CONTACT, *sources_of(asked)),
            working=ledger.lines,
            worst=worst,
        )
    pressed, capacity = float(pressure[here]), float(allowed[worst.row, 0])
    _note_face(ledger, wood, off=off, bearing=float(bearing[here]), pressed=pressed)
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    _note_allowed(ledger, asked, wood, slope=slope, duration=duration)
    ledger.line("u", "f / F", "{f} / {F}", pressed / capacity, "-")
    return judged(
        "hub-bearing",
        demand=pressed,
        capacity=capacity,
        unit="Pa",
        why=(
            f"Head {worst.leg} presses {ledger.said(pressed, 'stress')} on the hub at its "
            f"edge; the wood takes {ledger.said(capacity, 'stress')}. Deeper plies would "
            "help."
        ),
        sources=(PRESSED, CONTACT, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def _note_face(ledger: Ledger, wood: Timber, *, off: float, bearing: float, pressed: float) -> None:
    """Note how much of a head's face bears, and the pressure at its edge."""
    if off <= wood.depth / 6.0:
        ledger.line("c", "whole face bears: d", "{d}", bearing, "length")
        formula = "at the edge, H / (n_p t c) (1 + 6 e / d)"
        numbers = "{H} / ({n_p} * {t} * {c}) * (1 + 6 * {e} / {d})"
    else:
        ledger.line("c", "3 (d / 2 - e)", "3 * ({d} / 2 - {e})", bearing, "length")
        formula, numbers = "at the edge, 2 H / (n_p t c)", "2 * {H} / ({n_p} * {t} * {c})"
    ledger.line("f", formula, numbers, pressed, "stress")


def _note_allowed(
    ledger: Ledger, asked: Asked, wood: Timber, *, slope: float, duration: float
) -> None:
    """Note the pressure the head and its hub may take."""
    note_allowable(ledger, wood, "fc", duration=duration)
    note_allowable(ledger, wood, "fc_perp")
    ledger.given("alpha", "slope of the hip, the push's angle to its grain", slope, "angle")
    head = angled_bearing(wood.allowable("fc", duration), wood.allowable("fc_perp"), slope)
    ledger.line(
        "F_a",
        "F_c_star F_cp_adj / (F_c_star sin(alpha)**2 + F_cp_adj cos(alpha)**2)",
        "{F_c_star} * {F_cp_adj} / ({F_c_star} * sin_deg({alpha})**2 + {F_cp_adj} * "
        "cos_deg({alpha})**2)",
        head,
        "stress",
    )
    capacity = _allowed(asked, wood, slope, duration)
    if _meets_heads(asked):
        ledger.line("F", "heads press on one another: F_a", "{F_a}", capacity, "stress")
    else:
        least = "timber between the heads across its grain: min(F_a, F_cp_adj)"
        ledger.line("F", least, "min({F_a}, {F_cp_adj})", capacity, "stress")


def hub_drop(asked: Asked) -> Check:
    """Set how much pulls grow because the hub sinks against a tenth."""
    forces = asked.forces
    growth: Floats = np.maximum(forces.amplification[:, np.newaxis] - 1.0, 0.0)
    worst = largest(growth, forces)
    drop = float(forces.hub_drop[worst.row])
    ledger = Ledger(asked.job.show)
    ledger.given("k", f"pull on the sunk roof over pull as drawn, {worst.state.id}",
                 1.0 + worst.value, "-")  # fmt: skip
    ledger.given("k_most", "most it may be", 1.0 + MOST_GROWTH, "-")
    ledger.line(
        "u",
        "(k - 1) / (k_most - 1)",
        "({k} - 1) / ({k_most} - 1)",
        worst.value / MOST_GROWTH,
        "-",
    )
    return judged(
        "hub-drop",
        demand=worst.value,
        capacity=MOST_GROWTH,
        unit="1",
        why=(
            f"The hub {'sinks' if drop >= 0.0 else 'rises'} "
            f"{ledger.said(abs(drop), 'length')} in {worst.state.id}, which "
            f"raises a pull by {100.0 * worst.value:.1f} %; over {100.0 * MOST_GROWTH:.0f} % the "
            "roof is too flat for its ropes. A stiffer rope, a lower tie or more rise would help."
        ),
        sources=(GROWTH, stated_in_job("roof.rise")),
        working=ledger.lines,
        worst=worst,
        of_leg=False,
    )
