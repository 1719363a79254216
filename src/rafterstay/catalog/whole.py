"""A part made of one row that has every figure of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.catalog.rows import Bolt, Rope, Shackle, Thimble, Turnbuckle
from rafterstay.catalog.shelf import printed_size, sleeve_of, stretch_of

if TYPE_CHECKING:
    from rafterstay.catalog.columns import OwnKind
    from rafterstay.catalog.shelf import Part
    from rafterstay.core.tables import TableRow

__all__ = ["as_part"]


def as_part(kind: OwnKind, row: TableRow, label: str) -> Part:
    """Make a part of a row.

    Args:
        kind: What the part is.
        row: Its cells, with the columns of that kind.
        label: Goes before its name; may be empty.

    Returns:
        The part, named as the package's own are.
    """
    before = f"{label} " if label else ""
    if kind == "rope":
        return _rope(row, before)
    if kind == "turnbuckle":
        return _turnbuckle(row, before)
    if kind == "sleeve":
        return sleeve_of(row, before)
    if kind == "shackle":
        return Shackle(
            name=f"{before}{row.printed['style']} {printed_size(row, 'bar')}",
            bar=row.values["bar"],
            inside_width=row.values.get("inside_width"),
            working_load=row.values["working_load"],
            source=row.source,
            pin=row.values.get("pin"),
            inside_length=row.values.get("inside_length"),
            mass=row.values.get("mass"),
            shape_source=row.source,
        )
    if kind == "bolt":
        grade = f"{before}{row.printed['grade']}"
        return Bolt(
            name=f"{grade} {printed_size(row, 'diameter')}",
            grade=grade,
            diameter=row.values["diameter"],
            yield_bending=row.values["yield_bending"],
            shear=row.values["shear"],
            source=row.source,
            shear_source=row.source,
        )
    figures = {key: value for key, value in row.values.items() if key != "confidence"}
    name = f"{before}{row.printed['style']} {printed_size(row, 'rope')}"
    return Thimble(name=name, source=row.source, **figures)


def _rope(row: TableRow, before: str) -> Rope:
    lay, finish = row.printed["lay"], row.printed["finish"]
    stiffness, source = stretch_of(lay, finish, row.values["size"])
    if "stiffness" in row.values:
        stiffness, source = row.values["stiffness"], row.source
    return Rope(
        name=f"{before}{lay} {finish} {printed_size(row, 'size')}",
        lay=lay,
        finish=finish,
        diameter=row.values["size"],
        strength=row.values["strength"],
        mass=row.values["mass"],
        stiffness=stiffness,
        source=row.source,
        stiffness_source=source,
    )


def _turnbuckle(row: TableRow, before: str) -> Turnbuckle:
    size = f"{printed_size(row, 'thread')} x {printed_size(row, 'take_up')}"
    opening, pin = row.values.get("jaw_opening"), row.values.get("pin")
    return Turnbuckle(
        name=f"{before}{row.printed['style']} {size}",
        thread=row.values["thread"],
        threads_per_metre=row.values["pitch_count"],
        take_up=row.values["take_up"],
        closed=row.values["closed"],
        working_load=row.values["working_load"],
        mass=row.values["mass"],
        jaw_opening=opening,
        pin=pin,
        source=row.source,
        length_source=row.source,
        jaw_source=None if opening is None and pin is None else row.source,
    )
