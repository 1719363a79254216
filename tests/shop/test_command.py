"""`cut` on real jobs: the contract's keys, exit codes, widths and refusals."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path
from typing import Any

import pytest

from rafterstay.sheets.literal import cells
from rafterstay.shop.press_file import COLUMNS
from rafterstay.shop.press_log import LEG_EYES, pulled_name
from rafterstay.store import open_folder
from tests.cli.run import EXAMPLES, document, run
from tests.shop.benches import INCH

OCTAGON = str(EXAMPLES / "octagon.toml")
SURVEY = str(EXAMPLES / "readings" / "octagon.csv")


@pytest.fixture(scope="module")
def answer() -> dict[str, Any]:
    result = run("cut", OCTAGON, "--json")
    assert result.exit_code == 1
    return document(result)


def test_the_document_has_the_keys_of_the_contract(answer: dict[str, Any]) -> None:
    assert {"schema", "command", "job_sha256", "geometry", "assumed", "warnings"} <= set(answer)
    assert {"pieces", "turnbuckles", "ring_rope", "rope_to_buy", "reels"} <= set(answer)
    assert (answer["command"], answer["geometry"]) == ("cut", "designed")
    assert answer["job_sha256"] == hashlib.sha256(Path(OCTAGON).read_bytes()).hexdigest()
    assert len(answer["pieces"]) == 16
    for piece in answer["pieces"]:
        assert {"leg", "end", "finished_m", "cut_m", "marks_m"} <= set(piece)
        assert piece["end"] in ("outer", "inner")
        marks = [*piece["marks_m"].values()]
        assert marks == sorted(marks)
        assert marks[-1] == piece["cut_m"] > piece["finished_m"]
        # Every mark is a whole sixteenth.
        assert all(abs(m / (INCH / 16) - round(m / (INCH / 16))) < 1e-6 for m in marks)
    wanted = {"leg", "set_m", "expected_m", "shorten_left_m", "lengthen_left_m"}
    for body in answer["turnbuckles"]:
        assert wanted | {"runs_out_probability"} <= set(body)
        terms = sum(term["length_m"] for term in body["made_of"])
        assert terms == pytest.approx(body["distance_m"], abs=1e-9)


def test_not_measured_is_told_and_leaves_with_one(answer: dict[str, Any]) -> None:
    assert answer["provisional"] is True
    assert "not-measured" in [one["code"] for one in answer["warnings"]]
    text = run("cut", OCTAGON)
    assert text.exit_code == 1
    assert "as designed, not measured" in text.stdout
    assert "PROVISIONAL: do not cut yet" in text.stdout


@pytest.mark.parametrize("name", ["octagon", "reading-room"])
def test_no_line_is_wider_than_eighty_columns(name: str) -> None:
    lines = run("cut", str(EXAMPLES / f"{name}.toml")).stdout.splitlines()
    assert [line for line in lines if cells(line) > 80] == []
    for heading in ("Pieces", "Running marks", "Why they fit", "Turnbuckles", "Ring rope"):
        assert heading in lines
    for heading in ("To buy", "Pressing", "Proof pull", "Effort", "Ready", "Cautions"):
        assert heading in lines


def test_a_surveyed_frame_is_cut_for_as_it_stands() -> None:
    result = run("cut", OCTAGON, "--survey", SURVEY, "--json")
    found = document(result)
    assert result.exit_code == 0, found["warnings"]
    assert (found["geometry"], found["provisional"]) == ("measured", False)
    distances = [body["distance_m"] for body in found["turnbuckles"]]
    assert len(set(distances)) == 8
    assert all(0 < body["distance_sigma_m"] < 0.004 for body in found["turnbuckles"])
    assert run("cut", OCTAGON, "--survey", SURVEY).exit_code == 0


def test_a_wrong_reading_is_named_and_stands_against_cutting() -> None:
    slip = str(EXAMPLES / "readings" / "octagon-slip.csv")
    result = run("cut", OCTAGON, "--survey", slip, "--json")
    assert result.exit_code == 1
    assert "blunder" in [one["code"] for one in document(result)["warnings"]]


def test_trials_shift_the_cuts(answer: dict[str, Any]) -> None:
    expected = answer["trial_eye"]["expected_m"]
    longer = f"{(expected + 0.003) * 1000:.2f} mm"
    after = document(run("cut", OCTAGON, "--trial-eye", longer, "--json"))
    assert after["trial_eye"]["from"] == "trial eye"
    before_cut = sum(piece["cut_m"] for piece in answer["pieces"][:2])
    assert before_cut - sum(p["cut_m"] for p in after["pieces"][:2]) == pytest.approx(
        0.012, abs=0.0017
    )
    reading = f"{(answer['pieces'][2]['between_crowns_m'] + 0.006) * 1000:.2f} mm"
    leg = document(run("cut", OCTAGON, "--trial-leg", "2", "outer", reading, "--json"))
    assert leg["trial_eye"]["growth_m"] == pytest.approx(
        answer["trial_eye"]["growth_m"] + 0.003, abs=1e-5
    )


@pytest.mark.parametrize(
    ("options", "code"),
    [
        (("--survey", "nowhere.csv"), "SV-041"),
        (("--trial-eye", "3"), "IN-002"),
        (("--trial-eye", "9 ft"), "IN-067"),
        (("--trial-leg", "9", "outer", "4 ft"), "CL-008"),
        (("--reel", "-4 ft"), "CL-008"),
        (("--reel", "3 ft"), "IN-068"),
        (("--press-log", "nowhere.csv"), "IN-069"),
        (("--bench", "60"), "IN-002"),
        (("--tools", "0"), "CL-001"),
    ],
)
def test_what_cannot_be_used_is_refused_by_name(options: tuple[str, ...], code: str) -> None:
    result = run("cut", OCTAGON, *options, "--json")
    assert result.exit_code == 2
    assert [one["code"] for one in document(result)["errors"]] == [code]


def press_file(path: Path, *, gauge: str) -> Path:
    lines = [",".join(COLUMNS)]
    for leg in range(1, 9):
        lines += [
            f'{leg},{eye},B-17,copper oval 1/4 in,"bench tool",3,2-1-3,9/16 in,3/8 in,'
            f"{gauge if (leg, eye) == (5, 'ring eye') else 'passed'},Ida,2026-05-02"
            for eye in LEG_EYES
        ]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_the_press_log_is_kept_and_holds_a_leg_back(tmp_path: Path) -> None:
    room = tmp_path / "room"
    room.mkdir()
    shutil.copy(OCTAGON, room / "job.toml")
    pressed = press_file(tmp_path / "may.csv", gauge="not gauged")
    first = document(run("cut", str(room), "--press-log", str(pressed), "--json"))
    assert first["presses_logged"] == 32
    assert [leg["ready"] for leg in first["legs_ready"]] == [False] * 8
    with open_folder(room) as folder:
        assert len(folder.entries("press_log")) == 32
        folder.append(
            "proof_pulls",
            {
                "part": pulled_name("B-17", "bench tool"),
                "tool": "come-along, scale 3",
                "pull_N": 28_900.0,
                "held_s": 60.0,
                "result": "held",
            },
            who="Ida",
            taken="2026-05-02",
        )
    again = document(run("cut", str(room / "job.toml"), "--press-log", str(pressed), "--json"))
    assert again["presses_logged"] == 0
    assert [leg["leg"] for leg in again["legs_ready"] if not leg["ready"]] == [5]
    gauged = press_file(tmp_path / "june.csv", gauge="passed")
    last = document(run("cut", str(room), "--press-log", str(gauged), "--json"))
    assert last["presses_logged"] == 1
    assert all(leg["ready"] for leg in last["legs_ready"])
    text = run("cut", str(room)).stdout
    assert "Leg 5: ready." in text
