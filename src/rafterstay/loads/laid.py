"""One load as it lies on a roof: its lines on the hips, heads and tails, and its pattern."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from functools import partial

import numpy as np

from rafterstay.loads.pieces import Pieces, Region
from rafterstay.roof.area import jack_strips, wedges
from rafterstay.roof.frame import Floats, Frame

__all__ = ["Laid", "Lines", "Plan", "both_eaves", "eave_corners", "shared_by_jacks"]


@dataclass(frozen=True)
class Lines:
    """What a load puts on every hip; parts as of `Case`. Lines add, and multiply by a factor.

    Attributes:
        hips: [N/m] (n, 2)
        heads: [N] (n,)
        push: [N/m] (n, 2, 2)
        tails: [N] (n,)
        tail_push: [N] (n, 2)
        tail_moment: [N m] (n,)
        head_push: [N] (n, 2)
    """

    hips: Floats
    heads: Floats
    push: Floats = field(default_factory=partial(np.zeros, (1, 1, 1)))
    tails: Floats = field(default_factory=partial(np.zeros, 1))
    tail_push: Floats = field(default_factory=partial(np.zeros, (1, 1)))
    tail_moment: Floats = field(default_factory=partial(np.zeros, 1))
    head_push: Floats = field(default_factory=partial(np.zeros, (1, 1)))

    def __add__(self, other: Lines) -> Lines:
        return Lines(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(Lines)))

    def __mul__(self, factor: float) -> Lines:
        return Lines(*(factor * getattr(self, f.name) for f in fields(Lines)))

    def bare_eaves(self) -> Lines:
        """The same without anything on the tails."""
        return Lines(self.hips, self.heads, self.push, head_push=self.head_push)


@dataclass(frozen=True)
class Laid:
    """One load in one pattern.

    Attributes:
        pattern: Its name.
        direction_deg: Towards the loaded side, for wind where it comes from; None if none.
        lines: What it puts on the hips.
    """

    pattern: str
    direction_deg: float | None
    lines: Lines


@dataclass(frozen=True)
class Plan:
    """The plan of a roof in pieces.

    Attributes:
        frame: The roof.
        overhang: Of the eave past the plate, square to it. [m]
        faces: Plate to hub, beside each hip.
        jacks: Where jacks end on the hip and where they end on a hub of some size, beside each
            hip; None without such a hub or without jacks.
        hub: The hub's own area, beside each head.
        tails: Eave to plate, beside each tail; None without an overhang.
        to_centre: Eave to the hub's centre.
        slope: Rise over run of each face. [-] (n, 2)
        out: Unit plan vectors out of each face. [-] (n, 2, 2)
        tail_length: Of each tail along its hip, on plan. [m] (n,)
        only: The whole degrees of the directions that are asked for; None for all.
    """

    frame: Frame
    overhang: float
    faces: Pieces
    jacks: tuple[Pieces, Pieces] | None
    hub: Pieces
    tails: Pieces | None
    to_centre: Pieces
    slope: Floats
    out: Floats
    tail_length: Floats
    only: frozenset[int] | None = None

    @classmethod
    def of(cls, frame: Frame, overhang: float) -> Plan:
        """Cut a roof into its pieces.

        Args:
            frame: The roof.
            overhang: Of the eave past the plate, square to it, >= 0. [m]

        Returns:
            The pieces.
        """
        feet = frame.nodes[frame.feet, :2]
        corners = eave_corners(frame, overhang)
        centre = np.broadcast_to(frame.centre, feet.shape)
        tails = Pieces.of(wedges(corners, feet), frame.centre) if overhang > 0 else None
        to_centre = Pieces.of(wedges(corners, centre)[:, :, :3], frame.centre)
        faces = frame.plane_slope
        steep = -to_centre.climb
        return cls(
            frame=frame,
            overhang=overhang,
            faces=Pieces.of(frame.wedges, frame.centre),
            jacks=_jacks(frame),
            hub=Pieces.of(frame.hub_wedges, frame.centre),
            tails=tails,
            to_centre=to_centre,
            slope=np.stack([np.roll(faces, 1), faces], axis=1),
            out=steep / np.linalg.norm(steep, axis=-1)[..., None],
            tail_length=np.linalg.norm(corners - feet, axis=1),
        )

    @property
    def eave_to_ridge(self) -> float:
        """Longest plan distance W from an eave, square to it, to the hub's centre. [m]"""
        return float((1 / np.linalg.norm(self.to_centre.climb, axis=-1)).max())

    def lay(
        self, region: Callable[[Pieces], Region], *, square: bool = False, hub: float = 1.0
    ) -> Lines:
        """Hand the load of every piece to its hip.

        A strip of roof parallel to the plate goes to the hip it meets, so the place of a load
        along the hip is its share of the way from plate to hub.

        Args:
            region: Load and moment of any pieces, downward.
            square: The load stands square to each face: beside its downward part it pushes
                along the face's own direction on plan, slope times as much. The hub's own area
                is level.
            hub: Multiplies what lies on the hub's own area. [-]

        Returns:
            The lines.

        Source: docs/theory/loads.md eq. 1
        """
        frame = self.frame
        hip = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
        on_faces = region(self.faces if self.jacks is None else self.jacks[0])
        if frame.jacks:
            on_faces = shared_by_jacks(on_faces)
        ends = np.stack(
            [
                4 * on_faces.amount - 6 * on_faces.moment,
                6 * on_faces.moment - 2 * on_faces.amount,
            ],
            axis=-1,
        )
        ends = ends / hip[:, None, None]
        inwards = -self.slope[..., None] * self.out if square else np.zeros_like(self.out)
        lines = Lines(
            hips=ends.sum(axis=1),
            heads=hub * region(self.hub).amount.sum(axis=1),
            push=np.einsum("nke,nki->nei", ends, inwards),
        )
        if self.jacks is not None:
            lines = lines + _on_hub(region(self.jacks[1]), inwards)
        if self.tails is None:
            return lines
        return lines + self._on_tails(region(self.tails), inwards)

    def _on_tails(self, load: Region, inwards: Floats) -> Lines:
        """Load of the overhang, and its moment about the foot."""
        frame = self.frame
        sideways = (load.amount[..., None] * inwards).sum(axis=1)
        lever = self.tail_length[:, None] * (load.amount - load.moment)
        outwards = (inwards * frame.outward[:, None, :2]).sum(axis=-1)
        run = np.linalg.norm((frame.nodes[frame.heads] - frame.nodes[frame.feet])[:, :2], axis=1)
        steep = (frame.nodes[frame.heads, 2] - frame.nodes[frame.feet, 2]) / run
        nothing = np.zeros((frame.n, 2))
        return Lines(
            hips=nothing,
            heads=nothing[:, 0],
            push=np.zeros((frame.n, 2, 2)),
            tails=load.amount.sum(axis=1),
            tail_push=sideways,
            # The tail hangs below the foot, so a push outwards turns it up.
            tail_moment=(lever * (1 - outwards * steep[:, None])).sum(axis=1),
        )


