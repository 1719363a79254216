"""Heavy libraries load only where they are used, and only declared ones are used."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.contract.tree import PACKAGE, ROOT, Module, modules

HELP = "import sys; sys.argv = ['rafterstay', '--help']; from rafterstay.cli import main; main()"
EVERY_MODULE = (
    "import importlib, pkgutil, rafterstay\n"
    "for found in pkgutil.walk_packages(rafterstay.__path__, 'rafterstay.'):\n"
    "    if not found.name.endswith('__main__'):\n"
    "        importlib.import_module(found.name)\n"
)


def loaded(code: str, path: Path | None = None) -> set[str]:
    """Give the top-level modules that running ``code`` in a new process loads."""
    report = (
        "import atexit, sys\n"
        "atexit.register(lambda: print('LOADED', *sys.modules, file=sys.stderr))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", report + code],
        env=os.environ | {"PYTHONPATH": str(path or ROOT / "src")},
        capture_output=True,
        check=False,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr
    last = done.stderr.splitlines()[-1].split()
    assert last[0] == "LOADED"
    return {name.split(".")[0] for name in last[1:]}


@pytest.mark.parametrize(
    ("code", "heavy"),
    [
        ("import rafterstay", {"scipy", "rich", "pydantic", "tomlkit", "click"}),
        (HELP, {"scipy", "rich", "pydantic", "tomlkit", "numpy"}),
        (EVERY_MODULE, {"scipy"}),
    ],
    ids=["import", "help", "every module"],
)
def test_nothing_heavy_is_loaded(code: str, heavy: set[str]) -> None:
    names = loaded(code)
    assert "rafterstay" in names
    assert names & heavy == set()


def test_a_heavy_import_is_found(tmp_path: Path) -> None:
    (tmp_path / "rafterstay").mkdir()
    (tmp_path / "rafterstay" / "__init__.py").write_text("import rich.table\n")
    assert "rich" in loaded("import rafterstay", tmp_path)


def undeclared(found: list[Module], declared: set[str]) -> list[str]:
    """Give every import that is neither Python's own, ours nor declared."""
    allowed = declared | set(sys.stdlib_module_names) | {"rafterstay"}
    said = []
    for module in found:
        for node in ast.walk(module.tree):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            said += [f"{module.path}: {n}" for n in names if n.split(".")[0] not in allowed]
    return said


def test_only_declared_libraries_are_used() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {wanted.split(">=")[0] for wanted in project["dependencies"]}
    brought = {"pydantic_core"}  # pydantic's own, where its custom errors live
    assert undeclared(modules(PACKAGE), declared | brought) == []


def test_an_undeclared_library_is_found(tmp_path: Path) -> None:
    (tmp_path / "solve.py").write_text(
        "import numpy, math\ndef f():\n    from scipy import linalg\n"
    )
    assert undeclared(modules(tmp_path), {"numpy"}) == [f"{tmp_path / 'solve.py'}: scipy"]
