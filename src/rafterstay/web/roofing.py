"""What a roof weighs by the name of its covering."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from rafterstay.core.quantities import System, show
from rafterstay.core.sources import Source
from rafterstay.core.tables import table

__all__ = ["Roofing", "roofings"]

_TABLES: Final = Path(__file__).parent / "tables"


@dataclass(frozen=True)
class Roofing:
    """A covering with the boards, purlins and hips under it.

    Attributes:
        name: Of the covering.
        covering: Its own weight per area of the roof's plane. [Pa]
        under: Weight of what carries it. [Pa]
        sources: Where the figures come from.
    """

    name: str
    covering: float
    under: float
    sources: tuple[Source, ...]

    @property
    def weight(self) -> float:
        """All of it. [Pa]"""
        return self.covering + self.under

    def said(self, system: System) -> str:
        """Name and weight as a list shows them."""
        return f"{self.name}, with boards, purlins and hips: {self.stated(system)}"

    def stated(self, system: System) -> str:
        """The weight as a job file states it."""
        return show(self.weight, "pressure", system)


@cache
def roofings() -> tuple[Roofing, ...]:
    """Every covering of the table, in its order.

    >>> [round(one.weight / 47.880259, 6) for one in roofings()][:3]
    [9.0, 10.0, 8.0]
    """
    under = table(_TABLES, "roof_frame")
    carried = sum(row.values["weight"] for row in under)
    sources = tuple(row.source for row in under)
    return tuple(
        Roofing(row.printed["covering"], row.values["weight"], carried, (row.source, *sources))
        for row in table(_TABLES, "roofing")
    )
