"""How bytes become a job: the file is opened, decoded, parsed, audited.

Any bytes give a ``Job`` or an ``InputError`` with the place and the remedy. At most
``LARGEST`` + 1 bytes are read.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NoReturn

from rafterstay.catalog import load_own
from rafterstay.core.errors import Finding, InputError
from rafterstay.job.keys import printable
from rafterstay.job.places import Places, find_places, place_at
from rafterstay.job.stand_ins import stand_ins

if TYPE_CHECKING:
    from rafterstay.catalog import Catalogue
    from rafterstay.job.nouns import Job

__all__ = ["FILE_NAME", "LARGEST", "load", "loads", "parse_text"]

LARGEST: Final = 1_000_000  # bytes of a job file
FILE_NAME: Final = "job.toml"

_TOLD_PLACE: Final = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_TWICE: Final = (
    "overwrite",
    "twice",
    "Cannot redefine",
    "Cannot mutate",
    "Duplicate inline table key",
    "Cannot declare",
)


def load(path: str | os.PathLike[str]) -> Job:
    """The job in a folder's ``job.toml`` or in a TOML file, with the catalogue beside it.

    Args:
        path: A job folder, or a ``.toml`` file.

    Returns:
        The job in SI.

    Raises:
        InputError: Every fault of the file at once, each with its place and remedy.
        DataError: Every fault of the user's own catalogue files at once.
    """
    name = printable(os.fspath(path), longest=400)
    try:
        place = Path(path)
        place = place / FILE_NAME if place.is_dir() else place
        name = printable(os.fspath(place), longest=400)
        raw = _read_bytes(place, name)
    except (OSError, ValueError) as fault:
        if isinstance(fault, InputError):
            raise
        _refuse_file(name, _os_reason(fault))
    return loads(raw, file=name, catalogue=load_own(place.parent))


def loads(source: str | bytes, *, file: str = FILE_NAME, catalogue: Catalogue | None = None) -> Job:
    """The job in a text or in the bytes of a file.

    Args:
        source: The whole file.
        file: Its name, for the findings.
        catalogue: Where its parts are looked up; the package's tables where left out.

    Returns:
        The job in SI.

    Raises:
        InputError: Every fault at once, each with its place and remedy.
    """
    from rafterstay.job.audit import audit

    try:
        raw = source if isinstance(source, bytes) else source.encode("utf-8", "surrogatepass")
        text = _decode(raw)
        tree, places = parse_text(text)
        job = audit(tree, places, sha256=hashlib.sha256(raw).hexdigest(), catalogue=catalogue)
        return replace(job, stand_ins=stand_ins(text))
    except InputError as fault:
        raise InputError(replace(found, file=file) for found in fault.findings) from None


def _read_bytes(place: Path, name: str) -> bytes:
    """At most ``LARGEST`` + 1 bytes of a regular file."""
    found = place.stat()
    if not stat.S_ISREG(found.st_mode):
        _refuse_file(name, "it is not a plain file")
    with place.open("rb") as handle:
        return handle.read(LARGEST + 1)


def _os_reason(fault: OSError | ValueError) -> str:
    if isinstance(fault, FileNotFoundError):
        return "there is no such file"
    if isinstance(fault, PermissionError):
        return "it may not be read by this user"
    return "its name cannot be opened"


def _refuse_file(name: str, reason: str) -> NoReturn:
    remedy = f"Give a job folder with a {FILE_NAME} in it, or a .toml file ({reason})."
    raise InputError(Finding("IN-025", bound="the job cannot be read", remedy=remedy, file=name))


def _decode(raw: bytes) -> str:
    """The text, after its size and its marks are found fit."""
    if len(raw) > LARGEST:
        _refuse("IN-024", "the file", f"at most {LARGEST} bytes", "A job takes about 4000 bytes.")
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        _refuse("IN-022", "the file", "UTF-8 text", "It is UTF-16: save it again as UTF-8.")
    try:
        # A mark that some editors put before UTF-8 text is no part of it.
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        read = raw[: fault.start].decode("utf-8-sig", "replace")
        found = f"byte 0x{raw[fault.start]:02x}"
        _refuse(
            "IN-022", found, "UTF-8 text", "Save the file again as UTF-8.", at=(read, len(read))
        )
    if "\0" in text:
        where = (text, text.index("\0"))
        _refuse("IN-022", "a NUL", "text", "Is this a job file? Write it again as text.", at=where)
    if not text.strip(" \t\r\n"):
        _refuse("IN-023", "the file", "a job", "It is empty: `rafterstay new` writes one to edit.")
    return text


def parse_text(text: str) -> tuple[dict[str, Any], Places]:
    """The tables of a TOML text, and where their keys stand.

    Raises:
        InputError: The text is not TOML, or nests too deep; with the place.
    """
    places = find_places(text)
    try:
        return tomllib.loads(text), places
    except RecursionError:
        _refuse("IN-026", "the file", "nested less deep", "No key stands deeper than three.")
    except ValueError as fault:
        raise InputError(_syntax(text, str(fault))) from None


def _syntax(text: str, message: str) -> Finding:
    """What the parser said, with its place."""
    told = _TOLD_PLACE.search(message)
    if told and told[1]:
        line, column = int(told[1]), int(told[2])
    else:
        line, column = place_at(text, len(text.rstrip()))
    reason = printable(message[: told.start()] if told else message)
    if any(word in reason for word in _TWICE):
        remedy = "A table or key stands twice: keep one."
        return Finding("IN-021", bound=reason, remedy=remedy, line=line, column=column)
    remedy = "Text stands in quotes, a table's name in brackets, one key on a line."
    bound = f"this is not TOML: {reason}"
    return Finding("IN-020", bound=bound, remedy=remedy, line=line, column=column)


def _refuse(
    code: str, value: str, bound: str, remedy: str, *, at: tuple[str, int] | None = None
) -> NoReturn:
    line, column = place_at(*at) if at else (1, 1)
    raise InputError(Finding(code, key=value, bound=bound, remedy=remedy, line=line, column=column))
