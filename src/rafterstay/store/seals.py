"""Was this row altered after it was written? Each row carries a fingerprint of itself."""

from __future__ import annotations

import json
from collections.abc import Mapping

from rafterstay.store.files import fingerprint

__all__ = ["Cell", "has_own_text", "is_whole", "seal"]

Cell = str | int | float | bytes | None

# A text too long to repeat is covered by its own fingerprint in the same row.
_OUTSIDE = ("seal", "body")


def seal(table: str, row: Mapping[str, Cell]) -> str:
    """Fingerprint of a row: its table, its column names and its values.

    Args:
        table: Name of the table.
        row: Column name to value, ``id`` included. Empty cells do not count, so a later
            schema may add columns without breaking old seals.

    Returns:
        SHA-256 of the row written as JSON with sorted keys. [-]

    Limits: SQLite keeps no checksum of its pages; this finds a changed value that
        ``PRAGMA integrity_check`` cannot see. It is no signature.
    Source: FIPS 180-4; RFC 8259

    >>> seal("outcomes", {"id": 1, "outcome": "placed"})[:12]
    '1d3ab0d6ceb9'
    """
    content = {
        key: value for key, value in row.items() if value is not None and key not in _OUTSIDE
    }
    text = json.dumps([table, content], sort_keys=True, separators=(",", ":"), allow_nan=False)
    return fingerprint(text.encode())


def is_whole(table: str, row: Mapping[str, Cell]) -> bool:
    """Whether a row, and the text in it if it has one, is as it was written."""
    return row["seal"] == seal(table, row) and has_own_text(row)


def has_own_text(row: Mapping[str, Cell]) -> bool:
    """Whether the text of a revision is the one its fingerprint was taken of."""
    body = row.get("body")
    return "body" not in row or (
        isinstance(body, bytes) and fingerprint(body) == row["fingerprint"]
    )
