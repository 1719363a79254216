"""Answers in pencil bind every output, not the page alone."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from rafterstay import design, job
from rafterstay.cli.program import program
from rafterstay.job.examples import example
from rafterstay.web.entry import set_aside

GABLE = example("gable-workshop")
PENCIL = set_aside(set_aside(GABLE, "snow"), "walls")


def test_the_note_is_read_with_the_job() -> None:
    assert job.loads(GABLE).stand_ins == ()
    assert set(job.loads(PENCIL).stand_ins) == {"snow", "walls"}


def test_nothing_passes_with_a_stand_in_and_all_figures_stay() -> None:
    whole, provisional = (design.check(job.loads(text)) for text in (GABLE, PENCIL))
    assert (whole.checks.verdict, provisional.checks.verdict) == ("passes", "refer")
    assert [one.demand for one in whole.checks.checks] == [
        one.demand for one in provisional.checks.checks
    ]
    failing = set_aside(example("octagon"), "snow")
    assert design.check(job.loads(failing)).checks.verdict == "fails"


@pytest.mark.parametrize("command", ["check", "size", "compare"])
def test_no_command_says_that_a_provisional_job_passes(tmp_path: Path, command: str) -> None:
    (tmp_path / "job.toml").write_text(PENCIL, encoding="utf-8")
    done = CliRunner().invoke(program, [command, str(tmp_path)])
    assert done.exit_code == 1
    assert not re.search(r"\bpasses\b(?! until)", done.stdout, re.IGNORECASE)
    done = CliRunner().invoke(program, [command, str(tmp_path), "--json"])
    document = json.loads(done.stdout)
    found = [one["text"] for one in document["warnings"] if one["code"] == "stand-ins"]
    assert len(found) == 1
    assert "snow" in found[0]
    verdicts = [document.get("verdict"), *(one["verdict"] for one in document.get("schemes", ()))]
    assert "passes" not in verdicts
