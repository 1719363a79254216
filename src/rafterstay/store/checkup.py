"""Is everything in this job folder as it was written? Looks, and changes nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store import revisions
from rafterstay.store.faults import fault, named
from rafterstay.store.files import (
    JOB_LIMIT,
    files_in,
    fingerprint,
    fingerprint_of,
    read_bounded,
    stray_files,
)
from rafterstay.store.folder import JOB_FILE, find_folder
from rafterstay.store.rows import plain
from rafterstay.store.schema import DATABASE, SCHEMA, TABLES, objects, require_readable, view
from rafterstay.store.seals import has_own_text, seal

__all__ = ["Checkup", "check", "row_faults"]

_MOST_TOLD = 100  # findings of one kind


@dataclass(frozen=True)
class Checkup:
    """What a look at a job folder found.

    Attributes:
        faults: Something is damaged, altered or missing.
        remarks: Worth knowing; nothing is wrong.
        counts: Rows in each table that could be read.
    """

    faults: tuple[Finding, ...]
    remarks: tuple[Finding, ...]
    counts: dict[str, int]


def check(path: Path | str) -> Checkup:
    """Look at a job folder from end to end.

    Args:
        path: The folder, or its ``job.toml``.

    Returns:
        Faults and remarks, SR-060 to SR-068 and SR-070 to SR-075. [-]

    Raises:
        StoreError: SR-001 no job there; SR-030 or SR-031 the database is not one to judge.
    """
    folder = find_folder(path)
    faults: list[Finding] = []
    remarks: list[Finding] = []
    counts: dict[str, int] = {}
    with named(folder):
        faults += _job_faults(folder)
        remarks += [_stray(path) for path in stray_files(folder)]
        database = folder / DATABASE
        if database.exists():
            try:
                _look_inside(folder, database, faults, remarks, counts)
            except sqlite3.Error as error:
                faults += fault(error, database).findings
            except StoreError as error:
                if error.findings[0].code != "SR-032":
                    raise
                faults += error.findings
    return Checkup(tuple(faults), tuple(remarks), counts)


def row_faults(connection: sqlite3.Connection, table: str) -> Iterator[Finding]:
    """Rows of a table that were altered, or that are gone from between others.

    Raises:
        sqlite3.DatabaseError: A page of the table cannot be read.
    """
    before = 0
    for row in plain(connection, table):
        number = int(str(row["id"]))
        if number != before + 1:
            lost = str(before + 1) if number == before + 2 else f"{before + 1} to {number - 1}"
            yield _fault("SR-064", f"{table} {lost}", "there, and it is missing")
        if row["seal"] != seal(table, row):
            yield _fault("SR-063", f"{table} {number}", "as it was written, and it was altered")
        if not has_own_text(row):
            yield _fault("SR-062", f"{table} {number}", "as recorded, and its text was altered")
        before = number


def _look_inside(
    folder: Path,
    database: Path,
    faults: list[Finding],
    remarks: list[Finding],
    counts: dict[str, int],
) -> None:
    require_readable(database)
    with view(database) as connection:
        # Not what the bytes state: a log that was cut short may state what never came to be.
        schema = int(connection.execute("PRAGMA user_version").fetchone()[0])
        faults += _some(_structure_faults(connection))
        faults += _rule_faults(connection, schema)
        for table in TABLES:
            if table not in objects(schema):
                continue
            try:
                query = f"SELECT count(*) FROM {table}"  # noqa: S608
                counts[table] = int(connection.execute(query).fetchone()[0])
                faults += _some(row_faults(connection, table))
            except sqlite3.Error as error:
                told = fault(error, database).findings[0]
                faults.append(_fault(told.code, f"table {table}", told.bound, told.remedy))
        if 0 < schema < SCHEMA:
            bound = f"at {SCHEMA}; the next opening keeps a copy and brings it forward"
            remarks.append(Finding("SR-075", key="schema", value=str(schema), bound=bound))
        if schema > 0 and not faults:
            remarks += _revision_remarks(folder, connection)
            if "recordings" in counts:
                faults += _some(_recording_faults(folder, connection))


def _structure_faults(connection: sqlite3.Connection) -> Iterator[Finding]:
    """What SQLite itself says of its pages and of rows that refer to others."""
    try:
        for (said,) in connection.execute(f"PRAGMA integrity_check({_MOST_TOLD})"):
            if said != "ok":
                yield _fault("SR-060", "site.sqlite", f"whole ({said[:200]})", _SALVAGE)
        for table, row, *_ in connection.execute("PRAGMA foreign_key_check"):
            bound = "tied to a row that is there, and that row is missing"
            yield _fault("SR-061", f"{table} {row}", bound)
    except sqlite3.Error as error:
        yield _fault("SR-060", "site.sqlite", f"whole ({error})", _SALVAGE)


def _rule_faults(connection: sqlite3.Connection, schema: int) -> Iterator[Finding]:
    """Tables and triggers that are not as this program makes them."""
    found = dict(connection.execute("SELECT name, sql FROM sqlite_schema WHERE sql NOTNULL"))
    wanted = objects(schema)
    for name, sql in wanted.items():
        if found.get(name) != sql:
            bound = "as this program makes it: the rules that keep entries were changed"
            yield _fault("SR-065", name, bound)
    for name in sorted(set(found) - set(wanted)):
        yield _fault("SR-065", name, "one of ours, and it was added by something else")


def _job_faults(folder: Path) -> Iterator[Finding]:
    try:
        body = read_bounded(folder / JOB_FILE, JOB_LIMIT)
    except StoreError as error:
        yield from error.findings
        return
    if body is None:
        remedy = (
            "`rafterstay store revisions` lists the texts recorded, `store revert` brings one back."
        )
        yield _fault("SR-001", JOB_FILE, "there, and it is missing", remedy)
    try:
        for _ in files_in(folder):
            pass
    except StoreError as error:
        yield from error.findings


def _revision_remarks(folder: Path, connection: sqlite3.Connection) -> Iterator[Finding]:
    made = revisions.pending(connection)
    if made is not None:
        bound = "settled: its save was cut short, and the next opening settles it"
        yield Finding("SR-071", key="revision", value=str(made.id), bound=bound)
    now = revisions.current(connection)
    body = read_bounded(folder / JOB_FILE, JOB_LIMIT)
    if now is not None and body is not None and fingerprint(body) != now.fingerprint:
        yield Finding(
            "SR-073",
            file=JOB_FILE,
            bound=f"changed by another program since revision {now.id}",
            remedy="Its text counts; the next save records it first.",
        )


def _recording_faults(folder: Path, connection: sqlite3.Connection) -> Iterator[Finding]:
    """A recording is evidence only together with the file it was heard from."""
    for row in plain(connection, "recordings"):
        path, place = folder / str(row["path"]), f"recordings {int(str(row['id']))}"
        if ".." in path.parts or path.is_symlink() or not path.is_file():
            yield _fault("SR-066", place, f"with its file {path.name}")
        elif fingerprint_of(path) != row["sha256"]:
            bound = f"with its file {path.name} unchanged, and that was altered"
            yield _fault("SR-066", place, bound)


def _some(findings: Iterator[Finding]) -> Iterator[Finding]:
    """The first of many findings of a kind, and that there are more."""
    for number, finding in enumerate(findings):
        if number == _MOST_TOLD:
            yield _fault(finding.code, "more", "read one by one: there are more of this kind")
            return
        yield finding


_SALVAGE = "Leave it as it is; `rafterstay store salvage` saves what can be saved."


def _fault(code: str, key: str, bound: str, remedy: str = "Compare with a backup.") -> Finding:
    return Finding(code, key=key, bound=bound, remedy=remedy)


def _stray(path: Path) -> Finding:
    return Finding(
        "SR-068",
        file=str(path),
        bound="left half-made by a program that was stopped",
        remedy="Nothing in it counts; the next save removes it.",
    )
