"""Sixteen programs that count up in one job, and the proof that each count was kept."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from rafterstay.store import open_folder
from tests.store.hammer import Tally, start

WRITERS = 16


def sixteen_writers(folder: Path, *, seconds: float) -> Counter[str]:
    """Let them write, then see that every acknowledged step built on the one before it.

    Args:
        folder: A job whose text counts from 0.
        seconds: How long they write. [s]

    Returns:
        How many saves, log entries and refusals were told.
    """
    children = [start("count", folder, seed, str(seconds)) for seed in range(WRITERS)]
    tally = Tally()
    saves = []
    for child in children:
        said, errors = child.communicate(timeout=60 + 5 * seconds)
        assert child.returncode == 0, errors
        tally.take(said.splitlines())
        saves.append(said.count("save "))
    tally.verify(folder)
    with open_folder(folder) as job:
        counted = int(job.read().text.partition("count = ")[2])
        placed = [found for found in reversed(job.revisions()) if found.outcome == "placed"]
        assert counted == tally.counts["save"], "an acknowledged count was lost"
        assert len(placed) == counted + 1
        for number, found in enumerate(placed[1:], 1):
            assert found.note == str(number)
            assert found.parent == placed[number - 1].id
            assert b"count = %d\n" % number in job.body_of(found.id)
    assert min(saves) > 0 or seconds < 30.0, "a writer never had its turn"
    return tally.counts
