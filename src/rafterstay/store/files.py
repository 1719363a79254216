"""How a file is read within bounds and replaced so that a kill leaves the old or the new."""

from __future__ import annotations

import hashlib
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import IO, BinaryIO

from rafterstay.core.errors import Finding, StoreError

__all__ = [
    "CHUNK",
    "FILE_LIMIT",
    "FOLDERS",
    "JOB_LIMIT",
    "copy_checked",
    "files_in",
    "fingerprint",
    "fingerprint_of",
    "publish",
    "read_bounded",
    "require_free",
    "stray_files",
    "swap_in",
    "sync_all",
    "sync_folder",
    "temporary_beside",
    "write_beside",
]

JOB_LIMIT = 1_000_000  # bytes of job.toml
FOLDERS = ("catalogue", "readings")
"""What belongs to a job besides its text and its rows: parts of its own, and readings."""

FILE_LIMIT = 50_000_000  # bytes of one file in readings/
CHUNK = 1 << 18
_MARK = ".part"


def fingerprint(body: bytes) -> str:
    """SHA-256 of a text's bytes, in hexadecimal.

    Source: FIPS 180-4

    >>> fingerprint(b"abc")[:16]
    'ba7816bf8f01cfea'
    """
    return hashlib.sha256(body).hexdigest()


def read_bounded(path: Path, limit: int) -> bytes | None:
    """All bytes of a regular file, or None where there is no file.

    Args:
        path: The file. A device, pipe or folder is refused without waiting on it.
        limit: Most bytes taken into memory. [bytes]

    Returns:
        Its bytes. [-]

    Raises:
        StoreError: SR-002 it is no regular file; SR-003 it is larger than ``limit``.
    """
    try:
        handle = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    except FileNotFoundError:
        return None
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise StoreError(
                Finding("SR-002", file=str(path), bound="a plain file", remedy="Move it away.")
            )
        body = file.read(limit + 1)
    if len(body) > limit:
        raise StoreError(_too_large(path, limit))
    return body


def write_beside(path: Path, body: bytes) -> Path:
    """Write ``body`` under a temporary name in the folder of ``path``, down to the disk.

    Returns:
        The temporary file, with the permissions of ``path`` where that exists. [-]
    """
    if path.is_symlink():
        raise StoreError(_foreign(path, "a file, not a link, where it is to be replaced"))
    temporary = temporary_beside(path)
    mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o644
    try:
        with _create(temporary) as file:
            os.fchmod(file.fileno(), mode)
            file.write(body)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        with suppress(OSError):
            temporary.unlink()
        raise
    return temporary


def temporary_beside(path: Path) -> Path:
    """A name for a half-made file or folder, told apart by its mark."""
    return path.with_name(f".{path.name}.{secrets.token_hex(6)}{_MARK}")


def swap_in(temporary: Path, path: Path) -> None:
    """Give a finished temporary file its name; after a power cut the name holds old or new."""
    temporary.replace(path)
    sync_folder(path.parent)


def publish(temporary: Path, path: Path) -> None:
    """Give a finished file or folder its name, never over something that is there.

    Raises:
        StoreError: SR-055 the name is taken.
    """
    if temporary.is_dir():
        require_free(path)
        temporary.rename(path)
    else:
        _link_or_rename(temporary, path)
    sync_folder(path.parent)


def require_free(path: Path) -> None:
    """Refuse a name that something has already.

    Raises:
        StoreError: SR-055.
    """
    if os.path.lexists(path):
        raise StoreError(_taken(path))


def fingerprint_of(path: Path) -> str:
    """SHA-256 of a file, read in pieces."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def sync_all(folder: Path) -> None:
    """Carry a folder and everything in it down to the disk."""
    for place, _, files in os.walk(folder):
        for name in files:
            with (Path(place) / name).open("rb") as file:
                os.fsync(file.fileno())
        sync_folder(Path(place))


def sync_folder(folder: Path) -> None:
    """Carry a folder's names down to the disk."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def stray_files(folder: Path) -> list[Path]:
    """Half-made files that a killed program left in ``folder``."""
    return sorted(item for item in folder.iterdir() if item.name[0] == "." and item.suffix == _MARK)


def files_in(folder: Path) -> Iterator[tuple[str, Path]]:
    """Every file under ``FOLDERS`` as (name in the job, path), sorted by name.

    Raises:
        StoreError: SR-056 a link, pipe or device, or a name that is not UTF-8.
    """
    yield from sorted(file for name in FOLDERS for file in _walk(folder / name, name))


def copy_checked(source: Path, target: IO[bytes]) -> tuple[int, str]:
    """Copy a reading into an open file.

    Returns:
        Its size [bytes] and SHA-256, taken from what was written. [-]

    Raises:
        StoreError: SR-003 it is larger than ``FILE_LIMIT``.
    """
    digest, size = hashlib.sha256(), 0
    with source.open("rb") as file:
        while chunk := file.read(CHUNK):
            size += len(chunk)
            if size > FILE_LIMIT:
                raise StoreError(_too_large(source, FILE_LIMIT))
            digest.update(chunk)
            target.write(chunk)
    return size, digest.hexdigest()


def _walk(folder: Path, name: str) -> Iterator[tuple[str, Path]]:
    if not folder.exists() and not folder.is_symlink():
        return
    if folder.is_symlink() or not folder.is_dir():
        raise StoreError(_foreign(folder, "a plain folder"))
    for path in folder.iterdir():
        inner = f"{name}/{path.name}"
        kind = path.lstat().st_mode
        if stat.S_ISDIR(kind):
            yield from _walk(path, inner)
        elif not stat.S_ISREG(kind):
            raise StoreError(_foreign(path, "a plain file"))
        elif not path.name.isprintable() or "\\" in path.name:
            raise StoreError(_foreign(path, "named in printable UTF-8 without a backslash"))
        elif path.suffix != _MARK:
            yield inner, path


def _create(path: Path) -> BinaryIO:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC
    return os.fdopen(os.open(path, flags, 0o600), "wb")


def _link_or_rename(temporary: Path, path: Path) -> None:
    """A hard link refuses a taken name in one step; some disks know no links."""
    try:
        os.link(temporary, path)
    except FileExistsError as error:
        raise StoreError(_taken(path)) from error
    except OSError:
        require_free(path)
        temporary.rename(path)
    else:
        temporary.unlink()


def _taken(path: Path) -> Finding:
    return Finding(
        "SR-055",
        file=str(path),
        bound="a new name: something is there already",
        remedy="Give another name; nothing is ever overwritten.",
    )


def _foreign(path: Path, bound: str) -> Finding:
    return Finding(
        "SR-056",
        file=ascii(str(path)).strip("'"),
        bound=bound,
        remedy="A job holds its own files: copy or rename it into place.",
    )


def _too_large(path: Path, limit: int) -> Finding:
    return Finding(
        "SR-003",
        file=str(path),
        bound=f"at most {limit:,} bytes",
        remedy="Move what does not belong to the job elsewhere.",
    )
