"""Running the command line inside a test."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from rafterstay.cli.program import program

__all__ = ["EXAMPLES", "ROOT", "document", "run", "start"]

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"


def run(*typed: str) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(program, list(typed))


def document(result: Result) -> dict[str, Any]:
    """The one document on standard output; NaN and infinity are refused."""

    def refuse(name: str) -> None:
        raise AssertionError(name)

    found: dict[str, Any] = json.loads(result.stdout, parse_constant=refuse)
    return found


def start(*typed: str, **more: Any) -> subprocess.Popen[str]:
    """Start a command in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "rafterstay.cli", *typed],
        env=os.environ | {"PYTHONPATH": str(ROOT / "src")},
        encoding="utf-8",
        **{"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | more,
    )
