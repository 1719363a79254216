"""What is inside ``site.sqlite``, how it is opened, and how an older one is brought forward."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import cache
from importlib.resources import files as package_files
from pathlib import Path

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.faults import is_busy
from rafterstay.store.files import publish, sync_folder, temporary_beside

__all__ = [
    "DATABASE",
    "LOGS",
    "SCHEMA",
    "TABLES",
    "build",
    "columns",
    "connect",
    "copy_database",
    "copy_whole",
    "forward",
    "objects",
    "require_readable",
    "stated_schema",
    "table_names",
    "view",
    "writing",
]

DATABASE = "site.sqlite"
APPLICATION_ID = 0x52465359  # "RFSY", kept in the file's header
LOGS = (
    "survey_readings",
    "press_log",
    "proof_pulls",
    "tension_readings",
    "inspections",
    "recordings",
)
TABLES = ("revisions", "outcomes", *LOGS)
_STEPS = (
    ("001-build.sql", TABLES[:6]),
    ("002-upkeep.sql", TABLES[6:]),
)
SCHEMA = len(_STEPS)

_MAGIC = b"SQLite format 3\0"
_VALUE_LIMIT = 16_000_000  # bytes of one value or row
_WAL_HEADER, _WAL_FRAME = 32, 24
# Offsets in the header; sqlite.org/fileformat2 section 1.3.
_COOKIE_AT, _SCHEMA_AT, _APPLICATION_AT = 40, 60, 68


def connect(path: Path, *, patience: float = 10.0, create: bool = False) -> sqlite3.Connection:
    """A connection that loses nothing it has acknowledged.

    Args:
        path: ``site.sqlite``.
        patience: Longest wait for another writer. [s]
        create: Make the file when it is missing.

    Returns:
        An open connection, WAL and ``synchronous=FULL``, transactions begun by hand. [-]
    """
    mode = "rwc" if create else "rw"
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(
        uri, uri=True, timeout=patience, isolation_level=None, check_same_thread=False
    )
    try:
        _set_wal(connection, patience)
        for pragma in ("synchronous=FULL", "foreign_keys=ON", "recursive_triggers=ON"):
            connection.execute(f"PRAGMA {pragma}")
        _harden(connection)
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def view(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that cannot write; ``site.sqlite`` keeps its bytes.

    In a folder that cannot be written the database and its log are read from a private copy.
    """
    if os.access(path.parent, os.W_OK) and os.access(path, os.R_OK):
        uri = f"{path.absolute().as_uri()}?mode=ro"
        with closing(sqlite3.connect(uri, uri=True, isolation_level=None)) as connection:
            _harden(connection)
            yield connection
        return
    with tempfile.TemporaryDirectory(prefix="rafterstay-") as private:
        copy = copy_database(path, Path(private))
        with closing(sqlite3.connect(copy, isolation_level=None)) as connection:
            _harden(connection)
            connection.execute("PRAGMA query_only=ON")
            yield connection


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """One transaction that holds the job's only writing lock from its first moment."""
    _take_lock(connection)
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            if connection.in_transaction:
                connection.execute("ROLLBACK")
        raise


def copy_database(path: Path, folder: Path) -> Path:
    """Copy a database that nobody can be writing, together with its write-ahead log."""
    copy = folder / DATABASE
    shutil.copyfile(path, copy)
    log = Path(f"{path}-wal")
    if log.exists():
        shutil.copyfile(log, f"{copy}-wal")
    return copy


def stated_schema(path: Path) -> int:
    """Schema number of a database, read from its bytes without opening it.

    Args:
        path: ``site.sqlite``; its write-ahead log is read too, where there is one.

    Returns:
        The highest number that the header or a frame of the log states; 0 for a new file. [-]

    Raises:
        StoreError: SR-031 the file belongs to another program; SR-032 it is no database.

    Source: sqlite.org/fileformat2, sections 1.3 (header) and 4.1 (write-ahead log)
    """
    with path.open("rb") as file:
        header = file.read(100)
    if header and not header.startswith(_MAGIC):
        raise StoreError(_damaged(path, "its header is not that of a database"))
    pages = [*([header] if header else []), *_first_pages_in_log(Path(f"{path}-wal"))]
    if not all(_is_ours(page) for page in pages):
        raise StoreError(_foreign(path))
    return max((_number(page, _SCHEMA_AT) for page in pages), default=0)


