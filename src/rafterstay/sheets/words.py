"""The words a reader sees for what the code calls by short names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from rafterstay.checks.nouns import Status, Verdict

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["BRIEF", "GEOMETRY", "STATUS", "VERDICT", "status_words", "verdict_words"]

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
