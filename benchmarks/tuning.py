"""How long do advice and ten thousand builds take? Every kind of ring."""

from __future__ import annotations

import time
from dataclasses import replace
from resource import RUSAGE_CHILDREN, RUSAGE_SELF, getrusage

import numpy as np

from rafterstay.tuning import advise, retune
from tests.tuning.ties import RINGS, goal, model, off, prior, taken

LEGS, SEEDS = 12, 5
BUILDS, OF_LEGS, PROCESSES, MEANT = 10_000, 10, 2, 5.0
LONGER, SIGMA, ACROSS = 0.010, 0.0093, 0.003  # of legs cut without a survey; of bolts [m]


def worked() -> float:
    """Processor time of this process and those it started. [s]"""
    used = (getrusage(who) for who in (RUSAGE_SELF, RUSAGE_CHILDREN))
    return sum(one.ru_utime + one.ru_stime for one in used)


def builds() -> None:
    """Ten thousand builds tuned, whole processes started for them."""
    believed = replace(prior(OF_LEGS, SIGMA), leg=np.full(OF_LEGS, LONGER))
    print(
        f"{BUILDS} builds of {OF_LEGS} legs tuned and at rest again, {PROCESSES} processes: time"
        f" (meant to be under {MEANT:.0f} s), work on processors, kept, turns"
        " of leg 1 in 50, 90 and 99 % of builds at most, worst leg off the mean in 50 and 99 % with"
        " bodies all turned alike, and after tuning"
    )
    # A rope that could slide is held by its eyes: the same as a seized one.
    for ring in ("rope-seized", "welded", "point"):
        tie = model(ring, n=OF_LEGS, walls=3e5)
        for part, said in ((None, "exact turns"), (1 / 12, "twelfths of a turn")):
            before, begun = worked(), time.perf_counter()
            found = retune(
                tie,
                believed,
                goal=goal(OF_LEGS),
                samples=BUILDS,
                seed=1,
                across=ACROSS,
                part=part,
                processes=PROCESSES,
            )
            spent, work = time.perf_counter() - begun, worked() - before
            turns = ", ".join(f"{one:.1f}" for one in found.turns_at()[:, 0])
            uneven, left = found.uneven_at((0.5, 0.99)), found.off_at((0.5, 0.99))
            print(
                f"| {ring}, {said} | {spent:.1f} s | {work:.1f} s | {found.share_kept:.1%} |"
                f" {turns} | {uneven[0]:.0%}, {uneven[1]:.0%} | {left[0]:.1%}, {left[1]:.1%} |"
            )
            assert found.settled.all()


def main() -> None:
    print(f"advice for {LEGS} legs, pulls, offsets and levels read; median and most of {SEEDS}")
    for ring in RINGS:
        tie = model(ring, n=LEGS, walls=3e5)
        spent = []
        for seed in range(SEEDS):
            causes = off(tie, seed=seed, legs=2e-3 if ring.startswith("rope") else 2e-4)
            readings = taken(tie, causes, seed=seed)
            begun = time.process_time()
            advise(tie, readings, goal=goal(LEGS), prior=prior(LEGS))
            spent.append(1e3 * (time.process_time() - begun))
        print(f"| {ring} | {sorted(spent)[SEEDS // 2]:.0f} ms | {max(spent):.0f} ms |")
    builds()


if __name__ == "__main__":
    main()
