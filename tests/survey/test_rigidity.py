"""Does a list of readings hold the shape? Counts by hand: unknowns less freedoms."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.survey import Reading, adjust, require_rigid, rigid
from rafterstay.survey.network import assemble, design, freedoms, predicted
from tests.survey.shapes import TWENTY, crooked, gable, read_off, ring

SIDES_AND_DIAMETERS = [*TWENTY[:8], *TWENTY[16:]]


def test_octagon_by_sides_and_diameters_is_loose_rank_11_of_13() -> None:
    found = rigid(SIDES_AND_DIAMETERS, ring(8))
    # 8 points on plan: 16 unknowns less two moves and a turn.
    assert (found.rank, found.needed) == (11, 13)
    assert not found.is_rigid
    assert len(found.fixes) == 2
    assert set(found.loose) == set(ring(8))


def test_the_readings_named_do_fix_it() -> None:
    fixes = [Reading(a, b, kind, 1.0) for a, b, kind in rigid(SIDES_AND_DIAMETERS, ring(8)).fixes]
    assert rigid([*SIDES_AND_DIAMETERS, *fixes], ring(8)).is_rigid
    assert not rigid([*SIDES_AND_DIAMETERS, fixes[0]], ring(8)).is_rigid


def test_twenty_readings_hold_it() -> None:
    found = rigid(TWENTY, ring(8))
    assert (found.rank, found.needed, found.fixes) == (13, 13, ())


def test_a_loose_list_is_refused_with_its_rank_and_what_would_fix_it() -> None:
    with pytest.raises(InputError, match=r"SV-020 .*11 independent .* 13 .* Take also: level"):
        require_rigid(SIDES_AND_DIAMETERS, ring(8))
    readings = read_off(crooked(ring(8), 5, level=True), SIDES_AND_DIAMETERS)
    for shape in (ring(8), None):
        with pytest.raises(InputError, match="SV-020"):
            adjust(readings, shape)


@pytest.mark.parametrize(
    ("kept", "loose"),
    [(slice(0, 19), 0), (slice(0, 13), 0), (slice(0, 12), 1), (slice(1, 12), 2), (slice(0, 8), 5)],
)
def test_rank_against_counting(kept: slice, loose: int) -> None:
    # Sides alone leave n - 3 ways to move a polygon; each independent chord takes one away.
    found = rigid([*TWENTY[kept]], crooked(ring(8), 3, level=True))
    assert found.needed - found.rank == loose == len(found.fixes)


def test_heights_that_float_are_found() -> None:
    shape = ring(4, bolts=True)
    plan = [Reading(a, b, "level", 1.0) for a, b in ("12", "23", "34", "41", "13")]
    names = [("t1", "1"), ("t1", "2"), ("t1", "3")]
    plan += [Reading(a, b, "level", 1.0) for a, b in names]
    floating = [*plan, Reading("1", "t1", "height", 1.0), Reading("2", "3", "height", 1.0)]
    found = rigid(floating, shape)
    assert found.needed - found.rank == 1
    ((_, _, kind),) = found.fixes
    assert kind == "height"


def test_slopes_alone_between_level_feet_do_not_tell_heights() -> None:
    listed = [Reading(r.start, r.end, "slope", 1.0) for r in TWENTY]
    found = rigid(listed, ring(8))
    # 24 unknowns less six freedoms; on a level frame slopes feel no height at all.
    assert found.needed == 18
    assert found.rank == 13


def test_a_rectangle_needs_its_diagonal() -> None:
    sides = [Reading(str(k), str(k % 4 + 1), "level", 1.0) for k in range(1, 5)]
    found = rigid(sides, gable(2, span=7.3, bay=4.9))
    assert (found.rank, found.needed) == (4, 5)
    assert set(found.fixes[0][:2]) in ({"1", "3"}, {"2", "4"})


def test_rows_of_the_design_matrix_are_the_change_of_the_readings() -> None:
    shape = crooked(ring(5, bolts=True), 11)
    names = sorted(shape)
    kinds = ("level", "slope", "height")
    listed = [
        Reading(a, b, kinds[(i + j) % 3], 1.0)
        for i, a in enumerate(names)
        for j, b in enumerate(names)
        if i < j
    ]
    network = assemble(listed)
    xyz = np.array([shape[name] for name in network.names])
    matrix = design(network, xyz)
    step = 1e-6
    for column in range(network.n_unknowns):
        moved = xyz.copy()
        moved[network.column == column] += step
        by_difference = (predicted(network, moved) - predicted(network, xyz)) / step
        assert np.allclose(matrix[:, column], by_difference, atol=2e-6)


@pytest.mark.parametrize(
    "listed", [TWENTY, [Reading(r.start, r.end, "slope", 1.0) for r in TWENTY]]
)
def test_the_freedoms_change_no_reading(listed: list[Reading]) -> None:
    network = assemble(listed)
    shape = crooked(ring(8), 17)
    xyz = np.array([shape[name] for name in network.names])
    whole = freedoms(network, xyz, np.arange(8))
    assert whole.shape[1] == (6 if network.tilt_free else 3)
    assert np.abs(design(network, xyz) @ whole).max() < 1e-12
