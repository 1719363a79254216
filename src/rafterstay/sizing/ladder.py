"""Which sizes a part may have: those of the kind the job states, smallest first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, Literal

from rafterstay import catalog
from rafterstay.catalog.rows import Bolt, Ply, Rope, Shackle, Turnbuckle
from rafterstay.core.errors import DataError
from rafterstay.core.quantities import parse
from rafterstay.sizing.reads import ORDER
from rafterstay.sizing.stock import STEEL, part_of, stated_size, stock

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rafterstay.catalog import Catalogue
    from rafterstay.job import Job

__all__ = ["Ladders", "dressed", "ladders", "parts_of"]

_TURNBUCKLE_WORDS: Final = 5  # of its size: 1/2 in x 6 in
_SAME: Final = 1e-6  # [m]; sizes of a rope and of what is made for it

Kind = Literal["rope", "turnbuckle", "thimble", "sleeve", "shackle", "bolt", "ply"]


@dataclass(frozen=True)
class Ladders:
    """Sizes to choose from.

    Attributes:
        rungs: Names by part, smallest first, of the parts that are sized.
        thimbles: Thimble for each rope of the legs.
        sleeves: Sleeve for each rope of the legs.
        below: One size down of every thimble and sleeve, None for the smallest.
    """

    rungs: Mapping[str, tuple[str, ...]]
    thimbles: Mapping[str, str]
    sleeves: Mapping[str, str]
    below: Mapping[str, str | None]


def ladders(job: Job, *, with_ply: bool = False) -> Ladders:
    """Sizes of the lay, finish, style and grade the job states; of a steel ring those of stock.

    A rope counts only where thimble and sleeve of its size are in the catalogue; so does a ply
    only where its species has design values for that depth.

    Args:
        job: Parts as stated; each of them is on its ladder, unless yards do not keep it.
        with_ply: The ply may change too; else it is as stated.

    Returns:
        The ladders.
    """
    parts = job.parts
    shelves = job.catalogue
    thimbles = _alike(shelves, "thimble", parts.thimble)
    sleeves = _alike(shelves, "sleeve", parts.sleeve)
    ropes, fitted = [], {parts.rope: (parts.thimble, parts.sleeve)}
    for name in _alike(shelves, "rope", parts.rope):
        size = _size(shelves, "rope", name)
        thimble = _made_for(shelves, "thimble", thimbles, size)
        sleeve = _made_for(shelves, "sleeve", sleeves, size)
        if thimble and sleeve:
            fitted[name] = (thimble, sleeve)
        if name in fitted:
            ropes.append(name)
    rungs = {"rope": tuple(ropes)}
    rungs["turnbuckle"] = _alike(shelves, "turnbuckle", parts.turnbuckle)
    rungs["bolt"] = _alike(shelves, "bolt", parts.bolt)
    if job.tie.layout == "ring" and parts.ring_rope and job.tie.ring.startswith("rope"):
        rungs["ring_rope"] = _alike(shelves, "rope", parts.ring_rope)
    if parts.shackle != "none":
        rungs["shackle"] = _alike(shelves, "shackle", parts.shackle)
    steel = part_of(job)
    if steel:
        rungs[steel] = stock(job, steel)
    if with_ply:
        rungs["ply"] = _plies(job)
    below: dict[str, str | None] = {}
    for names in (thimbles, sleeves):
        below |= dict(zip(names, (None, *names), strict=False))
    return Ladders(
        rungs={part: rungs[part] for part in ORDER if part in rungs},
        thimbles={rope: pair[0] for rope, pair in fitted.items()},
        sleeves={rope: pair[1] for rope, pair in fitted.items()},
        below=below,
    )


def dressed(job: Job, choice: Mapping[str, str], ladder: Ladders) -> Job:
    """The job with other parts; thimble and sleeve go with the rope unless chosen too.

    Args:
        job: As stated.
        choice: Names by part.
        ladder: What goes with each rope.

    Returns:
        The job to check.
    """
    names = {part: name for part, name in choice.items() if part not in ("ply", *STEEL)}
    rope = names.get("rope", job.parts.rope)
    names.setdefault("thimble", ladder.thimbles[rope])
    names.setdefault("sleeve", ladder.sleeves[rope])
    named: Mapping[str, Any] = names
    cut: Mapping[str, Any] = {
        part: parse(choice[part], "length") for part in STEEL if part in choice
    }
    changed = replace(
        job, parts=replace(job.parts, **named), tie=replace(job.tie, **cut) if cut else job.tie
    )
    if "ply" in choice:
        changed = replace(changed, rafter=replace(changed.rafter, ply=choice["ply"]))
    return changed


def parts_of(job: Job) -> dict[str, str]:
    """Names of all parts of a tie, and of the ply, in the order they are told."""
    parts = job.parts
    named = {"rope": parts.rope, "thimble": parts.thimble, "sleeve": parts.sleeve}
    if job.tie.layout == "ring" and parts.ring_rope and job.tie.ring.startswith("rope"):
        named["ring_rope"] = parts.ring_rope
    steel = part_of(job)
    if steel:
        named[steel] = stated_size(job, steel)
    named |= {"turnbuckle": parts.turnbuckle, "bolt": parts.bolt}
    if parts.shackle != "none":
        named["shackle"] = parts.shackle
    return named | {"ply": job.rafter.ply}


def _alike(shelves: Catalogue, kind: Kind, stated: str) -> tuple[str, ...]:
    """Names of the same make as the stated one, by size."""
    make = _make(shelves, kind, stated)
    names = [name for name in shelves.names(kind) if _make(shelves, kind, name) == make]
    return tuple(
        sorted(names, key=lambda name: (*_sizes(shelves, kind, name), name != stated, name))
    )


def _plies(job: Job) -> tuple[str, ...]:
    names = []
    for name in _alike(job.catalogue, "ply", job.rafter.ply):
        try:
            catalog.species(job.rafter.species, job.rafter.grade, _size(job.catalogue, "ply", name))
        except DataError:
            continue
        names.append(name)
    return tuple(names)


def _make(shelves: Catalogue, kind: Kind, name: str) -> tuple[object, ...]:
    """What a size keeps when it goes up or down: make, label, and inch or metric."""
    row, unit = shelves.find(kind, name), name.rsplit(" ", 1)[-1]
    if isinstance(row, Ply):
        return (row.thickness,)
    if isinstance(row, Turnbuckle):
        return name.rsplit(" ", _TURNBUCKLE_WORDS)[0], unit
    return name.rsplit(" ", 2)[0], unit


def _sizes(shelves: Catalogue, kind: Kind, name: str) -> tuple[float, ...]:
    """What is sorted by. [m]"""
    row = shelves.find(kind, name)
    if isinstance(row, Rope):
        return row.diameter, row.strength
    if isinstance(row, Bolt):
        return (row.diameter,)
    if isinstance(row, Ply):
        return (row.depth,)
    if isinstance(row, Turnbuckle):
        return row.thread, row.take_up
    if isinstance(row, Shackle):
        return (row.bar,)
    return (row.rope,)


def _size(shelves: Catalogue, kind: Kind, name: str) -> float:
    return _sizes(shelves, kind, name)[0]


def _made_for(shelves: Catalogue, kind: Kind, names: tuple[str, ...], rope: float) -> str | None:
    """The one made for a rope; None where the catalogue has none."""
    return next((one for one in names if abs(_size(shelves, kind, one) - rope) < _SAME), None)
