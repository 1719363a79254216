"""Bolt: its distance from the edges and ends of the wood, and what short ends cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rafterstay.checks.judging import Asked, judged, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.geometry import Distance, edge_distance, end_distance
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source

__all__ = ["BoltEnds", "bolt_distances", "bolt_ends"]

DISTANCES = Source("NDS", "2018", "Tables 12.5.1A, 12.5.1C", "memory", 97)


@dataclass(frozen=True)
class BoltEnds:
    """Distances of a bolt from the two ends of its hip.

    Attributes:
        foot: Least distance from bolt to foot along the hip. [m]
        lower: Distance to the lower end, with the tail as stated. [m]
        upper: Distance to the head. [m]
        away: Asked for at the lower end, which the pull bears away from.
        toward: Asked for at the upper end.
        unknown: The job must state the tail before the lower end can be judged.
    """

    foot: float
    lower: float
    upper: float
    away: Distance
    toward: Distance
    unknown: bool

    @property
    def factor(self) -> float:
        """C_delta; an end below the least counts as the least and bolt-distances fails. [-]"""
        lower = 1.0 if self.unknown else max(self.lower, self.away.least) / self.away.full
        upper = max(self.upper, self.toward.least) / self.toward.full
        return min(1.0, lower, upper)

    @property
    def why_factor(self) -> str:
        """What the factor rests on."""
        if self.unknown:
            return "1 if rafter.tail gives the full distance, see bolt-distances"
        return "least of available over full at both ends, at most 1"


def bolt_ends(asked: Asked) -> BoltEnds:
    """Measure every bolt along its hip; the least distances count."""
    frame, diameter = asked.frame, asked.tie.bolt.diameter
    bolts = frame.nodes[frame.bolts]
    foot = float(np.linalg.norm(bolts - frame.nodes[frame.feet], axis=1).min())
    upper = float(np.linalg.norm(frame.nodes[frame.heads] - bolts, axis=1).min())
    tail = asked.job.rafter.tail
    away = end_distance("away from end", diameter)
    toward = end_distance("toward end", diameter)
    unknown = tail <= 0.0 and foot < away.full
    return BoltEnds(foot, foot + tail, upper, away, toward, unknown)


def bolt_distances(asked: Asked) -> Check:
    """Set the least edge and end distances against those of a bolt at mid depth of its ply."""
    tie, ends = asked.tie, bolt_ends(asked)
    diameter, edge = tie.bolt.diameter, tie.ply.depth / 2.0
    ledger = Ledger(asked.job.show)
    ledger.given("D", f"diameter of bolt {tie.bolt.name}", diameter, "length")
    ledger.given("d", f"depth of ply {tie.ply.name}", tie.ply.depth, "length")
    ledger.line("e", "bolt at mid depth, d / 2", "{d} / 2", edge, "length")
    loaded, unloaded = (edge_distance(kind, diameter) for kind in ("loaded", "unloaded"))
    ledger.line("u_1", "loaded edge, 4 D / e", "4 * {D} / {e}", loaded / edge, "-")
    ledger.line("u_2", "unloaded edge, 1.5 D / e", "1.5 * {D} / {e}", unloaded / edge, "-")
    ledger.given("b", "least distance from bolt to head along the hip", ends.upper, "length")
    made = [
        ("to the loaded edge", loaded, edge),
        ("to the unloaded edge", unloaded, edge),
        ("to the head end", ends.toward.least, ends.upper),
    ]
    upper = ends.toward.least / ends.upper
    ledger.line("u_3", "head end, least 3.5 D / b", "3.5 * {D} / {b}", upper, "-")
    ledger.given("a_f", "least distance from foot to bolt along the hip", ends.foot, "length")
    if not ends.unknown:
        ledger.given("a_t", "rafter.tail of the job", asked.job.rafter.tail, "length")
        ledger.line("a", "a_f + a_t", "{a_f} + {a_t}", ends.lower, "length")
        lower = ends.away.least / ends.lower
        ledger.line("u_4", "lower end, least 2 D / a", "2 * {D} / {a}", lower, "-")
        made.append(("to the lower end", ends.away.least, ends.lower))
    ledger.line("full", "lower end without reduction, 4 D", "4 * {D}", ends.away.full, "length")
    where, least, available = max(made, key=lambda each: each[1] / each[2])
    why = (
        f"Tightest is {where}: {ledger.said(available, 'length')} from the bolt where "
        f"{ledger.said(least, 'length')} is the least."
    )
    tail = ledger.said(ends.away.full - ends.foot, "length")
    return judged(
        "bolt-distances",
        demand=least,
        capacity=available,
        unit="m",
        why=why + (f" State rafter.tail: {tail} or more is asked for." if ends.unknown else ""),
        sources=(DISTANCES, tie.bolt.source, tie.ply.source, stated_in_job("rafter.tail")),
        working=ledger.lines,
        refer="the wood below the bolt is not stated" if ends.unknown else "",
    )
