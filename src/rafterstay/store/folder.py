"""Open a job folder: read the job, save it, go back, and keep its logs."""

from __future__ import annotations

import os
import sqlite3
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store import logs, revisions
from rafterstay.store.conflict import JobText, differences
from rafterstay.store.faults import fault, named
from rafterstay.store.files import JOB_LIMIT, publish, sync_folder, temporary_beside, write_beside
from rafterstay.store.logs import Entry, Value
from rafterstay.store.revisions import Revision
from rafterstay.store.saving import Keep, Wanted, clean, found_text, place, settle
from rafterstay.store.schema import (
    DATABASE,
    build,
    connect,
    copy_database,
    forward,
    require_readable,
    view,
    writing,
)

__all__ = ["JOB_FILE", "JobFolder", "create_folder", "find_folder", "now", "open_folder", "stamp"]

JOB_FILE = "job.toml"


def open_folder(
    path: Path | str, *, patience: float = 10.0, clock: Callable[[], str] | None = None
) -> JobFolder:
    """Open a job.

    Args:
        path: The folder, or its ``job.toml``. ``site.sqlite`` need not exist yet.
        patience: Longest wait for another writer. [s]
        clock: Gives the time to write down; the system's, in UTC, if left out.

    Returns:
        The open folder; ``notices`` tells what a killed program left behind. [-]

    Raises:
        StoreError: SR-001 no job there; SR-030 written by a newer rafterstay; SR-031 or SR-032
            ``site.sqlite`` is foreign or damaged; SR-010 to SR-015 the disk refuses.
    """
    folder = find_folder(path)
    with named(folder):
        return JobFolder(folder, patience, clock or now)


def create_folder(path: Path | str, text: str, *, note: str = "new") -> JobFolder:
    """Make a job folder with a first text.

    Args:
        path: A name that is not taken yet.
        text: What ``job.toml`` shall hold.
        note: Note of its first revision.

    Returns:
        The open folder. [-]

    Raises:
        StoreError: SR-055 the name is taken; SR-003 the text is too long.
    """
    folder = Path(path)
    body = _encoded(text)
    with named(folder):
        part = temporary_beside(folder.absolute())
        part.mkdir(parents=True)
        write_beside(part / JOB_FILE, body).rename(part / JOB_FILE)
        sync_folder(part)
        try:
            publish(part, folder.absolute())
        except StoreError:
            (part / JOB_FILE).unlink()
            part.rmdir()
            raise
    opened = open_folder(folder)
    opened.save(body, note=note, expected=opened.read().fingerprint)
    return opened


def find_folder(path: Path | str) -> Path:
    """The folder of a job, from the folder itself or its ``job.toml``.

    Raises:
        StoreError: SR-001 there is neither a job.toml nor a site.sqlite.
    """
    given = Path(path)
    folder = given.parent if given.name == JOB_FILE and not given.is_dir() else given
    with named(given):
        there = any(_is_there(folder / name) for name in (JOB_FILE, DATABASE))
    if not there:
        raise StoreError(
            Finding(
                "SR-001",
                file=str(given),
                bound="a job folder, which holds job.toml",
                remedy="`rafterstay new` makes one.",
            )
        )
    return folder


