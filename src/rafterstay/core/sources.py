"""Where a figure comes from, and how well it is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Obtained", "Source"]

Obtained = Literal["read", "memory", "computed", "common practice"]


@dataclass(frozen=True)
class Source:
    """A standard, book or page, how the value was obtained, and the confidence.

    ``confidence`` is in percent; a value under 80 never makes a part pass by itself.
    """

    title: str
    edition: str
    place: str
    obtained: Obtained
    confidence: int

    def __str__(self) -> str:
        said = " ".join(word for word in (self.title, self.edition, self.place) if word)
        if self.obtained == "memory":
            return f"{said} (from memory, {self.confidence} %)"
        if self.obtained == "common practice":
            return f"{said} (common practice, no source)" if said else "common practice, no source"
        return said
