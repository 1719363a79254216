"""What a survey takes and gives: readings in, the frame as built out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "BLUNDER_LIMIT",
    "DEFAULT_SIGMA",
    "POWER_QUANTILE",
    "AsBuilt",
    "Blunder",
    "Floats",
    "Kind",
    "Leg",
    "Legs",
    "Plan",
    "Planned",
    "Point",
    "Reading",
    "Rigidity",
    "Standing",
    "is_foot",
]

Floats = NDArray[np.float64]
Kind = Literal["level", "slope", "height"]

DEFAULT_SIGMA: Final = 0.0254 / 16  # [m] a reading's standard deviation where none is stated
BLUNDER_LIMIT: Final = 3.29  # [-] |v| / sigma_v above which a reading is named: 1 in 1,000
POWER_QUANTILE: Final = 0.84  # [-] so that a mistake of the size stated is found 4 times in 5


def is_foot(name: str) -> bool:
    """Whether a point's name is a plain number: the foot of a rafter.

    >>> is_foot("12"), is_foot("t12"), is_foot("hub")
    (True, False, False)
    """
    return name.isdigit()


@dataclass(frozen=True)
class Reading:
    """One line of the readings file.

    Attributes:
        start: Point the reading is taken from.
        end: Point it is taken to.
        kind: ``level`` horizontal between plumbed marks, ``slope`` straight between the
            points, ``height`` of ``end`` above ``start``.
        value: [m]
        sigma: Standard deviation, rounding to the tape's marks included. [m]
        text: The value as it was written; empty where it was not read from a file.
        line: Its line in the file; 0 where it was not read from a file.
    """

    start: str
    end: str
    kind: Kind
    value: float
    sigma: float = DEFAULT_SIGMA
    text: str = ""
    line: int = 0


@dataclass(frozen=True)
class Rigidity:
    """Whether a list of readings holds the shape.

    Attributes:
        rank: Independent readings.
        needed: Unknowns less the freedoms of the frame as a whole.
        loose: Points that can move with no reading changing, the loosest first.
        fixes: Readings (from, to, kind) that together would hold them.
    """

    rank: int
    needed: int
    loose: tuple[str, ...] = ()
    fixes: tuple[tuple[str, str, Kind], ...] = ()

    @property
    def is_rigid(self) -> bool:
        """Nothing is loose."""
        return self.rank == self.needed


@dataclass(frozen=True)
class Planned:
    """A reading to take.

    Attributes:
        start: Point to hold the end of the tape, or the first tube, at.
        end: Point to read at.
        kind: As in a reading.
        expected: By the designed shape. [m]
        how: What to do, in words.
        repeat: Taken once before: take it again as if it were new.
    """

    start: str
    end: str
    kind: Kind
    expected: float
    how: str
    repeat: bool = False


@dataclass(frozen=True)
class Plan:
    """Readings in walking order, and how well they check one another.

    Attributes:
        readings: In walking order.
        redundancy: Readings beyond those that just hold the shape.
        checked: Share of a mistake that shows in the reading's own residual, 0 to 1. [-]
            (n_readings,)
        hidden: Smallest mistake found 4 times in 5, each reading. [m] (n_readings,)
        sigma: Of each point in its worst direction, where it is measured. [m]
    """

    readings: tuple[Planned, ...]
    redundancy: int
    checked: Floats
    hidden: Floats
    sigma: dict[str, float]


@dataclass(frozen=True)
class Point:
    """Where a point stands. x east, y north, z up from the mean of the feet; all in m.

    Attributes:
        id: Its name.
        x: [m]
        y: [m]
        z: [m]
        sigma: Standard deviation in the worst direction. [m]
        sigmas: Along x, y and z; 0 where that direction was not measured. [m]
    """

    id: str
    x: float
    y: float
    z: float
    sigma: float
    sigmas: tuple[float, float, float]


@dataclass(frozen=True)
class Blunder:
    """A reading that cannot be right.

    Attributes:
        reading: Its place in the list, from 1.
        start: Point it was taken from.
        end: Point it was taken to.
        kind: As in the reading.
        line: Its line in the file; 0 where there is none.
        residual: The reading less what all the others say, + too long. [m]
        sigma: Standard deviation of that difference. [m]
        standardised: Residual over its sigma. [-]
        likely_slip: What would explain it; empty where nothing simple fits.
        likely_value: What the reading would then be; NaN where nothing fits. [m]
        suspects: Readings, from 1, that would explain the misfit as well: one of them or
            this one is wrong, and only a new reading can tell which.
    """

    reading: int
    start: str
    end: str
    kind: Kind
    line: int
    residual: float
    sigma: float
    standardised: float
    likely_slip: str = ""
    likely_value: float = float("nan")
    suspects: tuple[int, ...] = ()


@dataclass(frozen=True)
class AsBuilt:
    """The frame as it stands, with its ±.

    The coordinates are those of a free network: no point is held, the whole is laid over the
    designed feet (or over its own first guess) as well as it goes, and every ± counts from
    there. Lengths and angles between points do not depend on that choice.

    Attributes:
        names: Of the points, feet first. (n_points,)
        xyz: [m] (n_points, 3)
        covariance: Rows and columns x, y, z of each point in turn. [m2] (3 n, 3 n)
        measured: Which directions the readings fix. (n_points, 3)
        readings: As taken.
        used: False where the reading was left out as a blunder. (n_readings,)
        residuals: Reading less adjusted value, left-out readings too. [m] (n_readings,)
        standardised: Residual over its own sigma; NaN where nothing checks it. (n_readings,)
        checked: Share of a mistake that shows in the residual, 0 to 1. (n_readings,)
        hidden: Smallest mistake found 4 times in 5; inf where nothing checks it. [m]
            (n_readings,)
        blunders: In the order found.
        redundancy: Readings used beyond those that just hold the shape.
        smallest_hidden: Largest of ``hidden`` among checked readings used: a mistake no
            bigger than this could stay unseen. inf where none is checked. [m]
        unchecked: Readings, from 1, that no other reading checks.
        inseparable: Groups of readings, from 1, of which a mistake could not be told apart.
        scatter: Root mean square of residuals against the stated sigmas; 1 is as stated,
            NaN without redundancy. [-]
        widened: Factor put on every ± because the scatter is more than chance allows.
        iterations: Steps of the last adjustment.
        notes: What was assumed, in words.
    """

    names: tuple[str, ...]
    xyz: Floats
    covariance: Floats
    measured: NDArray[np.bool_]
    readings: tuple[Reading, ...]
    used: NDArray[np.bool_]
    residuals: Floats
    standardised: Floats
    checked: Floats
    hidden: Floats
    blunders: tuple[Blunder, ...]
    redundancy: int
    smallest_hidden: float
    unchecked: tuple[int, ...]
    inseparable: tuple[tuple[int, ...], ...]
    scatter: float
    widened: float
    iterations: int
    notes: tuple[str, ...] = ()
    _index: dict[str, int] = field(default_factory=dict, repr=False, compare=False)

    def __post_init__(self) -> None:
        self._index.update({name: k for k, name in enumerate(self.names)})

    @property
    def points(self) -> tuple[Point, ...]:
        """Every point with its ±."""
        return tuple(self._point(k) for k in range(len(self.names)))

    @property
    def feet(self) -> tuple[str, ...]:
        """Names of the feet, in order."""
        return tuple(name for name in self.names if is_foot(name))

    def has(self, name: str) -> bool:
        """Whether the point was surveyed."""
        return name in self._index

    def at(self, name: str) -> Floats:
        """Position of a point.

        Returns:
            x east, y north, z up. [m] (3,)
        """
        return np.asarray(self.xyz[self._index[name]])

    def rows(self, names: tuple[str, ...]) -> NDArray[np.intp]:
        """Rows of the covariance that belong to the points, x, y, z of each. (3 n,)"""
        first = np.array([3 * self._index[name] for name in names], dtype=np.intp)
        return (first[:, None] + np.arange(3)).ravel()

    def _point(self, k: int) -> Point:
        block = self.covariance[3 * k : 3 * k + 3, 3 * k : 3 * k + 3]
        sx, sy, sz = np.sqrt(np.maximum(np.diag(block), 0.0)).tolist()
        worst = float(np.sqrt(max(np.linalg.eigvalsh(block)[-1], 0.0)))
        x, y, z = self.xyz[k].tolist()
        return Point(self.names[k], x, y, z, worst, (sx, sy, sz))


@dataclass(frozen=True)
class Leg:
    """A straight line from a tie bolt to the ring's centre.

    Attributes:
        id: Number of the leg.
        start: Point it starts from.
        length: Straight. [m]
        sigma: [m]
        azimuth_deg: Of the bolt seen from the centre, clockwise from leg 1.
        azimuth_sigma_deg: Of that angle.
        slope_deg: Rise from the bolt to the centre, + up.
        slope_sigma_deg: Of that angle.
    """

    id: int
    start: str
    length: float
    sigma: float
    azimuth_deg: float
    azimuth_sigma_deg: float
    slope_deg: float
    slope_sigma_deg: float


@dataclass(frozen=True)
class Legs:
    """The best place for the ring's centre and the legs that meet there.

    Attributes:
        centre: [m] (3,)
        centre_sigma: Along x, y, z. [m] (3,)
        legs: From leg 1.
        largest_difference: Longest less shortest leg. [m]
        least_difference: What that could be at best, at ``least_centre``. [m]
        least_centre: Where the longest and the shortest leg differ least. [m] (3,)
    """

    centre: Floats
    centre_sigma: Floats
    legs: tuple[Leg, ...]
    largest_difference: float
    least_difference: float
    least_centre: Floats


@dataclass(frozen=True)
class Standing:
    """How far one foot is from where it should be.

    Attributes:
        id: The foot.
        outward: + away from the middle. [m]
        sideways: + clockwise seen from above. [m]
        up: + too high; 0 where heights were not measured. [m]
        outward_sigma: [m]
        sideways_sigma: [m]
        up_sigma: [m]
        words: Where it stands and whether a tie may pull it back.
    """

    id: str
    outward: float
    sideways: float
    up: float
    outward_sigma: float
    sideways_sigma: float
    up_sigma: float
    words: str
