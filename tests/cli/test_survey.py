"""``rafterstay survey`` and ``check --survey``: list, readings, frame as it stands."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rafterstay.cli.program import program

OCTAGON = "examples/octagon.toml"
GOOD, SLIP = "examples/readings/octagon.csv", "examples/readings/octagon-slip.csv"


def _run(*typed: str) -> Result:
    return CliRunner().invoke(program, list(typed))


def test_without_readings_it_lists_what_to_take() -> None:
    """In walking order, within 80 columns, with the expected figure beside each."""
    done = _run("survey", OCTAGON)
    assert done.exit_code == 0
    assert "1 to 3" in done.output
    assert all(len(line) <= 80 for line in done.output.splitlines())


def test_the_form_can_be_filled_in_and_read_back(tmp_path: Path) -> None:
    """Every value blank; blanks are refused one by one, with their lines."""
    form = tmp_path / "form.csv"
    assert _run("survey", OCTAGON, "--form", str(form)).exit_code == 0
    lines = form.read_text().splitlines()
    assert lines[0] == "from,to,kind,value,sigma"
    again = _run("survey", OCTAGON, "--form", str(form))
    assert again.exit_code == 2
    assert "CL-004" in again.output
    blank = _run("survey", OCTAGON, str(form))
    assert blank.exit_code == 2
    assert blank.output.count("SV-") >= 20


def test_a_slip_is_named_and_leaves_with_one() -> None:
    """The reading, the slip that explains it, and the ± of what is left."""
    done = _run("survey", OCTAGON, SLIP)
    assert done.exit_code == 1
    assert "6 to 8" in done.output
    assert "an inch" in done.output
    assert all(len(line) <= 80 for line in done.output.splitlines())
    good = _run("survey", OCTAGON, GOOD)
    assert good.exit_code == 0
    assert "No reading disagrees" in good.output


def test_the_document_is_that_of_the_contract() -> None:
    """Keys, units in them, no NaN."""
    done = _run("survey", OCTAGON, SLIP, "--json")
    found = json.loads(done.stdout, parse_constant=pytest.fail)
    assert found["geometry"] == "measured"
    assert {
        "points",
        "blunders",
        "redundancy",
        "smallest_hidden_m",
        "legs",
        "best_centre_m",
    } <= set(found)
    assert found["blunders"][0]["from"] == "6"
    assert len(found["legs"]) == 8
    assert set(found["points"][0]) == {"id", "x_m", "y_m", "z_m", "sigma_m"}


def test_check_takes_the_frame_as_it_stands() -> None:
    """Geometry is measured; legs differ; the reading left out is told."""
    done = _run("check", OCTAGON, "--survey", SLIP, "--json")
    found = json.loads(done.stdout)
    assert done.exit_code == 1
    assert found["geometry"] == "measured"
    pulls = [leg["max_tension_N"] for leg in found["legs"]]
    assert max(pulls) - min(pulls) > 10
    assert [one["code"] for one in found["warnings"]].count("blunder") == 1
    assert all(0 <= leg["azimuth_deg"] < 360 for leg in found["legs"])


def test_readings_that_cannot_be_read_are_refused(tmp_path: Path) -> None:
    """SV-041; and a wrong header with its line."""
    missing = _run("check", OCTAGON, "--survey", str(tmp_path / "none.csv"))
    assert missing.exit_code == 2
    assert "SV-041" in missing.output
    bad = tmp_path / "bad.csv"
    bad.write_text("from,to,value\n1,2,9 ft\n")
    refused = _run("survey", OCTAGON, str(bad))
    assert refused.exit_code == 2
    assert "SV-" in refused.output
    assert "bad.csv:1" in refused.output
