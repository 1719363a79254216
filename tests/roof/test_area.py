"""Plan areas against a general geometry library."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from rafterstay import roof
from rafterstay.roof.area import area_beyond, hub_wedges, polygon_area, wedges
from rafterstay.roof.lay_out import rectangle_torsion
from tests.statics.roofs import FOOT, stated


@pytest.mark.parametrize("seed", range(25))
def test_areas_of_random_polygons_match_clipping(seed: int) -> None:
    """Irregular stars of 4 corners, cut by a random line through the origin (shapely)."""
    rng = np.random.default_rng(seed)
    turns = np.sort(rng.uniform(0, 2 * np.pi, 4))
    corners = np.stack([np.cos(turns), np.sin(turns)], axis=1) * rng.uniform(0.3, 4, (4, 1))
    corners = corners + rng.uniform(-2, 2, 2)
    polygon = shapely.Polygon(corners)
    if not polygon.is_valid:
        corners = np.array(shapely.convex_hull(polygon).exterior.coords)[:-1]
        polygon = shapely.Polygon(corners)
    angle = rng.uniform(0, 2 * np.pi)
    towards = np.array([np.sin(angle), np.cos(angle)])
    across = np.array([towards[1], -towards[0]])
    far = 100.0
    half = shapely.Polygon(
        [far * across, -far * across, far * (towards - across), far * (towards + across)]
    )
    half = shapely.convex_hull(half)
    assert polygon_area(corners).item() == pytest.approx(polygon.area)
    assert area_beyond(corners, towards).item() == pytest.approx(
        polygon.intersection(half).area, abs=1e-12
    )


@pytest.mark.parametrize("seed", range(8))
def test_wedges_tile_the_plan_of_an_irregular_roof(seed: int) -> None:
    """Every corner elsewhere than drawn: the wedges still cover face after face, once (shapely)."""
    rng = np.random.default_rng(seed)
    n = int(rng.integers(3, 12))
    turns = 2 * np.pi * (np.arange(n) + rng.uniform(-0.2, 0.2, n)) / n
    around = np.stack([np.sin(turns), np.cos(turns)], axis=1)
    feet = around * rng.uniform(3.5, 4.5, (n, 1))
    heads = around * rng.uniform(0.3, 0.5, (n, 1)) + [0.1, -0.05]
    pieces = [shapely.Polygon(p) for p in wedges(feet, heads).reshape(-1, 4, 2)]
    pieces += [shapely.Polygon(p) for p in hub_wedges(heads, heads.mean(0)).reshape(-1, 3, 2)]
    whole = shapely.Polygon(feet)
    assert sum(piece.area for piece in pieces) == pytest.approx(whole.area)
    assert shapely.union_all(pieces).symmetric_difference(whole).area < 1e-9


def test_a_hip_of_a_regular_roof_carries_its_share() -> None:
    """In all n (R2 - r2) sin(2 pi / n) / 2. Source: plane geometry of regular polygons."""
    frame = roof.lay_out(
        stated("reading-room", roof__sides=11, roof__plate_radius="13 ft", roof__hub_radius="8 in")
    )
    share = ((13 * FOOT) ** 2 - (8 * FOOT / 12) ** 2) * np.sin(2 * np.pi / 11) / 2
    assert frame.tributary == pytest.approx(share)


def test_the_slope_is_that_of_the_plane_not_of_the_hip() -> None:
    """Rise over (R - r) cos(pi/n): steeper than the hip, rise over R - r."""
    frame = roof.lay_out(
        stated("reading-room", roof__sides=5, roof__plate_radius="13 ft", roof__hub_radius="8 in")
    )
    run = (13 - 8 / 12) * FOOT * np.cos(np.pi / 5)
    assert frame.plane_slope == pytest.approx(frame.rise / run)


@pytest.mark.parametrize(
    ("long", "factor"),
    [(1.0, 0.1406), (1.5, 0.196), (2.0, 0.229), (3.0, 0.263), (5.0, 0.291), (10.0, 0.312)],
)
def test_twist_of_a_rectangle(long: float, factor: float) -> None:
    """Torsion constant over long side times short side cubed, against the exact series.

    Source: Timoshenko & Goodier, Theory of Elasticity, table of torsion of rectangular bars,
    k1 (values from memory, 95 %).
    """
    width = 0.037
    assert rectangle_torsion(width, long * width) / (long * width**4) == pytest.approx(
        factor, rel=0.005
    )


def test_legs_number_clockwise_from_north_seen_from_above() -> None:
    """Leg 1 at azimuth 000, leg 2 to the east of it; x is east, y north, z up."""
    frame = roof.lay_out(stated())
    assert frame.nodes[frame.feet[0]] == pytest.approx([0, 12 * FOOT, 0], abs=1e-12)
    assert frame.nodes[frame.feet[2]] == pytest.approx([12 * FOOT, 0, 0], abs=1e-12)
    assert frame.nodes[frame.heads[5]] == pytest.approx([0, 0, 6 * FOOT], abs=1e-12)
