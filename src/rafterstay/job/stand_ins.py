"""Which answers of a job file are stand-ins: a note at its end, as the page writes it."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["NOTE", "STAND_INS", "stand_ins"]

# Words of the note, by what they say of the answers named after them.
STAND_INS: Final = {"unanswered": "Not answered yet", "unknown": "Not known yet"}
NOTE: Final = re.compile(
    rf"^# ({'|'.join(STAND_INS.values())}), a stand-in is used: ([a-z_, ]*)\r?\n?", re.MULTILINE
)


def stand_ins(text: str) -> tuple[str, ...]:
    r"""Names of the answers that are stand-ins; as long as there are any nothing passes.

    Args:
        text: A job file.

    Returns:
        Names as the page calls them, in the order written.

    >>> stand_ins("sides = 8\n# Not known yet, a stand-in is used: snow, rise\n")
    ('snow', 'rise')
    """
    named = ", ".join(names for _, names in NOTE.findall(text))
    return tuple(dict.fromkeys(name for name in named.split(", ") if name))
