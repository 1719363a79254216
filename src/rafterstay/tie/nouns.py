"""The tie as stated: legs, ring and the parts they are made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rafterstay.catalog.rows import Bolt, Ply, Rope, Sleeve, Species, Thimble, Turnbuckle
from rafterstay.roof.frame import Floats

__all__ = ["Tie"]


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
        ring_ropes: How many ropes the ring is made of, side by side: 1, or 2 that are independent.
        ring_mass: Of a stiff ring or plate. [kg]
        has_turnbuckles: Every leg has one; else a leg is rope throughout.
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
    ring_ropes: int = 1

    @property
    def ring_said(self) -> str:
        """Ropes of the ring by number and name."""
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
