"""From where everything rests to what a person asks: pulls, pushes, spread, sag."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.along import along_hips, stations
from rafterstay.statics.beams import deform_map
from rafterstay.statics.condense import Skeleton, member_forces
from rafterstay.statics.holds import holding, side_growth
from rafterstay.statics.network import Network, Pose, Pulls
from rafterstay.statics.nouns import Forces, Setting, State

__all__ = ["Answer", "gather_forces"]


@dataclass(frozen=True)
class Answer:
    """Everything known of a batch of states.

    Attributes:
        bones, states, links: What was solved.
        movement: Of every node. [m, rad] (n_batch, n_nodes, 6)
        pose, pulls: Of the tie, second order.
        first_order: Leg pulls on the frame as drawn. [N] (n_batch, n)
        force_error, residual: [N] (n_batch,)
        forces, work: Loads, as of ``loads_on``.
    """

    bones: Skeleton
    states: list[State]
    movement: Floats
    pose: Pose
    pulls: Pulls
    first_order: Floats
    force_error: Floats
    residual: Floats
    forces: Floats
    work: Floats
    links: Network


def gather_forces(frame: Frame, parts: list[tuple[Answer, Setting]]) -> Forces:
    """Join batches of answers into one table of forces.

    Args:
        frame: The roof.
        parts: Answers with the setting state of each; the first is bare.

    Returns:
        Forces of all states, in the order given.
    """
    columns = [_columns(frame, answer, setting) for answer, setting in parts]
    joined: dict[str, Any] = {
        key: np.concatenate([column[key] for column in columns]) for key in columns[0]
    }
    return Forces(
        hip_at=stations(frame),
        states=tuple(state for answer, _ in parts for state in answer.states),
        setting=parts[0][1],
        **joined,
    )


def _columns(frame: Frame, answer: Answer, setting: Setting) -> dict[str, Floats]:
    pulls, movement = answer.pulls, answer.movement
    pull = pulls.leg_pull[:, :, 0]
    push, shear, moment, reaction = _at_hips(frame, answer)
    slack = np.linalg.norm(pulls.ends - pulls.starts, axis=-1) < answer.links.leg_length.sum(axis=2)
    centre = pulls.ends.mean(axis=1)
    # Without a ring there is none to have a place; among slack legs it has none of its own.
    lost = (slack.any(axis=1) | (answer.links.web.ring == "none"))[:, None]
    first = answer.first_order
    counted = first > 0.01 * first.max(axis=1, keepdims=True)
    ratio = np.where(counted, pull / np.where(counted, first, 1.0), 1.0)
    return {
        "leg_pull": pull,
        "first_order": first,
        "amplification": ratio.max(axis=1),
        "ring_pull": pulls.side_pull,
        "slack": slack,
        "pull_direction": pulls.leg[:, :, 0] / pulls.leg_long[:, :, :1],
        "side_length": pulls.side_long,
        "ring_load": _ring_load(answer),
        "plate_pull": _plate_pull(frame, answer.states[0], movement),
        "eye_turn": _eye_turn(pulls.side),
        "head_push": push,
        "head_shear": shear,
        "head_moment": moment,
        "foot_reaction": reaction,
        **along_hips(answer.bones, answer.states, movement=movement, work=answer.work),
        "spread": (movement[:, frame.feet, :3] * frame.outward).sum(-1) - setting.spread,
        "hub_drop": -movement[:, frame.heads, 2].mean(axis=1),
        "ring_shift": np.where(lost, np.nan, centre[:, :2] - setting.ring_centre[:2]),
        "ring_sag": np.where(lost[:, 0], np.nan, pulls.starts[..., 2].mean(axis=1) - centre[:, 2]),
        "force_error": answer.force_error,
        "residual": answer.residual,
    }


def _plate_pull(frame: Frame, state: State, movement: Floats) -> Floats:
    """Pull in the sides of a continuous plate, today's share of it included. [N] (n_batch, n)"""
    if not state.plate_stiffness:
        return np.zeros((len(movement), frame.n))
    out = (movement[:, frame.feet, :3] * frame.outward).sum(-1)
    if state.held_thrust:
        out = out + np.linalg.lstsq(holding(frame, state), np.array(state.held_thrust))[0]
    return np.asarray(out @ side_growth(frame).T * np.array(state.plate_stiffness))


