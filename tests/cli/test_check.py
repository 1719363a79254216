"""`check` on real jobs: the contract's keys, units, widths and refusals."""

from __future__ import annotations

import hashlib
import math
import re
from pathlib import Path
from typing import Any

import pytest

from .run import EXAMPLES, document, run

JOBS = sorted(EXAMPLES.glob("*.toml"))


@pytest.fixture(scope="module", params=JOBS, ids=lambda path: path.stem)
def answered(request: pytest.FixtureRequest) -> tuple[Path, int, dict[str, Any]]:
    result = run("check", str(request.param), "--json")
    assert result.stderr in ("", "Checking all patterns ...\n")
    return request.param, result.exit_code, document(result)


def test_the_document_has_the_keys_of_the_contract(
    answered: tuple[Path, int, dict[str, Any]],
) -> None:
    path, code, found = answered
    assert set(found) - {"pretension_band"} == {
        *("schema", "command", "job_sha256", "geometry", "assumed", "warnings"),
        *("verdict", "weakest", "prescriptive", "duty", "legs", "ring"),
        *("setting", "loads", "combinations", "checks"),
    }
    assert (found["schema"], found["command"], found["geometry"]) == (1, "check", "designed")
    assert found["job_sha256"] == hashlib.sha256(path.read_bytes()).hexdigest()
    assert code == {"passes": 0, "refer": 1, "fails": 1}[found["verdict"]]
    assert {"code", "text"} == set().union(*found["warnings"])
    assert all({"key", "value", "why"} == set(one) for one in found["assumed"])


def test_legs_and_ring_sum_up_the_combinations(
    answered: tuple[Path, int, dict[str, Any]],
) -> None:
    found = answered[2]
    rows = found["combinations"]
    ids = {row["id"] for row in rows}
    hips = len(rows[0]["hub_shear_N"])
    for leg in found["legs"]:
        assert set(leg) == {"id", "azimuth_deg", "max_tension_N", "min_tension_N", "governing"}
        pulls = [row["legs_N"][leg["id"] - 1] for row in rows]
        assert (leg["max_tension_N"], leg["min_tension_N"]) == pytest.approx(
            (max(pulls), min(pulls)), rel=1e-5
        )
        assert leg["governing"] in ids
        assert leg["azimuth_deg"] == pytest.approx(360.0 * (leg["id"] - 1) / hips, abs=1e-4)
    if found["ring"] is None:
        assert {row["ring_N"] for row in rows} == {None}
    else:
        assert found["ring"]["max_tension_N"] == max(row["ring_N"] for row in rows)


def test_combinations_are_named_and_proved(answered: tuple[Path, int, dict[str, Any]]) -> None:
    found = answered[2]
    n = len(found["legs"])
    for row in found["combinations"]:
        assert set(row) == {
            *("id", "equation", "pattern", "direction_deg", "bound", "variant", "climate"),
            *("first_order_N", "legs_N", "ring_N", "hub_shear_N", "spread_m", "ring_shift_m"),
            *("ring_sag_m", "amplification", "force_error_N", "residual_N"),
        }
        assert row["id"].startswith(f"{row['equation']}/{row['pattern']}")
        assert {len(row[key]) for key in ("first_order_N", "legs_N")} == {n}
        hips = len(row["hub_shear_N"])
        assert n in (hips, hips / 2)  # a tie straight across holds two
        assert 0.0 <= row["force_error_N"] <= 1e-6 * max(4.4482, *row["legs_N"])
    sided = {row["direction_deg"] for row in found["combinations"] if row["equation"] == "D+S"}
    # A gable has two slopes; snow is not stated everywhere.
    assert len(sided - {None}) in ((0, 2) if hips == 2 else (2 * hips if sided else 0,))


def test_checks_stand_worst_first(answered: tuple[Path, int, dict[str, Any]]) -> None:
    found = answered[2]
    rank = {"fails": 0, "refer": 1, "passes": 2}
    deciding = [one for one in found["checks"] if one["decides"]]
    assert [rank[one["status"]] for one in deciding] == sorted(
        rank[one["status"]] for one in deciding
    )
    statuses = {one["status"] for one in deciding}
    worst = "fails" if "fails" in statuses else "refer" if "refer" in statuses else "passes"
    assert found["verdict"] == worst
    assert found["weakest"] in {one["id"] for one in found["checks"]}
    for one in found["checks"]:
        assert one["unit"] in ("N", "m", "Pa", "1")
        assert one["source"]
        if one["capacity"] and one["utilisation"]:
            assert math.isclose(one["utilisation"], one["demand"] / one["capacity"], rel_tol=1e-6)
        for line in one["working"]:
            assert set(line) == {"symbol", "formula", "numbers", "value", "unit"}


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_the_page_fits_80_columns(job: Path) -> None:
    result = run("check", str(job), "--working", "--all")
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert not [line for line in lines if line != line.rstrip()]
    said = re.search(r"^Verdict +(.+)$", result.stdout, re.MULTILINE)[1]
    assert said in ("PASSES", "ENGINEER MUST DECIDE", "DOES NOT PASS")
    assert "as designed, not measured" in result.stdout
    assert result.exit_code == (said != "PASSES")


