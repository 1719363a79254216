"""Areas, moments and swept loads against shapely and against quadrature of another kind."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from rafterstay.loads.asce7_2016.unbalanced import sector_share
from rafterstay.loads.laid import Lines, Plan
from rafterstay.loads.pieces import Pieces, Region
from rafterstay.loads.snow import KINKS_DEG
from rafterstay.loads.spread import directions, even, halves, heading
from tests.loads.crooked import beyond, crooked, plate_of

WOBBLE = st.lists(st.floats(-0.05, 0.05), min_size=5, max_size=11)
DIRECTION = st.floats(0.0, 359.0)


def carried(plan: Plan, lines: Lines) -> np.ndarray:
    """Downward load of each hip, its head's and its tail's included. [N]"""
    frame = plan.frame
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    return lines.hips.mean(axis=1) * hips + lines.heads + lines.tails


def polygons(pieces: Pieces, plan: Plan) -> list[list[shapely.Polygon]]:
    return [
        [shapely.Polygon(piece + plan.frame.centre) for piece in pair] for pair in pieces.corners
    ]


def share_at(pieces: Pieces, k: int, side: int, point: np.ndarray) -> float:
    return float(pieces.at_centre[k, side] + pieces.climb[k, side] @ point)


@settings(max_examples=25, deadline=None)
@given(st.integers(3, 13), WOBBLE, DIRECTION, st.floats(-2.5, 2.5))
def test_what_lies_beyond_a_line(
    sides: int, wobble: list[float], direction: float, offset: float
) -> None:
    """Area and first moment of every piece, each from shapely's clipped piece and centroid."""
    plan = Plan.of(crooked(sides, wobble), 0.31)
    clip = beyond(plan, direction, offset)
    assert plan.tails is not None
    for pieces in (plan.faces, plan.hub, plan.tails):
        found = pieces.beyond(heading(direction), offset)
        for k, pair in enumerate(polygons(pieces, plan)):
            for side, polygon in enumerate(pair):
                part = polygon.intersection(clip)
                assert found.amount[k, side] == pytest.approx(part.area, rel=1e-10, abs=1e-10)
                if part.area > 1e-9:
                    at = np.array(part.centroid.coords[0]) - plan.frame.centre
                    moment = part.area * share_at(pieces, k, side, at)
                    assert found.moment[k, side] == pytest.approx(moment, rel=1e-9, abs=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.integers(3, 13), WOBBLE, st.floats(10.0, 4000.0), st.floats(0.0, 0.9))
def test_loads_in_equal_loads_out(
    sides: int, wobble: list[float], pressure: float, overhang: float
) -> None:
    """Pressure times shapely's area to the eaves is what hips, heads and tails carry."""
    plan = Plan.of(crooked(sides, wobble), overhang)
    whole = pressure * plate_of(plan.frame, overhang).area
    assert carried(plan, even(plan, pressure)).sum() == pytest.approx(whole, rel=1e-10)


@settings(max_examples=25, deadline=None)
@given(st.integers(3, 13), WOBBLE, DIRECTION, st.floats(0.0, 0.9))
def test_half_loads_in_equal_half_loads_out(
    sides: int, wobble: list[float], direction: float, overhang: float
) -> None:
    plan = Plan.of(crooked(sides, wobble), overhang)
    roof = plate_of(plan.frame, overhang)
    half = roof.intersection(beyond(plan, direction)).area
    lines = halves(plan, direction, 1900.0, 570.0)
    expected = 1900.0 * half + 570.0 * (roof.area - half)
    assert carried(plan, lines).sum() == pytest.approx(expected, rel=1e-10)


@settings(max_examples=15, deadline=None)
@given(st.integers(3, 13), WOBBLE, DIRECTION)
def test_uplift_is_pressure_times_the_area_and_lean_of_each_face(
    sides: int, wobble: list[float], direction: float
) -> None:
    """Source: statics; a pressure square to a face pushes slope times as much on plan."""
    plan = Plan.of(crooked(sides, wobble), 0.42)
    frame = plan.frame
    lines = halves(plan, direction, -830.0, -110.0, square=True)
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    sideways = (lines.push.mean(axis=1) * hips[:, None]).sum(axis=0) + lines.tail_push.sum(axis=0)
    expected = np.zeros(2)
    clip = beyond(plan, direction)
    assert plan.tails is not None
    for pieces in (plan.faces, plan.tails):
        for k, pair in enumerate(polygons(pieces, plan)):
            for side, polygon in enumerate(pair):
                full = polygon.intersection(clip).area
                load = 830.0 * full + 110.0 * (polygon.area - full)
                expected += load * plan.slope[k, side] * plan.out[k, side]
    assert sideways == pytest.approx(expected, rel=1e-9, abs=1e-7)


def test_uplift_all_over_a_regular_roof_pulls_no_way_and_outwards_everywhere() -> None:
    """Source: symmetry."""
    plan = Plan.of(crooked(9, [0.0]), 0.0)
    lines = even(plan, -700.0, square=True)
    assert lines.push.sum(axis=0) == pytest.approx(0.0, abs=1e-9)
    out = np.einsum("nei,ni->ne", lines.push, plan.frame.outward[:, :2])
    assert (out[:, 0] > 0).all()


