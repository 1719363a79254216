"""The overhang beyond the plate: its load and its moment about the foot."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from rafterstay import loads
from rafterstay.loads.laid import Plan, eave_corners
from rafterstay.loads.spread import even, halves
from tests.loads.crooked import crooked, job_of, plate_of, with_overhang


def test_eaves_stand_out_square_to_every_plate() -> None:
    """Against shapely's offset with mitred corners."""
    frame = crooked(7, [0.03, -0.02, 0.04, 0.01, -0.05])
    ours = plate_of(frame, 0.37)
    offset = plate_of(frame).buffer(0.37, join_style="mitre", mitre_limit=9)
    assert ours.symmetric_difference(offset).area == pytest.approx(0.0, abs=1e-9)


def test_tails_carry_the_ring_between_plate_and_eaves() -> None:
    """Pressure times shapely's ring; the moment is that of its pieces' centroids."""
    frame = crooked(9, [0.0])
    plan = Plan.of(frame, 0.45)
    lines = even(plan, 1250.0)
    ring = plate_of(frame, 0.45).difference(plate_of(frame))
    assert lines.tails.sum() == pytest.approx(1250.0 * ring.area, rel=1e-10)
    foot, corner = frame.nodes[frame.feet[0], :2], eave_corners(frame, 0.45)[0]
    along = (corner - foot) / np.linalg.norm(corner - foot)
    moment = 0.0
    assert plan.tails is not None
    for side, piece in enumerate(plan.tails.corners[0]):
        polygon = shapely.Polygon(piece)
        across = plan.out[0, side]
        # Square to its plate the centroid lies so far out; along the hip that is over the cosine.
        out = (np.array(polygon.centroid.coords[0]) + frame.centre - foot) @ across
        moment += 1250.0 * polygon.area * out / (along @ across)
    assert lines.tail_moment[0] == pytest.approx(moment, rel=1e-10)


def test_uplift_turns_a_tail_up_by_its_whole_square_force() -> None:
    """On a gable-like steep tail: pressure x sloping area x sloping lever about the foot."""
    frame = crooked(64, [0.0])
    plan = Plan.of(frame, 0.6)
    lines = even(plan, -1000.0, square=True)
    slope = plan.slope[0, 0]
    vertical = -even(plan, -1000.0).tail_moment[0]
    # With 64 sides hip and plane slope alike, so both parts turn about the same lever.
    assert -lines.tail_moment[0] == pytest.approx(vertical * (1 + slope**2), rel=3e-3)


def test_cases_run_with_the_overhang_loaded_and_bare() -> None:
    job = with_overhang(job_of(6), 0.5)
    frame = crooked(6, [0.01, 0.02, -0.03])
    by_id = {case.id: case for case in loads.gather(job, frame).cases}
    full, bare = by_id["D+S/unbalanced-030"], by_id["D+S/unbalanced-bare-eaves-030"]
    dead = by_id["D/dead"]
    assert bare.hip_load == pytest.approx(full.hip_load)
    assert bare.tail_load == pytest.approx(dead.tail_load)
    assert bare.tail_moment == pytest.approx(dead.tail_moment)
    assert (full.tail_load > bare.tail_load).all()
    assert (dead.tail_load > 0).all()


def test_without_an_overhang_nothing_is_said_of_tails() -> None:
    job = job_of(6)
    cases = loads.gather(job, crooked(6, [0.0])).cases
    assert not any("bare" in case.pattern for case in cases)
    assert not any(case.tail_load.any() or case.tail_moment.any() for case in cases)


def test_a_half_loads_the_tails_of_its_own_half() -> None:
    frame = crooked(8, [0.0])
    lines = halves(Plan.of(frame, 0.3), 0.0, 100.0, 0.0)
    assert lines.tails[[0, 1, 7]] == pytest.approx(lines.tails[0])
    assert lines.tails[[3, 4, 5]] == pytest.approx(0.0, abs=1e-9)
    assert lines.tails[2] == pytest.approx(lines.tails[0] / 2)
