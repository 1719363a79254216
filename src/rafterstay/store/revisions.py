"""Every text the job ever had, which one counts, and which one an undo goes back to."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.files import fingerprint
from rafterstay.store.rows import insert

__all__ = [
    "Revision",
    "body_of",
    "current",
    "find",
    "listed",
    "pending",
    "record",
    "set_outcome",
    "undo_target",
]

_SELECT = """
SELECT id, parent, at, kind, source, note, fingerprint, outcome FROM (
  SELECT r.*, o.outcome
  FROM revisions AS r LEFT JOIN outcomes AS o ON o.revision = r.id
)"""


@dataclass(frozen=True)
class Revision:
    """One text of the job as it was recorded; it never changes.

    Attributes:
        id: Number of the revision, from 1.
        parent: The revision that counted when this one was recorded.
        at: When it was recorded, UTC.
        kind: ``save``, ``outside`` (found changed by another program), ``undo``, ``restore``.
        source: The revision whose text an undo or restore repeats.
        note: Why, in the user's words.
        fingerprint: SHA-256 of the text.
        outcome: ``placed`` as job.toml; ``set aside``: kept here only; None: not known yet.
    """

    id: int
    parent: int | None
    at: str
    kind: str
    source: int | None
    note: str
    fingerprint: str
    outcome: str | None = None


def current(connection: sqlite3.Connection) -> Revision | None:
    """The revision that was placed as ``job.toml`` last."""
    query = "SELECT revision FROM outcomes WHERE outcome = 'placed' ORDER BY id DESC LIMIT 1"
    row = connection.execute(query).fetchone()
    return None if row is None else _one(connection, "WHERE id = ?", row[0])


def pending(connection: sqlite3.Connection) -> Revision | None:
    """The revision of a save that has not been seen to end.

    Only the newest can be one: each save settles what was before it. An older one without an
    outcome has lost it by damage, and must not be put in place now.
    """
    newest = _one(connection, "ORDER BY id DESC LIMIT 1")
    return newest if newest is not None and newest.outcome is None else None


def find(connection: sqlite3.Connection, number: int) -> Revision:
    """The revision with this number.

    Raises:
        StoreError: SR-021 there is none.
    """
    found = _one(connection, "WHERE id = ?", number)
    if found is None:
        last = connection.execute("SELECT max(id) FROM revisions").fetchone()[0] or 0
        raise StoreError(
            Finding(
                "SR-021",
                key="revision",
                value=str(number),
                bound=f"one of 1 to {last}" if last else "recorded first: there is none yet",
                remedy="`rafterstay store revisions` lists them.",
            )
        )
    return found


def listed(connection: sqlite3.Connection) -> Iterator[Revision]:
    """All revisions, newest first, without their texts."""
    yield from (Revision(*row) for row in connection.execute(f"{_SELECT} ORDER BY id DESC"))


def body_of(connection: sqlite3.Connection, number: int) -> bytes:
    """The text of a revision, its fingerprint taken again.

    Raises:
        StoreError: SR-062 the text was altered after it was recorded.
    """
    row = connection.execute(
        "SELECT body, fingerprint FROM revisions WHERE id = ?", (number,)
    ).fetchone()
    body = bytes(row[0])
    if fingerprint(body) != row[1]:
        raise StoreError(
            Finding(
                "SR-062",
                key="revision",
                value=str(number),
                bound="as it was recorded, and its text was altered since",
                remedy="Use another revision or a backup.",
            )
        )
    return body


def record(
    connection: sqlite3.Connection,
    body: bytes,
    *,
    at: str,
    kind: str,
    note: str,
    source: int | None = None,
    outcome: str | None = None,
) -> Revision:
    """Append a revision inside the caller's transaction.

    Args:
        connection: An open transaction.
        body: The text.
        at: Now, UTC.
        kind: ``save``, ``outside``, ``undo`` or ``restore``.
        note: Why.
        source: The revision whose text is repeated.
        outcome: What has become of it already, if that is known.

    Returns:
        The revision. [-]
    """
    before = current(connection)
    row = insert(
        connection,
        "revisions",
        {
            "parent": before.id if before else None,
            "at": at,
            "kind": kind,
            "source": source,
            "note": note,
            "fingerprint": fingerprint(body),
            "body": body,
        },
    )
    number = int(str(row["id"]))
    if outcome is not None:
        set_outcome(connection, number, outcome, at)
    return find(connection, number)


def set_outcome(connection: sqlite3.Connection, number: int, outcome: str, at: str) -> None:
    """Write down what became of a revision: ``placed`` or ``set aside``."""
    insert(connection, "outcomes", {"at": at, "revision": number, "outcome": outcome})


def undo_target(connection: sqlite3.Connection) -> Revision:
    """The revision an undo goes back to: the one before, and further back at each undo.

    Raises:
        StoreError: SR-022 there is nothing before.
    """
    now = current(connection)
    origin = now and _origin(connection, now)
    if origin is None or origin.parent is None:
        raise StoreError(
            Finding(
                "SR-022",
                key="undo",
                bound="asked of a job with an earlier revision",
                remedy="This is the first one recorded.",
            )
        )
    return _origin(connection, find(connection, origin.parent))


def _origin(connection: sqlite3.Connection, revision: Revision) -> Revision:
    """Where an undone text was first recorded; anything else is its own origin."""
    while revision.kind == "undo" and revision.source is not None:
        revision = find(connection, revision.source)
    return revision


def _one(connection: sqlite3.Connection, where: str, *values: int) -> Revision | None:
    row = connection.execute(f"{_SELECT} {where}", values).fetchone()
    return None if row is None else Revision(*row)