def _jacks(frame: Frame) -> tuple[Pieces, Pieces] | None:
    if not frame.jacks or frame.hub == "point":
        return None
    beside, middle = jack_strips(frame.wedges)
    return Pieces.of(beside, frame.centre), Pieces.of(middle, frame.centre)


def _on_hub(load: Region, inwards: Floats) -> Lines:
    """What the middle jacks bring to the hub, at the head beside them; the rest to the plate.

    Source: docs/theory/jacks.md section 3
    """
    n = len(load.moment)
    return Lines(
        hips=np.zeros((n, 2)),
        heads=load.moment.sum(axis=1),
        push=np.zeros((n, 2, 2)),
        head_push=(load.moment[..., None] * inwards).sum(axis=1),
    )


def shared_by_jacks(load: Region) -> Region:
    """What jacks bring to the hips of the load on each piece; the rest goes to the plate.

    A jack d long on plan whose load lies u d up from the plate hands the share u of it to the
    hip, at that share of the way along the hip which the jack is of the longest: the moment about
    the foot is that of purlins, whatever lies where. The load on the hip rises from nothing at
    the foot.

    Args:
        load: Of every piece, with its moment, as purlins would bring it.

    Returns:
        Load that rises from nothing at the foot to most at the head, with the same moment.

    Limits: exact under a pressure even along each jack; else the moment is, its place on the
        hip is not.
    Source: docs/theory/jacks.md eq. 1

    >>> shared_by_jacks(Region(np.array([6.0]), np.array([2.0]))).amount.item()
    3.0
    """
    return Region(1.5 * load.moment, load.moment)


def eave_corners(frame: Frame, overhang: float) -> Floats:
    """Where the eaves of neighbouring faces meet, on plan.

    Args:
        frame: The roof.
        overhang: Of the eave past the plate, square to it. [m]

    Returns:
        Corners. [m] (n, 2)

    Source: plane geometry; two lines moved out alike meet on the bisector
    """
    feet = frame.nodes[frame.feet, :2]
    along = np.roll(feet, -1, axis=0) - feet
    after = np.stack([-along[:, 1], along[:, 0]], axis=1)
    after = after / np.linalg.norm(after, axis=1)[:, None]
    after = np.where(((feet - frame.centre) * after).sum(1, keepdims=True) < 0, -after, after)
    before = np.roll(after, 1, axis=0)
    inside = 1 + (before * after).sum(axis=1, keepdims=True)
    return np.asarray(feet + overhang * (before + after) / inside)


def both_eaves(laid: list[Laid], overhang: float) -> list[Laid]:
    """Every pattern with the overhang loaded and, where there is one, with it bare.

    Args:
        laid: Patterns with the overhang loaded.
        overhang: Past the plate. [m]

    Returns:
        The patterns; those with bare eaves follow the others.
    """
    if overhang <= 0:
        return laid
    return laid + [
        Laid(f"{one.pattern}-bare-eaves", one.direction_deg, one.lines.bare_eaves()) for one in laid
    ]