def require_readable(path: Path) -> int:
    """The schema of a database this program can read; a newer one is refused untouched.

    Raises:
        StoreError: SR-030 the schema is newer; SR-031, SR-032 as ``stated_schema``.
    """
    schema = stated_schema(path)
    if schema > SCHEMA:
        raise StoreError(
            Finding(
                "SR-030",
                file=str(path),
                key="schema",
                value=str(schema),
                bound=f"{SCHEMA} or less",
                remedy="It was written by a newer rafterstay: install that. Nothing was touched.",
            )
        )
    return schema


def build(connection: sqlite3.Connection, schema: int = SCHEMA) -> None:
    """Bring an open database forward to ``schema``, all steps in one transaction.

    Raises:
        StoreError: SR-031 the database has tables that are not ours.
    """
    with writing(connection):
        _bring(connection, schema)


def forward(path: Path, connection: sqlite3.Connection, backups: Path, stamp: str) -> Path | None:
    """Bring ``site.sqlite`` to this program's schema, a copy of the old one put by first.

    Args:
        path: ``site.sqlite``.
        connection: A connection to it.
        backups: Folder for the copy.
        stamp: Date and time for the name of the copy.

    Returns:
        The copy, or None where none was needed. [-]
    """
    if _pragma(connection, "user_version") == SCHEMA:
        return None
    with writing(connection):
        now, copy = _pragma(connection, "user_version"), None
        if 0 < now < SCHEMA:
            copy = backups / f"site-schema-{now}-{stamp}.sqlite"
            _put_by(path, copy)
        _bring(connection, SCHEMA)
    sync_folder(path.parent)
    return copy


def copy_whole(connection: sqlite3.Connection, copy: Path) -> None:
    """Copy a database through SQLite into one file, down to the disk.

    The file alone would miss what still waits in its write-ahead log.
    """
    with closing(sqlite3.connect(copy, isolation_level=None)) as target:
        connection.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
    with copy.open("rb+") as file:
        os.fsync(file.fileno())


def columns(connection: sqlite3.Connection, table: str) -> dict[str, tuple[str, bool]]:
    """Columns of a table in order: name to (type, whether it must be filled)."""
    rows = connection.execute("SELECT name, type, `notnull` FROM pragma_table_info(?)", (table,))
    return {name: (kind, bool(required)) for name, kind, required in rows}


def table_names(connection: sqlite3.Connection) -> list[str]:
    """Tables of a database, its own bookkeeping left out."""
    rows = connection.execute(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT GLOB 'sqlite_*'"
    )
    return [str(name) for (name,) in rows]


