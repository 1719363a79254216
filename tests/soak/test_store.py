"""The job folder under fire for as long as it takes. Seeded: round k is always the same."""

from __future__ import annotations

import os
import random
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from rafterstay.store import create_folder
from tests.soak.progress import Progress
from tests.store.disks import can_mount, small_disk
from tests.store.hammer import FIRST, Tally, kill_child, kill_once
from tests.store.rivals import sixteen_writers

pytestmark = pytest.mark.soak

IN_A_FOLDER = 25  # kills before a new folder is begun
MOUNTS = can_mount()


def say(capsys: pytest.CaptureFixture[str], text: str) -> None:
    with capsys.disabled():
        sys.stdout.write(f"\n{text}\n")


def test_a_thousand_kills(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress("store-kills")
    while progress.done < 40:
        folder, tally = tmp_path / f"barn-{progress.done}", Tally()
        create_folder(folder, FIRST).close()
        for number in range(IN_A_FOLDER):
            kill_once(folder, 1_000_000 + progress.done * IN_A_FOLDER + number, tally)
        progress.add(tally.counts)
    counts = progress.counts
    say(capsys, progress.finish())
    assert counts["kills"] == 1000
    assert counts["save"] > 1000
    assert counts["press_log"] + counts["tension_readings"] > 1000
    assert counts["SR-070"] + counts["SR-071"] > 0, "no kill fell between record and outcome"


@contextmanager
def scarce(place: Path) -> Iterator[tuple[Path, tuple[str, ...]]]:
    """Where to put a job so that its disk fills up, and how the child is to be started."""
    if MOUNTS:
        with small_disk(place, "2m"):
            yield place, ("full",)
    else:
        place.mkdir()
        yield place, ("full", "600000")


def test_two_hundred_kills_on_a_full_disk(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    progress = Progress("store-full-disk")
    while progress.done < 40:
        rng = random.Random(f"ballast {progress.done}")
        tally = Tally()
        with scarce(tmp_path / f"disk-{progress.done}") as (disk, mode):
            create_folder(disk / "barn", FIRST).close()
            for number in range(5):
                ballast = disk / "ballast"
                state = os.statvfs(disk)
                free = min(state.f_bavail * state.f_bsize, 2_000_000)
                ballast.write_bytes(b"\0" * max(0, free - rng.randint(0, 250_000)))
                kill_child(disk / "barn", 2_000_000 + progress.done * 5 + number, tally, *mode)
                ballast.unlink()
                tally.verify(disk / "barn")
        progress.add(tally.counts)
    counts = progress.counts
    say(capsys, progress.finish())
    assert counts["kills"] == 200
    refused = {name for name in counts if name.startswith("refused")}
    assert (
        refused == {"refused SR-010"}
        if MOUNTS
        else refused
        <= {
            "refused SR-010",
            "refused SR-013",
        }
    )


def test_sixteen_writers_for_a_minute(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress("store-sixteen-writers")
    create_folder(tmp_path / "barn", FIRST).close()
    tally = sixteen_writers(tmp_path / "barn", seconds=60.0)
    progress.add(Counter(tally))
    say(capsys, progress.finish())
    assert tally["save"] > 100
    assert tally["conflict"] > 0
