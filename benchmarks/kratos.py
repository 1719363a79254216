"""The same model in KratosMultiphysics, a general finite-element library.

Beams are its ``CrLinearBeamElement3D2N`` (small movements), ropes its ``CableElement3D2N`` at
large ones: Green-Lagrange strain about the drawn length L with second Piola-Kirchhoff stress,
N = A (E e + S) l/L, nothing in compression. Ours is N = EA (l - L0)/L0, another curve of l. So
before each of its Newton steps every cable is given the E and S by which force and slope at its
present length are ours; at rest its own force is then ours. Its time is that of the steps alone.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from importlib import import_module
from importlib.metadata import version
from typing import Any

import numpy as np

from benchmarks.model import Model
from rafterstay.roof.frame import Floats

__all__ = ["SOLVERS", "analyse", "available", "name"]

Library = tuple[Any, Any, Any]

APPLICATIONS = ("LinearSolvers", "StructuralMechanics")
SOLVERS = ("SparseLU", "SkylineLU")
MOVES = ("DISPLACEMENT_X", "DISPLACEMENT_Y", "DISPLACEMENT_Z")
TURNS = ("ROTATION_X", "ROTATION_Y", "ROTATION_Z")
AREA = 1e-4  # of every cable; only its product with E and S matters [m2]
MOST_STEPS = 40
SETTLED = 1e-10  # last change of any pull beside the largest


def available() -> Library | None:
    """The library, its solvers and its structures, or None where it does not install."""
    try:
        kratos = import_module("KratosMultiphysics")
        parts = [import_module(f"KratosMultiphysics.{part}Application") for part in APPLICATIONS]
    except ImportError:
        return None
    kratos.Logger.GetDefaultOutput().SetSeverity(kratos.Logger.Severity.WARNING)
    return kratos, *parts


def name() -> str:
    """Name and version."""
    return f"Kratos {version('KratosMultiphysics')}"


def analyse(library: Library, model: Model, solver: str, state: int) -> tuple[float, Floats]:
    """Time of the Newton steps alone, the model being built [s]; pull of every link [N].

    Args:
        library: As ``available`` gives it.
        model: Frame, ropes and loads.
        solver: Of the linear equations, one of ``SOLVERS``.
        state: Which of the model's states.

    Returns:
        Time and pulls.

    Raises:
        RuntimeError: The pulls do not settle.
    """
    made = _Built(library, model, state)
    step = made.newton_step(solver)
    pulls, spent = made.fit(), 0.0
    for _ in range(MOST_STEPS):
        begun = time.process_time()
        step.SolveSolutionStep()
        spent += time.process_time() - begun
        before, pulls = pulls, made.fit()
        if np.abs(pulls - before).max() <= SETTLED * pulls.max():
            return spent, pulls
    raise RuntimeError(f"{solver} found no rest")


@dataclass(frozen=True)
class _Cable:
    """One link of ours, the element that stands for it, its properties and drawn length [m]."""

    rate: float
    unstretched: float
    element: Any
    properties: Any
    drawn: float


class _Built:
    """One state of the model."""

    def __init__(self, library: Library, model: Model, state: int) -> None:
        self.kratos, self.solvers, self.structures = library
        self.model = model
        self.home = self.kratos.Model()
        self.part = self.home.CreateModelPart("roof", 1)
        self.part.ProcessInfo[self.kratos.DOMAIN_SIZE] = 3
        for name in ("DISPLACEMENT", "ROTATION", "REACTION", "REACTION_MOMENT"):
            self.part.AddNodalSolutionStepVariable(self._named(name))
        for name in ("VOLUME_ACCELERATION", "POINT_LOAD", "POINT_MOMENT"):
            self.part.AddNodalSolutionStepVariable(self._named(name))
        self.elements = 0
        for point in model.frame.nodes:
            self._node(point)
        for node, way in model.held:
            self._at(node).Fix(self._named((MOVES + TURNS)[way]))
        self.pushed = np.zeros((len(model.frame.nodes) + 3 * model.frame.n, 6))
        self._beams(state)
        self.cables = self._ropes()
        for k, push in enumerate(self.pushed):
            self._push(k, push)

    def newton_step(self, solver: str) -> Any:
        """What takes one Newton step, all equations kept but for those held."""
        kratos = self.kratos
        linear = {
            "SparseLU": self.solvers.SparseLUSolver,
            "SkylineLU": kratos.SkylineLUFactorizationSolver,
        }[solver]()
        step = kratos.ResidualBasedNewtonRaphsonStrategy(
            self.part,
            kratos.ResidualBasedIncrementalUpdateStaticScheme(),
            kratos.ResidualCriteria(1e-14, 1e-9),
            kratos.ResidualBasedEliminationBuilderAndSolver(linear),
            1,
            False,
            False,
            True,
        )
        step.SetEchoLevel(0)
        step.Initialize()
        step.InitializeSolutionStep()
        step.Predict()
        return step

    def fit(self) -> Floats:
        """Give each cable the E and S of our law at its length; its pull by that law. [N]"""
        pulls = np.zeros(len(self.cables))
        for i, cable in enumerate(self.cables):
            a, b = cable.element.GetNodes()
            now = float(np.linalg.norm([b.X - a.X, b.Y - a.Y, b.Z - a.Z]))
            pulls[i] = max(0.0, cable.rate * (now - cable.unstretched))
            slope = cable.rate - pulls[i] / now if pulls[i] else 0.0
            modulus = slope * cable.drawn**3 / now**2 / AREA
            stress = pulls[i] * cable.drawn / now / AREA
            strain = (now**2 / cable.drawn**2 - 1.0) / 2.0
            cable.properties.SetValue(self.kratos.YOUNG_MODULUS, modulus)
            cable.properties.SetValue(
                self.structures.TRUSS_PRESTRESS_PK2, stress - modulus * strain
            )
        return pulls

    def _named(self, name: str) -> Any:
        home = self.kratos if hasattr(self.kratos, name) else self.structures
        return getattr(home, name)

    def _node(self, point: Floats) -> int:
        index = self.part.NumberOfNodes()
        node = self.part.CreateNewNode(index + 1, *point.tolist())
        for move, turn, axis in zip(MOVES, TURNS, "XYZ", strict=True):
            node.AddDof(self._named(move), self._named(f"REACTION_{axis}"))
            node.AddDof(self._named(turn), self._named(f"REACTION_MOMENT_{axis}"))
        return index

    def _at(self, index: int) -> Any:
        return self.part.GetNode(index + 1)

    def _element(self, kind: str, start: int, end: int, values: dict[str, Any]) -> Any:
        self.elements += 1
        made = self.part.CreateNewProperties(self.elements)
        for name, value in values.items():
            made.SetValue(self._named(name), value)
        return self.part.CreateNewElement(kind, self.elements, [start + 1, end + 1], made)

    def _beams(self, state: int) -> None:
        """Beams, and of each half its load on either end with the moments of held ends."""
        frame = self.model.frame
        for member, load in zip(frame.members, self.model.downward[state], strict=True):
            start, end = int(member.start), int(member.end)
            along = frame.nodes[end] - frame.nodes[start]
            values = {
                "YOUNG_MODULUS": member.e,
                "POISSON_RATIO": 0.0,  # so that its G is E/2
                "DENSITY": 0.0,
                "CROSS_AREA": member.area,
                "I22": member.strong,
                "I33": member.weak,
                "TORSIONAL_INERTIA": member.torsion * member.g / (member.e / 2.0),
            }
            element = self._element("CrLinearBeamElement3D2N", start, end, values)
            across = np.cross(member.up, along)
            across /= np.linalg.norm(across)
            element.SetValue(self.kratos.LOCAL_AXIS_2, self.kratos.Array3(across.tolist()))
            whole = np.array([0.0, 0.0, -float(load) * float(np.linalg.norm(along))])
            moment = np.cross(along, whole) / 12.0
            self.pushed[start] += [*whole / 2.0, *moment]
            self.pushed[end] += [*whole / 2.0, *-moment]

    def _ropes(self) -> list[_Cable]:
        """Joints, eyes, legs and sides, in the order of our links."""
        frame, links = self.model.frame, self.model.links
        starts, eyes = frame.nodes[frame.bolts], links.ring_at[0]
        length, rate = links.leg_length[0], links.leg_rate[0]
        share = np.cumsum(length, axis=1)[:, :2] / length.sum(axis=1)[:, None]
        joints = starts[:, None] + share[..., None] * (eyes - starts)[:, None]
        cables, ends = [], []
        weights = np.concatenate([links.joint_weight[0], links.end_weight[0][:, None]], axis=1)
        for k in range(frame.n):
            own = [int(frame.bolts[k])]
            for point, weight in zip([*joints[k], eyes[k]], weights[k], strict=True):
                own.append(self._node(point))
                self.pushed[own[-1], 2] -= weight
                for turn in TURNS:
                    self._at(own[-1]).Fix(self._named(turn))
            self.pushed[own[0], 2] -= links.start_weight[0, k]
            cables += [self._cable(own[j], own[j + 1], rate[k, j], length[k, j]) for j in range(3)]
            ends.append(own[-1])
        for k in range(frame.n):
            side = links.side_rate[0, k], links.side_length[0, k]
            cables.append(self._cable(ends[k], ends[(k + 1) % frame.n], *side))
        return cables

    def _cable(self, start: int, end: int, rate: float, unstretched: float) -> _Cable:
        a, b = self._at(start), self._at(end)
        drawn = float(np.linalg.norm([b.X - a.X, b.Y - a.Y, b.Z - a.Z]))
        values = {
            "CONSTITUTIVE_LAW": self.structures.TrussConstitutiveLaw(),
            "DENSITY": 0.0,
            "CROSS_AREA": AREA,
        }
        element = self._element("CableElement3D2N", start, end, values)
        return _Cable(rate, unstretched, element, element.Properties, drawn)

    def _push(self, index: int, push: Floats) -> None:
        for kind, some in (("LOAD", push[:3]), ("MOMENT", push[3:])):
            if not some.any():
                continue
            number = self.part.NumberOfConditions() + 1
            condition = self.part.CreateNewCondition(
                f"Point{kind.title()}Condition3D1N",
                number,
                [index + 1],
                self.part.CreateNewProperties(self.elements + number),
            )
            condition.SetValue(self._named(f"POINT_{kind}"), self.kratos.Array3(some.tolist()))
