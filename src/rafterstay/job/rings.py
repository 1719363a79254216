"""Whether what was stated of the centre ring goes with the kind of ring it is."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any, get_args

from rafterstay.core.errors import Finding
from rafterstay.core.quantities import show
from rafterstay.job.fitting import TieStated
from rafterstay.job.keys import Key

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["ring"]

Found = tuple[tuple[str, ...], Finding]


def ring(values: Mapping[str, Any]) -> Iterator[Found]:
    """A rope ring has a rope, a welded one a bar, a plate its holes and shackles.

    Args:
        values: Sound values in SI by dotted key.

    Yields:
        The path a finding is about, and the finding.
    """
    kind = values.get("tie.ring")
    if kind is None:
        return
    has_ring = values.get("tie.layout", "ring") == "ring"
    for name, key in _of_some_rings().items():
        yield from _goes(values, name, key, kind, has_ring=has_ring)
    yield from _rope(values, kind, has_ring=has_ring)
    if has_ring and kind == "plate" and values.get("parts.shackle") == "none":
        remedy = "A thimble cannot be closed through a hole in a plate: a shackle joins the two."
        yield ("parts", "shackle"), Finding("IN-009", "", "none", "a shackle at a plate", remedy)


def _of_some_rings() -> dict[str, Key]:
    """Keys of the tie that go with some rings only."""
    found = {}
    for field in fields(TieStated):
        key = next(mark for mark in get_args(field.type)[1:] if isinstance(mark, Key))
        if key.goes_with:
            found[field.name] = key
    return found


def _goes(
    values: Mapping[str, Any], name: str, key: Key, kind: str, *, has_ring: bool
) -> Iterator[Found]:
    path = ("tie", name)
    value = values.get(".".join(path), "unsound")
    if key.goes_with is None or value == "unsound":
        return
    words = key.goes_with[1]
    named = " or ".join(f'"{word}"' for word in words)
    if kind not in words and value is not None:
        said = _said(value, values)
        remedy = f"It goes with ring = {named}: leave it out."
        yield path, Finding("IN-009", "", said, f'left out where ring = "{kind}"', remedy)
    if kind in words and value is None and has_ring:
        remedy = f"State {key.means}: {key.bounds()}."
        yield path, Finding("IN-005", "", "", f"stated where ring = {named}", remedy)


def _rope(values: Mapping[str, Any], kind: str, *, has_ring: bool) -> Iterator[Found]:
    """The rope of the ring, where the ring is of rope."""
    path = ("parts", "ring_rope")
    rope = values.get(".".join(path), "unsound")
    of_rope = kind.startswith("rope")
    if of_rope and rope is None and has_ring:
        remedy = 'Legs that meet in mid-air meet on a ring: state it, or take layout = "cross".'
        yield path, Finding("IN-005", "", "", "stated where the ring is of rope", remedy)
    if not of_rope and rope not in (None, "unsound"):
        remedy = "There is no rope in this ring: leave it out."
        yield path, Finding("IN-009", "", str(rope), f'left out where ring = "{kind}"', remedy)


def _said(value: object, values: Mapping[str, Any]) -> str:
    if isinstance(value, float):
        return show(value, "length", values.get("job.show", "us"))
    return str(value)
