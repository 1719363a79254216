"""What the shop is handed: pieces with their marks, bodies with their setting, the ring rope."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rafterstay.shop.allowances import Making
from rafterstay.shop.eye import Eye
from rafterstay.shop.take_up import TakeUp

__all__ = ["Body", "Cutting", "End", "Layout", "Legs", "Mark", "Piece", "RingRope", "Term"]

End = Literal["outer", "inner", "first", "second"]
"""A leg to a ring has an outer piece at its bolt and an inner one at the ring; a leg from bolt to
bolt a first and a second one."""

Layout = Literal["ring", "band", "cross"]


@dataclass(frozen=True)
class Mark:
    """A running mark along the flat rope.

    Attributes:
        name: For example ``crown of the bolt eye``.
        steps: From the rope's first end, in steps of the cut list's tape.
    """

    name: str
    steps: int


@dataclass(frozen=True)
class Piece:
    """One rope of a leg, an eye at each end.

    Attributes:
        leg: Number of the leg.
        end: Which of its pieces.
        finished: Pin to pin, made up and hand straight, without pull. [m]
        pins: Diameters of the pins at its first and second end. [m]
        marks: Running marks, first end 0, last one the cut.
    """

    leg: int
    end: End
    finished: float
    pins: tuple[float, float]
    marks: tuple[Mark, ...]

    @property
    def cut_steps(self) -> int:
        """Where it is cut, in steps."""
        return self.marks[-1].steps

    def at(self, name: str) -> int:
        """Steps of a mark."""
        return next(mark.steps for mark in self.marks if mark.name == name)

    @property
    def between_crowns(self) -> float:
        """Inside of one crown to inside of the other: what a tape reads on the bench. [m]"""
        return self.finished + sum(self.pins) / 2


@dataclass(frozen=True)
class Term:
    """One term of the sum that makes up a leg's distance.

    Attributes:
        name: In words.
        length: [m]
        part: Under which heading it is told: ``play``, ``link``, ``first``, ``set``, ``second``,
            ``stretch`` or ``gives``.
    """

    name: str
    length: float
    part: str


@dataclass(frozen=True)
class Body:
    """A turnbuckle: how it is set, and what is left to it.

    Attributes:
        leg: Number of the leg.
        distance: Hole of the bolt to the ring at the eye, or to the other bolt's hole, as drawn
            or surveyed. [m]
        sigma: Of the distance. [m]
        terms: What the distance is made of; they add up to it.
        opening: Pin to pin as it is set. [m]
        expected: Pin to pin when rope and thimbles have given what is expected of them. [m]
        shorten_left: From there to the closed stop. [m]
        lengthen_left: From there to the open stop, one diameter of thread engaged. [m]
        take_up: What it must be ready for.
        runs_out: Chance that it meets a stop. [-]
    """

    leg: int
    distance: float
    sigma: float
    terms: tuple[Term, ...]
    opening: float
    expected: float
    shorten_left: float
    lengthen_left: float
    take_up: TakeUp
    runs_out: float


@dataclass(frozen=True)
class RingRope:
    """The closed rope of the ring.

    Attributes:
        rope: Its name.
        loop: Round the eyes, without pull: once round along its centre line. [m]
        lap: How far its ends lie side by side under the sleeves. [m]
        marks: Running marks, first end 0, last one the cut.
        sleeves: Of the lap.
        sleeve: Name of the sleeve; empty where the catalogue has none for this rope.
        presses: Of each sleeve; 0 where it is not known.
        doubt: Why its lap is provisional; empty where it is not.
        second: Marks of a second rope beside it, its lap on the other side of the ring; none
            where the ring is one rope.
    """

    rope: str
    loop: float
    lap: float
    marks: tuple[Mark, ...]
    sleeves: int
    sleeve: str
    presses: int
    doubt: str
    second: tuple[Mark, ...] = ()

    @property
    def ropes(self) -> int:
        """How many lie side by side."""
        return 2 if self.second else 1

    @property
    def cut_steps(self) -> int:
        """Where it is cut, in steps."""
        return self.marks[-1].steps


@dataclass(frozen=True)
class RingSteel:
    """A ring of steel, for whoever makes it.

    Attributes:
        kind: ``bar``, bent round and welded, or ``plate``, cut round and drilled.
        steel: Its name.
        radius: Centre to the bar's axis, or to the centres of the holes. [m]
        turns_deg: Every eye or hole from that of leg 1, clockwise seen from above. [deg] (n,)
        size: Diameter of the bar, or thickness of the plate. [m]
        outside: Diameter over all. [m]
        chord: Straight from one eye or hole to the next. [m]
        mass: Of the ring or plate alone. [kg]
        inside: Clear diameter; 0 of a plate. [m]
        length: Of the bar along its axis, once round; 0 of a plate. [m]
        along: Every eye along that length from the weld; none of a plate. [m] (n,)
        hole: Diameter of the holes; 0 of a bar. [m]
    """

    kind: Literal["bar", "plate"]
    steel: str
    radius: float
    turns_deg: tuple[float, ...]
    size: float
    outside: float
    chord: float
    mass: float
    inside: float = 0.0
    length: float = 0.0
    along: tuple[float, ...] = ()
    hole: float = 0.0


@dataclass(frozen=True)
class Legs:
    """Where the legs run.

    Attributes:
        distances: Hole of each bolt to the ring at its eye, or to the other bolt's hole. [m]
        sigmas: Of the distances. [m]
        measured: They were surveyed.
        notes: What to know of them.
        typical: Every leg is one like the only leg of the drawing: the tied pairs of a gable.
        unread: Numbers of the legs that were left out of the survey.
    """

    distances: tuple[float, ...]
    sigmas: tuple[float, ...]
    measured: bool
    notes: tuple[str, ...] = ()
    typical: bool = False
    unread: tuple[int, ...] = ()

    def drawn_as(self, k: int) -> int:
        """Which leg of the drawing leg k + 1 is, from 0."""
        return 0 if self.typical else k


@dataclass(frozen=True)
class Cutting:
    """The cut list.

    Attributes:
        step: Finest mark of the tape. [m]
        measured: Distances were surveyed; else every length is provisional.
        layout: How the legs run.
        pieces: Both of leg 1, then of leg 2 and so on.
        bodies: Turnbuckles from leg 1.
        ring: The ring rope; None where there is none.
        eye: The eye every leg piece ends in.
        making: What was assumed, or measured, of making eyes.
        target: Mean pull in the setting state. [N]
        ring_runs_out: Chance that any turnbuckle of the tie meets a stop. [-]
        sampled: The same by drawing ties at random. [-]
        rings: How many were drawn.
        notes: What to know.
        doubts: Why the lengths are provisional, code and sentence.
        steel: The ring of steel; None where the ring is of rope or there is none.
    """

    step: float
    measured: bool
    layout: Layout
    pieces: tuple[Piece, ...]
    bodies: tuple[Body, ...]
    ring: RingRope | None
    eye: Eye
    making: Making
    target: float
    ring_runs_out: float
    sampled: float
    rings: int
    notes: tuple[str, ...]
    doubts: tuple[tuple[str, str], ...] = ()
    steel: RingSteel | None = None
