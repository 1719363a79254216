"""Lines of a file from outside: text, or the first line that is not."""

from __future__ import annotations

import re
from collections.abc import Callable

__all__ = ["lines_of"]

_ODD = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def lines_of(data: bytes | str, refused: Callable[[int], Exception]) -> list[str]:
    r"""Split into lines, however they end.

    Args:
        data: UTF-8, or text already. A byte order mark, as spreadsheets put it, is no fault.
        refused: Makes the error for the line that holds what is not text, counted from 1.

    Returns:
        The lines without their ends.

    Raises:
        Exception: What ``refused`` makes.

    >>> lines_of(b"a\r\nb", ValueError)
    ['a', 'b']
    """
    if isinstance(data, bytes):
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as fault:
            raise refused(data.count(b"\n", 0, fault.start) + 1) from fault
    else:
        text = data.removeprefix("\ufeff")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    odd = _ODD.search(text)
    if odd is not None:
        raise refused(text.count("\n", 0, odd.start()) + 1)
    return text.split("\n")
