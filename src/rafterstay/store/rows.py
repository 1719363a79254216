"""Append a row: number it, seal it, and tell a broken rule in the schema's own words."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.seals import Cell, seal

__all__ = ["insert", "insert_as_is", "plain"]

# Here and in the modules beside: names of tables come from the schema, never from a user, so
# that they may be written into a query.


def insert(
    connection: sqlite3.Connection, table: str, values: Mapping[str, Cell]
) -> dict[str, Cell]:
    """Append a row inside the caller's transaction.

    Args:
        connection: An open transaction.
        table: A table of the schema.
        values: Column to value, without ``id`` and ``seal``.

    Returns:
        The row as stored, numbered without gaps from 1. [-]

    Raises:
        StoreError: SR-041 a rule of the table is broken.
    """
    last = connection.execute(f"SELECT max(id) FROM {table}").fetchone()[0]  # noqa: S608
    row: dict[str, Cell] = {"id": (last or 0) + 1, **values}
    row["seal"] = seal(table, row)
    try:
        insert_as_is(connection, table, row)
    except sqlite3.IntegrityError as error:
        raise StoreError(_broken_rule(table, error)) from error
    return row


def insert_as_is(connection: sqlite3.Connection, table: str, row: Mapping[str, Cell]) -> None:
    """Put back a row with the number and the seal it was written with."""
    names = ", ".join(row)
    marks = ", ".join("?" * len(row))
    query = f"INSERT INTO {table} ({names}) VALUES ({marks})"  # noqa: S608
    connection.execute(query, tuple(row.values()))


def plain(connection: sqlite3.Connection, table: str) -> Iterator[dict[str, Cell]]:
    """Every row of a table in the order of its numbers, as stored, one at a time."""
    cursor = connection.execute(f"SELECT * FROM {table} ORDER BY id")  # noqa: S608
    names = [name for name, *_ in cursor.description]
    return (dict(zip(names, row, strict=True)) for row in cursor)


def _broken_rule(table: str, error: sqlite3.IntegrityError) -> Finding:
    said = str(error).removeprefix("CHECK constraint failed: ")
    column, _, bound = said.partition(" must be ")
    if not bound:
        column, bound = "entry", f"as the table allows ({said})"
    return Finding("SR-041", key=f"{table}.{column}", bound=bound, remedy="Nothing was written.")
