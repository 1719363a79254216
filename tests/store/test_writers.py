"""Sixteen programs write to one job: no update is lost without a word."""

from __future__ import annotations

from pathlib import Path

from rafterstay.store import create_folder
from tests.store.hammer import FIRST
from tests.store.rivals import sixteen_writers


def test_sixteen_writers(tmp_path: Path) -> None:
    create_folder(tmp_path / "barn", FIRST).close()
    tally = sixteen_writers(tmp_path / "barn", seconds=3.0)
    assert tally["save"] > 16
    assert tally["conflict"] > 0
