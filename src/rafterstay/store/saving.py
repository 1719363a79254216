"""In which order is a text recorded and put in place, so that a kill leaves old or new?

1. The text is written to a temporary file beside ``job.toml`` and carried to the disk.
2. The revision is recorded with its full text: committed, on the disk.
3. The temporary file takes the name ``job.toml``; the folder is carried to the disk.
4. The outcome "placed" is committed.

A kill before 2 leaves the old text; after 2, whoever comes next finds a revision without an
outcome and finishes it. Every step runs under SQLite's writing lock. Between 2 and 4 the lock is
let go once, since 2 must be on the disk before 3 begins; another writer that takes it then
finishes the revision first, and 3 looks before it acts.
"""

from __future__ import annotations

import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store import revisions
from rafterstay.store.conflict import Conflict, JobText
from rafterstay.store.faults import is_full
from rafterstay.store.files import JOB_LIMIT, read_bounded, stray_files, swap_in, write_beside
from rafterstay.store.revisions import Revision
from rafterstay.store.schema import writing

__all__ = ["Keep", "Wanted", "clean", "found_text", "place", "settle"]

Keep = Literal["mine", "file"]


@dataclass(frozen=True)
class Wanted:
    """A text to be made current.

    Attributes:
        body: The text.
        note: Why.
        kind: ``save``, ``undo`` or ``restore``.
        source: The revision that an undo or restore repeats.
        expected: Fingerprint of the text its writer started from; None: of the last revision.
        keep: Which to keep where job.toml is not what was expected; None: ask.
    """

    body: bytes
    note: str
    kind: str = "save"
    source: int | None = None
    expected: str | None = None
    keep: Keep | None = None


def place(connection: sqlite3.Connection, path: Path, wanted: Wanted, at: str) -> Revision:
    """Record a text as a revision and make it ``job.toml``.

    Args:
        connection: A connection to ``site.sqlite``.
        path: ``job.toml``.
        wanted: The text and what its writer started from.
        at: Now, UTC.

    Returns:
        The revision that counts now; on the disk when this returns. [-]

    Raises:
        Conflict: SR-020 job.toml was changed by another program, tab or person.
    """
    begun = None
    try:
        with writing(connection):
            begun = _begin(connection, path, wanted, at)
    except BaseException:
        if isinstance(begun, tuple):
            _drop(begun[1])
        raise
    if isinstance(begun, StoreError):
        raise begun
    made, temporary = begun
    return made if temporary is None else _put_in_place(connection, path, made, temporary, at)


def settle(connection: sqlite3.Connection, path: Path, at: str) -> list[Finding]:
    """Finish what a killed save began; the caller holds the writing lock.

    Args:
        connection: An open transaction.
        path: ``job.toml``.
        at: Now, UTC.

    Returns:
        What was found and done. [-]
    """
    made = revisions.pending(connection)
    return [] if made is None else [_settle_one(connection, path, made, at, None)]


def found_text(connection: sqlite3.Connection | None, path: Path) -> JobText | None:
    """``job.toml`` as it stands, and whether it is the text recorded last."""
    body = read_bounded(path, JOB_LIMIT)
    if body is None:
        return None
    found = JobText.of(body, revisions.current(connection) if connection else None)
    if connection is not None and found.revision is None:
        made = revisions.pending(connection)
        return JobText.of(body, made)  # in place already, and not yet noted as such?
    return found


def clean(folder: Path) -> None:
    """Remove half-made files of job.toml; under the lock none of them can be in use."""
    for stray in stray_files(folder):
        if stray.name.startswith(".job.toml."):
            stray.unlink(missing_ok=True)


def _begin(
    connection: sqlite3.Connection, path: Path, wanted: Wanted, at: str
) -> StoreError | tuple[Revision, Path | None]:
    """Steps 1 and 2. A refusal is given back, not raised: what was settled before it stays."""
    settle(connection, path, at)
    clean(path.parent)
    found = found_text(connection, path)
    refusal = _refusal(connection, found, wanted)
    if refusal is not None:
        return refusal
    if wanted.keep == "file" and found is not None and found.body != wanted.body:
        _record(connection, wanted, at, "set aside")
    _record_found(connection, found, wanted, at)
    now = revisions.current(connection)
    if now and found and (wanted.keep == "file" or found.body == wanted.body):
        return now, None
    temporary = write_beside(path, wanted.body)
    try:
        return _record(connection, wanted, at, None), temporary
    except BaseException:
        _drop(temporary)
        raise


