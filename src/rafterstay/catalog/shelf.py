"""Which parts there are, by kind and by the name a job uses."""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, TypeAlias, overload

from rafterstay.catalog.rows import (
    Bolt,
    Ply,
    Rope,
    Shackle,
    Sleeve,
    Species,
    Steel,
    Thimble,
    Turnbuckle,
)
from rafterstay.core.errors import DataError, Finding
from rafterstay.core.tables import table

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from rafterstay.core.sources import Source
    from rafterstay.core.tables import TableRow

__all__ = [
    "KINDS",
    "TABLES",
    "Kind",
    "Part",
    "find",
    "names",
    "printed_size",
    "species",
    "stretch_of",
    "timbers",
]

Kind = Literal["rope", "turnbuckle", "thimble", "sleeve", "shackle", "bolt", "ply", "steel"]
Part: TypeAlias = Rope | Turnbuckle | Thimble | Sleeve | Shackle | Bolt | Ply | Steel

TABLES: Final = Path(__file__).parent / "tables"

_METAL: Final = {"galvanized": "carbon", "bright": "carbon", "stainless": "stainless"}
_DEPTH_SLACK: Final = 0.5e-3  # [m]; dressed sizes differ by 1/4 in at the least


@overload
def find(kind: Literal["rope"], name: str, *, besides: tuple[str, ...] = ()) -> Rope: ...
@overload
def find(
    kind: Literal["turnbuckle"], name: str, *, besides: tuple[str, ...] = ()
) -> Turnbuckle: ...
@overload
def find(kind: Literal["thimble"], name: str, *, besides: tuple[str, ...] = ()) -> Thimble: ...
@overload
def find(kind: Literal["sleeve"], name: str, *, besides: tuple[str, ...] = ()) -> Sleeve: ...
@overload
def find(kind: Literal["shackle"], name: str, *, besides: tuple[str, ...] = ()) -> Shackle: ...
@overload
def find(kind: Literal["bolt"], name: str, *, besides: tuple[str, ...] = ()) -> Bolt: ...
@overload
def find(kind: Literal["ply"], name: str, *, besides: tuple[str, ...] = ()) -> Ply: ...
@overload
def find(kind: Literal["steel"], name: str, *, besides: tuple[str, ...] = ()) -> Steel: ...
@overload
def find(kind: Kind, name: str, *, besides: tuple[str, ...] = ()) -> Part: ...


def find(kind: Kind, name: str, *, besides: tuple[str, ...] = ()) -> Part:
    """Find the row of a part by its name.

    Args:
        kind: What the part is.
        name: Its full name, as ``7x19 galvanized 1/4 in``.
        besides: Other names to tell as near where there is no such part.

    Returns:
        The row, in SI, with its source.

    Raises:
        DataError: DA-010 no such part, DA-011 no such kind.

    >>> round(find("rope", "7x19 galvanized 1/4 in").strength)
    31138
    """
    shelf = _shelf(kind)
    if name not in shelf:
        raise _unknown("DA-010", kind, name, (*shelf, *besides), f"rafterstay parts {kind}")
    return shelf[name]


def names(kind: Kind) -> tuple[str, ...]:
    """List every accepted name of a kind, in the order of the tables.

    Raises:
        DataError: DA-011 no such kind.
    """
    return tuple(_shelf(kind))


def species(species: str, grade: str, depth: float) -> Species:
    """Find the reference design values of sawn lumber.

    Args:
        species: As ``Douglas Fir-Larch``.
        grade: As ``No. 2``.
        depth: Dressed depth of the ply; Southern Pine values go by it. [m]

    Returns:
        Reference values before every adjustment, size factor included.

    Raises:
        DataError: DA-012 no such species or grade, DA-013 no values for that depth.

    >>> round(species("Hem-Fir", "No. 2", 0.18415).fb / 6894.757)
    850
    """
    rows = [row for row in _species() if (row[0].species, row[0].grade) == (species, grade)]
    if not rows:
        said = f"{species} {grade}"
        raise _unknown("DA-012", "species", said, timbers(), "rafterstay parts timber")
    for row, of_depth in rows:
        if of_depth is None or abs(of_depth - depth) < _DEPTH_SLACK:
            return row
    depths = ", ".join(f"{of_depth / 0.0254:g} in" for _, of_depth in rows if of_depth is not None)
    raise DataError(
        Finding(
            "DA-013",
            key=f"depth of {species} {grade}",
            value=f"{depth / 0.0254:g} in",
            bound=f"one of {depths}",
            remedy="Its design values are printed by depth; choose a ply of a listed depth.",
        )
    )


