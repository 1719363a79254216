"""Referee B: the frame's stiffness from PyNiteFEA, the whole problem as one cone programme.

Theory. The frame is linear (Euler-Bernoulli, small displacements): PyNiteFEA gives its stiffness K
and the loads f with their fixed-end reactions. A rope at large displacements with engineering
strain stores EA/(2 L0) max(0, L - L0)^2; with a stretch s >= L - L0, s >= 0 that is k s^2/2 over
the second-order cone s + L0 >= |d|, d the vector from end to end. So

    minimise 1/2 u'K u - f'u + sum k s^2/2

is solved as it stands, with no starting point and no linearisation, by the interior-point solver
clarabel. The pull of a rope is k s. A stretch is a thousandth of a length, so the same programme
is written again about each answer, in the increments, until the last digits settle.
"""

from __future__ import annotations

from dataclasses import dataclass

import clarabel
import numpy as np
import scipy.linalg
import scipy.sparse as sp
from Pynite import FEModel3D
from Pynite.Analysis import _prepare_model

from .model import PROP, UP, Beam, Floats, Loads, Model, Strip

__all__ = ["Answer", "solve"]

# PyNite stands members up along its second axis: its axes are east, up, south.
_AXES = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])
_BOOSTS = (1.0, 30.0, 300.0, 1000.0)
_MM, _KN = 1e-3, 1e3  # the programme is written in mm, mrad and kN


@dataclass(frozen=True)
class Timber:
    """One timber from PyNite: start, end and any bolt between, six components each."""

    names: list[str]
    stiffness: Floats
    force: Floats


@dataclass(frozen=True)
class Answer:
    """Pulls of all links, and what the frame does."""

    pulls: Floats  # [N] (n_links,)
    moves: dict[str, Floats]  # [m] and [rad]: three moves, three turns where there are any
    head_shear: Floats  # upward push of hub on head [N] (n,)
    status: str  # clarabel's word on the last pass

    def legs(self, model: Model) -> Floats:
        """Pull of each leg on its bolt. [N] (n_legs,)"""
        return self.pulls[: sum(link.leg >= 0 for link in model.links) : 3]

    def ring(self, model: Model) -> Floats:
        """Pull of each side of the ring. [N] (n,)"""
        return self.pulls[3 * model.n :]


def solve(model: Model, loads: Loads) -> Answer:
    """Solve the cone programme.

    Args:
        model: Roof and ropes.
        loads: On hips, heads and feet.

    Returns:
        Pulls, moves and head shears.
    """
    place = {name: 6 * i for i, name in enumerate(model.points)}
    strips = loads.strips or ((),) * model.n
    timbers = [_timber(model, hip, loads.hip[k], strips[k]) for k, hip in enumerate(model.hips)]
    timbers += [_timber(model, beam, None) for beam in model.hub_beams]
    timbers += [_timber(model, beam, None, pinned=True) for beam in model.plates]
    stiffness, force = _assemble(model, loads, timbers, place)
    free = _free(_held(model, place))
    programme = _Programme(
        model, place, free, free.T @ stiffness @ free * _MM / _KN, free.T @ force / _KN
    )
    move, stretch = np.zeros(free.shape[1]), np.zeros(len(programme.springs))
    for boost in _BOOSTS:
        move, stretch, status = programme.solve_about(move, stretch, boost)
    pulls = (programme.springs * stretch)[: len(model.links)]
    moves = free @ move * _MM
    shears = np.array([_head_shear(t, moves, place) for t in timbers[: model.n]]) + loads.head
    by_node = {name: moves[at : at + 6] for name, at in place.items()}
    return Answer(np.maximum(pulls, 0.0) * _KN, by_node, shears, status)


