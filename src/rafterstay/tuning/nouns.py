"""What tuning takes and gives: readings in, a table of turns out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from rafterstay.roof.frame import Floats

__all__ = [
    "SIGMA",
    "STEPS",
    "Advice",
    "Blunder",
    "Goal",
    "Reading",
    "State",
    "Step",
    "Trade",
    "What",
]

What = Literal["pull", "corner", "side", "offset", "level", "opening", "temperature", "turned"]

# One standard deviation where none is stated; common practice, no source.
SIGMA: Final[dict[str, float]] = {
    "pull": 0.04,  # of its value [-]
    "corner": 0.0175,  # a protractor to a degree [rad]
    "side": 0.0254 / 16,  # [m]
    "offset": 0.0254 / 16,  # [m]
    "level": 0.0254 / 16,  # [m]
    "opening": 0.0254 / 32,  # [m]
    "temperature": 1.0,  # [K]
    "turned": 0.02,  # of a turn [-]
}

STEPS: Final = (1 / 4, 1 / 6, 1 / 12, 1 / 24)
"""Steps that turns are rounded to, the coarsest first. [-]"""

_OF: Final = {"pull": "leg", "opening": "leg", "corner": "eye", "level": "eye"}


@dataclass(frozen=True)
class Reading:
    """One line of the readings.

    Attributes:
        what: Kind; ``turned`` is no reading: from there on that body stands turned by as much.
        where: Number of the leg or eye; the first eye of a side; 0 for air.
        value: [N, rad, m, K or turns]
        sigma: Standard deviation. [the same]
        to: The second eye of a side, else 0.
        line: In its file; 0 where it is not from one.
        stage: How many times bodies had been turned before it was taken.
    """

    what: What
    where: int
    value: float
    sigma: float
    to: int = 0
    line: int = 0
    stage: int = 0

    @property
    def named(self) -> str:
        """For example ``pull of leg 3``."""
        if self.what == "temperature":
            return "temperature of the air"
        if self.what == "offset":
            return f"offset of the ring towards leg {self.where}"
        if self.what == "side":
            return f"eye {self.where} to eye {self.to}"
        if self.what == "turned":
            return f"turn of leg {self.where}"
        return f"{self.what} of {_OF[self.what]} {self.where}"


@dataclass(frozen=True)
class Goal:
    """What tuning is to reach, and what no step may exceed.

    Attributes:
        pull: Of every leg, at the temperature the legs were set at. [N]
        share: How far a leg may be off. [-]
        shift: How far the ring's centre may be off, on plan. [m]
        level: How far an eye may be above or below the mean. [m]
        most: Pull no leg may have at any step. [N]
        standing: How far outward of plumb each foot stands without legs. [m] (n_feet,)
        leaning: How far inward of plumb a foot may be drawn. [m]
        most_by: The part of a leg's chain that sets ``most``.
        unchecked: Code of the error that kept the roof in service from being worked out, where
            ``most`` is that of rope and turnbuckle alone; else empty.
    """

    pull: float
    share: float
    shift: float
    level: float
    most: float
    standing: Floats
    leaning: float
    most_by: str = ""
    unchecked: str = ""


@dataclass(frozen=True)
class Blunder:
    """A reading that cannot be right.

    Attributes:
        reading: As taken.
        expected: What the others say. [as the reading]
        standardised: Its misfit over the misfit's own standard deviation. [-]
    """

    reading: Reading
    expected: float
    standardised: float


@dataclass(frozen=True)
class State:
    """The tie as it stands, by all readings together.

    Attributes:
        pull: [N] (n,)
        pull_sigma: [N] (n,)
        eyes: [m] (n, 3)
        shift: Ring's centre from where it is to hang: east and north. [m] (2,)
        shift_sigma: [m] (2,)
        level: Every eye above their mean. [m] (n,)
        side_pull: Of a rope ring. [N] (n or 0,)
        opening: Inside each body, as far as the readings tell. [m] (n,)
        opening_sigma: [m] (n,)
        rope, frame, walls: EA of the ropes, stiffness of frame and walls over the model's, each
            with the factor of one standard deviation; walls (1, 1) where they give no help. [-]
        warmth: Above the temperature the legs were set at. [K]
        misfit: Weighted sum of squares over what chance allows on average. [-]
        blunders: Readings left out.
    """

    pull: Floats
    pull_sigma: Floats
    eyes: Floats
    shift: Floats
    shift_sigma: Floats
    level: Floats
    side_pull: Floats
    opening: Floats
    opening_sigma: Floats
    rope: tuple[float, float]
    frame: tuple[float, float]
    walls: tuple[float, float]
    warmth: float
    misfit: float
    blunders: tuple[Blunder, ...]


@dataclass(frozen=True)
class Step:
    """One visit of the ladder.

    Attributes:
        leg: Which turnbuckle.
        turns: Above 0 tightens. [-]
        pull: Of every leg after it. [N] (n,)
        shift: Of the ring after it. [m] (2,)
        inward: How far the foot that is worst off is drawn in past plumb; below 0 it is not. [m]
    """

    leg: int
    turns: float
    pull: Floats
    shift: Floats
    inward: float


@dataclass(frozen=True)
class Trade:
    """What equal pull and a regular ring cost one another.

    Attributes:
        wish: ``equal pull`` or ``regular ring``.
        pull_off: Worst leg off the target. [-]
        shape_off: Eyes off their places in a regular ring about the ring's own centre, root mean
            square. [m]
        turns: That would do it. [-] (n,)
    """

    wish: str
    pull_off: float
    shape_off: float
    turns: Floats


@dataclass(frozen=True)
class Advice:
    """The table of turns and what will come of it.

    Attributes:
        state: As it stands.
        goal: What was aimed at.
        exact: Turns that equalise and centre as well as can be. [-] (n,)
        moving: The part of them that moves the ring and changes no pull. [-] (n,)
        turns: To be made, whole steps. [-] (n,)
        step: The step they are rounded to; 0 where nothing is to be turned. [-]
        steps: In the order they are to be made.
        predicted: Pull after all of them, as it will be read. [N] (n,)
        predicted_sigma: [N] (n,)
        predicted_shift: [m] (2,)
        predicted_level: Every eye above their mean. [m] (n,)
        outside: Legs outside the tolerance now.
        kept: The turns keep the target, as far as the model tells.
        safe: Every step keeps every limit.
        unsure_of: What is known poorly, in words.
        read_next: The reading that would tell most, in words; empty where none is worth it.
        trade: Where equal pull and a regular ring cannot both be had.
        notes: What to know.
    """

    state: State
    goal: Goal
    exact: Floats
    moving: Floats
    turns: Floats
    step: float
    steps: tuple[Step, ...]
    predicted: Floats
    predicted_sigma: Floats
    predicted_shift: Floats
    predicted_level: Floats
    outside: tuple[int, ...]
    kept: bool
    safe: bool
    unsure_of: tuple[str, ...]
    read_next: str
    trade: tuple[Trade, ...] = ()
    notes: tuple[str, ...] = field(default=())
