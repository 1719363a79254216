"""Save what can be saved of a damaged job folder into a new one; the old is left as it is."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path

from rafterstay.core.errors import StoreError
from rafterstay.store import revisions
from rafterstay.store.carve import carve
from rafterstay.store.checkup import row_faults
from rafterstay.store.faults import named
from rafterstay.store.files import (
    FILE_LIMIT,
    FOLDERS,
    JOB_LIMIT,
    publish,
    read_bounded,
    require_free,
    sync_all,
    temporary_beside,
)
from rafterstay.store.folder import JOB_FILE, find_folder
from rafterstay.store.rows import insert_as_is
from rafterstay.store.schema import (
    DATABASE,
    TABLES,
    build,
    columns,
    connect,
    copy_database,
    require_readable,
    writing,
)
from rafterstay.store.seals import Cell, is_whole

__all__ = ["REPORT", "Salvaged", "salvage"]

REPORT = "salvage.txt"


@dataclass
class Salvaged:
    """What was saved of a damaged job folder.

    Attributes:
        path: The new job folder.
        whole: For each table the rows saved whole, each proved by its seal.
        altered: Rows that could be read but are not as they were written; kept, and told.
        lost: Rows that must have been there and are nowhere to be found, and files.
    """

    path: Path
    whole: dict[str, int] = field(default_factory=dict)
    altered: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)

    def told(self) -> str:
        """The account that is kept beside what was saved."""
        lines = [f"{table}: {count} saved whole" for table, count in self.whole.items()]
        lines += [f"altered since it was written: {name}" for name in self.altered]
        lines += [f"lost: {name}" for name in self.lost]
        return "\n".join(lines) + "\n"


def salvage(path: Path | str, into: Path | str) -> Salvaged:
    """Save what can be saved of a job folder into a new one.

    Rows are read by the database's own tree as far as that goes, from both ends, and then found
    page by page. Rows lost from the end of a table leave no trace and cannot be counted.

    Args:
        path: The damaged folder; nothing in it is touched.
        into: The folder to make.

    Returns:
        What was saved, what was altered and what is lost. [-]

    Raises:
        StoreError: SR-001 no job there; SR-030 or SR-031 the database is not ours to read;
            SR-055 ``into`` is there already.
    """
    folder, target = find_folder(path), Path(into).absolute()
    report = Salvaged(target)
    with named(folder):
        part = temporary_beside(target)
        require_free(target)
        try:
            part.mkdir()
            _save_files(folder, part, report)
            if (folder / DATABASE).exists():
                _save_rows(folder / DATABASE, part, report)
            (part / REPORT).write_text(report.told(), encoding="utf-8")
            sync_all(part)
            publish(part, target)
        finally:
            shutil.rmtree(part, ignore_errors=True)
    return report


def _save_files(folder: Path, part: Path, report: Salvaged) -> None:
    beside = sorted(path for name in FOLDERS for path in (folder / name).rglob("*"))
    for path in [folder / JOB_FILE, *beside]:
        name = path.relative_to(folder)
        if path.is_symlink() or not path.is_file():
            continue
        limit = JOB_LIMIT if path.name == JOB_FILE else FILE_LIMIT
        copy = part / name
        copy.parent.mkdir(parents=True, exist_ok=True)
        try:
            body = read_bounded(path, limit)
            copy.write_bytes(body or b"")
        except (OSError, StoreError) as error:
            report.lost.append(f"{name} ({error})")


def _save_rows(database: Path, part: Path, report: Salvaged) -> None:
    with suppress(_HeaderLost):
        _require_ours(database)
    with closing(connect(part / DATABASE, create=True)) as target:
        build(target)
        target.execute("PRAGMA foreign_keys=OFF")  # a row may refer to one that is lost
        doubtful = []
        with writing(target):
            for table, row in _by_tree(database):
                if is_whole(table, row):
                    _put(target, table, row)
                else:
                    doubtful.append((table, row))
            kinds = {
                table: {name: kind for name, (kind, _) in columns(target, table).items()}
                for table in TABLES
            }
            for table, row in carve(database, kinds):
                _put(target, table, row)
            for table, row in doubtful:
                _put(target, table, row)
        _account(target, report)
        _replace_lost_job(target, part)


class _HeaderLost(Exception):
    """The first page is damaged; the others may be sound."""


def _require_ours(database: Path) -> None:
    try:
        require_readable(database)
    except StoreError as error:
        if error.findings[0].code == "SR-032":
            raise _HeaderLost from error
        raise


def _by_tree(database: Path) -> Iterator[tuple[str, dict[str, Cell]]]:
    """Rows as SQLite itself reaches them, from both ends of each table."""
    with tempfile.TemporaryDirectory(prefix="rafterstay-") as private:
        copy = copy_database(database, Path(private))
        with closing(sqlite3.connect(copy, isolation_level=None)) as source:
            for table in TABLES:
                for order in ("ASC", "DESC"):
                    try:
                        yield from _walk(source, table, order)
                        break
                    except sqlite3.Error:
                        continue


def _walk(
    source: sqlite3.Connection, table: str, order: str
) -> Iterator[tuple[str, dict[str, Cell]]]:
    query = f"SELECT * FROM {table} ORDER BY id {order}"  # noqa: S608
    cursor = source.execute(query)
    names = [name for name, *_ in cursor.description]
    for row in cursor:
        yield table, dict(zip(names, row, strict=True))


def _put(target: sqlite3.Connection, table: str, row: dict[str, Cell]) -> None:
    """Put a row back unless its number is taken, or unless it breaks a rule of the table."""
    with suppress(sqlite3.Error):
        insert_as_is(target, table, row)


def _account(target: sqlite3.Connection, report: Salvaged) -> None:
    for table in TABLES:
        query = f"SELECT count(*) FROM {table}"  # noqa: S608
        count = int(target.execute(query).fetchone()[0])
        faults = list(row_faults(target, table))
        altered = {fault.key for fault in faults if fault.code != "SR-064"}
        report.altered += sorted(altered)
        report.lost += [fault.key for fault in faults if fault.code == "SR-064"]
        report.whole[table] = count - len(altered)


def _replace_lost_job(target: sqlite3.Connection, part: Path) -> None:
    now = revisions.current(target)
    if now is not None and not (part / JOB_FILE).exists():
        with suppress(StoreError):
            (part / JOB_FILE).write_bytes(revisions.body_of(target, now.id))