def _timber(
    model: Model,
    beam: Beam,
    load: Floats | None,
    strips: tuple[Strip, ...] = (),
    *,
    pinned: bool = False,
) -> Timber:
    """Analyse one timber in PyNite: its stiffness, and its loads with fixed-end reactions.

    A hip (one with a load) is released of moment at foot and head, but for a bearing head's in its
    upright plane; PyNite itself splits it where the tie bolt lies on it, and where a tail runs on
    beyond the foot. A pinned one only pulls and presses.
    """
    frame = FEModel3D()
    names = [beam.start, beam.end]
    if load is not None:
        number = beam.start.split()[1]
        names += [name for name in (f"foot {number}", f"bolt {number}") if name in model.points]
        names = list(dict.fromkeys(names))
    for name in names:
        frame.add_node(name, *(_AXES @ model.points[name]))
    frame.add_material("wood", beam.e, beam.g, 0.3, 0.0)
    frame.add_section("section", beam.area, beam.weak, beam.strong, beam.torsion)
    frame.add_member("beam", beam.start, beam.end, "wood", "section")
    if load is not None:
        at_head = not model.heads_bear
        frame.def_releases("beam", Ryi=True, Rzi=True, Rxj=True, Ryj=True, Rzj=at_head)
        if load.any():
            frame.add_member_dist_load("beam", "FY", -load[0], -load[1])
        out = _AXES @ model.outward[int(number)]
        for start, end, down, level in strips:
            frame.add_member_dist_load("beam", "FY", -down, -down, start, end)
            for axis, part in zip(("FX", "FZ"), out[[0, 2]] * level, strict=True):
                if part:
                    frame.add_member_dist_load("beam", axis, part, part, start, end)
    if pinned:
        frame.def_releases("beam", Ryi=True, Rzi=True, Rxj=True, Ryj=True, Rzj=True)
    frame.add_load_combo("Combo 1", {"Case 1": 1.0})
    _prepare_model(frame)
    turn = np.kron(np.eye(2 * len(names)), _AXES)
    stiffness = turn.T @ np.asarray(frame.Ke("Combo 1", False, False, False)) @ turn
    reaction = turn.T @ np.asarray(frame.FER("Combo 1")).ravel()
    assert [frame.nodes[name].ID for name in names] == list(range(len(names)))
    return Timber(names, stiffness, -reaction)


def _assemble(
    model: Model, loads: Loads, timbers: list[Timber], place: dict[str, int]
) -> tuple[Floats, Floats]:
    """Add up timbers, walls, weights and the loads straight on the heads."""
    size = 6 * len(place)
    stiffness, force = np.zeros((size, size)), np.zeros(size)
    for timber in timbers:
        at = _at(timber, place)
        stiffness[np.ix_(at, at)] += timber.stiffness
        force[at] += timber.force
    for k, out in enumerate(model.outward):
        foot = slice(place[f"foot {k}"], place[f"foot {k}"] + 3)
        stiffness[foot, foot] += model.wall * np.outer(out, out)
        force[place[f"head {k}"] + 2] -= loads.head[k]
        if loads.feet:
            force[foot] += loads.feet[k] * out
    for name, weight in model.weights.items():
        force[place[name] + 2] -= weight
    return stiffness, force


def _at(timber: Timber, place: dict[str, int]) -> list[int]:
    return [place[name] + i for name in timber.names for i in range(6)]


def _held(model: Model, place: dict[str, int]) -> Floats:
    """Rows C of C u = 0: the holds, and every turn that nothing resists or joins."""
    rows = []
    holds = list(model.holds)
    if model.heads_bear:  # a hip's end is released about these
        for hip, out in zip(model.hips, model.outward, strict=True):
            holds += [{(hip.end, 3 + i): axis[i] for i in range(3)} for axis in (out, UP)]
    for hold in holds:
        row = np.zeros(6 * len(place))
        for (name, i), factor in hold.items():
            row[place[name] + i] = factor
        rows.append(row)
    turning = {beam.start for beam in model.hub_beams} | {n for n in place if "bolt" in n}
    turning |= {hip.start.replace("tail", "foot") for hip in model.hips if "tail" in hip.start}
    joined = {key for hold in holds for key in hold}
    for name, at in place.items():
        for i in (3, 4, 5):
            if name not in turning and (name, i) not in joined:
                row = np.zeros(6 * len(place))
                row[at + i] = 1.0
                rows.append(row)
    return np.array(rows)


def _free(held: Floats) -> Floats:
    """Orthonormal moves that keep every hold, by pivoted QR. (n_components, n_free)"""
    basis, upper, _ = scipy.linalg.qr(held.T, pivoting=True)
    sizes = np.abs(np.diag(upper))
    return np.asarray(basis[:, np.count_nonzero(sizes > 1e-10 * sizes[0]) :])