def now() -> str:
    """The time in UTC to the millisecond, as it is written down everywhere."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def stamp(at: str) -> str:
    """A time as part of a file name.

    >>> stamp("2031-05-04T09:08:07.006Z")
    '20310504T090807.006Z'
    """
    return at.replace("-", "").replace(":", "")


class JobFolder:
    """An open job folder. Close it, or use it in a ``with``; threads may share it.

    Attributes:
        path: The folder.
        read_only: The folder cannot be written; what is there can be read.
        notices: What was found on opening: SR-070 to SR-074.
    """

    def __init__(self, path: Path, patience: float, clock: Callable[[], str]) -> None:
        self.path = path
        self.read_only = not os.access(path, os.W_OK | os.X_OK)
        self.notices: tuple[Finding, ...] = ()
        self._file = path / JOB_FILE
        self._patience = patience
        self._clock = clock
        self._busy = threading.RLock()
        self._database = path / DATABASE
        self._private: tempfile.TemporaryDirectory[str] | None = None
        self._connection: sqlite3.Connection | None = None
        if self._database.exists():
            self._open_database()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the files."""
        with self._busy:
            if self._connection is not None:
                self._connection.close()
                self._connection = None
            if self._private is not None:
                self._private.cleanup()
                self._private = None

    def read(self) -> JobText:
        """``job.toml`` as it stands now.

        Raises:
            StoreError: SR-001 it is missing; SR-002, SR-003 it is no file, or too large.
        """
        with self._busy, named(self._file):
            found = found_text(self._connection, self._file)
        if found is None:
            raise StoreError(_no_file(self.path))
        return found

    def save(
        self,
        text: str | bytes,
        *,
        note: str = "",
        expected: str | None = None,
        keep: Keep | None = None,
        validate: bool = False,
    ) -> Revision:
        """Record a text as a revision and make it ``job.toml``.

        Args:
            text: The whole text.
            note: Why, for the list of revisions.
            expected: Fingerprint of the text it was made from, as ``read`` gave it. Left out:
                the revision recorded last.
            keep: Where job.toml is not what was expected: ``"mine"`` puts this text in place,
                ``"file"`` leaves the file and keeps this text as a revision. Left out: ask.
            validate: Refuse a text that is not a valid job, before anything is written.

        Returns:
            The revision that counts now. It is on the disk when this returns. [-]

        Raises:
            Conflict: SR-020 job.toml is not what was expected; nothing was written.
            StoreError: SR-003 too long; SR-010 to SR-016 the disk refuses.
        """
        body = _encoded(text)
        if validate:
            _require_valid(body, self.path)
        return self._place(Wanted(body, note, expected=expected, keep=keep))

    def undo(self, *, note: str = "", expected: str | None = None) -> Revision:
        """Make the text before the current one current again, as a new revision.

        A further undo goes further back. Log entries stay.

        Args:
            note: Why.
            expected: Fingerprint of job.toml as its user has it before their eyes. A text that
                was changed outside is recorded and undone if this is its fingerprint.

        Raises:
            StoreError: SR-022 there is nothing before; SR-020 as ``save``.
        """
        with self._busy:
            found = found_text(self._connection, self._file)
            if found and found.revision is None and found.fingerprint == expected:
                self.save(found.body, note="changed outside", expected=expected)
            with self._recorded() as connection:
                target = revisions.undo_target(connection)
            return self._again(target, "undo", note, expected)

    def restore(self, number: int, *, note: str = "", expected: str | None = None) -> Revision:
        """Make the text of revision ``number`` current again, as a new revision.

        Raises:
            StoreError: SR-021 no such revision; SR-020 as ``save``.
        """
        with self._busy:
            with self._recorded() as connection:
                target = revisions.find(connection, number)
            return self._again(target, "restore", note, expected)

    def revisions(self) -> tuple[Revision, ...]:
        """All revisions, newest first."""
        with self._recorded() as connection:
            return tuple(revisions.listed(connection))

    def body_of(self, number: int) -> bytes:
        """The text of revision ``number``.

        Raises:
            StoreError: SR-021 no such revision; SR-062 it was altered after it was recorded.
        """
        with self._recorded() as connection:
            revisions.find(connection, number)
            return revisions.body_of(connection, number)

    def differences(self, old: int, new: int | None = None) -> str:
        """Unified differences from one revision to another, or to ``job.toml``."""
        later = self.read().body if new is None else self.body_of(new)
        name = JOB_FILE if new is None else f"revision {new}"
        return differences(self.body_of(old), later, f"revision {old}", name)

    def append(
        self,
        log: str,
        values: Mapping[str, Value],
        *,
        who: str,
        taken: str,
        note: str = "",
        corrects: int | None = None,
        why: str = "",
    ) -> Entry:
        """Write an entry into a log. It is on the disk when this returns.

        Args:
            log: ``survey_readings``, ``press_log``, ``proof_pulls``, ``tension_readings``,
                ``inspections`` or ``recordings``.
            values: The columns of that log, SI, the unit in the name; see docs/job-folder.md.
            who: Who did it.
            taken: When it was done, as stated by the user.
            note: Anything else.
            corrects: Number of an earlier entry whose place this one takes.
            why: Why it corrects; needed then.

        Returns:
            The entry as stored. [-]

        Raises:
            StoreError: SR-040 to SR-042 wrong log, value or correction; nothing was written.
        """
        at = self._clock()
        with self._writing() as connection:
            return logs.append(
                connection,
                log,
                values,
                at=at,
                who=who,
                taken=taken,
                revision=self._revision_now(connection, at),
                note=note,
                corrects=corrects,
                why=why,
            )

    def withdraw(self, log: str, number: int, *, who: str, why: str) -> Entry:
        """Say that an entry was wrong and that nothing takes its place; it stays readable.

        Raises:
            StoreError: SR-042 no such entry, or it was corrected already.
        """
        with self._writing() as connection:
            return logs.withdraw(connection, log, number, at=self._clock(), who=who, why=why)

    def entries(self, log: str, *, superseded: bool = False) -> tuple[Entry, ...]:
        """Entries of a log in the order written; ``superseded`` adds those corrected since."""
        with self._recorded() as connection:
            return tuple(logs.entries(connection, log, superseded=superseded))

    @contextmanager
    def snapshot(self) -> Iterator[tuple[JobText, sqlite3.Connection | None]]:
        """The job and its database as they are now, while others go on writing.

        Yields:
            ``job.toml``, and a connection that sees this moment until the block ends; None
            where nothing was recorded yet.
        """
        with self._reading() as connection:
            if connection is None:
                yield self.read(), None
                return
            with view(self._database) as still:
                job = self._freeze(connection, still)
                yield job, still

    def _freeze(self, connection: sqlite3.Connection, still: sqlite3.Connection) -> JobText:
        """Let ``still`` begin to see at a moment when no save is half done."""
        while not self.read_only and revisions.pending(connection):
            with writing(connection):
                settle(connection, self._file, self._clock())
        with writing(connection):
            still.execute("BEGIN")
            still.execute("SELECT count(*) FROM sqlite_schema").fetchone()
            return self.read()

    def _place(self, wanted: Wanted) -> Revision:
        with self._busy, named(self.path):
            return place(self._writable(), self._file, wanted, self._clock())

    def _again(self, target: Revision, kind: str, note: str, expected: str | None) -> Revision:
        body = self.body_of(target.id)
        said = note or f"{kind}: revision {target.id}"
        keep: Keep | None = None if os.path.lexists(self._file) else "mine"
        return self._place(Wanted(body, said, kind, target.id, expected, keep))

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection | None]:
        with self._busy, named(self.path):
            if self._connection is None and self._database.exists():
                self._open_database()
            yield self._connection

    @contextmanager
    def _recorded(self) -> Iterator[sqlite3.Connection]:
        """What was recorded; an empty database, not on the disk, where nothing was."""
        with self._reading() as connection:
            if connection is not None:
                yield connection
                return
            with closing(sqlite3.connect(":memory:", isolation_level=None)) as empty:
                build(empty)
                yield empty

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with self._busy, named(self.path):
            connection = self._writable()
            with writing(connection):
                yield connection

    def _writable(self) -> sqlite3.Connection:
        if self.read_only:
            raise StoreError(_read_only(self.path))
        if self._connection is None:
            return self._open_database(create=True)
        return self._connection

    def _open_database(self, *, create: bool = False) -> sqlite3.Connection:
        path = self._database
        if path.exists():
            require_readable(path)
        at = self._clock()
        if self.read_only:
            self._private = tempfile.TemporaryDirectory(prefix="rafterstay-")
            path = self._database = copy_database(path, Path(self._private.name))
        connection = connect(path, patience=self._patience, create=create)
        try:
            copy = forward(path, connection, path.parent / "backups", stamp(at))
            self.notices = tuple(self._noticed(connection, at, copy))
        except BaseException:
            connection.close()
            raise
        self._connection = connection
        return connection

    def _noticed(
        self, connection: sqlite3.Connection, at: str, copy: Path | None
    ) -> Iterator[Finding]:
        if copy is not None and not self.read_only:
            yield Finding(
                "SR-074",
                file=str(copy),
                bound="kept: the database as it was before this program brought it forward",
            )
        if not self.read_only and revisions.pending(connection):
            yield from self._settled(connection, at)
        found = found_text(connection, self._file)
        last = revisions.current(connection)
        if found is not None and found.revision is None and last is not None:
            yield Finding(
                "SR-073",
                file=str(self._file),
                bound=f"changed by another program since revision {last.id}",
                remedy="Its text counts; the next save records it first.",
            )

    def _settled(self, connection: sqlite3.Connection, at: str) -> list[Finding]:
        """On a full disk nothing can be settled, and what is there can still be read."""
        try:
            with writing(connection):
                told = settle(connection, self._file, at)
                clean(self.path)
                return told
        except (OSError, sqlite3.Error) as error:
            named_fault = fault(error, self.path)
            if named_fault.findings[0].code not in ("SR-010", "SR-013"):
                raise
            remedy = "A save that was cut short waits to be settled. Make room."
            return [Finding("SR-076", file=str(self.path), bound=str(error), remedy=remedy)]

    def _revision_now(self, connection: sqlite3.Connection, at: str) -> int | None:
        """The revision an entry refers to; a text found changed is recorded first."""
        settle(connection, self._file, at)
        found = found_text(connection, self._file)
        if found is None or found.revision is not None:
            return found.revision if found else None
        first = revisions.current(connection) is None
        note = "as found" if first else "changed outside"
        kept = revisions.record(
            connection, found.body, at=at, kind="outside", note=note, outcome="placed"
        )
        return kept.id


def _is_there(path: Path) -> bool:
    """Whether something has this name; not to be allowed to look is another matter."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    return True


def _encoded(text: str | bytes) -> bytes:
    body = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    if len(body) > JOB_LIMIT:
        raise StoreError(
            Finding(
                "SR-003",
                file=JOB_FILE,
                value=f"{len(body):,} bytes",
                bound=f"at most {JOB_LIMIT:,} bytes",
            )
        )
    return body


def _require_valid(body: bytes, folder: Path) -> None:
    """A job that cannot be read raises the findings of the job package."""
    from rafterstay.catalog import load_own
    from rafterstay.job import loads

    loads(body.decode("utf-8"), catalogue=load_own(folder))


def _read_only(path: Path) -> Finding:
    return Finding(
        "SR-011",
        file=str(path),
        bound="not written: the folder is read-only",
        remedy="Copy the job to a place that can be written.",
    )


def _no_file(path: Path) -> Finding:
    return Finding(
        "SR-001",
        file=str(path),
        bound="a job folder, which holds job.toml",
        remedy="`rafterstay store revisions` lists the texts recorded, `store revert` brings one "
        "back.",
    )
