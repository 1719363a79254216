"""Load cases: which combination, what lies where, for how long, and in which weather."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial

import numpy as np

from rafterstay.core.sources import Source
from rafterstay.core.working import Line
from rafterstay.roof.frame import Floats

__all__ = ["SET", "Case", "Cases", "Climate", "whole_degrees"]


@dataclass(frozen=True)
class Case:
    """One combination with one pattern of load on the hips.

    A line of load runs straight from its value at the foot to its value at the head. Where the
    load itself does not, as under a drift, the line has its total and its first moment: thrust
    and foot reaction are then those of the load, and bending along the hip comes out at most a
    tenth low (docs/theory/loads.md).

    The tail is the hip's overhang beyond its foot. The foot is a pin over which the hip runs
    through: whoever solves the frame adds ``tail_load`` to the foot's upward reaction,
    ``tail_push`` to the outward force on the foot, and ``tail_moment`` as a moment on the
    hip's end there. It turns the tail down, so it hogs: the hip starts with a bending moment
    of -``tail_moment`` at the foot (tension on top). On a beam released at the foot that is a
    couple of ``tail_moment`` / length, which presses the foot down and lifts the other end,
    and, where that other end is not released, half of ``tail_moment`` carried over to it.
    Leaving it out overstates the thrust of a loaded overhang.

    Attributes:
        equation: For example ``D+S``.
        pattern: ``dead``, ``balanced``, ``one-sided``, ``unbalanced``, ``unbalanced-drift``,
            ``unbalanced-cone``, ``uplift``, ``uplift-one-sided``; two joined by ``+`` where two
            changing loads meet; ``-bare-eaves`` follows where the overhang carries none of them.
        direction_deg: Towards the loaded side, clockwise from leg 1; for wind where it comes
            from; None where it has none.
        duration_factor: C_D of the shortest load in the combination. [-]
        dead_factor: Multiplies the self-weight of ropes, turnbuckles and ring. [-]
        hip_load: Downward load per metre of hip *along its axis* at the foot and at the head,
            linear between. [N/m] (n, 2)
        head_load: Downward load on the hub beside each head: of the hub's own area, and of jacks
            that end on it. [N] (n,)
        source: The clause of the combination.
        hip_push: Horizontal load per metre of hip along its axis at the foot and at the head,
            linear between, x east and y north. [N/m] (n, 2, 2)
        tail_load: Downward load of each hip's tail. [N] (n,)
        tail_push: Horizontal load of each hip's tail, and of untied rafters beside it on the
            plate, x east and y north. [N] (n, 2)
        tail_moment: Of the tail's load about its foot in the hip's upright plane, above 0 where
            it turns the tail down; over ``tail_load`` it is the lever beyond the foot where
            nothing pushes sideways. [N m] (n,)
        head_push: Horizontal load on the hub beside each head, x east and y north. [N] (n, 2)
    """

    equation: str
    pattern: str
    direction_deg: float | None
    duration_factor: float
    dead_factor: float
    hip_load: Floats
    head_load: Floats
    source: Source
    hip_push: Floats = field(default_factory=partial(np.zeros, (1, 1, 1)))
    tail_load: Floats = field(default_factory=partial(np.zeros, 1))
    tail_push: Floats = field(default_factory=partial(np.zeros, (1, 1)))
    tail_moment: Floats = field(default_factory=partial(np.zeros, 1))
    head_push: Floats = field(default_factory=partial(np.zeros, (1, 1)))

    def __post_init__(self) -> None:
        """Spread what was left out, nil, over every hip."""
        n = len(self.hip_load)
        shapes: dict[str, tuple[int, ...]] = {
            "hip_push": (n, 2, 2),
            "tail_load": (n,),
            "tail_push": (n, 2),
            "tail_moment": (n,),
            "head_push": (n, 2),
        }
        for name, shape in shapes.items():
            object.__setattr__(self, name, np.broadcast_to(getattr(self, name), shape))

    @property
    def id(self) -> str:
        """``equation/pattern[-direction]``, the direction in whole degrees."""
        if self.direction_deg is None:
            return f"{self.equation}/{self.pattern}"
        return f"{self.equation}/{self.pattern}-{whole_degrees(self.direction_deg):03d}"


def whole_degrees(direction: float) -> int:
    """A direction as an id writes it.

    Args:
        direction: Clockwise from leg 1. [deg]

    Returns:
        Whole degrees, 0 to 359. [deg]

    >>> whole_degrees(22.5), whole_degrees(359.7)
    (23, 0)
    """
    return int(direction + 0.5) % 360


@dataclass(frozen=True)
class Climate:
    """One state of weather and timber that the combinations are run in.

    Frame and rope take the same change of temperature, each with its own expansion: a length of
    timber grows by its expansion along the grain times ``warming``, a rope by its metal's
    (docs/theory/thermal.md). ``drying`` is added to the unstretched length of every leg: the
    path between bolt and ring got shorter by as much. Lengths fitted in the setting state are
    kept.

    Attributes:
        name: ``set``, ``cold``, ``warm`` or ``dry``.
        warming: Rise of temperature since the legs were set, below 0 for cooling. [K]
        drying: Length the path of every leg has lost. [m]
        bedded: The new rope has bedded in: its constructional stretch, upper value, is out.
        with_snow: Combinations with snow are run in it too.
        answers: ``strength``, or ``least pull``: only slackness and the least pull of each leg
            are read from it.
    """

    name: str
    warming: float
    drying: float
    bedded: bool
    with_snow: bool
    answers: str


SET = Climate("set", 0.0, 0.0, bedded=False, with_snow=True, answers="strength")


@dataclass(frozen=True)
class Cases:
    """Every case of a job, and the load on the roof while the legs are set.

    Attributes:
        cases: In the order they are solved.
        setting: The dead load that lies on the roof when the legs are tensioned.
        simplified_snow: True where one-sided snow is the simplified half full, half 0.3.
        climates: What the cases are run in; ``set`` first.
        told: What a reader of any answer must know of the loads, a sentence each.
        working: How the pressures were found, line by line.
        sources: Clauses of the pressures; those of the combinations stand with each case.
    """

    cases: tuple[Case, ...]
    setting: Case
    simplified_snow: bool
    climates: tuple[Climate, ...] = (SET,)
    told: tuple[str, ...] = ()
    working: tuple[Line, ...] = ()
    sources: tuple[Source, ...] = ()

    def climates_of(self, case: Case) -> tuple[Climate, ...]:
        """What a case is run in: no snow lies on the roof on its warmest day."""
        return tuple(one for one in self.climates if one.with_snow or "S" not in case.equation)
