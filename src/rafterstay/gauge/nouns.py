"""What a gauge gives: a pull with its ±, or the reason why there is none."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

__all__ = ["Floats", "Gauged", "Pluck", "Shares", "Sound"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Sound:
    """A recording, one channel.

    Attributes:
        samples: Between -1 and 1. (n_samples,)
        rate: [1/s]
        clipped: Share of the samples that stand at the recorder's end of scale. [-]
    """

    samples: Floats
    rate: float
    clipped: float = 0.0


@dataclass(frozen=True)
class Pluck:
    """One pluck of a recording.

    Attributes:
        at: Its onset. [s]
        fundamental: Of a string of the same pull without stiffness, between bridges. [Hz]
        stiffness_length: sqrt(EI/T), over which a stiff rope bends at a bridge. [m]
        pull: [N]
        sigma: From the partials' own misfit. [N]
        partials: Orders and frequencies that were used. [-], [Hz]
    """

    at: float
    fundamental: float
    stiffness_length: float
    pull: float
    sigma: float
    partials: tuple[tuple[int, float], ...]


@dataclass(frozen=True)
class Gauged:
    """A pull with its ±.

    Attributes:
        method: ``pluck``, ``side pull``, ``stretch`` or ``combined``.
        pull: None where it is refused. [N]
        sigma: One standard deviation. [N]
        refused: Why there is no pull; None where there is one.
        told: What to know of it, a sentence each.
        plucks: Of a recording, those used.
        factor: True pull over pull read, found against a hung weight; None without one. [-]
        disagree: Readings that were combined do not agree.
    """

    method: str
    pull: float | None
    sigma: float | None
    refused: str | None = None
    told: tuple[str, ...] = ()
    plucks: tuple[Pluck, ...] = field(default=())
    factor: float | None = None
    disagree: bool = False


@dataclass(frozen=True)
class Shares:
    """Pull of every leg over the mean of all, from the shape of a rope ring.

    Attributes:
        share: [-] (n,)
        sigma: [-] (n,)
    """

    share: Floats
    sigma: Floats
