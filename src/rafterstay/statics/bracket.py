"""Where a rising figure crosses nought, in few tries: each of them costs a solve."""

from __future__ import annotations

__all__ = ["Bracket"]

_SAFE = 4
"""After so many tries on one side the bracket is halved: no kink can hold the line up."""


class Bracket:
    """Line through the ends of a bracket, the end that stays counting half each time.

    Args:
        start: First try, not nought.
        at_nought: About what a try at nought would find; it only says how far to go next.
        reach: How far the second try may lie from the first; each next one twice as far.

    Attributes:
        at: What to try next.

    Source: the Illinois form of false position; Dowell and Jarratt, BIT 11 (1971), eq. 2

    >>> search = Bracket(1.0, at_nought=-20.0, reach=2.0)
    >>> for _ in range(12):
    ...     search.learn(search.at**3 - 20.0)
    >>> round(search.at, 6)
    2.714418
    """

    def __init__(self, start: float, *, at_nought: float, reach: float) -> None:
        self.at = start
        self._reach = reach
        self._below: tuple[float, float] | None = None
        self._above: tuple[float, float] | None = None
        self._same = 0
        self._last = (0.0, at_nought)
        self._tries = 0

    def learn(self, found: float) -> None:
        """Take what was found at the last try; rising with it.

        Args:
            found: Nought where it crosses. [-]
        """
        here, before = (self.at, found), self._last
        self._last = here
        kept = self._above if found < 0.0 else self._below
        again = self._tries > 0 and (before[1] < 0.0) == (found < 0.0)
        self._tries += 1
        self._same = self._same + 1 if again else 0
        if again and kept is not None:
            kept = (kept[0], kept[1] / 2.0)
        self._below, self._above = (here, kept) if found < 0.0 else (kept, here)
        if self._below is None or self._above is None:
            self.at = self._outward(here, before)
        elif self._same >= _SAFE:
            self.at, self._same = (self._below[0] + self._above[0]) / 2.0, 0
        else:
            (low, at_low), (high, at_high) = self._below, self._above
            self.at = low - at_low * (high - low) / (at_high - at_low)

    def _outward(self, here: tuple[float, float], before: tuple[float, float]) -> float:
        """Where the last two tries show the crossing; else as far as one may go."""
        way = 1.0 if here[1] < 0.0 else -1.0
        step = self._reach
        rise, run = here[1] - before[1], here[0] - before[0]
        if rise * run > 0.0:
            step = min(step, abs(here[1]) * run / rise)
        self._reach *= 2.0
        return here[0] + way * step
