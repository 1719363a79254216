"""Height sweep and the three ways to tie, against the code's factors and plain geometry."""

from __future__ import annotations

from math import pi, sin

import pytest

from rafterstay import catalog, design
from tests.statics.roofs import stated


def test_pull_grows_as_the_raised_tie_factor() -> None:
    """IRC 2021 Table R802.5.2, note on raised ties: 1/(1 - Hc/Hr); beyond it the hub's drop."""
    job = stated("octagon")
    rows = {round(row.share, 6): row for row in design.heights(job)}
    base = rows[0.0].pull
    for share in (0.25, round(1 / 3, 6), 0.5):
        grown = rows[share].pull / base
        factor = 1 / (1 - share)
        amplification = grown / factor
        assert 1.0 <= amplification < 1.05
    assert [row.share for row in rows.values() if row.third] == [pytest.approx(1 / 3)]
    assert [row.share for row in rows.values() if row.stated] == [0.0]


def test_the_stated_height_is_always_among_them() -> None:
    rows = design.heights(stated("octagon", tie__height="1'-10 1/2\""))
    assert [row.height for row in rows if row.stated] == [pytest.approx(0.5715)]
    assert len(rows) == 10


def test_a_height_without_an_answer_says_why() -> None:
    rows = design.heights(stated("octagon", roof__plate_radius="5 ft", roof__rise="3 ft"))
    told = {row.weakest for row in rows if not row.verdict}
    assert "IN-060" in told
    assert any(row.verdict for row in rows)


def test_a_band_pulls_what_the_polygon_asks() -> None:
    """Statics of a regular polygon: each corner's thrust is 2 B sin(pi/n)."""
    job = stated("octagon")
    ring, band, cross = design.compare(job)
    assert ring.pull is not None
    assert band.pull is not None
    assert cross.pull is not None
    assert band.pull * 2 * sin(pi / 8) == pytest.approx(ring.pull, rel=0.02)
    assert cross.pull == pytest.approx(ring.pull, rel=0.02)


def test_counts_and_steel_by_hand() -> None:
    job = stated("octagon")
    ring, band, cross = design.compare(job)
    assert [one.eyes for one in (ring, band, cross)] == [32, 32, 16]
    assert [one.turnbuckles for one in (ring, band, cross)] == [8, 8, 4]
    rope, turnbuckle = catalog.find("rope", job.parts.rope), job.parts.turnbuckle
    body = catalog.find("turnbuckle", turnbuckle)
    opened = body.closed + 0.75 * body.take_up
    straight = 4 * ((2 * 3.6576 - opened) * rope.mass + body.mass)
    assert cross.steel == pytest.approx(straight, rel=1e-9)
    side = 2 * 3.6576 * sin(pi / 8)
    assert band.steel == pytest.approx(8 * ((side - opened) * rope.mass + body.mass), rel=1e-9)
    ring_rope = catalog.find("rope", job.parts.ring_rope)
    legs = 8 * ((3.6576 - 0.1524 - opened) * rope.mass + body.mass)
    assert ring.steel == pytest.approx(
        legs + 8 * 2 * 0.1524 * sin(pi / 8) * ring_rope.mass, rel=1e-9
    )


def test_odd_sides_have_no_hip_opposite_a_hip() -> None:
    cross = design.compare(stated("octagon", roof__sides=7))[2]
    assert "even number of sides" in cross.cannot
    assert cross.pull is None


def test_cost_needs_every_price_it_uses() -> None:
    priced = {
        "prices__rope": "1.7",
        "prices__turnbuckle": "23",
        "prices__bolt": "4.1",
        "prices__thimble": "0.9",
        "prices__sleeve": "0.6",
    }
    ring, band, cross = design.compare(stated("octagon", **priced))
    assert ring.cost is None  # the ring's rope has no price
    feet = 4 * (2 * 12.0 - (330 + 0.75 * 152.4) / 304.8)
    expected = feet * 1.7 + 4 * 23 + 8 * 4.1 + 16 * (0.9 + 0.6)
    assert cross.cost == pytest.approx(expected, rel=1e-9)
    assert band.cost is not None
    assert all(one.cost is None for one in design.compare(stated("octagon")))
