"""A ring of steel as its maker is told: places taped round a drawn ring, and what is bought."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest

from rafterstay import shop
from rafterstay.shop.buying import shopping
from tests.shop.benches import INCH, designed, unequal


def _cut(name: str) -> shop.Cutting:
    done = designed(name)
    return shop.cut(done.job, done.tie, done.forces, legs=unequal(name))


def test_a_bar_is_as_long_as_the_way_round_its_axis() -> None:
    """Seven eyes at 7-1/4 in to the crown, 17 mm bar: walked along a polygon of 70,000 sides."""
    steel = _cut("welded").steel
    assert steel is not None
    radius = 7.25 * INCH + 0.0085
    turn = np.linspace(0.0, 2 * pi, 70_001)
    walk = np.column_stack([radius * np.sin(turn), radius * np.cos(turn)])
    way = np.concatenate([[0.0], np.linalg.norm(np.diff(walk, axis=0), axis=1).cumsum()])
    assert steel.length == pytest.approx(way[-1], rel=1e-8)
    # Eye k stands k - 1 sevenths round from eye 1; the weld half a seventh before eye 1.
    weld = -pi / 7
    for k, (along, turned) in enumerate(zip(steel.along, steel.turns_deg, strict=True)):
        assert turned == pytest.approx(360 * k / 7)
        assert along == pytest.approx((2 * pi * k / 7 - weld) * radius)
    assert steel.inside == pytest.approx(2 * 7.25 * INCH)
    assert steel.outside - steel.inside == pytest.approx(2 * 0.017)
    one, two = (radius * np.array([sin(a), cos(a)]) for a in (0.0, 2 * pi / 7))
    assert steel.chord == pytest.approx(float(np.linalg.norm(two - one)))


def test_a_plate_has_its_holes_a_shackle_inside_the_crowns() -> None:
    """Crown at 7-3/8 in; shackle 36 mm inside, pin 7/16 in, hole 1/32 in more; edge 1-1/4 in."""
    done = designed("plate")
    steel = _cut("plate").steel
    assert steel is not None
    hole = (7 / 16 + 1 / 32) * INCH
    assert steel.hole == pytest.approx(hole)
    assert steel.radius == pytest.approx(7.375 * INCH - 0.036 - hole / 2)
    assert steel.outside == pytest.approx(2 * (steel.radius + 1.25 * INCH))
    assert len(steel.turns_deg) == done.tie.n == 8
    # Plate of 3/8 in weighs 15.3 lb/ft2: AISC Manual, weights of plate, from memory, 95 %.
    feet = pi / 4 * ((steel.outside / INCH) ** 2 - 8 * (hole / INCH) ** 2) / 144
    assert steel.mass / 0.45359237 == pytest.approx(15.3 * feet, rel=0.003)


def test_there_is_no_rope_in_a_ring_of_steel() -> None:
    for name, shackles in (("welded", None), ("plate", 16)):
        done, cutting = designed(name), _cut(name)
        assert cutting.ring is None
        bought = shopping(done.job, done.tie, cutting)
        counts = {item.part: item.count for item in bought.items}
        assert counts["ring"] == 1
        assert counts.get("shackle") == shackles
        assert "ring sleeve" not in counts
        assert [order.rope for order in bought.ropes] == [done.tie.rope.name]
        said = " ".join(cutting.notes)
        assert ("closes round the bar" in said) == (name == "welded")


def test_a_ring_of_rope_is_no_ring_of_steel() -> None:
    assert _cut("octagon").steel is None
    assert _cut("band").steel is None
