"""Statics beside general finite-element libraries and bare LAPACK, ratios in one run."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from benchmarks import kratos, opensees
from benchmarks.model import Model, bones_of, build, problem
from rafterstay import loads, roof, tie
from rafterstay.job import loads as loads_job
from rafterstay.job import set_value
from rafterstay.job.examples import example
from rafterstay.roof.frame import Floats
from rafterstay.statics import solve
from rafterstay.statics.bound import force_error
from rafterstay.statics.network import start_pose
from rafterstay.statics.newton import Rest, settle
from rafterstay.statics.problem import Problem

STATES = 200
COMPARED = 8  # states given to the other library, and runs of ours: the least is told of either


def least(task: Callable[[], object], times: int) -> float:
    """The shortest processor time of some runs. [s]"""
    spent = []
    for _ in range(times):
        begun = time.process_time()
        task()
        spent.append(time.process_time() - begun)
    return min(spent)


def solved(model: Model) -> tuple[Problem, Rest]:
    """From the loads to every pull, the frame laid out already."""
    bones = bones_of(model)
    stated = problem(model, bones)
    start = start_pose(bones, stated.links, stated.points, len(model.downward))
    return stated, settle(stated, start)


def pulls_of(rest: Rest) -> Floats:
    """All link pulls, legs then sides. [N] (n_states, n_links)"""
    legs = rest.pulls.leg_pull.reshape(len(rest.steps), -1)
    return np.concatenate([legs, rest.pulls.side_pull], axis=1)


def batch_time(model: Model) -> tuple[float, int]:
    """A state of a batch, loads condensed and brought to rest [s]; size of its reduced system."""
    bones = bones_of(model)

    def task() -> None:
        # A copy has forgotten what an earlier load made it keep.
        fresh = replace(bones)
        stated = problem(model, fresh)
        settle(stated, start_pose(fresh, stated.links, stated.points, len(model.downward)))

    size = len(bones.kept) + model.links.web.n_ring
    return least(task, COMPARED) / len(model.downward), size


def whole_time(sides: int) -> float:
    """A state of a job, from loads to proved and stable: second order and all questions. [s]"""
    text = set_value(example("octagon"), "roof.sides", sides)
    job = loads_job(set_value(text, "tie.ring_radius", f"{max(6.0, sides / 2):.0f} in"))
    frame = roof.lay_out(job)
    rig, cases = tie.rig(job, frame), loads.gather(job, frame)
    return least(lambda: solve(frame, rig, cases), 3) / len(solve(frame, rig, cases).states)


def lapack_time(size: int) -> float:
    """One solve of a dense system of this size, in a batch. [s]"""
    rng = np.random.default_rng(1)
    matrices = rng.standard_normal((STATES, size, size)) + size * np.eye(size)
    right = rng.standard_normal((STATES, size, 1))
    return least(lambda: np.linalg.solve(matrices, right), 5) / STATES


Analysis = Callable[[int], tuple[float, Floats]]


def rivals(model: Model) -> dict[str, Analysis]:
    """Every other library that is here, with every solver of it that solves this."""
    found: dict[str, Analysis] = {}
    for name, library in opensees.available().items():
        for system in opensees.SYSTEMS:
            found[f"{name}, {system}"] = partial(opensees.analyse, library, model, system)
    ready = kratos.available()
    if ready is not None:
        for solver in kratos.SOLVERS:
            found[f"{kratos.name()}, {solver}"] = partial(kratos.analyse, ready, model, solver)
    return found


def others(model: Model, ours: Floats) -> list[tuple[str, float, float]]:
    """Name, time of one analysis [s] and largest difference of any pull, of every solver."""
    found = []
    for name, analysis in rivals(model).items():
        spent, off = [], 0.0
        for state in range(COMPARED):
            try:
                seconds, pulls = analysis(state)
            except RuntimeError:
                spent.append(np.nan)
                continue
            spent.append(seconds)
            off = max(off, float(np.abs(pulls - ours[state]).max() / ours[state].max()))
        found.append((name, min(spent), off))
    return found


def main() -> None:
    model = build(10, STATES)
    stated, rest = solved(model)
    bound = force_error(stated, rest.pose, rest.pulls)
    ours = pulls_of(rest)
    each, size = batch_time(model)
    one = build(10, 1)
    first, _ = batch_time(one)
    laid, _ = least(lambda: bones_of(one), 3), 0
    plain = lapack_time(size)
    small, _ = batch_time(build(8, STATES))
    large, _ = batch_time(build(64, STATES))
    # What a Newton solve of every state by itself would factorise.
    steps = 6.0
    print(f"ten legs, {size} reduced unknowns, largest pull {ours.max():.0f} N,")
    print(f"  proved to {bound.max() / ours.max():.1e} of it; processor times, least of some runs")
    print(f"| one of {STATES} states in a batch | {each * 1e6:.0f} us |")
    print(f"| a single state, condensing included | {first * 1e3:.2f} ms |")
    print(f"| laying out the model's movements, once a roof | {laid * 1e3:.1f} ms |")
    print(f"| bare LAPACK, one solve of {size} unknowns | {plain * 1e6:.0f} us |")
    print(f"| a state / (LAPACK x {steps:.0f} Newton steps) | {each / plain / steps:.2f} |")
    print(f"| 64 legs / 8 legs, a state in a batch | {large / small:.1f} |")
    few, ten, many = (whole_time(sides) for sides in (8, 10, 64))
    print(f"| a state of a job, second order and every question, ten legs | {ten * 1e3:.2f} ms |")
    print(f"| 64 legs / 8 legs, the same | {many / few:.0f} |")
    if not opensees.available():
        print("OpenSees is not here: pip install openseespy; apt-get install libblas3 liblapack3")
    for name, seconds, off in others(model, ours):
        if np.isnan(seconds):
            print(f"| {name} | finds no rest |")
            continue
        print(
            f"| {name} | {seconds * 1e3:.2f} ms | batch 1/{seconds / each:.0f} |"
            f" single 1/{seconds / first:.1f} | pulls differ by {off:.1e} |"
        )


if __name__ == "__main__":
    main()
