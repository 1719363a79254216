"""The job as the user states it, and every key of its contract in order.

The tables' fields are the contract: reader, audit and ``docs/job-file.md`` all follow them.
They are plain frozen dataclasses, so whoever takes a ``Job`` does not load the validator.
"""

# Annotations are read while a job is audited, so they are not postponed here.

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Annotated, Any, Literal, get_args, get_type_hints

from rafterstay.catalog import STANDARD, Catalogue, Own
from rafterstay.catalog.shelf import Kind
from rafterstay.job.building import Heading, Loads, Rafter, Support
from rafterstay.job.fitting import Limits, Parts, Pretension, Prices, Site, TieStated
from rafterstay.job.keys import STRICT, Count, Key
from rafterstay.job.shape import Roof

__all__ = ["Assumed", "Job", "Path", "Stated", "keys"]

Path = tuple[str, ...]


@dataclass(frozen=True)
class Assumed:
    """A default that was taken because the key was left out."""

    key: str
    value: str
    why: str


@dataclass(frozen=True)
class Stated:
    """The whole file, table by table."""

    __pydantic_config__ = STRICT

    schema: Annotated[int, Count(means="the edition of the job file", least=1, most=1)]
    job: Heading
    roof: Roof
    support: Support
    loads: Loads
    rafter: Rafter
    tie: TieStated
    parts: Parts
    pretension: Pretension
    limits: Limits
    site: Site
    prices: Prices


@dataclass(frozen=True)
class Job:
    """What the user states, in SI, and what was assumed for the rest.

    Attributes:
        title: Name of the job.
        show: Units of the answers.
        assumed: Every default that was taken, in the order of the contract.
        sha256: Of the file's bytes, in hexadecimal.
        catalogue: Where the names of its parts are looked up: the package's tables, and the
            user's own rows.
        stand_ins: Answers that nobody has given yet; with any of them no verdict passes.
    """

    title: str
    show: Literal["us", "si"]
    roof: Roof
    support: Support
    loads: Loads
    rafter: Rafter
    tie: TieStated
    parts: Parts
    pretension: Pretension
    limits: Limits
    site: Site
    prices: Prices
    assumed: tuple[Assumed, ...]
    sha256: str
    catalogue: Catalogue = STANDARD
    stand_ins: tuple[str, ...] = ()

    @property
    def own_parts(self) -> tuple[Own, ...]:
        """Rows of the user's own catalogue that the job uses."""
        parts = self.parts
        named: tuple[tuple[Kind, str | None], ...] = (
            ("rope", parts.rope),
            ("rope", parts.ring_rope),
            ("turnbuckle", parts.turnbuckle),
            ("thimble", parts.thimble),
            ("sleeve", parts.sleeve),
            ("bolt", parts.bolt),
            ("shackle", parts.shackle),
        )
        rows = (self.catalogue.own_row(kind, name) for kind, name in named if name)
        return tuple(dict.fromkeys(row for row in rows if row))

    @property
    def tie_height(self) -> float:
        """Tie bolts above the feet. [m]"""
        height = self.tie.height
        return height.value * self.roof.rise if height.is_fraction else height.value


def keys(
    table: type[Any] = Stated, above: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], Key | type[Any]]]:
    """Every key and table of the contract, in its order, with its path."""
    hints = get_type_hints(table, include_extras=True)
    for field in fields(table):
        path = (*above, field.name)
        hint = hints[field.name]
        if is_dataclass(hint) and isinstance(hint, type):
            yield path, hint
            yield from keys(hint, path)
        else:
            yield path, next(mark for mark in get_args(hint) if isinstance(mark, Key))
