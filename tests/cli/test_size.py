"""`size`: every field of its document, its exit codes, and what it refuses."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import pytest

from tests.cli.run import EXAMPLES, document, run

PAVILION = EXAMPLES / "pavilion.toml"
PARTS = {"rope", "thimble", "sleeve", "turnbuckle", "bolt", "ply"}
HEIGHT = {
    *("height_ratio", "height_m", "stated", "lower_third_ends", "max_pull_N"),
    *("rafter_utilisation", "headroom_m", "verdict", "weakest", "duty"),
}


@pytest.fixture(scope="module")
def sized() -> tuple[int, dict[str, Any]]:
    result = run("size", str(PAVILION), "--ply", "--height", "--json")
    assert result.stderr == "Trying sizes ...\n"
    return result.exit_code, document(result)


def test_the_document_has_the_keys_of_the_contract(sized: tuple[int, dict[str, Any]]) -> None:
    code, found = sized
    assert set(found) == {
        *("schema", "command", "job_sha256", "geometry", "assumed", "warnings"),
        *("verdict", "parts", "target_N", "driven_by", "one_size_down", "unmet", "stays"),
        "heights",
    }
    assert (code, found["schema"], found["command"]) == (0, 1, "size")
    assert (found["verdict"], found["geometry"]) == ("passes", "designed")
    assert found["job_sha256"] == hashlib.sha256(PAVILION.read_bytes()).hexdigest()


def test_every_part_has_what_drives_it_and_what_one_size_down_does(
    sized: tuple[int, dict[str, Any]],
) -> None:
    found = sized[1]
    assert set(found["parts"]) == PARTS
    assert {one["part"] for one in found["driven_by"]} == PARTS
    assert all(set(one) == {"part", "check"} and one["check"] for one in found["driven_by"])
    for one in found["one_size_down"]:
        assert set(one) == {"part", "name", "fails", "refers"}
        assert (one["name"] is None) == (one["fails"] is None)
        assert one["name"] != found["parts"][one["part"]]
    assert (found["unmet"], found["stays"]) == ([], [])


def test_heights_go_up_and_mark_what_is_stated_and_the_third(
    sized: tuple[int, dict[str, Any]],
) -> None:
    rows = sized[1]["heights"]
    assert all(set(row) == HEIGHT for row in rows)
    ratios = [row["height_ratio"] for row in rows]
    assert ratios == sorted(ratios)
    (stated,) = (row for row in rows if row["stated"])
    (third,) = (row for row in rows if row["lower_third_ends"])
    assert third["height_ratio"] == pytest.approx(1 / 3)
    # The pull of legs at a height goes with 1/(1 - Hc/Hr).
    pulls = {row["height_ratio"]: row["max_pull_N"] for row in rows if row["max_pull_N"]}
    half = min(pulls, key=lambda ratio: abs(ratio - 0.5))
    share = (1.0 - stated["height_ratio"]) / (1.0 - half)
    assert pulls[half] / stated["max_pull_N"] == pytest.approx(share, rel=0.02)
    assert all((row["max_pull_N"] is None) == (row["verdict"] is None) for row in rows)


def test_the_parts_that_are_told_pass_when_they_are_put_into_the_job(
    sized: tuple[int, dict[str, Any]], tmp_path: Path
) -> None:
    from rafterstay.job import set_value

    text = PAVILION.read_text(encoding="utf-8")
    for part, name in sized[1]["parts"].items():
        text = set_value(text, "rafter.ply" if part == "ply" else f"parts.{part}", name)
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    assert run("check", str(tmp_path)).exit_code == 0


WELDED = {
    "tie.layout": "ring",
    "tie.ring": "welded",
    "tie.ring_radius": "4 in",
    "tie.ring_bar": "1 in",
    "tie.ring_weld": "complete-penetration",
    "limits.ring_sag": "2 in",
    "pretension.target": "120 lb",
}


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_bar_that_is_told_passes_when_it_is_put_into_the_job(unit: str, tmp_path: Path) -> None:
    from rafterstay.job import set_value

    text = PAVILION.read_text(encoding="utf-8")
    stated = WELDED if unit == "in" else WELDED | {"tie.ring_bar": "25 mm", "job.show": "si"}
    for key, value in stated.items():
        text = set_value(text, key, value)
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    result = run("size", str(tmp_path), "--json")
    found = document(result)
    assert (result.exit_code, found["verdict"], found["unmet"]) == (0, "passes", [])
    assert set(found["parts"]) == PARTS | {"ring_bar"}
    assert found["parts"]["ring_bar"].endswith(f" {unit}")
    for part, name in found["parts"].items():
        key = {"ply": "rafter.ply", "ring_bar": "tie.ring_bar"}.get(part, f"parts.{part}")
        text = set_value(text, key, name)
    path.write_text(text, encoding="utf-8")
    assert run("check", str(tmp_path)).exit_code == 0
    (down,) = (one for one in found["one_size_down"] if one["part"] == "ring_bar")
    assert (down["fails"], down["refers"]) == ("leg-lost", True)
    path.write_text(set_value(text, "tie.ring_bar", down["name"]), encoding="utf-8")
    checks = document(run("check", str(tmp_path), "--json"))["checks"]
    assert [one["id"] for one in checks if one["status"] != "passes"] == ["leg-lost"]


def test_words_tell_the_steel_that_is_kept_and_no_bar_where_there_is_none(tmp_path: Path) -> None:
    text = PAVILION.read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    # Straight across, with what a ring would be made of: it has none.
    assert "bar" not in run("size", str(tmp_path)).stdout.split("Cautions")[0]
    from rafterstay.job import set_value

    for key, value in WELDED.items():
        text = set_value(text, key, value)
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    words = run("size", str(tmp_path)).stdout
    row = next(line for line in words.splitlines() if line.startswith("ring bar"))
    assert row.split("  ")[-1].strip() == "refers leg-lost"
    assert "bar of ASTM A36, weld complete penetration" in " ".join(words.split())


def test_only_what_was_asked_for_is_sized_and_swept() -> None:
    found = document(run("size", str(PAVILION), "--json"))
    assert "heights" not in found
    assert "ply" not in {one["part"] for one in found["one_size_down"]}
    assert found["parts"]["ply"] in PAVILION.read_text(encoding="utf-8")


def test_a_check_that_no_size_meets_leaves_with_one(tmp_path: Path) -> None:
    text = (EXAMPLES / "octagon.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    result = run("size", str(tmp_path), "--json")
    found = document(result)
    assert (result.exit_code, found["verdict"]) == (1, "fails")
    assert found["unmet"]
    for one in found["unmet"]:
        assert set(one) == {"check", "least_utilisation", "parts"}
        assert one["least_utilisation"] > 1.0
    told = {one["check"] for one in found["stays"]}
    assert {one["check"] for one in found["unmet"]} <= told
    assert all(set(one) == {"check", "status", "why"} for one in found["stays"])


def test_words_stay_within_eighty_columns() -> None:
    result = run("size", str(PAVILION), "--ply", "--height")
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert any(line.startswith("With these parts: PASSES") for line in lines)
    assert "one size down" in result.stdout.lower()


@pytest.mark.parametrize("command", ["size", "compare"])
@pytest.mark.parametrize(
    ("typed", "code"),
    [
        pytest.param(["gone"], "IN-025", id="no such job"),
        pytest.param([], "CL-001", id="no job"),
        pytest.param(["a", "b"], "CL-001", id="two jobs"),
        pytest.param(["a", "--fast"], "CL-001", id="no such option"),
    ],
)
def test_bad_input_leaves_with_two(command: str, typed: list[str], code: str) -> None:
    result = run(command, *typed, "--json")
    found = document(result)
    assert result.exit_code == 2
    assert [one["code"] for one in found["errors"]] == [code]
    assert found["command"] == command


@pytest.mark.parametrize("command", ["size", "compare"])
def test_a_job_with_a_fault_is_told_with_its_place(command: str, tmp_path: Path) -> None:
    text = PAVILION.read_text(encoding="utf-8").replace("jaw-jaw 1/2 in", "jaw-jaw 1/3 in")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    result = run(command, str(tmp_path), "--json")
    (fault,) = document(result)["errors"]
    assert (result.exit_code, fault["code"]) == (2, "IN-010")
    assert fault["key"] == "parts.turnbuckle"
    assert fault["line"] > 1
    assert fault["remedy"]


def test_a_roof_nothing_holds_leaves_with_three(tmp_path: Path) -> None:
    text = (EXAMPLES / "octagon.toml").read_text(encoding="utf-8")
    text = text.replace('wind = { uplift = "0 psf" }', 'wind = { uplift = "90 psf" }')
    assert '"90 psf"' in text
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    result = run("size", str(tmp_path), "--json")
    assert result.exit_code == 3
    assert document(result)["errors"][0]["code"].startswith("ST-")
