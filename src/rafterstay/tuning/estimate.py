"""How does the tie stand, by readings and prior together, and which reading cannot be right?

Weighted non-linear least squares on the full model. docs/theory/tuning.md section 3.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from rafterstay.core.errors import Mechanism, NotConverged
from rafterstay.roof.frame import Floats
from rafterstay.rope import turnbuckle_travel
from rafterstay.survey.nouns import BLUNDER_LIMIT
from rafterstay.tuning.friction import USUAL, grips
from rafterstay.tuning.model import Layout, Model, Stand
from rafterstay.tuning.nouns import Blunder, Reading
from rafterstay.tuning.prior import Prior
from rafterstay.tuning.seen import seen

__all__ = ["Known", "Unknowns", "estimate", "travel_of"]

MOST_STEPS: Final = 25
LEAST_SHARE: Final = 1e-3  # of a step that is tried [-]
CLOSE: Final = 0.02  # of a standard deviation: no unknown moves further [-]
ENOUGH: Final = 1e-4  # of a weighted sum of squares: no step gains less [-]
MOST_TRIES: Final = 8
WITHIN: Final = (0.5, 2.0)  # of the target: so near, the drawing is near enough [-]
NEAR: Final = 0.1  # of the mean pull, to begin with [-]
NEAREST: Final = 1e-3  # [m] beyond what straight legs would ask
SLACK: Final = 0.25  # of the usual pull: a leg that reads less hangs nearly slack [-]
SAG: Final = 0.10  # of the usual pull: how well such a leg is known, common practice [-]
CHECKED: Final = 0.03  # share of a slip that must show before a reading can be judged [-]
WARMTH: Final = 30.0  # [K] of the air's temperature before it is read


def travel_of(model: Model) -> float:
    """What one turn of a body takes off its leg. [m]"""
    return turnbuckle_travel(model.tie.turnbuckle.threads_per_metre)


@dataclass(frozen=True)
class Unknowns:
    """Where each unknown stands: legs, bodies, then ring, stiffnesses, warmths and turns made.

    Attributes:
        layout: Of the causes.
        stages: How many times the tie was read, bodies turned in between.
        turned: Every turn made in between, in order.
    """

    layout: Layout
    stages: int
    turned: tuple[Reading, ...]

    @property
    def size(self) -> int:
        """Number of unknowns."""
        lay = self.layout
        return 2 * lay.n + (lay.warmth - lay.n) + self.stages + len(self.turned)

    def map(self, stage: int, travel: float) -> Floats:
        """From unknowns to the causes of one stage.

        Args:
            stage: Counted from 0.
            travel: What one turn takes off a leg. [m]

        Returns:
            Table. [m, -, K] (layout.size, size)
        """
        lay, n = self.layout, self.layout.n
        table = np.zeros((lay.size, self.size))
        table[:n, :n] = table[:n, n : 2 * n] = np.eye(n)
        shared = lay.warmth - n
        table[n : lay.warmth, 2 * n : 2 * n + shared] = np.eye(shared)
        table[lay.warmth, 2 * n + shared + stage] = 1.0
        first = 2 * n + shared + self.stages
        for column, turn in enumerate(self.turned):
            if turn.stage <= stage:
                table[turn.where - 1, first + column] = -travel
        return table


@dataclass(frozen=True)
class Known:
    """What the readings say.

    Attributes:
        unknowns: Their places.
        value: (size,)
        covariance: (size, size)
        causes: Of the last stage. (layout.size,)
        spread: Covariance of those. (layout.size, layout.size)
        stand: The tie at rest as it was last read.
        slopes: Of everything seen there by the causes.
        misfit: Weighted sum of squares over the number of readings. [-]
        used: Readings believed.
        blunders: The others.
    """

    unknowns: Unknowns
    value: Floats
    covariance: Floats
    causes: Floats
    spread: Floats
    stand: Stand
    slopes: Floats
    misfit: float
    used: tuple[Reading, ...]
    blunders: tuple[Blunder, ...]


@dataclass(frozen=True)
class _Fit:
    """A fit: unknowns in standard deviations from their means."""

    u: Floats
    stands: tuple[Stand, ...]
    slopes: tuple[Floats, ...]
    rows: Floats  # of the weighted readings, then of what eyes hold back, by u
    left: Floats  # weighted misfits
    cost: float


class _Task:
    """Readings and prior of one tie."""

    def __init__(self, model: Model, readings: Sequence[Reading], prior: Prior) -> None:
        self.model, self.travel = model, travel_of(model)
        self.turned = tuple(one for one in readings if one.what == "turned")
        said = [one for one in readings if one.what != "turned"]
        pulls = [one.value for one in said if one.what == "pull"]
        usual = max(float(model.tie.target), _middle(pulls)) if pulls else 0.0
        self.readings = tuple(_eased(one, usual) for one in said)
        stages = 1 + max((one.stage for one in readings), default=0)
        self.unknowns = Unknowns(model.layout, stages, self.turned)
        self.maps = [self.unknowns.map(k, self.travel) for k in range(stages)]
        self.warmed = {one.stage for one in self.readings if one.what == "temperature"}
        self.mean, self.sigma = _before(self.unknowns, prior, self.warmed)
        tie = model.tie
        self.open = tie.turnbuckle_set - tie.turnbuckle.closed

    def fit(self, readings: Sequence[Reading], start: _Fit | None) -> _Fit:
        """Weighted least squares by damped Gauss-Newton steps."""
        here = self.at(readings, self._begin(readings), None)
        if start is not None:
            again = self.at(readings, start.u, start)
            here = again if again.cost < here.cost else here
        for _ in range(MOST_STEPS):
            normal = here.rows.T @ here.rows + np.eye(len(here.u))
            whole = np.linalg.solve(normal, here.rows.T @ here.left - here.u)
            share, ahead = 1.0, None
            while ahead is None and share > LEAST_SHARE:
                ahead = self._tried(readings, here.u + share * whole, here)
                if ahead is not None and ahead.cost > here.cost * (1 + 1e-9) + 1e-9:
                    ahead = None
                share /= 2.0
            if ahead is None:
                break
            gained, here = here.cost - ahead.cost, ahead
            if np.abs(whole).max() < CLOSE or (share == 0.5 and gained < ENOUGH):
                break
        return here

    def _tried(self, readings: Sequence[Reading], u: Floats, near: _Fit) -> _Fit | None:
        """A step's end; None where nothing holds the tie there."""
        try:
            return self.at(readings, u, near)
        except (Mechanism, NotConverged):
            return None

    def _begin(self, readings: Sequence[Reading]) -> Floats:
        """All bodies alike, the mean pull as read: near enough for every ring to be taut."""
        u = np.zeros(self.unknowns.size)
        pulls = [one.value for one in readings if one.what == "pull"]
        if not pulls:
            return u
        wanted = max(_middle(pulls), 1.0)
        if not WITHIN[0] < wanted / max(float(self.model.tie.target), 1.0) < WITHIN[1]:
            return self._taken_up(wanted)
        return u

    def _taken_up(self, wanted: float) -> Floats:
        """All bodies taken up or let out alike, by halves."""
        n, best = self.model.layout.n, np.zeros(self.unknowns.size)
        longest, shortest = self._reach(wanted)
        off = np.inf
        for _ in range(MOST_STEPS):
            middle = (longest + shortest) / 2.0
            value = self.mean.copy()
            value[n : 2 * n] += middle
            pull = float(self.model.stand(self.maps[0] @ value).pull.mean())
            if abs(pull - wanted) < off:
                off = abs(pull - wanted)
                best = (value - self.mean) / np.where(self.sigma > 0.0, self.sigma, 1.0)
            if off <= NEAR * wanted:
                break
            longest, shortest = (middle, shortest) if pull < wanted else (longest, middle)
        return best

    def _reach(self, wanted: float) -> tuple[float, float]:
        """How much longer and shorter all bodies are at most, for the mean pull as read. [m]"""
        n, value = self.model.layout.n, self.mean.copy()
        links = self.model.links
        rate = 1.0 / (1.0 / links.leg_rate[0]).sum(axis=1).max()
        most = 2.0 * abs(wanted - float(self.model.tie.target)) / rate + NEAREST
        pull = float(self.model.stand(self.maps[0] @ value).pull.mean())
        way = -1.0 if pull < wanted else 1.0
        for _ in range(MOST_TRIES):
            value[n : 2 * n] = self.mean[n : 2 * n] + way * most
            try:
                there = float(self.model.stand(self.maps[0] @ value).pull.mean())
            except (Mechanism, NotConverged):
                break
            if (there - wanted) * way <= 0.0:
                break
            most *= 2.0
        return (0.0, -most) if way < 0 else (most, 0.0)

    def at(self, readings: Sequence[Reading], u: Floats, near: _Fit | None) -> _Fit:
        value = self.mean + self.sigma * u
        stands, slopes = [], []
        for stage, table in enumerate(self.maps):
            begin = near.stands[stage] if near is not None else None
            stand = self.model.stand(table @ value, begin)
            slope = self.model.slopes(stand)
            if stage in self.warmed:
                slope[:, self.model.layout.warmth] = self.model.by_warmth(stand)
            stands.append(stand)
            slopes.append(slope)
        rows = np.zeros((len(readings), len(u)))
        left = np.zeros(len(readings))
        for k, one in enumerate(readings):
            expected, row = self.expected(one, value, stands[one.stage], slopes[one.stage])
            rows[k] = row * self.sigma / one.sigma
            left[k] = (one.value - expected) / one.sigma
        held = self._held_back(stands, slopes)
        rows, left = np.concatenate([rows, held[0]]), np.concatenate([left, held[1]])
        cost = float(left @ left + u @ u)
        return _Fit(u, tuple(stands), tuple(slopes), rows, left, cost)

    def _held_back(
        self, stands: Sequence[Stand], slopes: Sequence[Floats]
    ) -> tuple[Floats, Floats]:
        """Eyes hold a ring rope only so far: as good as readings of the friction they need."""
        rows, left = [np.zeros((0, self.unknowns.size))], [np.zeros(0)]
        for stand, slope, table in zip(stands, slopes, self.maps, strict=True):
            needs, by_causes = grips(self.model, stand, slope)
            rows.append(by_causes @ table * self.sigma / USUAL)
            left.append(-needs / USUAL)
        return np.concatenate(rows), np.concatenate(left)

    def expected(
        self, one: Reading, value: Floats, stand: Stand, slope: Floats
    ) -> tuple[float, Floats]:
        """What a reading should be, and its slope by the unknowns."""
        if one.what in {"opening", "temperature"}:
            row = self._place(one)
            start = self.open if one.what == "opening" else self.model.set_temperature
            return start + float(row @ value), row
        expected, by_seen = seen(self.model, stand, one)
        return expected, by_seen @ slope @ self.maps[one.stage]

    def _place(self, one: Reading) -> Floats:
        lay = self.model.layout
        if one.what == "temperature":
            return np.asarray(self.maps[one.stage][lay.warmth])
        row = self.maps[one.stage][one.where - 1].copy()
        row[: lay.n] = 0.0
        return np.asarray(row)


