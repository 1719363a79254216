"""The table of keys in the docs is what the models say."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from rafterstay.job.document import page
from rafterstay.job.keys import REQUIRED, Key, Quantity
from rafterstay.job.nouns import keys

PAGE = Path(__file__).parents[2] / "docs" / "job-file.md"


def test_the_page_is_up_to_date() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), (
        "run python -m rafterstay.job.document > docs/job-file.md"
    )


def test_every_key_has_its_row() -> None:
    text = page()
    for path, key in keys():
        if isinstance(key, Key):
            assert f"| `{'.'.join(path[1:]) or path[0]}` |" in text


def test_defaults_lie_within_their_own_bounds() -> None:
    for path, key in keys():
        if isinstance(key, Key) and key.default not in (REQUIRED, None):
            key.read(key.default)
            assert key.why, path


def test_bounds_are_the_right_way_round() -> None:
    from rafterstay.core.quantities import parse

    for path, key in keys():
        if isinstance(key, Quantity) and key.least:
            assert parse(key.least, key.dimension) < parse(key.most, key.dimension), path


def test_importing_job_leaves_the_validator_alone() -> None:
    code = "import sys, rafterstay.job; print({'pydantic', 'tomlkit'} & set(sys.modules))"
    found = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert found.stdout.strip() == "set()"
