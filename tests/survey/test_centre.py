"""Where the ring goes and how long the legs are, against geometry and brute force."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.survey import adjust
from rafterstay.survey.centre import find_centre, least_difference_centre, most_equal_centre
from rafterstay.survey.datum import lay_over
from rafterstay.survey.network import assemble
from rafterstay.survey.nouns import Floats
from rafterstay.survey.plan import plan
from tests.survey.shapes import crooked, read_off, ring


def strewn(seed: int, n: int, by: float = 0.05) -> Floats:
    shape = crooked(ring(n, bolts=True), seed, by=by)
    return np.array([shape[f"t{k + 1}"] for k in range(n)])


def spread(points: Floats, centre: Floats) -> float:
    return float(np.ptp(np.linalg.norm(points - centre, axis=1)))


def squares(points: Floats, centre: Floats) -> float:
    length = np.linalg.norm(points - centre, axis=1)
    return float(np.sum((length - length.mean()) ** 2))


def about(centre: Floats, reach: float, steps: int = 41) -> list[Floats]:
    axis = np.linspace(-reach, reach, steps)
    return [centre + np.array([dx, dy, 0.0]) for dx in axis for dy in axis]


def test_points_on_a_circle_give_its_centre() -> None:
    angle = np.array([0.1, 0.9, 2.2, 3.0, 4.4])
    points = np.column_stack([2.1 * np.cos(angle) + 7, 2.1 * np.sin(angle) - 3, np.full(5, 0.4)])
    assert np.allclose(most_equal_centre(points), [7.0, -3.0, 0.4], atol=1e-10)
    assert np.allclose(least_difference_centre(points), [7.0, -3.0, 0.4], atol=1e-10)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("n", [4, 8, 13])
def test_no_centre_nearby_does_better(seed: int, n: int) -> None:
    points = strewn(seed, n)
    equal, least = most_equal_centre(points), least_difference_centre(points)
    for reach in (0.05, 0.002):
        assert (
            squares(points, equal) <= min(squares(points, c) for c in about(equal, reach)) + 1e-12
        )
        assert spread(points, least) <= min(spread(points, c) for c in about(least, reach)) + 1e-9
    assert spread(points, least) <= spread(points, equal)


def test_three_bolts_are_equally_far_from_the_centre_of_their_circle() -> None:
    points = strewn(3, 3)
    assert spread(points, most_equal_centre(points)) == pytest.approx(0.0, abs=1e-12)


def test_legs_of_a_regular_frame() -> None:
    shape = ring(8, bolts=True)
    built = adjust(read_off(shape, plan(shape).readings), shape)
    found = find_centre(built)
    assert np.allclose(found.centre, [0.0, 0.0, 0.9], atol=1e-9)
    assert found.largest_difference == pytest.approx(0.0, abs=1e-9)
    for leg in found.legs:
        assert leg.length == pytest.approx(0.55 * 3.6576, abs=1e-9)
        assert leg.azimuth_deg % 360.0 == pytest.approx(45.0 * (leg.id - 1), abs=1e-7)
        assert leg.slope_deg == pytest.approx(0.0, abs=1e-7)
    assert found.legs[0].azimuth_sigma_deg == pytest.approx(0.0, abs=1e-9)


def test_a_slope_rises_from_a_low_bolt() -> None:
    shape = ring(8, bolts=True)
    x, y, _ = shape["t3"]
    shape["t3"] = (x, y, 0.86)
    built = adjust(read_off(shape, plan(shape).readings), shape)
    leg = find_centre(built).legs[2]
    assert leg.slope_deg == pytest.approx(np.degrees(np.arctan(0.035 / (0.55 * 3.6576))), abs=1e-3)


def test_feet_serve_where_no_bolts_were_surveyed() -> None:
    shape = ring(6)
    built = adjust(read_off(shape, plan(shape, heights=False).readings), shape)
    legs = find_centre(built).legs
    assert [leg.start for leg in legs] == ["1", "2", "3", "4", "5", "6"]
    assert [leg.start for leg in find_centre(built, ["2", "4", "6"]).legs] == ["2", "4", "6"]


def test_sigmas_hold_in_19_of_20_surveys() -> None:
    design = ring(8, bolts=True)
    listed = plan(design).readings
    network = assemble(listed)
    onto = np.array([design[n] for n in network.names])
    inside: dict[str, list[bool]] = {"length": [], "azimuth": [], "slope": [], "centre": []}
    for trial in range(150):
        truth = crooked(design, trial)
        built = adjust(read_off(truth, listed, seed=10_000 + trial), design)
        found = find_centre(built)
        bolts = np.array([truth[f"t{k + 1}"] for k in range(8)])
        centre = most_equal_centre(bolts)
        out = bolts - centre
        azimuth = np.degrees(np.arctan2(out[:, 0], out[:, 1]))
        for k, leg in enumerate(found.legs):
            length = float(np.linalg.norm(out[k]))
            inside["length"].append(abs(leg.length - length) <= 2.0 * leg.sigma)
            slope = -np.degrees(np.arcsin(out[k, 2] / length))
            inside["slope"].append(abs(leg.slope_deg - slope) <= 2.0 * leg.slope_sigma_deg)
            if k:
                off = (leg.azimuth_deg - (azimuth[k] - azimuth[0]) + 180.0) % 360.0 - 180.0
                inside["azimuth"].append(abs(off) <= 2.0 * leg.azimuth_sigma_deg)
        # The truth laid over the designed feet as the survey is.
        laid = lay_over(network, np.array([truth[n] for n in network.names]), onto, network.feet)
        bolts = laid[[network.names.index(f"t{k + 1}") for k in range(8)]]
        off_centre = np.abs(most_equal_centre(bolts) - found.centre)
        inside["centre"] += (off_centre <= 2.0 * found.centre_sigma).tolist()
    for name, held in inside.items():
        assert 0.93 <= np.mean(held) <= 0.975, name


@pytest.mark.parametrize("bolts", [["1", "2"], ["1", "2", "9"], ["1", "3", "5", "t1"]])
def test_too_few_or_unsurveyed_bolts(bolts: list[str]) -> None:
    shape = ring(6)
    built = adjust(read_off(shape, plan(shape, heights=False).readings), shape)
    with pytest.raises(InputError, match="SV-033"):
        find_centre(built, bolts)
