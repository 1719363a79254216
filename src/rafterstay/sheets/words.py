"""The words a reader sees for what the code calls by short names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from rafterstay.checks.nouns import Status, Verdict

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.statics.nouns import Forces
    from rafterstay.tie.nouns import Tie

__all__ = [
    "BRIEF",
    "DISPLACED",
    "GEOMETRY",
    "STATUS",
    "VERDICT",
    "proof_words",
    "status_words",
    "verdict_words",
]

VERDICT: Final[dict[Verdict, str]] = {
    "passes": "Passes",
    "refer": "Engineer must decide",
    "fails": "Does not pass",
}
STATUS: Final[dict[Status, str]] = {
    "passes": "passes",
    "refer": "engineer decides",
    "fails": "DOES NOT PASS",
}
BRIEF: Final[dict[Status, str]] = STATUS | {"refer": "engineer"}
GEOMETRY: Final[dict[Literal["designed", "measured"], str]] = {
    "designed": "as designed, not measured",
    "measured": "as measured",
}
DISPLACED: Final = "passes end when no pull changes by more than 1e-5 of the largest"


def verdict_words(verdict: Verdict, job: Job) -> str:
    """A verdict as a reader sees it; with stand-ins in the job it is provisional.

    Args:
        verdict: Of the whole check.
        job: As stated.

    Returns:
        Words.
    """
    return "Provisional" if job.stand_ins and verdict != "fails" else VERDICT[verdict]


def status_words(status: Status, job: Job, *, brief: bool = False) -> str:
    """The status of one check; with stand-ins in the job none passes yet.

    Args:
        status: Of the check.
        job: As stated.
        brief: In a narrow column.

    Returns:
        Words.
    """
    if job.stand_ins and status == "passes":
        return "so far"
    return (BRIEF if brief else STATUS)[status]


def proof_words(tie: Tie, forces: Forces) -> str:
    """What is proved of the pulls, and of a stiff ring what can be told in its place.

    Args:
        tie: The tie.
        forces: All states solved.

    Returns:
        Words that follow "proved".

    Limits: first order; nothing is proved of pulls on the displaced roof.
    Source: docs/theory/error-bound.md, Limits
    """
    if tie.layout == "ring" and tie.ring in {"welded", "plate"}:
        left = float(forces.residual.max())
        return f"no pull, for the ring turns; its last pass left {left:.1e} N or N m out of balance"
    return f"leg pulls of first order to within {float(forces.force_error.max()):.1e} N"
