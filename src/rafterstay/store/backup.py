"""A copy of the job that can be opened as it is, checked after it was made."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.faults import named
from rafterstay.store.files import (
    copy_checked,
    files_in,
    fingerprint_of,
    publish,
    read_bounded,
    require_free,
    sync_all,
    temporary_beside,
)
from rafterstay.store.folder import JOB_FILE, now, open_folder, stamp
from rafterstay.store.schema import DATABASE, copy_whole
from rafterstay.store.unbundle import import_job

__all__ = ["SUMS", "back_up", "restore_backup"]

SUMS = "sums.json"
_SUMS_LIMIT = 4_000_000


def back_up(folder: Path | str, to: Path | str | None = None, *, at: str | None = None) -> Path:
    """Copy the job into a new dated folder, then read the copy back.

    Args:
        folder: The job folder.
        to: Where the dated folder is made; ``backups/`` in the job folder if left out.
        at: Time for its name; now if left out.

    Returns:
        The dated folder: ``job.toml``, ``catalogue/``, ``readings/``, ``site.sqlite`` and their
        checksums. [-]

    Raises:
        StoreError: SR-032 the database is damaged: nothing is called a backup then; SR-010 to
            SR-015 the disk refuses.
    """
    with open_folder(folder) as job:
        home = Path(to).absolute() if to is not None else job.path.absolute() / "backups"
        target = home / f"{job.path.absolute().name}-{stamp(at or now())}"
        with named(target), job.snapshot() as (text, connection):
            home.mkdir(parents=True, exist_ok=True)
            part = temporary_beside(target)
            try:
                part.mkdir()
                _write(part / JOB_FILE, text.body)
                for name, path in files_in(job.path):
                    _copy(path, part / name)
                if connection is not None:
                    _copy_database(connection, part / DATABASE)
                _write(part / SUMS, _sums_text(_sums(part)))
                sync_all(part)
                publish(part, target)
            finally:
                shutil.rmtree(part, ignore_errors=True)
    return target


def restore_backup(source: Path | str, into: Path | str) -> Path:
    """Make a new job folder from a backup or an export; what is there is never overwritten.

    Args:
        source: A dated folder that ``back_up`` made, or an exported file.
        into: The folder to make.

    Returns:
        The folder; complete when it has its name. [-]

    Raises:
        StoreError: SR-054 the backup was changed since it was made; SR-050 it is none; SR-055
            the name is taken.
    """
    given, target = Path(source), Path(into).absolute()
    if not given.is_dir():
        return import_job(given, target)
    with named(given):
        _require_unchanged(given)
        require_free(target)
        part = temporary_beside(target)
        try:
            part.mkdir()
            for name in _kept(given):
                _copy(given / name, part / name)
            if _sums(part) != _kept(given):
                raise StoreError(_changed(given, "the copy"))
            sync_all(part)
            publish(part, target)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    return target


def _copy_database(connection: sqlite3.Connection, copy: Path) -> None:
    copy_whole(connection, copy)
    with closing(sqlite3.connect(copy)) as made:
        (said,) = made.execute("PRAGMA quick_check(1)").fetchone()
    if said != "ok":
        raise StoreError(
            Finding(
                "SR-032",
                file=DATABASE,
                bound=f"readable, but it is damaged ({said[:200]})",
                remedy="`rafterstay store salvage` saves what can be saved.",
            )
        )


def _require_unchanged(folder: Path) -> None:
    kept, found = _kept(folder), _sums(folder)
    for name in sorted(kept.keys() | found.keys()):
        if kept.get(name) != found.get(name):
            raise StoreError(_changed(folder, name))


def _kept(folder: Path) -> dict[str, str]:
    """Checksums as written when the backup was made."""
    body = read_bounded(folder / SUMS, _SUMS_LIMIT)
    try:
        sums = json.loads(body or b"")
    except ValueError as error:
        raise StoreError(_no_backup(folder)) from error
    whole = isinstance(sums, dict) and JOB_FILE in sums
    if not whole or not all(isinstance(value, str) for value in sums.values()):
        raise StoreError(_no_backup(folder))
    return dict(sums)


def _sums(folder: Path) -> dict[str, str]:
    """Checksums of what is there now, the list itself left out."""
    names = [JOB_FILE, *([DATABASE] if (folder / DATABASE).exists() else [])]
    files = {name: folder / name for name in names} | dict(files_in(folder))
    return {name: fingerprint_of(path) for name, path in sorted(files.items()) if path.exists()}


def _sums_text(sums: dict[str, str]) -> bytes:
    return (json.dumps(sums, indent=1, sort_keys=True) + "\n").encode()


def _copy(path: Path, copy: Path) -> None:
    copy.parent.mkdir(parents=True, exist_ok=True)
    if path.name == DATABASE:
        shutil.copyfile(path, copy)
        return
    with copy.open("xb") as file:
        copy_checked(path, file)


def _write(path: Path, body: bytes) -> None:
    with path.open("xb") as file:
        file.write(body)


def _changed(folder: Path, name: str) -> Finding:
    return Finding(
        "SR-054",
        file=str(folder),
        key=name,
        bound="as it was backed up, and its checksum differs",
        remedy="Use another backup; `rafterstay store salvage` saves what it can of this one.",
    )


def _no_backup(folder: Path) -> Finding:
    return Finding(
        "SR-050",
        file=str(folder),
        bound=f"a backup, which holds {SUMS}",
        remedy="Give the dated folder that `rafterstay store backup` made, or an exported file.",
    )
