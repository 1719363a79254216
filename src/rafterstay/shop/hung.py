"""What each end of a leg hangs on: a bolt, a shackle on a bolt, or the ring."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.shop.allowances import PLAY_BOLT, PLAY_BOLT_HALF, READING

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Shackle
    from rafterstay.job import Job
    from rafterstay.roof.frame import Floats
    from rafterstay.shop.nouns import End
    from rafterstay.tie.nouns import Tie

__all__ = ["Hold", "Hung", "Link", "hung", "link_of", "shackle_of"]

_OFF_MIDDLE: Final = 1 / 3  # [-] of a tie's rope in its first piece, where ties cross in the middle


@dataclass(frozen=True)
class Link:
    """A shackle between bolt and eye: its bow on the bolt, its pin through the thimble.

    Attributes:
        name: Of the catalogue.
        pin: Diameter. [m]
        inside: Inside of the bow to the near face of the pin. [m]
        half: Half width of what that may be. [m]
        measured: It was taped.
    """

    name: str
    pin: float
    inside: float
    half: float
    measured: bool

    def length(self, bolt: float) -> float:
        """Centre of the bolt to centre of the pin.

        Args:
            bolt: Diameter. [m]

        Returns:
            Length along the leg. [m]

        Source: geometry: the bolt lies in the bow, the pin beyond the length inside;
            docs/theory/cutting.md eq. 7
        """
        return self.inside - bolt / 2 + self.pin / 2


@dataclass(frozen=True)
class Hold:
    """What one end of a leg hangs on.

    Attributes:
        pin: Diameter of what lies in the eye. [m]
        play: How far it gives when the leg pulls. [m]
        play_half: Half width of what that may be. [m]
        link: Centre of the bolt to centre of the pin in the eye. [m]
        link_half: Half width of what that may be. [m]
        over: From the crown of an eye on it to its axis, where the leg's distance runs to the
            crown. [m]
    """

    pin: float
    play: float = 0.0
    play_half: float = 0.0
    link: float = 0.0
    link_half: float = 0.0
    over: float = 0.0


@dataclass(frozen=True)
class Hung:
    """One leg from end to end.

    Attributes:
        ends: Its pieces.
        first: Where it starts.
        last: Where it stops.
        share: Of its rope that is in the first piece. [-]
        on_ring: It stops on a ring, where an eye may sit off its place.
    """

    ends: tuple[End, End]
    first: Hold
    last: Hold
    share: float
    on_ring: bool


def shackle_of(job: Job) -> Shackle | None:
    """The shackle between every bolt and its eye.

    Args:
        job: Its parts.

    Returns:
        Catalogue row; None where eyes sit on their bolts.
    """
    name = str(job.parts.shackle)
    return None if name == "none" else job.catalogue.find("shackle", name)


def link_of(shackle: Shackle, measured: float | None = None) -> Link:
    """The shackle as a length in the leg.

    Sheets do not say alike whether the length inside runs to the face of the pin or to its
    axis: unmeasured, the middle between both is taken, give or take a quarter of the pin.

    Args:
        shackle: Catalogue row.
        measured: Inside of the bow to the near face of the pin, taped. [m]

    Returns:
        The link.

    Raises:
        InputError: IN-070 a shackle whose length is neither listed nor measured.
    """
    pin = shackle.bar if shackle.pin is None else shackle.pin
    inside = shackle.inside_length
    if measured is not None:
        return Link(shackle.name, pin, measured, READING, measured=True)
    if inside is None:
        raise InputError(
            Finding(
                "IN-070",
                key="parts.shackle",
                value=shackle.name,
                bound="a shackle whose length inside is listed or measured, where legs are cut",
                remedy="Tape one, inside of its bow to its pin: --shackle-inside LENGTH.",
            )
        )
    return Link(shackle.name, pin, inside - pin / 4, pin / 4 + READING, measured=False)


def hung(tie: Tie, k: int, link: Link | None = None, on_steel: Hold | None = None) -> Hung:
    """What leg k + 1 of the drawing hangs on.

    A bolt that two legs of a band share is drawn in between them, not along either. Ties that
    cross over the middle of a roof have their turnbuckles off it.

    Args:
        tie: As drawn.
        k: Leg, from 0.
        link: Shackle at every bolt; None where eyes sit on their bolts.
        on_steel: What the eye hangs on at a ring of steel; None at one of rope.

    Returns:
        Its ends.

    Source: docs/theory/cutting.md section 7
    """
    if tie.layout == "ring":
        last = on_steel or Hold(tie.ring_rope.diameter)
        return Hung(("outer", "inner"), _on_bolt(tie, 1.0, link), last, 0.5, on_ring=True)
    ends: tuple[End, End] = ("first", "second")
    if tie.layout == "cross":
        hold = _on_bolt(tie, 1.0, link)
        return Hung(ends, hold, hold, _OFF_MIDDLE if tie.n > 1 else 0.5, on_ring=False)
    first, last = (_on_bolt(tie, _along(tie, at), link) for at in (k, (k + 1) % tie.n))
    return Hung(ends, first, last, 0.5, on_ring=False)


def _on_bolt(tie: Tie, along: float, link: Link | None) -> Hold:
    bolt = tie.bolt.diameter
    play, half = along * PLAY_BOLT, along * PLAY_BOLT_HALF
    if link is None:
        return Hold(bolt, play, half)
    return Hold(link.pin, play, half, link.length(bolt), link.half)


def _along(tie: Tie, at: int) -> float:
    """How much of a bolt's movement at a corner of a band is along a leg: half their angle. [-]"""
    bolts = tie.bolt_points
    ways: list[Floats] = [bolts[other % tie.n] - bolts[at] for other in (at - 1, at + 1)]
    one, other = (way / np.linalg.norm(way) for way in ways)
    return float(np.linalg.norm(one + other)) / 2
