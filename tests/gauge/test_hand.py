"""Side pull, stretch, combined readings and the corners of a ring."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.gauge import by_corners, by_side_pull, by_stretch, combine
from rafterstay.rope import taut_string_frequency

INCH, POUND = 0.0254, 4.4482216152605


def test_side_pull_at_midspan_as_the_three_point_gauge_prints_it():
    """P = 10 lb, L = 36 in, d = 0.09 in give 1000 lb: statics of three points, small d.

    With EA = 446 430 lb the deflection adds 5.6 lb (7x19 galvanised 1/4 in, maker's factor).
    """
    raw = by_side_pull(
        36 * INCH, 18 * INCH, side_pull=10 * POUND, deflection=0.09 * INCH, deflection_sigma=1e-5
    )
    assert raw.pull / POUND == pytest.approx(1000.0, abs=0.5)
    less = by_side_pull(
        36 * INCH,
        18 * INCH,
        side_pull=10 * POUND,
        deflection=0.09 * INCH,
        stiffness=446_430 * POUND,
    )
    assert (raw.pull - less.pull) / POUND == pytest.approx(5.6 * 0.65, abs=0.05)


def test_a_taut_string_of_the_same_pull_swings_as_mersenne_says():
    """F = (1/2L) sqrt(T/m): 3 m, 2000 N, 0.1637 kg/m give 18.42 Hz (Mersenne's law)."""
    assert taut_string_frequency(2000.0, 0.1637, 3.0) == pytest.approx(18.42, abs=0.005)


@pytest.mark.parametrize("share", [0.11, 0.37, 0.5, 0.82])
def test_side_pull_anywhere_along_the_leg_against_an_elastic_rope_solved_exactly(share):
    # A rope between fixed ends, held aside: its pull found from the lengths, no small angles.
    length, before, stiffness, aside = 3.17, 950.0, 1.99e6, 0.031
    a, b = share * length, (1 - share) * length
    longer = math.hypot(a, aside) + math.hypot(b, aside)
    slack = length / (1 + before / stiffness)
    held = stiffness * (longer / slack - 1)
    side = held * (aside / math.hypot(a, aside) + aside / math.hypot(b, aside))
    found = by_side_pull(length, a, side_pull=side, deflection=aside, stiffness=stiffness)
    if found.pull is not None:
        assert abs(found.pull - before) < 2.5 * found.sigma
    whole = by_side_pull(length, a, side_pull=side, deflection=aside)
    assert whole.pull == pytest.approx(held, rel=1e-9)


def test_a_slack_leg_gives_no_pull():
    found = by_side_pull(3.0, 1.5, side_pull=20.0, deflection=0.05, stiffness=2.0e6)
    assert found.pull is None
    assert "stretching the leg" in found.refused


def test_stretch_by_hooke_and_what_is_too_small_to_read():
    found = by_stretch(2.44, 0.0017, stiffness=1.99e6)
    assert found.pull == pytest.approx(1.99e6 * 0.0017 / 2.44)
    assert 0.12 * found.pull < found.sigma < 0.25 * found.pull
    assert by_stretch(0.3, 1e-4, stiffness=1.99e6).pull is None


def test_readings_that_disagree_are_flagged_and_their_plus_minus_widened():
    good = combine([(930.0, 20.0), (955.0, 35.0), (941.0, 28.0)])
    assert not good.disagree
    weights = np.array([20.0, 35.0, 28.0]) ** -2
    assert good.pull == pytest.approx(weights @ [930.0, 955.0, 941.0] / weights.sum())
    bad = combine([(930.0, 20.0), (1155.0, 35.0)])
    assert bad.disagree
    assert bad.sigma > 80.0


def drawn_ring(pulls_of_sides, rng):
    """Inside corners of a ring whose sides pull as given, each leg square on its eye's balance.

    Found by walking the force polygon: the sides' directions turn by what each leg takes.
    """
    n = len(pulls_of_sides)
    turns = np.full(n, 2 * math.pi / n) + 0.08 * rng.standard_normal(n)
    turns *= 2 * math.pi / turns.sum()
    legs = []
    for k in range(n):
        before, after = pulls_of_sides[k - 1], pulls_of_sides[k]
        legs.append(math.sqrt(before**2 + after**2 - 2 * before * after * math.cos(turns[k])))
    return math.pi - turns, np.array(legs)


def test_corners_of_a_ring_without_friction_give_every_leg_exactly():
    corners, legs = drawn_ring(np.full(7, 1300.0), np.random.default_rng(2))
    found = by_corners(list(corners))
    assert found.share == pytest.approx(legs / legs.mean(), rel=1e-9)


def test_eye_friction_stays_within_the_plus_minus():
    rng = np.random.default_rng(3)
    inside = []
    for _ in range(300):
        mu = rng.uniform(0.1, 0.2)
        steps = rng.uniform(-1, 1, 8) * mu * math.pi / 4
        steps -= steps.mean()
        corners, legs = drawn_ring(1000.0 * np.exp(np.cumsum(steps)), rng)
        read = corners + math.radians(1.0) * rng.standard_normal(8)
        found = by_corners(list(read))
        inside.append(np.abs(found.share - legs / legs.mean()) < 2 * found.sigma)
    assert np.mean(inside) >= 0.95


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("GA-010", lambda: by_side_pull(3.0, 3.0, side_pull=50.0, deflection=0.05)),
        ("GA-010", lambda: by_side_pull(3.0, 1.0, side_pull=math.nan, deflection=0.05)),
        ("GA-010", lambda: by_stretch(2.0, -0.001, stiffness=2e6)),
        ("GA-011", lambda: combine([(900.0, 20.0)])),
        ("GA-012", lambda: by_corners([math.radians(150.0)] * 8)),
        ("GA-012", lambda: by_corners([])),
    ],
)
def test_what_cannot_be_is_refused_by_name(code, call):
    with pytest.raises(InputError, match=code):
        call()