def _middle(values: Sequence[float]) -> float:
    """Median; numpy's own loads masked arrays first, a sixth of what advice may take."""
    ordered, half = sorted(values), len(values) // 2
    return (ordered[half] + ordered[~half]) / 2.0


def _eased(one: Reading, usual: float) -> Reading:
    """A nearly slack leg: what it pulls is its own sag's, and known no finer than that."""
    if one.what != "pull" or one.value >= SLACK * usual:
        return one
    return replace(one, sigma=max(one.sigma, SAG * usual))


def _before(unknowns: Unknowns, prior: Prior, warmed: set[int]) -> tuple[Floats, Floats]:
    """Mean and standard deviation of every unknown before any reading."""
    lay, n = unknowns.layout, unknowns.layout.n
    mean, sigma = np.zeros(unknowns.size), np.zeros(unknowns.size)
    mean[:n], sigma[:n] = prior.leg, prior.leg_sigma
    # The bodies were set so that the legs fit on average.
    mean[n : 2 * n], sigma[n : 2 * n] = -prior.leg, prior.body_sigma
    at = 2 * n + lay.sides
    sigma[2 * n : at] = prior.side_sigma
    sigma[at : at + 3] = prior.rope_sigma, prior.rope_sigma, prior.frame_sigma
    if lay.walls:
        sigma[at + 3] = prior.walls_sigma
    first = 2 * n + lay.warmth - n
    for stage in range(unknowns.stages):
        sigma[first + stage] = WARMTH if stage in warmed else 0.0
    for column, turn in enumerate(unknowns.turned, first + unknowns.stages):
        mean[column], sigma[column] = turn.value, turn.sigma
    return mean, sigma


