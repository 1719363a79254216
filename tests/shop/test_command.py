"""`cut` on real jobs: the contract's keys, exit codes, widths and refusals."""

from __future__ import annotations

import hashlib
import re
import shutil
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from rafterstay import job as jobs
from rafterstay.sheets.literal import cells
from rafterstay.shop.press_file import COLUMNS
from rafterstay.shop.press_log import LEG_EYES, pulled_name
from rafterstay.shop.pull_file import COLUMNS as PULLS
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


@pytest.mark.parametrize("name", ["octagon", "reading-room", "bandstand", "pavilion"])
def test_no_line_is_wider_than_eighty_columns(name: str) -> None:
    lines = run("cut", str(EXAMPLES / f"{name}.toml")).stdout.splitlines()
    assert [line for line in lines if cells(line) > 80] == []
    for heading in ("Pieces", "Running marks", "Why they fit", "Turnbuckles"):
        assert heading in lines
    assert ("Ring rope" in lines) == (name in ("octagon", "reading-room"))
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
        (("--trial-leg", "2", "second", "4 ft"), "CL-008"),
        (("--shackle-inside", "1.5 in"), "IN-070"),
        (("--shackle-inside", "1.5"), "IN-002"),
        (("--pull-log", "nowhere.csv"), "IN-069"),
    ],
)
def test_what_cannot_be_used_is_refused_by_name(options: tuple[str, ...], code: str) -> None:
    result = run("cut", OCTAGON, *options, "--json")
    assert result.exit_code == 2
    assert [one["code"] for one in document(result)["errors"]] == [code]


@pytest.mark.parametrize(
    ("name", "legs"), [("bandstand", 6), ("pavilion", 4), ("gable-workshop", 10)]
)
def test_legs_from_bolt_to_bolt_have_no_ring(name: str, legs: int) -> None:
    found = document(run("cut", str(EXAMPLES / f"{name}.toml"), "--json"))
    assert found["ring_rope"] is None
    assert found["layout"] in ("band", "cross")
    assert [(one["leg"], one["end"]) for one in found["pieces"]] == [
        (leg, end) for leg in range(1, legs + 1) for end in ("first", "second")
    ]
    assert [body["leg"] for body in found["turnbuckles"]] == list(range(1, legs + 1))
    for body in found["turnbuckles"]:
        terms = sum(term["length_m"] for term in body["made_of"])
        assert terms == pytest.approx(body["distance_m"], abs=1e-9)
        assert 0 <= body["runs_out_probability"] <= 1
    assert len(found["rope_to_buy"]) == 1
    assert {warning["code"] for warning in found["warnings"]} >= {"not-measured"}


def gable_of_the_readings(tmp_path: Path) -> Path:
    """A gable of six tied pairs, 24 ft by 20 ft, whose feet the readings of the example hold."""
    text = (EXAMPLES / "gable-workshop.toml").read_text(encoding="utf-8")
    for key, value in (("roof.span", "24 ft"), ("roof.length", "20 ft")):
        text = jobs.set_value(text, key, value)
    path = tmp_path / "gable.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_pair_of_a_surveyed_gable_has_its_own_tie(tmp_path: Path) -> None:
    job = str(gable_of_the_readings(tmp_path))
    readings = EXAMPLES / "readings" / "gable.csv"
    result = run("cut", job, "--survey", str(readings), "--json")
    found = document(result)
    assert (result.exit_code, found["geometry"], found["provisional"]) == (0, "measured", False)
    spans = {p["id"]: p for p in document(run("survey", job, str(readings), "--json"))["points"]}
    for body in found["turnbuckles"]:
        one, other = spans[str(body["leg"])], spans[str(13 - body["leg"])]
        span = ((one["x_m"] - other["x_m"]) ** 2 + (one["y_m"] - other["y_m"]) ** 2) ** 0.5
        assert body["distance_m"] == pytest.approx(2 / 3 * span, abs=1e-6)
    missing = tmp_path / "five.csv"
    lines = readings.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if "12" not in line.split(",")[:2]]
    missing.write_text("\n".join(kept), encoding="utf-8")
    result = run("cut", job, "--survey", str(missing), "--json")
    assert result.exit_code == 1
    (said,) = [one["text"] for one in document(result)["warnings"] if one["code"] != "note"]
    assert "cut as designed: leg 1." in said


def test_a_shackle_is_served_and_provisional_until_it_is_taped(tmp_path: Path) -> None:
    text = (EXAMPLES / "octagon.toml").read_text(encoding="utf-8")
    job = tmp_path / "job.toml"
    job.write_text(jobs.set_value(text, "parts.shackle", "anchor 1/2 in"), encoding="utf-8")
    survey = ("--survey", SURVEY)
    guessed = run("cut", str(job), *survey, "--json")
    assert guessed.exit_code == 1
    assert [w["code"] for w in document(guessed)["warnings"] if w["code"] != "note"] == [
        "shackle-length"
    ]
    taped = run("cut", str(job), *survey, "--shackle-inside", "1 7/8 in", "--json")
    assert taped.exit_code == 0
    (item,) = [one for one in document(taped)["parts_to_buy"] if one["part"] == "shackle"]
    assert (item["count"], item["spare"]) == (8, 1)
    assert "Shackle" in run("cut", str(job), *survey, "--shackle-inside", "1 7/8 in").stdout


def test_the_same_set_length_stands_in_table_and_label() -> None:
    """Rounded down in both: thread is never given away."""
    lines = run("cut", OCTAGON).stdout.splitlines()
    start = lines.index("Turnbuckles")
    body = next(line for line in lines[start:] if line.startswith("1 to 8"))
    label = next(line for line in lines if "pin to pin; DO NOT LOOSEN" in line)
    setting = body.removeprefix("1 to 8").split("  ")
    assert f"set {next(cell for cell in setting if cell.strip()).strip()} pin" in label


