"""The tie as stated: legs, ring and the parts they are made of."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rafterstay.catalog.rows import (
    Bolt,
    Ply,
    Rope,
    Shackle,
    Sleeve,
    Species,
    Steel,
    Thimble,
    Turnbuckle,
)
from rafterstay.roof.frame import Floats

__all__ = ["HubPlate", "RingBar", "Tie"]


@dataclass(frozen=True)
class RingBar:
    """A welded ring of round bar; the crown of each eye bears on its inner side.

    Attributes:
        diameter: Of the bar. [m]
        radius: Centre of the ring to the bar's own axis. [m]
        steel: Catalogue row.
        weld: ``complete-penetration`` or ``not stated``: how the bar's ends are joined.
    """

    diameter: float
    radius: float
    steel: Steel
    weld: Literal["complete-penetration", "not stated"]

    @property
    def link(self) -> float:
        """From the crown of an eye inwards to the bar's axis, which pulls act through. [m]"""
        return -self.diameter / 2.0

    @property
    def length(self) -> float:
        """Of the bar along its axis before it is bent and closed. [m]"""
        return 2.0 * pi * self.radius


@dataclass(frozen=True)
class HubPlate:
    """A round plate with a hole for each leg; a shackle's pin through each.

    Attributes:
        thickness: [m]
        edge: Centre of a hole to the plate's rim, outwards. [m]
        hole: Diameter of the holes. [m]
        radius: Centre of the plate to the centre of each hole. [m]
        steel: Catalogue row.
        shackle: Catalogue row; its bow goes through the leg's thimble.
        pin: Diameter of its pin. [m]
        link: From the crown of an eye on the bow inwards to the centre of the hole, which pulls
            act through: the shackle's inside length and half a hole. [m]
    """

    thickness: float
    edge: float
    hole: float
    radius: float
    steel: Steel
    shackle: Shackle
    pin: float
    link: float

    @property
    def rim(self) -> float:
        """Radius of the plate. [m]"""
        return self.radius + self.edge


@dataclass(frozen=True)
class Tie:
    """Legs to a ring in mid-air, a band from foot to foot, or ties straight across.

    A leg runs from its bolt through an outer rope piece, the turnbuckle and an inner piece of
    equal length to the crown of its eye on the ring.

    Attributes:
        n: Number of legs.
        height: Tie bolts above the feet (Hc). [m]
        bolt_points: Bolt centres as drawn. [m] (n, 3)
        ring_points: Eye crowns as drawn. [m] (n, 3)
        ring_radius: Centre to eye crown. [m]
        leg_lengths: Bolt to eye crown, pin to pin, as drawn. [m] (n,)
        turnbuckle_set: Pin to pin length of a turnbuckle when the legs are set. [m]
        rope, ring_rope, turnbuckle, bolt, thimble, sleeve: Catalogue rows. The thimble serves
            both eyes of a leg.
        species, ply, plies, gap: The rafter the bolt passes through; gap is clear between plies.
        eye_spacers: Washers hold the eye central between the plies.
        target: Mean leg pull in the setting state; 0 is snug. [N]
        layout: ``ring``, ``band`` (leg k from attachment k to k + 1) or ``cross`` (to k + n).
        ring: ``rope-seized``, ``rope-sliding``, ``welded``, ``plate``, or ``point`` where all
            legs share one point.
        ring_mass: Of a stiff ring, or of a plate with its shackles. [kg]
        body: What a stiff ring is; None of a ring of rope and where nothing was stated.
        ring_ropes: How many ropes the ring is made of, side by side: 1, or 2 that are independent.
        has_turnbuckles: Every leg has one; else a leg is rope throughout.
        leg_ropes: Catalogue row of every leg's rope where they differ; empty where all are of
            ``rope``. Statics takes them leg by leg; checks ask of ``rope`` alone. (n,)
    """

    n: int
    height: float
    bolt_points: Floats
    ring_points: Floats
    ring_radius: float
    leg_lengths: Floats
    turnbuckle_set: float
    rope: Rope
    ring_rope: Rope
    turnbuckle: Turnbuckle
    bolt: Bolt
    thimble: Thimble
    sleeve: Sleeve
    species: Species
    ply: Ply
    plies: int
    gap: float
    eye_spacers: bool
    target: float
    layout: Literal["ring", "band", "cross"] = "ring"
    ring: Literal["rope-seized", "rope-sliding", "welded", "plate", "point"] = "rope-seized"
    ring_mass: float = 0.0
    has_turnbuckles: bool = True
    body: RingBar | HubPlate | None = None
    ring_ropes: int = 1
    leg_ropes: tuple[Rope, ...] = ()

    @property
    def rope_of_legs(self) -> tuple[Rope, ...]:
        """Rope of every leg. (n,)"""
        return self.leg_ropes or (self.rope,) * self.n

    @property
    def link(self) -> float:
        """From the crown of an eye inwards to the point of a stiff ring its pull acts at. [m]"""
        return self.body.link if self.body else 0.0

    @property
    def held_points(self) -> Floats:
        """Where pulls act on the ring as drawn: crowns, bar axis or holes. [m] (n, 3)"""
        if not self.link:
            return self.ring_points
        along = self.bolt_points - self.ring_points
        unit = along / np.linalg.norm(along, axis=1)[:, None]
        return np.asarray(self.ring_points - self.link * unit)

    @property
    def ring_said(self) -> str:
        """What the ring is made of: its ropes by number and name, or its steel."""
        if self.body is not None:
            kind = "welded bar" if isinstance(self.body, RingBar) else "plate"
            return f"{kind}, {self.body.steel.name}"
        return self.ring_rope.name if self.ring_ropes == 1 else f"2 x {self.ring_rope.name}"

    @property
    def starts(self) -> NDArray[np.intp]:
        """Attachment each leg starts at, as the frame numbers its tie bolts. (n,)"""
        return np.arange(self.n, dtype=np.intp)

    @property
    def stops(self) -> NDArray[np.intp]:
        """Attachment each leg ends at; -1 where it ends on the ring. (n,)"""
        if self.layout == "band":
            return np.roll(self.starts, -1)
        return self.starts + self.n if self.layout == "cross" else np.full(self.n, -1)