def test_a_folder_and_its_file_are_the_same_job(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(JOBS[0].read_bytes())
    assert document(run("check", str(tmp_path), "--json")) == document(
        run("check", str(tmp_path / "job.toml"), "--json")
    )


def text_of(old: str = "", new: str = "") -> bytes:
    text = (EXAMPLES / "octagon.toml").read_text(encoding="utf-8")
    assert old in text
    return text.replace(old, new, 1).encode()


BAD = {
    "empty": b"",
    "binary": bytes(range(256)) * 40,
    "not TOML": b"[roof\nsides = 8",
    "unknown key": text_of("plate_radius", "plate_radios"),
    "no unit": text_of('rise = "6 ft"', 'rise = "6"'),
    "negative": text_of('rise = "6 ft"', 'rise = "-6 ft"'),
    "NaN": text_of("sides = 8", "sides = nan"),
    "infinity": text_of("sides = 8", "sides = inf"),
    "two sides": text_of("sides = 8", "sides = 2"),
    "bool for number": text_of("sides = 8", "sides = true"),
    "table twice": text_of() + b"\n[roof]\nsides = 8\n",
    "newer schema": text_of("schema = 1", "schema = 2"),
    "misspelt rope": text_of("7x19 galvanized 1/4 in", "7x19 galvanised 1/4 in"),
    "too large": b"#" * 40_000_000,
}


@pytest.mark.parametrize("body", BAD.values(), ids=BAD)
def test_bad_jobs_are_refused_with_place_and_remedy(tmp_path: Path, body: bytes) -> None:
    (tmp_path / "job.toml").write_bytes(body)
    plain, machine = run("check", str(tmp_path)), run("check", str(tmp_path), "--json")
    assert (plain.exit_code, machine.exit_code) == (2, 2)
    assert plain.stdout == ""
    assert re.match(r"(IN|DA)-\d{3} ", plain.stderr)
    found = document(machine)
    assert found["command"] == "check"
    assert all(one["code"] and one["remedy"] for one in found["errors"])
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


def test_a_misspelt_key_is_told_with_its_line_and_the_near_one(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(BAD["unknown key"])
    errors = document(run("check", str(tmp_path), "--json"))["errors"]
    (found,) = [one for one in errors if one["key"] == "roof.plate_radios"]
    assert "plate_radius" in found["remedy"]
    lines = BAD["unknown key"].decode().splitlines()
    assert lines[found["line"] - 1].startswith("plate_radios")


@pytest.mark.parametrize("name", ["nowhere", "empty", "\x1b[31mred", "a" * 5000, "nul\0"])
def test_a_job_that_is_not_there_is_told(tmp_path: Path, name: str) -> None:
    (tmp_path / "empty").mkdir()
    result = run("check", str(tmp_path / name))
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("IN-")
    assert "\x1b" not in result.stderr


def test_markup_in_a_title_is_printed_literally(tmp_path: Path) -> None:
    title = "[bold red]Room[/] :smile: <b> [link=x] {0} %s " + "long " * 8
    body = text_of('title = "Octagon"', f'title = "{title}"')
    (tmp_path / "job.toml").write_bytes(body)
    result = run("check", str(tmp_path))
    assert result.exit_code in (0, 1)
    assert "[bold red]Room[/] :smile: <b> [link=x] {0} %s" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


@pytest.mark.parametrize("mark", ["\\u001b[2J", "\\u202e", "\\u0007", "\\u2028"])
def test_hidden_marks_never_reach_the_terminal(tmp_path: Path, mark: str) -> None:
    (tmp_path / "job.toml").write_bytes(text_of('title = "Octagon"', f'title = "a{mark}b"'))
    for said in (run("check", str(tmp_path)), run("check", str(tmp_path), "--json")):
        assert all(shown.isprintable() for shown in said.output.replace("\n", ""))
