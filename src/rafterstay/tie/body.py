"""From the keys of a welded ring or a plate to its shape and weight."""

from __future__ import annotations

from math import pi, sin
from typing import TYPE_CHECKING, Final, NoReturn

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse, show
from rafterstay.tie.nouns import HubPlate, RingBar

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Shackle
    from rafterstay.job import Job

__all__ = ["CLOSE", "DENSITY", "body_of", "mass_of"]

CLOSE: Final = parse("1/32 in", "length")
"""Most a pin hole may be over its pin where the pin turns under load: AISC 360-16 D5.2. [m]

Holes are drilled to it, and checks refer wider ones."""

DENSITY: Final = 7850.0
"""Of steel: EN 1991-1-1 table A.4 gives 77.0 to 78.5 kN/m3; value from memory, 98 %. [kg/m3]"""


def body_of(job: Job, n_legs: int) -> RingBar | HubPlate | None:
    """Give the shape of a stiff ring.

    Args:
        job: Kind of ring, its keys, and the shackle.
        n_legs: Number of legs.

    Returns:
        A ring of bar, a plate, or None where the ring is of rope.

    Raises:
        InputError: IN-062 the bar is too thick for its ring; IN-063 the shackle's sizes are not
            listed; IN-064 the plate's holes do not fit.
    """
    stated = job.tie
    if stated.ring not in {"welded", "plate"}:
        return None
    steel = job.catalogue.find("steel", stated.ring_steel or "")
    if stated.ring == "plate":
        return _plate(job, n_legs)
    diameter = stated.ring_bar or 0.0
    if diameter >= stated.ring_radius:
        said, most = (show(each, "length", job.show) for each in (diameter, stated.ring_radius))
        bound = f"under tie.ring_radius, {most}"
        _refuse("IN-062", "tie.ring_bar", said, bound, "Take a thinner bar or a larger ring.")
    return RingBar(
        diameter=diameter,
        radius=stated.ring_radius + diameter / 2.0,
        steel=steel,
        weld=stated.ring_weld or "not stated",
    )


def mass_of(body: RingBar | HubPlate | None, n_legs: int) -> float:
    """Mass of a stiff ring, of a plate with its holes drilled and its shackles on.

    Args:
        body: Its shape.
        n_legs: Number of legs.

    Returns:
        Mass; nil where there is none. [kg]
    """
    if body is None:
        return 0.0
    if isinstance(body, RingBar):
        return DENSITY * pi / 4.0 * body.diameter**2 * body.length
    area = pi * (body.rim**2 - n_legs * body.hole**2 / 4.0)
    return DENSITY * area * body.thickness + n_legs * (body.shackle.mass or 0.0)


def _plate(job: Job, n_legs: int) -> HubPlate:
    stated = job.tie
    shackle = job.catalogue.find("shackle", job.parts.shackle)
    pin, inside = _sizes(shackle)
    hole = stated.plate_hole if isinstance(stated.plate_hole, float) else pin + CLOSE
    if hole < pin:
        said, thinnest = (show(each, "length", job.show) for each in (hole, pin))
        bound = f"at least the pin of shackle {shackle.name}, {thinnest}"
        _refuse("IN-064", "tie.plate_hole", said, bound, "The pin must go through the hole.")
    edge = stated.plate_edge or 0.0
    if edge <= hole / 2.0:
        said, least_edge = (show(each, "length", job.show) for each in (edge, hole / 2.0))
        bound = f"above half a hole, {least_edge}"
        _refuse("IN-064", "tie.plate_edge", said, bound, "The hole must lie within the plate.")
    radius = stated.ring_radius - inside - hole / 2.0
    # Neighbouring holes must not run into one another.
    least = inside + hole / 2.0 + hole / (2.0 * sin(pi / n_legs))
    if stated.ring_radius <= least:
        needed, said = (show(each, "length", job.show) for each in (least, stated.ring_radius))
        bound = f"above {needed}, so that {n_legs} holes have room behind the shackles"
        remedy = "Take a larger ring or a shorter shackle."
        _refuse("IN-064", "tie.ring_radius", said, bound, remedy)
    return HubPlate(
        thickness=stated.plate_thickness or 0.0,
        edge=edge,
        hole=hole,
        radius=radius,
        steel=job.catalogue.find("steel", stated.ring_steel or ""),
        shackle=shackle,
        pin=pin,
        link=inside + hole / 2.0,
    )


def _sizes(shackle: Shackle) -> tuple[float, float]:
    """Pin, and length inside from the pin to the bow. [m]"""
    sizes = {"pin": shackle.pin, "inside_length": shackle.inside_length, "mass": shackle.mass}
    missing = [name for name, size in sizes.items() if size is None]
    if shackle.pin is None or shackle.inside_length is None or missing:
        bound = (
            f"with its {', '.join(missing)} in the catalogue, where legs are shackled to a plate"
        )
        remedy = "Take another shackle, or state these columns in your own catalogue."
        _refuse("IN-063", "parts.shackle", shackle.name, bound, remedy)
    return shackle.pin, shackle.inside_length


def _refuse(code: str, key: str, value: str, bound: str, remedy: str) -> NoReturn:
    raise InputError(Finding(code, key, value, bound, remedy))
