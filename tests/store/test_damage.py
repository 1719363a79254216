"""A damaged page is reported with what can be saved, and that is saved."""

from __future__ import annotations

import random
import shutil
import sqlite3
import struct
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from rafterstay.core.errors import StoreError
from rafterstay.store import create_folder, open_folder
from rafterstay.store.backup import back_up
from rafterstay.store.bundle import export_job
from rafterstay.store.checkup import check
from rafterstay.store.salvage import REPORT, salvage
from rafterstay.store.schema import LOGS, TABLES
from rafterstay.store.unbundle import import_job
from tests.store.samples import FIRST, READINGS, cider_house, readings_in, said_by, sample

PAGE, FRAME = 4096, 24  # bytes of a page, and of what stands before it in the log

Rows = dict[tuple[str, int], tuple[Any, ...]]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = cider_house(tmp_path_factory.mktemp("damage") / "cider", entries=60, revisions=9)
    with closing(sqlite3.connect(folder / "site.sqlite")) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return folder


def rows_of(database: Path) -> Rows:
    with closing(sqlite3.connect(database)) as connection:
        return {
            (table, row[0]): row
            for table in TABLES
            for row in connection.execute(f"SELECT * FROM {table}")
        }


def still_readable(database: Path, wanted: Rows) -> set[tuple[str, int]]:
    """The rows that SQLite itself, asked for one after the other, still gives as they were."""
    found = set()
    with closing(sqlite3.connect(f"{database.as_uri()}?mode=ro", uri=True)) as connection:
        for (table, number), row in wanted.items():
            try:
                query = f"SELECT * FROM {table} WHERE id = ?"
                given = connection.execute(query, (number,)).fetchone()
            except sqlite3.Error:
                continue
            if given == row:
                found.add((table, number))
    return found


def damaged(house: Path, folder: Path, page: int, rng: random.Random) -> Path:
    shutil.copytree(house, folder)
    with (folder / "site.sqlite").open("rb+") as file:
        file.seek((page - 1) * PAGE)
        file.write(rng.randbytes(PAGE))
    return folder


def test_whichever_page_is_damaged_the_rest_is_saved(house: Path, tmp_path: Path) -> None:
    whole = rows_of(house / "site.sqlite")
    pages = (house / "site.sqlite").stat().st_size // PAGE
    rng = random.Random(19410)
    lost: list[int] = []
    by_tree: list[int] = []
    for page in range(1, pages + 1):
        folder = damaged(house, tmp_path / f"bad-{page}", page, rng)
        before = (folder / "site.sqlite").read_bytes()
        assert check(folder).faults != (), f"page {page} is damaged and nothing was said"
        found = salvage(folder, tmp_path / f"saved-{page}")
        saved = rows_of(found.path / "site.sqlite")
        changed = {f"{table} {n}" for (table, n), row in saved.items() if row != whole[table, n]}
        assert changed == set(found.altered), f"page {page}: not as written, and not told"
        readable = still_readable(folder / "site.sqlite", whole)
        assert readable <= set(saved), f"page {page}: SQLite reads what was not saved"
        assert sum(found.whole.values()) == len(saved) - len(changed)
        assert (found.path / REPORT).read_text(encoding="utf-8") == found.told()
        assert readings_in(found.path) == readings_in(house)
        assert (folder / "site.sqlite").read_bytes() == before
        lost.append(len(whole) - len(saved))
        by_tree.append(len(whole) - len(readable))
        shutil.rmtree(folder)
        shutil.rmtree(found.path)
    assert lost[0] == 0, "the first page holds no row"
    assert by_tree[0] == len(whole)
    assert max(lost) < 40
    # Each row stands on one page and on those its text runs over to; no other page may cost it.
    assert sum(lost) < len(whole) + sum(
        2 + len(row[-1]) // (PAGE - 4) for key, row in whole.items() if key[0] == "revisions"
    )


def test_a_lost_row_is_named(house: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(house / "site.sqlite")) as connection:
        query = "SELECT pageno FROM dbstat WHERE name = 'proof_pulls' AND pagetype = 'leaf'"
        first = connection.execute(f"{query} ORDER BY path").fetchone()[0]
    folder = damaged(house, tmp_path / "bad", first, random.Random(5))
    found = salvage(folder, tmp_path / "saved")
    assert len(found.lost) == 1
    assert found.lost[0].startswith("proof_pulls 1 to ")
    assert found.lost[0] in found.told()
    told = [str(fault) for fault in check(found.path).faults]
    assert told == [text for text in told if text.startswith(("SR-064", "SR-061"))] != []
    # What was saved is a job like any other, its gaps told for ever.
    with open_folder(found.path) as job:
        job.append("proof_pulls", sample("proof_pulls", 5), who="Jo", taken="2051")
    export_job(found.path, tmp_path / "saved.zip")
    assert said_by(import_job(tmp_path / "saved.zip", tmp_path / "in")) == said_by(found.path)


