"""What can go wrong, as one tree, and how each fault is told.

::

    RafterstayError
    |-- InputError (ValueError)      the job, a reading or an argument is wrong
    |-- DataError (LookupError)      a catalogue has no such row, or a row without a source
    |-- Mechanism                    a part is loose: no equilibrium, the part is named
    |-- NotConverged                 iterations, residual and the worst node are given
    |-- StoreError                   a job folder cannot be read or written
    `-- InternalError                ours to mend
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = [
    "DataError",
    "Finding",
    "InputError",
    "InternalError",
    "Mechanism",
    "NotConverged",
    "RafterstayError",
    "StoreError",
]


@dataclass(frozen=True)
class Finding:
    """One fault: where it stands, what was found, what is allowed, what to do.

    ``bound`` completes "..., but it must be ..."; ``remedy`` is one sentence.
    """

    code: str
    key: str = ""
    value: str = ""
    bound: str = ""
    remedy: str = ""
    file: str = ""
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        place = self.file + (f":{self.line}" if self.line is not None else "")
        if self.line is not None and self.column is not None:
            place += f":{self.column}"
        said = self.key + (f" = {self.value}" if self.value else "")
        if self.bound:
            said += f", but it must be {self.bound}" if said else self.bound
        parts = [self.code, *([f"{place}:"] if place else []), said.rstrip(".") + "."]
        return " ".join(parts) + (f" {self.remedy}" if self.remedy else "")


class RafterstayError(Exception):
    """Every fault this package raises on purpose; carries one or more findings."""

    def __init__(self, findings: Finding | Iterable[Finding]) -> None:
        self.findings: tuple[Finding, ...] = (
            (findings,) if isinstance(findings, Finding) else tuple(findings)
        )
        super().__init__("\n".join(str(finding) for finding in self.findings))


class InputError(RafterstayError, ValueError):
    """What the user stated cannot be used; all findings at once."""


class DataError(RafterstayError, LookupError):
    """A table has no such row, or a row that must not be used."""


class Mechanism(RafterstayError):
    """Nothing holds the load: ``loose`` names the part that moves."""

    def __init__(self, findings: Finding | Iterable[Finding], loose: str) -> None:
        super().__init__(findings)
        self.loose = loose


class NotConverged(RafterstayError):
    """The solver stopped before its answer was proved."""

    def __init__(
        self, finding: Finding, *, iterations: int, residual: float, worst_node: str
    ) -> None:
        super().__init__(finding)
        self.iterations = iterations
        self.residual = residual
        self.worst_node = worst_node


class StoreError(RafterstayError):
    """A job folder or file cannot be read or written as asked."""


class InternalError(RafterstayError):
    """A promise inside the package was broken; please report it."""
