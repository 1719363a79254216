"""job.toml is not what its writer started from: both texts, side by side."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rafterstay.core.errors import Finding, StoreError
from rafterstay.store.files import fingerprint

if TYPE_CHECKING:
    from rafterstay.store.revisions import Revision

__all__ = ["Conflict", "JobText", "differences"]

_LINES_SHOWN = 60


@dataclass(frozen=True)
class JobText:
    """``job.toml`` as it stands on the disk.

    Attributes:
        body: Its bytes.
        fingerprint: SHA-256 of them; give it back as ``expected`` when saving.
        revision: The recorded revision it is, or None where it was changed outside.
    """

    body: bytes
    fingerprint: str
    revision: int | None

    @classmethod
    def of(cls, body: bytes, now: Revision | None) -> JobText:
        """The text, compared with the revision that counts."""
        mark = fingerprint(body)
        same = now is not None and now.fingerprint == mark
        return cls(body, mark, now.id if same and now else None)

    @property
    def text(self) -> str:
        """The text for a person to read; bytes that are no UTF-8 are shown as escapes."""
        return self.body.decode("utf-8", "backslashreplace")


class Conflict(StoreError):
    """SR-020: saving would overwrite a text its writer has not seen; nothing was written.

    Attributes:
        found: What ``job.toml`` holds.
        mine: What was to be saved.
        differences: Unified differences from ``found`` to ``mine``.
    """

    def __init__(self, found: JobText, mine: bytes) -> None:
        self.found = found
        self.mine = mine
        self.differences = differences(found.body, mine, "job.toml", "yours")
        super().__init__(
            Finding(
                "SR-020",
                file="job.toml",
                bound="as you last saw it, and it was changed by another program, tab or person",
                remedy="Say which to keep; the other stays as a revision.",
            )
        )

    def __str__(self) -> str:
        lines = self.differences.splitlines()
        more = len(lines) - _LINES_SHOWN
        tail = [f"({more} more lines)"] if more > 0 else []
        return "\n".join([super().__str__(), *lines[:_LINES_SHOWN], *tail])


def differences(old: bytes, new: bytes, old_name: str, new_name: str) -> str:
    r"""Unified differences between two texts, line by line.

    >>> print(differences(b"a = 1\n", b"a = 2\n", "revision 1", "revision 2"))
    --- revision 1
    +++ revision 2
    @@ -1 +1 @@
    -a = 1
    +a = 2
    """
    before, after = (body.decode("utf-8", "backslashreplace").splitlines() for body in (old, new))
    return "\n".join(difflib.unified_diff(before, after, old_name, new_name, lineterm=""))
