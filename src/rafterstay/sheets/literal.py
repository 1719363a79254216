"""How text that somebody else wrote is printed: literally, with nothing hidden in it."""

from __future__ import annotations

import unicodedata

__all__ = ["cells", "clipped", "printable"]


def printable(text: str) -> str:
    r"""Text with every character that does not show written as an escape.

    Args:
        text: Anything, from a file or a command line.

    Returns:
        One line.

    >>> printable("Barn\x1b[31m \u202eloft")
    'Barn\\x1b[31m \\u202eloft'
    """
    # Python calls controls, text directions, surrogates and unassigned characters unprintable.
    return "".join(mark if mark.isprintable() else ascii(mark)[1:-1] for mark in text)


def cells(text: str) -> int:
    """Columns the text takes in a font of even width; wide characters take two.

    >>> cells("hip"), cells("屋根")
    (3, 4)
    """
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


def clipped(text: str, columns: int) -> str:
    """Text cut to a number of columns, with three dots where something was left out.

    Args:
        text: Printable text.
        columns: Most columns to take, at least 3.

    Returns:
        The text itself when it fits.

    >>> clipped("reading room", 10)
    'reading...'
    """
    if cells(text) <= columns:
        return text
    kept = ""
    for character in text:
        if cells(kept + character) > columns - 3:
            break
        kept += character
    return kept.rstrip() + "..."
