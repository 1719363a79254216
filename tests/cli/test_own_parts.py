"""A job with rows of the user's own catalogue, from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.run import EXAMPLES, document, run

ROPES = (
    "lay,finish,size,strength,mass,label,source,confidence\n"
    "text,text,in,lbf,lb/1000 ft,text,text,%\n"
    '7x19,galvanized,1/4,6100,111,yard,"Certificate 71, yard",{sure}\n'
    '7x19,galvanized,5/16,9300,174,yard,"Certificate 72, yard",{sure}\n'
)
NAME = "yard 7x19 galvanized 5/16 in"


def folder(into: Path, sure: str = "") -> str:
    text = (EXAMPLES / "reading-room.toml").read_text(encoding="utf-8")
    (into / "job.toml").write_text(
        text.replace('\nrope = "7x19 galvanized 5/16 in"', f'\nrope = "{NAME}"'), encoding="utf-8"
    )
    (into / "catalogue").mkdir()
    (into / "catalogue" / "rope.csv").write_text(ROPES.format(sure=sure), encoding="utf-8")
    return str(into)


@pytest.mark.parametrize("place", ["", "job.toml"])
def test_check_tells_whose_row_it_used(tmp_path: Path, place: str) -> None:
    found = document(run("check", str(Path(folder(tmp_path)) / place), "--json"))
    (told,) = (one["text"] for one in found["warnings"] if one["code"] == "own-part")
    assert NAME in told
    assert "catalogue/rope.csv line 4" in told
    assert len(told.partition("SHA-256 ")[2].partition(")")[0]) == 64
    strength = next(one for one in found["checks"] if one["id"] == "rope-strength")
    assert "Certificate 72, yard (your own row, catalogue/rope.csv line 4)" in strength["source"]
    # ASCE 19 allows S N_f / 2.2, fittings 0.9: of 9300 lb, not of the package's 9800 lb.
    assert strength["capacity"] == pytest.approx(9300 * 4.4482216 * 0.9 / 2.2, rel=1e-6)


def test_a_row_that_is_not_sure_cannot_make_the_rope_pass(tmp_path: Path) -> None:
    found = document(run("check", folder(tmp_path, sure="75"), "--json"))
    strength = next(one for one in found["checks"] if one["id"] == "rope-strength")
    assert (strength["status"], strength["utilisation"] < 1.0) == ("refer", True)


def test_sizes_stay_within_the_label(tmp_path: Path) -> None:
    found = document(run("size", folder(tmp_path), "--json"))
    assert found["parts"]["rope"].startswith("yard 7x19 galvanized")
    assert any(one["code"] == "own-part" for one in found["warnings"])
    assert found["parts"]["ring_rope"].startswith("7x19 galvanized")


def test_schemes_tell_it_too(tmp_path: Path) -> None:
    found = document(run("compare", folder(tmp_path), "--json"))
    assert [one["code"] for one in found["warnings"]] == ["own-part"]


def test_parts_lists_it_with_its_source(tmp_path: Path) -> None:
    (found,) = document(run("parts", NAME, "--job", folder(tmp_path), "--json"))["parts"]
    assert found["strength_N"] == pytest.approx(9300 * 4.4482216, rel=1e-6)
    assert "your own row" in found["source"]
    listed = run("parts", "yard", "--job", str(tmp_path / "job.toml"))
    assert NAME in listed.stdout
    assert run("parts", NAME).exit_code == 2
    gone = document(run("parts", "--job", str(tmp_path / "gone"), "--json"))
    assert [one["code"] for one in gone["errors"]] == ["CL-009"]


@pytest.mark.parametrize("command", ["check", "size", "compare", "cut", "parts"])
def test_a_bad_catalogue_is_refused_by_every_command(tmp_path: Path, command: str) -> None:
    place = folder(tmp_path)
    (tmp_path / "catalogue" / "rope.csv").write_bytes(b"lay,size\ntext,in\n\xff\xfe")
    typed = ["--job", place] if command == "parts" else [place]
    result = run(command, *typed, "--json")
    (fault,) = document(result)["errors"]
    assert result.exit_code == 2
    assert (fault["code"], fault["file"], fault["line"]) == ("DA-052", "catalogue/rope.csv", 3)
    assert fault["bound"]
    assert fault["remedy"]


@pytest.mark.parametrize("way", ["stretch", "pull", "pluck"])
def test_gauge_takes_the_rope_of_the_job(tmp_path: Path, way: str) -> None:
    """The package alone does not know the rope; with the job its figures are used."""
    given = {
        "stretch": ["--mark", "100 in", "--change", "0.1 in"],
        "pull": [
            "--length",
            "9 ft",
            "--at",
            "3 ft",
            "--side-pull",
            "20 lb",
            "--deflection",
            "1 in",
        ],
        "pluck": [str(tmp_path / "none.wav"), "--span", "4 ft"],
    }[way]
    typed = ["gauge", way, *given, "--rope", NAME, "--json"]
    assert run(*typed).exit_code == 2
    told = document(run(*typed, "--job", str(tmp_path / "gone")))
    assert [one["code"] for one in told["errors"]] == ["CL-009"]
    found = document(run(*typed, "--job", folder(tmp_path)))
    assert not any(one["value"] == NAME for one in found.get("errors", []))


def test_gauge_by_stretch_is_hookes_law_on_the_row_of_the_job(tmp_path: Path) -> None:
    """Hooke: pull = EA x change / mark, EA of 500,000 lb as the row states it."""
    job = folder(tmp_path)
    (tmp_path / "catalogue" / "rope.csv").write_text(
        "lay,finish,size,strength,stiffness,mass,label,source\n"
        "text,text,in,lbf,lbf,lb/1000 ft,text,text\n"
        '7x19,galvanized,5/16,9300,500000,174,yard,"Certificate 72, yard"\n',
        encoding="utf-8",
    )
    typed = ["stretch", "--mark", "100 in", "--change", "0.15 in", "--rope", NAME, "--job", job]
    found = document(run("gauge", *typed, "--json"))
    assert found["pull_N"] == pytest.approx(500_000 * 4.4482216 * 0.15 / 100, rel=1e-6)
