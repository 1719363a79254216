"""Loads against geometry and the clauses they come from."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from rafterstay import loads, roof
from rafterstay.loads.gather import directions
from rafterstay.loads.spread import dead_lines, one_sided, snow_lines, uniform
from tests.statics.roofs import FOOT, PSF, stated


def _carried(frame: roof.Frame, lines: tuple[np.ndarray, np.ndarray]) -> np.ndarray:
    """Load of each hip, its head's included. [N]"""
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    return lines[0].mean(axis=1) * hips + lines[1]


def test_snow_on_plan_is_pressure_times_area() -> None:
    """Source: geometry; hub and all."""
    frame = roof.lay_out(stated("reading-room", roof__sides=7))
    carried = _carried(frame, snow_lines(frame, 29 * PSF, uniform(frame)))
    area = 7 * (11.125 * FOOT) ** 2 * np.sin(2 * np.pi / 7) / 2
    assert carried.sum() == pytest.approx(29 * PSF * area)


def test_dead_load_is_weight_times_sloping_area() -> None:
    """Source: geometry; each face is a sloping triangle less the hub's."""
    frame = roof.lay_out(stated(roof__sides=6, roof__rise="8 ft"))
    carried = _carried(frame, dead_lines(frame, 17 * PSF))
    apothem = 12 * np.cos(np.pi / 6)
    faces = 6 * (12 * np.hypot(apothem, 8) / 2) * FOOT**2
    assert carried.sum() == pytest.approx(17 * PSF * faces)


def test_a_slice_has_its_centroid_at_two_thirds() -> None:
    """A triangle of load, nil at a point hub. Source: geometry."""
    frame = roof.lay_out(stated())
    lines, heads = snow_lines(frame, 40 * PSF, uniform(frame))
    assert lines[:, 1] == pytest.approx(0, abs=1e-9)
    assert heads == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("sides", [5, 8, 9])
@pytest.mark.parametrize("direction", [0.0, 18.0, 71.0, 200.0])
def test_one_sided_snow_matches_clipped_areas(sides: int, direction: float) -> None:
    """Each hip's load from shapely's areas of its tributary on the two sides of the line."""
    frame = roof.lay_out(stated("reading-room", roof__sides=sides))
    carried = _carried(
        frame, snow_lines(frame, PSF, one_sided(frame, direction, full=31.0, other=8.0))
    )
    turn = np.radians(direction)
    towards, across = (
        np.array([np.sin(turn), np.cos(turn)]),
        np.array([np.cos(turn), -np.sin(turn)]),
    )
    half = shapely.convex_hull(
        shapely.MultiPoint(
            [50 * across, -50 * across, 50 * (towards + across), 50 * (towards - across)]
        )
    )
    for k in range(sides):
        total = 0.0
        for piece in [*frame.wedges[k], *frame.hub_wedges[k]]:
            polygon = shapely.Polygon(piece)
            full = polygon.intersection(half).area
            total += PSF * (31.0 * full + 8.0 * (polygon.area - full))
        assert carried[k] == pytest.approx(total)


def test_combinations_of_dead_and_snow() -> None:
    """Source: International Building Code 2018, 1605.3.1, equations with D and S only (read)."""
    job = stated("reading-room")
    frame = roof.lay_out(job)
    cases = loads.gather(job, frame).cases
    assert {case.equation for case in cases} == {"D", "D+S", "D+0.75S"}
    assert len(cases) == 1 + 2 * (1 + 20)
    by_id = {case.id: case for case in cases}
    dead, full = by_id["D/dead"].hip_load, by_id["D+S/balanced"].hip_load
    assert by_id["D+0.75S/balanced"].hip_load == pytest.approx(dead + 0.75 * (full - dead))
    assert by_id["D+S/unbalanced-018"].duration_factor == 1.15
    assert by_id["D/dead"].duration_factor == 0.9


def test_no_dead_load_leaves_out_the_combination_of_dead_alone() -> None:
    """Nothing would hold the legs' own weight."""
    job = stated()
    ids = [case.id for case in loads.gather(job, roof.lay_out(job)).cases]
    assert "D/dead" not in ids
    assert ids[:3] == ["D+S/balanced", "D+S/unbalanced-000", "D+S/unbalanced-023"]


def test_one_sided_snow_is_full_on_one_half_and_three_tenths_on_the_other() -> None:
    """The simplified pattern of the design: leg 1 bears all of it, the leg opposite 0.3."""
    job = stated()
    frame = roof.lay_out(job)
    by_id = {case.id: case for case in loads.gather(job, frame).cases}
    whole = by_id["D+S/balanced"].hip_load[:, 0]
    shares = by_id["D+S/unbalanced-000"].hip_load[:, 0] / whole
    assert shares == pytest.approx([1, 1, 0.65, 0.3, 0.3, 0.3, 0.65, 1])


def test_directions_are_all_legs_and_all_middles_of_sides() -> None:
    """2n of them."""
    assert directions(4) == (0, 45, 90, 135, 180, 225, 270, 315)
