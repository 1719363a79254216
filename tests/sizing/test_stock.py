"""Sizes of round bar and plate: what a job may state, in its own unit, and no ring too thick.

The lists are common practice, no source. EN 10060:2003 table 1 (preferred diameters of round
bar): value from memory, 85 %.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from rafterstay.core.quantities import parse
from rafterstay.core.tables import table
from rafterstay.job import Job
from rafterstay.sizing.ladder import dressed, ladders, parts_of
from rafterstay.sizing.stock import TABLES, is_held_by_ring, part_of, stated_size, stock
from tests.statics.roofs import stated
from tests.tie.rings import plated, welded

EN_10060 = {10, 12, 13, 14, 15, 16, 18, 19, 20, 22, 24, 25, 26, 27, 28, 30, 32, 35, 36, 38, 40}
MM = 1e-3


@pytest.mark.parametrize("job", [welded(tie__ring_radius="2 ft"), plated()])
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_every_size_can_be_stated_and_they_go_up(job: Job, unit: str) -> None:
    part = part_of(job)
    assert part is not None
    key = f"tie__{part}"
    make = {"ring_bar": welded, "plate_thickness": plated}[part]
    wide = {"tie__ring_radius": "2 ft"}
    names = stock(make("octagon", **wide, **{key: {"in": "1/2 in", "mm": "20 mm"}[unit]}), part)
    assert all(name.endswith(f" {unit}") for name in names)
    sizes = [parse(name, "length") for name in names]
    assert all(thin < thick for thin, thick in pairwise(sizes))
    for name, size in zip(names, sizes, strict=True):
        found = make("octagon", **wide, **{key: name})
        assert getattr(found.tie, part) == size
        assert stated_size(found, part) == name


def test_inches_are_sixteenths_and_millimetres_are_preferred_sizes() -> None:
    for name in ("round_inch", "plate_inch"):
        for row in table(TABLES, name):
            (size,) = row.values.values()
            assert (Fraction(size / 0.0254).limit_denominator(1000) * 16).denominator == 1
    bars = [next(iter(row.values.values())) / MM for row in table(TABLES, "round_metric")]
    assert {round(bar) for bar in bars if bar > 9.5} <= EN_10060
    assert all(abs(bar - round(bar)) < 1e-9 for bar in bars)


def test_the_document_lists_what_is_tried() -> None:
    told = (Path(__file__).parents[2] / "docs" / "sizing.md").read_text(encoding="utf-8")
    for name, what in {"round": "round bar", "plate": "plate"}.items():
        for series, unit in {"inch": "in", "metric": "mm"}.items():
            sizes = [next(iter(row.printed.values())) for row in table(TABLES, f"{name}_{series}")]
            assert f"| {what}, {unit} | {', '.join(sizes)} |" in told


@pytest.mark.parametrize(
    ("bar", "show", "unit"),
    [
        ("1/2 in", "us", "in"),
        ("1/2 in", "si", "in"),  # kept in inches: as with ropes and bolts the make stays
        ("12.7 mm", "si", "in"),
        ("12 mm", "us", "mm"),
        ("12 mm", "si", "mm"),
        ("11/16 in", "us", "in"),  # kept in neither
        ("11/16 in", "si", "mm"),
    ],
)
def test_the_size_that_is_stated_says_which_unit(bar: str, show: str, unit: str) -> None:
    job = welded(tie__ring_bar=bar, job__show=show)
    assert {name.rsplit(" ", 1)[1] for name in stock(job, "ring_bar")} == {unit}


def test_a_size_no_yard_keeps_is_told_as_a_length_and_is_on_no_ladder() -> None:
    job = welded(tie__ring_bar="11/16 in")
    assert parts_of(job)["ring_bar"] == '11/16"'
    assert "11/16 in" not in ladders(job).rungs["ring_bar"]


def test_bars_of_a_small_ring_stay_thin() -> None:
    """r/d of 5 and more, r to the bar's axis: of a 3 in ring d <= 3/4.5 = 0.667 in."""
    small = welded(tie__ring_radius="3 in")
    assert stock(small, "ring_bar")[-1] == "5/8 in"
    assert is_held_by_ring(small, "5/8 in")
    assert not is_held_by_ring(small, "9/16 in")
    large = welded(tie__ring_radius="9 in")
    assert stock(large, "ring_bar")[-1] == "1-1/2 in"
    assert not is_held_by_ring(large, "1-1/2 in")
    # Nothing is thin enough for a ring of an inch: the thinnest is tried, and referred.
    assert stock(welded(tie__ring_radius="1 in", tie__ring_bar="8 mm"), "ring_bar") == ("8 mm",)


@pytest.mark.parametrize(
    "job",
    [
        stated("octagon"),
        welded("octagon", tie__layout="band", tie__height="0 in"),
        plated("pavilion"),  # its ties run straight across
        stated("gable-workshop"),
    ],
    ids=["rope ring", "band", "cross", "gable"],
)
def test_without_a_ring_of_steel_there_is_no_steel(job: Job) -> None:
    assert part_of(job) is None
    found = ladders(job)
    assert not {"ring_bar", "plate_thickness"} & ({*found.rungs} | {*parts_of(job)})
    choice = {part: names[-1] for part, names in found.rungs.items()}
    assert dressed(job, choice, found).tie == job.tie
