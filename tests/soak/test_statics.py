"""Random roofs and ties by the hundred thousand. Seeded: round k is always the same jobs."""

from __future__ import annotations

import math
import os
import sys
import tomllib
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
import tomlkit

from rafterstay import job, loads, roof, statics, tie
from rafterstay.core.errors import InputError, InternalError, Mechanism, NotConverged
from rafterstay.job.examples import example
from rafterstay.loads import Cases
from rafterstay.roof import Frame
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.beams import deform_map
from rafterstay.statics.condense import Skeleton, condense, skeleton
from rafterstay.statics.network import hung_on
from rafterstay.statics.newton import Rest
from rafterstay.statics.problem import Problem
from rafterstay.statics.sense import FARTHEST
from rafterstay.statics.tangent import tangent
from rafterstay.statics.turning import come_to_rest
from rafterstay.tie import Tie
from tests.soak.progress import Progress
from tests.statics.states import problem_of

pytestmark = pytest.mark.soak

JOBS, IN_A_ROUND = 100_000, 100
Ring = Literal["rope-seized", "rope-sliding", "welded", "point"]
RINGS: tuple[Ring, ...] = ("rope-seized", "rope-seized", "rope-sliding", "welded", "point")
PLIES = ("2x6", "2x8", "2x10", "2x12")
ROPES = ("3/16", "1/4", "5/16", "3/8")
PASSES = 150  # a roof that just has no place of rest lingers before it falls: the solver's own
FROM = 2  # passes before the shape is in balance as it stands
SETTLED = 6  # passes after which an answered roof moves by parts in a million
LOOKED_AT = 50  # of so many answers one is looked at in the same way
GONE = 1 / 4  # of the span: past this a pass says nothing of the roof as it stood


def stated(rng: np.random.Generator) -> tuple[Frame, Tie, Cases]:
    """A roof, a tie and its cases; the hips grow with the roof as a builder's would."""
    radius = rng.uniform(6, 18)
    hub = ("point", "disc", "ring")[int(rng.integers(3))]
    size = 0 if radius < 9 else 1 if radius < 12 else 2 if radius < 15 else 3
    rope = ROPES[int(rng.integers(4))]
    keys: dict[str, str | int] = {
        "roof.sides": int(rng.integers(3, 25)),
        "roof.plate_radius": f"{radius:.2f} ft",
        "roof.rise": f"{radius * rng.uniform(0.2, 1.1):.2f} ft",
        "roof.hub": hub,
        "roof.hub_radius": "0 in" if hub == "point" else f"{rng.uniform(6, 20):.1f} in",
        "roof.bracing": ("deck", "none")[int(rng.integers(6) == 0)],
        "tie.height": f"{max(0.0, rng.uniform(-0.15, 0.5)):.3f}",
        "tie.ring_radius": f"{rng.uniform(5, 14):.1f} in",
        "loads.snow.roof": f"{rng.uniform(5, 50):.1f} psf",
        "loads.dead": f"{rng.uniform(3, 20):.1f} psf",
        "rafter.ply": PLIES[min(size + int(rng.integers(2)), 3)],
        "parts.rope": f"7x19 galvanized {rope} in",
        "parts.ring_rope": f"7x19 galvanized {rope} in",
    }
    if hub == "ring":
        # Without a deck nothing keeps a hub ring from turning: tests/statics/test_stability.py.
        keys |= {"roof.hub_width": "4 in", "roof.hub_depth": "9 in", "roof.bracing": "deck"}
        # Its beams leave an opening.
        least = 4.5 / math.cos(math.pi / int(keys["roof.sides"]))
        keys["roof.hub_radius"] = f"{max(least, float(str(keys['roof.hub_radius'])[:-3])):.1f} in"
    made = job.loads(_written(keys))
    frame = roof.lay_out(made)
    ring: Ring = RINGS[int(rng.integers(5))]
    rig = replace(tie.rig(made, frame), ring=ring, ring_mass=float(rng.uniform(0, 6)))
    if ring == "point":
        centre = rig.ring_points.mean(axis=0)
        lengths = np.linalg.norm(rig.bolt_points - centre, axis=1)
        rig = replace(rig, ring_points=np.tile(centre, (rig.n, 1)), leg_lengths=lengths)
    every = loads.gather(made, frame)
    chosen = rng.choice(len(every.cases), size=min(4, len(every.cases)), replace=False)
    return frame, rig, replace(every, cases=tuple(every.cases[k] for k in chosen))


