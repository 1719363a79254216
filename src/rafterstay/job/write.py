"""How a key of a job file is changed without disturbing the rest of it."""

from __future__ import annotations

import threading
from collections.abc import MutableMapping
from typing import TYPE_CHECKING, Any, Final, NoReturn

from rafterstay.core.errors import Finding, InputError
from rafterstay.job.keys import Key, printable
from rafterstay.job.nouns import keys
from rafterstay.job.read import parse_text

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

__all__ = ["drop_value", "set_value"]

_MARK: Final = "\ufeff"  # byte-order mark that some editors put first
# Documents by the text they were written out as: an edit goes on from the edit before, and reads
# nothing again. Whoever takes one out has it alone.
_WRITTEN: Final[dict[str, TOMLDocument]] = {}
_MOST_WRITTEN: Final = 8
_BUSY: Final = threading.Lock()


def set_value(text: str, key: str, value: str | bool | int | list[str]) -> str:
    r"""The text with one key changed; comments, order and blank lines stay.

    A table that is missing is added at the end. Whether the value suits the key is for the
    reader to say.

    Args:
        text: A whole job file.
        key: Dotted, as ``loads.snow.roof``.
        value: As TOML has it: a quantity is text with its unit.

    Returns:
        The whole file again.

    Raises:
        InputError: IN-004 no such key; or the text is not TOML.

    >>> set_value("[roof]\nsides = 8  # corners\n", "roof.sides", 10)
    '[roof]\nsides = 10  # corners\n'
    """
    import tomlkit

    path = _path(key)
    mark, document = _opened(text)
    table: MutableMapping[str, Any] = document
    for part in path[:-1]:
        if part not in table:
            table[part] = tomlkit.table() if table is document else tomlkit.inline_table()
        inner = table[part]
        if not isinstance(inner, MutableMapping):
            _refuse_value(part, inner)
        table = inner
    table[path[-1]] = value
    return mark + _written_out(document)


def drop_value(text: str, key: str) -> str:
    r"""The text with one key left out; everything else stays.

    Args:
        text: A whole job file.
        key: Dotted; where the file does not state it, nothing changes.

    Returns:
        The whole file again.

    Raises:
        InputError: IN-004 no such key; or the text is not TOML.

    >>> drop_value("[roof]\nsides = 8  # corners\nrise = '6 ft'\n", "roof.sides")
    "[roof]\nrise = '6 ft'\n"
    """
    path = _path(key)
    mark, document = _opened(text)
    table: Any = document
    for part in path[:-1]:
        table = table.get(part, {}) if isinstance(table, MutableMapping) else {}
    if isinstance(table, MutableMapping):
        table.pop(path[-1], None)
    return mark + _written_out(document)


def _written_out(document: TOMLDocument) -> str:
    text = document.as_string()
    with _BUSY:
        while len(_WRITTEN) >= _MOST_WRITTEN:
            del _WRITTEN[next(iter(_WRITTEN))]
        _WRITTEN[text] = document
    return text


def _path(key: str) -> tuple[str, ...]:
    """The parts of a key of the contract."""
    path = tuple(key.split("."))
    if not any(known == path and isinstance(found, Key) for known, found in keys()):
        remedy = "List every key with the table in docs/job-file.md."
        bound = "a key of the job file"
        raise InputError(Finding("IN-004", key=printable(key), bound=bound, remedy=remedy))
    return path


def _opened(text: str) -> tuple[str, TOMLDocument]:
    """The byte-order mark, if there is one, and the document behind it."""
    import tomlkit

    mark = _MARK if text.startswith(_MARK) else ""
    bare = text.removeprefix(_MARK)
    with _BUSY:
        known = _WRITTEN.pop(bare, None)
    if known is not None:
        return mark, known
    # The reader's parser judges first: it refuses what would cost this one dear.
    parse_text(bare)
    return mark, tomlkit.parse(bare)


def _refuse_value(part: str, inner: Any) -> NoReturn:
    """Raise that a value or a list stands where a table must."""
    value = printable(inner.unwrap())
    remedy = f"Put its keys under one line [{part}]."
    raise InputError(Finding("IN-006", key=part, value=value, bound="a table", remedy=remedy))
