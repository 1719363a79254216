"""What a job comes to: the governing states at once, the whole verdict after."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

import numpy as np

from rafterstay import design
from rafterstay.catalog import STANDARD, Catalogue
from rafterstay.core.errors import Finding, RafterstayError
from rafterstay.design import Design
from rafterstay.web.reading import job_of

__all__ = ["Answer", "Answers"]

_Mark = tuple[str, Catalogue]
_KEPT: Final = 24  # finished answers kept
# Where nothing is known yet: even snow, and snow on one side towards a leg and a side.
_FIRST_LOOK: Final = frozenset(
    {"D/dead", "D+S/balanced", "D+S/unbalanced-000", "D+0.75S/unbalanced-000"}
)


@dataclass(frozen=True)
class Answer:
    """An answer, or why there is none.

    Attributes:
        design: None where there is no answer.
        whole: Every pattern was solved.
        faults: Why there is no answer.
    """

    design: Design | None
    whole: bool
    faults: tuple[Finding, ...] = ()


class Answers:
    """Answers of this run by the job they belong to; threads may share them."""

    def __init__(self) -> None:
        self._kept: OrderedDict[_Mark, Answer] = OrderedDict()
        self._governing: dict[str, frozenset[str]] = {}
        self._busy = threading.Lock()

    def known(self, text: str, shelves: Catalogue) -> Answer | None:
        """The whole answer, if it was worked out before."""
        with self._busy:
            return self._kept.get(_mark(text, shelves))

    def quick(self, text: str, name: str, shelves: Catalogue = STANDARD) -> Answer:
        """The states that governed this job last time; the whole answer where it is known.

        Args:
            text: The job file.
            name: Of the job, whose last answer says which states govern.
            shelves: Where its parts are looked up.

        Returns:
            An answer; not whole unless it was known.
        """
        found = self.known(text, shelves)
        if found is not None:
            return found
        return _answer(text, self._governing.get(name, _FIRST_LOOK), shelves)

    def whole(self, text: str, name: str, shelves: Catalogue = STANDARD) -> Answer:
        """Every state.

        Args:
            text: The job file.
            name: Of the job.
            shelves: Where its parts are looked up.

        Returns:
            A whole answer, or the faults.
        """
        found = self.known(text, shelves)
        if found is None:
            found = _answer(text, frozenset(), shelves)
            with self._busy:
                self._kept[_mark(text, shelves)] = found
                while len(self._kept) > _KEPT:
                    self._kept.popitem(last=False)
        if found.design is not None:
            self._governing[name] = _governing(found.design)
        return found


def _answer(text: str, only: frozenset[str], shelves: Catalogue) -> Answer:
    whole = not only
    try:
        return Answer(design.check(job_of(text, shelves), only=only), whole)
    except RafterstayError as fault:
        return Answer(None, whole, fault.findings)


def _governing(done: Design) -> frozenset[str]:
    """Cases that set a leg's largest pull or decide a check."""
    states = done.forces.states
    rows = {int(row) for row in np.asarray(done.forces.leg_pull).argmax(axis=0)}
    most = int(np.asarray(done.forces.leg_pull).max(axis=1).argmax())
    found = {states[most].case.id, *(states[row].case.id for row in sorted(rows)[:2])}
    decided = {check.combination for check in done.checks.checks if check.decides}
    found |= {state.case.id for state in states if state.id in decided}
    return frozenset(found)


def _mark(text: str, shelves: Catalogue) -> _Mark:
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest(), shelves
