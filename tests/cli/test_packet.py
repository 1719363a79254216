"""`packet` writes one PDF, and its figures are those of `check` and of the page."""

from __future__ import annotations

import hashlib
import html
import re
from pathlib import Path

import pytest

from rafterstay import packet
from rafterstay.cli.packet_parts import carried
from rafterstay.core.quantities import show
from rafterstay.job import load, set_value
from rafterstay.job.examples import example
from rafterstay.packet import Told
from tests.browser.running import Run
from tests.packet.paper import pages_of, reader, squashed, text_of

from .run import EXAMPLES, document, run

DEMO = str(EXAMPLES / "reading-room.toml")


@pytest.fixture(scope="module")
def bound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("packet") / "room.pdf"
    result = run("packet", DEMO, "-o", str(file))
    assert result.exit_code == 1
    assert str(file) in result.stdout
    assert "ENGINEER MUST DECIDE" in result.stdout
    return file


def test_no_figure_differs_from_check(bound: Path) -> None:
    checked = document(run("check", DEMO, "--json"))
    said = squashed(text_of(bound.read_bytes(), "-raw"))
    lines = [line for check in checked["checks"] for line in check["working"]]
    assert len(lines) > 200
    for line in lines:
        value = f"{line['value']:.6g}"
        unit = "" if line["unit"] in ("-", "1") else line["unit"]
        numbers = "" if line["numbers"] == value else line["numbers"]
        assert squashed(f"{line['symbol']}{line['formula']}{numbers}{value}{unit}") in said, line
    for leg in checked["legs"]:
        pull = f"{leg['max_tension_N'] / 4.4482216152605:.0f} lb"
        least = f"{leg['min_tension_N'] / 4.4482216152605:.0f} lb"
        row = f"{leg['id']}{leg['azimuth_deg']:05.1f}{pull}{leg['governing']}{least}"
        assert squashed(row) in said
    for check in checked["checks"]:
        assert squashed(f"Clauses: {check['source']}.") in said
        if check["utilisation"] is not None:
            assert re.search(rf"{check['id']}.{{0,40}}?{check['utilisation']:.2f}", said)


def test_no_figure_differs_from_the_page(bound: Path, tmp_path: Path) -> None:
    folder = tmp_path / "room"
    folder.mkdir()
    (folder / "job.toml").write_text(example("reading-room"), encoding="utf-8")
    checks = document(run("check", str(folder), "--json"))["checks"]
    said = squashed(text_of(bound.read_bytes(), "-raw"))
    served = Run(folder)
    served.start()
    try:
        for check in checks:
            status, _, page = served.ask(f"/jobs/room/working/{check['id']}")
            assert status == 200
            shown = re.findall(r"<li><code>(.*?)</code></li>", page)
            assert len(shown) == len(check["working"])
            for line in map(html.unescape, shown):
                parts = line.removesuffix(" -").split(" = ")
                if parts[-1].split()[0] == parts[-2]:  # a figure that was looked up, told twice
                    del parts[-2]
                assert squashed("".join(parts)).replace("=", "") in said.replace("=", ""), line
    finally:
        served.kill()


def test_json_tells_what_was_written(tmp_path: Path) -> None:
    file = tmp_path / "made" / "brief.pdf"
    typed = ("packet", DEMO, "--brief", "--paper", "a4", "--show", "si", "-o", str(file))
    found = document(run(*typed, "--json"))
    assert found["command"] == "packet"
    assert found["written"] == [str(file)]
    assert found["sha256"] == hashlib.sha256(file.read_bytes()).hexdigest()
    assert found["bytes"] == file.stat().st_size
    assert found["pages"] == 4
    assert (found["paper"], found["brief"], found["show"]) == ("a4", True, "si")
    assert found["verdict"] == "refer"
    assert {"not-covered", "snow-simplified"} <= {one["code"] for one in found["warnings"]}
    assert len(reader(file.read_bytes()).pages) == 4
    again = tmp_path / "again.pdf"
    assert document(run(*typed[:-1], str(again), "--json"))["sha256"] == found["sha256"]