def test_an_old_text_without_its_outcome_is_not_put_in_place(tmp_path: Path) -> None:
    """What damage took from an old revision must not look like a save cut short."""
    folder = tmp_path / "barn"
    with create_folder(folder, FIRST) as job:
        job.save("# two\n", expected=job.read().fingerprint)
        job.restore(1)
    with closing(sqlite3.connect(folder / "site.sqlite")) as raw:
        raw.execute("DROP TRIGGER outcomes_keep_rows")
        raw.execute("DELETE FROM outcomes WHERE revision = 2")
        raw.commit()
    found = salvage(folder, tmp_path / "saved")
    assert found.lost == ["outcomes 2"]
    for place in (folder, found.path):
        with open_folder(place) as job:
            assert job.notices == ()
            assert job.read().text == FIRST
            assert job.read().revision == 3
            assert [revision.outcome for revision in job.revisions()] == ["placed", None, "placed"]


def test_a_damaged_database_is_told_when_it_is_used(house: Path, tmp_path: Path) -> None:
    folder = damaged(house, tmp_path / "bad", 1, random.Random(1))
    for act in (
        lambda: open_folder(folder),
        lambda: export_job(folder, tmp_path / "out.zip"),
        lambda: back_up(folder, tmp_path / "backups"),
    ):
        with pytest.raises(StoreError) as refused:
            act()
        assert refused.value.findings[0].code == "SR-032"
        assert "store salvage" in str(refused.value)
    assert not (tmp_path / "out.zip").exists()
    assert not list(tmp_path.glob("backups/*"))


def test_a_page_damaged_in_the_middle_makes_no_backup(house: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(house / "site.sqlite")) as connection:
        query = "SELECT pageno FROM dbstat WHERE name = 'press_log' AND pagetype = 'leaf'"
        page = connection.execute(query).fetchone()[0]
    folder = damaged(house, tmp_path / "bad", page, random.Random(2))
    for act in (
        lambda: back_up(folder, tmp_path / "backups"),
        lambda: export_job(folder, tmp_path / "out.zip"),
    ):
        with pytest.raises(StoreError) as refused:
            act()
        assert refused.value.findings[0].code == "SR-032"
    assert not list(tmp_path.glob("backups/*"))
    assert {found.code for found in check(folder).faults} >= {"SR-060", "SR-032"}


