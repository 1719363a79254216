"""`parts` lists every accepted name, with figures and sources, in 80 columns."""

from __future__ import annotations

import math
from typing import get_args

import pytest

from rafterstay import catalog
from rafterstay.catalog.shelf import Kind

from .run import document, run


def test_every_accepted_name_is_listed_with_its_source() -> None:
    result = run("parts")
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    names = [name for kind in get_args(Kind) for name in catalog.names(kind)]
    names += catalog.timbers()
    assert [name for name in names if not any(line.startswith(name) for line in lines)] == []
    found = document(run("parts", "--json"))["parts"]
    assert [part["name"] for part in found] == names
    assert all(part["source"] for part in found)


def test_figures_are_in_si_with_the_unit_in_the_key() -> None:
    (found,) = document(run("parts", "7x19 galvanized 1/8 in", "--json"))["parts"]
    # MIL-W-83420 composition A: 1/8 in 7x19 breaks at 2000 lb, as printed in AC 43.13-1B Table 7-3.
    assert math.isclose(found["strength_N"], 2000 * 4.4482216152605, rel_tol=1e-9)
    assert math.isclose(found["diameter_m"], 0.003175)


@pytest.mark.parametrize(
    ("word", "kinds"),
    [("rope", {"rope"}), ("ropes", {"rope"}), ("timber", {"timber"}), ("5/8", {"bolt", "shackle"})],
)
def test_a_word_keeps_what_it_stands_in(word: str, kinds: set[str]) -> None:
    found = document(run("parts", word, "--json"))["parts"]
    assert kinds <= {part["kind"] for part in found}
    assert all(word.rstrip("s") in part["name"] or part["kind"] in kinds for part in found)


def test_a_word_that_stands_nowhere_is_told_with_near_names() -> None:
    result = run("parts", "turnbukle")
    assert result.exit_code == 2
    assert result.stderr.startswith("CL-005 WORD = turnbukle")
    assert "turnbuckle" in result.stderr
    assert document(run("parts", "turnbukle", "--json"))["errors"][0]["code"] == "CL-005"
