"""Which pull and stiffness put a rope's partials where they are?

The partials of a stiff rope that runs on over two bridges stand at
f_n = n f0 sqrt(1 + (n pi l/L)^2)/(1 - l/L) with f0 = sqrt(T/m)/(2L) and l = sqrt(EI/T).
docs/theory/gauge.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from rafterstay.gauge.nouns import Floats
from rafterstay.gauge.spectrum import Tones

__all__ = ["Fit", "Span", "fit"]

HIGHEST_ORDER: Final = 14
NEAR: Final = 0.018  # a tone this near to a partial, of its frequency, may be it [-]
LEAST_PARTIALS: Final = 3
SMALLEST_SCORE: Final = 0.4  # share of the tones' weight that must be partials [-]
SOLID: Final = 0.5  # stiffest rope over the solid bar of its diameter [-]
STEEL: Final = 200e9  # [Pa]
LAID: Final = 0.04  # EI of a laid rope over that of the solid bar; between 0.01 and 0.15 [-]
LAID_SPREAD: Final = 0.6  # standard deviation of its l, of l [-]
HELD: Final = 0.2  # how a bridge holds the rope's slope, of l/L, one standard deviation [-]
GIVES: Final = 4e-7  # how far a bridge of hardwood on a board gives [m/N]
GIVES_SPREAD: Final = 3e-7  # its standard deviation; common practice, no source [m/N]
TONE: Final = 0.003  # standard deviation of a partial, of its frequency [-]


@dataclass(frozen=True)
class Span:
    """Rope between two bridges.

    Attributes:
        length: [m]
        mass: Per length. [kg/m]
        diameter: [m]
        strength: Breaking strength: no pull lies above. [N]
    """

    length: float
    mass: float
    diameter: float
    strength: float

    @property
    def solid(self) -> float:
        """EI of the solid bar. [N m2]"""
        return STEEL * math.pi * self.diameter**4 / 64.0

    def bend(self, pull: float) -> float:
        """Length l to be expected of a laid rope.

        Args:
            pull: [N]

        Returns:
            [m]
        """
        return math.sqrt(LAID * self.solid / pull)


@dataclass(frozen=True)
class Fit:
    """A pull that explains the tones.

    Attributes:
        pull: [N]
        bend: l = sqrt(EI/T). [m]
        sigma: Of the pull, from the misfit of the partials and the bridges. [N]
        score: Share of the tones' weight that are partials. [-]
        partials: Orders and frequencies used. [-], [Hz]
    """

    pull: float
    bend: float
    sigma: float
    score: float
    partials: tuple[tuple[int, float], ...]


def partial(span: Span, speed: Floats, bend: Floats, order: Floats) -> Floats:
    """Frequencies of partials; ``speed`` is sqrt(T/m). [Hz]"""
    length = span.length + 2.0 * GIVES * span.mass * speed**2
    stiff = np.sqrt(1.0 + (order * math.pi * bend / length) ** 2)
    return np.asarray(order * speed * stiff / (2.0 * (length - bend)))


def fit(span: Span, found: Tones) -> Fit | None:
    """Find the pull and stiffness whose partials the tones are.

    Args:
        span: The rope between its bridges.
        found: Tones of one pluck.

    Returns:
        None where no pull explains enough of them.
    """
    if len(found.frequency) < LEAST_PARTIALS:
        return None
    best = _search(span, found)
    if best is None:
        return None
    return _refine(span, found, best)


def _search(span: Span, found: Tones) -> tuple[float, float, float] | None:
    """Speed, bend and score of the best of many guesses."""
    frequency = found.frequency
    # The ear's weight: a tone ten times as strong counts twice as much.
    weight = np.log10(np.maximum(found.amplitude, 1.001)) + 0.1
    L = span.length
    lead = frequency[: min(10, len(frequency))]
    orders = np.arange(1, 9)[None, :, None]
    shares = np.concatenate([[0.0005], np.geomspace(0.003, 0.12, 26)])[None, None, :]
    stiff = np.sqrt(1.0 + (orders * math.pi * shares) ** 2)
    speed = lead[:, None, None] * 2.0 * L * (1.0 - shares) / orders / stiff
    speed, share = (np.asarray(x).ravel() for x in np.broadcast_arrays(speed, shares))
    pull = span.mass * speed**2
    possible = np.flatnonzero(
        (pull < span.strength) & (pull > 20.0) & (pull * (share * L) ** 2 < SOLID * span.solid)
    )
    speed, share = speed[possible], share[possible]
    if not speed.size:
        return None
    n = np.arange(1.0, HIGHEST_ORDER + 1.0)
    at = partial(span, speed[:, None], (share * L)[:, None], n[None, :])
    off = np.abs(frequency[None, :, None] / at[:, None, :] - 1.0)
    tolerance = np.maximum(NEAR * 0.6, 0.7 * found.width / at)[:, None, :]
    fits = np.asarray(off < tolerance)
    hit = fits.any(axis=2)
    present = np.asarray(fits.any(axis=1))
    closeness = (1.0 - (off / tolerance).min(axis=2).clip(0.0, 1.0) ** 2) * hit
    score = (closeness * weight).sum(axis=1) / weight.sum()
    # Partials that ought to be there and are not: the mark of a guess an octave too low.
    highest = np.where(present, n[None, :], 0.0).max(axis=1)
    due = np.maximum(np.minimum(highest, 8.0), 1.0)
    early = (present[:, :8] & (n[None, :8] <= due[:, None])).sum(axis=1)
    score = score * (early / due) ** 0.7
    # A stiffness far from that of any rope needs better evidence.
    usual = np.sqrt(LAID * span.solid / (span.mass * speed**2))
    score = score * np.exp(-0.04 * np.log(share * L / usual) ** 2)
    row = int(np.argmax(score))
    return float(speed[row]), float(share[row] * L), float(score[row])


def _refine(span: Span, found: Tones, guess: tuple[float, float, float]) -> Fit | None:
    """Least squares over the partials near a guess, then once more without those that stray."""
    speed, bend, _ = guess
    n = np.arange(1.0, HIGHEST_ORDER + 1.0)
    used: list[tuple[int, float]] = []
    sure = np.eye(2)
    misfit = np.zeros(1)
    for near in (NEAR, NEAR * 0.6, NEAR * 0.4, NEAR * 0.3):
        at = partial(span, np.array(speed), np.array(bend), n)
        used = _matched(found, at, near)
        if len(used) < LEAST_PARTIALS:
            return None
        order, tone = (np.array(x, dtype=float) for x in zip(*used, strict=True))
        for _ in range(20):
            here = partial(span, np.array(speed), np.array(bend), order)
            misfit = np.log(tone / here)
            b2 = (order * math.pi / span.length) ** 2
            slope = b2 * bend / (1.0 + b2 * bend**2) + 1.0 / (span.length - bend)
            matrix = np.stack([np.ones_like(order), slope], axis=1)
            usual = span.bend(span.mass * speed**2)
            believed = np.array([[0.0, 1.0 / (LAID_SPREAD * usual)]])
            rows = np.vstack([matrix / TONE, believed])
            due = np.append(misfit / TONE, (usual - bend) / (LAID_SPREAD * usual))
            step = np.linalg.lstsq(rows, due, rcond=None)[0]
            speed *= math.exp(float(np.clip(step[0], -0.1, 0.1)))
            bend = float(np.clip(bend + step[1], 0.0, 0.2 * span.length))
        sure = np.linalg.inv(rows.T @ rows)
    weight = np.log10(np.maximum(found.amplitude, 1.001)) + 0.1
    tones_used = {tone for _, tone in used}
    low = found.frequency < 1.05 * max(tones_used)
    mine = np.array([f in tones_used for f in found.frequency])
    score = float(weight[mine].sum() / weight[low].sum())
    if score < SMALLEST_SCORE or max(order for order, _ in used) < LEAST_PARTIALS:
        return None
    pull = span.mass * speed**2
    worse = max(1.0, float((misfit**2).mean()) / TONE**2)
    share = math.hypot(
        2.0 * math.sqrt(worse * float(sure[0, 0])),
        2.0 * HELD * bend / span.length,
        4.0 * GIVES_SPREAD * pull / span.length,
    )
    return Fit(pull, bend, share * pull, score, tuple(used))


def _matched(found: Tones, at: Floats, near: float) -> list[tuple[int, float]]:
    """The strongest tone near each partial."""
    used = []
    for order, place in enumerate(at, start=1):
        reach = max(near, 0.5 * found.width / place)
        close = np.flatnonzero(np.abs(found.frequency / place - 1.0) < reach)
        if close.size:
            used.append((order, float(found.frequency[close[0]])))
    return used
