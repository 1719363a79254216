"""How much thread a leg needs: the worked example of docs/theory/take-up.md and its like."""

from __future__ import annotations

from math import comb, factorial, fsum, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay.shop.take_up import (
    Share,
    TakeUp,
    chance_above,
    ring_chance,
    sampled_ring_chance,
)

# Inches. Random parts at one sigma, and what always makes a leg longer.
RANDOM = (0.06, 0.06, 0.08, 0.08, 0.03, 0.03)
LONGER = (0.045, 0.125, 0.0625, 0.50, 0.05)
BEDDING, BEDDING_HALF = 0.30, 0.20
EXAMPLE = TakeUp(
    (
        *(Share(f"random {k}", sigma=sigma) for k, sigma in enumerate(RANDOM)),
        Share("bedding-in", mean=BEDDING, half=BEDDING_HALF),
        *(Share(f"longer {k}", mean=mean) for k, mean in enumerate(LONGER)),
    ),
    assembly=0.25,
)


def test_worked_example_of_the_thread_needed() -> None:
    """By hand: 3 x 0.14765 = 0.4429; 1.2825 + 0.4429 = 1.7254; 0.4429 + 0.25 = 0.6929."""
    assert EXAMPLE.sigma == pytest.approx(sqrt(0.0218), rel=1e-12)
    assert f"{EXAMPLE.shorten:.2f}" == "1.73"
    assert f"{EXAMPLE.lengthen:.2f}" == "0.69"
    assert f"{EXAMPLE.total:.2f}" == "2.42"


def test_worked_example_of_a_short_body_set_half_way() -> None:
    """About 9 of 100 rings of eight run out of a 3 in body set half way."""
    leg = EXAMPLE.runs_out(1.5, 1.5)
    ring = ring_chance([leg] * 8)
    assert round(100 * ring) == 9
    # The same by integrating the normal tail over the uniform part with a fine rule.
    off, weight = np.polynomial.legendre.leggauss(200)
    growth = BEDDING + BEDDING_HALF * off + sum(LONGER)
    tail = np.array([chance_above(1.5 - g, EXAMPLE.sigma) for g in growth])
    assert leg == pytest.approx(float(weight @ tail) / 2, rel=1e-9)


def test_worked_example_by_sampling() -> None:
    rings = 100_000
    ring = ring_chance([EXAMPLE.runs_out(1.5, 1.5)] * 8)
    sampled = sampled_ring_chance([(EXAMPLE, 1.5, 1.5)] * 8, rings=rings, seed=71)
    assert abs(sampled - ring) < 4 * sqrt(ring * (1 - ring) / rings)


@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.001, 0.4),
    st.lists(st.floats(0.0, 0.5), max_size=4),
    st.floats(-1.2, 1.2),
    st.integers(0, 1000),
)
def test_closed_form_and_sampling_agree(
    sigma: float, halves: list[float], limit: float, seed: int
) -> None:
    random, count = np.random.default_rng(seed), 60_000
    drawn = sigma * random.standard_normal(count)
    for half in halves:
        drawn += random.uniform(-half, half, count)
    chance = chance_above(limit, sigma, [half for half in halves if half > 0])
    # Narrow parts count as normal: their shape is off by far less than this.
    tolerance = 5 * sqrt(max(chance * (1 - chance), 1 / count) / count) + 2e-4
    assert abs(float((drawn > limit).mean()) - chance) < tolerance


@pytest.mark.parametrize("count", [2, 3, 5])
def test_equal_uniform_parts_alone_follow_irwin_and_hall(count: int) -> None:
    """P. Hall (1927), The distribution of means for samples of size N: its cumulative sum."""

    def above(x: float) -> float:
        terms = [(-1) ** k * comb(count, k) * (x - k) ** count for k in range(count + 1) if k < x]
        return 1 - fsum(terms) / factorial(count)

    for x in (0.3, 0.9, count / 2, count - 0.4):
        centred = 2 * x - count  # parts of half width 1 about nil
        assert chance_above(centred, 0.0, [1.0] * count) == pytest.approx(above(x), abs=1e-12)


@given(st.floats(0.01, 1.0), st.floats(0.0, 2.0), st.lists(st.floats(0.05, 0.6), max_size=3))
def test_tails_of_a_balanced_sum_mirror_and_fall(
    sigma: float, limit: float, halves: list[float]
) -> None:
    over = chance_above(limit, sigma, halves)
    assert over + chance_above(-limit, sigma, halves) == pytest.approx(1.0, abs=1e-9)
    assert chance_above(limit + 0.05, sigma, halves) <= over + 1e-12


def test_what_legs_share_makes_the_ring_safer_than_told() -> None:
    """Legs off one reel bed in alike; taken as independent they run out more often."""
    random, rings = np.random.default_rng(5), 200_000
    common = EXAMPLE.mean + random.uniform(-BEDDING_HALF, BEDDING_HALF, (rings, 1))
    legs = common + EXAMPLE.sigma * random.standard_normal((rings, 8))
    alike = float((legs.max(axis=1) > 1.5).mean())
    assert alike < ring_chance([EXAMPLE.runs_out(1.5, 1.5)] * 8)


def test_a_tight_stop_on_either_side_is_seen() -> None:
    body = TakeUp((Share("a", sigma=0.1), Share("b", half=0.3)), assembly=0.2)
    assert body.lengthen == pytest.approx(0.3 + 0.3 + 0.2)
    assert body.runs_out(9.0, 0.2) == pytest.approx(0.5)
    assert body.runs_out(0.0, 9.0) == pytest.approx(0.5)
    assert body.runs_out(-9.0, -9.0) == 1.0
