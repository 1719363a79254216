"""`new` writes a job whole or not at all, and never over another."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from .run import EXAMPLES, document, run


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_an_example_becomes_a_job_that_can_be_checked(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "deep" / "room"
    result = run("new", name, "-o", str(folder))
    assert result.exit_code == 0
    assert [path.name for path in folder.iterdir()] == ["job.toml"]
    assert (folder / "job.toml").read_bytes() == (EXAMPLES / f"{name}.toml").read_bytes()
    assert run("check", str(folder)).exit_code in (0, 1)


def test_without_a_folder_it_is_named_after_the_example(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("new").exit_code == 0
    assert (tmp_path / "octagon" / "job.toml").exists()


def test_the_document_names_what_was_written(tmp_path: Path) -> None:
    found = document(run("new", "octagon", "-o", str(tmp_path / "room"), "--json"))
    (written,) = found["written"]
    assert hashlib.sha256(Path(written).read_bytes()).hexdigest() == found["job_sha256"]
    assert (found["command"], found["example"]) == ("new", "octagon")


def test_nothing_is_overwritten_without_force(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text("mine")
    result = run("new", "octagon", "-o", str(tmp_path))
    assert result.exit_code == 2
    assert result.stderr.startswith("CL-004 ")
    assert (tmp_path / "job.toml").read_text() == "mine"
    assert run("new", "octagon", "-o", str(tmp_path), "--force").exit_code == 0
    assert (tmp_path / "job.toml").read_text().startswith("#")
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


def test_a_dangling_link_counts_as_a_file(tmp_path: Path) -> None:
    (tmp_path / "job.toml").symlink_to(tmp_path / "elsewhere")
    assert run("new", "-o", str(tmp_path)).exit_code == 2
    assert not (tmp_path / "elsewhere").exists()


def test_an_unknown_example_leaves_nothing_behind(tmp_path: Path) -> None:
    folder = tmp_path / "room"
    result = run("new", "octogon", "-o", str(folder))
    assert result.exit_code == 2
    assert "octagon" in result.stderr
    assert not folder.exists()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    result = run("new", "-o", str(tmp_path / "file" / "room"), "--json")
    assert result.exit_code == 2
    assert document(result)["errors"][0]["code"].startswith("SR-")


def test_a_write_that_fails_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    result = run("new", "-o", str(tmp_path / "deep" / "room"))
    assert result.exit_code == 2
    assert list(tmp_path.iterdir()) == []


def test_examples_are_listed() -> None:
    assert "octagon\n" in run("new", "--list").stdout
    assert "octagon" in document(run("new", "--list", "--json"))["examples"]
