"""The pretension band as `check` tells it: its fields, its verdict, and two reasons that cross."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from rafterstay.job import set_value
from tests.cli.run import EXAMPLES, document, run

BAND = {"status", "low_N", "high_N", "low_because", "high_because", "told"}
STIFF = {"support.walls": "stiff", "support.wall_stiffness": ["0.9 kip/in", "3 kip/in"]}
AUTO = {"pretension.target": "auto"}


def written(into: Path, name: str, changes: Mapping[str, Any]) -> str:
    """An example with some keys changed, as a job folder."""
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    for key, value in changes.items():
        text = set_value(text, key, value)
    (into / "job.toml").write_text(text, encoding="utf-8")
    return str(into)


def checked(place: str) -> tuple[int, dict[str, Any]]:
    result = run("check", place, "--json")
    return result.exit_code, document(result)


def test_a_band_has_its_ends_and_what_draws_them(tmp_path: Path) -> None:
    place = written(tmp_path, "reading-room", STIFF | AUTO)
    code, found = checked(place)
    band = found["pretension_band"]
    assert set(band) == BAND
    assert band["status"] == "found"
    assert 0.0 < band["low_N"] < band["high_N"]
    assert band["low_because"].startswith("ring-sag: ")
    assert band["high_because"].startswith("walls-drawn-in: ")
    assert code == {"passes": 0, "refer": 1, "fails": 1}[found["verdict"]]
    # 1 lb is 4.4482216 N; the legs are set near the middle of the band.
    said = run("check", place).stdout
    target = float(said.partition("checked here at ")[2].partition(" lb")[0])
    assert target * 4.4482216 == pytest.approx((band["low_N"] + band["high_N"]) / 2, rel=0.02)


def test_no_band_is_told_only_where_no_pull_is_asked_for(tmp_path: Path) -> None:
    _, found = checked(written(tmp_path, "octagon", {}))
    assert "pretension_band" not in found


def test_reasons_that_cross_fail_the_check(tmp_path: Path) -> None:
    """The ring is to hang level within a hair, and the walls may hardly come in."""
    close = {"limits.spread": "1/16 in", "limits.ring_sag": "1/16 in"}
    place = written(tmp_path, "reading-room", STIFF | AUTO | close)
    code, found = checked(place)
    band = found["pretension_band"]
    assert (code, band["status"], found["verdict"]) == (1, "none", "fails")
    for end in ("low_because", "high_because"):
        name, _, why = band[end].partition(": ")
        assert name
        assert len(why) > len(name)
    said = run("check", place).stdout
    assert "NONE: the least and the most cross" in said
    assert max(map(len, said.splitlines())) <= 80


def test_where_no_pull_can_be_held_both_reasons_are_whole_sentences(tmp_path: Path) -> None:
    place = written(tmp_path, "octagon", STIFF | AUTO)
    code, found = checked(place)
    band = found["pretension_band"]
    assert (code, band["status"]) == (1, "none")
    assert "ST-" in band["low_because"]
    assert "ST-" in band["high_because"]