@cache
def objects(schema: int = SCHEMA) -> dict[str, str]:
    """Every table and trigger of a schema: name to its SQL."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        build(connection, schema)
        return dict(connection.execute("SELECT name, sql FROM sqlite_schema WHERE sql NOTNULL"))


def _take_lock(connection: sqlite3.Connection) -> None:
    """Begin a writing transaction, every waiting writer with the same chance.

    SQLite's own waiting asks less often the longer it has waited, so that among many writers
    one that came early is passed by those that come late.
    """
    patience = _pragma(connection, "busy_timeout")  # [ms]
    until = time.monotonic() + patience / 1000
    connection.execute("PRAGMA busy_timeout=0")
    try:
        while True:
            try:
                connection.execute("BEGIN IMMEDIATE")
                return
            except sqlite3.OperationalError as error:
                if not is_busy(error) or time.monotonic() > until:
                    raise
            time.sleep(random.uniform(0.001, 0.01))  # noqa: S311 - only to spread the askers
    finally:
        connection.execute(f"PRAGMA busy_timeout={patience}")


def _set_wal(connection: sqlite3.Connection, patience: float) -> None:
    """Changing the journal does not wait for other connections by itself."""
    until = time.monotonic() + patience
    while True:
        try:
            connection.execute("PRAGMA journal_mode=WAL")
            return
        except sqlite3.OperationalError as error:
            if not is_busy(error) or time.monotonic() > until:
                raise
            time.sleep(0.01)


def _harden(connection: sqlite3.Connection) -> None:
    """A file from elsewhere may be crafted: bounded memory, no functions run by its schema."""
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _VALUE_LIMIT)
    for pragma in ("trusted_schema=OFF", "cell_size_check=ON", "mmap_size=0", "cache_size=-4000"):
        connection.execute(f"PRAGMA {pragma}")


def _bring(connection: sqlite3.Connection, schema: int) -> None:
    now = _pragma(connection, "user_version")
    if now == 0 and table_names(connection):
        raise StoreError(_foreign(Path(_pragma_file(connection))))
    for number in range(now, schema):
        _run_step(connection, number)


def _run_step(connection: sqlite3.Connection, number: int) -> None:
    name, tables = _STEPS[number]
    text = package_files("rafterstay.store").joinpath("steps", name).read_text("utf-8")
    for statement in text.split(";\n"):
        connection.execute(statement)
    for table in tables:
        for trigger in _guards(table):
            connection.execute(trigger)
    connection.execute(f"PRAGMA user_version={number + 1}")
    connection.execute(f"PRAGMA application_id={APPLICATION_ID}")


def _guards(table: str) -> Iterator[str]:
    """Triggers that let a table grow and do nothing else.

    A guard on inserts is needed too: INSERT OR REPLACE deletes without a word.
    """
    say = f"SELECT RAISE(ABORT, '{table}: entries are never edited or deleted')"
    yield f"CREATE TRIGGER {table}_keep_values BEFORE UPDATE ON {table} BEGIN {say}; END"
    yield f"CREATE TRIGGER {table}_keep_rows BEFORE DELETE ON {table} BEGIN {say}; END"
    unique = {"outcomes": "revision", "revisions": "id"}.get(table, "corrects")
    taken = f"SELECT 1 FROM {table} WHERE id = NEW.id OR {unique} = NEW.{unique}"  # noqa: S608
    yield (
        f"CREATE TRIGGER {table}_keep_places BEFORE INSERT ON {table} "
        f"WHEN EXISTS ({taken}) BEGIN {say}; END"
    )


def _put_by(path: Path, copy: Path) -> None:
    copy.parent.mkdir(exist_ok=True)
    part = temporary_beside(copy)
    uri = f"{path.absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(uri, uri=True)) as connection:
        copy_whole(connection, part)
    publish(part, copy)


def _first_pages_in_log(log: Path) -> list[bytes]:
    """Headers of the database that wait in the write-ahead log, committed or not."""
    pages: list[bytes] = []
    try:
        file = log.open("rb")
    except FileNotFoundError:
        return pages
    with file:
        head = file.read(_WAL_HEADER)
        if len(head) < _WAL_HEADER:
            return pages
        size, salt = _number(head, 8) or 65536, head[16:24]
        while len(frame := file.read(_WAL_FRAME)) == _WAL_FRAME and frame[8:16] == salt:
            if _number(frame, 0) == 1:
                page = file.read(size)
                if len(page) < size or not page.startswith(_MAGIC):
                    break  # the writer was stopped here; SQLite stops here too
                pages.append(page[:100])
            else:
                file.seek(size, os.SEEK_CUR)
    return pages


def _is_ours(page: bytes) -> bool:
    """Marked as ours, or still without any table: a first save was cut short."""
    mark, tables_changed = _number(page, _APPLICATION_AT), _number(page, _COOKIE_AT)
    return mark == APPLICATION_ID or (mark == 0 and tables_changed == 0)


def _number(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 4], "big")


def _pragma(connection: sqlite3.Connection, name: str) -> int:
    return int(connection.execute(f"PRAGMA {name}").fetchone()[0])


def _pragma_file(connection: sqlite3.Connection) -> str:
    return str(connection.execute("PRAGMA database_list").fetchone()[2])


def _foreign(path: Path) -> Finding:
    return Finding(
        "SR-031",
        file=str(path),
        bound="a database of rafterstay",
        remedy="Another program made this file: move it away.",
    )


def _damaged(path: Path, reason: str) -> Finding:
    return Finding(
        "SR-032",
        file=str(path),
        bound=f"readable, but it is damaged ({reason})",
        remedy="Leave it as it is; `rafterstay store salvage` saves what can be saved.",
    )
