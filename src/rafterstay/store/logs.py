"""What was read, pressed, pulled and seen: entries that are corrected, never edited."""

from __future__ import annotations

import difflib
import sqlite3
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeGuard

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.rows import insert
from rafterstay.store.schema import LOGS, columns
from rafterstay.store.seals import Cell

__all__ = ["ENTRY_LIMIT", "Entry", "Value", "append", "entries", "find_entry", "withdraw"]

ENTRY_LIMIT = 10_000  # characters in one text of an entry

Value = str | int | float | None

_COMMON = (
    "id",
    "at",
    "who",
    "taken",
    "revision",
    "corrects",
    "withdrawn",
    "why",
    "note",
    "seal",
)


@dataclass(frozen=True)
class Entry:
    """One entry of a log, as it was written.

    Attributes:
        log: Which log.
        id: Number in that log, from 1.
        at: When it was written, UTC.
        who: Who did it.
        taken: When it was done, as the user states it.
        revision: The revision of the job that counted then.
        corrects: The entry this one takes the place of.
        withdrawn: The corrected entry was wrong and nothing takes its place.
        why: Why it corrects or withdraws.
        note: Anything else.
        values: The columns of this log; each name ends in its unit.
    """

    log: str
    id: int
    at: str
    who: str
    taken: str
    revision: int | None
    corrects: int | None
    withdrawn: bool
    why: str
    note: str
    values: Mapping[str, Value]


def append(
    connection: sqlite3.Connection,
    log: str,
    values: Mapping[str, Value],
    *,
    at: str,
    who: str,
    taken: str,
    revision: int | None,
    note: str = "",
    corrects: int | None = None,
    withdrawn: bool = False,
    why: str = "",
) -> Entry:
    """Append an entry inside the caller's transaction.

    Args:
        connection: An open transaction.
        log: One of the logs.
        values: Column to value; an optional column may be left out.
        at: Now, UTC.
        who: Who did it.
        taken: When it was done.
        revision: The revision of the job that counts now.
        note: Anything else.
        corrects: The entry that this one takes the place of.
        withdrawn: Nothing takes the place of the corrected entry.
        why: Why it corrects.

    Returns:
        The entry as stored. [-]

    Raises:
        StoreError: SR-040 no such log; SR-041 a value is missing, unknown or out of bounds;
            SR-042 the entry to correct is missing or has been corrected already.
    """
    _require_log(log)
    if corrects is not None:
        _require_correctable(connection, log, corrects)
    texts = {"who": who, "taken": taken, "why": why, "note": note}
    row = {
        "at": at,
        "revision": revision,
        "corrects": corrects,
        "withdrawn": int(withdrawn),
        **_checked(log, texts, dict.fromkeys(texts, ("TEXT", True))),
        **_checked(log, values, _own_columns(connection, log)),
    }
    if corrects is not None and not why.strip():
        raise StoreError(_wrong(log, "why", "", "stated where an entry is corrected"))
    return _entry(log, insert(connection, log, row))


def withdraw(
    connection: sqlite3.Connection, log: str, number: int, *, at: str, who: str, why: str
) -> Entry:
    """Say that an entry was wrong and that nothing takes its place.

    Args:
        connection: An open transaction.
        log: One of the logs.
        number: The entry.
        at: Now, UTC.
        who: Who says so.
        why: The reason.

    Returns:
        The new entry, which repeats the old one's values. [-]
    """
    old = find_entry(connection, log, number)
    return append(
        connection,
        log,
        old.values,
        at=at,
        who=who,
        taken=old.taken,
        revision=old.revision,
        note=old.note,
        corrects=number,
        withdrawn=True,
        why=why,
    )


def find_entry(connection: sqlite3.Connection, log: str, number: int) -> Entry:
    """The entry with this number.

    Raises:
        StoreError: SR-040 no such log; SR-042 no such entry.
    """
    _require_log(log)
    found = next(_select(connection, log, "WHERE id = ?", number), None)
    if found is None:
        raise StoreError(
            Finding(
                "SR-042",
                key=f"{log}.id",
                value=str(number),
                bound="an entry of this log",
                remedy="List the log first.",
            )
        )
    return found


