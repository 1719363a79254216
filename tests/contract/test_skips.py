"""A run in which a test was passed over fails, with one process or with several."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.contract.tree import ROOT

PASSES = "def test_passes():\n    assert 1 + 1 == 2\n"
SKIPS = "import pytest\ndef test_skips():\n    pytest.skip('not today')\n"
XFAILS = "import pytest\n@pytest.mark.xfail\ndef test_fails():\n    raise ValueError\n"
WHOLE = "import pytest\npytest.importorskip('no_such_library')\n"


@pytest.mark.parametrize("processes", ["0", "2"])
@pytest.mark.parametrize(
    ("source", "named"),
    [(PASSES, ""), (SKIPS, "test_skips"), (XFAILS, "test_fails"), (WHOLE, "test_one.py")],
    ids=["none", "skip", "expected failure", "whole module"],
)
def test_passing_over_fails_the_run(
    tmp_path: Path, source: str, named: str, processes: str
) -> None:
    (tmp_path / "conftest.py").write_bytes((ROOT / "tests" / "conftest.py").read_bytes())
    (tmp_path / "test_one.py").write_text(source)
    (tmp_path / "test_other.py").write_text(PASSES)
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-n", processes, tmp_path],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
        encoding="utf-8",
    )
    assert done.returncode == (1 if named else 0), done.stdout
    assert ("passed over without leave" in done.stdout) is bool(named)
    assert named in done.stdout
