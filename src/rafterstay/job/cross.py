"""Whether sound values fit one another."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from rafterstay.core.errors import Finding
from rafterstay.core.quantities import show
from rafterstay.job.materials import stops
from rafterstay.job.rings import ring
from rafterstay.job.shapes import continuous, layout, plate, shape

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["contradictions"]

Found = tuple[tuple[str, ...], Finding]


def contradictions(values: Mapping[str, Any]) -> Iterator[Found]:
    """Every pair of values that cannot both be true.

    Args:
        values: Values in SI by dotted key; a key that is missing or unsound is left out, and
            the rules that need it are skipped.

    Yields:
        The path a finding is about, and the finding.
    """
    for rule in (
        shape,
        layout,
        ring,
        plate,
        continuous,
        _hub,
        _hub_ring,
        _tie,
        _ring_in_plane,
        _walls,
        _plies,
        *_LOADS,
        stops,
    ):
        yield from rule(values)


def _length(value: float, values: Mapping[str, Any]) -> str:
    return show(value, "length", values.get("job.show", "us"))


def _finding(key: str, value: str, bound: str, remedy: str, code: str = "IN-009") -> Found:
    return tuple(key.split(".")), Finding(code, value=value, bound=bound, remedy=remedy)


def _has(values: Mapping[str, Any], *names: str) -> bool:
    return all(name in values for name in names)


def _hub(values: Mapping[str, Any]) -> Iterator[Found]:
    """A point has no radius; a disc or ring has one, inside the plate."""
    if not _has(values, "roof.hub", "roof.hub_radius"):
        return
    hub, radius = values["roof.hub"], values["roof.hub_radius"]
    if hub is None:
        return
    said = _length(radius, values)
    if hub == "point" and radius > 0.0:
        remedy = 'Write hub = "disc" or "ring" if the heads stand apart.'
        yield _finding("roof.hub_radius", said, "0 in for a point", remedy)
    if hub != "point" and radius == 0.0:
        remedy = "State the distance from the centre to a head's bearing, on plan."
        yield _finding("roof.hub_radius", said, f"above 0 for a {hub}", remedy)
    if radius >= (values.get("roof.plate_radius") or math.inf):
        bound = f"under roof.plate_radius, {_length(values['roof.plate_radius'], values)}"
        remedy = "Heads stand nearer the centre than feet: check both."
        yield _finding("roof.hub_radius", said, bound, remedy)


def _hub_ring(values: Mapping[str, Any]) -> Iterator[Found]:
    """A hub ring states its section, and is stiff at its joints."""
    hub = values.get("roof.hub")
    for name in ("roof.hub_width", "roof.hub_depth"):
        if hub is None or name not in values:
            continue
        if hub == "ring" and values[name] is None:
            remedy = "State the section of the ring's beams: width on plan, depth vertically."
            yield _finding(name, "", 'stated where hub = "ring"', remedy)
        if hub != "ring" and values[name] is not None:
            said = _length(values[name], values)
            remedy = 'A point or a disc has no beams: leave it out, or write hub = "ring".'
            yield _finding(name, said, f'left out where hub = "{hub}"', remedy)
    if values.get("roof.hub_joints") == "pinned":
        remedy = (
            "A ring of pinned bars cannot hold heads that are pushed unequally: it folds "
            "sideways under one-sided snow."
        )
        yield _finding("roof.hub_joints", "pinned", "rigid", remedy, code="IN-013")


def _tie(values: Mapping[str, Any]) -> Iterator[Found]:
    """The tie stands below the hub."""
    if not _has(values, "tie.height", "roof.rise"):
        return
    height, rise = values["tie.height"], values["roof.rise"]
    if not height.is_fraction and height.value >= rise:
        said = _length(height.value, values)
        bound = f"under roof.rise, {_length(rise, values)}"
        yield _finding("tie.height", said, bound, "The tie must stand below the hub.")


def _ring_in_plane(values: Mapping[str, Any]) -> Iterator[Found]:
    """The ring fits inside the bolts at the height of the tie."""
    needed = ("tie.height", "tie.ring_radius", "roof.rise", "roof.plate_radius", "roof.hub_radius")
    if not _has(values, *needed):
        return
    height, ring, rise, outer, inner = (values[name] for name in needed)
    if ring is None or outer is None or values.get("tie.layout", "ring") != "ring":
        return
    share = height.value if height.is_fraction else height.value / rise
    reach = outer - (outer - inner) * share
    if share < 1.0 and inner < outer and ring >= reach:
        bound = f"under the bolts' distance from the centre there, {_length(reach, values)}"
        remedy = "Make the ring smaller or the tie lower: a leg needs length."
        yield _finding("tie.ring_radius", _length(ring, values), bound, remedy)


def _walls(values: Mapping[str, Any]) -> Iterator[Found]:
    """Stiff walls state how stiff; others do not."""
    if not _has(values, "support.walls", "support.wall_stiffness"):
        return
    walls, stiffness = values["support.walls"], values["support.wall_stiffness"]
    if walls == "stiff" and stiffness is None:
        bound = 'stated where walls = "stiff"'
        remedy = 'State the least and the most, like ["1 kip/in", "4 kip/in"].'
        yield _finding("support.wall_stiffness", "", bound, remedy)
    if walls != "stiff" and stiffness is not None:
        bound = 'left out where walls = "no help"'
        remedy = 'Leave it out, or write walls = "stiff".'
        yield _finding("support.wall_stiffness", "a list", bound, remedy)


def _plies(values: Mapping[str, Any]) -> Iterator[Found]:
    """The eye lies between two plies."""
    plies = values.get("rafter.plies", 2)
    if plies != 2:
        remedy = "The eye of a leg sits on a bolt between two plies."
        yield _finding("rafter.plies", str(plies), "2", remedy)


# What a ground snow needs beside it to become snow on the roof.
_WITH_GROUND = ("exposure", "thermal", "importance", "slippery", "level")
_WITH_SPEED = ("exposure", "enclosure", "height")


def _snow(values: Mapping[str, Any]) -> Iterator[Found]:
    """Snow is stated on the roof, or on the ground with all it takes to bring it up."""
    if not _has(values, "loads.snow.roof", "loads.snow.ground"):
        return
    on_roof, ground = values["loads.snow.roof"], values["loads.snow.ground"]
    if on_roof is None and ground is None:
        remedy = "State the snow on the roof, or the site's ground snow and what goes with it."
        yield _finding("loads.snow.roof", "", "stated, or loads.snow.ground", remedy, "IN-005")
    if on_roof is not None and ground is not None:
        said = show(on_roof, "pressure", values.get("job.show", "us"))
        remedy = "Keep one of the two: the snow on the roof is worked out from the ground's."
        yield _finding("loads.snow.roof", said, "left out beside loads.snow.ground", remedy)
    yield from _together(values, "loads.snow", "ground", _WITH_GROUND)
    if values.get("loads.snow.level") == "strength":
        category = values.get("loads.snow.importance") or "II"
        if category != "II":
            remedy = (
                "Strength-level maps have one ground snow for each risk category: take the "
                "one of yours and write II."
            )
            bound = 'II where level = "strength"'
            yield _finding("loads.snow.importance", category, bound, remedy)


def _together(
    values: Mapping[str, Any], table: str, leader: str, others: tuple[str, ...]
) -> Iterator[Found]:
    """Keys that are stated with another key, and only with it."""
    if f"{table}.{leader}" not in values:
        return
    leads = values[f"{table}.{leader}"] is not None
    for other in others:
        key = f"{table}.{other}"
        if key not in values:
            continue
        if leads and values[key] is None:
            remedy = "docs/job-file.md says what it may be."
            yield _finding(key, "", f"stated beside {table}.{leader}", remedy, "IN-005")
        if not leads and values[key] is not None:
            bound = f"left out where {table}.{leader} is not stated"
            said = "true or false" if isinstance(values[key], bool) else str(values[key])
            yield _finding(key, said, bound, f"It goes with {leader}: leave it out.")


def _wind(values: Mapping[str, Any]) -> Iterator[Found]:
    """Wind is worked out from its speed on a gable; a polygon needs the user's uplift."""
    speed = values.get("loads.wind.speed")
    if speed is not None and values.get("roof.shape") == "polygon":
        said = show(speed, "speed", values.get("job.show", "us"))
        remedy = (
            "The standard gives no pressures for a roof of many sides: let an engineer give "
            "the net uplift and state it as loads.wind.uplift."
        )
        yield _finding("loads.wind.speed", said, "left out for a polygon", remedy, "IN-015")
        return
    yield from _together(values, "loads.wind", "speed", _WITH_SPEED)


