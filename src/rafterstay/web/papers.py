"""Papers made from a job on request: the packet for the official, and the sheets to build by."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Paper", "Papers"]


@dataclass(frozen=True)
class Paper:
    """One file the page can have made.

    Attributes:
        file: Its name.
        words: What it is.
        seconds: What it takes for a roof of ten sides. [s]
        kind: Its media type.
        make: From a job folder to the bytes of the file.
    """

    file: str
    words: str
    seconds: int
    kind: str
    make: Callable[[Path], bytes]


Papers = Mapping[str, Paper]
