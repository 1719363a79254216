"""A surveyed roof, no leg like another and all aslope: by the cone programme, and hip by hip."""

from __future__ import annotations

import tomllib
from dataclasses import replace

import numpy as np
import pytest

from rafterstay import job as jobs
from rafterstay import roof, statics, tie
from rafterstay.core.sources import Source
from rafterstay.loads import Cases
from rafterstay.loads.nouns import Case
from rafterstay.roof import Frame
from rafterstay.statics import Forces
from rafterstay.tie import Tie
from tests.roof.test_as_built import _surveyed
from tests.statics.roofs import Value, text_of

from . import conic
from .model import Floats, Loads, Model, _deck, _feet, _hip, _hub, _ropes, build, height, si

SIDES = 7
# How far each foot stands from where it is drawn: outward, clockwise along the wall, up. [m]
MOVED = np.array(
    [
        [0.031, 0.011, 0.021],
        [-0.012, -0.024, -0.034],
        [0.004, 0.017, 0.008],
        [0.043, -0.006, 0.016],
        [-0.026, 0.029, -0.019],
        [0.000, -0.013, 0.027],
        [0.018, -0.020, -0.019],
    ]
)
HIP = np.array(  # downward at foot and head of each hip, along its axis [N/m]
    [
        [2310.0, 190.0],
        [1870.0, 240.0],
        [1420.0, 155.0],
        [1260.0, 210.0],
        [1385.0, 175.0],
        [1690.0, 205.0],
        [2150.0, 230.0],
    ]
)
HEAD = np.array([61.0, 43.0, 55.0, 72.0, 38.0, 49.0, 66.0])  # [N]
BY_HAND = Source("a load of our own", "", "", "own", 100)
POINT: dict[str, Value] = {
    "roof__hub": "point",
    "roof__hub_radius": "0 in",
    "roof__heads": "pinned",
}
WALLS: dict[str, Value] = {
    "support__walls": "stiff",
    "support__wall_stiffness": ["1 kip/in", "4 kip/in"],
}
# A head stands hub_radius from the hub: round a disc feet keep their bearing, or the referee's
# disc, whose centre is the mean of its heads, is another one.
ROOFS: dict[str, tuple[dict[str, Value], bool]] = {
    "tied at the plate": ({"tie__height": "0", **POINT}, True),
    "tied high": ({"tie__height": "0.3", **POINT}, True),
    "without a deck": ({"tie__height": "0.4", "roof__bracing": "none", **POINT}, True),
    "round a disc": ({"tie__height": "0.3"}, False),
    "walls that help": ({"tie__height": "0.15", **POINT, **WALLS}, True),
}


def text_with(changes: dict[str, Value]) -> str:
    """The pinned reading room with seven sides and some keys changed."""
    text = text_of("reading-room")
    for key, value in {"roof__sides": SIDES, **changes}.items():
        text = jobs.set_value(text, key.replace("__", "."), value)
    return text


def moves(share: float, *, sideways: bool) -> Floats:
    """How far feet, or bolts a share of the way up, stand from the drawing. [m] (n, 3)"""
    azimuth = 2 * np.pi * np.arange(SIDES) / SIDES
    out = np.column_stack([np.sin(azimuth), np.cos(azimuth), 0 * azimuth])
    along = np.column_stack([np.cos(azimuth), -np.sin(azimuth), 0 * azimuth])
    moved = MOVED * [1.0, float(sideways), 1.0]
    shift = moved[:, :1] * out + moved[:, 1:2] * along + moved[:, 2:] * [0.0, 0.0, 1.0]
    return np.asarray((1.0 - share) * shift)


def as_it_stands(
    changes: dict[str, Value], *, sideways: bool, part: float = 1.0
) -> tuple[Frame, Tie, Forces]:
    """The tool on the readings of a faultless tape; the ring is hung under the hub."""
    read = jobs.loads(text_with(changes))
    share = read.tie_height / read.roof.rise
    shape = {f"{k + 1}": tuple(at) for k, at in enumerate(moves(0.0, sideways=sideways))}
    if share:
        bolts = moves(share, sideways=sideways)
        shape |= {f"t{k + 1}": tuple(at) for k, at in enumerate(bolts)}
    frame = roof.stand(read, _surveyed(read, shape))
    middle = np.array([*frame.centre, frame.nodes[frame.bolts, 2].mean()])
    frame = replace(frame, ring_centre=middle)
    rigged = tie.rig(read, frame)
    case = Case("D+S", "by hand", None, 1.15, 1.0, part * HIP, part * HEAD, BY_HAND)
    nothing = replace(case, hip_load=0.0 * HIP, head_load=0.0 * HEAD)
    cases = Cases((case,), nothing, simplified_snow=False)
    return frame, rigged, statics.solve(frame, rigged, cases, walls=read.support.wall_stiffness)


