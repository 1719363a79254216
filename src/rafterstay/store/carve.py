"""Find rows in a damaged database page by page, without trusting its tree.

A row proves itself by its seal, so it does not matter by which way it was reached: a page that
no longer hangs on the tree still gives its rows.

Source: sqlite.org/fileformat2, sections 1.6 (pages, cells, overflow), 2.1 (records) and 4 (log)
"""

from __future__ import annotations

import os
import struct
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import BinaryIO

from rafterstay.store.files import JOB_LIMIT
from rafterstay.store.seals import Cell, is_whole

__all__ = ["carve"]

_LEAF = 0x0D
_PAYLOAD_LIMIT = 2 * JOB_LIMIT
_INTEGER_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
_DEFAULT_SIZE = 4096
_WAL_HEADER, _WAL_FRAME = 32, 24

Kinds = Mapping[str, Mapping[str, str]]


def carve(path: Path, kinds: Kinds) -> Iterator[tuple[str, dict[str, Cell]]]:
    """Rows whose seal is right, from every page of a database and of its committed log.

    Args:
        path: ``site.sqlite``; it is only read.
        kinds: For each table its columns in order and the type of each.

    Returns:
        Table and row, one at a time; the same row may come more than once. [-]
    """
    with ExitStack() as stack:
        pages = _Pages(path, stack)
        for number, log in pages.numbers():
            page = pages.read(number, log=log)
            for rowid, values in _records(page, number, pages, log=log):
                found = _recognise(rowid, values, kinds)
                if found is not None:
                    yield found


class _Pages:
    """Pages of the database file, and of its write-ahead log laid over it."""

    def __init__(self, path: Path, stack: ExitStack) -> None:
        self._file = stack.enter_context(path.open("rb"))
        header = self._file.read(100)
        stated = int.from_bytes(header[16:18], "big")
        stated = 65536 if stated == 1 else stated
        sound = header.startswith(b"SQLite format 3\0") and stated.bit_count() == 1
        self.size = stated if sound and stated >= 512 else _DEFAULT_SIZE
        self.usable = self.size - (header[20] if sound else 0)
        self._count = path.stat().st_size // self.size
        self._log: BinaryIO | None = None
        self._frames: dict[int, int] = {}
        log = Path(f"{path}-wal")
        if log.exists():
            self._log = stack.enter_context(log.open("rb"))
            self._frames = self._committed(self._log)

    def numbers(self) -> Iterator[tuple[int, bool]]:
        """Every page, of the file first, then of the log."""
        yield from ((number, False) for number in range(1, self._count + 1))
        yield from ((number, True) for number in sorted(self._frames))

    def read(self, number: int, *, log: bool) -> bytes:
        """A page as the log has it, if asked and if it does, else as the file has it."""
        at = self._frames.get(number) if log else None
        if at is not None and self._log is not None:
            self._log.seek(at)
            return self._log.read(self.size)
        if not 1 <= number <= self._count:
            return b""
        self._file.seek((number - 1) * self.size)
        return self._file.read(self.size)

    def _committed(self, log: BinaryIO) -> dict[int, int]:
        """Where the newest committed frame of each page is; what came after was never told."""
        length = log.seek(0, os.SEEK_END)
        log.seek(0)
        salt = log.read(_WAL_HEADER)[16:24]
        kept: dict[int, int] = {}
        waiting: dict[int, int] = {}
        at = _WAL_HEADER
        while len(frame := log.read(_WAL_FRAME)) == _WAL_FRAME and frame[8:16] == salt:
            if at + _WAL_FRAME + self.size > length:
                break  # the writer was stopped here
            waiting[int.from_bytes(frame[:4], "big")] = at + _WAL_FRAME
            if frame[4:8] != b"\0\0\0\0":
                kept |= waiting
                waiting = {}
            at += _WAL_FRAME + self.size
            log.seek(at)
        return kept


def _records(
    page: bytes, number: int, pages: _Pages, *, log: bool
) -> Iterator[tuple[int, list[Cell]]]:
    """Row number and values of each cell of a leaf that can be read."""
    start = 100 if number == 1 else 0
    if len(page) <= start or page[start] != _LEAF:
        return
    count = int.from_bytes(page[start + 3 : start + 5], "big")
    for index in range(min(count, pages.size // 4)):
        place = start + 8 + 2 * index
        try:
            at = int.from_bytes(page[place : place + 2], "big")
            length, at = _varint(page, at)
            rowid, at = _varint(page, at)
            payload = _payload(page, at, length, pages, log=log)
            yield rowid, _values(payload)
        except (IndexError, ValueError, struct.error):
            continue


def _payload(page: bytes, at: int, length: int, pages: _Pages, *, log: bool) -> bytes:
    """The bytes of a record, its overflow pages followed."""
    if length > _PAYLOAD_LIMIT:
        raise ValueError("longer than any row of ours")
    usable = pages.usable
    if length <= usable - 35:
        return page[at : at + length]
    least = (usable - 12) * 32 // 255 - 23
    local = least + (length - least) % (usable - 4)
    local = local if local <= usable - 35 else least
    pieces = [page[at : at + local]]
    following = int.from_bytes(page[at + local : at + local + 4], "big")
    left = length - local
    while left > 0:
        overflow = pages.read(following, log=log)
        if not overflow:
            raise ValueError("an overflow page is missing")
        following = int.from_bytes(overflow[:4], "big")
        pieces.append(overflow[4 : 4 + min(left, usable - 4)])
        left -= usable - 4
    return b"".join(pieces)


def _values(payload: bytes) -> list[Cell]:
    head, at = _varint(payload, 0)
    kinds = []
    while at < head:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    values: list[Cell] = []
    for kind in kinds:
        value, at = _value(payload, at, kind)
        values.append(value)
    return values


def _value(payload: bytes, at: int, kind: int) -> tuple[Cell, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    if kind == 7:
        return struct.unpack(">d", payload[at : at + 8])[0], at + 8
    if kind in _INTEGER_BYTES:
        end = at + _INTEGER_BYTES[kind]
        return int.from_bytes(payload[at:end], "big", signed=True), end
    if kind < 12:
        raise ValueError("a reserved type")
    end = at + (kind - 12) // 2
    data = payload[at:end]
    return (data.decode("utf-8") if kind % 2 else data), end


def _varint(data: bytes, at: int) -> tuple[int, int]:
    value = 0
    for _ in range(8):
        byte = data[at]
        at += 1
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at
    return value << 8 | data[at], at + 1


def _recognise(rowid: int, values: list[Cell], kinds: Kinds) -> tuple[str, dict[str, Cell]] | None:
    """The table a record belongs to: the one under whose name its seal is right."""
    for table, columns in kinds.items():
        if len(values) != len(columns):
            continue
        row: dict[str, Cell] = dict(zip(columns, values, strict=True))
        row["id"] = rowid
        for name, kind in columns.items():
            value = row[name]
            if kind == "REAL" and isinstance(value, int):
                row[name] = float(value)  # whole numbers are stored short
        if is_whole(table, row):
            return table, row
    return None
