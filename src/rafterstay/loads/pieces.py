"""How much of each piece of a roof lies in a region of its plan, and how far up its hip.

Every integral is taken over the fan from the hub's centre to the edges of a piece, an edge
against the piece's own turn counting below 0. That is exact for half-planes and strips; over a
sector it is Gauss's rule between the rays where the load has a kink.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import radians

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = ["Pieces", "Region"]

_EDGE, _EDGE_WEIGHT = np.polynomial.legendre.leggauss(10)
_RAY, _RAY_WEIGHT = np.polynomial.legendre.leggauss(3)


@dataclass(frozen=True)
class Region:
    """What part of each piece lies in a region, by any measure that adds up.

    Attributes:
        amount: Area, or load once multiplied by a pressure. [m2] (n, 2)
        moment: The same times its share of the way from the outer side to the inner. [m2] (n, 2)
    """

    amount: Floats
    moment: Floats

    def __add__(self, other: Region) -> Region:
        return Region(self.amount + other.amount, self.moment + other.moment)

    def __mul__(self, pressure: Floats | float) -> Region:
        return Region(self.amount * pressure, self.moment * pressure)

    def __sub__(self, other: Region) -> Region:
        return self + other * -1.0


@dataclass(frozen=True)
class Pieces:
    """Plan pieces beside each hip, the half-face before it and the one after.

    Attributes:
        corners: From the hub's centre, in order. [m] (n, 2, n_corners, 2)
        at_centre: Share of the way from outer to inner side, at the centre. [-] (n, 2)
        climb: Its gradient on plan. [1/m] (n, 2, 2)
    """

    corners: Floats
    at_centre: Floats
    climb: Floats

    @classmethod
    def of(cls, pieces: Floats, centre: Floats) -> Pieces:
        """Measure pieces whose corners run outer side, inner side.

        Args:
            pieces: Corners (outer, outer, inner[, inner]). [m] (n, 2, 3 or 4, 2)
            centre: Of the hub. [m] (2,)

        Returns:
            The pieces.

        Limits: the share is exact where the two sides are parallel, as on a regular roof.
        """
        corners = pieces - centre
        outer = corners[..., 1, :] - corners[..., 0, :]
        across = np.stack([outer[..., 1], -outer[..., 0]], axis=-1)
        start = corners[..., :2, :].mean(axis=-2)
        depth = ((corners[..., 2:, :].mean(axis=-2) - start) * across).sum(-1)
        climb = across / np.where(depth == 0.0, 1.0, depth)[..., None]
        return cls(corners, -(start * climb).sum(-1), climb)

    def _edges(self) -> tuple[Floats, Floats, Floats]:
        """Starts, ends, and the fan's signed area; the piece as a whole counts above 0."""
        start, end = self.corners, np.roll(self.corners, -1, axis=-2)
        fan = _fan(start, end)
        turn = np.where(fan.sum(axis=-1) < 0, -1.0, 1.0)
        return start, end, fan * turn[..., None]

    def whole(self) -> Region:
        """All of every piece."""
        start, end, fan = self._edges()
        return self._gather(start, end, fan, self.at_centre)

    def beyond(self, towards: Floats, offset: float) -> Region:
        """The part of every piece beyond a line.

        Args:
            towards: Unit plan vector square to the line. [-] (2,)
            offset: Of the line from the centre, in that direction. [m]

        Returns:
            What lies beyond.

        Source: the surveyor's cross-product rule about a point of the line, on which the cut
            side counts nothing; plane geometry
        """
        origin = offset * towards
        start = self.corners - origin
        end = np.roll(start, -1, axis=-2)
        turn = np.where(_fan(start, end).sum(axis=-1) < 0, -1.0, 1.0)[..., None]
        here, there = start @ towards, end @ towards
        gap = np.where(np.abs(there - here) > 0, there - here, 1.0)
        crossing = np.clip(-here / gap, 0.0, 1.0)
        first = np.where(here < 0, np.where(there > 0, crossing, 1.0), 0.0)
        last = np.where(there < 0, np.where(here > 0, crossing, 0.0), 1.0)
        step = end - start
        kept_from = start + step * first[..., None]
        kept_to = start + step * np.maximum(last, first)[..., None]
        area = turn * _fan(kept_from, kept_to)
        return self._gather(kept_from, kept_to, area, self.at_centre + self.climb @ origin)

    def _gather(self, start: Floats, end: Floats, fan: Floats, at_origin: Floats) -> Region:
        """Triangles about a point: area, and area times the mean of the share at its corners."""
        shares = np.einsum("nkei,nki->nke", start + end, self.climb)
        mean = at_origin[..., None] + shares / 3
        return Region(fan.sum(axis=-1), (fan * mean).sum(axis=-1))

    def swept(
        self,
        towards: Floats,
        share: Callable[[Floats], Floats],
        kinks_deg: tuple[float, ...],
        *,
        along: Pieces,
        ends: tuple[Floats, Floats],
    ) -> Region:
        """A pressure that changes with azimuth and, straight, from the eave to the centre.

        Args:
            towards: Unit plan vector of the middle of the sector. [-] (2,)
            share: Factor by azimuth from there in degrees. [-]
            kinks_deg: Azimuths at which the factor has a kink. [deg]
            along: Pieces of the same faces whose outer side is the eave and inner side the
                centre: they say how far from eave to centre a point lies.
            ends: Pressure at the eave and at the centre. [Pa] (n, 2) each

        Returns:
            Load of every piece, and its moment. [N]

        Limits: relative error under 1e-12 for faces of up to 120 degrees (tests/loads).
        Source: Gauss-Legendre quadrature
        """
        start, end, fan = self._edges()
        cuts = np.stack([_crossing(start, end, towards, kink) for kink in kinks_deg], axis=-1)
        cuts = np.sort(cuts, axis=-1)
        bounds = np.concatenate(
            [np.zeros_like(cuts[..., :1]), cuts, np.ones_like(cuts[..., :1])], axis=-1
        )
        span = np.diff(bounds, axis=-1)[..., None]
        where = bounds[..., :-1, None] + span * (1 + _EDGE) / 2
        weight = span * _EDGE_WEIGHT / 2
        step = (end - start)[..., None, None, :]
        points = start[..., None, None, :] + where[..., None] * step
        sideways = np.array([towards[1], -towards[0]])
        turned = np.degrees(np.arctan2(points @ sideways, points @ towards))
        factor = share(turned) * weight * fan[..., None, None]
        rise = np.einsum("nkesgi,nki->nkesg", points, self.climb)
        inwards = np.einsum("nkesgi,nki->nkesg", points, along.climb)
        shape = (..., None, None, None)
        amount = moment = np.zeros_like(self.at_centre)
        for ray, ray_weight in zip((1 + _RAY) / 2, _RAY_WEIGHT / 2, strict=True):
            place = along.at_centre[shape] + ray * inwards
            pressure = ends[0][shape] * (1 - place) + ends[1][shape] * place
            load = 2 * ray * ray_weight * factor * pressure
            own = self.at_centre[shape] + ray * rise
            amount = amount + load.sum(axis=(-1, -2, -3))
            moment = moment + (load * own).sum(axis=(-1, -2, -3))
        return Region(amount, moment)


def _fan(start: Floats, end: Floats) -> Floats:
    """Signed area of the triangles from the origin over each edge. [m2]"""
    return np.asarray(start[..., 0] * end[..., 1] - start[..., 1] * end[..., 0]) / 2


def _crossing(start: Floats, end: Floats, towards: Floats, kink_deg: float) -> Floats:
    """Where along each edge the ray at an azimuth from ``towards`` meets it; 0 where nowhere."""
    turn = radians(kink_deg)
    sideways = np.array([towards[1], -towards[0]])
    ray = np.cos(turn) * towards + np.sin(turn) * sideways
    left = np.array([-ray[1], ray[0]])
    here, there = start @ left, end @ left
    gap = np.where(np.abs(there - here) > 0, there - here, 1.0)
    where = -here / gap
    ahead = (start + where[..., None] * (end - start)) @ ray > 0
    return np.where((where > 0) & (where < 1) & ahead, where, 0.0)