@pytest.mark.parametrize(("sides", "direction"), [(3, 17.0), (5, 36.0), (8, 22.5), (16, 203.0)])
def test_a_swept_load_against_adaptive_quadrature(sides: int, direction: float) -> None:
    """The downwind sector on each face: rays cut by shapely, azimuth integrated by scipy."""
    plan = Plan.of(crooked(sides, [0.02, -0.03, 0.01, 0.035, -0.015]), 0.0)
    eave, crown = 2900.0, 700.0
    ends = (np.full((sides, 2), eave), np.full((sides, 2), crown))
    found = plan.faces.swept(
        heading(direction), sector_share, KINKS_DEG, along=plan.to_centre, ends=ends
    )
    for k in (0, sides // 2):
        for side in (0, 1):
            polygon = shapely.Polygon(plan.faces.corners[k, side])

            def along(turn_deg: float, polygon: shapely.Polygon = polygon) -> np.ndarray:
                ray = heading(direction + turn_deg)
                line = polygon.intersection(shapely.LineString([(0, 0), 50 * ray]))
                return np.array([np.hypot(*point) for point in line.coords])

            def load(turn_deg: float, k: int = k, side: int = side) -> float:
                reach = along(turn_deg)
                if len(reach) < 2:
                    return 0.0
                near, far = reach.min(), reach.max()
                ray = heading(direction + turn_deg)
                inner = plan.to_centre.climb[k, side] @ ray
                start = plan.to_centre.at_centre[k, side]
                steep = (crown - eave) * inner
                level = eave + (crown - eave) * start
                share = float(sector_share(np.array((turn_deg + 180.0) % 360.0 - 180.0)))
                radial = level * (far**2 - near**2) / 2 + steep * (far**3 - near**3) / 3
                return share * float(radial)

            azimuths = np.degrees(np.arctan2(*plan.faces.corners[k, side].T)) - direction
            azimuths = azimuths[0] + (azimuths - azimuths[0] + 180.0) % 360.0 - 180.0
            kinks = [kink + round_ for kink in KINKS_DEG for round_ in (-360.0, 0.0, 360.0)]
            inside = [kink for kink in kinks if azimuths.min() < kink < azimuths.max()]
            breaks = sorted({*azimuths.tolist(), *inside})
            total = 0.0
            for start, end in pairwise(breaks):
                total += quad(load, start, end, epsabs=1e-9, epsrel=1e-11)[0] * np.pi / 180.0
            assert found.amount[k, side] == pytest.approx(total, rel=1e-8, abs=1e-6)


def test_a_whole_circle_of_full_share_is_the_load_itself() -> None:
    """With factor 1 all round, a linear pressure has the closed form of a pyramid."""
    plan = Plan.of(crooked(7, [0.0]), 0.0)
    ends = (np.full((7, 2), 1700.0), np.full((7, 2), 1700.0))

    def region(pieces: Pieces) -> Region:
        return pieces.swept(heading(11.0), np.ones_like, KINKS_DEG, along=plan.to_centre, ends=ends)

    assert plan.lay(region).hips == pytest.approx(even(plan, 1700.0).hips, rel=1e-12, abs=1e-9)
    cone = (np.full((7, 2), 3000.0), np.zeros((7, 2)))
    total = sum(
        pieces.swept(
            heading(11.0), np.ones_like, KINKS_DEG, along=plan.to_centre, ends=cone
        ).amount.sum()
        for pieces in (plan.faces, plan.hub)
    )
    # A pressure from nothing at the centre to p at the edge of a pyramid's plan: 2/3 p A.
    assert total == pytest.approx(2000.0 * plate_of(plan.frame).area, rel=1e-12)


@settings(max_examples=20, deadline=None)
@given(st.integers(3, 11), WOBBLE, st.floats(0.0, 360.0), st.sampled_from([0.0, 0.5]))
def test_turning_the_roof_and_the_load_changes_nothing(
    sides: int, wobble: list[float], turn: float, overhang: float
) -> None:
    here = Plan.of(crooked(sides, wobble), overhang)
    there = Plan.of(crooked(sides, wobble, turn_deg=turn), overhang)
    first = halves(here, 41.0, 900.0, 130.0)
    second = halves(there, 41.0 + turn, 900.0, 130.0)
    assert second.hips == pytest.approx(first.hips, rel=1e-9, abs=1e-8)
    assert second.tail_moment == pytest.approx(first.tail_moment, rel=1e-9, abs=1e-8)


@settings(max_examples=20, deadline=None)
@given(st.integers(3, 11), WOBBLE, DIRECTION)
def test_mirroring_the_roof_and_the_load_changes_nothing(
    sides: int, wobble: list[float], direction: float
) -> None:
    here = Plan.of(crooked(sides, wobble), 0.27)
    there = Plan.of(crooked(sides, wobble, mirror=True), 0.27)
    first = halves(here, direction, 900.0, 130.0)
    second = halves(there, -direction, 900.0, 130.0)
    back = np.roll(np.arange(sides)[::-1], 1)
    assert second.hips[back] == pytest.approx(first.hips, rel=1e-9, abs=1e-8)
    assert second.tails[back] == pytest.approx(first.tails, rel=1e-9, abs=1e-8)


def test_directions_are_all_legs_and_all_middles_of_sides() -> None:
    """2n of them."""
    assert directions(4) == (0, 45, 90, 135, 180, 225, 270, 315)
