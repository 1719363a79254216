"""Whether a minimum makes sense as a roof, and which part is loose when it does not."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, Mechanism, NotConverged
from rafterstay.core.quantities import show_both
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.condense import PINNED_HEADS
from rafterstay.statics.newton import Rest
from rafterstay.statics.problem import Problem
from rafterstay.statics.tangent import tangent

__all__ = ["FARTHEST", "UPLIFT_GOVERNS", "drawn_in", "held_directions", "require_sense"]

FARTHEST = 1 / 25  # of the span: a tie bolt that moves farther is not held
UPLIFT_GOVERNS = (
    "Uplift governs, and a rope only pulls: make the roof heavier (ballast), or state what keeps "
    "the feet apart (support.walls, or support.plate that runs on). Hold-downs of feet and hub "
    "are needed besides."
)
FIRM = 1e-7  # a direction this soft beside a leg's own stiffness is loose


def require_sense(problem: Problem, rest: Rest, names: list[str]) -> None:
    """Refuse states that came to rest nowhere, too far away, or on a knife edge.

    Args:
        problem: The states.
        rest: Where they came to rest.
        names: Of the states.

    Raises:
        Mechanism: Nothing holds a part; it is named.
        NotConverged: The solver gave up for another reason.

    Source: docs/theory/sense.md eq. 1 and 2
    """
    frame = problem.bones.frame
    reach = problem.bones.reach
    bolts = rest.pose.kept @ reach.reshape(-1, reach.shape[2]).T
    moved = np.linalg.norm(bolts.reshape(len(bolts), -1, 3), axis=-1).max(axis=1)
    far = moved > FARTHEST * frame.span
    for row in np.flatnonzero(rest.endless | far):
        raise _loose(problem, names[row], rest.pose.kept[row], float(moved[row]))
    for row in np.flatnonzero(~rest.settled):
        raise _not_settled(problem, rest, names, int(row))
    _require_firm(problem, rest, names)


def _require_firm(problem: Problem, rest: Rest, names: list[str]) -> None:
    """Every direction of frame, eyes and turnbuckles on taut links must resist."""
    firm = problem.firm
    n_batch = len(rest.residual)
    # The smallest admissible stiffness is taken off before factorising: what is left must
    # still be positive definite. Slack legs hold nothing and are only kept from being singular.
    stiff = tangent(
        problem, rest.pulls, damping=np.full(n_batch, 1e-9 * firm), bars=False, pose=rest.pose
    )
    n_kept = rest.pose.kept.shape[1]
    shifted = stiff.reduced.copy()
    held = held_directions(problem, rest, n_kept)
    index = np.arange(shifted.shape[1])
    shifted[:, index, index] += np.where(held, -FIRM * firm, firm)
    try:
        np.linalg.cholesky(shifted)
    except np.linalg.LinAlgError:
        for row in range(n_batch):
            values, vectors = np.linalg.eigh(shifted[row])
            if values[0] <= 0:
                raise _knife_edge(problem, names[row], vectors[:, 0]) from None


def held_directions(problem: Problem, rest: Rest, n_kept: int) -> NDArray[np.bool_]:
    """Which of the reduced directions are held by anything: eyes on slack links are not.

    Args:
        problem: The states.
        rest: Where they came to rest.
        n_kept: Kept movements of the frame, first of the directions.

    Returns:
        Whether each is. (n_batch, n_kept + n_ring)
    """
    web = problem.links.web
    taut: NDArray[np.bool_] = np.asarray((rest.pulls.leg_pull > 0).all(axis=2))
    kept = np.ones((len(taut), n_kept), dtype=bool)
    if web.ring != "eyes":
        any_taut = np.repeat(taut.any(axis=1, keepdims=True), web.n_ring, axis=1)
        return np.concatenate([kept, any_taut], axis=1)
    eyes = taut | ((rest.pulls.side_pull > 0) @ np.abs(web.incidence) > 0)
    return np.concatenate([kept, np.repeat(eyes, 3, axis=1)], axis=1)


def _movement(problem: Problem, kept: Floats) -> Floats:
    """Displacement of every node by the kept movements. [m] (n_nodes, 3)"""
    bones = problem.bones
    every = problem.frame.unloaded().all_movements(bones, kept[None])
    return np.asarray(bones.free.nodes[:, :3] @ every[0])


def _name(problem: Problem, kept: Floats) -> str:
    frame = problem.bones.frame
    size = np.linalg.norm(_movement(problem, kept), axis=1)
    return frame.names[int(size.argmax())]


def _loose(problem: Problem, state: str, kept: Floats, moved: float) -> Mechanism:
    frame = problem.bones.frame
    movement = _movement(problem, kept)
    outward = (movement[frame.feet] * frame.outward).sum(axis=1)
    hub = float(movement[frame.heads, 2].mean())
    name = _name(problem, kept)
    gone = show_both(moved, "length") if moved < frame.span else "without end"
    remedy = _remedy(frame)
    if drawn_in(frame, movement):
        loose, remedy = "feet", UPLIFT_GOVERNS
        told = "the feet draw in and the hub lifts: the load is upward and walls give no help"
    elif hub < 0 and outward.mean() > 0:
        loose = "feet"
        told = "the feet slide out and the hub falls before the legs hold them"
    else:
        loose = name
        told = f"{name} moves most and nothing stops it"
    return Mechanism(
        Finding(
            code="ST-002",
            key=state,
            bound=(
                f"held within span/25 = {show_both(FARTHEST * frame.span, 'length')} at the tie "
                f"bolts, which move {gone}: {told}"
            ),
            remedy=remedy,
        ),
        loose=loose,
    )


def drawn_in(frame: Frame, movement: Floats) -> bool:
    """Whether the load lifts the roof: no foot slides out and no head comes down.

    A roof that tilts, as one with heads pinned round a ring does, lifts some heads too.

    Args:
        frame: The roof.
        movement: Of every node. [m] (n_nodes, 3 or more)

    Returns:
        False too where some do and some do not.
    """
    outward = (movement[frame.feet, :3] * frame.outward).sum(axis=1)
    return bool(outward.max() < 0.0 < movement[frame.heads, 2].min())


def _remedy(frame: Frame) -> str:
    if frame.hub != "point" and not frame.heads_bear:
        return PINNED_HEADS
    return "A rope only pulls: hold the loose part by other means, or change the hub."


def _knife_edge(problem: Problem, state: str, direction: Floats) -> Mechanism:
    n_kept = problem.bones.reach.shape[2]
    frame_part, ring = direction[:n_kept], direction[n_kept:]
    if len(ring) and np.abs(ring).max() > np.abs(frame_part).max():
        name = "ring"
        if problem.links.web.ring == "eyes":
            at_eyes = np.linalg.norm(ring.reshape(-1, 3), axis=1)
            name = f"ring at eye {int(at_eyes.argmax()) + 1}"
    else:
        name = _name(problem, frame_part)
    return Mechanism(
        Finding(
            code="ST-003",
            key=state,
            bound=f"held in every direction: {name} can move with nothing to bring it back",
            remedy="A ring of pinned bars, a bare hub or slack legs leave it loose; brace it.",
        ),
        loose=name,
    )


def _not_settled(problem: Problem, rest: Rest, names: list[str], row: int) -> NotConverged:
    kept = rest.pose.kept[row]
    worst = _name(problem, kept)
    return NotConverged(
        Finding(
            code="ST-004",
            key=names[row],
            value=f"{rest.residual[row]:.3g} N out of balance after {rest.steps[row]} steps",
            bound="down to rounding",
            remedy="Please report this job; no answer is given.",
        ),
        iterations=int(rest.steps[row]),
        residual=float(rest.residual[row]),
        worst_node=worst,
    )
