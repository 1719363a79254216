"""A job written by an older program opens; one by a newer program is refused untouched."""

from __future__ import annotations

import os
import signal
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from rafterstay.core.errors import StoreError
from rafterstay.store import open_folder
from rafterstay.store.bundle import export_job
from rafterstay.store.checkup import check
from rafterstay.store.salvage import salvage
from rafterstay.store.schema import SCHEMA, connect, objects
from tests.store.disks import in_child
from tests.store.samples import cider_house
from tests.store.test_logs import PRESS, ROWS

# A job folder of schema 1 as that schema wrote it; the file never changes.
OLD = Path(__file__).parent / "schema-1.sql"
OLD_TEXT = 'title = "Cider house"\nrise = "7 ft"\n# steeper\n'


def old_folder(folder: Path) -> Path:
    folder.mkdir()
    with closing(sqlite3.connect(folder / "site.sqlite")) as old:
        old.executescript(OLD.read_text(encoding="utf-8"))
    (folder / "job.toml").write_text(OLD_TEXT)
    return folder


def state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


def test_an_older_job_opens_and_its_database_is_put_by_first(tmp_path: Path) -> None:
    folder = old_folder(tmp_path / "cider")
    before = dump(folder / "site.sqlite")
    assert [found.code for found in check(folder).remarks] == ["SR-075"]
    with open_folder(folder) as job:
        (notice,) = job.notices
        assert notice.code == "SR-074"
        assert job.read().text == OLD_TEXT
        assert [found.note for found in job.revisions()] == ["steeper", "new"]
        (entry,) = job.entries("press_log")
        assert {name: entry.values[name] for name in PRESS} == PRESS
        job.append("inspections", ROWS["inspections"], who="Jo", taken="2051-10-01")
    assert check(folder).faults == ()
    (copy,) = (folder / "backups").iterdir()
    assert notice.file == str(copy)
    assert dump(copy) == before
    with open_folder(folder) as job:
        assert job.notices == ()
    assert len(list((folder / "backups").iterdir())) == 1


def test_the_steps_make_what_the_older_program_made(tmp_path: Path) -> None:
    """A released step must never be edited."""
    folder = old_folder(tmp_path / "cider")
    with closing(sqlite3.connect(folder / "site.sqlite")) as old:
        made = dict(old.execute("SELECT name, sql FROM sqlite_schema WHERE sql NOTNULL"))
    assert made == objects(1)


def test_killed_while_it_is_brought_forward(tmp_path: Path) -> None:
    folder = old_folder(tmp_path / "cider")

    def die() -> None:
        with pytest.MonkeyPatch.context() as patch:
            name = "rafterstay.store.schema._run_step"
            patch.setattr(name, lambda *_: os.kill(os.getpid(), signal.SIGKILL))
            open_folder(folder)

    assert in_child(die) == -signal.SIGKILL
    with open_folder(folder) as job:
        assert [notice.code for notice in job.notices] == ["SR-074"]
        assert job.entries("inspections") == ()
    assert check(folder).faults == ()


def newer(folder: Path, *, in_log: bool) -> None:
    """State a newer schema, in the header or only in a log that was never folded in."""

    def write() -> None:
        connection = connect(folder / "site.sqlite")
        connection.execute(f"PRAGMA user_version={SCHEMA + 1}")
        if not in_log:
            connection.close()
        os.kill(os.getpid(), signal.SIGKILL)

    assert in_child(write) == -signal.SIGKILL
    assert (folder / "site.sqlite-wal").exists() is in_log


@pytest.mark.parametrize("in_log", [False, True])
def test_a_newer_job_is_refused_untouched(tmp_path: Path, in_log: bool) -> None:
    folder = cider_house(tmp_path / "cider")
    newer(folder, in_log=in_log)
    before = state(folder)
    for act in (
        lambda: open_folder(folder),
        lambda: check(folder),
        lambda: export_job(folder, tmp_path / "out.zip"),
        lambda: salvage(folder, tmp_path / "out"),
    ):
        with pytest.raises(StoreError) as refused:
            act()
        assert refused.value.findings[0].code == "SR-030"
        assert state(folder) == before
    assert [path.name for path in tmp_path.iterdir()] == ["cider"]


def test_a_database_of_another_program_is_refused_untouched(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(OLD_TEXT)
    for number, pragma in enumerate(("application_id=77", "user_version=0")):
        with closing(sqlite3.connect(tmp_path / "site.sqlite")) as other:
            other.execute(f"PRAGMA {pragma}")
            other.execute(f"CREATE TABLE songs_{number} (name)")
        before = (tmp_path / "site.sqlite").read_bytes()
        with pytest.raises(StoreError) as refused:
            open_folder(tmp_path)
        assert refused.value.findings[0].code == "SR-031"
        assert (tmp_path / "site.sqlite").read_bytes() == before
        (tmp_path / "site.sqlite").unlink()


def test_what_is_no_database_is_told(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(OLD_TEXT)
    (tmp_path / "site.sqlite").write_bytes(b"a letter to the inspector" * 400)
    with pytest.raises(StoreError) as refused:
        open_folder(tmp_path)
    assert refused.value.findings[0].code == "SR-032"
    assert [found.code for found in check(tmp_path).faults] == ["SR-032"]