def _weather(values: Mapping[str, Any]) -> Iterator[Found]:
    """The coldest is not above the setting temperature, nor the warmest below it."""
    if "loads.set_temperature" not in values:
        return
    system = values.get("job.show", "us")
    setting = values["loads.set_temperature"]
    for name, sign in (("loads.coldest", 1.0), ("loads.warmest", -1.0)):
        # Two ways to write one temperature differ by a rounding.
        if sign * (values.get(name, setting) - setting) > 1e-6:
            said = show(values[name], "temperature", system)
            side = "at most" if sign > 0 else "at least"
            bound = f"{side} loads.set_temperature, {show(setting, 'temperature', system)}"
            yield _finding(name, said, bound, "The legs are set between coldest and warmest.")


def _pretension(values: Mapping[str, Any]) -> Iterator[Found]:
    """Legs that pull are held by the weight of the roof."""
    if not _has(values, "pretension.target", "loads.dead"):
        return
    target, dead = values["pretension.target"], values["loads.dead"]
    if target != "auto" and target > 0.0 and dead == 0.0:
        said = show(target, "force", values.get("job.show", "us"))
        remedy = "Only the roof's own weight holds a pull in the legs: state it, or set none."
        yield _finding("pretension.target", said, "0 where loads.dead is 0", remedy)


_LOADS = (_snow, _wind, _weather, _pretension)