def _ring_load(answer: Answer) -> Floats:
    """Pulls of the legs on a stiff ring, in its own directions. [N] (n_batch, n or 0, 3)

    Half the inner piece's weight, which hangs there too, is left out.
    """
    held = answer.pulls
    if not answer.links.web.turns:
        return np.zeros((len(held.ends), 0, 3))
    arm = held.ends - held.ends.mean(axis=1, keepdims=True)
    up = np.cross(np.roll(arm, -1, axis=1), arm).sum(axis=1)
    up /= np.linalg.norm(up, axis=-1, keepdims=True)
    out = arm / np.linalg.norm(arm, axis=-1, keepdims=True)
    along = np.cross(out, up[:, None])
    pull = -held.leg[:, :, 2] * (held.leg_pull[:, :, 2] / held.leg_long[:, :, 2])[..., None]
    shares = ((pull * out).sum(-1), (pull * along).sum(-1), (pull * up[:, None]).sum(-1))
    return np.stack(shares, axis=-1)


def _eye_turn(ring: Floats) -> Floats:
    """Angle between the sides that meet at each eye. [rad] (n_batch, n)"""
    unit = ring / np.linalg.norm(ring, axis=-1)[..., None]
    before = np.roll(unit, 1, axis=1)
    return np.asarray(
        np.arctan2(np.linalg.norm(np.cross(before, unit), axis=-1), (before * unit).sum(-1))
    )


def _at_hips(frame: Frame, answer: Answer) -> tuple[Floats, Floats, Floats, Floats]:
    """Push, shear [N] and moment [N m] between hub and heads; upward reaction of feet [N]."""
    bones = answer.bones
    beams = bones.beams
    shape = deform_map(beams, frame.nodes + answer.movement[..., :3])
    inner = member_forces(bones, answer.movement, answer.work)
    ends = np.einsum("bmdk,bmd->bmk", shape, inner)
    is_hip = np.arange(len(frame.members)) < len(frame.members) - (
        frame.n if frame.hub == "ring" else 0
    )
    at = np.zeros((len(ends), len(frame.nodes), 3))
    for side, columns in ((0, slice(0, 3)), (1, slice(6, 9))):
        sums = np.swapaxes(at, 0, 1)
        np.add.at(sums, beams.ends[is_hip, side], np.swapaxes(ends[:, is_hip, columns], 0, 1))
    own = answer.forces.copy()
    own[:, frame.heads, 2] += np.array([state.case.head_load for state in answer.states])
    own[:, frame.heads, :2] -= np.array([state.case.head_push for state in answer.states])
    at -= own
    on_heads = at[:, frame.heads]
    # What the hip gives its head is what the hub must give back.
    push = (on_heads * frame.outward).sum(-1)
    across = (on_heads * frame.sideways).sum(-1)
    shear = np.hypot(across, on_heads[..., 2])
    at_head = is_hip & np.isin(beams.ends[:, 1], frame.heads)
    on_feet = at[:, frame.feet, 2]
    if frame.bolts[0] == frame.feet[0]:
        on_feet = on_feet - _lift(answer)
    return push, shear, np.abs(inner[:, at_head, 2]), on_feet


def _lift(answer: Answer) -> Floats:
    """Upward pull of the legs on every attachment. [N] (n_batch, n_attach)"""
    held, web = answer.pulls, answer.links.web
    up = held.leg[..., 2] / held.leg_long * held.leg_pull
    lift = np.zeros((len(up), len(answer.bones.attach)))
    np.add.at(lift.T, web.starts, up[:, :, 0].T)
    if web.ring == "none":
        np.subtract.at(lift.T, web.stops, up[:, :, 2].T)
    return lift
