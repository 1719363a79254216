"""What the command line promises: exit codes, commands to come, and how a fault is told."""

from __future__ import annotations

import platform
import traceback
from enum import IntEnum
from pathlib import Path
from typing import Any, Final

import click

from rafterstay import __version__
from rafterstay.core.errors import (
    Finding,
    InternalError,
    Mechanism,
    NotConverged,
    RafterstayError,
)

__all__ = ["LATER", "SCHEMA", "Exit", "envelope", "error_document", "findings_of"]

SCHEMA: Final = 1
_PACKAGE: Final = Path(__file__).parent.parent

# Commands of the contract that this version refuses by name.
LATER: Final = (
    "raise",
    "upkeep",
    "study",
)


class Exit(IntEnum):
    """What the exit code says."""

    PASSES = 0
    ATTENTION = 1  # a check fails or an engineer must decide
    REFUSED = 2  # bad input or usage
    NO_ANSWER = 3  # a part is loose, or no equilibrium was proved
    BROKEN = 4  # anything else
    INTERRUPTED = 130


def findings_of(error: BaseException) -> tuple[Exit, tuple[Finding, ...]]:
    """Exit code and findings of whatever ended a command.

    Args:
        error: What was raised.

    Returns:
        The code and at least one finding.
    """
    if isinstance(error, KeyboardInterrupt | click.Abort):
        remedy = "Nothing was left half written. Run the command again."
        return Exit.INTERRUPTED, (Finding("CL-007", bound="interrupted", remedy=remedy),)
    if isinstance(error, click.ClickException):
        remedy = "Run the command with --help."
        said = error.format_message().rstrip(".")
        return Exit.REFUSED, (Finding("CL-001", bound=said, remedy=remedy),)
    if isinstance(error, Mechanism | NotConverged):
        return Exit.NO_ANSWER, error.findings
    if isinstance(error, RafterstayError) and not isinstance(error, InternalError):
        return Exit.REFUSED, error.findings
    return Exit.BROKEN, (_unexpected(error),)


def _unexpected(error: BaseException) -> Finding:
    """The message and the line to report of a fault that is ours."""
    ours = [
        f"{Path(frame.filename).relative_to(_PACKAGE)}:{frame.lineno}"
        for frame in traceback.extract_tb(error.__traceback__)
        if Path(frame.filename).is_relative_to(_PACKAGE)
    ]
    where = f" at {ours[-1]}" if ours else ""
    said = str(error).splitlines()[0] if str(error) else "no message"
    report = f"rafterstay {__version__}, Python {platform.python_version()}, "
    return Finding(
        "CL-006",
        bound=f"something went wrong inside the program: {said}",
        remedy="Please report it with your job file and this line: "
        f"{report}{type(error).__name__}{where}.",
    )


def envelope(command: str | None, **more: Any) -> dict[str, Any]:
    """What every JSON document starts with.

    Args:
        command: The command's name; None where none was understood.
        more: Replaces ``job_sha256``, ``geometry``, ``assumed`` or ``warnings``, and adds keys.

    Returns:
        A document without NaN or infinity, ready for ``json.dumps``.
    """
    return {
        "schema": SCHEMA,
        "command": command,
        "job_sha256": None,
        "geometry": "designed",
        "assumed": [],
        "warnings": [],
    } | more


def error_document(command: str | None, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """The one document of a command that gave no answer.

    Args:
        command: The command's name; None where none was understood.
        findings: What was found.

    Returns:
        The document.
    """
    errors = [
        {
            "code": found.code,
            "file": found.file or None,
            "line": found.line,
            "column": found.column,
            "key": found.key or None,
            "value": found.value or None,
            "bound": found.bound or None,
            "remedy": found.remedy or None,
        }
        for found in findings
    ]
    return envelope(command, errors=errors)
