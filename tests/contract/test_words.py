"""No file names a package host or a folder of the machine it was written on."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from tests.contract.tree import ROOT, kept_files

# In halves, so that this file does not hold what it looks for.
HALVES = [
    ("pypi", ".org"),
    ("python", "hosted"),
    ("npm", "js."),
    ("js", "delivr"),
    ("unp", "kg.com"),
    ("cdn", "js."),
    ("google", "apis"),
    ("conda", ".anaconda"),
    ("deb.", "debian"),
]
HOST = re.compile("|".join(re.escape(left + right) for left, right in HALVES), re.IGNORECASE)
MACHINE_PATH = re.compile(r"(?<![\w.~)}\]/-])/(?:" + "wo" + r"rk|tmp|root|home|opt)/\w")


def forbidden(paths: list[Path]) -> list[str]:
    """Give each line of the files that names a host or a machine's folder."""
    said = []
    for path in paths:
        content = path.read_bytes()
        if b"\0" in content:
            continue
        for number, line in enumerate(content.decode("utf-8").splitlines(), 1):
            for found in (HOST.search(line), MACHINE_PATH.search(line)):
                said += [f"{path}:{number}: {found.group()}"] if found else []
    return said


def test_no_host_and_no_machine_path() -> None:
    assert forbidden(kept_files(ROOT)) == []


@pytest.mark.parametrize(
    "line", ["".join(halves) for halves in HALVES] + ["see " + "/".join(["", "wo" + "rk", "main"])]
)
def test_a_host_or_machine_path_is_found(tmp_path: Path, line: str) -> None:
    (tmp_path / "page.md").write_text(f"harmless: span/{'work'}/slope, tmp/, 3/4 in\n{line}\n")
    (tmp_path / "picture.png").write_bytes(b"\0" + line.encode())
    (found,) = forbidden(sorted(tmp_path.iterdir()))
    assert found.startswith(f"{tmp_path / 'page.md'}:2: ")


def test_files_that_git_ignores_are_not_read(tmp_path: Path) -> None:
    subprocess.run(["git", "init", "-q"], cwd=tmp_path, check=True)
    (tmp_path / ".gitignore").write_text("made/\n")
    (tmp_path / "made").mkdir()
    (tmp_path / "made" / "out.txt").touch()
    (tmp_path / "new.txt").touch()
    assert [path.name for path in kept_files(tmp_path)] == [".gitignore", "new.txt"]
