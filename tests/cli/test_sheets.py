"""The command `sheets`: files, exit codes, warnings, and nothing lost."""

from __future__ import annotations

import html
import io
from pathlib import Path

import ezdxf
import pytest
from pypdf import PdfReader

from rafterstay import job

from .run import EXAMPLES, document, run

OCTAGON = str(EXAMPLES / "octagon.toml")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sheets") / "out"
    done = run("sheets", OCTAGON, "-o", str(folder), "--revision", "B", "--date", "3 May 2026")
    assert done.exit_code == 1, done.stderr  # the octagon's snow must be confirmed
    assert "01-plan" in done.stdout
    return folder


def test_every_sheet_is_written_three_times(made: Path) -> None:
    names = sorted(path.name for path in made.iterdir())
    svg = [name.removesuffix(".svg") for name in names if name.endswith(".svg")]
    dxf = [name.removesuffix(".dxf") for name in names if name.endswith(".dxf")]
    assert svg == dxf
    assert set(names) == {f"{name}.{kind}" for name in svg for kind in ("svg", "dxf")} | {
        "sheets.pdf"
    }
    pages = PdfReader(made / "sheets.pdf").pages
    assert len(pages) == len(svg)
    for page in pages:
        assert "3 May 2026" in page.extract_text()


def test_each_drawing_has_nothing_to_repair(made: Path) -> None:
    for path in sorted(made.glob("*.dxf")):
        doc = ezdxf.read(io.StringIO(path.read_text(encoding="utf-8")))
        audit = doc.audit()
        assert (audit.errors, audit.fixes) == ([], []), path.name


def test_nothing_is_overwritten_unasked(made: Path) -> None:
    before = {path.name: path.read_bytes() for path in made.iterdir()}
    refused = run("sheets", OCTAGON, "-o", str(made))
    assert refused.exit_code == 2
    assert "CL-004" in refused.stderr
    assert {path.name: path.read_bytes() for path in made.iterdir()} == before
    again = ("--revision", "B", "--date", "3 May 2026", "--force")
    assert run("sheets", OCTAGON, "-o", str(made), *again).exit_code == 1
    assert {path.name: path.read_bytes() for path in made.iterdir()} == before


def test_the_document(tmp_path: Path) -> None:
    text = Path(OCTAGON).read_text(encoding="utf-8")
    place = tmp_path / "job.toml"
    place.write_text(job.set_value(text, "job.title", "\U0001f600 " + "very long " * 11))
    said = document(run("sheets", str(place), "-o", str(tmp_path / "out"), "--json"))
    assert (said["command"], said["geometry"]) == ("sheets", "designed")
    assert len(said["job_sha256"]) == 64
    codes = [warning["code"] for warning in said["warnings"]]
    assert {"text-shortened", "letters-missing", "not-covered"} <= set(codes)
    assert all(Path(path).is_file() for path in said["written"])
    plan = said["sheets"][0]
    assert (plan["name"], plan["width_mm"]) == ("01-plan", 279.4)


def test_paper_follows_the_units_or_what_was_asked(tmp_path: Path) -> None:
    said = document(run("sheets", OCTAGON, "-o", str(tmp_path / "a"), "--json", "--paper", "a4"))
    assert {sheet["width_mm"] for sheet in said["sheets"]} == {297.0, 210.0}


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        (["sheets", OCTAGON], 2),
        (["sheets", "nowhere", "-o", "x"], 2),
        (["sheets", OCTAGON, "-o", "x", "--paper", "a3"], 2),
        (["sheets", OCTAGON, "-o", "x", "--survey", "nowhere.csv"], 2),
    ],
)
def test_what_cannot_be_used_is_refused(typed: list[str], code: int) -> None:
    done = run(*typed)
    assert done.exit_code == code
    assert "Traceback" not in done.stderr


def test_the_frame_as_it_stands(tmp_path: Path) -> None:
    readings = EXAMPLES / "readings" / "octagon.csv"
    done = run(
        *("sheets", str(EXAMPLES / "octagon.toml"), "-o", str(tmp_path / "out")),
        *("--survey", str(readings), "--json"),
    )
    said = document(done)
    assert said["geometry"] == "measured"
    assert b"as measured" in (tmp_path / "out" / "01-plan.svg").read_bytes()
    (card,) = (tmp_path / "out").glob("*-card-1.svg")
    assert b"LEGS: CUT THE ROPE" in card.read_bytes()


def test_a_card_of_a_frame_that_was_not_measured_says_so(made: Path) -> None:
    (card,) = made.glob("*-card-1.svg")
    assert b"LEGS: DO NOT CUT YET" in card.read_bytes()


def test_settings_read_as_in_the_cut_list(tmp_path: Path) -> None:
    """Never set wider than the list says: down to the sixteenth, on sheet and ladder card."""
    room = str(EXAMPLES / "reading-room.toml")
    sixteenth = 0.0254 / 16
    bodies = document(run("cut", room, "--json"))["turnbuckles"]
    (opening,) = {round(body["set_m"] / sixteenth, 6) for body in bodies}
    down = int(opening)
    assert opening - down > 0.5  # the nearest sixteenth would be the next one
    shown = f"{down // 192}'-{down % 192 // 16} {down % 16}/16\""
    assert shown in run("cut", room).stdout
    run("sheets", room, "-o", str(tmp_path / "out"))
    for name in ("turnbuckle", "card-3"):
        (path,) = (tmp_path / "out").glob(f"*-{name}.svg")
        assert shown in html.unescape(path.read_text(encoding="utf-8")), name
