"""``rafterstay tune``: one table of turns, its document, its exits."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.run import EXAMPLES, document, run

JOB = str(EXAMPLES / "reading-room.toml")
GOOD = EXAMPLES / "readings" / "reading-room-tie.csv"


def test_a_table_of_turns_is_printed() -> None:
    """Within 80 columns; tighten and slacken, never the other pair of words."""
    done = run("tune", JOB, str(GOOD))
    assert done.exit_code == 0, done.output
    assert "tighten" in done.stdout
    assert "slacken" in done.stdout
    assert "clockwise" not in done.stdout
    assert "10. Never pull a wall past plumb" in done.stdout
    assert all(len(line) <= 80 for line in done.stdout.splitlines())


def test_the_document_is_that_of_the_contract() -> None:
    """Its keys; turns are whole steps; the order makes up the turns."""
    found = document(run("tune", JOB, str(GOOD), "--json"))
    legs = [str(k) for k in range(1, 11)]
    assert list(found["turns"]) == legs == list(found["turns_exact"])
    for key in ("predicted_N", "predicted_sigma_N"):
        assert len(found[key]) == 10
    assert {"step_turn", "order", "unsure_of", "read_next"} <= set(found)
    assert all(
        (turn / found["step_turn"]) == pytest.approx(round(turn / found["step_turn"]))
        for turn in found["turns"].values()
    )
    made = dict.fromkeys(legs, 0.0)
    for step in found["order"]:
        made[str(step["leg"])] += step["turns"]
    assert made == pytest.approx(found["turns"])
    assert found["order"][-1]["pulls_N"] == pytest.approx(found["predicted_N"])
    visited = {step["leg"] for step in found["order"]}
    assert len(visited) <= len(found["outside"]) + 2
    assert found["kept"]
    assert found["geometry"] == "designed"


def test_a_reading_that_cannot_be_right_leaves_with_one(tmp_path: Path) -> None:
    """Leg 3 read at half as much again: named with its line."""
    text = GOOD.read_text(encoding="utf-8").replace("pull,3,76 lb", "pull,3,114 lb")
    wrong = tmp_path / "wrong.csv"
    wrong.write_text(text, encoding="utf-8")
    done = run("tune", JOB, str(wrong))
    assert done.exit_code == 1
    assert "pull of leg 3, line 7" in done.stdout
    found = document(run("tune", JOB, str(wrong), "--json"))
    assert [(one["what"], one["where"]) for one in found["blunders"]] == [("pull", 3)]


def test_a_band_and_a_roof_without_weight_are_refused(tmp_path: Path) -> None:
    """TU-010; TU-031 where nothing holds the pulls against the prop."""
    rows = tmp_path / "rows.csv"
    rows.write_text("what,where,value,sigma\npull,1,200 lb,\npull,2,210 lb,\n", encoding="utf-8")
    banded = run("tune", str(EXAMPLES / "bandstand.toml"), str(rows))
    assert banded.exit_code == 2
    assert "TU-010" in banded.output
    light = run("tune", str(EXAMPLES / "octagon.toml"), str(rows))
    assert light.exit_code == 3
    assert "TU-031" in light.output


def _changed(folder: Path, was: str, now: str) -> str:
    text = Path(JOB).read_text(encoding="utf-8")
    assert was in text
    place = folder / "changed.toml"
    place.write_text(text.replace(was, now), encoding="utf-8")
    return str(place)


def test_limits_without_the_roof_in_service_are_told(tmp_path: Path) -> None:
    """Snow that bends light hips flat: bolt and wood cannot be judged, and the error is named."""
    job = _changed(tmp_path, 'roof = "30 psf"', 'roof = "400 psf"')
    light = re.sub(r'(?m)^ply = "[^"]*"', 'ply = "2x4"', Path(job).read_text(encoding="utf-8"))
    Path(job).write_text(light, encoding="utf-8")
    assert "ST-002" in run("check", job).output
    said = " ".join(run("tune", job, str(GOOD)).stdout.split())
    assert "could not be worked out (ST-002;" in said
    assert "neither bolt nor wood" in said
    found = document(run("tune", job, str(GOOD), "--json"))
    assert any("(ST-002;" in one["text"] for one in found["warnings"])
    plain = document(run("tune", JOB, str(GOOD), "--json"))
    assert not any("could not be worked out" in one["text"] for one in plain["warnings"])
    assert found["most_at_any_step_N"] > plain["most_at_any_step_N"]


def test_feet_taken_as_held_are_told(tmp_path: Path) -> None:
    """A roof that stood before its tie, no wall help stated; with help stated they give."""
    job = _changed(tmp_path, 'set_when = "propped"', 'set_when = "standing"')
    said = " ".join(run("tune", job, str(GOOD)).stdout.split())
    assert "every foot is taken as held where it stands" in said
    found = document(run("tune", job, str(GOOD), "--json"))
    assert any("taken as held" in one["text"] for one in found["warnings"])
    text = Path(job).read_text(encoding="utf-8")
    stiff = 'walls = "stiff"\nwall_stiffness = ["1 kip/in", "4 kip/in"]'
    helped = re.sub(r"(?m)^walls = .*$", stiff, text)
    Path(job).write_text(helped, encoding="utf-8")
    assert "taken as held" not in run("tune", job, str(GOOD)).stdout


def test_the_clocks_are_drawn_once(tmp_path: Path) -> None:
    """An SVG with a clock for every leg that is turned; never overwritten unasked."""
    picture = tmp_path / "clocks.svg"
    assert run("tune", JOB, str(GOOD), "--clocks", str(picture)).exit_code == 0
    text = picture.read_text(encoding="utf-8")
    found = document(run("tune", JOB, str(GOOD), "--json"))
    turned = [leg for leg, turns in found["turns"].items() if turns]
    assert all(f"Leg {leg}<" in text for leg in turned)
    again = run("tune", JOB, str(GOOD), "--clocks", str(picture))
    assert again.exit_code == 2
    assert "CL-004" in again.output


def test_slackening_is_drawn_the_other_way_round(tmp_path: Path) -> None:
    """The picture alone must not send a hand the wrong way."""
    picture = tmp_path / "clocks.svg"
    run("tune", JOB, str(GOOD), "--clocks", str(picture))
    drawn = picture.read_text(encoding="utf-8")
    sweeps = re.findall(r" 0 [01] ([01]) [-\d.]+ [-\d.]+ Z", drawn)
    ways = re.findall(r">(tighten|slacken) ", drawn)
    assert {"tighten", "slacken"} == set(ways)
    assert [{"1": "tighten", "0": "slacken"}[sweep] for sweep in sweeps] == ways
