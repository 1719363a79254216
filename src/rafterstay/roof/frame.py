"""The roof as a linear elastic frame, with the ground its snow falls on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["Floats", "Frame", "Member"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Member:
    """A straight elastic beam between two nodes, its ends free of moment where a joint is.

    Attributes:
        name: For example ``hip 3, foot to bolt``.
        start: Node index.
        end: Node index.
        up: Unit vector in the plane of strong bending. [-]
        e: Modulus. [Pa]
        g: Shear modulus. [Pa]
        area: [m2]
        strong: Second moment for bending in the plane of ``up``. [m4]
        weak: Second moment for bending sideways. [m4]
        torsion: [m4]
        pinned: Whether start and end are free of moment in the plane of ``up``.
        loose: Whether they are free of moment sideways; an end (not a start) let go so is free
            of twist too.
    """

    name: str
    start: int
    end: int
    up: tuple[float, float, float]
    e: float
    g: float
    area: float
    strong: float
    weak: float
    torsion: float
    pinned: tuple[bool, bool] = (False, False)
    loose: tuple[bool, bool] = (False, False)


@dataclass(frozen=True)
class Frame:
    """A roof without its tie: all hips of a many-sided one, or the tied pair of a gable.

    Lengths in m. Axes: x east, y north (leg 1 at azimuth 000), z up from the plate.
    Legs, hips and corners number clockwise seen from above.

    Attributes:
        n: Number of hips.
        nodes: Positions. [m] (n_nodes, 3)
        names: Node names. (n_nodes,)
        members: Beams.
        feet: Node of each hip's foot. (n,)
        bolts: Node of each hip's tie bolt; the foot itself at height 0. (n,)
        heads: Node of each hip's head. (n,)
        hub: ``point``, ``disc`` or ``ring``.
        hub_node: Node of a point's or disc's centre; -1 for a ring.
        heads_bear: Heads bear on a disc or ring over their full depth; else they are pinned.
        outward: Unit plan vectors along which a foot may slide. (n, 3)
        sideways: Unit plan vectors across each hip. (n, 3)
        tributary: Plan area each hip carries, without the hub's own area. [m2] (n,)
        wedges: Corners of each hip's tributary pieces on plan: (n, 2, 4, 2) two half-faces of
            (foot, side middle, hub side middle, head). [m]
        hub_wedges: Corners of each head's piece of the hub's own area: (n, 2, 3, 2). [m]
        plane_slope: Rise over run of the face between hip k and k + 1. [-] (n,)
        centre: Plan position of the hub's centre. [m] (2,)
        rise: Foot to head. [m]
        span: Largest foot to foot distance on plan. [m]
        deck: True where a deck keeps the hips straight sideways and the hub from spinning.
        geometry: ``designed`` or ``measured``.
        shape: ``gable`` for a pair of common rafters, whose hub is the ridge.
        ridge_beam: A beam holds the ridge up, so that nothing pushes the feet out.
        ring_centre: Where a ring is to hang, of a surveyed frame; over the hub's centre where
            None. [m] (3,)
        jacks: Jack rafters share the load of the faces between hip and plate.
        hub_corners: Nodes of the joints of a hub ring on which heads bear; None where the heads
            themselves are the joints. (n,)
    """

    n: int
    nodes: Floats
    names: tuple[str, ...]
    members: tuple[Member, ...]
    feet: NDArray[np.intp]
    bolts: NDArray[np.intp]
    heads: NDArray[np.intp]
    hub: Literal["point", "disc", "ring"]
    hub_node: int
    heads_bear: bool
    outward: Floats
    sideways: Floats
    tributary: Floats
    wedges: Floats
    hub_wedges: Floats
    plane_slope: Floats
    centre: Floats
    rise: float
    span: float
    deck: bool
    geometry: Literal["designed", "measured"]
    shape: Literal["polygon", "gable"] = "polygon"
    ridge_beam: bool = False
    jacks: bool = False
    ring_centre: Floats | None = None
    hub_corners: NDArray[np.intp] | None = None