def rebuilt(changes: dict[str, Value], *, sideways: bool, wall: float, ropes: float) -> Model:
    """The referee's roof with feet, hips and ropes put where the survey found them."""
    job = tomllib.loads(text_with(changes))
    drawn = build(job, wall=wall)
    share, points = height(job) / si(job["roof"]["rise"]), dict(drawn.points)
    feet = np.array([points[f"foot {k}"] for k in range(SIDES)])
    feet = feet + moves(0.0, sideways=sideways)
    outward = feet * [1.0, 1.0, 0.0]
    outward /= np.linalg.norm(outward, axis=1)[:, None]
    across = np.column_stack([outward[:, 1], -outward[:, 0], np.zeros(SIDES)])
    heads = si(job["roof"]["hub_radius"]) * outward + [0.0, 0.0, si(job["roof"]["rise"])]
    for k in range(SIDES):
        points[f"foot {k}"], points[f"head {k}"] = feet[k], heads[k]
        if share:
            points[f"bolt {k}"] = feet[k] + share * (heads[k] - feet[k])
    # The ring looks at the bolts as well as it can: turned by the mean of the feet's bearings.
    regular = 2 * np.pi * np.arange(SIDES) / SIDES
    off = np.angle(np.exp(1j * (np.arctan2(outward[:, 0], outward[:, 1]) - regular)).sum())
    ring = np.column_stack([np.sin(regular + off), np.cos(regular + off), 0 * regular])
    level = (1.0 - share) * MOVED[:, 2].mean()
    assert abs(level) < 1e-12  # or the eyes would hang higher than drawn
    links, weights = _ropes(job, points, ring, tightening=0.0, leg_extra=np.zeros(SIDES))
    bottles = set(range(1, 3 * SIDES, 3))
    links = tuple(
        link if i in bottles else replace(link, ea=ropes * link.ea) for i, link in enumerate(links)
    )
    holds = _feet(SIDES, across) + _deck(job, across, share)
    holds += _hub(job["roof"]["hub"], heads, across, drawn.heads_bear)
    hips = tuple(_hip(job, f"foot {k}", f"head {k}", across[k]) for k in range(SIDES))
    return replace(
        drawn,
        points=points,
        hips=hips,
        holds=tuple(holds),
        links=links,
        outward=outward,
        weights=weights,
    )


@pytest.mark.parametrize("name", ROOFS)
def test_every_leg_of_a_surveyed_roof(name: str) -> None:
    """Pulls on the frame as surveyed, and each leg's own rope, against clarabel and PyNite."""
    changes, sideways = ROOFS[name]
    _, _, forces = as_it_stands(changes, sideways=sideways)
    for i, state in enumerate(forces.states):
        model = rebuilt(
            changes, sideways=sideways, wall=state.wall_stiffness, ropes=state.rope_factor
        )
        legs = conic.solve(model, Loads(HIP, HEAD)).legs(model)
        assert np.abs(forces.first_order[i] - legs).max() < 1e-6 * legs.max(), state.variant
        cut = np.array([link.unstretched for link in model.links[: 3 * SIDES : 3]])
        assert forces.setting.leg_length == pytest.approx(2 * cut, abs=1e-7)
    assert np.ptp(forces.setting.leg_length) > 0.04


@pytest.mark.parametrize("name", ["tied at the plate", "tied high", "without a deck"])
def test_each_hip_and_the_ring_balance(name: str) -> None:
    """Moments of a hip about its head; forces on the ring. Source: statics.

    A line of load from q0 at the foot to q1 at the head, L long, is (q0 + q1) L / 2 and lies
    (q0 + 2 q1) / (q0 + q1) L / 3 from the foot. Beside the leg's pull, half of its outer rope
    hangs on the bolt. The bolts carry the ring and all else that hangs between them.
    """
    changes, sideways = ROOFS[name]
    frame, rigged, forces = as_it_stands(changes, sideways=sideways, part=0.1)
    feet, heads = frame.nodes[frame.feet], frame.nodes[frame.heads]
    bolts = frame.nodes[frame.bolts]
    hips = np.linalg.norm(heads - feet, axis=1)
    pull = forces.leg_pull[0][:, None] * forces.pull_direction[0]
    pieces = 9.80665 * rigged.rope.mass * (rigged.leg_lengths - rigged.turnbuckle_set) / 2
    load, first = HIP.sum(axis=1) * hips / 20, (HIP @ [1.0, 2.0]) * hips**2 / 60
    run = np.linalg.norm((heads - feet)[:, :2], axis=1)
    turning = forces.foot_reaction[0] * run - (load - first / hips) * run
    arm = bolts - heads
    inward = -(pull * frame.outward).sum(axis=1)
    turning += inward * arm[:, 2] + (pull[:, 2] - pieces / 2) * (arm * frame.outward).sum(axis=1)
    # Under a tenth of the load: arms of the displaced roof are longer by as little.
    assert np.abs(turning).max() < 2e-3 * (load * run).min()
    if frame.bolts[0] != frame.feet[0]:
        # At the foot nothing but its upright reaction: along the hip R Hr / L.
        along = forces.foot_reaction[0] * (heads - feet)[:, 2] / hips
        assert forces.hip_axial[0, :, 0] == pytest.approx(along, rel=3e-3)
    side = np.linalg.norm(np.roll(rigged.ring_points, -1, axis=0) - rigged.ring_points, axis=1)
    hung = 9.80665 * (rigged.ring_rope.mass * side.sum() + SIDES * rigged.turnbuckle.mass)
    hung += (1.5 * pieces).sum()
    assert np.abs(pull[:, :2].sum(axis=0)).max() < 1e-5 * forces.leg_pull[0].max()
    assert -pull[:, 2].sum() == pytest.approx(hung, rel=1e-6)
