"""The same model in OpenSees, a general finite-element library.

Beams are its linear ``elasticBeamColumn``, ropes its ``CorotTruss``: a bar turned with its ends,
engineering strain about the drawn length L. Ours is N = EA (l - L0)/L0, so the bar's modulus is
E L/L0 and its strain starts at (L - L0)/L; both are then the same straight line in l. A bar's
material gives nothing in compression.
"""

from __future__ import annotations

import time
from importlib.metadata import version
from typing import Any

import numpy as np

from benchmarks.model import Model
from rafterstay.roof.frame import Floats

__all__ = ["SYSTEMS", "analyse", "available"]

SYSTEMS = ("UmfPack", "BandSPD", "ProfileSPD", "SparseSYM", "BandGeneral", "SuperLU")


def available() -> dict[str, Any]:
    """The library by name and version, and its fork of the same calls, where they install."""
    found = {}
    try:
        import openseespy.opensees as ops

        found[f"OpenSees {ops.version()}"] = ops
    except (ImportError, RuntimeError):
        pass
    try:
        import opensees.openseespy as fork

        found[f"its fork {version('opensees')}"] = fork
    except (ImportError, RuntimeError):
        pass
    return found


def analyse(ops: Any, model: Model, system: str, state: int) -> tuple[float, Floats]:
    """Time of the analysis alone, the model being built [s]; pull of every link [N].

    Args:
        ops: The library.
        model: Frame, ropes and loads.
        system: Solver of the linear equations, one of ``SYSTEMS``.
        state: Which of the model's states.

    Returns:
        Time and pulls.

    Raises:
        RuntimeError: The library found no rest.
    """
    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    frame = model.frame
    for k, point in enumerate(frame.nodes):
        ops.node(k + 1, *point.tolist())
    for node, way in model.held:
        ops.fix(node + 1, *[int(way == i) for i in range(6)])
    _beams(ops, model)
    bars = _ropes(ops, model)
    _loads(ops, model, state)
    ops.constraints("Plain")
    ops.numberer("RCM")
    ops.system(system)
    ops.test("NormUnbalance", 1e-6, 50)
    ops.algorithm("Newton")
    ops.integrator("LoadControl", 1.0)
    ops.analysis("Static")
    begun = time.process_time()
    failed = ops.analyze(1)
    spent = time.process_time() - begun
    if failed:
        raise RuntimeError(f"{system} found no rest")
    found = np.array([np.ravel(ops.eleResponse(tag, "axialForce"))[0] for tag in bars])
    return spent, found


def _beams(ops: Any, model: Model) -> None:
    frame = model.frame
    for k, member in enumerate(frame.members):
        # The library's local z is the one that, with x, spans its vecxz plane.
        ops.geomTransf("Linear", k + 1, *member.up)
        ops.element(
            "elasticBeamColumn", k + 1, member.start + 1, member.end + 1,
            member.area, member.e, member.g, member.torsion, member.strong, member.weak, k + 1,
        )  # fmt: skip


def _ropes(ops: Any, model: Model) -> list[int]:
    """Joints, eyes, legs and sides; gives the bars in the order of our links."""
    frame, links = model.frame, model.links
    n, first = frame.n, len(frame.nodes) + 1
    starts, eyes = frame.nodes[frame.bolts], links.ring_at[0]
    share = np.cumsum(links.leg_length[0], axis=1)[:, :2] / links.leg_length[0].sum(axis=1)[:, None]
    joints = starts[:, None] + share[..., None] * (eyes - starts)[:, None]
    points = np.concatenate([joints, eyes[:, None]], axis=1).reshape(-1, 3)
    for k, point in enumerate(points):
        ops.node(first + k, *point.tolist())
        ops.fix(first + k, 0, 0, 0, 1, 1, 1)
    bars = []
    for k in range(n):
        own = [int(frame.bolts[k]) + 1, *(first + 3 * k + j for j in range(3))]
        rate, length = links.leg_rate[0, k], links.leg_length[0, k]
        bars += [_bar(ops, own[j], own[j + 1], rate[j], length[j]) for j in range(3)]
    for k in range(n):
        ends = first + 3 * k + 2, first + 3 * ((k + 1) % n) + 2
        bars.append(_bar(ops, *ends, links.side_rate[0, k], links.side_length[0, k]))
    return bars


def _bar(ops: Any, start: int, end: int, rate: float, length: float) -> int:
    tag = 10_000 + len(ops.getEleTags())
    drawn = float(np.linalg.norm(np.subtract(ops.nodeCoord(end), ops.nodeCoord(start))))
    ops.uniaxialMaterial("Elastic", 2 * tag, rate * drawn, 0.0, 1e-9)
    ops.uniaxialMaterial("InitStrainMaterial", 2 * tag + 1, 2 * tag, (drawn - length) / drawn)
    ops.element("CorotTruss", tag, start, end, 1.0, 2 * tag + 1)
    return tag


def _loads(ops: Any, model: Model, state: int) -> None:
    frame, links = model.frame, model.links
    first = len(frame.nodes) + 1
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    down = np.array([0.0, 0.0, -1.0])
    for k, member in enumerate(frame.members):
        load = model.downward[state, k] * down
        x = frame.nodes[member.end] - frame.nodes[member.start]
        x = x / np.linalg.norm(x)
        y = np.cross(member.up, x)
        y /= np.linalg.norm(y)
        if np.any(load):
            z = np.cross(x, y)
            ops.eleLoad("-ele", k + 1, "-type", "-beamUniform", load @ y, load @ z, load @ x)
    weights = np.concatenate([links.joint_weight[0], links.end_weight[0][:, None]], axis=1)
    for k, weight in enumerate(weights.ravel()):
        ops.load(first + k, 0.0, 0.0, -float(weight), 0.0, 0.0, 0.0)
    for k, weight in zip(frame.bolts, links.start_weight[0], strict=True):
        ops.load(int(k) + 1, 0.0, 0.0, -float(weight), 0.0, 0.0, 0.0)
