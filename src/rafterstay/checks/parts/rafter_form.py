"""Hip: how far it bends under snow, and whether the code would let the bolt's hole be bored."""

from __future__ import annotations

from typing import Final

import numpy as np

from rafterstay.checks.irc_2021.openings import allowed_openings
from rafterstay.checks.judging import Asked, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.timber import note_allowable, sources_of, timber_of
from rafterstay.core.quantities import parse
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = ["LIMITS", "bend", "rafter_deflection", "rafter_hole"]

DEFLECTION = Source("IRC", "2021", "Table R301.7", "read", 95)
HOLE = Source("IRC", "2021", "R802.7.1", "read", 99)
STEEP: Final = 0.25
"""Rafters steeper than 3:12 without a finished ceiling may bend L/180, others L/240."""
LIMITS: Final = (180.0, 240.0)
"""Length over bending: steep rafters, others. Source: IRC 2021 Table R301.7"""


def bend(moment: Floats, at: Floats, length: float) -> Floats:
    """Moment area of a beam between its ends: deflection from its chord times E I.

    Args:
        moment: Bending moment, + where the top is pressed. [N m] (..., n_stations)
        at: Stations as fractions of the length, rising. [-] (n_stations,)
        length: [m]

    Returns:
        Deflection times E I at every station, + towards the bottom. [N m3] (..., n_stations)

    Limits: trapezoids; within 1 % at 17 stations of a uniformly loaded beam.

    Source: mechanics, moment-area theorem

    >>> x = np.linspace(0.0, 1.0, 33)
    >>> round(float(bend(x * (1.0 - x) / 2.0, x, 1.0).max() * 384.0), 1)  # 5/384 w L^4
    5.0
    """
    step = np.diff(at) * length
    turned = np.zeros_like(moment)
    turned[..., 1:] = np.cumsum((moment[..., 1:] + moment[..., :-1]) / 2.0 * step, axis=-1)
    moved = np.zeros_like(moment)
    moved[..., 1:] = np.cumsum((turned[..., 1:] + turned[..., :-1]) / 2.0 * step, axis=-1)
    chord: Floats = moved[..., -1:] * at - moved
    return chord


def rafter_deflection(asked: Asked) -> Check:
    """Set what a hip bends beyond its dead load against a share of its length.

    Table R301.7 limits bending under snow or live load; where no dead load is stated the whole
    bends.
    """
    wood, forces, frame = timber_of(asked), asked.forces, asked.frame
    dead = [row for row, state in enumerate(forces.states) if state.case.pattern == "dead"]
    moment = forces.hip_moment - (forces.hip_moment[dead[0]] if dead else 0.0)
    area = np.abs(bend(moment, forces.hip_at, wood.length))
    worst = largest(area.max(axis=2), forces, of="hip")
    station = int(np.argmax(area[worst.row, worst.leg - 1]))
    inertia = wood.thickness * wood.depth**3 / 12.0
    modulus = wood.allowable("e")
    demand = worst.value / (modulus * wood.plies * inertia)
    steep = bool(frame.plane_slope.min() > STEEP)
    share = LIMITS[0] if steep else LIMITS[1]
    capacity = wood.length / share
    ledger = Ledger(asked.job.show)
    beyond = "beyond dead load" if dead else "under all load"
    ledger.given(
        "B",
        f"moment area {beyond} at {forces.hip_at[station]:.3f} of the hip from its foot, "
        f"{worst.place}",
        worst.value,
        "area of moment",
    )
    ledger.given("t", f"thickness of ply {asked.tie.ply.name}", wood.thickness, "length")
    ledger.given("d", f"depth of ply {asked.tie.ply.name}", wood.depth, "length")
    ledger.given("n_p", "rafter.plies of the job, which share alike", wood.plies, "-")
    ledger.line("I", "t d**3 / 12", "{t} * {d}**3 / 12", inertia, "second moment")
    note_allowable(ledger, wood, "e")
    ledger.line("x", "B / (E_adj n_p I)", "{B} / ({E_adj} * {n_p} * {I})", demand, "length")
    ledger.given("l", "length of the hip, foot to head", wood.length, "length")
    why_share = "steeper than 3:12, no finished ceiling" if steep else "3:12 or flatter"
    ledger.given("q", f"share of its length, {why_share}", share, "-")
    ledger.line("x_allowed", "l / q", "{l} / {q}", capacity, "length")
    ledger.line("u", "x / x_allowed", "{x} / {x_allowed}", demand / capacity, "-")
    return judged(
        "rafter-deflection",
        demand=demand,
        capacity=capacity,
        unit="m",
        why=(
            f"Hip {worst.leg} bends {ledger.said(demand, 'length')} {beyond}; "
            f"{ledger.said(capacity, 'length')} is the limit, its length over "
            f"{share:.0f}. A deeper ply would help."
        ),
        sources=(DEFLECTION, *sources_of(asked)),
        working=ledger.lines,
        worst=worst,
    )


def rafter_hole(asked: Asked) -> Check:
    """Set the bolt's hole against a third of the depth and 2 in of wood above and below it."""
    tie = asked.tie
    over = parse("1/16 in", "length")
    hole, depth = tie.bolt.diameter + over, tie.ply.depth
    allowed = allowed_openings(depth)
    left = (depth - hole) / 2.0
    ledger = Ledger(asked.job.show)
    ledger.given("D", f"diameter of bolt {tie.bolt.name}", tie.bolt.diameter, "length")
    ledger.given("c", "a hole is bored 1/16 in over its bolt", over, "length")
    ledger.given("d", f"depth of ply {tie.ply.name}", depth, "length")
    ledger.given("a", "least wood between hole and edge, 2 in", allowed.hole_edge, "length")
    ledger.line("h", "D + c", "{D} + {c}", hole, "length")
    ledger.line("h_most", "d / 3", "{d} / 3", allowed.hole, "length")
    ledger.line("b", "bored at mid depth, (d - h) / 2", "({d} - {h}) / 2", left, "length")
    ledger.line("u_1", "hole, h / h_most", "{h} / {h_most}", hole / allowed.hole, "-")
    ledger.line("u_2", "wood at its edge, a / b", "{a} / {b}", allowed.hole_edge / left, "-")
    edge = allowed.hole_edge / left >= hole / allowed.hole
    demand, capacity = (allowed.hole_edge, left) if edge else (hole, allowed.hole)
    said = (
        f"Boring at mid depth leaves {ledger.said(left, 'length')} of wood above and "
        f"below; the code asks for {ledger.said(allowed.hole_edge, 'length')}."
        if edge
        else f"The hole is {ledger.said(hole, 'length')}; the code allows "
        f"{ledger.said(allowed.hole, 'length')}, a third of the depth."
    )
    return judged(
        "rafter-hole",
        demand=demand,
        capacity=capacity,
        unit="m",
        why=f"{said} A deeper ply or a thinner bolt would help.",
        sources=(HOLE, tie.bolt.source, tie.ply.source),
        working=ledger.lines,
    )
