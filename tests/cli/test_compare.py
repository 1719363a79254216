"""`compare`: every field of its document, what cannot be tied so, and its exit codes."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from rafterstay.job import set_value
from tests.cli.run import EXAMPLES, document, run
from tests.statics.roofs import text_of

PRICES = {"rope": "1.10", "turnbuckle": "14.5", "bolt": "3.2", "thimble": "0.9", "sleeve": "0.7"}

SCHEME = {
    *("layout", "cannot", "max_pull_N", "steel_kg", "eyes", "turnbuckles", "headroom_m"),
    *("worst_utilisation", "worst_check", "verdict", "joints", "cost"),
}


def compared(name: str) -> tuple[int, dict[str, dict[str, Any]]]:
    result = run("compare", str(EXAMPLES / f"{name}.toml"), "--json")
    found = document(result)
    assert set(found) == {
        *("schema", "command", "job_sha256", "geometry", "assumed", "warnings"),
        *("currency", "schemes"),
    }
    assert found["command"] == "compare"
    assert all(set(one) == SCHEME for one in found["schemes"])
    assert [one["layout"] for one in found["schemes"]] == ["ring", "band", "cross"]
    return result.exit_code, {one["layout"]: one for one in found["schemes"]}


def test_three_ways_to_tie_an_octagon() -> None:
    code, found = compared("octagon")
    assert code == 1  # none of them passes with the parts stated
    counts = {name: (one["eyes"], one["turnbuckles"]) for name, one in found.items()}
    assert counts == {"ring": (32, 8), "band": (32, 8), "cross": (16, 4)}
    for one in found.values():
        assert one["cannot"] is None
        assert one["max_pull_N"] > 0.0
        assert one["steel_kg"] > 0.0
        assert one["verdict"] in {"passes", "refer", "fails"}
        assert one["joints"]
        assert one["cost"] is None  # no price is stated
    # A band pulls T = H/(2 sin(pi/n)) of the thrust H that a leg of a ring or a tie holds.
    share = found["band"]["max_pull_N"] / found["ring"]["max_pull_N"]
    assert share == pytest.approx(1.30656, rel=0.03)
    assert found["band"]["steel_kg"] < found["ring"]["steel_kg"] * 3.0


def test_what_cannot_be_tied_so_says_why_and_has_no_figures() -> None:
    code, found = compared("gable-workshop")
    assert code == 0
    for name in ("ring", "band"):
        assert found[name]["cannot"]
        empty = SCHEME - {"layout", "cannot", "joints"}
        assert {found[name][key] for key in empty} == {None}
    assert found["cross"]["verdict"] == "passes"


def test_words_stay_within_eighty_columns() -> None:
    result = run("compare", str(EXAMPLES / "pavilion.toml"))
    assert max(map(len, result.stdout.splitlines())) <= 80
    for word in ("ring", "band", "cross"):
        assert word in result.stdout.lower()


def test_a_ring_of_bar_is_counted_as_steel_and_said_to_have_no_price(tmp_path: Path) -> None:
    job = tmp_path / "welded.toml"
    text = re.sub(r"ring_rope = .*\n", "", text_of("octagon"))
    wanted = {"tie.ring": "welded", "tie.ring_bar": "1/2 in"} | {
        f"prices.{name}": price for name, price in PRICES.items()
    }
    for key, value in wanted.items():
        text = set_value(text, key, value)
    job.write_text(text, encoding="utf-8")
    said = " ".join(run("compare", str(job)).stdout.split())
    assert "turnbuckles and a ring of bar or plate" in said
    assert "Cost is without the ring of bar or plate" in said
    assert "Cost is without" not in run("compare", str(EXAMPLES / "octagon.toml")).stdout
