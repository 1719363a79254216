"""A program killed at any moment loses nothing it has acknowledged."""

from __future__ import annotations

import os
import signal
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rafterstay.store import create_folder, files, open_folder, saving, schema
from rafterstay.store.checkup import check
from tests.store.disks import in_child
from tests.store.hammer import FIRST, Tally, kill_once

OLD, NEW = "rise = '7 ft'\n", "rise = '7 ft 3 in'\n"


def test_killed_at_random_moments(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    create_folder(folder, FIRST).close()
    tally = Tally()
    for seed in range(25):
        kill_once(folder, seed, tally)
    assert tally.counts["kills"] == 25
    assert tally.counts["save"] > 25
    assert tally.counts["press_log"] + tally.counts["tension_readings"] > 25


class Steps:
    """Counts what a save asks of the disk and the database, and dies before the chosen one."""

    def __init__(self, fatal: int) -> None:
        self.fatal = fatal
        self.names: list[str] = []

    def __call__(self, name: str) -> None:
        if len(self.names) == self.fatal:
            os.kill(os.getpid(), signal.SIGKILL)
        self.names.append(name)

    def around(self, name: str, act: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*words: Any, **more: Any) -> Any:
            self(name)
            given = act(*words, **more)
            self(f"{name} done")
            return given

        return counted


def watch(patch: pytest.MonkeyPatch, steps: Steps) -> None:
    """Put a counter around everything that reaches the disk."""
    for name in ("open", "fsync"):
        patch.setattr(files.os, name, steps.around(name, getattr(os, name)))
    patch.setattr(Path, "replace", steps.around("replace", Path.replace))

    class Watched(sqlite3.Connection):
        def execute(self, sql: str, *values: Any) -> sqlite3.Cursor:
            name = sql.split(maxsplit=2)[0]
            steps(name)
            cursor = super().execute(sql, *values)
            steps(f"{name} done")
            return cursor

    real = sqlite3.connect

    def connect(*words: Any, **more: Any) -> sqlite3.Connection:
        return real(*words, **({"factory": Watched} | more))

    patch.setattr(schema.sqlite3, "connect", connect)


def save_once(folder: Path, fatal: int) -> Steps:
    """Open and save under watch; dies when ``fatal`` names one of the steps."""
    steps = Steps(fatal)
    with pytest.MonkeyPatch.context() as patch:
        watch(patch, steps)
        with open_folder(folder) as job:
            job.save(NEW, expected=job.read().fingerprint)
    return steps


def test_killed_at_every_step_of_a_save(tmp_path: Path) -> None:
    whole = tmp_path / "whole"
    create_folder(whole, OLD).close()
    steps = save_once(whole, -1).names
    assert len(steps) > 60
    found: dict[bytes, int] = {}
    for fatal in range(len(steps)):
        folder = tmp_path / f"barn-{fatal}"
        create_folder(folder, OLD).close()
        assert in_child(lambda at=fatal, to=folder: save_once(to, at)) == -signal.SIGKILL
        left = (folder / "job.toml").read_bytes()
        assert left in (OLD.encode(), NEW.encode())
        with open_folder(folder) as job:
            kept = [job.body_of(revision.id) for revision in job.revisions()]
            now = job.read()
            assert now.revision == len(kept)
            assert now.body == kept[0]
            assert now.body == NEW.encode() or left == OLD.encode(), "a new text went back to old"
            job.save("rise = '8 ft'\n", expected=now.fingerprint)
        assert check(folder).faults == ()
        assert not list(folder.glob(".*"))
        found[left] = found.get(left, 0) + 1
    assert min(found.values()) > 5, "the steps do not reach both sides of the change"


def test_the_disk_has_each_step_before_the_next_begins(tmp_path: Path) -> None:
    """Text on the disk, revision committed, name changed, folder on the disk, outcome."""
    folder = tmp_path / "barn"
    create_folder(folder, OLD).close()
    steps = [name for name in save_once(folder, -1).names if name.endswith(" done")]
    commit = [at for at, name in enumerate(steps) if name == "COMMIT done"]
    replace = steps.index("replace done")
    written = [at for at, name in enumerate(steps) if name == "fsync done"]
    recorded, placed = commit[-2], commit[-1]
    assert written[-2] < recorded < replace < written[-1] < placed
    with open_folder(folder) as job:
        said = job._writable().execute("PRAGMA synchronous").fetchone()
        assert said == (2,)  # FULL: sqlite.org/pragma.html#pragma_synchronous


@pytest.mark.parametrize(
    ("between", "code", "text"),
    [
        (NEW, "SR-070", NEW),  # the name was changed, the outcome was not written
        (OLD, "SR-071", NEW),  # the revision was recorded, the name was not changed
        ("rise = '6 ft'\n", "SR-072", "rise = '6 ft'\n"),  # and then edited by hand
    ],
)
def test_a_save_cut_short_is_settled_and_told(
    tmp_path: Path, between: str, code: str, text: str
) -> None:
    folder = tmp_path / "barn"
    create_folder(folder, OLD).close()

    def die_before_the_outcome() -> None:
        with pytest.MonkeyPatch.context() as patch, open_folder(folder) as job:
            patch.setattr(saving, "_put_in_place", lambda *_: os.kill(os.getpid(), signal.SIGKILL))
            job.save(NEW, expected=job.read().fingerprint)

    assert in_child(die_before_the_outcome) == -signal.SIGKILL
    (folder / "job.toml").write_text(between)
    told = check(folder)
    assert "SR-071" in [found.code for found in told.remarks]
    with open_folder(folder) as job:
        assert [notice.code for notice in job.notices][:1] == [code]
        assert job.read().text == text
        assert job.body_of(2) == NEW.encode()
    with open_folder(folder) as job:
        assert [notice.code for notice in job.notices] == (["SR-073"] if code == "SR-072" else [])
