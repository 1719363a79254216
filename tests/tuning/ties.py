"""Ties to tune: the pinned reading room with any ring, and legs on bolts that hardly give."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from rafterstay import loads, roof, tie
from rafterstay.roof.frame import Floats
from rafterstay.statics.condense import Condensed, skeleton
from rafterstay.statics.network import without_weight
from rafterstay.statics.nouns import State
from rafterstay.statics.setting import set_legs
from rafterstay.tuning import Goal, Model, Prior, Reading
from rafterstay.tuning.seen import seen
from tests.statics.roofs import stated

LB = 4.4482216152605  # [N]
INCH = 0.0254  # [m]
RINGS = ["rope-seized", "rope-sliding", "welded", "point"]


@cache
def model(
    ring: str = "rope-seized", *, n: int = 8, walls: float = 0.0, target: float = 934.0
) -> Model:
    """The reading room with another ring, its legs set to a pull under what its weight makes."""
    job = stated("reading-room", roof__sides=n)
    frame = roof.lay_out(job)
    rigged = replace(tie.rig(job, frame), ring=ring, target=target)
    if ring == "point":
        centre = rigged.ring_points.mean(axis=0)
        lengths = np.linalg.norm(rigged.bolt_points - centre, axis=1)
        rigged = replace(rigged, ring_points=np.tile(centre, (n, 1)), leg_lengths=lengths)
    elif ring == "welded":
        rigged = replace(rigged, ring_mass=1.5)
    case = loads.gather(job, frame).setting
    legs = set_legs(
        skeleton(frame),
        rigged,
        case,
        state=State(case, wall_stiffness=walls),
        leg_extra=None,
        walls_help=walls > 0,
    )
    bones = skeleton(frame, propped=True)
    return Model(bones, rigged, legs.links, case, walls, job.loads.set_temperature)


class FirmModel(Model):
    """The same on a frame ten thousand times as stiff: bolts as good as fixed."""

    def _condensed(self, help_: float, warmth: float) -> Condensed:
        frame = super()._condensed(help_, warmth)
        return replace(frame, stiffness=1e4 * frame.stiffness)


def on_fixed_bolts(ring: str, *, radius: float, leg: float) -> FirmModel:
    """Eight weightless legs, k 3720 lb/in, 2/13 in a turn, 210 lb in each, on a rigid frame."""
    base = model("point" if ring == "point" else ring, walls=3e5)
    n, rate, pull = 8, 3720 * LB / INCH, 210 * LB
    azimuth = 2 * np.pi * np.arange(n) / n
    way = np.column_stack([np.sin(azimuth), np.cos(azimuth), 0 * azimuth])
    centre = np.array([0.0, 0.0, 1.0])
    eyes, bolts = centre + radius * way, centre + (radius + leg) * way
    unstretched = leg - pull / rate
    length = np.tile(unstretched * np.array([0.45, 0.1, 0.45]), (n, 1))[None]
    links = replace(
        without_weight(base.links),
        ring_at=eyes[None],
        centre=centre[None],
        leg_length=length,
        leg_rate=rate * unstretched / length,
    )
    if len(links.web.sides):
        # Sides as good as inextensible beside the legs.
        firm, chord = 300 * rate, 2 * radius * np.sin(np.pi / n)
        ring_pull = pull / (2 * np.sin(np.pi / n))
        side = np.full((1, n), chord - ring_pull / firm)
        rate_of = np.full((1, n), firm)
        if links.web.sliding:
            # One rope, as long as all sides and as much softer.
            side, rate_of = side.sum(axis=1, keepdims=True), rate_of[:, :1] / n
        links = replace(links, side_length=side, side_rate=rate_of)
    # Bolts stand where the legs of the example start, whatever the hips' own places.
    nodes = base.bones.frame.nodes.copy()
    nodes[base.bones.attach] = bolts
    bones = replace(base.bones, frame=replace(base.bones.frame, nodes=nodes))
    screw = replace(base.tie.turnbuckle, threads_per_metre=13 / INCH)
    rigged = replace(
        base.tie,
        ring_points=eyes,
        bolt_points=bolts,
        ring_radius=radius,
        leg_lengths=np.full(n, leg),
        target=pull,
        turnbuckle=screw,
    )
    none = replace(base.case, hip_load=0 * base.case.hip_load, head_load=0 * base.case.head_load)
    still = replace(none, hip_push=0 * none.hip_push, dead_factor=0.0)
    return FirmModel(bones, rigged, links, still, 1e9, base.set_temperature)


def off(tie_model: Model, *, seed: int, legs: float, sides: float = 1e-3) -> Floats:
    """Causes at random: legs and sides off by so much, EA and frame by a fifth and a third."""
    lay, random = tie_model.layout, np.random.default_rng(seed)
    causes = np.zeros(lay.size)
    causes[: lay.n] = legs * random.standard_normal(lay.n)
    causes[lay.n : lay.rope] = sides * random.standard_normal(lay.sides)
    causes[lay.rope], causes[lay.frame] = 0.18, -0.35
    return causes


def prior(n: int, leg: float = 0.006, **more: float) -> Prior:
    """Legs right to a quarter inch."""
    return Prior(np.zeros(n), np.full(n, leg), 0.03, **more)


def goal(n: int, pull: float = 934.0, **more: float) -> Goal:
    """Ten per cent, a quarter inch, a turnbuckle's load."""
    limits = {"share": 0.1, "shift": INCH / 4, "level": INCH / 4, "most": 9000.0} | more
    return Goal(pull=pull, standing=np.zeros(n), leaning=INCH / 16, **limits)


def taken(tie_model: Model, causes: Floats, *, seed: int, pull: float = 0.04) -> list[Reading]:
    """Pulls, two offsets, levels and, of a rope ring, sides across it, each with its ±."""
    random, stand, n = np.random.default_rng(seed), tie_model.stand(causes), tie_model.tie.n
    asked = [Reading("pull", k, 0.0, pull * float(stand.pull[k - 1])) for k in range(1, n + 1)]
    asked += [Reading("offset", k, 0.0, INCH / 16) for k in (1, 1 + n // 4)]
    asked += [Reading("level", k, 0.0, INCH / 16) for k in range(1, n + 1)]
    if tie_model.layout.sides:
        asked += [Reading("side", k, 0.0, INCH / 16, (k + 1) % n + 1) for k in range(1, n + 1)]
    return [
        replace(
            one,
            value=seen(tie_model, stand, one)[0] + one.sigma * float(random.standard_normal()),
        )
        for one in asked
    ]
