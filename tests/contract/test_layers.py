"""The layers that `make check` enforces refuse an import that goes up, even a late one."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.contract.tree import PACKAGE, ROOT

LINTER = "from importlinter.cli import lint_imports_command; lint_imports_command()"


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the layers contract of this repository on the package in ``folder``."""
    shutil.copy(ROOT / "pyproject.toml", folder)
    return subprocess.run(
        [sys.executable, "-c", LINTER, "--no-cache"],
        cwd=folder,
        env={"PYTHONPATH": str(folder)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
        encoding="utf-8",
    )


def lay(folder: Path, sources: dict[str, str]) -> Path:
    """Write a package of the given modules, each with its own folder."""
    (folder / "rafterstay").mkdir()
    (folder / "rafterstay" / "__init__.py").touch()
    for name, text in sources.items():
        (folder / "rafterstay" / name).mkdir()
        (folder / "rafterstay" / name / "__init__.py").write_text(text)
    return folder


@pytest.mark.parametrize(
    ("sources", "found"),
    [
        ({"core": "", "job": "import rafterstay.core"}, None),
        (
            {"core": "def f():\n    import rafterstay.job", "job": ""},
            "rafterstay.core -> rafterstay.job",
        ),
        (
            {"core": "", "tie": "", "loads": "import rafterstay.tie"},
            "rafterstay.loads -> rafterstay.tie",
        ),
        ({"core": "", "extras": ""}, "rafterstay.extras"),
    ],
    ids=["down", "up and late", "sideways", "package of no rank"],
)
def test_the_contract_refuses(tmp_path: Path, sources: dict[str, str], found: str | None) -> None:
    done = lint(lay(tmp_path, sources))
    assert (done.returncode == 0) is (found is None), done.stdout
    assert (found or "1 kept") in done.stdout


def test_every_folder_of_the_package_is_importable() -> None:
    """A folder without ``__init__`` would escape the contract."""
    holding = {path.parent for path in PACKAGE.rglob("*.py")}
    assert [str(folder) for folder in holding if not (folder / "__init__.py").exists()] == []
