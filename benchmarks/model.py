"""The model all are timed on: hips of eight beams, plate and hub rings, legs to a rope ring.

Hips are fixed to both rings. Feet stand on the plate's height; two of them are held on plan,
just enough against moving and turning.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats, Frame, Member
from rafterstay.statics.beam_loads import on_nodes
from rafterstay.statics.beams import line_load
from rafterstay.statics.condense import Skeleton, condense, skeleton
from rafterstay.statics.freedoms import Freedoms
from rafterstay.statics.network import GRAVITY, Network, Web, hung_on
from rafterstay.statics.problem import Problem

__all__ = ["BEAMS", "Model", "build", "problem"]

BEAMS = 8  # in each hip
BOLT = 3  # the tie bolt sits at this joint of the eight
FOOT = 0.3048


@dataclass(frozen=True)
class Model:
    """Frame, ropes and the loads of a batch of states.

    Attributes:
        frame: Its nodes run hip by hip from foot to head.
        held: Node and direction of everything that is held, 0 to 2 moves, 3 to 5 turns.
        links: Ropes, turnbuckles and ring.
        downward: On every beam, even along it. [N/m] (n_states, n_members)
    """

    frame: Frame
    held: list[tuple[int, int]]
    links: Network
    downward: Floats


def build(n: int = 10, states: int = 200) -> Model:
    """The model with ``n`` legs and snow that differs from face to face and state to state."""
    turn = 2 * pi * np.arange(n) / n
    radius = 14 * FOOT
    outward = np.stack([np.sin(turn), np.cos(turn), 0 * turn], axis=1)
    feet = radius * outward
    heads = 0.1 * radius * outward + [0, 0, 0.55 * radius]
    share = np.linspace(0, 1, BEAMS + 1)
    nodes = feet[:, None] + share[:, None] * (heads - feet)[:, None]
    index = np.arange(n * (BEAMS + 1)).reshape(n, BEAMS + 1)
    members = []
    for k in range(n):
        along = heads[k] - feet[k]
        up = np.cross(np.cross(along, [0, 0, 1.0]), along)
        up /= np.linalg.norm(up)
        members += [
            _beam(f"hip {k + 1}", index[k, j], index[k, j + 1], tuple(up)) for j in range(BEAMS)
        ]
    for name, end in (("plate", 0), ("hub ring", BEAMS)):
        following = np.roll(index[:, end], -1)
        members += [
            _beam(f"{name} {k + 1}", index[k, end], following[k], (0.0, 0.0, 1.0)) for k in range(n)
        ]
    flat = nodes.reshape(-1, 3)
    frame = _frame(flat, members, index, outward)
    held = [(int(node), 2) for node in index[:, 0]]
    held += [(int(index[0, 0]), 0), (int(index[0, 0]), 1), (int(index[n // 2, 0]), 0)]
    rng = np.random.default_rng(7)
    snow = 900.0 * radius / n * (0.3 + 1.7 * rng.random((states, n)))
    downward = np.zeros((states, len(members)))
    taper = 1.0 - 0.9 * (share[:-1] + share[1:]) / 2
    downward[:, : n * BEAMS] = (snow[:, :, None] * taper).reshape(states, -1)
    return Model(frame, held, _links(flat[index[:, BOLT]], n), downward)


def _beam(name: str, start: int, end: int, up: tuple[float, float, float]) -> Member:
    width, depth = 0.076, 0.235
    return Member(
        name=name,
        start=int(start),
        end=int(end),
        up=up,
        e=11e9,
        g=0.7e9,
        area=width * depth,
        strong=width * depth**3 / 12,
        weak=depth * width**3 / 12,
        torsion=2.7e-5,
    )


def _frame(nodes: Floats, members: list[Member], index: NDArray[np.intp], outward: Floats) -> Frame:
    n = len(index)
    nothing = np.zeros((n, 2, 4, 2))
    return Frame(
        n=n,
        nodes=nodes,
        names=tuple(f"node {k}" for k in range(len(nodes))),
        members=tuple(members),
        feet=index[:, 0],
        bolts=index[:, BOLT],
        heads=index[:, BEAMS],
        hub="ring",
        hub_node=-1,
        heads_bear=True,
        outward=outward,
        sideways=np.stack([-outward[:, 1], outward[:, 0], 0 * outward[:, 0]], axis=1),
        tributary=np.ones(n),
        wedges=nothing,
        hub_wedges=nothing[:, :, :3],
        plane_slope=np.ones(n),
        centre=np.zeros(2),
        rise=float(np.ptp(nodes[:, 2])),
        span=float(2 * np.linalg.norm(nodes[0, :2])),
        deck=False,
        geometry="designed",
    )


def _links(bolts: Floats, n: int) -> Network:
    """Legs of 1/4 in rope with turnbuckles, cut a little short, to a ring of 5/16 in rope."""
    here = np.arange(n, dtype=np.intp)
    web = Web(here, np.full(n, -1), np.stack([here, np.roll(here, -1)], axis=1), "eyes")
    eyes = bolts * [0.06, 0.06, 1.0]
    rope_ea, link_ea, ring_ea, opened = 1.46e6, 17e6, 2.2e6, 0.4
    strain = 1.0 + 600.0 / rope_ea
    piece = (np.linalg.norm(eyes - bolts, axis=1) - opened) / 2 / strain
    length = np.stack([piece, np.full(n, opened), piece], axis=1)
    side = np.linalg.norm(np.roll(eyes, -1, axis=0) - eyes, axis=1) / strain
    rope, link, ring = GRAVITY * 0.16 * piece, GRAVITY * 0.9 + 0 * piece, GRAVITY * 0.25 * side
    joint = (rope + link) / 2
    return Network(
        web=web,
        leg_length=length[None],
        leg_rate=(np.array([rope_ea, link_ea, rope_ea]) / length)[None],
        side_length=side[None],
        side_rate=(ring_ea / side)[None],
        start_weight=rope[None] / 2,
        joint_weight=np.stack([joint, joint], axis=1)[None],
        end_weight=(rope + ring + np.roll(ring, 1))[None] / 2,
        ring_weight=np.zeros(1),
        ring_at=eyes[None],
        centre=eyes.mean(axis=0)[None],
        turn_rate=np.zeros((1, 3, 3)),
    )


def bones_of(model: Model) -> Skeleton:
    """The frame, its held directions left out."""
    count = 6 * len(model.frame.nodes)
    held = {6 * node + way for node, way in model.held}
    free = np.eye(count)[:, [k for k in range(count) if k not in held]]
    nodes = free.reshape(len(model.frame.nodes), 6, -1)
    feet = nodes[model.frame.feet, :3]
    return skeleton(
        model.frame,
        Freedoms(
            nodes=nodes,
            outward=np.einsum("ni,nij->nj", model.frame.outward, feet),
            hub=nodes[model.frame.heads, 2].mean(axis=0),
        ),
    )


def problem(model: Model, bones: Skeleton) -> Problem:
    """Condense the frame and lay the loads of every state."""
    frame, beams = model.frame, bones.beams
    down = np.array([0.0, 0.0, -1.0])
    even = np.repeat(model.downward[:, :, None], 2, axis=2)
    ends, work = line_load(beams, frame.nodes, even[..., None] * down)
    forces = on_nodes(bones, ends)
    forces[:, bones.attach, 2] -= hung_on(model.links, len(bones.attach))
    still = np.zeros((1, len(frame.nodes), 6))
    condensed = condense(bones, still, forces=forces, work=work, wall_stiffness=0.0)
    weight = np.ones(len(forces))
    return Problem(bones, condensed, model.links, weight, frame.nodes[None, bones.attach])
