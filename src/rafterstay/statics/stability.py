"""Does the roof stay where it came to rest, or does compression carry it on?

At rest forces balance; that says nothing of what a small push would do. A hip under compression
pushes its ends apart sideways; where nothing firmer holds them, the roof turns or folds. What
second order finds by its passes running away is looked for here in every direction at once.
docs/theory/second-order.md section 5.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rafterstay.core.errors import Finding, Mechanism
from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Skeleton, condense, member_forces
from rafterstay.statics.newton import Rest
from rafterstay.statics.problem import Problem
from rafterstay.statics.sense import held_directions
from rafterstay.statics.tangent import tangent

__all__ = ["require_stable"]

DOUBTED = 2.0  # times what compression takes away, for what end moments may add to it
SOFT = 10.0  # times the most it takes away: firmer directions are no part of the danger,
DECIDED = 0.25  # of the most, unless less than this is left: then all of them are
TOGETHER = 32  # directions looked at together
SIZE = 1e-5  # of the movement for differences [m]


@dataclass(frozen=True)
class _Loaded:
    """Loads of every state, as ``condense`` takes them."""

    forces: Floats
    work: Floats
    wall: Floats


@dataclass(frozen=True)
class _At:
    """One state where it came to rest.

    Attributes:
        problem: All states, counted from the displaced frame.
        row: Which it is.
        movement: Of every node since the drawing. [m, rad] (n_nodes, 6)
        loaded: Loads of all states.
    """

    problem: Problem
    row: int
    movement: Floats
    loaded: _Loaded

    def pushed(self, moves: Floats) -> Floats:
        """What is out of balance after further movements. [N] (n_moves, n_kept)"""
        many = np.full(len(moves), self.row)
        return condense(
            self.problem.bones,
            self.movement + moves,
            forces=self.loaded.forces[many],
            work=self.loaded.work[many],
            wall_stiffness=self.loaded.wall,
        ).push


def require_stable(
    problem: Problem,
    rest: Rest,
    movement: Floats,
    *,
    names: list[str],
    forces: Floats,
    work: Floats,
    wall: Floats,
) -> None:
    """Refuse states that a small push would carry away.

    Args:
        problem: The states, counted from the displaced frame.
        rest: Where they came to rest.
        movement: Of every node since the drawing. [m, rad] (n_batch, n_nodes, 6)
        names: Of the states.
        forces: On every node. [N] (n_batch, n_nodes, 3)
        work: Loads on the members' deformations. [N, N m] (n_batch, n_members, 6)
        wall: Inward force on each foot by outward movement of each. [N/m] (n, n)

    Raises:
        Mechanism: Compression takes away all that holds a part; it is named.

    Limits: hips are straight between nodes; their own buckling is a check of its own.
    Source: docs/theory/second-order.md eq. 6 and 7
    """
    bones, n_kept = problem.bones, rest.pose.kept.shape[1]
    stiff = tangent(problem, rest.pulls, pose=rest.pose, damping=np.zeros(len(names)))
    reduced = stiff.reduced
    loose = ~held_directions(problem, rest, n_kept)
    index = np.arange(reduced.shape[1])
    reduced[:, index, index] += np.where(loose, problem.firm, 0.0)
    taken = _taken_away(problem, movement, work)
    doubted = reduced.copy()
    doubted[:, :n_kept, :n_kept] -= DOUBTED * taken
    try:
        np.linalg.cholesky(doubted)
    except np.linalg.LinAlgError:
        loaded = _Loaded(forces, work, wall)
        for row in range(len(names)):
            if np.linalg.eigvalsh(doubted[row])[0] > 0.0:
                continue
            most = float(np.linalg.eigvalsh(taken[row])[-1])
            there = _At(problem, row, movement[row], loaded)
            least, way = _softest(there, reduced[row], up_to=SOFT * most)
            if least <= DECIDED * most:
                least, way = _softest(there, reduced[row], up_to=np.inf)
            if least <= 0.0:
                raise _carried_on(bones, way, names[row]) from None


def _taken_away(problem: Problem, movement: Floats, work: Floats) -> Floats:
    """Stiffness that compression takes from the kept movements, at most but for end moments.

    Returns:
        Matrices. [N/m] (n_batch, n_kept, n_kept)

    Source: docs/theory/second-order.md eq. 6
    """
    bones = problem.bones
    pressed = np.maximum(-member_forces(bones, movement, work)[..., 0], 0.0) / bones.beams.length
    ways = problem.frame.unloaded().all_movements(bones, np.eye(len(bones.kept)))
    nodes = np.einsum("nkq,bq->bnk", bones.free.nodes[:, :3], ways)
    ends = bones.beams.ends
    apart = (nodes[:, ends[:, 1]] - nodes[:, ends[:, 0]]).reshape(len(ways), -1)
    return np.asarray((apart * np.repeat(pressed, 3, axis=1)[:, None]) @ apart.T)


def _softest(there: _At, stiffness: Floats, *, up_to: float) -> tuple[float, Floats]:
    """Least stiffness of one state, and the movement it belongs to.

    The frame's own is taken from differences of what is out of balance, along the soft
    directions; firmer ones give way to them as springs do.

    Args:
        there: The state.
        stiffness: Of frame, links and their tension. [N/m] (n_kept + n_ring, same)
        up_to: Stiffness of the firmest direction that counts as soft. [N/m]

    Returns:
        Stiffness of the softest direction [N/m]; movement of every node [m, rad] (n_nodes, 6).

    Source: docs/theory/second-order.md eq. 7
    """
    bones, n_kept = there.problem.bones, len(there.problem.bones.kept)
    values, vectors = np.linalg.eigh(stiffness)
    soft = values <= up_to
    soft[0] = True
    ways = vectors[:n_kept, soft].T
    frame = there.problem.frame.only(np.array([there.row])).unloaded()
    moves = np.einsum("nkq,bq->bnk", bones.free.nodes, frame.all_movements(bones, ways))
    answers = []
    for first in range(0, len(moves), TOGETHER):
        some = SIZE * moves[first : first + TOGETHER]
        pushed = there.pushed(np.concatenate([0.0 * some[:1], some, -some]))
        ahead, back = pushed[1 : len(some) + 1], pushed[len(some) + 1 :]
        answers.append((back - ahead) / (2.0 * SIZE))
    # By rows: what the frame answers to each way, less what the stiffness at hand holds of it.
    felt = (np.concatenate(answers) - ways @ frame.stiffness[0]) @ vectors[:n_kept]
    across, firm = felt[:, ~soft], values[~soft]
    left = np.diag(values[soft]) + felt[:, soft] - (across / firm) @ across.T
    least, own = np.linalg.eigh((left + left.T) / 2.0)
    return float(least[0]), np.einsum("b,bnk->nk", own[:, 0], moves)


def _carried_on(bones: Skeleton, way: Floats, name: str) -> Mechanism:
    size = np.linalg.norm(way[:, :3], axis=1)
    loose = bones.frame.names[int(size.argmax())]
    turns = "nothing brings it back" if bones.frame.deck else "no deck brings it back"
    return Mechanism(
        Finding(
            code="ST-006",
            key=name,
            bound=(
                "stable on the displaced roof: compression in the hips carries "
                f"{loose} on, and {turns}"
            ),
            remedy="Brace the hips sideways (roof.bracing = 'deck'), lower the tie, steepen the "
            "roof or stiffen the legs.",
        ),
        loose=loose,
    )
