"""A leg made up in space from its parts' drawings, taped point by point.

Nothing here uses the cut list's formulas: the rope round a thimble is the tightest band about
a disc and the sleeve's mouth, found as the hull of many points, and lengths are sums over
chords of a curve in three dimensions.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPoint

from rafterstay.catalog.rows import Rope, Thimble
from rafterstay.shop.nouns import Cutting, Piece
from rafterstay.tie.nouns import Tie

__all__ = ["MadeUp", "reach_of", "taped"]

INCH = 0.0254  # [m]
Points = NDArray[np.float64]
_MANY = 20_000


@dataclass(frozen=True)
class MadeUp:
    """Lengths along the rope of one made-up piece. [m]"""

    between_crowns: float
    mouth: float  # crown to the finished sleeve's mouth
    live: float  # mouth to mouth


@cache
def _loop(rope: Rope, thimble: Thimble) -> Points:
    """The band about the crown, in its plane: crown at -x, mouth at +x.

    The origin is the middle of the crown's arc.
    """
    lip = (thimble.thickness - thimble.groove) / 2
    radius = thimble.inside_width / 2 + lip + rope.diameter / 2
    # The thimble's outer point stands its overall length from the outside of its crown's lips.
    outside = thimble.inside_width / 2 + (thimble.overall_width - thimble.inside_width) / 2
    mouth = thimble.overall_length - outside
    angle = np.linspace(0.0, 2 * np.pi, _MANY, endpoint=False)
    disc = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    ends = np.array([[mouth, rope.diameter / 2], [mouth, -rope.diameter / 2]])
    hull = np.array(MultiPoint([*disc, *ends]).convex_hull.exterior.coords)[:-1]
    start = int(np.flatnonzero(np.isclose(hull, ends[0], atol=1e-12).all(axis=1))[0])
    hull = np.roll(hull, -start, axis=0)
    if np.allclose(hull[1], ends[1]):
        hull = np.roll(hull[::-1], 1, axis=0)
    return hull


def taped(
    rope: Rope,
    thimble: Thimble,
    *,
    pins: tuple[float, float],
    apart: float,
    creep: float,
) -> MadeUp:
    """Tape a piece whose pins stand apart, its second eye turned a quarter about the leg.

    ``creep`` is how much further than drawn each pin stands from its sleeve.
    """
    band = _loop(rope, thimble)
    crown = int(band[:, 0].argmin())
    toward = np.array([0.36, 0.48, 0.8])  # any direction of the leg
    side = np.cross(toward, [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    up = np.cross(side, toward)
    middles = [thimble.inside_width / 2 - pin / 2 + creep for pin in pins]
    first = toward * middles[0] + np.outer(band[:, 0], toward) + np.outer(band[:, 1], side)
    other = toward * (apart - middles[1]) - np.outer(band[:, 0], toward) + np.outer(band[:, 1], up)

    def along(points: Points) -> float:
        return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())

    live = float(np.linalg.norm(other[0] - first[0]))
    return MadeUp(
        along(first[: crown + 1]) + live + along(other[: crown + 1]),
        along(first[: crown + 1]),
        live,
    )


def reach_of(cutting: Cutting, tie: Tie, leg: int, *, strain: float, inside: float = 0.0) -> float:
    """How far a leg reaches from centre to centre of its bolts' holes, or to its ring.

    A ring of rope is met at its rope, one of steel at the crown of the eye on it. Its pieces come
    from their crown marks alone, its body from how it is set; with a shackle `inside` long on
    every bolt, all of it is laid out as points along the leg. Holes are 3/64 in over their bolt,
    jaw pins 5/128 in loose: the middle of what the allowances take.
    """
    pieces = [one for one in cutting.pieces if one.leg == leg]
    body = next(one for one in cutting.bodies if one.leg == leg)
    at = _start(tie, inside)
    for k, piece in enumerate(pieces):
        at += _pins_apart(piece, cutting, tie) * (1 + strain)
        if k == 0:
            at += body.opening + 2 * (5 / 256) * INCH
    if tie.layout != "ring":
        return at + _start(tie, inside)
    return at + _to_crown(tie, inside)


def _to_crown(tie: Tie, inside: float) -> float:
    """From the axis of what the ring eye hangs on, on towards the crown as drawn. [m]

    A bar's inner side, or of a plate's 3/8 in shackle the inside of its bow, whose hole was
    drilled for a listed inside of 36 mm.
    """
    if tie.ring not in {"welded", "plate"}:
        return 0.0
    angle = np.linspace(0, 2 * np.pi, 721)
    size = 0.017 if tie.ring == "welded" else 3 / 8 * INCH
    inner = float((size / 2 * np.cos(angle)).max())
    longer = inside - 0.036 if inside and tie.ring == "plate" else 0.0
    return inner + longer


def _start(tie: Tie, inside: float) -> float:
    """Centre of a hole to the centre of what lies in the eye, along the leg. [m]"""
    # The bolt leans on its hole's edge, towards where its legs pull it together.
    off = 3 / 128 * INCH
    if tie.layout == "band":
        off *= float(np.cos(np.pi / 2 - np.pi / tie.n))
    if not inside:
        return off
    angle = np.linspace(0, 2 * np.pi, 721)
    bolt = tie.bolt.diameter / 2 * np.column_stack([np.cos(angle), np.sin(angle)])
    bow = bolt[:, 0].min()  # the bow's inside touches the bolt's far side
    pin = 7 / 32 * INCH  # of a 3/8 in shackle: 7/16 in across
    face = bow + inside
    circle = face + pin + pin * np.cos(angle)
    return off + float((circle.max() + circle.min()) / 2)


def _pins_apart(piece: Piece, cutting: Cutting, tie: Tie) -> float:
    """Pin to pin of a piece, found from its crown marks by trial in space. [m]"""
    names = [mark.name for mark in piece.marks if mark.name.endswith(": crown")]
    marked = (piece.at(names[1]) - piece.at(names[0])) * cutting.step
    apart = marked
    # What is missing between the marks is straight rope, so the second trial fits.
    for _ in range(2):
        made = taped(
            tie.rope, tie.thimble, pins=piece.pins, apart=apart, creep=cutting.making.creep
        )
        apart += marked - made.between_crowns
    return apart
