"""How hard the legs may be set: what the least asks for, and what allows no more.

Whoever checks the trials asks for the next pull and tells what was found.
docs/theory/pretension.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.checks.asce19_2016.strength import FITTING, allowable_pull
from rafterstay.core.errors import RafterstayError
from rafterstay.core.quantities import parse
from rafterstay.sizing.drawn_in import drawn_in
from rafterstay.sizing.nouns import Band

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rafterstay.job import Job
    from rafterstay.sizing.nouns import Carried

__all__ = ["BandSearch", "aimed_at", "span_of"]

LOW: Final = ("leg-slack", "ring-sag", "wall-spread")
"""What asks for more pull."""
DRAWN_IN: Final = "walls-drawn-in"
PROP: Final = "hub-prop"
SNUG: Final = "snug"
SHORT_OF: Final = 0.98  # of the dead load's own pull: there the prop carries nothing
PAST: Final = 1.01  # so that the rope itself is an end, whatever else is
_OPEN: Final = {
    SNUG: "snug legs are enough",
    PROP: "the dead load makes this pull by itself: more lifts the hub off its prop and draws "
    "the walls in",
}
NO_HELP: Final = (
    "The walls give no help, so the pull under load does not depend on pretension: it only "
    "decides how the ring hangs and how far the feet move when the prop is lowered."
)
SAMPLES: Final = (0.01, 0.06, 0.2, 0.5, 1.0)  # from the least to the most
CLOSE: Final = 0.03  # a boundary is found to this share of itself
MOST_STEPS: Final = 8
_NEAR_NOUGHT: Final = 0.3  # of a limit


def span_of(snug: Carried) -> tuple[float, float]:
    """The least and the most pull that may be tried.

    Args:
        snug: The job with snug legs, carried to its checks.

    Returns:
        From the pull of snug legs, which their own weight makes, to the pull the dead load makes
        by itself where walls give no help, else just past what the rope may be pulled; the same
        twice where nothing can be set. [N]

    Source: docs/theory/pretension.md eq. 1
    """
    setting = snug.forces.setting
    least = float(np.nan_to_num(setting.leg_pull).mean())
    if snug.job.support.help_stated:
        return least, PAST * allowable_pull(snug.tie.rope.strength, FITTING, 1.0)
    dead = float(np.nan_to_num(setting.lowered_pull).mean())
    return least, max(least, SHORT_OF * dead)


def aimed_at(band: Band, job: Job) -> float:
    """The pull to set legs to.

    Args:
        band: Between which pulls.
        job: In whose units it is a round figure.

    Returns:
        The middle of the band; where there is none, the most that no part forbids. [N]
    """
    if band.status == "none":
        return band.high or 0.0
    middle = ((band.low or 0.0) + (band.high or 0.0)) / 2
    step = parse("5 lb" if job.show == "us" else "20 N", "force")
    rounded = step * round(middle / step)
    return rounded if (band.low or 0.0) <= rounded <= (band.high or 0.0) else middle


@dataclass(frozen=True)
class Trial:
    """What was found at one pull: how far each check is over, and what it says."""

    pull: float
    over: dict[str, float]
    says: dict[str, str]

    def worst(self, ids: Iterable[str]) -> str:
        """The check that is over most among some."""
        return max(ids, key=lambda each: self.over.get(each, -1.0))

    def most_over(self, ids: Iterable[str]) -> float:
        """How far the worst of some is over 1; below 0 where all pass. [-]"""
        return max(self.over.get(each, -1.0) for each in ids)


class _Edge:
    """Between a pull that is refused and one that passes: halved by the line between them."""

    def __init__(self, refused: Trial, passing: Trial, ids: tuple[str, ...]) -> None:
        self.refused, self.passing, self.ids = refused, passing, ids
        self.steps = 0

    def next(self) -> float | None:
        """The pull to try; None when the edge is known. [N]"""
        bad, good = self.refused.pull, self.passing.pull
        if self.steps >= MOST_STEPS or abs(bad - good) <= CLOSE * max(bad, good):
            return None
        if self.steps % 4 == 3:
            return (bad + good) / 2
        line = self._crossing()
        near = CLOSE * max(bad, good) * (1.0 if good > bad else -1.0)
        # First a little past the line on the passing side, then just short of what passed, so
        # that the bracket closes from both sides.
        if abs(good - line) > abs(near):
            return line + 0.3 * near
        return good - 0.9 * near

    def _crossing(self) -> float:
        """Where the last of those that are over would be 1. [N]"""
        over, under = self.refused.over, self.passing.over
        ids = [each for each in self.ids if over.get(each, -1.0) > 0.0]
        found = [self._meets(over[each], under.get(each, -1.0)) for each in ids]
        return min(found, key=lambda pull: abs(pull - self.passing.pull))

    def _meets(self, above: float, below: float) -> float:
        """Where one would be 1: it goes with a power of the pull, or by a line near nought. [N]"""
        bad, good = self.refused.pull, self.passing.pull
        if 1.0 + below < _NEAR_NOUGHT:
            return bad + above / (above - below) * (good - bad)
        power = math.log1p(above) / (math.log1p(above) - math.log1p(below))
        return bad * math.pow(good / bad, power)

    def learn(self, trial: Trial) -> None:
        """Close in."""
        self.steps += 1
        if trial.most_over(self.ids) > 0.0:
            self.refused = trial
        else:
            self.passing = trial

    @property
    def because(self) -> str:
        """The check that draws the line."""
        return self.refused.worst(self.ids)


class BandSearch:
    """Search of the least and the most pull.

    Args:
        snug: The job with snug legs, carried to its checks: what fails there fails whatever
            is set.
    """

    def __init__(self, snug: Carried) -> None:
        self._walls_help = snug.job.support.help_stated
        self._never = {
            check.id
            for check in snug.checks.checks
            if check.decides and check.status == "fails" and check.id not in LOW
        }
        self._samples: list[Trial] = []
        least, most = span_of(snug)
        room = most - least
        self._left = [least + share * room for share in SAMPLES] if room > 0.0 else []
        self._edges: tuple[_Edge | None, _Edge | None] | None = None
        self._low_ids: tuple[str, ...] = ()
        self._high_ids: tuple[str, ...] = ()
        self._now = 0.0

    def propose(self) -> float | None:
        """The pull to check next; None when the band is known. [N]"""
        if len(self._samples) < len(self._left) and not self._both_ends_seen():
            self._now = self._left[len(self._samples)]
            return self._now
        if self._edges is None and self._samples:
            self._edges = self._bracket()
        for edge in self._edges or ():
            pull = edge.next() if edge else None
            if pull is not None:
                self._now = pull
                return pull
        return None

    def learn(self, found: Carried | RafterstayError) -> None:
        """Take what was found at the last pull: its checks, or why it cannot be held."""
        trial = self._judge(found)
        if self._edges is None:
            self._samples.append(trial)
            return
        for edge in self._edges:
            if edge and edge.next() is not None:
                edge.learn(trial)
                return

    def _both_ends_seen(self) -> bool:
        """One pull passed and the next does not: nothing above it is asked for.

        Without help of the walls the feet may come within their limit further up.
        """
        if not self._walls_help or not self._some_pull_holds("wall-spread"):
            return False
        good = [one.most_over(one.over.keys() - {"wall-spread"}) <= 0.0 for one in self._samples]
        return any(good) and not good[-1]

    def _judge(self, found: Carried | RafterstayError) -> Trial:
        if isinstance(found, RafterstayError):
            says = dict.fromkeys((*LOW, PROP), f"no answer there: {found.findings[0]}")
            return Trial(self._now, dict.fromkeys((*LOW, PROP), 1.0), says)
        over = dict.fromkeys(LOW, -1.0) | {PROP: -1.0, DRAWN_IN: drawn_in(found) - 1.0}
        says = {DRAWN_IN: "the walls are drawn in past the limit of their spread"}
        for check in found.checks.checks:
            counts = check.decides and check.id not in self._never
            if counts and check.status == "fails":
                over[check.id] = max((check.utilisation or 2.0) - 1.0, 1e-9)
            elif counts:
                over[check.id] = min((check.utilisation or 0.0) - 1.0, 0.0)
            says[check.id] = check.why
        return Trial(self._now, over, says)

    def band(self) -> Band:
        """What was found."""
        low, high = self._edges or (None, None)
        if not self._samples or self._edges is None:
            snug = "nothing lies on the roof while the legs are set: they can only be snug"
            return Band("found", 0.0, 0.0, SNUG, PROP, snug, snug, self._notes())
        least = low.passing.pull if low else None
        most = high.passing.pull if high else None
        found = least is not None and most is not None and least <= most
        low_because, low_why = self._reason(low, self._low_ids, SNUG, first=False)
        high_because, high_why = self._reason(high, self._high_ids, PROP, first=True)
        return Band(
            "found" if found else "none",
            least,
            most,
            low_because,
            high_because,
            low_why,
            high_why,
            self._notes(),
        )

    def _reason(
        self, edge: _Edge | None, ids: tuple[str, ...], open_end: str, *, first: bool
    ) -> tuple[str, str]:
        """Which check draws an edge, and what it says just beyond."""
        if edge is not None and edge.refused is edge.passing:
            return open_end, _OPEN[open_end]
        refused = edge.refused if edge else self._samples[0 if first else -1]
        because = refused.worst(edge.ids if edge else ids)
        return because, refused.says.get(because, _OPEN.get(because, because))

    def _notes(self) -> tuple[str, ...]:
        notes = [] if self._walls_help else [NO_HELP]
        if self._never:
            notes.append(
                "Left out, because they fail whatever the legs are set to: "
                f"{', '.join(sorted(self._never))}."
            )
        if self._samples and not self._some_pull_holds("wall-spread"):
            notes.append("No pretension brings wall-spread within its limit.")
        return tuple(notes)

    def _bracket(self) -> tuple[_Edge | None, _Edge | None]:
        """Where the least and the most lie among the samples."""
        samples = self._samples
        # Without help of the walls the pull under load is what it is, but a pull at setting
        # saves movement when the prop is lowered; with it, it is the other way round.
        low = ["leg-slack", "ring-sag"] if self._walls_help else ["ring-sag"]
        if not self._walls_help and self._some_pull_holds("wall-spread"):
            low.append("wall-spread")
        high = {each for one in samples for each in one.over} - {*low, "wall-spread"}
        self._low_ids, self._high_ids = tuple(low), tuple(sorted(high))
        return self._low_edge(), self._high_edge()

    def _some_pull_holds(self, check_id: str) -> bool:
        return any(one.over.get(check_id, -1.0) <= 0.0 for one in self._samples)

    def _low_edge(self) -> _Edge | None:
        """The first pull that is enough; None where none is."""
        before = None
        for one in self._samples:
            if one.most_over(self._low_ids) <= 0.0:
                snug = Trial(0.0, {}, {})
                return _Edge(before, one, self._low_ids) if before else _Edge(snug, snug, ())
            before = one
        return None

    def _high_edge(self) -> _Edge | None:
        """The last pull that is not too much; None where any is."""
        ids = (*self._low_ids, *self._high_ids)
        good = [one.most_over(ids) <= 0.0 for one in self._samples]
        if not any(good):
            ids = self._high_ids
            good = [one.most_over(ids) <= 0.0 for one in self._samples]
        if not any(good):
            return None
        last = good.index(True)
        while last + 1 < len(good) and good[last + 1]:
            last += 1
        passing = self._samples[last]
        after = self._samples[last + 1] if last + 1 < len(good) else passing
        return _Edge(after, passing, ids)