def _refusal(
    connection: sqlite3.Connection, found: JobText | None, wanted: Wanted
) -> StoreError | None:
    now = revisions.current(connection)
    known = wanted.expected or (now.fingerprint if now else None)
    there = found.fingerprint if found else None
    if there == known or wanted.keep == "mine":
        return None
    if found is None:
        return StoreError(_missing())
    same = found.body == wanted.body
    return None if same or wanted.keep == "file" else Conflict(found, wanted.body)


def _record_found(
    connection: sqlite3.Connection, found: JobText | None, wanted: Wanted, at: str
) -> None:
    """A text that another program wrote is recorded before anything takes its place."""
    now = revisions.current(connection)
    if found is None or (now is not None and now.fingerprint == found.fingerprint):
        return
    same = found.body == wanted.body
    note = wanted.note if same else "as found" if now is None else "changed outside"
    kind = "save" if same else "outside"
    revisions.record(connection, found.body, at=at, kind=kind, note=note, outcome="placed")


def _record(
    connection: sqlite3.Connection, wanted: Wanted, at: str, outcome: str | None
) -> Revision:
    return revisions.record(
        connection,
        wanted.body,
        at=at,
        kind=wanted.kind,
        note=wanted.note,
        source=wanted.source,
        outcome=outcome,
    )


def _put_in_place(
    connection: sqlite3.Connection, path: Path, made: Revision, temporary: Path, at: str
) -> Revision:
    """Steps 3 and 4."""
    try:
        with writing(connection):
            if revisions.find(connection, made.id).outcome is None:
                _settle_one(connection, path, made, at, temporary)
    except sqlite3.Error as error:
        # Recorded and in place, only the outcome is missing: the next writer adds it.
        there = found_text(None, path)
        if is_full(error) and there is not None and there.fingerprint == made.fingerprint:
            return made
        raise StoreError(_unfinished(path, made, error)) from error
    except OSError:
        _give_up(connection, made, at)
        raise
    finally:
        _drop(temporary)
    made = revisions.find(connection, made.id)
    found = found_text(connection, path)
    if made.outcome == "set aside" and found is not None:
        raise Conflict(found, revisions.body_of(connection, made.id))
    return made


def _give_up(connection: sqlite3.Connection, made: Revision, at: str) -> None:
    """The disk refused the new name and the user is told so: it must not come true later."""
    with suppress(sqlite3.Error), writing(connection):
        if revisions.find(connection, made.id).outcome is None:
            revisions.set_outcome(connection, made.id, "set aside", at)


def _settle_one(
    connection: sqlite3.Connection,
    path: Path,
    revision: Revision,
    at: str,
    temporary: Path | None,
) -> Finding:
    """Put a recorded revision in place, unless someone else's text has come between."""
    found = read_bounded(path, JOB_LIMIT)
    there = JobText.of(found, None).fingerprint if found is not None else None
    number = str(revision.id)
    if there == revision.fingerprint:
        revisions.set_outcome(connection, revision.id, "placed", at)
        return Finding("SR-070", "revision", number, remedy="Its save was cut short after the end.")
    before = revision.parent and revisions.find(connection, revision.parent).fingerprint
    if there in (None, before):
        body = revisions.body_of(connection, revision.id)
        ready = temporary if temporary and temporary.exists() else write_beside(path, body)
        try:
            swap_in(ready, path)
        finally:
            _drop(ready)
        revisions.set_outcome(connection, revision.id, "placed", at)
        return Finding(
            "SR-071", "revision", number, remedy="Its save was cut short; it is done now."
        )
    revisions.set_outcome(connection, revision.id, "set aside", at)
    return Finding(
        "SR-072",
        "revision",
        number,
        remedy="Its save was cut short and job.toml was changed since: it is kept as a revision.",
    )


def _drop(temporary: Path | None) -> None:
    if temporary is not None:
        with suppress(OSError):
            temporary.unlink()


def _missing() -> Finding:
    return Finding(
        "SR-001",
        file="job.toml",
        bound="there, and it was moved or deleted",
        remedy="Put it back, or save and keep yours.",
    )


def _unfinished(path: Path, made: Revision, error: sqlite3.Error) -> Finding:
    return Finding(
        "SR-016",
        file=str(path),
        key="revision",
        value=str(made.id),
        bound=f"put in place, and it is only recorded so far ({error})",
        remedy="The next opening of the job puts it in place.",
    )
