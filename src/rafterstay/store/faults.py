"""Which named error is this fault of the disk or of the database?"""

from __future__ import annotations

import errno
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rafterstay.core.errors import Finding, StoreError

__all__ = ["fault", "is_busy", "is_full", "named"]

_FULL = Finding(
    "SR-010", bound="not written: the disk is full", remedy="Make room and do it again."
)
_READ_ONLY = Finding(
    "SR-011",
    bound="not written: the folder is read-only",
    remedy="Copy the job to a place that can be written.",
)
_FORBIDDEN = Finding(
    "SR-012", bound="not reached: permission is denied", remedy="Ask its owner, or copy the job."
)
_IO = Finding(
    "SR-013",
    bound="not read or written: the disk reports an error",
    remedy="Make a backup on another disk, then run `rafterstay store check`.",
)
_LOCKED = Finding(
    "SR-014",
    bound="not written: another program is writing to this job",
    remedy="Wait until it is done and do it again.",
)
_GONE = Finding("SR-015", bound="not found", remedy="Check the path.")
_DAMAGED = Finding(
    "SR-032",
    bound="readable, but it is damaged",
    remedy="Leave it as it is; `rafterstay store salvage` saves what can be saved.",
)

# What SQLite writes in one go beside its pages: a piece of its shared index of 32 kB.
_LEAST_ROOM = 65_536  # bytes

_BY_ERRNO = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EFBIG: _FULL,
    errno.EROFS: _READ_ONLY,
    errno.EACCES: _FORBIDDEN,
    errno.EPERM: _FORBIDDEN,
    errno.ENOENT: _GONE,
    errno.ENOTDIR: _GONE,
}
# Primary result codes: the low byte of what SQLite gives.
_BY_SQLITE = {
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_READONLY: _READ_ONLY,
    sqlite3.SQLITE_PERM: _FORBIDDEN,
    sqlite3.SQLITE_AUTH: _FORBIDDEN,
    sqlite3.SQLITE_BUSY: _LOCKED,
    sqlite3.SQLITE_LOCKED: _LOCKED,
    sqlite3.SQLITE_CANTOPEN: _FORBIDDEN,
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_NOTADB: _DAMAGED,
}


@contextmanager
def named(path: Path) -> Iterator[None]:
    """Turn a fault of the disk or the database inside the block into a named error."""
    try:
        yield
    except OSError as error:
        raise fault(error, path) from error
    except sqlite3.Error as error:
        raise fault(error, path) from error


def fault(error: OSError | sqlite3.Error, path: Path) -> StoreError:
    """The named error for a fault of the disk or of the database.

    Args:
        error: What the operating system or SQLite reported.
        path: The file or folder it happened to.

    Returns:
        The error to raise; anything not known by name is a disk error with its text. [-]
    """
    if isinstance(error, OSError):
        found, reason = _BY_ERRNO.get(error.errno or 0, _IO), error.strerror or str(error)
    else:
        found, reason = _BY_SQLITE.get(_primary(error), _IO), str(error)
        if found is _IO and _primary(error) == sqlite3.SQLITE_IOERR and not _has_room(path):
            found = _FULL
    return StoreError(
        Finding(
            found.code,
            file=str(path),
            bound=f"{found.bound} ({reason})",
            remedy=found.remedy,
        )
    )


def is_busy(error: sqlite3.Error) -> bool:
    """Whether another program holds what was asked for."""
    return _primary(error) == sqlite3.SQLITE_BUSY


def is_full(error: sqlite3.Error) -> bool:
    """Whether SQLite could not write for want of room or by an error of the disk."""
    return _primary(error) in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR)


def _has_room(path: Path) -> bool:
    """SQLite tells some writes on a full disk only as an error of the disk."""
    try:
        return shutil.disk_usage(path if path.exists() else path.parent).free >= _LEAST_ROOM
    except OSError:
        return True


def _primary(error: sqlite3.Error) -> int:
    return int(getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)) & 0xFF
