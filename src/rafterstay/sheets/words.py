"""The words a reader sees for what the code calls by short names."""

from __future__ import annotations

from typing import Final, Literal

from rafterstay.checks.nouns import Status, Verdict

__all__ = ["BRIEF", "GEOMETRY", "STATUS", "VERDICT"]

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