def test_nothing_is_overwritten_without_force(tmp_path: Path) -> None:
    file = tmp_path / "mine.pdf"
    file.write_bytes(b"mine")
    result = run("packet", DEMO, "--brief", "-o", str(file))
    assert result.exit_code == 2
    assert "CL-004" in result.stderr
    assert file.read_bytes() == b"mine"
    assert run("packet", DEMO, "--brief", "-o", str(file), "--force").exit_code == 1
    assert file.read_bytes().startswith(b"%PDF-1.7")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine.pdf"]


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        (("-o", "job.toml"), "CL-012"),
        (("-o", ""), "CL-012"),
        ((), "CL-001"),
        (("-o", "a.pdf", "--survey", "nowhere.csv"), "SV-041"),
        (("-o", "a.pdf", "--survey", "."), "SV-041"),
        (("-o", "a.pdf", "--paper", "a3"), "CL-001"),
        (("-o", "taken/a.pdf"), "SR-"),
    ],
)
def test_bad_input_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: tuple[str, ...], code: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file")
    result = run("packet", DEMO, "--brief", *typed)
    assert result.exit_code == 2
    assert code in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]
    assert document(run("packet", DEMO, *typed, "--json"))["errors"]


def test_a_survey_with_a_slip_is_told(tmp_path: Path) -> None:
    file = tmp_path / "built.pdf"
    readings = str(EXAMPLES / "readings" / "octagon-slip.csv")
    octagon = str(EXAMPLES / "octagon.toml")
    found = document(run("packet", octagon, "--survey", readings, "-o", str(file), "--json"))
    assert found["geometry"] == "measured"
    assert "blunder" in {one["code"] for one in found["warnings"]}
    assert "Readings that cannot be right" in text_of(file.read_bytes())


def test_records_of_the_folder_are_bound(tmp_path: Path) -> None:
    folder = tmp_path / "room"
    folder.mkdir()
    (folder / "job.toml").write_text(example("reading-room"), encoding="utf-8")
    log = tmp_path / "log.csv"
    log.write_text(
        "leg,eye,reel,sleeve,tool,presses,order,tail_before,tail_after,gauge,who,when\n"
        '2,bolt eye,R-9,copper oval 5/16 in,"bench, ""5/16""",3,1-2-3,11/16 in,7/16 in,passed,'
        "Bea #strong[x],2031-05-01\n",
        encoding="utf-8",
    )
    assert run("cut", str(folder), "--press-log", str(log)).exit_code == 1
    file = tmp_path / "a.pdf"
    assert run("packet", str(folder), "-o", str(file)).exit_code == 1
    pages = pages_of(file.read_bytes())
    assert all("revision 1" in page for page in pages)
    said = squashed(text_of(file.read_bytes(), "-raw"))
    assert squashed('R-9 bench, "5/16" 3 1-2-3 7/16" passed Bea #strong[x], 2031-05-01') in said
    assert squashed("bolt eye: no test eye of reel R-9") in said


def test_every_layout_has_its_cut_list(tmp_path: Path) -> None:
    for name in ("bandstand", "gable-workshop"):
        file = tmp_path / f"{name}.pdf"
        job = str(EXAMPLES / f"{name}.toml")
        assert document(run("packet", job, "-o", str(file), "--json"))["verdict"]
        said = squashed(text_of(file.read_bytes(), "-raw"))
        pieces = document(run("cut", job, "--json"))["pieces"]
        assert {piece["end"] for piece in pieces} == {"first", "second"}
        for piece in pieces:
            crowns = show(piece["between_crowns_m"], "length", "us")
            cut = show(piece["cut_m"], "length", "us")
            assert squashed(f"{piece['leg']}{piece['end']}{cut}{crowns}") in said


def test_a_cut_list_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "wide"
    folder.mkdir()
    text = set_value(example("octagon"), "roof.plate_radius", "12.5 ft")
    (folder / "job.toml").write_text(text, encoding="utf-8")
    done = carried(load(folder), None)
    none = packet.bind(done, told=[Told("no-cut-list", "No cut list: too long.")])
    said = " ".join(text_of(none.pdf).split())
    assert "No cut list: too long." in said
    assert "to be set by whoever takes responsibility" in said


def test_odd_titles_are_counted(tmp_path: Path) -> None:
    folder = tmp_path / "odd"
    folder.mkdir()
    text = set_value(example("octagon"), "job.title", 'Mo\'s "barn" 🏚 #x')
    (folder / "job.toml").write_text(text, encoding="utf-8")
    file = tmp_path / "odd.pdf"
    found = document(run("packet", str(folder), "-o", str(file), "--json"))
    assert "text-spelled-out" in {one["code"] for one in found["warnings"]}
    assert 'Mo\'s "barn" \\U0001f3da #x' in text_of(file.read_bytes())
