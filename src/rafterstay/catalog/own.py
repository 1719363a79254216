"""The catalogue with the user's own rows in it, and which of them a job uses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal, overload

from rafterstay.catalog import shelf

if TYPE_CHECKING:
    from rafterstay.catalog.rows import (
        Bolt,
        Ply,
        Rope,
        Shackle,
        Sleeve,
        Steel,
        Thimble,
        Turnbuckle,
    )
    from rafterstay.catalog.shelf import Kind, Part

__all__ = ["STANDARD", "Catalogue", "Own"]


@dataclass(frozen=True)
class Own:
    """A row the user brought.

    Attributes:
        kind: What the part is.
        part: The row in SI.
        file: Where it stands, within the job folder.
        line: Its line in that file.
        sha256: Of the row's cells with their names and units, in hexadecimal.
    """

    kind: Kind
    part: Part
    file: str
    line: int
    sha256: str


@dataclass(frozen=True)
class Catalogue:
    """The tables of the package and the user's own rows, under names that never clash.

    Attributes:
        own: Rows the user brought, in the order of the files.
    """

    own: tuple[Own, ...] = ()

    @overload
    def find(self, kind: Literal["rope"], name: str) -> Rope: ...
    @overload
    def find(self, kind: Literal["turnbuckle"], name: str) -> Turnbuckle: ...
    @overload
    def find(self, kind: Literal["thimble"], name: str) -> Thimble: ...
    @overload
    def find(self, kind: Literal["sleeve"], name: str) -> Sleeve: ...
    @overload
    def find(self, kind: Literal["shackle"], name: str) -> Shackle: ...
    @overload
    def find(self, kind: Literal["bolt"], name: str) -> Bolt: ...
    @overload
    def find(self, kind: Literal["ply"], name: str) -> Ply: ...
    @overload
    def find(self, kind: Literal["steel"], name: str) -> Steel: ...
    @overload
    def find(self, kind: Kind, name: str) -> Part: ...

    def find(self, kind: Kind, name: str) -> Part:
        """Find the row of a part by its name, the user's or the package's.

        Args:
            kind: What the part is.
            name: Its full name.

        Returns:
            The row, in SI, with its source.

        Raises:
            DataError: DA-010 no such part, DA-011 no such kind.

        >>> Catalogue().find("bolt", "A307 5/8 in").diameter * 1000.0
        15.875
        """
        own = self.own_row(kind, name)
        return own.part if own else shelf.find(kind, name, besides=self._own_names(kind))

    def names(self, kind: Kind) -> tuple[str, ...]:
        """List every accepted name of a kind, the user's own last.

        Raises:
            DataError: DA-011 no such kind.
        """
        return shelf.names(kind) + self._own_names(kind)

    def own_row(self, kind: Kind, name: str) -> Own | None:
        """Give the user's row of a name; None where the package has the part."""
        return self._rows.get((kind, name))

    def _own_names(self, kind: Kind) -> tuple[str, ...]:
        return tuple(name for of, name in self._rows if of == kind)

    @cached_property
    def _rows(self) -> Mapping[tuple[Kind, str], Own]:
        return {(own.kind, own.part.name): own for own in self.own}


STANDARD: Final = Catalogue()
"""The tables of the package alone."""
