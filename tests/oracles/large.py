"""Referee A: frame and ropes together in KratosMultiphysics, a general finite-element library.

Theory. Timbers are its linear beams (``CrLinearBeamElement3D2N``, Euler-Bernoulli, small
displacements). Rope pieces, turnbuckles and ring sides are its cables at large displacements
(``CableElement3D2N``): total Lagrangian, Green-Lagrange strain e = (l^2 - l_r^2)/(2 l_r^2) with
second Piola-Kirchhoff stress E e + S, so N = A (E e + S) l/l_r; no force in compression. Ours is
engineering strain, N = EA (l - L0)/L0. So E and S of every cable are fitted to the length just
found - force and slope both as ours there - and Kratos solves again, until nothing changes: at the
end each cable's own N is EA (l - L0)/L0 at its own length. Held directions are Kratos's linear
master-slave constraints.

Newton's iteration needs a start in which ropes are taut: a snug rope as drawn has no sideways
stiffness. It starts from a shape given from outside; where it ends does not depend on it, as the
equilibrium is the one minimum of a convex function.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import KratosMultiphysics as KM
import KratosMultiphysics.LinearSolversApplication as LS
import KratosMultiphysics.StructuralMechanicsApplication as SM
import numpy as np

from .model import PROP, UP, Beam, Floats, Hold, Loads, Model

__all__ = ["NoAgreement", "newton", "solve"]

_MOVES = ("DISPLACEMENT_X", "DISPLACEMENT_Y", "DISPLACEMENT_Z")
_TURNS = ("ROTATION_X", "ROTATION_Y", "ROTATION_Z")
_NODAL = ("DISPLACEMENT", "ROTATION", "REACTION", "REACTION_MOMENT", "VOLUME_ACCELERATION")
_NODAL += ("POINT_LOAD", "POINT_MOMENT")
_AREA = 1e-4  # of every cable; only its product with E and S matters [m2]


class NoAgreement(Exception):
    """Kratos did not settle."""


def solve(model: Model, loads: Loads, start: dict[str, Floats]) -> Floats:
    """Solve frame and ropes in Kratos.

    Args:
        model: Roof and ropes.
        loads: Downward loads on hips and heads.
        start: Moves from which Newton's iteration starts, by node. [m]

    Returns:
        Pull of every link. [N] (n_links,)

    Raises:
        NoAgreement: The fitted cables do not settle.
    """
    job = _Kratos(model, loads)
    job.begin(start)
    job.settle()
    return job.pulls


@dataclass(frozen=True)
class _Bar:
    element: KM.Element
    properties: KM.Properties
    reference: float  # [m]


class _Kratos:
    """One Kratos model, solved again and again with refitted cables."""

    timber = "CrLinearBeamElement3D2N"

    def __init__(self, model: Model, loads: Loads) -> None:
        KM.Logger.GetDefaultOutput().SetSeverity(KM.Logger.Severity.WARNING)
        self.model = model
        self.home = KM.Model()
        self.part = self.home.CreateModelPart("roof", 2)
        self.part.ProcessInfo[KM.DOMAIN_SIZE] = 3
        for name in _NODAL:
            self.part.AddNodalSolutionStepVariable(_var(name))
        self.nodes: dict[str, KM.Node] = {}
        self.turning: set[str] = set()
        self.holds: list[Hold] = list(model.holds)
        self.count = 0
        for name, point in model.points.items():
            self._node(name, point)
        for k, hip in enumerate(model.hips):
            self._hip(k, hip, loads.hip[k])
        for beam in model.hub_beams:
            self._beam(beam)
        self.cables = [self._bar("CableElement3D2N", k.start, k.end) for k in model.links]
        self._springs()
        for name, weight in model.weights.items():
            self._push(name, -weight * UP)
        for k in range(model.n):
            self._push(f"head {k}", -loads.head[k] * UP)
        self._hold()
        self.pulls = np.zeros(len(model.links))
        self.step = newton(self.part)

    def _next(self) -> int:
        self.count += 1
        return self.count

    def _node(self, name: str, point: Floats) -> None:
        node = self.part.CreateNewNode(self._next(), *(float(x) for x in point))
        for move, turn, axis in zip(_MOVES, _TURNS, "XYZ", strict=True):
            node.AddDof(_var(move), _var(f"REACTION_{axis}"))
            node.AddDof(_var(turn), _var(f"REACTION_MOMENT_{axis}"))
        self.nodes[name] = node

    def _hip(self, k: int, hip: Beam, load: Floats) -> None:
        """Foot to bolt to head, twist held at the foot.

        Pinned to a ring of beams it ends in a tip of its own that moves with the ring's corner.
        """
        points, tip = self.model.points, hip.end
        if self.model.hub_beams and not self.model.heads_bear:
            tip = f"tip {k}"
            self._node(tip, points[hip.end])
            self.holds += [{(tip, i): 1.0, (hip.end, i): -1.0} for i in range(3)]
        along = points[hip.end] - points[hip.start]
        length = float(np.linalg.norm(along))
        self.holds.append({(hip.start, 3 + i): along[i] / length for i in range(3)})
        for start, end in pairwise(self._stops(k, hip.start, tip)):
            self._beam(replace(hip, start=start, end=end))
            at = [self._from(hip.start, name) / length for name in (start, end)]
            self._lay(start, end, [load[0] + t * (load[1] - load[0]) for t in at])

    def _stops(self, k: int, foot: str, tip: str) -> list[str]:
        """Nodes of a hip, foot to tip."""
        return [foot, *(name for name in (f"bolt {k}",) if name in self.nodes), tip]

    def _from(self, start: str, end: str) -> float:
        a, b = (self.nodes[name] for name in (start, end))
        return float(np.linalg.norm([b.X0 - a.X0, b.Y0 - a.Y0, b.Z0 - a.Z0]))

    def _beam(self, beam: Beam) -> None:
        made = self.part.CreateNewProperties(self._next())
        for name, value in (
            ("YOUNG_MODULUS", beam.e),
            ("POISSON_RATIO", 0.0),  # so that its G is E/2
            ("DENSITY", 0.0),
            ("CROSS_AREA", beam.area),
            ("I22", beam.strong),
            ("I33", beam.weak),
            ("TORSIONAL_INERTIA", beam.torsion * beam.g / (beam.e / 2.0)),
        ):
            made.SetValue(_var(name), value)
        ends = [self.nodes[name].Id for name in (beam.start, beam.end)]
        element = self.part.CreateNewElement(self.timber, self._next(), ends, made)
        element.SetValue(KM.LOCAL_AXIS_2, KM.Array3([float(x) for x in beam.across]))
        self.turning |= {beam.start, beam.end}

    def _bar(self, kind: str, start: str, end: str, stiffness: float = 0.0) -> _Bar:
        """A cable, or a straight spring of ``stiffness`` between two nodes. [N/m]"""
        made = self.part.CreateNewProperties(self._next())
        length = self._from(start, end)
        made.SetValue(KM.CONSTITUTIVE_LAW, SM.TrussConstitutiveLaw())
        made.SetValue(KM.DENSITY, 0.0)
        made.SetValue(SM.CROSS_AREA, _AREA)
        made.SetValue(KM.YOUNG_MODULUS, stiffness * length / _AREA)
        made.SetValue(SM.TRUSS_PRESTRESS_PK2, 0.0)
        ends = [self.nodes[name].Id for name in (start, end)]
        element = self.part.CreateNewElement(kind, self._next(), ends, made)
        return _Bar(element, made, length)

    def _springs(self) -> None:
        """Walls, and the post under the hub: straight springs to nodes that stay."""
        model = self.model
        grounds = []
        for k in range(model.n if model.wall else 0):
            self._node(f"ground {k}", model.points[f"foot {k}"] + model.outward[k])
            self._bar("TrussLinearElement3D2N", f"foot {k}", f"ground {k}", model.wall)
            grounds.append(f"ground {k}")
        self.prop: _Bar | None = None
        if model.propped:
            self._node("ground", model.points["hub"] - UP)
            self.prop = self._bar("TrussLinearElement3D2N", "hub", "ground", PROP)
            grounds.append("ground")
        self.holds += [{(name, i): 1.0} for name in grounds for i in range(3)]

    def _lay(self, start: str, end: str, load: list[float]) -> None:
        """Work-equivalent end forces and moments of a downward load, linear along the beam."""
        a, b = (self.nodes[name] for name in (start, end))
        along = np.array([b.X0 - a.X0, b.Y0 - a.Y0, b.Z0 - a.Z0])
        length = float(np.linalg.norm(along))
        along /= length
        places, weights = np.polynomial.legendre.leggauss(4)
        for t, share in zip((places + 1.0) / 2.0, weights * length / 2.0, strict=True):
            force = -(load[0] + t * (load[1] - load[0])) * share * UP
            axial = (force @ along) * along
            bending = force - axial
            # Linear shapes along the axis, Hermite's cubics across it.
            moved = 3.0 * t**2 - 2.0 * t**3
            self._push(start, (1.0 - t) * axial + (1.0 - moved) * bending)
            self._push(end, t * axial + moved * bending)
            arms = length * t * (1.0 - t) ** 2, length * t**2 * (t - 1.0)
            for name, arm in zip((start, end), arms, strict=True):
                self._push(name, arm * np.cross(along, bending), "MOMENT")

    def _push(self, name: str, force: Floats, kind: str = "LOAD") -> KM.Condition:
        node = self.nodes[name]
        condition = self.part.CreateNewCondition(
            f"Point{kind.title()}Condition3D1N",
            self._next(),
            [node.Id],
            self.part.CreateNewProperties(self._next()),
        )
        condition.SetValue(_var(f"POINT_{kind}"), KM.Array3([float(x) for x in force]))
        return condition

    def _hold(self) -> None:
        """Turn the holds into fixed components and master-slave constraints."""
        idle = [name for name in self.nodes if name not in self.turning]
        joined = {key for hold in self.holds for key in hold}
        for name in idle:
            keys = [(name, i) for i in (3, 4, 5) if (name, i) not in joined]
            self.holds += [{key: 1.0} for key in keys]
        for slave, masters in _solved_for(self.holds).items():
            node, dof = self._dof(slave)
            if not masters:
                node.Fix(dof)
            for master, weight in masters.items():
                self.part.CreateNewMasterSlaveConstraint(
                    "LinearMasterSlaveConstraint",
                    self._next(),
                    *self._dof(master),
                    node,
                    dof,
                    weight,
                    0.0,
                )

    def _dof(self, key: tuple[str, int]) -> tuple[KM.Node, KM.DoubleVariable]:
        return self.nodes[key[0]], _var((_MOVES + _TURNS)[key[1]])

    def begin(self, start: dict[str, Floats]) -> None:
        """Move and turn the nodes to where the iteration starts; it must keep every hold."""
        heads = [start[hip.end] for hip in self.model.hips]
        tips = {f"tip {k}": moves for k, moves in enumerate(heads) if f"tip {k}" in self.nodes}
        for name, moves in (start | tips).items():
            node = self.nodes[name]
            for dof, move in zip(_MOVES + _TURNS, moves, strict=False):
                node.SetSolutionStepValue(_var(dof), 0, float(move))
            drawn = np.array([node.X0, node.Y0, node.Z0])
            node.X, node.Y, node.Z = (float(x) for x in drawn + moves[:3])

    def length(self, bar: _Bar) -> float:
        """Present length. [m]"""
        a, b = bar.element.GetNodes()
        return float(np.linalg.norm([b.X - a.X, b.Y - a.Y, b.Z - a.Z]))

    def fit(self) -> None:
        """Give each cable the E and S by which its force and slope are ours at its length."""
        for i, (link, bar) in enumerate(zip(self.model.links, self.cables, strict=True)):
            now = self.length(bar)
            pull = max(0.0, link.stiffness * (now - link.unstretched))
            slope = link.stiffness - pull / now if pull else 0.0
            modulus = slope * bar.reference**3 / now**2 / _AREA
            strain = (now**2 / bar.reference**2 - 1.0) / 2.0
            stress = pull * bar.reference / now / _AREA
            bar.properties.SetValue(KM.YOUNG_MODULUS, modulus)
            bar.properties.SetValue(SM.TRUSS_PRESTRESS_PK2, stress - modulus * strain)
            self.pulls[i] = pull
        if self.prop:
            drop = -self.nodes["hub"].GetSolutionStepValue(KM.DISPLACEMENT_Z)
            modulus = PROP * self.prop.reference / _AREA if drop > 0.0 else 0.0
            self.prop.properties.SetValue(KM.YOUNG_MODULUS, modulus)

    def settle(self) -> None:
        """Refit and solve until the pulls stay."""
        changes: list[float] = []
        self.fit()
        for _ in range(40):
            self.step.InitializeSolutionStep()
            self.step.Predict()
            self.step.SolveSolutionStep()
            self.step.FinalizeSolutionStep()
            before = self.pulls.copy()
            self.fit()
            changes.append(float(np.abs(self.pulls - before).max()))
            if changes[-1] < 1e-9 * self.pulls.max():
                return
        raise NoAgreement(f"the pulls still change by {changes[-5:]} N")


def newton(part: KM.ModelPart, most: int = 1) -> KM.ResidualBasedNewtonRaphsonStrategy:
    """At most so many of Newton's steps at a time."""
    scheme = KM.ResidualBasedIncrementalUpdateStaticScheme()
    criterion = KM.ResidualCriteria(1e-14, 1e-9)
    builder = KM.ResidualBasedBlockBuilderAndSolver(LS.SparseLUSolver())
    strategy = KM.ResidualBasedNewtonRaphsonStrategy(
        part, scheme, criterion, builder, most, False, False, True
    )
    strategy.SetEchoLevel(0)
    strategy.Initialize()
    return strategy


def _var(name: str) -> KM.DoubleVariable:
    return KM.KratosGlobals.GetVariable(name)


def _solved_for(holds: list[Hold]) -> dict[tuple[str, int], Hold]:
    """Solve the holds for as many components as there are, each by the free ones (Gauss-Jordan)."""
    keys = sorted({key for hold in holds for key in hold})
    rows = np.array([[hold.get(key, 0.0) for key in keys] for hold in holds])
    pivots: dict[int, int] = {}
    for i in range(len(rows)):
        j = int(np.abs(rows[i]).argmax())
        if abs(rows[i, j]) < 1e-9:
            continue
        rows[i] /= rows[i, j]
        others = [k for k in range(len(rows)) if k != i]
        rows[others] -= np.outer(rows[others, j], rows[i])
        pivots[i] = j
    return {
        keys[j]: {
            keys[k]: -float(rows[i, k]) for k in np.flatnonzero(np.abs(rows[i]) > 1e-12) if k != j
        }
        for i, j in pivots.items()
    }
