"""Whether what was stated of the roof's shape and of the tie's layout fits together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from rafterstay.core.errors import Finding
from rafterstay.core.quantities import show
from rafterstay.job.keys import Key
from rafterstay.job.shape import Roof

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["continuous", "layout", "plate", "shape"]

Found = tuple[tuple[str, ...], Finding]

_OF: Final = {
    "polygon": ("sides", "plate_radius", "hub", "bracing"),
    "gable": ("span", "length", "spacing", "tie_every", "ridge"),
}
# Stated of a polygon only; a gable's rafters stand under a deck, which may be said.
_NOT_OF: Final = {"polygon": _OF["gable"], "gable": ("sides", "plate_radius", "hub")}
_OTHER: Final = {"polygon": "gable", "gable": "polygon"}


def shape(values: Mapping[str, Any]) -> Iterator[Found]:
    """A polygon has sides and a hub, a gable a span and a ridge; neither has the other's.

    Args:
        values: Sound values in SI by dotted key.

    Yields:
        The path a finding is about, and the finding.
    """
    if "roof.shape" not in values:
        return
    stated = values["roof.shape"]
    for name in _OF[stated]:
        if values.get(f"roof.{name}", "unsound") is None:
            yield _missing("roof", name, _key(name))
    for name in _NOT_OF[stated]:
        if values.get(f"roof.{name}") is not None:
            remedy = f'It goes with shape = "{_OTHER[stated]}": leave it out.'
            bound = f"left out for a {stated}"
            yield ("roof", name), Finding("IN-009", "", "stated", bound, remedy)
    if stated == "gable":
        yield from _of_a_gable(values)


def _of_a_gable(values: Mapping[str, Any]) -> Iterator[Found]:
    if values.get("roof.bracing") == "none":
        remedy = "Nothing else holds common rafters upright along the ridge: deck them."
        yield ("roof", "bracing"), Finding("IN-009", "", "none", "deck for a gable", remedy)
    if values.get("roof.infill") == "jacks":
        remedy = "Jack rafters stand between plate and hip: a gable has none."
        yield ("roof", "infill"), Finding("IN-009", "", "jacks", "purlins for a gable", remedy)
    radius = values.get("roof.hub_radius", 0.0)
    if radius > 0.0:
        said = show(radius, "length", values.get("job.show", "us"))
        remedy = "The heads of a gable meet at the ridge: leave it out."
        yield ("roof", "hub_radius"), Finding("IN-009", "", said, "left out for a gable", remedy)


def layout(values: Mapping[str, Any]) -> Iterator[Found]:
    """A ring has a size, a band lies on the plate, ties across join opposite feet.

    Args:
        values: Sound values in SI by dotted key.

    Yields:
        The path a finding is about, and the finding.
    """
    stated = values.get("tie.layout")
    if stated is None:
        return
    roof = values.get("roof.shape", "polygon")
    if roof == "gable" and stated != "cross":
        remedy = "A gable is tied straight across, rafter to rafter."
        yield ("tie", "layout"), Finding("IN-009", "", stated, '"cross" for a gable', remedy)
    sides = values.get("roof.sides")
    if stated == "cross" and roof == "polygon" and sides is not None and sides % 2:
        remedy = "Ties straight across join opposite hips: take an even number of sides, or a ring."
        yield ("tie", "layout"), Finding("IN-009", "", "cross", "ring or band, sides odd", remedy)
    height = values.get("tie.height")
    if stated == "band" and height is not None and height.value > 0.0:
        remedy = 'A band runs round the plate: write height = "0", or take another layout.'
        said = f"{height.value:g}" if height.is_fraction else f"{height.value:.3f} m"
        yield ("tie", "height"), Finding("IN-009", "", said, "0 for a band", remedy)
    if stated == "ring" and values.get("tie.ring_radius", "unsound") is None:
        remedy = 'Legs that meet in mid-air meet on a ring: state it, or take layout = "cross".'
        path = ("tie", "ring_radius")
        yield path, Finding("IN-005", "", "", 'stated where layout = "ring"', remedy)


def plate(values: Mapping[str, Any]) -> Iterator[Found]:
    """The plies of a plate go with the size of one.

    Args:
        values: Sound values in SI by dotted key.

    Yields:
        The path a finding is about, and the finding.
    """
    ply, plies = (values.get(f"support.{name}", "unsound") for name in ("plate_ply", "plate_plies"))
    path = ("support", "plate_plies")
    if plies is None and ply not in (None, "unsound"):
        remedy = "A doubled top plate has 2."
        yield path, Finding("IN-005", "", "", "stated beside support.plate_ply", remedy)
    if ply is None and plies not in (None, "unsound"):
        remedy = "State the size of one ply too, or leave both out."
        bound = "left out where support.plate_ply is not stated"
        yield path, Finding("IN-009", "", str(plies), bound, remedy)


def continuous(values: Mapping[str, Any]) -> Iterator[Found]:
    """A plate that runs on says what it is and what its joints take and give.

    Args:
        values: Sound values in SI by dotted key.

    Yields:
        The path a finding is about, and the finding.
    """
    stated = values.get("support.plate")
    if stated is None:
        return
    runs_on = stated == "continuous"
    if runs_on and values.get("roof.shape") == "gable":
        remedy = "The plates of a gable run along it and do not meet round it: leave it out."
        found = Finding("IN-009", "", stated, '"jointed" for a gable', remedy)
        yield ("support", "plate"), found
        return
    for name in ("joint_capacity", "joint_slip"):
        value = values.get(f"support.{name}", "unsound")
        path = ("support", name)
        if runs_on and value is None:
            remedy = "Without it nobody can tell what share of the thrust the plate takes."
            yield path, Finding("IN-005", "", "", 'stated where plate = "continuous"', remedy)
        if not runs_on and value not in (None, "unsound"):
            remedy = 'Leave it out, or write plate = "continuous".'
            bound = 'left out where plate = "jointed"'
            yield path, Finding("IN-009", "", "stated", bound, remedy)
    if runs_on and values.get("support.plate_ply", "unsound") is None:
        remedy = "State the size of one ply: how much the plate stretches depends on it."
        bound = 'stated where plate = "continuous"'
        yield ("support", "plate_ply"), Finding("IN-005", "", "", bound, remedy)


def _missing(table: str, name: str, key: Key) -> Found:
    remedy = f"State {key.means}: {key.bounds()}."
    return (table, name), Finding("IN-005", bound="stated", remedy=remedy)


def _key(name: str) -> Key:
    hint = Roof.__annotations__[name]
    found: Key = next(mark for mark in hint.__metadata__ if isinstance(mark, Key))
    return found