def _written(keys: dict[str, str | int]) -> str:
    """The octagon's text with other values, written once: a key at a time takes longer."""
    tables = tomllib.loads(example("octagon"))
    for key, value in keys.items():
        table, _, name = key.rpartition(".")
        head, _, inner = table.partition(".")
        place = tables.setdefault(head, {})
        (place.setdefault(inner, {}) if inner else place)[name] = value
    return tomlkit.dumps(tables)


def why_refused(frame: Frame, rig: Tie, cases: Cases) -> str:
    """What a singular value of the stiffness says: that a direction resists nothing, or not.

    A roof may come to rest all the same, but so far from its drawing that its bolts are past
    the limit of docs/theory/sense.md: that is told apart.

    First of the frame with bolts held. Then of frame and links as they stand at the end of
    each pass of second order, where compression in the hips counts against them: the frame's
    stiffness there is taken from differences of what is out of balance, not from the solver's
    own tangent. A least value of nil or less is what the refusal claims.
    """
    bones = skeleton(frame)
    if _inner_is_loose(bones):
        return "confirmed"
    return _passes(bones, rig, cases, PASSES)


def _passes(bones: Skeleton, rig: Tie, cases: Cases, most: int) -> str:
    """What the least eigenvalues say, pass by pass of second order."""
    frame = bones.frame
    problem, pose = problem_of(frame, rig, cases)
    loads_and_work = loads_on(bones, list(cases.cases))
    loads_and_work[0][:, bones.attach, 2] -= hung_on(problem.links, len(bones.attach))
    movement, fell = np.zeros((1, len(frame.nodes), 6)), False
    for turn in range(most):
        problem, rest = come_to_rest(problem, pose, ["soak"] * len(cases.cases))
        step = problem.frame.all_movements(bones, rest.pose.kept)
        movement = movement + np.einsum("nkq,bq->bnk", bones.free.nodes, step)
        if not np.isfinite(movement).all() or rest.endless.any():
            return "confirmed"
        gone = np.abs(movement[..., :3]).max() > GONE * frame.span
        low = any(
            _least(bones, problem, rest, movement, loads_and_work, row) <= 0
            for row in range(len(cases.cases))
        )
        fell = fell or low
        # What first order comes to is in balance as drawn and not yet as it stands: it counts
        # only where the passes then run away.
        if (gone and fell) or (low and turn >= FROM):
            return "confirmed"
        if gone:
            return "not confirmed"
        frame_now = condense(
            bones,
            movement,
            forces=loads_and_work[0],
            work=loads_and_work[1],
            wall_stiffness=0.0,
        )
        points = frame.nodes[bones.attach] + movement[:, bones.attach, :3]
        problem = replace(problem, frame=frame_now, points=points)
        pose = replace(rest.pose, kept=0 * rest.pose.kept)
    far = np.linalg.norm(movement[:, bones.attach, :3], axis=-1).max()
    return "at rest too far" if far > FARTHEST * frame.span else "not confirmed"


def _inner_is_loose(bones: Skeleton) -> bool:
    beams, nodes = bones.beams, bones.free.nodes
    ends = np.concatenate([nodes[beams.ends[:, 0]], nodes[beams.ends[:, 1]]], axis=1)
    bent = deform_map(beams, bones.frame.nodes) @ ends
    flat = bent.reshape(-1, bent.shape[-1])
    stiffness = flat.T @ (beams.stiffness @ bent).reshape(flat.shape)
    inner = np.setdiff1d(np.arange(len(stiffness)), bones.kept)
    values = np.linalg.svd(stiffness[np.ix_(inner, inner)], compute_uv=False)
    return bool(len(values) and values[-1] < 1e-9 * values[0])


