"""Referee A on the roof as it stands under load: second order, by KratosMultiphysics.

Timbers are its co-rotational beams (``CrBeamElement3D2N``, after S. Krenk, Non-linear Modeling
and Analysis of Solids and Structures, 2009): a frame that follows the chord, turns of its ends as
quaternions, stretch from the true length. Ropes are refitted cables as in ``large``; holds stay
linear, as drawn. docs/theory/referee.md says how the theory is made that of the tool.

With one piece from node to node two things are refitted after each of Kratos's steps:

- Kratos lets a beam's compression soften its bending: beside EI/L and 3 EI/L of its even and odd
  way of bending it puts N l/12 and N l/20. I and shear area of each beam are chosen so that the
  sums are EI/L and 3 EI/L, that is, so that compression acts along the chord alone.
- A line of load hands its ends the forces of a simple beam, straight down, and fixed-end moments
  that turn with the chord, with the shears that go with them.

With several pieces nothing is refitted but the place of the loads: compression bends what it
finds bent, and loads lie where the bent hip carries them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import KratosMultiphysics as KM
import numpy as np
from KratosMultiphysics import scipy_conversion_tools

from .large import _MOVES, _TURNS, NoAgreement, _Kratos, _var, newton
from .model import UP, Beam, Floats, Loads, Model

__all__ = ["Standing", "below_nil", "stand"]

_STILL = 1e-9  # further movement at rest [m]
_FAR = 1.0  # from the drawing; no roof stands there [m]


@dataclass(frozen=True)
class Standing:
    """The roof at rest under its load, ready to be pushed."""

    roof: _Displaced
    pulls: Floats  # of every link [N]
    moves: dict[str, Floats]  # three moves [m] and three turns [rad] of every node

    @property
    def legs(self) -> Floats:
        """Pull of each leg on its bolt. [N] (n_legs,)"""
        return self.pulls[: sum(link.leg >= 0 for link in self.roof.model.links) : 3]

    @property
    def spread(self) -> Floats:
        """Outward movement of each foot. [m] (n,)"""
        model = self.roof.model
        moved = [self.moves[f"foot {k}"][:3] for k in range(model.n)]
        return np.einsum("ki,ki->k", moved, model.outward)

    @property
    def drop(self) -> float:
        """Mean downward movement of the heads. [m]"""
        return -float(np.mean([self.moves[f"head {k}"][2] for k in range(self.roof.model.n)]))

    def ways_down(self) -> int:
        """Number of directions in which the tangent stiffness is below nil."""
        return below_nil(self.roof.step)

    def pushed(self, push: dict[str, Floats]) -> dict[str, Floats]:
        """Push some nodes and let the roof come to rest again.

        Args:
            push: Further force on each node. [N]

        Returns:
            How much farther each node has moved and turned. [m, rad]
        """
        after = self.roof.also(push)
        return {name: after.moves[name] - moves for name, moves in self.moves.items()}


def stand(
    model: Model, loads: Loads, start: dict[str, Floats], *, pieces: int = 1, deck: bool = True
) -> Standing:
    """Bring a roof to rest on its displaced shape.

    Args:
        model: Roof and ropes.
        loads: Downward loads on hips and heads.
        start: Moves from which Newton's iteration starts, by node. [m, rad]
        pieces: Beams from foot to bolt and from bolt to head each; one is the tool's theory.
        deck: A deck keeps what is between the nodes in line sideways.

    Returns:
        The roof at rest.

    Raises:
        NoAgreement: It does not come to rest.
    """
    roof = _Displaced(model, loads, pieces=pieces, deck=deck)
    roof.begin(start)
    return roof.rest()


def below_nil(step: KM.ResidualBasedNewtonRaphsonStrategy) -> int:
    """Number of eigenvalues below nil of the last tangent stiffness; held rows are above it."""
    matrix = scipy_conversion_tools.to_csr(step.GetSystemMatrix()).toarray()
    return int((np.linalg.eigvalsh((matrix + matrix.T) / 2.0) < 0.0).sum())


@dataclass(frozen=True)
class _Timber:
    beam: Beam
    properties: KM.Properties
    length: float  # as drawn [m]


@dataclass(frozen=True)
class _Laid:
    """A line of load on one beam, as conditions on its two ends."""

    ends: tuple[str, str]
    across: Floats
    simple: Floats  # downward, as of a simple beam [N] (2,)
    fixed: Floats  # moments about ``across`` [N m] (2,)
    forces: list[KM.Condition]
    moments: list[KM.Condition]


class _Displaced(_Kratos):
    """One Kratos model whose beams, loads and cables are refitted until all are ours."""

    timber = "CrBeamElement3D2N"

    def __init__(self, model: Model, loads: Loads, *, pieces: int, deck: bool) -> None:
        self.pieces, self.deck = pieces, deck
        self.timbers: list[_Timber] = []
        self.laid: list[_Laid] = []
        self.within: dict[str, tuple[str, str, float]] = {}  # nodes inside a hip: between, share
        super().__init__(model, loads)

    def _stops(self, k: int, foot: str, tip: str) -> list[str]:
        across, stops = self.model.hips[k].across, [foot]
        for i, (start, end) in enumerate(pairwise(super()._stops(k, foot, tip))):
            a, b = self._drawn(start), self._drawn(end)
            for j in range(1, self.pieces):
                name, share = f"within {k} {i} {j}", j / self.pieces
                self._node(name, a + share * (b - a))
                self.within[name] = start, end, share
                if self.deck:
                    parts = ((name, 1.0), (start, share - 1.0), (end, -share))
                    self.holds.append({(at, c): f * across[c] for at, f in parts for c in (0, 1)})
                stops.append(name)
            stops.append(end)
        return stops

    def _beam(self, beam: Beam) -> None:
        super()._beam(beam)
        made = self.part.Elements[self.count].Properties
        self.timbers.append(_Timber(beam, made, self._from(beam.start, beam.end)))

    def _lay(self, start: str, end: str, load: list[float]) -> None:
        """A line of load as of a simple beam, and the moments of one held fast at both ends.

        With cubic shapes, for 1 - t and t the load's share of each end: moments of
        L2(3a + 2b)/60 and L2(2a + 3b)/60, times the load's part square to the beam.
        """
        along = self._drawn(end) - self._drawn(start)
        length, plan = float(np.linalg.norm(along)), float(np.hypot(along[0], along[1]))
        a, b = load
        self.laid.append(
            _Laid(
                (start, end),
                np.cross(UP, along) / plan,
                length / 6.0 * np.array([2.0 * a + b, a + 2.0 * b]),
                length * plan / 60.0 * np.array([3.0 * a + 2.0 * b, -2.0 * a - 3.0 * b]),
                [self._push(name, np.zeros(3)) for name in (start, end)],
                [self._push(name, np.zeros(3), "MOMENT") for name in (start, end)],
            )
        )

    def _drawn(self, name: str) -> Floats:
        node = self.nodes[name]
        return np.array([node.X0, node.Y0, node.Z0])

    def _now(self, name: str) -> Floats:
        node = self.nodes[name]
        return np.array([node.X, node.Y, node.Z])

    def begin(self, start: dict[str, Floats]) -> None:
        """Nodes inside a hip start on the straight line between its own."""
        of = start | {f"tip {k}": start[hip.end] for k, hip in enumerate(self.model.hips)}
        inside = {at: (1 - t) * of[a] + t * of[b] for at, (a, b, t) in self.within.items()}
        super().begin(start | inside)

    def fit(self) -> None:
        """Refit cables, loads and, where one beam spans from node to node, beams."""
        super().fit()
        for laid in self.laid:
            self._turn(laid)
        if self.pieces == 1:
            for timber in self.timbers:
                self._stiffen(timber)

    def _turn(self, laid: _Laid) -> None:
        """Moments about today's axis across; the shears they need square to today's chord."""
        along = self._now(laid.ends[1]) - self._now(laid.ends[0])
        length = float(np.linalg.norm(along))
        along /= length
        across = laid.across - (laid.across @ along) * along
        across /= np.linalg.norm(across)
        shear = laid.fixed.sum() / length * np.cross(along, across)
        for i, sign in enumerate((-1.0, 1.0)):
            force = sign * shear - laid.simple[i] * UP
            _set(laid.forces[i], "POINT_LOAD", force)
            _set(laid.moments[i], "POINT_MOMENT", laid.fixed[i] * across)

    def _stiffen(self, timber: _Timber) -> None:
        """I and shear area for which Kratos's bending stiffness with N is EI/L and 3 EI/L.

        E I'/L + N l/12 = E I/L and 3 E I' p/L + N l/20 = 3 E I/L, p = 1/(1 + 12 E I'/(G A l2)).
        """
        beam, length = timber.beam, timber.length
        now = float(np.linalg.norm(self._now(beam.end) - self._now(beam.start)))
        pull = beam.e * beam.area * (now - length) / length
        kinds = ((beam.strong, "I22", "AREA_EFFECTIVE_Z"), (beam.weak, "I33", "AREA_EFFECTIVE_Y"))
        for second, name, area in kinds:
            rigidity = beam.e * second
            fitted = rigidity - pull * now * length / 12.0
            share = (rigidity - pull * now * length / 60.0) / fitted
            soft = 1.0 / share - 1.0
            shear = 12.0 * fitted / (beam.e / 2.0 * now**2 * soft) if soft else 0.0
            timber.properties.SetValue(_var(name), fitted / beam.e)
            timber.properties.SetValue(_var(area), shear)

    def settle(self) -> None:
        """Until nothing moves either: a small lean changes no pull."""
        last = np.full((len(self.nodes), 3), np.inf)
        for _ in range(20):
            try:
                super().settle()
            except RuntimeError as fault:  # Kratos's own, where the roof has gone
                raise NoAgreement("the matrix is singular") from fault
            now = np.array([self._now(name) for name in self.nodes])
            if np.abs(now - last).max() < _STILL:
                return
            last = now
        raise NoAgreement("it moves on though the pulls stay")

    def rest(self) -> Standing:
        """Refit and solve until the pulls stay, and give where everything is."""
        self.settle()
        moves = {
            name: np.array([node.GetSolutionStepValue(_var(dof)) for dof in _MOVES + _TURNS])
            for name, node in self.nodes.items()
        }
        if any(np.abs(moved[:3]).max() > _FAR for moved in moves.values()):
            raise NoAgreement("it comes to rest only metres away")
        return Standing(self, self.pulls.copy(), moves)

    def also(self, push: dict[str, Floats]) -> Standing:
        """Push some nodes too, and find rest from here."""
        for name, force in push.items():
            self._push(name, force)
        self.step = newton(self.part)
        return self.rest()


def _set(condition: KM.Condition, name: str, vector: Floats) -> None:
    condition.SetValue(_var(name), KM.Array3([float(x) for x in vector]))