def entries(
    connection: sqlite3.Connection, log: str, *, superseded: bool = False
) -> Iterator[Entry]:
    """Entries in the order they were written.

    Args:
        connection: A connection.
        log: One of the logs.
        superseded: Also entries that were corrected, and those that say "withdrawn".

    Returns:
        One entry at a time. [-]

    Raises:
        StoreError: SR-040 no such log.
    """
    _require_log(log)
    counts = f"WHERE withdrawn = 0 AND id NOT IN (SELECT corrects FROM {log} WHERE corrects)"  # noqa: S608
    return _select(connection, log, ("" if superseded else counts) + " ORDER BY id")


def _select(connection: sqlite3.Connection, log: str, where: str, *values: int) -> Iterator[Entry]:
    cursor = connection.execute(f"SELECT * FROM {log} {where}", values)  # noqa: S608
    names = [name for name, *_ in cursor.description]
    return (_entry(log, dict(zip(names, row, strict=True))) for row in cursor)


def _entry(log: str, row: Mapping[str, Cell]) -> Entry:
    common = {name: row[name] for name in _COMMON if name != "seal"}
    common["withdrawn"] = bool(common["withdrawn"])
    own = {name: value for name, value in row.items() if name not in _COMMON}
    return Entry(log, values=own, **common)  # type: ignore[arg-type]


def _own_columns(connection: sqlite3.Connection, log: str) -> dict[str, tuple[str, bool]]:
    found = columns(connection, log)
    return {name: found[name] for name in found if name not in _COMMON}


def _checked(
    log: str, values: Mapping[str, Value], allowed: Mapping[str, tuple[str, bool]]
) -> dict[str, Cell]:
    """Values in the order of the columns; every fault is told, not only the first."""
    faults = [_unknown(log, name, list(allowed)) for name in values if name not in allowed]
    row: dict[str, Cell] = {}
    for name, (kind, required) in allowed.items():
        value = values.get(name)
        bound = _bound_broken(value, kind, required)
        if bound:
            faults.append(_wrong(log, name, _shown(value), bound))
        elif kind == "REAL" and _is_number(value):
            row[name] = float(value) + 0.0  # SQLite keeps no minus before a zero
        else:
            row[name] = value
    if faults:
        raise StoreError(faults)
    return row


def _bound_broken(value: Value, kind: str, required: bool) -> str:
    """What the value must be, or nothing where it is that."""
    if value is None:
        return "stated" if required else ""
    if kind == "TEXT":
        return _text_bound_broken(value)
    if kind == "INTEGER":
        whole = isinstance(value, int) and not isinstance(value, bool)
        return "" if whole and abs(int(value)) < 2**53 else "a whole number"
    # A comparison does not overflow on a huge whole number, as float() would; NaN fails it.
    finite = _is_number(value) and abs(value) < 1e300
    return "" if finite else "a finite number"


def _text_bound_broken(value: Value) -> str:
    if not isinstance(value, str):
        return "text"
    if len(value) > ENTRY_LIMIT:
        return f"at most {ENTRY_LIMIT:,} characters"
    # A lone surrogate cannot be stored; SQLite's own tools end a text at NUL.
    clean = all(mark != "\0" and not "\ud800" <= mark <= "\udfff" for mark in value)
    return "" if clean else "text without NUL or half characters"


def _is_number(value: Value) -> TypeGuard[int | float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _shown(value: Value) -> str:
    return "" if value is None else ascii(value)[:60]


def _require_log(log: str) -> None:
    if log not in LOGS:
        raise StoreError(
            Finding("SR-040", key="log", value=log, bound="one of " + ", ".join(LOGS), remedy="")
        )


def _require_correctable(connection: sqlite3.Connection, log: str, number: int) -> None:
    find_entry(connection, log, number)
    query = f"SELECT id FROM {log} WHERE corrects = ?"  # noqa: S608
    row = connection.execute(query, (number,)).fetchone()
    if row is not None:
        raise StoreError(
            Finding(
                "SR-042",
                key=f"{log}.corrects",
                value=str(number),
                bound=f"an entry not corrected before, and entry {row[0]} corrects it",
                remedy=f"Correct entry {row[0]} instead.",
            )
        )


def _unknown(log: str, name: str, allowed: list[str]) -> Finding:
    near = difflib.get_close_matches(name, allowed, 1)
    return Finding(
        "SR-041",
        key=f"{log}.{name[:60]}",
        bound="one of " + ", ".join(allowed),
        remedy=f"Did you mean {near[0]}?" if near else "",
    )


def _wrong(log: str, name: str, value: str, bound: str) -> Finding:
    return Finding(
        "SR-041", key=f"{log}.{name}", value=value, bound=bound, remedy="Nothing was written."
    )
