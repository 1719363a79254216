"""How long does advice take? Twelve legs, every kind of ring, processor time."""

from __future__ import annotations

import time

from rafterstay.tuning import advise
from tests.tuning.ties import RINGS, goal, model, off, prior, taken

LEGS, SEEDS = 12, 5


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


if __name__ == "__main__":
    main()