def _least(
    bones: Skeleton,
    problem: Problem,
    rest: Rest,
    movement: np.ndarray,
    loads_and_work: tuple[np.ndarray, np.ndarray],
    row: int,
) -> float:
    """Least eigenvalue of frame, by differences, and links in one state. [N/m]"""
    n_kept, size = len(bones.kept), 1e-6
    ways = problem.frame.only(np.array([row])).unloaded().all_movements(bones, np.eye(n_kept))
    moved = movement[row] + size * np.einsum("nkq,bq->bnk", bones.free.nodes, ways)
    moved = np.concatenate([movement[row][None], moved])
    many = np.full(n_kept + 1, row)
    push = condense(
        bones,
        moved,
        forces=loads_and_work[0][many],
        work=loads_and_work[1][many],
        wall_stiffness=0.0,
    ).push
    firm = -(push[1:] - push[0]).T / size
    one = problem.only(np.array([row]))
    here = np.array([row])
    held = rest.pulls.rows(here)
    stiff = tangent(one, held, pose=rest.pose.rows(here), damping=np.zeros(1))
    reduced = stiff.reduced[0].copy()
    frame_stiffness = one.frame.stiffness[0]
    reduced[:n_kept, :n_kept] += (firm + firm.T) / 2 - frame_stiffness
    slack_eyes = np.abs(reduced).max(axis=1) < 1e-6 * problem.firm
    reduced[slack_eyes, slack_eyes] += problem.firm
    return float(np.linalg.eigvalsh(reduced)[0])


def one(seed: int) -> Counter[str]:
    """Counts of one job."""
    rng = np.random.default_rng(seed)
    try:
        frame, rig, cases = stated(rng)
    except InputError:
        return Counter({"jobs": 1, "legs too short for their turnbuckles": 1})
    try:
        forces = statics.solve(frame, rig, cases)
    except Mechanism as found:
        code = found.findings[0].code
        why = why_refused(frame, rig, cases)
        said = f"{why}, seed {seed}" if why == "not confirmed" else why
        return Counter({"jobs": 1, "Mechanism": 1, f"{code} {said}": 1})
    except (NotConverged, InternalError) as found:
        return Counter({"jobs": 1, found.findings[0].code: 1, f"seed {seed}": 1})
    looked: Counter[str] = Counter()
    if seed % LOOKED_AT == 0:
        why = _passes(skeleton(frame), rig, cases, SETTLED)
        looked[f"answered, {why}, seed {seed}" if why == "confirmed" else "answered, stable"] += 1
    share = forces.force_error / np.maximum(forces.leg_pull.max(axis=1), 1.0)
    decade = math.floor(math.log10(max(float(share.max()), 1e-16)))
    bound = f"bound under 1e{decade + 1}"
    return looked + Counter({"jobs": 1, "states": len(cases.cases), bound: 1})


def a_round(number: int) -> Counter[str]:
    """Counts of one round of jobs."""
    counts: Counter[str] = Counter()
    for k in range(IN_A_ROUND):
        counts.update(one(7_000_000 + number * IN_A_ROUND + k))
    return counts


def test_a_hundred_thousand_jobs(capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress("statics-jobs")
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for counts in pool.map(a_round, range(progress.done, JOBS // IN_A_ROUND)):
            progress.add(counts)
    counts = progress.counts
    with capsys.disabled():
        sys.stdout.write(f"\n{progress.finish()}\n")
    assert counts["jobs"] == JOBS
    assert not [name for name in counts if "seed" in name]
    assert counts["Mechanism"] <= 0.05 * JOBS
