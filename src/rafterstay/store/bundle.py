"""The whole job as one file: what is in it, in which order, and how it is checked.

An export is a ZIP archive whose entries are stored, not compressed, so that the same job gives
the same bytes on every machine: ``job.toml``, ``catalogue/...``, ``readings/...``, one
``site/<table>.jsonl`` a table, and last ``manifest.json`` with size and SHA-256 of each.
docs/job-folder.md describes it.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import sqlite3
import zipfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import IO, BinaryIO

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.faults import named
from rafterstay.store.files import (
    FOLDERS,
    copy_checked,
    files_in,
    fingerprint_of,
    publish,
    temporary_beside,
)
from rafterstay.store.folder import JOB_FILE, open_folder
from rafterstay.store.rows import plain
from rafterstay.store.schema import SCHEMA, TABLES
from rafterstay.store.seals import Cell

__all__ = [
    "BUNDLE_LIMIT",
    "ENTRIES_LIMIT",
    "FORMAT",
    "MANIFEST",
    "VERSION",
    "Exported",
    "allowed_name",
    "bad_name",
    "export_job",
    "left_out",
    "site_name",
]

FORMAT, VERSION = "rafterstay-job", 1
MANIFEST = "manifest.json"
BUNDLE_LIMIT = 2**31 - 1  # bytes; above it an archive needs another layout
ENTRIES_LIMIT = 10_000
_DEPTH = 8

Writer = Callable[[IO[bytes]], tuple[int, str]]


@dataclass(frozen=True)
class Exported:
    """What an export holds.

    Attributes:
        path: The file.
        sha256: Of the whole file.
        names: Its entries.
        left_out: What stands in the job folder and is no part of the job.
    """

    path: Path
    sha256: str
    names: tuple[str, ...]
    left_out: tuple[str, ...]


def export_job(folder: Path | str, target: Path | str) -> Exported:
    """Write the whole job into one new file.

    Args:
        folder: The job folder.
        target: The file to make.

    Returns:
        What was written. The same job gives the same bytes. [-]

    Raises:
        StoreError: SR-055 ``target`` is there already; SR-056 a reading is a link; SR-053 the
            job is too large.
    """
    path = Path(target).absolute()
    with open_folder(folder) as job, named(path), job.snapshot() as (text, connection):
        parts = {JOB_FILE: partial(_write_bytes, text.body)}
        parts |= {name: partial(_write_file, file) for name, file in files_in(job.path)}
        if connection is not None:
            parts |= {site_name(table): partial(_write_rows, connection, table) for table in TABLES}
        temporary = temporary_beside(path)
        try:
            with temporary.open("xb") as file:
                _write_archive(file, parts, SCHEMA if connection else 0)
                os.fsync(file.fileno())
            digest = fingerprint_of(temporary)
            publish(temporary, path)
        finally:
            with suppress(OSError):
                temporary.unlink()
        return Exported(path, digest, (*sorted(parts), MANIFEST), tuple(left_out(job.path)))


def left_out(folder: Path) -> Iterator[str]:
    """Names in a job folder that are no part of the job."""
    own = re.compile(r"job\.toml|catalogue|readings|site\.sqlite(-wal|-shm)?|backups|\..*\.part")
    yield from sorted(item.name for item in folder.iterdir() if not own.fullmatch(item.name))


def site_name(table: str) -> str:
    """Name of a table's entry.

    >>> site_name("press_log")
    'site/press_log.jsonl'
    """
    return f"site/{table}.jsonl"


def allowed_name(name: str) -> bool:
    """Whether an entry may have this name: no way out of the folder, nothing unseen.

    >>> allowed_name("readings/2031/north.csv"), allowed_name("readings/../../job.toml")
    (True, False)
    """
    if name in (JOB_FILE, MANIFEST, *map(site_name, TABLES)):
        return True
    parts = name.split("/")
    plain_parts = all(
        part not in ("", ".", "..") and part.isprintable() and len(part.encode()) <= 255
        for part in parts
    )
    return parts[0] in FOLDERS and 2 <= len(parts) <= _DEPTH and plain_parts and "\\" not in name


def _write_archive(file: BinaryIO, parts: Mapping[str, Writer], schema: int) -> None:
    if len(parts) > ENTRIES_LIMIT:
        raise StoreError(_too_big(f"{len(parts):,} files", f"at most {ENTRIES_LIMIT:,} files"))
    entries = []
    with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(parts):
            if not allowed_name(name):
                raise StoreError(bad_name(name))
            with archive.open(_info(name), "w", force_zip64=False) as entry:
                size, digest = parts[name](entry)
            entries.append({"bytes": size, "name": name, "sha256": digest})
            if file.tell() > BUNDLE_LIMIT - ENTRIES_LIMIT * 1000:
                raise StoreError(_too_big(f"over {file.tell():,} bytes", "under 2 GB"))
        content = {"files": entries, "format": FORMAT, "schema": schema, "version": VERSION}
        text = json.dumps(content, indent=1, sort_keys=True, ensure_ascii=True) + "\n"
        archive.writestr(_info(MANIFEST), text.encode())


def _info(name: str) -> zipfile.ZipInfo:
    """An entry without anything that differs from day to day or machine to machine."""
    info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
    info.create_system = 3
    info.external_attr = 0o100644 << 16
    return info


def _write_bytes(body: bytes, entry: IO[bytes]) -> tuple[int, str]:
    entry.write(body)
    return len(body), hashlib.sha256(body).hexdigest()


def _write_file(path: Path, entry: IO[bytes]) -> tuple[int, str]:
    return copy_checked(path, entry)


def _write_rows(connection: sqlite3.Connection, table: str, entry: IO[bytes]) -> tuple[int, str]:
    digest, size = hashlib.sha256(), 0
    for row in plain(connection, table):
        line = json.dumps(_readable(row), sort_keys=True, ensure_ascii=False, allow_nan=False)
        data = f"{line}\n".encode()
        entry.write(data)
        digest.update(data)
        size += len(data)
    return size, digest.hexdigest()


def _readable(row: Mapping[str, Cell]) -> dict[str, Cell]:
    """A row without its empty cells; a text that is no UTF-8 goes as base64."""
    told: dict[str, Cell] = {name: value for name, value in row.items() if value is not None}
    body = told.pop("body", None)
    if isinstance(body, bytes):
        try:
            told["body"] = body.decode("utf-8")
        except UnicodeDecodeError:
            told["body_base64"] = base64.b64encode(body).decode("ascii")
    return told


def _too_big(value: str, bound: str) -> Finding:
    return Finding(
        "SR-053",
        key="export",
        value=value,
        bound=bound,
        remedy="Move recordings that are no longer needed elsewhere.",
    )


def bad_name(name: str) -> Finding:
    """SR-052: an entry whose name leads elsewhere."""
    return Finding(
        "SR-052",
        key="entry",
        value=ascii(name)[:200],
        bound="job.toml, a plain name under catalogue/ or readings/, or a table of the site",
        remedy="Rename it, or do not trust where the file comes from.",
    )
