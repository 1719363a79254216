"""Is the frame found where it stands, whatever is given to start from?"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares

from rafterstay.core.errors import InputError, NotConverged, RafterstayError
from rafterstay.survey import AsBuilt, Reading, adjust
from rafterstay.survey.nouns import Kind
from rafterstay.survey.plan import plan
from tests.survey.shapes import IN, SIGMA, TWENTY, Shape, crooked, gable, read_off, ring, true_value


def assert_same_shape(built: AsBuilt, truth: Shape, tolerance: float) -> None:
    for a, b in combinations(built.names, 2):
        found = float(np.linalg.norm(built.at(a) - built.at(b)))
        assert found == pytest.approx(true_value(truth, a, b, "slope"), abs=tolerance)


def handed(built: AsBuilt) -> float:
    """Twice the area of the feet, + anticlockwise."""
    x, y = np.array([built.at(name)[:2] for name in built.feet]).T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


@pytest.mark.parametrize("told", [True, False])
def test_faultless_readings_give_the_frame_back(told: bool) -> None:
    for design, layout in (
        (ring(8, bolts=True, hub=True, centre=True), "ring"),
        (gable(5), "pairs"),
    ):
        truth = crooked(design, 23)
        truth |= {"centre": (*truth["centre"][:2], 0.0)} if "centre" in truth else {}
        listed = plan(design, layout=layout).readings  # type: ignore[arg-type]
        built = adjust(read_off(truth, listed), design if told else None)
        assert built.blunders == ()
        level = [n for n in built.names if n != "centre"]
        for a, b in combinations(level, 2):
            found = float(np.linalg.norm(built.at(a) - built.at(b)))
            assert found == pytest.approx(true_value(truth, a, b, "slope"), abs=1e-8)
        assert handed(built) < 0.0


def test_without_a_shape_foot_1_is_north_and_feet_run_clockwise() -> None:
    truth = crooked(ring(7), 29, level=True)
    listed = plan(ring(7), heights=False).readings
    built = adjust(read_off(truth, listed, seed=1))
    assert built.at("1")[0] == pytest.approx(0.0, abs=1e-9)
    assert built.at("1")[1] > 3.0
    assert built.at("2")[0] > 0.0
    middle = np.mean([built.at(name) for name in built.feet], axis=0)
    assert np.allclose(middle, 0.0, atol=1e-12)
    assert built.notes == ("No heights read: every height is as designed.",)


def test_lengths_and_their_sigmas_agree_with_a_general_least_squares_solver() -> None:
    design = ring(6, bolts=True)
    truth = crooked(design, 31)
    readings = read_off(truth, plan(design).readings, seed=2)
    readings = [replace(r, sigma=SIGMA * (1 + k % 3)) for k, r in enumerate(readings)]
    built = adjust(readings, design)
    assert built.blunders == ()
    names = list(built.names)
    first = np.array([truth[name] for name in names])
    # Six coordinates held: foot 1 wholly, foot 2's x; heights go by readings, so four in all.
    free = np.ones_like(first, dtype=bool)
    free[0] = False
    free[1, 0] = False

    def misfit(unknowns: np.ndarray) -> np.ndarray:
        xyz = first.copy()
        xyz[free] = unknowns
        place = dict(zip(names, xyz.tolist(), strict=True))
        return np.array(
            [(true_value(place, r.start, r.end, r.kind) - r.value) / r.sigma for r in readings]
        )

    found = least_squares(misfit, first[free], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    xyz = first.copy()
    xyz[free] = found.x
    covariance = np.zeros((first.size, first.size))
    place = np.flatnonzero(free.ravel())
    covariance[np.ix_(place, place)] = np.linalg.inv(found.jac.T @ found.jac)
    assert 2.0 * found.cost == pytest.approx(built.scatter**2 * built.redundancy, rel=1e-6)
    for i, j in combinations(range(len(names)), 2):
        unit = xyz[i] - xyz[j]
        length = float(np.linalg.norm(unit))
        row = np.zeros(first.size)
        row[3 * i : 3 * i + 3], row[3 * j : 3 * j + 3] = unit / length, -unit / length
        own = built.at(names[i]) - built.at(names[j])
        mine = np.zeros(first.size)
        mine[3 * i : 3 * i + 3] = own / np.linalg.norm(own)
        mine[3 * j : 3 * j + 3] = -own / np.linalg.norm(own)
        assert float(np.linalg.norm(own)) == pytest.approx(length, abs=1e-7)
        variance = mine @ built.covariance @ mine
        assert variance == pytest.approx(row @ covariance @ row, rel=2e-4)


def test_the_frame_is_laid_over_the_designed_feet() -> None:
    design = ring(8)
    built = adjust(read_off(crooked(design, 37, level=True), TWENTY, seed=3), design)
    onto = np.array([design[name] for name in built.names])
    off = built.xyz - onto
    assert np.allclose(off.mean(axis=0), 0.0, atol=1e-12)
    turn = np.sum(onto[:, 0] * off[:, 1] - onto[:, 1] * off[:, 0])
    assert turn == pytest.approx(0.0, abs=1e-10)
    # Inner constraints hold for the covariance as well.
    ones = np.zeros(3 * 8)
    ones[0::3] = 1.0
    assert ones @ built.covariance @ ones == pytest.approx(0.0, abs=1e-15)


def test_a_sixteen_sided_frame_with_heights() -> None:
    design = ring(16, radius=5.2)
    truth = crooked(design, 41)
    listed = plan(design).readings
    built = adjust(read_off(truth, listed, seed=5), design)
    assert built.redundancy == len(listed) - (16 * 2 - 3) - 15
    assert built.blunders == ()
    assert_same_shape(built, truth, 6.0 * SIGMA)
    assert max(p.sigma for p in built.points) < 1.5 * SIGMA


def test_a_gable_with_a_planted_slip() -> None:
    design = gable(6)
    truth = crooked(design, 43)
    readings = read_off(truth, plan(design, layout="pairs").readings, seed=7)
    k = next(i for i, r in enumerate(readings) if (r.start, r.end) == ("2", "10"))
    readings[k] = replace(readings[k], value=readings[k].value + 12 * IN)
    built = adjust(readings, design)
    (blunder,) = built.blunders
    assert (blunder.reading, blunder.start, blunder.end) == (k + 1, "2", "10")
    assert blunder.likely_slip == "a foot too long"
    assert not built.used[k]
    assert_same_shape(built, truth, 6.0 * SIGMA)


def test_three_slips_at_once_in_a_well_checked_frame() -> None:
    design = ring(10)
    truth = crooked(design, 47)
    readings = read_off(truth, plan(design).readings, seed=9)
    planted = {4: 1.0 * IN, 27: -12.0 * IN, 40: 0.5 * IN}
    for k, slip in planted.items():
        readings[k] = replace(readings[k], value=readings[k].value + slip)
    built = adjust(readings, design)
    assert {b.reading - 1 for b in built.blunders} == set(planted)
    assert_same_shape(built, truth, 6.0 * SIGMA)


@pytest.mark.parametrize("lost", [3.0, 6.0, -4.0])
@pytest.mark.parametrize("k", [0, 9, 17])
def test_a_gross_mistake_of_metres_is_named_too(k: int, lost: float) -> None:
    design = ring(8)
    readings = read_off(crooked(design, 53, level=True), TWENTY, seed=11)
    readings[k] = replace(readings[k], value=abs(readings[k].value - lost) + 0.05)
    built = adjust(readings, design)
    assert [b.reading for b in built.blunders] == [k + 1]


def test_nothing_but_what_holds_the_shape_checks_nothing() -> None:
    design = ring(4, radius=3.1)
    listed = [Reading(a, b, "level", 1.0) for a, b in ("12", "23", "34", "41", "13")]
    built = adjust(read_off(crooked(design, 59, level=True), listed, seed=13), design)
    assert built.redundancy == 0
    assert built.unchecked == (1, 2, 3, 4, 5)
    assert built.smallest_hidden == np.inf
    assert np.isnan(built.scatter)


def test_one_spare_shows_a_slip_but_not_where() -> None:
    design = ring(4, radius=3.1)
    listed = [Reading(a, b, "level", 1.0) for a, b in ("12", "23", "34", "41", "13", "24")]
    readings = read_off(crooked(design, 61, level=True), listed, seed=15)
    clean = adjust(readings, design)
    assert clean.inseparable == ((1, 2, 3, 4, 5, 6),)
    readings[2] = replace(readings[2], value=readings[2].value + 3 * IN)
    built = adjust(readings, design)
    (blunder,) = built.blunders
    assert {blunder.reading, *blunder.suspects} == {1, 2, 3, 4, 5, 6}
    assert built.redundancy == 0
    assert any(note.endswith("measure again.") for note in built.notes)


def test_duplicates_are_independent_readings() -> None:
    design = ring(8)
    truth = crooked(design, 67, level=True)
    once = adjust(read_off(truth, TWENTY, seed=17), design)
    twice = adjust([*read_off(truth, TWENTY, seed=17), *read_off(truth, TWENTY, seed=18)], design)
    assert twice.redundancy == once.redundancy + 20
    for a, b in zip(once.points, twice.points, strict=True):
        assert b.sigma == pytest.approx(a.sigma / np.sqrt(2.0), rel=0.02)


def test_readings_worse_than_stated_widen_every_sigma() -> None:
    design = ring(10)
    truth = crooked(design, 71)
    listed = plan(design).readings
    true = read_off(truth, listed)
    # Chi-squared of 29 freedoms passes 58.30 once in 1,000: any table; from memory, 95 %.
    for seed in range(200):
        off = 3.2 * SIGMA * np.random.default_rng(seed).uniform(-1.0, 1.0, len(true))
        readings = [replace(r, value=r.value + float(e)) for r, e in zip(true, off, strict=True)]
        built = adjust(readings, design)
        if not built.blunders and built.scatter**2 * 29 > 58.4:
            break
    assert built.blunders == ()
    assert built.redundancy == 29
    assert built.widened == built.scatter > 1.0
    assert any("widened" in note for note in built.notes)
    steady = adjust(true, design)
    assert steady.widened == 1.0
    for wide, plain in zip(built.points, steady.points, strict=True):
        assert wide.sigma == pytest.approx(plain.sigma * built.widened, rel=0.02)


def test_points_that_could_stand_on_either_side_are_refused_without_a_shape() -> None:
    design = ring(5, centre=True)
    listed = [*plan(ring(5), heights=False).readings]
    listed = [Reading(r.start, r.end, r.kind, 1.0) for r in listed]
    listed += [Reading("1", "centre", "level", 1.0), Reading("2", "centre", "level", 1.0)]
    readings = read_off(design, listed, seed=21)
    with pytest.raises(InputError, match=r"SV-022 centre = measured to 1 and 2 only"):
        adjust(readings)
    built = adjust(readings, design)
    assert np.allclose(built.at("centre")[:2], 0.0, atol=6 * SIGMA)


def test_height_known_from_slopes_alone_is_up_or_down_only_by_the_shape() -> None:
    design = ring(4, hub=True)
    listed = [Reading(a, b, "level", 1.0) for a, b in ("12", "23", "34", "41", "13", "24")]
    listed += [Reading(str(k), "hub", "slope", 1.0) for k in (1, 2, 3, 4)]
    listed += [Reading(a, b, "height", 1.0) for a, b in ("12", "23", "34", "41")]
    readings = read_off(design, listed, seed=23)
    with pytest.raises(InputError, match=r"SV-023 height of hub"):
        adjust(readings)
    assert adjust(readings, design).at("hub")[2] == pytest.approx(1.7, abs=6 * SIGMA)


def test_a_list_that_barely_holds_the_shape_is_refused() -> None:
    design = ring(40, radius=6.0)
    pairs = [(k, (k + skip) % 40) for skip in (1, 2) for k in range(40)]
    listed = [Reading(str(i + 1), str(j + 1), "level", 1.0) for i, j in pairs]
    with pytest.raises(InputError, match=r"SV-021 ± of point"):
        adjust(read_off(design, listed), design)


def test_readings_to_points_the_shape_lacks() -> None:
    with pytest.raises(InputError, match=r"SV-025 readings = points 8"):
        adjust(read_off(ring(8), TWENTY), {k: v for k, v in ring(8).items() if k != "8"})


def test_no_readings_at_all() -> None:
    with pytest.raises(InputError, match="SV-012"):
        adjust([])


def test_heights_alone_need_a_shape_for_the_plan() -> None:
    design = ring(3)
    heights = [Reading(a, b, "height", 0.01) for a, b in ("12", "23", "31")]
    built = adjust(heights, design)
    assert built.notes[0].startswith("No reading on plan")
    assert np.allclose(built.xyz[:, :2], np.array([design[n] for n in built.names])[:, :2])


def test_more_slips_than_the_spares_can_sort_out() -> None:
    design = ring(8)
    readings = read_off(crooked(design, 79, level=True), TWENTY, seed=33)
    for k in (0, 3, 7, 9, 14, 18):
        readings[k] = replace(readings[k], value=readings[k].value + (12 + k) * IN)
    with pytest.raises(InputError, match=r"SV-034 readings = 4 or more that disagree"):
        adjust(readings, design)


def test_two_feet_swapped_throughout_are_found_standing_in_each_others_place() -> None:
    design = ring(8)
    swapped = {"3": "4", "4": "3"}
    truth = crooked(design, 79, level=True)
    readings = [
        replace(r, start=swapped.get(r.start, r.start), end=swapped.get(r.end, r.end))
        for r in read_off(truth, TWENTY, seed=33)
    ]
    built = adjust(readings, design)
    assert built.blunders == ()
    assert_same_shape(built, truth | {"3": truth["4"], "4": truth["3"]}, 6.0 * SIGMA)


def test_readings_of_no_frame_at_all_do_not_settle() -> None:
    generator = np.random.default_rng(25)
    readings = [replace(r, value=float(generator.uniform(0.01, 90.0))) for r in TWENTY]
    with pytest.raises(NotConverged, match="SV-030 readings = no shape") as caught:
        adjust(readings, ring(8))
    assert caught.value.iterations == 60
    assert caught.value.worst_node in ring(8)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["1", "2", "3", "4", "t1", "hub"]),
            st.sampled_from(["1", "2", "3", "4", "t1", "hub"]),
            st.sampled_from(["level", "slope", "height"]),
            st.floats(0.01, 30.0),
        ),
        min_size=1,
        max_size=30,
    ),
    st.booleans(),
)
def test_any_readings_give_a_frame_or_a_named_error(
    rows: list[tuple[str, str, Kind, float]], given_shape: bool
) -> None:
    readings = [Reading(a, b, kind, value) for a, b, kind, value in rows if a != b]
    shape = ring(4, bolts=True, hub=True) if given_shape else None
    try:
        built = adjust(readings, shape)
    except RafterstayError as fault:
        codes = {f.code for f in fault.findings}
    else:
        codes = set() if np.isfinite(built.xyz).all() else {"not finite"}
    assert all(code.startswith("SV-") for code in codes)


def test_the_order_of_the_readings_does_not_matter() -> None:
    design = ring(9)
    readings = read_off(crooked(design, 83), plan(design).readings, seed=27)
    readings[5] = replace(readings[5], value=readings[5].value - 2 * IN)
    order = np.random.default_rng(29).permutation(len(readings))
    plain = adjust(readings, design)
    mixed = adjust([readings[k] for k in order], design)
    assert np.allclose(plain.xyz, mixed.xyz, atol=1e-9)
    assert np.allclose(plain.covariance, mixed.covariance, atol=1e-12)
    assert [order[b.reading - 1] for b in mixed.blunders] == [5]


def test_a_frame_turned_scaled_and_mirrored_has_the_same_sigmas() -> None:
    design = ring(7, bolts=True)
    readings = read_off(crooked(design, 89), plan(design).readings, seed=31)
    plain = adjust(readings, design)
    c, s = np.cos(0.7), np.sin(0.7)
    # Mirrored on plan, turned by 0.7, moved, and 2.5 times as large with its sigmas.
    other = {
        k: (2.5 * (-c * x - s * y) + 4.0, 2.5 * (-s * x + c * y) - 7.0, 2.5 * z + 1.5)
        for k, (x, y, z) in design.items()
    }
    larger = [replace(r, value=2.5 * r.value, sigma=2.5 * r.sigma) for r in readings]
    moved = adjust(larger, other)
    for a, b in zip(plain.points, moved.points, strict=True):
        assert b.sigma == pytest.approx(2.5 * a.sigma, rel=1e-6)
        x, y = 2.5 * (-c * a.x - s * a.y) + 4.0, 2.5 * (-s * a.x + c * a.y) - 7.0
        assert (b.x, b.y, b.z) == pytest.approx((x, y, 2.5 * a.z + 1.5), abs=1e-8)
    assert np.allclose(plain.standardised, moved.standardised, atol=1e-6)