@pytest.mark.parametrize("name", ["octagon", "reading-room", "bandstand", "pavilion"])
def test_rows_of_the_sums_add_up_as_printed(name: str) -> None:
    """Feet, inches and sixteenths read off the page again, and the same pieces in both tables."""
    lines = run("cut", str(EXAMPLES / f"{name}.toml")).stdout.splitlines()
    start = lines.index("Why they fit")
    rows = [re.split(r"  +", line.strip()) for line in lines[start + 4 : lines.index("", start)]]
    rows = [row for row in rows if row[-1][:1].isdigit() and row[-1].endswith('"')]
    assert rows
    listed = lines[lines.index("Pieces") : lines.index("Running marks")]
    for legs, *terms, total in rows:
        assert sum(map(inches, terms)) == inches(total)
        outer, inner = terms[1], terms[3]
        for said in (outer, inner):
            assert any(said in line for line in listed if line.startswith(legs.split(",")[0][0]))


def inches(said: str) -> Fraction:
    """Feet and inches as printed, in inches."""
    sign = -1 if said.startswith("-") else 1
    feet, _, rest = said.removeprefix("-").rpartition("'-")
    parts = [Fraction(part) for part in rest.removesuffix('"').split()]
    return sign * (12 * Fraction(feet or 0) + sum(parts))


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
    assert last["ring_missing"][0] == "first ring sleeve: not logged"
    assert "Ring: not ready; first ring sleeve: not logged" in text


def test_the_blank_sheets_are_filled_in_and_read_back(tmp_path: Path) -> None:
    """What a builder does: blank sheets out, filled in, both added; a leg proved and ready."""
    room, desk = tmp_path / "room", tmp_path / "desk"
    room.mkdir()
    shutil.copy(OCTAGON, room / "job.toml")
    first = document(run("cut", str(room), "--sheets", str(desk), "--json"))
    assert [Path(one).name for one in first["written"]] == ["press-log.csv", "pull-log.csv"]
    again = run("cut", str(room), "--sheets", str(desk), "--json")
    assert [one["code"] for one in document(again)["errors"]] == ["CL-004"] * 2
    assert document(run("cut", str(room), "--sheets", str(desk), "--force", "--json"))["written"]
    presses = (desk / "press-log.csv").read_text(encoding="utf-8").splitlines()
    assert len(presses) == 1 + 32 + 2
    # Nobody has written anything: nothing is stored.
    blank = ("--press-log", str(desk / "press-log.csv"), "--pull-log", str(desk / "pull-log.csv"))
    assert document(run("cut", str(room), *blank, "--json"))["legs_ready"] is None
    written = [presses[0]]
    for line in presses[1:]:
        cells = line.split(",")
        cells[2], cells[4], cells[6] = "R-1", "bench tool", "1-2-3"
        cells[7:12] = ["9/16 in", "3/8 in", "passed", "Ida", "2026-05-02"]
        written.append(",".join(cells))
    (desk / "press-log.csv").write_text("\n".join(written), encoding="utf-8")
    pulls = (desk / "pull-log.csv").read_text(encoding="utf-8").splitlines()
    assert sum(line.startswith(",") for line in pulls) == 3  # two reels of legs, one of ring rope
    told = [
        pulls[0],
        ",R-1,bench tool,rig and scale,10000 lb,0 s,broke,Ida,2026-05-03",
        "4,,,rig and scale,1800 lb,60 s,held,Ida,2026-05-04",
        "5,,,rig and scale,900 lb,1 min,held,Ida,2026-05-04",
    ]
    (desk / "pull-log.csv").write_text("\n".join(told), encoding="utf-8")
    last = document(run("cut", str(room), *blank, "--json"))
    assert (last["presses_logged"], last["pulls_logged"]) == (34, 3)
    assert all(leg["ready"] for leg in last["legs_ready"])
    assert last["ring_missing"] == []
    # Half of what proves a leg is no proof.
    assert [one["leg"] for one in last["legs_proved"]] == [4]
    text = run("cut", str(room)).stdout
    assert "Leg 4: ready. Proved at 1800 lb, 2026-05-04." in text
    assert "Ring: ready." in text
    assert document(run("cut", str(room), *blank, "--json"))["pulls_logged"] == 0


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("9,,,rig,1800 lb,60 s,held,Ida,now", "CL-008"),
        ("4,,,rig,1800,60 s,held,Ida,now", "IN-069"),
        ("4,,,rig,0 lb,60 s,held,Ida,now", "IN-069"),
        ("4,,,rig,1800 lb,an hour,held,Ida,now", "IN-069"),
        ("4,,,rig,1800 lb,60 s,fine,Ida,now", "IN-069"),
        (",R-1,,rig,1800 lb,60 s,held,Ida,now", "IN-069"),
        ("4,,,rig,1800 lb,60 s,held,,now", "IN-069"),
        ("4,rig", "IN-069"),
    ],
)
def test_a_pull_that_cannot_be_used_is_told_and_nothing_stored(
    tmp_path: Path, line: str, said: str
) -> None:
    room = tmp_path / "room"
    room.mkdir()
    shutil.copy(OCTAGON, room / "job.toml")
    file = tmp_path / "pulls.csv"
    file.write_text(f"{','.join(PULLS)}\n{line}\n", encoding="utf-8")
    result = run("cut", str(room), "--pull-log", str(file), "--json")
    assert result.exit_code == 2
    assert {one["code"] for one in document(result)["errors"]} == {said}
    assert not (room / "site.sqlite").exists()
