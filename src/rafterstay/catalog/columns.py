"""Which columns a catalogue file of the user's own has, in which units, within which bounds.

Bounds are wide: they catch a slip of unit or of a decimal point, no bad part.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["COLUMNS", "RATIOS", "Column", "OwnKind", "Ratio", "units_of"]

OwnKind = Literal["rope", "turnbuckle", "thimble", "sleeve", "shackle", "bolt"]
Quantity = Literal[
    "text", "length", "force", "mass", "mass per length", "stress", "per length", "count", "share"
]

_UNITS: Final[Mapping[Quantity, tuple[str, ...]]] = {
    "text": ("text",),
    "length": ("in", "mm"),
    "force": ("lbf", "kN", "short ton", "tonne-force"),
    "mass": ("lb", "kg"),
    "mass per length": ("lb/ft", "lb/1000 ft", "kg/100 m", "kg/m"),
    "stress": ("psi", "ksi", "MPa"),
    "per length": ("1/in", "1/mm"),
    "count": ("-",),
    "share": ("%",),
}


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes:
        name: As the names row has it.
        quantity: What it is; the units row must have one of its units.
        least: In SI; for text the fewest characters.
        most: In SI; for text the most characters.
        words: The only words it may have; empty where any will do.
        may_be_blank: A cell may stand empty.
        may_be_missing: The whole column may be left out.
    """

    name: str
    quantity: Quantity
    least: float
    most: float
    words: tuple[str, ...] = ()
    may_be_blank: bool = False
    may_be_missing: bool = False


@dataclass(frozen=True)
class Ratio:
    """Two figures of a row that can only be right together.

    Attributes:
        above: Name of a column.
        below: Name of a column; its square is taken where ``power`` is 2.
        power: 1 or 2.
        least: Of the quotient, in SI.
        most: Of the quotient, in SI.
        means: What the quotient is, in words.
    """

    above: str
    below: str
    power: int
    least: float
    most: float
    means: str


def units_of(quantity: Quantity) -> tuple[str, ...]:
    """Give the units a column may be in.

    >>> units_of("force")
    ('lbf', 'kN', 'short ton', 'tonne-force')
    """
    return _UNITS[quantity]


def _text(name: str, *words: str, most: int = 30) -> Column:
    return Column(name, "text", 1, most, words)


def _length(name: str, least: float, most: float, *, may_be_blank: bool = False) -> Column:
    """A length between bounds in millimetres."""
    return Column(name, "length", least / 1e3, most / 1e3, may_be_blank=may_be_blank)


def _more(name: str, quantity: Quantity, least: float, most: float) -> Column:
    """A column that not every file needs."""
    return Column(name, quantity, least, most, may_be_blank=True, may_be_missing=True)


_SIZE: Final = (1.0, 60.0)  # [mm] of ropes, threads and bolts
_END: Final = (
    Column("label", "text", 1, 24, may_be_blank=True, may_be_missing=True),
    _text("source", most=160),
    Column("confidence", "share", 0.0, 1.0, may_be_blank=True, may_be_missing=True),
)

COLUMNS: Final[Mapping[OwnKind, tuple[Column, ...]]] = {
    "rope": (
        _text("lay", "7x7", "7x19", "1x19", "6x19 IWRC"),
        _text("finish", "galvanized", "stainless", "bright"),
        _length("size", *_SIZE),
        Column("strength", "force", 100.0, 5e6),
        Column("mass", "mass per length", 0.001, 20.0),
        Column("stiffness", "force", 1e3, 5e8, may_be_blank=True, may_be_missing=True),
        *_END,
    ),
    "turnbuckle": (
        _text("style", "jaw-jaw"),
        _length("thread", *_SIZE),
        Column("pitch_count", "per length", 100.0, 4000.0),
        _length("take_up", 10.0, 1000.0),
        _length("closed", 20.0, 2000.0),
        Column("working_load", "force", 100.0, 1e6),
        Column("mass", "mass", 0.01, 50.0),
        _length("jaw_opening", 1.0, 200.0, may_be_blank=True),
        _length("pin", *_SIZE, may_be_blank=True),
        *_END,
    ),
    "thimble": (
        _text("style", "heavy", "light"),
        _length("rope", *_SIZE),
        _length("inside_length", 5.0, 400.0),
        _length("inside_width", 3.0, 200.0),
        _length("overall_length", 5.0, 500.0),
        _length("overall_width", 5.0, 400.0),
        _length("thickness", 1.0, 100.0),
        _length("groove", *_SIZE),
        *_END,
    ),
    "sleeve": (
        _text("material", "copper", "zinc-plated copper"),
        _length("rope", *_SIZE),
        _length("before", 3.0, 300.0),
        _length("after", 3.0, 400.0),
        Column("presses", "count", 1.0, 20.0),
        *_END,
    ),
    "shackle": (
        _text("style", "anchor"),
        _length("bar", *_SIZE),
        Column("working_load", "force", 100.0, 1e6),
        _length("inside_width", 3.0, 200.0, may_be_blank=True),
        _more("pin", "length", 1e-3, 60e-3),
        _more("inside_length", "length", 5e-3, 400e-3),
        _more("mass", "mass", 0.005, 20.0),
        *_END,
    ),
    "bolt": (
        _text("grade"),
        _length("diameter", *_SIZE),
        Column("yield_bending", "stress", 1e8, 1.5e9),
        Column("shear", "stress", 5e7, 1e9),
        *_END,
    ),
}
"""Columns of each kind, in the order they are documented."""

RATIOS: Final[Mapping[OwnKind, tuple[Ratio, ...]]] = {
    "rope": (
        Ratio("strength", "size", 2, 1.5e8, 1.7e9, "breaking strength over the size squared"),
        Ratio("mass", "size", 2, 2e3, 1e4, "mass over the size squared"),
        Ratio("stiffness", "size", 2, 1e10, 2e11, "stiffness EA over the size squared"),
    ),
    "turnbuckle": (
        Ratio("working_load", "thread", 2, 1e7, 3e8, "working load over the thread squared"),
        Ratio("closed", "take_up", 1, 1.0, 20.0, "closed length over take-up"),
    ),
    "thimble": (
        Ratio("overall_length", "inside_length", 1, 1.0, 3.0, "overall over inside length"),
        Ratio("overall_width", "inside_width", 1, 1.0, 4.0, "overall over inside width"),
        Ratio("groove", "rope", 1, 0.95, 2.0, "groove over the rope it is made for"),
        Ratio("thickness", "groove", 1, 1.0, 3.0, "thickness over groove"),
    ),
    "sleeve": (
        Ratio("after", "before", 1, 1.0, 2.5, "pressed over unpressed length"),
        Ratio("before", "rope", 1, 1.0, 20.0, "length over the rope it is made for"),
    ),
    "shackle": (
        Ratio("working_load", "bar", 2, 1e7, 6e8, "working load over the bar squared"),
        Ratio("pin", "bar", 1, 0.9, 1.8, "pin over the bar"),
        Ratio("inside_length", "bar", 1, 1.5, 8.0, "inside length over the bar"),
    ),
    "bolt": (Ratio("yield_bending", "shear", 1, 0.5, 5.0, "bending yield over shear strength"),),
}
"""What shows a wrong unit: quotients no such part leaves."""
