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

__all__ = ["MadeUp", "taped"]

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