def test_one_bit_in_a_figure_is_found_and_kept(house: Path, tmp_path: Path) -> None:
    """SQLite's own check does not see it."""
    folder = tmp_path / "bad"
    shutil.copytree(house, folder)
    database = folder / "site.sqlite"
    body = bytearray(database.read_bytes())
    figure = struct.pack(">d", 11120.6)
    at = body.index(figure)
    body[at + 3] ^= 0x10
    database.write_bytes(body)
    with closing(sqlite3.connect(database)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    (fault,) = check(folder).faults
    assert fault.code == "SR-063"
    assert fault.key.startswith("proof_pulls ")
    found = salvage(folder, tmp_path / "saved")
    assert (found.altered, found.lost) == ([fault.key], [])
    assert set(rows_of(found.path / "site.sqlite")) == set(rows_of(house / "site.sqlite"))


def test_one_letter_in_a_recorded_text_is_found(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, FIRST) as job:
        job.save(FIRST + "# wall plate 2x8\n", expected=job.read().fingerprint)
    body = (folder / "site.sqlite").read_bytes()
    assert body.count(b"wall plate 2x8") == 1
    (folder / "site.sqlite").write_bytes(body.replace(b"wall plate 2x8", b"wall plate 2x9"))
    assert [f"{found.code} {found.key}" for found in check(folder).faults] == ["SR-062 revisions 2"]
    with open_folder(folder) as job, pytest.raises(StoreError) as refused:
        job.body_of(2)
    assert refused.value.findings[0].code == "SR-062"


def test_a_log_that_was_not_folded_in_is_salvaged_too(tmp_path: Path) -> None:
    """What was acknowledged may still wait in the write-ahead log when the first page goes."""
    folder = tmp_path / "barn"
    with create_folder(folder, FIRST) as job:
        for number in range(7):
            for log in LOGS:
                job.append(log, sample(log, number), who="Ida", taken="2031")
        copy = tmp_path / "copy"
        shutil.copytree(folder, copy)  # as a kill would leave it
        wanted = {log: job.entries(log) for log in LOGS}
    assert (copy / "site.sqlite-wal").stat().st_size > 10 * PAGE
    with (copy / "site.sqlite").open("rb+") as file:
        file.write(b"\xa5" * PAGE)
    log = bytearray((copy / "site.sqlite-wal").read_bytes())
    for at in frames(log):
        if log[at : at + 4] == b"\0\0\0\1":
            log[at + FRAME : at + FRAME + PAGE] = b"\x5a" * PAGE
    (copy / "site.sqlite-wal").write_bytes(log)
    found = salvage(copy, tmp_path / "saved")
    assert (found.altered, found.lost) == ([], [])
    with open_folder(found.path) as job:
        assert {log: job.entries(log) for log in LOGS} == wanted
        assert job.read().revision == 1


def frames(log: bytes) -> range:
    """Where each frame of a write-ahead log begins: sqlite.org/fileformat2 section 4.1."""
    return range(32, len(log), FRAME + PAGE)


def test_a_log_cut_anywhere_is_no_damage(tmp_path: Path) -> None:
    """A kill leaves the write-ahead log cut inside a frame, the first page's among them."""
    folder = tmp_path / "barn"
    with create_folder(folder, FIRST) as job:
        for number in range(4):
            job.append("proof_pulls", sample("proof_pulls", number), who="Ida", taken="2031")
        shutil.copytree(folder, tmp_path / "copy")
    log = (tmp_path / "copy" / "site.sqlite-wal").read_bytes()
    assert sum(log[at : at + 4] == b"\0\0\0\1" for at in frames(log)) >= 1
    counts = []
    for at in frames(log):
        for cut in (at, at + 7, at + FRAME, at + FRAME + 50, at + FRAME + PAGE - 1):
            folder = tmp_path / f"cut-{cut}"
            shutil.copytree(tmp_path / "copy", folder)
            (folder / "site.sqlite-wal").write_bytes(log[:cut])
            assert check(folder).faults == ()
            with open_folder(folder) as job:
                assert {notice.code for notice in job.notices} <= {"SR-070", "SR-073"}
                counts.append(len(job.entries("proof_pulls")))
    assert (counts[0], counts[-1]) == (0, 3)
    assert counts == sorted(counts)


def test_without_a_job_file_the_last_text_is_brought_back(house: Path, tmp_path: Path) -> None:
    folder = tmp_path / "bad"
    shutil.copytree(house, folder)
    (folder / "job.toml").unlink()
    assert [found.code for found in check(folder).faults] == ["SR-001"]
    found = salvage(folder, tmp_path / "saved")
    assert (found.path / "job.toml").read_bytes() == (house / "job.toml").read_bytes()
    with pytest.raises(StoreError) as refused:
        salvage(folder, tmp_path / "saved")
    assert refused.value.findings[0].code == "SR-055"


def test_the_check_sees_what_else_is_wrong(tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    assert check(folder).faults == ()
    (folder / "readings" / "leg-4.wav").write_bytes(READINGS["leg-4.wav"][:-1])
    (folder / ".job.toml.0123456789ab.part").write_bytes(b"rise = ")
    told = check(folder)
    assert {found.code for found in told.faults} == {"SR-066"}
    assert [found.code for found in told.remarks] == ["SR-068"]
    (folder / "readings" / "leg-4.wav").unlink()
    assert {found.code for found in check(folder).faults} == {"SR-066"}
    (folder / "readings" / "leg-4.wav").write_bytes(READINGS["leg-4.wav"])
    with open_folder(folder) as job:
        job.save(FIRST + "# tidy\n", expected=job.read().fingerprint)
    assert not list(folder.glob(".*"))
    (folder / "job.toml").write_text(FIRST)
    assert [found.code for found in check(folder).remarks] == ["SR-073"]
    assert check(folder).counts["press_log"] == 4
    with closing(sqlite3.connect(folder / "site.sqlite")) as raw:
        raw.execute("DROP TRIGGER outcomes_keep_rows")
        raw.execute("DELETE FROM outcomes WHERE revision = 1")
        raw.execute("CREATE TABLE songs (name)")
        raw.commit()
    told = check(folder)
    assert {found.code for found in told.faults} == {"SR-064", "SR-065"}
