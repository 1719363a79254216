"""A check: what a part is asked, what it can give, and the lines that say so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rafterstay.core.sources import Source
from rafterstay.core.working import Line

__all__ = ["Check", "Checks", "Status", "Verdict"]

Status = Literal["passes", "fails", "refer"]
Verdict = Literal["passes", "refer", "fails"]


@dataclass(frozen=True)
class Check:
    """One part against one clause.

    Attributes:
        id: A check id of the contract, for example ``bolt-yield``.
        part: What is checked, in the trade's words, for example ``bolt``.
        demand: In ``unit``.
        capacity: In ``unit``; None where no capacity is stated (status ``refer``).
        unit: SI: ``N``, ``m``, ``Pa``, ``1``.
        utilisation: demand / capacity; None without a capacity.
        status: ``passes``, ``fails`` or ``refer``.
        decides: False for advice that stands beside the verdict.
        why: One sentence in plain words: what it asks, and what would help.
        sources: Clauses and tables used.
        combination: Id of the deciding state; empty where none.
        leg: Deciding leg, 1-based; None where none.
        working: Lines a reviewer can redo.
    """

    id: str
    part: str
    demand: float
    capacity: float | None
    unit: str
    utilisation: float | None
    status: Status
    decides: bool
    why: str
    sources: tuple[Source, ...]
    combination: str
    leg: int | None
    working: tuple[Line, ...]


@dataclass(frozen=True)
class Checks:
    """All checks, worst first, and what they come to.

    Attributes:
        verdict: ``fails`` if any deciding check fails, else ``refer`` if any refers.
        weakest: Id of the fullest deciding check.
        duty: ``rafter tie``, ``collar tie``, ``both`` or ``neither``.
        prescriptive: Whether the code's own tables cover the roof.
        checks: Worst first.
        duty_why: Reason of the duty, one sentence.
        prescriptive_why: Everything that puts the roof outside, or what keeps it within.
    """

    verdict: Verdict
    weakest: str
    duty: str
    prescriptive: Literal["within", "outside"]
    checks: tuple[Check, ...]
    duty_why: str = ""
    prescriptive_why: str = ""
