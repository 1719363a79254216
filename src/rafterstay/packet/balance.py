"""Do the forces on a roof close? One state, every foot, by sums anybody can redo."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from rafterstay.core.quantities import System
from rafterstay.core.working import Line
from rafterstay.roof.frame import Floats
from rafterstay.sheets.summary import Designed, first_largest

__all__ = ["Balance", "balance_of", "hand_lines", "hardest_state"]

_BY_HAND: Final = (
    "({W} * {x_c} + ({W_h} - {V}) * {L} + {G} * {b} - {M_t} - {M_h} - ({F_w} - {P}) * {H_r}) "
    "/ ({H_r} - {H_c})"
)
GRAVITY: Final = 9.80665  # [m/s2]


@dataclass(frozen=True)
class Balance:
    """Forces at every hip in one state; up and outward are positive unless said.

    Attributes:
        row: Of the state.
        state: Its id.
        load: Of roof, hub's own area and overhang on each hip, downwards. [N] (n,)
        steel: Ropes, turnbuckles and ring, downwards, as they hang from each hip. [N] (n,)
        reaction: Of the wall under each foot, upwards. [N] (n,)
        pull: Of the tie on each hip, inwards. [N] (n,)
        push: Of the hub on each head, outwards. [N] (n,)
        wall: Of wall and plate against each foot, and of what held a standing roof before,
            inwards; where walls give no help and the plate is jointed, only each foot's share of
            what stops the house from racking. [N] (n,)
        wind: Of wind on each hip, outwards. [N] (n,)
        beside: Of the overhang and of untied rafters beside it, on each foot, outwards. [N] (n,)
    """

    row: int
    state: str
    load: Floats
    steel: Floats
    reaction: Floats
    pull: Floats
    push: Floats
    wall: Floats
    wind: Floats
    beside: Floats

    @property
    def left_up(self) -> float:
        """Reactions of all feet less all loads. [N]"""
        return float((self.reaction - self.load - self.steel).sum())

    @property
    def left_out(self) -> Floats:
        """What is left of the horizontal forces on each hip, outwards. [N] (n,)"""
        return np.asarray(self.push + self.wind + self.beside - self.pull - self.wall)


def hardest_state(design: Designed) -> int:
    """Row of the state with the largest leg pull, among those strength is read from."""
    forces = design.forces
    strength = np.array([state.for_strength for state in forces.states])
    return first_largest(np.where(strength, forces.leg_pull.max(axis=1), -np.inf))


def balance_of(design: Designed, row: int) -> Balance:
    """Gather the forces on every hip in one state.

    Args:
        design: A finished design.
        row: Of the state.

    Returns:
        The forces; what they leave over is the solver's error and the turning of the hips as
        the hub sinks.

    Source: statics
    """
    frame, forces = design.frame, design.forces
    state = forces.states[row]
    case = state.case
    lengths = _hips(design)
    outward = np.asarray(frame.outward)[:, :2]
    wind = case.hip_push.mean(axis=1) * lengths[:, None]
    springs = state.wall_stiffness * (forces.spread[row] + forces.setting.spread)
    springs = springs + (np.asarray(state.held_thrust) if state.held_thrust else 0.0)
    against = np.asarray(springs + _plate(design, row))
    # Walls stop the house from racking: all feet alike take what would carry it off sideways.
    loads = wind + case.head_push + case.tail_push
    racking = (loads - against[:, None] * outward).sum(axis=0) / frame.n
    return Balance(
        row=row,
        state=state.id,
        load=case.hip_load.mean(axis=1) * lengths + case.head_load + case.tail_load,
        steel=np.full(frame.n, case.dead_factor * _steel(design) / frame.n),
        reaction=np.asarray(forces.foot_reaction[row]),
        pull=-(_tie_forces(design, row)[:, :2] * outward).sum(axis=1),
        push=np.asarray(forces.head_push[row]),
        wall=against + outward @ racking,
        wind=np.asarray((wind * outward).sum(axis=1)),
        beside=np.asarray((case.tail_push * outward).sum(axis=1)),
    )


def hand_lines(design: Designed, balance: Balance) -> tuple[Line, ...]:
    """The pull of the hardest leg from moments about its foot, on the roof as drawn.

    Args:
        design: A finished design.
        balance: Of a state without wind on the hips.

    Returns:
        Lines to redo, the last two the pull by hand and by the program; none where wind pushes
        the hips sideways or the tie is as high as the hub.

    Source: statics; docs/packet.md, free body
    """
    frame, forces = design.frame, design.forces
    case = forces.states[balance.row].case
    if np.abs(balance.wind).max() > 1e-9 or design.tie.height >= frame.rise:
        return ()
    hip = first_largest(balance.pull)
    start, stop = frame.nodes[frame.feet[hip]], frame.nodes[frame.heads[hip]]
    run = float(np.linalg.norm((stop - start)[:2]))
    rise = float(stop[2] - start[2])
    bolt = frame.nodes[frame.bolts[hip]]
    height = float(bolt[2] - start[2])
    foot, head = (float(w) for w in case.hip_load[hip])
    length = math.hypot(run, rise)
    centre = run * (foot + 2.0 * head) / (3.0 * (foot + head)) if foot + head else 0.0
    out = float(np.linalg.norm((bolt - start)[:2]))
    system = design.job.show
    n = _Numbers(system)
    grown = float(forces.amplification[balance.row])
    hipload = (foot + head) / 2.0 * length
    lines = [
        n.line("W", "roof load on the hip", hipload, "force"),
        n.line("x_c", "its centre, from the foot on plan", centre, "length"),
        n.line("W_h", "load straight on the head", float(case.head_load[hip]), "force"),
        n.line("W_t", "load of the overhang", float(case.tail_load[hip]), "force"),
        n.line("G", "steel that hangs from the bolt", float(balance.steel[hip]), "force"),
        n.line("R", "reaction of the foot", float(balance.reaction[hip]), "force"),
        n.line("L", "foot to head on plan", run, "length"),
        n.line("b", "foot to bolt on plan", out, "length"),
        n.line("H_r", "head above foot", rise, "length"),
        n.line("H_c", "bolt above foot", height, "length"),
        n.line("M_t", "moment of the overhang about the foot", float(case.tail_moment[hip]), "m"),
        n.line("M_h", "moment between head and hub", _head_moment(design, balance.row, hip), "m"),
        n.line(
            "F_w",
            "wall and plate against the foot, as drawn",
            float(balance.wall[hip]) / grown,
            "force",
        ),
        n.line("P", "push of overhang and rafters beside it", float(balance.beside[hip]), "force"),
    ]
    lines.append(
        n.sum(
            "V",
            "hub's lift on the head: W + W_h + W_t + G - R",
            ("{W} + {W_h} + {W_t} + {G} - {R}", n["W"] + n["W_h"] + n["W_t"] + n["G"] - n["R"]),
        )
    )
    moments = n["W"] * n["x_c"] + (n["W_h"] - n["V"]) * n["L"] + n["G"] * n["b"]
    others = n["M_t"] + n["M_h"] + (n["F_w"] - n["P"]) * n["H_r"]
    lines.append(
        n.sum(
            "H",
            "level pull by hand, moments about the foot: (W x_c + (W_h - V) L + G b - M_t - M_h - "
            "(F_w - P) H_r) / (H_r - H_c)",
            (_BY_HAND, (moments - others) / (n["H_r"] - n["H_c"])),
        )
    )
    drawn = float(balance.pull[hip]) / grown
    lines.append(n.line("H_1", "the program's, on the roof as drawn", drawn, "force"))
    return tuple(lines)


class _Numbers:
    """Figures in the units of the answers, kept by their symbol."""

    def __init__(self, system: System) -> None:
        self.force = "lbf" if system == "us" else "N"
        long = "ft" if system == "us" else "m"
        self._units = {"force": self.force, "length": long, "m": f"{self.force} {long}"}
        force = 1.0 if system == "si" else 0.45359237 * GRAVITY
        length = 1.0 if system == "si" else 0.3048
        self._sizes = {"force": force, "length": length, "m": force * length}
        self._values: dict[str, float] = {}

    def line(self, symbol: str, formula: str, value: float, kind: str) -> Line:
        """A figure of the program, written down for later lines."""
        size = value / self._sizes[kind]
        self._values[symbol] = size
        return Line(symbol, formula, _g(size), float(_g(size)), self._units[kind])

    def __getitem__(self, symbol: str) -> float:
        return float(_g(self._values[symbol]))

    def sum(self, symbol: str, formula: str, worked: tuple[str, float]) -> Line:
        """A force found from figures written down before."""
        numbers, value = worked
        said = {name: _g(size) for name, size in self._values.items()}
        signed = {name: f"({one})" if one.startswith("-") else one for name, one in said.items()}
        self._values[symbol] = value
        return Line(symbol, formula, numbers.format(**signed), value, self.force)


def _g(value: float) -> str:
    return f"{0.0 if abs(value) < 5e-7 else value:.6g}"


def _hips(design: Designed) -> Floats:
    """Lengths of the hips, foot to head. [m] (n,)"""
    frame = design.frame
    return np.asarray(
        np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1), dtype=float
    )


def _steel(design: Designed) -> float:
    """Weight of ropes, turnbuckles and ring. [N]"""
    tie, setting = design.tie, design.forces.setting
    bodies = tie.n * tie.turnbuckle.mass if tie.has_turnbuckles else 0.0
    ropes = tie.rope.mass * float(np.sum(setting.leg_length))
    ring = tie.ring_ropes * tie.ring_rope.mass * float(np.sum(setting.ring_length))
    return GRAVITY * (bodies + ropes + ring + tie.ring_mass)


def _tie_forces(design: Designed, row: int) -> Floats:
    """Pull of the tie on each hip. [N] (n, 3)"""
    tie, forces = design.tie, design.forces
    pulls = forces.leg_pull[row][:, None] * forces.pull_direction[row]
    total = np.zeros((design.frame.n, 3))
    np.add.at(total, tie.starts, pulls)
    ends = tie.stops >= 0
    np.add.at(total, tie.stops[ends], -pulls[ends])
    return total


def _plate(design: Designed, row: int) -> Floats:
    """Of a continuous plate on each foot, inwards. [N] (n,)"""
    frame, pulls = design.frame, np.asarray(design.forces.plate_pull)
    if pulls.ndim != 2 or pulls.shape[1] != frame.n:
        return np.zeros(frame.n)
    feet = frame.nodes[frame.feet][:, :2]
    along = np.roll(feet, -1, axis=0) - feet
    along /= np.linalg.norm(along, axis=1)[:, None]
    sides = pulls[row][:, None] * along
    on_feet = sides - np.roll(sides, 1, axis=0)
    return np.asarray(-(on_feet * np.asarray(frame.outward)[:, :2]).sum(axis=1))


def _head_moment(design: Designed, row: int, hip: int) -> float:
    """Bending of the hip at its head, + where the top is pressed. [N m]"""
    return float(design.forces.hip_moment[row, hip, -1])
