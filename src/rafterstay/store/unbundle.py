"""Take a job out of one file into a new folder, trusting nothing in it."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import math
import shutil
import sqlite3
import stat
import struct
import zipfile
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn, TypeGuard

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.bundle import (
    BUNDLE_LIMIT,
    ENTRIES_LIMIT,
    FORMAT,
    MANIFEST,
    VERSION,
    allowed_name,
    bad_name,
    site_name,
)
from rafterstay.store.faults import named
from rafterstay.store.files import (
    CHUNK,
    FILE_LIMIT,
    JOB_LIMIT,
    publish,
    require_free,
    sync_all,
    temporary_beside,
)
from rafterstay.store.folder import JOB_FILE
from rafterstay.store.rows import insert_as_is
from rafterstay.store.schema import (
    DATABASE,
    SCHEMA,
    TABLES,
    build,
    columns,
    connect,
    table_names,
    writing,
)
from rafterstay.store.seals import Cell

__all__ = ["import_job", "read_bundle"]

_MANIFEST_LIMIT = 4_000_000
_LINE_LIMIT = 8 * JOB_LIMIT  # a text in JSON may need six bytes for one
_END_RECORD = 22  # bytes of the record that closes an archive without a comment


@dataclass(frozen=True)
class _Entry:
    name: str
    size: int
    sha256: str


def import_job(bundle: Path | str, into: Path | str) -> Path:
    """Make a new job folder from an export.

    Args:
        bundle: The exported file.
        into: The folder to make.

    Returns:
        The folder; complete when it has its name. [-]

    Raises:
        StoreError: SR-050 to SR-054 the file is no export, newer, has a path that leads
            elsewhere, is too large, or was changed; SR-055 the name is taken. Nothing is left
            behind then.
    """
    source, target = Path(bundle), Path(into).absolute()
    with named(source):
        part = temporary_beside(target)
        require_free(target)
        try:
            read_bundle(source, part)
            publish(part, target)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    return target


def read_bundle(source: Path, part: Path) -> None:
    """Check an export from end to end and unpack it into the new folder ``part``."""
    _require_end_record(source)
    try:
        with zipfile.ZipFile(source) as archive:
            schema, entries = _checked(source, archive)
            part.mkdir()
            for entry in entries:
                _unpack(source, archive, entry, part)
    except _NOT_AN_ARCHIVE as error:
        raise StoreError(_no_export(source, f"not read as an archive: {error}")) from error
    if schema > 0:
        _fill_database(source, part, schema)
    sync_all(part)


# What zipfile raises on bytes that are no archive, or one of another kind.
_NOT_AN_ARCHIVE = (
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    NotImplementedError,
    EOFError,
    ValueError,
    struct.error,
)


def _require_end_record(source: Path) -> None:
    """The list of entries must be small before anything reads it into memory."""
    size = source.stat().st_size
    if size > BUNDLE_LIMIT:
        raise StoreError(_too_big(source, f"{size:,} bytes", f"at most {BUNDLE_LIMIT:,} bytes"))
    if not source.is_file():
        raise StoreError(_no_export(source, "no plain file"))
    with source.open("rb") as file:
        file.seek(max(0, size - _END_RECORD))
        end = file.read(_END_RECORD)
    if len(end) < _END_RECORD or end[:4] != b"PK\5\6":
        raise StoreError(_no_export(source, "its end is missing"))
    count, length = int.from_bytes(end[10:12], "little"), int.from_bytes(end[12:16], "little")
    if count > ENTRIES_LIMIT + 1 or length > (ENTRIES_LIMIT + 1) * 1000:
        bound = f"at most {ENTRIES_LIMIT:,} files"
        raise StoreError(_too_big(source, f"{count:,} files", bound))


def _checked(source: Path, archive: zipfile.ZipFile) -> tuple[int, list[_Entry]]:
    """Schema and entries by the manifest, which must list exactly what is there."""
    listed = archive.infolist()
    names = [info.filename for info in listed]
    for info in listed:
        _require_plain(source, info)
    if len(set(names)) != len(names) or names.count(MANIFEST) != 1:
        raise StoreError(_no_export(source, "an entry stands in it twice, or no manifest"))
    if sum(info.file_size for info in listed) > source.stat().st_size:
        raise StoreError(_too_big(source, "more than its own size", "as large as its parts"))
    if archive.getinfo(MANIFEST).file_size > _MANIFEST_LIMIT:
        raise StoreError(_too_big(source, MANIFEST, f"at most {_MANIFEST_LIMIT:,} bytes"))
    schema, entries = _manifest(source, archive.read(MANIFEST))
    if {entry.name for entry in entries} != set(names) - {MANIFEST}:
        raise StoreError(_no_export(source, "its manifest lists other entries"))
    for entry in entries:
        _require_size(source, archive.getinfo(entry.name), entry)
    return schema, entries


def _require_plain(source: Path, info: zipfile.ZipInfo) -> None:
    if info.orig_filename != info.filename or not allowed_name(info.filename):
        raise StoreError(bad_name(info.orig_filename))
    kind = stat.S_IFMT(info.external_attr >> 16)
    if kind not in (0, stat.S_IFREG) or info.is_dir():
        raise StoreError(bad_name(info.filename))
    stored = info.compress_type == zipfile.ZIP_STORED and info.compress_size == info.file_size
    if not stored or info.flag_bits & 0x1:
        raise StoreError(_no_export(source, f"{info.filename} is packed or locked"))


def _require_size(source: Path, info: zipfile.ZipInfo, entry: _Entry) -> None:
    limit = JOB_LIMIT if entry.name == JOB_FILE else FILE_LIMIT
    if info.file_size != entry.size:
        raise StoreError(_changed(source, entry.name))
    if entry.size > limit and not entry.name.startswith("site/"):
        value = f"{entry.name} with {entry.size:,} bytes"
        raise StoreError(_too_big(source, value, f"at most {limit:,} bytes"))


def _manifest(source: Path, body: bytes) -> tuple[int, list[_Entry]]:
    content = _parsed(source, MANIFEST, body)
    if content.get("format") != FORMAT:
        raise StoreError(_no_export(source, "its manifest is not ours"))
    version, schema = content.get("version"), content.get("schema")
    if not _is_count(version) or not _is_count(schema) or version < 1:
        raise StoreError(_no_export(source, "its manifest states no version"))
    if version > VERSION or schema > SCHEMA:
        raise StoreError(_newer(source, f"{version}, schema {schema}"))
    files = content.get("files")
    if not isinstance(files, list) or not all(_is_file_row(row) for row in files):
        raise StoreError(_no_export(source, "its manifest is incomplete"))
    entries = [_Entry(row["name"], row["bytes"], row["sha256"]) for row in files]
    wanted = {JOB_FILE} | ({site_name("revisions")} if schema else set())
    if not wanted <= {entry.name for entry in entries}:
        raise StoreError(_no_export(source, "it holds no job"))
    return schema, entries


def _unpack(source: Path, archive: zipfile.ZipFile, entry: _Entry, part: Path) -> None:
    path = part / entry.name
    path.parent.mkdir(parents=True, exist_ok=True)
    digest, left = hashlib.sha256(), entry.size
    with (
        archive.open(entry.name) as packed,
        path.open("xb") as file,
        suppress(zipfile.BadZipFile),  # its own checksum is wrong: ours tells it below
    ):
        while chunk := packed.read(min(CHUNK, left + 1)):
            left -= len(chunk)
            digest.update(chunk)
            file.write(chunk)
    if left != 0 or digest.hexdigest() != entry.sha256:
        raise StoreError(_changed(source, entry.name))


def _fill_database(source: Path, part: Path, schema: int) -> None:
    """Put the rows back as they were, under the schema they were written with."""
    with closing(connect(part / DATABASE, create=True)) as connection:
        build(connection, schema)
        connection.execute("PRAGMA foreign_keys=OFF")  # what was salvaged may refer to lost rows
        with writing(connection):
            for table in TABLES:
                if table in table_names(connection):
                    _fill_table(source, part / site_name(table), connection, table)
        build(connection)
    shutil.rmtree(part / "site")


def _fill_table(source: Path, path: Path, connection: sqlite3.Connection, table: str) -> None:
    known = columns(connection, table)
    place = site_name(table)
    for number, line in enumerate(_lines(source, path, place), 1):
        row = _cells(_parsed(source, f"{place}:{number}", line), known)
        try:
            if row is None:
                raise ValueError("its cells are not those of the table")
            insert_as_is(connection, table, row)
        except (ValueError, OverflowError, sqlite3.IntegrityError) as error:
            reason = f"{place}:{number}: {error}"
            raise StoreError(_no_export(source, reason)) from error


def _lines(source: Path, path: Path, place: str) -> Iterator[bytes]:
    with suppress(FileNotFoundError), path.open("rb") as file:
        while line := file.readline(_LINE_LIMIT):
            if not line.endswith(b"\n"):
                raise StoreError(_no_export(source, f"{place}: a line is cut short or too long"))
            yield line


def _cells(row: dict[str, Any], known: dict[str, tuple[str, bool]]) -> dict[str, Cell] | None:
    """Cells as the table stores them; None where one does not belong there."""
    if "body" in known:
        body = _body(row)
        if body is None:
            return None
        row = {name: value for name, value in row.items() if name != "body_base64"}
        row["body"] = body
    if not set(row) <= set(known):
        return None
    kinds = {"TEXT": str, "INTEGER": int, "REAL": float, "BLOB": bytes}
    fits = all(type(value) is kinds[known[name][0]] for name, value in row.items())
    return row if fits else None


def _body(row: dict[str, Any]) -> bytes | None:
    text, coded = row.get("body"), row.get("body_base64")
    try:
        if isinstance(text, str) and coded is None:
            return text.encode("utf-8")
        if isinstance(coded, str) and text is None:
            return base64.b64decode(coded, validate=True)
    except (UnicodeEncodeError, binascii.Error):
        return None
    return None


def _parsed(source: Path, place: str, body: bytes) -> dict[str, Any]:
    try:
        content = json.loads(body, parse_constant=_refuse_number, parse_float=_finite)
    except (ValueError, RecursionError) as error:
        raise StoreError(_no_export(source, f"{place}: {error}")) from error
    if not isinstance(content, dict):
        raise StoreError(_no_export(source, f"{place}: not an object"))
    return content


def _finite(text: str) -> float:
    value = float(text)
    return value if math.isfinite(value) else _refuse_number(text)


def _refuse_number(text: str) -> NoReturn:
    raise ValueError(f"{text[:40]} is no finite number")


def _is_count(value: object) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**53


def _is_file_row(row: object) -> bool:
    return (
        isinstance(row, dict)
        and isinstance(row.get("name"), str)
        and _is_count(row.get("bytes"))
        and isinstance(row.get("sha256"), str)
    )


def _no_export(source: Path, reason: str) -> Finding:
    return Finding(
        "SR-050",
        file=str(source),
        bound=f"a whole export of a job ({reason[:300]})",
        remedy="Nothing was written. Fetch the file again, or use another copy.",
    )


def _newer(source: Path, value: str) -> Finding:
    return Finding(
        "SR-051",
        file=str(source),
        key="version",
        value=value,
        bound=f"{VERSION}, schema {SCHEMA}, or older",
        remedy="It was written by a newer rafterstay: install that. Nothing was written.",
    )


def _too_big(source: Path, value: str, bound: str) -> Finding:
    return Finding(
        "SR-053",
        file=str(source),
        key="export",
        value=value,
        bound=bound,
        remedy="Nothing was written.",
    )


def _changed(source: Path, name: str) -> Finding:
    return Finding(
        "SR-054",
        file=str(source),
        key=name,
        bound="as it was exported, and its checksum differs",
        remedy="Nothing was written. Fetch the file again, or use another copy.",
    )