@dataclass(frozen=True)
class _Programme:
    """The cone programme over free moves and stretches, in mm and kN."""

    model: Model
    place: dict[str, int]
    free: Floats  # moves of all components per free move
    stiffness: Floats
    force: Floats

    @property
    def springs(self) -> Floats:
        """Stiffness of every link, and of the prop. [kN/mm]"""
        springs = [link.stiffness for link in self.model.links]
        return np.array(springs + [PROP] * int(self.model.propped)) * _MM / _KN

    def solve_about(
        self, move: Floats, stretch: Floats, boost: float
    ) -> tuple[Floats, Floats, str]:
        """Solve for what is to be added to a known answer; gives moves, stretches and status."""
        rows, constants, cones = self._cones(move, stretch, boost)
        quadratic = scipy.linalg.block_diag(self.stiffness, np.diag(self.springs))
        linear = np.concatenate([self.stiffness @ move - self.force, self.springs * stretch])
        settings = clarabel.DefaultSettings()
        settings.verbose = False
        settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-11
        found = clarabel.DefaultSolver(
            sp.csc_matrix(np.triu((quadratic + quadratic.T) / 2.0)),
            linear,
            sp.csc_matrix(rows),
            constants,
            cones,
            settings,
        ).solve()
        added = np.array(found.x)
        return move + added[: len(move)], stretch + added[len(move) :], str(found.status)

    def _cones(
        self, move: Floats, stretch: Floats, boost: float
    ) -> tuple[Floats, Floats, list[object]]:
        """Write s + L0 >= |d|, s >= 0 for each link, and the prop, as rows of clarabel."""
        model, n_free, n_more = self.model, len(move), len(stretch)
        links = model.links
        below = 4 * len(links)
        rows = np.zeros((below + n_more + int(model.propped), n_free + n_more))
        constants = np.zeros(len(rows))
        for i, link in enumerate(links):
            start, end = self.place[link.start], self.place[link.end]
            change = self.free[end : end + 3] - self.free[start : start + 3]
            now = (model.points[link.end] - model.points[link.start]) / _MM + change @ move
            # The cone holds (s + L0, d). A Lorentz boost along d, which maps the cone onto
            # itself, shrinks both where the rope is taut: s is then not lost in L0.
            turned = _axes(now)
            cosh, sinh = (boost + 1.0 / boost) / 2.0, (boost - 1.0 / boost) / 2.0
            mixed = np.eye(4)
            mixed[:2, :2] = [[cosh, -sinh], [-sinh, cosh]]
            parts = np.zeros((4, n_free + n_more))
            parts[0, n_free + i] = 1.0
            parts[1:, :n_free] = turned @ change
            length = float(np.linalg.norm(now))
            slackness = link.unstretched / _MM + stretch[i] - length  # small where taut
            rows[4 * i : 4 * i + 4] = -mixed @ parts
            constants[4 * i : 4 * i + 2] = length / boost + slackness * np.array([cosh, -sinh])
        for i in range(n_more):
            rows[below + i, n_free + i] = -1.0
            constants[below + i] = stretch[i]
        if model.propped:  # its shortening is at least the hub's drop
            rows[-1, :n_free] = -self.free[self.place["hub"] + 2]
            rows[-1, -1] = -1.0
            constants[-1] = stretch[-1] + self.free[self.place["hub"] + 2] @ move
        cones = [clarabel.SecondOrderConeT(4) for _ in links]
        return rows, constants, [*cones, clarabel.NonnegativeConeT(len(rows) - below)]


def _axes(along: Floats) -> Floats:
    """Rows: the direction of ``along`` and two across it."""
    basis = np.asarray(scipy.linalg.qr(along.reshape(3, 1))[0]).T
    return basis if basis[0] @ along > 0.0 else -basis


def _head_shear(timber: Timber, moves: Floats, place: dict[str, int]) -> float:
    """Upward force that the hub gives the end of a hip. [N]"""
    ends = timber.stiffness @ moves[_at(timber, place)] - timber.force
    return float(ends[6 + 2])
