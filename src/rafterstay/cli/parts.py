"""``rafterstay parts``: every name a job may use for a part."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, Final, get_args

import click

from rafterstay.cli.contract import Exit, envelope
from rafterstay.cli.output import emit, write_document
from rafterstay.core.errors import DataError, Finding, InputError

if TYPE_CHECKING:
    from rafterstay.catalog import Catalogue
    from rafterstay.catalog.rows import Species
    from rafterstay.core.quantities import Dimension
    from rafterstay.core.sources import Source

__all__ = ["Listed", "brought", "listed", "parts"]


@dataclass(frozen=True)
class _Figure:
    """A column of a catalogue row: its field, its JSON key, its dimension and a word for it."""

    field: str
    key: str
    dimension: Dimension | None
    word: str


def _figures(*rows: tuple[str, str, Dimension | None, str]) -> tuple[_Figure, ...]:
    return tuple(_Figure(*row) for row in rows)


_FIGURES: Final = {
    "rope": _figures(
        ("strength", "strength_N", "force", "breaks at"),
        ("stiffness", "stiffness_N", "force", "EA"),
        ("diameter", "diameter_m", None, ""),
        ("mass", "mass_kg_per_m", None, ""),
    ),
    "turnbuckle": _figures(
        ("working_load", "working_load_N", "force", "carries"),
        ("take_up", "take_up_m", "length", "take-up"),
        ("closed", "closed_m", "length", "closed"),
        ("mass", "mass_kg", None, ""),
    ),
    "thimble": _figures(
        ("rope", "rope_m", None, ""),
        ("inside_length", "inside_length_m", "length", "inside long"),
        ("inside_width", "inside_width_m", "length", "wide"),
        ("thickness", "thickness_m", "length", "thick"),
    ),
    "sleeve": _figures(
        ("rope", "rope_m", None, ""),
        ("before", "before_m", "length", "long"),
        ("after", "after_m", "length", "pressed"),
        ("presses", "presses", "number", "presses"),
    ),
    "shackle": _figures(
        ("working_load", "working_load_N", "force", "carries"),
        ("bar", "bar_m", None, ""),
        ("inside_width", "inside_width_m", "length", "inside"),
        ("pin", "pin_m", "length", "pin"),
        ("inside_length", "inside_length_m", "length", "inside long"),
    ),
    "bolt": _figures(
        ("diameter", "diameter_m", None, ""),
        ("yield_bending", "yield_bending_Pa", "stress", "bends at"),
        ("shear", "shear_Pa", "stress", "shears at"),
    ),
    "ply": _figures(
        ("thickness", "thickness_m", "length", "thick"),
        ("depth", "depth_m", "length", "deep"),
    ),
    "steel": _figures(
        ("yield_strength", "yield_Pa", "stress", "Fy"),
        ("tensile_strength", "tensile_Pa", "stress", "Fu"),
    ),
    "timber": _figures(
        ("fb", "fb_Pa", "stress", "Fb"),
        ("e", "e_Pa", "stress", "E"),
        ("gravity", "gravity", "number", "gravity"),
    ),
}


@dataclass(frozen=True)
class Listed:
    """One accepted name: its figures for the page and for the document, and their sources."""

    kind: str
    name: str
    said: str
    figures: dict[str, float | None]
    sources: tuple[Source, ...]


@click.command()
@click.argument("word", required=False)
@click.option("--job", metavar="JOB", help="With the job folder's own catalogue.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
def parts(word: str | None, *, job: str | None, as_json: bool) -> Exit:
    """List every part a job may name, with key figures and source.

    WORD keeps the names or kinds it stands in: rope, turnbuckle, thimble, sleeve, shackle, bolt,
    ply, steel, timber, 1/4, stainless.
    """
    found = listed(word, brought(job))
    if as_json:
        write_document(envelope("parts", parts=[_entry(part) for part in found]))
    else:
        emit(_page(found))
    return Exit.PASSES


def brought(job: str | None) -> Catalogue | None:
    """The catalogue of a job folder.

    Args:
        job: A job folder or the job.toml in it; nothing where left out.

    Returns:
        The package's tables with the folder's own rows; nothing where no job is named.

    Raises:
        InputError: CL-009 the job is not there, or a row cannot be taken.
    """
    if job is None:
        return None
    from pathlib import Path

    from rafterstay.catalog import load_own

    place = Path(job)
    if not place.exists():
        remedy = "Give a job folder, or the job.toml in it."
        raise InputError(Finding("CL-009", key="--job", value=job, bound="there", remedy=remedy))
    return load_own(place if place.is_dir() else place.parent)


def listed(word: str | None = None, catalogue: Catalogue | None = None) -> tuple[Listed, ...]:
    """Every accepted name, or those that hold a word.

    Args:
        word: Part of a name, or a kind; case does not matter.
        catalogue: With the user's own rows; the package's tables where left out.

    Returns:
        At least one, kind by kind.

    Raises:
        InputError: CL-005 the word stands in no name.
    """
    every = tuple(_listed(catalogue))
    if word is None:
        return every
    wanted = word.casefold().strip()
    kind = wanted.removesuffix("s")
    if kind in _FIGURES or wanted in _FIGURES:
        return tuple(part for part in every if part.kind in (kind, wanted))
    found = tuple(part for part in every if wanted in part.name.casefold())
    if found:
        return found
    near = get_close_matches(word, [*_FIGURES, *(part.name for part in every)], n=3, cutoff=0.4)
    meant = f"Near: {'; '.join(near)}. " if near else ""
    raise InputError(
        Finding(
            "CL-005",
            key="WORD",
            value=word,
            bound="part of an accepted name",
            remedy=f"{meant}Leave it out to list every part.",
        )
    )


def _listed(catalogue: Catalogue | None) -> list[Listed]:
    from rafterstay import catalog
    from rafterstay.catalog.shelf import Kind

    shelves = catalogue or catalog.STANDARD
    found = [
        _listing(kind, name, shelves.find(kind, name))
        for kind in get_args(Kind)
        for name in shelves.names(kind)
    ]
    return found + [_listing("timber", name, _timber(name)) for name in catalog.timbers()]


def _timber(name: str) -> Species:
    """Values of a species and grade for the deepest ply it has any for."""
    return next(_cuts(name))


def _cuts(name: str) -> Iterator[Species]:
    """Every way to part a name into a species and a grade that the tables know."""
    from rafterstay import catalog

    words = name.split(" ")
    for cut in range(1, len(words)):
        for ply in reversed(catalog.names("ply")):
            depth = catalog.find("ply", ply).depth
            with suppress(DataError):
                yield catalog.species(" ".join(words[:cut]), " ".join(words[cut:]), depth)


def _listing(kind: str, name: str, row: Any) -> Listed:
    from rafterstay.core.quantities import show
    from rafterstay.core.sources import Source

    figures = {one.key: getattr(row, one.field) for one in _FIGURES[kind]}
    said = [
        f"{one.word} {show(value, one.dimension, 'us')}"
        for one in _FIGURES[kind]
        if one.dimension and (value := figures[one.key]) is not None
    ]
    held = [getattr(row, field) for field in row.__dataclass_fields__]
    sources = tuple(dict.fromkeys(value for value in held if isinstance(value, Source)))
    return Listed(kind, name, ", ".join(said), figures, sources)


def _entry(part: Listed) -> dict[str, Any]:
    return {
        "kind": part.kind,
        "name": part.name,
        **part.figures,
        "source": "; ".join(map(str, part.sources)),
    }


def _page(found: tuple[Listed, ...]) -> str:
    """A table a kind, and the sources under all of them."""
    from rafterstay.cli.report import table_text, wrapped

    sources = list(dict.fromkeys(source for part in found for source in part.sources))
    number = {source: str(count) for count, source in enumerate(sources, start=1)}
    pages = []
    for kind in dict.fromkeys(part.kind for part in found):
        rows = [
            (part.name, part.said, ", ".join(number[source] for source in part.sources))
            for part in found
            if part.kind == kind
        ]
        table = table_text([("Name", "left"), ("Key figures", "left"), ("Source", "left")], rows)
        pages.append(f"{kind.capitalize()}\n{table}")
    notes = [
        wrapped(str(source), first=f"{number[source]:>3}  ", rest="     ") for source in sources
    ]
    return "\n".join([*pages, "\n".join(["Sources", *notes])]) + "\n"