def estimate(model: Model, readings: Sequence[Reading], prior: Prior) -> Known:
    """The state of a tie from any mix of readings.

    Args:
        model: The tie.
        readings: Some may be missing, some wrong.
        prior: What is believed without them.

    Returns:
        The state, readings that cannot be right left out.

    Raises:
        NotConverged: TU-030.

    Source: docs/theory/tuning.md eq. 3 and 4
    """
    task = _Task(model, readings, prior)
    used = list(task.readings)
    blunders: list[tuple[Reading, float]] = []
    fit = task.fit(used, None)
    most = max(1, len(used) // 4)
    while len(blunders) < most:
        judged = _judged(fit)[: len(used)]
        if not len(judged) or np.abs(judged).max() <= BLUNDER_LIMIT:
            break
        worst = int(np.abs(judged).argmax())
        blunders.append((used.pop(worst), float(judged[worst])))
        fit = task.fit(used, fit)
    found = []
    for one, size in blunders:
        value = task.mean + task.sigma * fit.u
        expected, _ = task.expected(one, value, fit.stands[one.stage], fit.slopes[one.stage])
        found.append(Blunder(one, expected, size))
    return _known(task, fit, used, found)


def _judged(fit: _Fit) -> Floats:
    """Every misfit over its own standard deviation; nil where nothing checks a reading."""
    covariance = np.linalg.inv(fit.rows.T @ fit.rows + np.eye(len(fit.u)))
    free = 1.0 - np.einsum("ij,jk,ik->i", fit.rows, covariance, fit.rows)
    return np.where(free > CHECKED, fit.left / np.sqrt(np.maximum(free, CHECKED)), 0.0)


def _known(task: _Task, fit: _Fit, used: list[Reading], blunders: list[Blunder]) -> Known:
    covariance = np.linalg.inv(fit.rows.T @ fit.rows + np.eye(len(fit.u)))
    covariance = covariance * task.sigma[:, None] * task.sigma
    misfit = fit.cost / max(len(used), 1)
    # More scatter than chance allows: every plus and minus is as much wider.
    most = 1.0 + 2.33 * np.sqrt(2.0 / max(len(used), 1))
    if misfit > most:
        covariance = covariance * misfit
    last = task.maps[-1]
    value = task.mean + task.sigma * fit.u
    return Known(
        unknowns=task.unknowns,
        value=value,
        covariance=covariance,
        causes=last @ value,
        spread=last @ covariance @ last.T,
        stand=fit.stands[-1],
        slopes=fit.slopes[-1],
        misfit=misfit,
        used=tuple(used),
        blunders=tuple(blunders),
    )
