"""From a pressure on plan to a line of load along each hip."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from rafterstay.roof.area import area_beyond, polygon_area
from rafterstay.roof.frame import Floats, Frame

__all__ = ["dead_lines", "one_sided", "snow_lines", "uniform"]


def uniform(frame: Frame) -> tuple[Floats, Floats]:
    """Factor 1 on every wedge and on every piece of the hub.

    Args:
        frame: The roof.

    Returns:
        Factors for the wedges (n, 2) and for the hub's pieces (n, 2). [-]
    """
    return np.ones((frame.n, 2)), np.ones((frame.n, 2))


def one_sided(
    frame: Frame, direction_deg: float, *, full: float = 1.0, other: float = 0.3
) -> tuple[Floats, Floats]:
    """Factors when load lies ``full`` on one half of the roof and ``other`` on the rest.

    The halves meet on the line through the hub's centre square to the direction; a wedge cut
    by it takes the mean by area.

    Args:
        frame: The roof.
        direction_deg: Towards the full side, clockwise from north. [deg]
        full: Factor on that side. [-]
        other: Factor on the other side. [-]

    Returns:
        Factors for the wedges (n, 2) and for the hub's pieces (n, 2). [-]

    Limits: exact for faces whose strips are cut alike from plate to hub, as by any line through
        the centre of a regular roof; elsewhere right in total, not along the hip.
    """
    towards = np.array([sin(radians(direction_deg)), cos(radians(direction_deg))])
    factors = []
    for pieces in (frame.wedges, frame.hub_wedges):
        whole = polygon_area(pieces)
        share = area_beyond(pieces - frame.centre, towards) / np.where(whole > 0, whole, 1.0)
        factors.append(other + (full - other) * share)
    return factors[0], factors[1]


def snow_lines(
    frame: Frame, pressure: float, factors: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Load per metre of hip and on each head from a pressure on plan.

    A strip of roof parallel to the plate hands its load to the hip it meets, so the line of
    load runs straight from its value at the foot to its value at the head.

    Args:
        frame: The roof.
        pressure: On plan. [Pa]
        factors: For the wedges and the hub's pieces. [-]

    Returns:
        Load along the hip's axis at foot and head [N/m] (n, 2); load on each head [N] (n,).

    Source: docs/theory/thrust.md eq. 1
    """
    return _lines(frame, pressure * factors[0], pressure * factors[1])


def dead_lines(frame: Frame, pressure: float) -> tuple[Floats, Floats]:
    """Load per metre of hip and on each head from a weight per area of sloping roof plane.

    Args:
        frame: The roof.
        pressure: Per area of the roof plane. [Pa]

    Returns:
        Load along the hip's axis at foot and head [N/m] (n, 2); load on each head [N] (n,).
        The hub's own area is taken as level.

    Source: docs/theory/thrust.md eq. 1; the slope is the plane's, not the hip's
    """
    faces = np.sqrt(1 + frame.plane_slope**2)
    on_wedges = pressure * np.stack([np.roll(faces, 1), faces], axis=1)
    return _lines(frame, on_wedges, np.full((frame.n, 2), pressure))


def _lines(frame: Frame, on_wedges: Floats, on_hub: Floats) -> tuple[Floats, Floats]:
    pieces = frame.wedges
    outer = np.linalg.norm(pieces[:, :, 1] - pieces[:, :, 0], axis=-1)
    inner = np.linalg.norm(pieces[:, :, 2] - pieces[:, :, 3], axis=-1)
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    # A wedge of area (outer + inner)/2 x run gives each strip's width x run to the hip.
    on_run = on_wedges * 2 * polygon_area(pieces) / (outer + inner)
    ends = np.stack([(on_run * outer).sum(axis=1), (on_run * inner).sum(axis=1)], axis=1)
    return ends / hips[:, None], (on_hub * polygon_area(frame.hub_wedges)).sum(axis=1)
