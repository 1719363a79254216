"""A ring of steel seen from above: a welded bar with its weld, a plate with its holes."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.sheets.scene import Circle, Path, Point
from rafterstay.tie.nouns import HubPlate, RingBar

if TYPE_CHECKING:
    from rafterstay.tie.nouns import Tie

__all__ = ["held_places", "moved", "steel_shapes"]

_MOST: Final = 24  # legs, past which shackles would lie on one another on paper
_WELD: Final = 2.0  # how far the mark of the weld stands out on either side [mm]


def held_places(tie: Tie, per: float) -> list[Point]:
    """Where legs are held by a ring of steel, about its centre: bar axis or holes.

    Args:
        tie: As drawn.
        per: Paper for a metre. [mm]

    Returns:
        Points on paper, from leg 1. [mm]
    """
    points = np.asarray(tie.held_points)[:, :2]
    around = (points - points.mean(axis=0)) * per
    return [(float(x), float(y)) for x, y in around]


def steel_shapes(tie: Tie, per: float) -> list[Path | Circle]:
    """Draw a ring of steel about the origin.

    Args:
        tie: As drawn.
        per: Paper for a metre. [mm]

    Returns:
        Shapes; none where the ring is of rope.
    """
    body = tie.body
    if isinstance(body, RingBar):
        half = body.diameter / 2
        inner, outer = ((body.radius + side * half) * per for side in (-1.0, 1.0))
        places = held_places(tie, per)
        first, last = places[0], places[-1]
        way = math.atan2(first[1] + last[1], first[0] + last[0])
        ends = [
            (far * math.cos(way), far * math.sin(way)) for far in (inner - _WELD, outer + _WELD)
        ]
        return [
            Circle("ring", (0.0, 0.0), inner),
            Circle("ring", (0.0, 0.0), outer),
            Path("ring", (ends[0], ends[1])),
        ]
    if isinstance(body, HubPlate):
        holes = [Circle("ring", place, body.hole / 2 * per) for place in held_places(tie, per)]
        shackles = [_shackle(hole.centre, body, per) for hole in holes] if tie.n <= _MOST else []
        return [Circle("ring", (0.0, 0.0), body.rim * per), *holes, *shackles]
    return []


def _shackle(hole: Point, body: HubPlate, per: float) -> Path:
    """A shackle from the pin in its hole out to the inside of its bow, as its middle line."""
    out = math.atan2(hole[1], hole[0])
    inner = body.link * per
    wide = min(0.3 * inner, (body.pin + body.shackle.bar) / 2 * per)
    arch = [
        ((inner - wide) + wide * math.sin(turn), wide * math.cos(turn))
        for turn in np.linspace(0.0, math.pi, 13).tolist()
    ]
    along = [(0.0, wide), *arch, (0.0, -wide)]
    cos, sin = math.cos(out), math.sin(out)
    points = tuple((hole[0] + x * cos - y * sin, hole[1] + x * sin + y * cos) for x, y in along)
    return Path("thin", points)


def moved(shape: Path | Circle, by: Point) -> Path | Circle:
    """The same shape elsewhere.

    Args:
        shape: About the origin.
        by: How far. [mm]

    Returns:
        The shape moved.
    """
    if isinstance(shape, Circle):
        return replace(shape, centre=(shape.centre[0] + by[0], shape.centre[1] + by[1]))
    return replace(shape, points=tuple((x + by[0], y + by[1]) for x, y in shape.points))