def timbers() -> tuple[str, ...]:
    """List every species and grade as ``Hem-Fir No. 2``, in the order of the tables."""
    return tuple(dict.fromkeys(f"{row.species} {row.grade}" for row, _ in _species()))


def stretch_of(lay: str, finish: str, diameter: float) -> tuple[float, Source]:
    """Give EA of a rope from the elastic-stretch factor of its lay and metal.

    Args:
        lay: As ``7x19``.
        finish: As ``galvanized``.
        diameter: Nominal. [m]

    Returns:
        EA = D^2/G: a pull W stretches the rope by W G/D^2 of its length; and its source. [N]
    """
    elastic = _by("rope_stretch", "lay", "metal")[lay, _METAL[finish]]
    return diameter**2 / elastic.values["stretch"], elastic.source


def _unknown(code: str, kind: str, name: str, known: Iterable[str], command: str) -> DataError:
    near = get_close_matches(name, list(known), n=3, cutoff=0.5)
    meant = f"Near: {'; '.join(near)}. " if near else ""
    return DataError(
        Finding(
            code,
            key=kind,
            value=repr(name),
            bound="a name in the catalogue",
            remedy=f"{meant}List every name with: {command}.",
        )
    )


@cache
def _shelf(kind: Kind) -> Mapping[str, Part]:
    if kind not in KINDS:
        raise _unknown("DA-011", "kind of part", str(kind), KINDS, "rafterstay parts")
    return _by_name(kind, KINDS[kind]())


def _by_name(kind: str, parts: Iterable[Part]) -> Mapping[str, Part]:
    """Shelve the parts of a kind, each name once."""
    shelf: dict[str, Part] = {}
    for part in parts:
        if part.name in shelf:
            raise DataError(
                Finding(
                    "DA-006",
                    key=f"{kind} {part.name!r} stands twice",
                    bound="in one table only",
                    remedy="Take one of the two rows out of the tables.",
                )
            )
        shelf[part.name] = part
    return shelf


def printed_size(row: TableRow, column: str) -> str:
    """Write a size as a name has it: ``1/4 in``, ``6 mm``."""
    return f"{row.printed[column]} {row.units[column]}"


def _by(name: str, *columns: str) -> dict[tuple[str, ...], TableRow]:
    """Index a table by columns as printed."""
    return {tuple(row.printed[column] for column in columns): row for row in table(TABLES, name)}


def _in_both(first: str, second: str) -> tuple[TableRow, ...]:
    """Join two tables of one kind that come from two sources."""
    return table(TABLES, first) + table(TABLES, second)


def _ropes() -> Iterable[Rope]:
    mass: dict[tuple[str, ...], TableRow] = {}
    for lay in ("7x19", "7x7", "1x19", "iwrc"):
        mass |= _by(f"rope_mass_{lay}", "lay", "size")
    for file in (
        "rope_strength_aircraft",
        "rope_strength_7x7",
        "rope_strength_1x19",
        "rope_strength_iwrc",
        "rope_metric_7x19",
        "rope_metric_en",
        "rope_metric_stainless",
    ):
        for row in table(TABLES, file):
            lay, finish = row.printed["lay"], row.printed["finish"]
            heavy = row if "mass" in row.values else mass[lay, row.printed["size"]]
            diameter = row.values["size"]
            stiffness, source = stretch_of(lay, finish, diameter)
            yield Rope(
                name=f"{lay} {finish} {printed_size(row, 'size')}",
                lay=lay,
                finish=finish,
                diameter=diameter,
                strength=row.values["strength"],
                mass=heavy.values["mass"],
                stiffness=stiffness,
                source=row.source,
                stiffness_source=source,
            )


