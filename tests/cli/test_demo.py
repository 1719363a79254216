"""`demo` goes from the job to the plan, and every file it writes agrees."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from .run import EXAMPLES, document, run

FILES = ["check.json", "check.txt", "job.toml", "plan.svg"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("demo") / "out"
    result = run("demo", "-o", str(place))
    assert result.exit_code in (0, 1)
    for name in FILES:
        assert str(place / name) in result.stdout
    return place


def test_it_writes_what_it_says(folder: Path) -> None:
    assert sorted(path.name for path in folder.iterdir()) == FILES
    assert (folder / "job.toml").read_bytes() == (EXAMPLES / "reading-room.toml").read_bytes()


def test_the_files_are_what_check_says_of_the_job(folder: Path) -> None:
    job = str(folder / "job.toml")
    assert json.loads((folder / "check.json").read_text()) == document(run("check", job, "--json"))
    said = run("check", job, "--working", "--all")
    assert (folder / "check.txt").read_text() == said.stdout


def test_the_plan_tells_the_same_verdict(folder: Path) -> None:
    words = {
        "passes": "Passes",
        "refer": "Engineer must decide",
        "fails": "Does not pass",
    }[json.loads((folder / "check.json").read_text())["verdict"]]
    root = ElementTree.fromstring((folder / "plan.svg").read_bytes())
    assert words in [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]


def test_nothing_is_overwritten_without_force(folder: Path) -> None:
    (folder / "plan.svg").write_text("mine")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert run("demo", "-o", str(folder)).exit_code == 2
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    result = run("demo", "-o", str(folder), "--force", "--json")
    assert result.exit_code in (0, 1)
    found = document(result)
    assert found["command"] == "demo"
    assert sorted(Path(path).name for path in found["written"]) == FILES
    assert (folder / "plan.svg").read_text().startswith("<?xml")
