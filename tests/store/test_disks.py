"""A full disk and a read-only folder: named errors, and nothing acknowledged is lost."""

from __future__ import annotations

import errno
import os
import random
import resource
import shutil
import signal
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

import pytest

from rafterstay.core.errors import StoreError
from rafterstay.store import create_folder, open_folder, saving
from rafterstay.store.backup import back_up
from rafterstay.store.bundle import export_job
from rafterstay.store.checkup import check
from rafterstay.store.faults import named
from rafterstay.store.unbundle import import_job
from tests.store.disks import can_mount, in_child, make_read_only, small_disk
from tests.store.hammer import FIRST, Tally, one_step
from tests.store.samples import cider_house, said_by
from tests.store.test_logs import PRESS

MOUNTS = can_mount()
NO_ROOM = {"SR-010", "SR-013"}  # SQLite tells a file that may not grow as an error of the disk


def fill(folder: Path, seed: int) -> tuple[list[str], Counter[str]]:
    """Save and log until twelve calls were refused; what was acknowledged, and the codes."""
    rng = random.Random(seed)
    said: list[str] = []
    codes: Counter[str] = Counter()
    with open_folder(folder) as job:
        while codes.total() < 12:
            try:
                said.append(one_step(job, rng, "filling"))
            except StoreError as error:
                codes.update(found.code for found in error.findings)
    return said, codes


def test_a_file_that_may_not_grow(tmp_path: Path) -> None:
    """As on a full disk, for whoever may not mount one."""
    folder = tmp_path / "barn"
    create_folder(folder, FIRST).close()

    def work() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000))
        said, codes = fill(folder, 3)
        assert set(codes) <= NO_ROOM
        (tmp_path / "said").write_text("\n".join(said))

    assert in_child(work) == 0
    tally = Tally()
    tally.take((tmp_path / "said").read_text().split("\n"))
    assert tally.counts.total() > 5
    tally.verify(folder)
    with open_folder(folder) as job:
        assert job.save(FIRST, expected=job.read().fingerprint).note == ""


@contextmanager
def full_disk(place: Path) -> Iterator[Path]:
    """A job folder on a disk of 1 MB."""
    with small_disk(place, "1m"):
        folder = place / "barn"
        create_folder(folder, FIRST).close()
        yield folder


if MOUNTS:  # who may not mount a disk has the file that may not grow, above

    @pytest.mark.parametrize("seed", [0, 1])
    def test_a_full_disk(tmp_path: Path, seed: int) -> None:
        with full_disk(tmp_path / "disk") as folder:
            ballast = folder.parent / "ballast"
            tally = Tally()
            for size in (500_000, 300_000, 100_000):
                ballast.write_bytes(b"\0" * size)
                said, codes = fill(folder, seed)
                assert set(codes) == {"SR-010"}
                tally.take(said)
                with open_folder(folder) as job:  # still full: what is there can be read
                    assert job.read().revision is not None
                    assert len(job.revisions()) > tally.counts["save"]
                ballast.unlink()
                tally.verify(folder)
            assert tally.counts["save"] > 2
            with pytest.raises(StoreError) as refused:
                back_up(folder)
                back_up(folder)
                export_job(folder, folder.parent / "out.zip")
            assert refused.value.findings[0].code == "SR-010"
            made = sorted(path.name for path in folder.parent.glob("**/*") if ".part" in path.name)
            assert made == []