def _turnbuckles() -> Iterable[Turnbuckle]:
    pitch = _by("thread_unc", "thread")
    load = _by("turnbuckle_load", "style", "thread")
    mass = _by("turnbuckle_mass", "style", "thread", "take_up")
    jaw = _by("turnbuckle_jaw_inch", "style", "thread")
    jaw |= _by("turnbuckle_jaw_metric", "style", "thread")
    for row in _in_both("turnbuckle_length_inch", "turnbuckle_length_metric"):
        style, thread, take_up = (row.printed[key] for key in ("style", "thread", "take_up"))
        jaws = jaw.get((style, thread))
        heavy = row if "mass" in row.values else mass[style, thread, take_up]
        yield Turnbuckle(
            name=f"{style} {printed_size(row, 'thread')} x {printed_size(row, 'take_up')}",
            thread=row.values["thread"],
            threads_per_metre=pitch[thread,].values["pitch_count"],
            take_up=row.values["take_up"],
            closed=row.values["closed"],
            working_load=load[style, thread].values["working_load"],
            mass=heavy.values["mass"],
            jaw_opening=jaws.values["jaw_opening"] if jaws else None,
            pin=jaws.values.get("pin") if jaws else None,
            source=load[style, thread].source,
            length_source=row.source,
            jaw_source=jaws.source if jaws else None,
        )


def _thimbles() -> Iterable[Thimble]:
    for row in table(TABLES, "thimble_heavy"):
        yield Thimble(
            name=f"{row.printed['style']} {printed_size(row, 'rope')}",
            source=row.source,
            **row.values,
        )


def _sleeves() -> Iterable[Sleeve]:
    return (sleeve_of(row) for row in table(TABLES, "sleeve_oval"))


def sleeve_of(row: TableRow, before: str = "") -> Sleeve:
    """A sleeve of its row; ``before`` goes before its name."""
    return Sleeve(
        name=f"{before}{row.printed['material']} oval {printed_size(row, 'rope')}",
        material=row.printed["material"],
        rope=row.values["rope"],
        before=row.values["before"],
        after=row.values["after"],
        presses=round(row.values["presses"]),
        source=row.source,
    )


def _shackles() -> Iterable[Shackle]:
    pin = _by("shackle_pin", "style", "bar")
    shape = _by("shackle_shape", "style", "bar")
    for row in table(TABLES, "shackle_anchor"):
        size = row.printed["style"], row.printed["bar"]
        yield Shackle(
            name=f"{row.printed['style']} {printed_size(row, 'bar')}",
            bar=row.values["bar"],
            inside_width=row.values.get("inside_width"),
            working_load=row.values["working_load"],
            source=row.source,
            pin=pin[size].values["pin"],
            inside_length=shape[size].values["inside_length"],
            mass=shape[size].values["mass"],
            shape_source=shape[size].source,
        )


def _bolts() -> Iterable[Bolt]:
    shear = _by("bolt_shear", "grade")
    for row in table(TABLES, "bolt_bending"):
        grade = row.printed["grade"]
        yield Bolt(
            name=f"{grade} {printed_size(row, 'diameter')}",
            grade=grade,
            diameter=row.values["diameter"],
            yield_bending=row.values["yield_bending"],
            shear=shear[grade,].values["shear"],
            source=row.source,
            shear_source=shear[grade,].source,
        )


def _plies() -> Iterable[Ply]:
    for row in table(TABLES, "ply_dressed"):
        yield Ply(name=row.printed["name"], source=row.source, **row.values)


def _steels() -> Iterable[Steel]:
    for row in table(TABLES, "steel_grades"):
        yield Steel(
            name=row.printed["grade"],
            yield_strength=row.values["yield"],
            tensile_strength=row.values["tensile"],
            source=row.source,
        )


@cache
def _species() -> tuple[tuple[Species, float | None], ...]:
    """List every species row with the depth it is for, None where it is for all."""
    gravity = _by("species_gravity", "species")
    found = []
    for row in _in_both("species_4a", "species_4b"):
        name = row.printed["species"]
        stress = ("fb", "ft", "fv", "fc_perp", "fc", "e", "e_min")
        lumber = Species(
            species=name,
            grade=row.printed["grade"],
            gravity=gravity[name,].values["gravity"],
            source=row.source,
            **{key: row.values[key] for key in stress},
        )
        found.append((lumber, row.values.get("depth")))
    return tuple(found)


KINDS: Final[Mapping[str, Callable[[], Iterable[Part]]]] = {
    "rope": _ropes,
    "turnbuckle": _turnbuckles,
    "thimble": _thimbles,
    "sleeve": _sleeves,
    "shackle": _shackles,
    "bolt": _bolts,
    "ply": _plies,
    "steel": _steels,
}
