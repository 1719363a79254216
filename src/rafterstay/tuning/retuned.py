"""What came of many builds of one tie, and what that says before a rope is cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.tuning.builds import Builds
from rafterstay.tuning.nouns import Goal

__all__ = ["Retuned"]


@dataclass(frozen=True)
class Retuned:
    """Builds before and after tuning; not a number where one came to no rest.

    Attributes:
        builds: What each is off by.
        goal: What was aimed at.
        part: Of a turn that bodies were turned by; None for exact turns. [-]
        room: Least and most turns a body's thread allows from what it is set to. [-]
        alike: Turns of all bodies alike that bring the mean pull to the goal. [-] (n_builds,)
        before: Pulls then, before any leg is told from another; not a number where bodies turned
            alike come to no rest, as when eyes of a sliding ring run together. [N] (n_builds, n)
        turns: Exact turns that equalise and centre as well as can be, from what the bodies are
            set to. [-] (n_builds, n)
        made: Those turned: ``turns``, or whole steps near them. [-] (n_builds, n)
        pull: After them. [N] (n_builds, n)
        eyes: Ring ends of the legs after them. [m] (n_builds, n, 3)
        shift: The ring's centre from its place: east and north. [m] (n_builds, 2)
        outward: Movement of the feet. [m] (n_builds, n_feet)
        kept: Pulls, centre and levels are within the goal's tolerances. (n_builds,)
        settled: It came to rest when tuned. (n_builds,)
    """

    builds: Builds
    goal: Goal
    part: float | None
    room: tuple[float, float]
    alike: Floats
    before: Floats
    turns: Floats
    made: Floats
    pull: Floats
    eyes: Floats
    shift: Floats
    outward: Floats
    kept: NDArray[np.bool_]
    settled: NDArray[np.bool_]

    @property
    def beyond(self) -> NDArray[np.bool_]:
        """Bodies that run out of thread at an end; of a build without rest none. (n_builds, n)"""
        low, high = self.room
        return np.asarray((self.made < low) | (self.made > high))

    @property
    def share_kept(self) -> float:
        """Builds within every tolerance, of all. [-]"""
        return float(self.kept.mean())

    @property
    def share_beyond(self) -> float:
        """Builds in which a body runs out of thread, of those that came to rest. [-]"""
        return _mean(self.beyond.max(axis=1)[self.settled])

    @property
    def uneven(self) -> Floats:
        """Leg furthest from the mean pull before tuning, of the mean. [-] (n_builds,)"""
        return np.asarray(np.abs(self.before / self.goal.pull - 1.0).max(axis=1))

    def turns_at(self, shares: tuple[float, ...] = (0.5, 0.9, 0.99)) -> Floats:
        """Turns that so many builds do not exceed, whichever way.

        Args:
            shares: Of builds, 0 to 1. [-]

        Returns:
            Of each leg. [-] (n_shares, n)
        """
        return _at(np.abs(self.made), shares, self.settled)

    def off_at(self, shares: tuple[float, ...] = (0.5, 0.9, 0.99)) -> Floats:
        """How far the worst leg is off its goal after tuning in so many builds, at most.

        Args:
            shares: Of builds, 0 to 1. [-]

        Returns:
            Of the goal. [-] (n_shares,)
        """
        return _at(np.abs(self.pull / self.goal.pull - 1.0).max(axis=1), shares, self.settled)

    def uneven_at(self, shares: tuple[float, ...] = (0.5, 0.9, 0.99)) -> Floats:
        """The same before tuning.

        Args:
            shares: Of builds, 0 to 1. [-]

        Returns:
            Of the mean pull. [-] (n_shares,)
        """
        return _at(self.uneven, shares, np.isfinite(self.alike))

    def shift_at(self, shares: tuple[float, ...] = (0.5, 0.9, 0.99)) -> Floats:
        """How far the ring's centre is from its place after tuning in so many builds, at most.

        Args:
            shares: Of builds, 0 to 1. [-]

        Returns:
            On plan. [m] (n_shares,)
        """
        return _at(np.linalg.norm(self.shift, axis=1), shares, self.settled)


def _at(values: Floats, shares: tuple[float, ...], settled: NDArray[np.bool_]) -> Floats:
    if not settled.any():
        return np.full((len(shares), *values.shape[1:]), np.nan)
    return np.asarray(np.quantile(values[settled], shares, axis=0))


def _mean(values: NDArray[np.bool_]) -> float:
    return float(values.mean()) if len(values) else float("nan")