def test_when_the_disk_refuses_the_new_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A save that was refused must not come true at the next opening."""
    folder = tmp_path / "barn"

    def refuse(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with create_folder(folder, FIRST) as job:
        with monkeypatch.context() as patch, pytest.raises(StoreError) as refused:
            patch.setattr(saving, "swap_in", refuse)
            job.save("# steeper\n", expected=job.read().fingerprint)
        assert refused.value.findings[0].code == "SR-010"
        assert job.revisions()[0].outcome == "set aside"
    with open_folder(folder) as job:
        assert job.notices == ()
        assert job.read().text == FIRST
        assert not list(folder.glob(".*"))


def test_what_waits_to_be_settled_does_not_stop_reading(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "barn"
    create_folder(folder, FIRST).close()

    def die() -> None:
        with pytest.MonkeyPatch.context() as patch, open_folder(folder) as job:
            patch.setattr(saving, "_put_in_place", lambda *_: os.kill(os.getpid(), signal.SIGKILL))
            job.save("# steeper\n", expected=job.read().fingerprint)

    def refuse(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    assert in_child(die) == -signal.SIGKILL
    with monkeypatch.context() as patch:
        patch.setattr(saving, "swap_in", refuse)
        with open_folder(folder) as job:
            assert [notice.code for notice in job.notices] == ["SR-076"]
            assert job.read().text == FIRST
            assert job.body_of(2) == b"# steeper\n"
    with open_folder(folder) as job:
        assert [notice.code for notice in job.notices] == ["SR-071"]
        assert job.read().text == "# steeper\n"
        assert not list(folder.glob(".*"))


@pytest.mark.parametrize(("free", "code"), [(40_000, "SR-010"), (10**9, "SR-013")])
def test_an_error_of_a_disk_without_room_is_told_as_that(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, free: int, code: str
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=free))
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorcode = sqlite3.SQLITE_IOERR_SHMSIZE
    with pytest.raises(StoreError) as refused, named(tmp_path / "none yet"):
        raise error
    assert refused.value.findings[0].code == code


def refused_but_readable(folder: Path, code: str) -> None:
    """Whatever writes is refused by name; whatever reads goes on."""
    with open_folder(folder) as job:
        assert job.read_only
        seen = job.read()
        for act in (
            lambda: job.save("# steeper\n", expected=seen.fingerprint),
            job.undo,
            lambda: job.withdraw("press_log", 2, who="Ida", why="x"),
            lambda: back_up(folder),
            lambda: export_job(folder, folder / "out.zip"),
        ):
            with pytest.raises(StoreError) as refused:
                act()
            assert refused.value.findings[0].code in {"SR-011", code}
        assert job.revisions() != ()
        assert job.entries("press_log") != ()
    assert check(folder).faults == ()


@pytest.fixture
def open_place() -> Iterator[Path]:
    """A folder that everybody may enter, which pytest's own is not."""
    with tempfile.TemporaryDirectory() as place:
        Path(place).chmod(0o777)
        yield Path(place)


@pytest.mark.parametrize("in_log", [False, True])
def test_a_folder_without_leave_to_write(open_place: Path, in_log: bool) -> None:
    """For root, who may write everywhere, a child gives its rights away first."""
    folder = cider_house(open_place / "cider")
    if in_log:  # as a kill would leave it: read from a private copy, log and all
        open_folder(folder).append("press_log", dict(PRESS), who="Ida", taken="2031")
        copy = open_place / "copy"
        in_child(lambda: os.execvp("cp", ["cp", "-r", str(folder), str(copy)]))
        assert (copy / "site.sqlite-wal").stat().st_size > 0
        folder = copy
    for path in (folder / "site.sqlite", *folder.glob("site.sqlite-*")):
        path.chmod(0o444)
    folder.chmod(0o555)

    def work() -> None:
        if os.geteuid() == 0:
            os.setgid(65534)
            os.setuid(65534)
        refused_but_readable(folder, "SR-012")
        export_job(folder, open_place / "out.zip")
        (folder.parent / "closed").mkdir(mode=0o000)
        if os.geteuid() != 0:
            with pytest.raises(StoreError) as refused:
                open_folder(folder.parent / "closed")
            assert refused.value.findings[0].code == "SR-012"

    try:
        assert in_child(work) == 0
        assert (open_place / "out.zip").exists()
    finally:
        folder.chmod(0o755)


if MOUNTS:  # who may not mount a disk has the folder without leave, above

    def test_a_disk_that_is_read_only(tmp_path: Path) -> None:
        with small_disk(tmp_path / "disk", "4m") as disk:
            folder = cider_house(disk / "cider")
            told = said_by(folder)
            make_read_only(disk)
            refused_but_readable(folder, "SR-011")
            assert said_by(folder) == told
            export_job(folder, tmp_path / "out.zip")
            assert said_by(import_job(tmp_path / "out.zip", tmp_path / "in")) == told


@pytest.mark.parametrize(
    ("number", "code"),
    [
        (errno.ENOSPC, "SR-010"),
        (errno.EDQUOT, "SR-010"),
        (errno.EFBIG, "SR-010"),
        (errno.EROFS, "SR-011"),
        (errno.EACCES, "SR-012"),
        (errno.EIO, "SR-013"),
        (errno.ENOENT, "SR-015"),
    ],
)
def test_each_fault_of_the_disk_has_a_name(tmp_path: Path, number: int, code: str) -> None:
    with pytest.raises(StoreError, match=f"{code} .*{os.strerror(number)}"), named(tmp_path):
        raise OSError(number, os.strerror(number))
