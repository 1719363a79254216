"""How long does a survey take, beside inverting one matrix of its size?"""

from __future__ import annotations

import time
from collections.abc import Callable
from math import cos, pi, sin, sqrt

import numpy as np

from rafterstay.survey import Plan, Reading, adjust
from rafterstay.survey.plan import plan

SIDES = (8, 16, 64)
SIGMA = 0.0254 / 16  # [m]


def ring(n: int) -> dict[str, tuple[float, float, float]]:
    radius = 0.46 * n
    corner = [2 * pi * k / n for k in range(n)]
    return {str(k + 1): (radius * sin(a), radius * cos(a), 0.0) for k, a in enumerate(corner)}


def readings(n: int, planned: Plan) -> list[Reading]:
    """The plan read off a frame whose corners are 1 cm out of place. [m]"""
    generator = np.random.default_rng(n)
    truth = {k: np.array(v) + 0.01 * generator.standard_normal(3) for k, v in ring(n).items()}
    taken = []
    for r in planned.readings:
        dx, dy, dz = truth[r.end] - truth[r.start]
        value = dz if r.kind == "height" else sqrt(dx * dx + dy * dy)
        error = SIGMA * float(generator.standard_normal())
        taken.append(Reading(r.start, r.end, r.kind, float(value) + error))
    return taken


def least(task: Callable[[], object], times: int) -> float:
    """The shortest of some runs. [s]"""
    spent = []
    for _ in range(times):
        begun = time.perf_counter()
        task()
        spent.append(time.perf_counter() - begun)
    return min(spent)


def main() -> None:
    for n in SIDES:
        shape = ring(n)
        planned = plan(shape)
        taken = readings(n, planned)
        unknowns = 3 * n
        matrix = np.random.default_rng(1).standard_normal((unknowns, unknowns))
        plain = least(lambda m=matrix: np.linalg.inv(m), 9)
        by_plan = least(lambda s=shape: plan(s), 3)
        by_adjust = least(lambda t=taken, s=shape: adjust(t, s), 3)
        by_guess = least(lambda t=taken: adjust(t), 3)
        print(
            f"survey, {n} sides, {len(taken)} readings: plan {by_plan:.3f} s,"
            f" adjust {by_adjust:.3f} s = {by_adjust / plain:.0f} inversions,"
            f" without a shape {by_guess:.3f} s"
        )


if __name__ == "__main__":
    main()
