"""Cutting and hatching of outlines, against a general geometry library."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.affinity import rotate, translate

from rafterstay.sheets.hatch import half, hatch
from rafterstay.sheets.scene import Text, overlap

turns = st.floats(0.0, 360.0)


def outline(n: int, squash: float) -> list[tuple[float, float]]:
    steps = [math.tau * k / n for k in range(n)]
    return [(40 * math.sin(step) + 7, 40 * squash * math.cos(step) - 3) for step in steps]


@given(st.integers(3, 20), st.floats(0.2, 1.5), turns, st.floats(-60.0, 60.0))
def test_half_has_the_area_that_shapely_finds(
    n: int, squash: float, turn: float, offset: float
) -> None:
    corners = outline(n, squash)
    unit = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    side = rotate(box(offset, -500, offset + 1000, 500), turn, origin=(0, 0))
    expected = Polygon(corners).intersection(side).area
    found = half(corners, unit, offset)
    area = Polygon(found).area if len(found) > 2 else 0.0
    assert area == pytest.approx(expected, abs=1e-6)


@given(st.integers(3, 20), st.floats(0.2, 1.5), turns, st.floats(0.7, 9.0))
def test_hatching_fills_the_outline(n: int, squash: float, turn: float, spacing: float) -> None:
    corners = outline(n, squash)
    ground = Polygon(corners)
    lines = hatch(corners, spacing, turn)
    assert all(ground.buffer(1e-6).covers(LineString(line)) for line in lines)
    # Lines a spacing apart measure an area: trapezium rule, off by at most a line a side.
    length = sum(math.dist(*line) for line in lines)
    widest = max(math.dist(a, b) for a in corners for b in corners)
    assert length * spacing == pytest.approx(ground.area, abs=1.01 * widest * spacing)


@given(st.floats(-9, 9), st.floats(-9, 9), turns, turns)
def test_overlap_is_what_shapely_finds(x: float, y: float, one: float, other: float) -> None:
    first = rotate(box(-4, -1, 4, 1), one, origin=(0, 0))
    second = translate(rotate(box(-3, -2, 3, 2), other, origin=(0, 0)), x, y)
    shared = first.intersection(second).area
    if shared > 1e-9 or first.distance(second) > 1e-9:
        corners = [list(ground.exterior.coords)[:-1] for ground in (first, second)]
        assert overlap(*corners) == (shared > 1e-9)


@given(turns, st.sampled_from(["start", "middle", "end"]))
def test_a_turned_box_is_the_box_turned(turn: float, anchor: str) -> None:
    flat = Text("text", (3.0, -2.0), "across 12", 2.5, anchor)  # type: ignore[arg-type]
    turned = Text("text", (3.0, -2.0), "across 12", 2.5, anchor, angle=turn)  # type: ignore[arg-type]
    expected = rotate(Polygon(flat.box()), turn, origin=(3.0, -2.0))
    assert Polygon(turned.box()).symmetric_difference(expected).area < 1e-6
