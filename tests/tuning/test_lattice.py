"""Whole steps of all legs at once, beside an exhaustive search and the normal law."""

from __future__ import annotations

from itertools import product
from math import erfc, sqrt

import numpy as np
import pytest

from rafterstay.tuning.lattice import MANY, Asked, chance, nearest


def test_the_chance_of_a_miss_is_the_tail_of_the_normal_law() -> None:
    """Beside the complementary error function (ISO C 7.12.8.2), within 0.007."""
    off = np.linspace(0.0, 0.999, 40)
    for sigma in (0.05, 0.21, 0.4, 0.9):
        tail = [0.5 * erfc((1.0 - one) / sigma / sqrt(2.0)) for one in off]
        ours = chance(off[:, None], np.array([sigma]))
        assert ours == pytest.approx(tail, abs=7e-3)


def test_beyond_a_tolerance_further_is_worse() -> None:
    """So that a search finds its way back from far outside."""
    off = np.array([[1.0], [1.3], [2.0], [9.0]])
    found = chance(off, np.array([0.3]))
    assert found[0] == pytest.approx(0.5)
    assert (np.diff(found) > 0.2).all()


def _legs(seed: int, n: int, soft: int) -> Asked:
    """Legs of unequal stiffness round a stiff ring that can be carried sideways."""
    random = np.random.default_rng(seed)
    azimuth = 2 * np.pi * (np.arange(n) + 0.1 * random.standard_normal(n)) / n
    ways = np.column_stack([np.cos(azimuth), np.sin(azimuth)])[:, :soft]
    rate = random.uniform(0.7, 1.4, n)[:, None]
    # What a leg pulls is what its turn and the ring's place leave of it.
    free = np.eye(n) - ways @ np.linalg.solve(ways.T @ (rate * ways), (rate * ways).T)
    moved = np.linalg.solve(ways.T @ (rate * ways), (rate * ways).T) * 0.04
    exact = random.uniform(-2.0, 2.0, n)
    table = np.concatenate([rate * free, moved])
    sigma = np.concatenate([np.full(n, 0.35), np.full(soft, 0.2)])
    far = np.full(n, 400.0)
    return Asked(-table @ exact, table, sigma, exact, -far, far)


@pytest.mark.parametrize("seed", range(6))
def test_four_legs_come_as_near_as_an_exhaustive_search(seed: int) -> None:
    """All whole steps within six of the exact turns, 28,561 of them."""
    asked = _legs(seed, 4, 2)
    near = np.round(asked.exact) + np.array(list(product(range(-6, 7), repeat=4)))
    least = float(asked.costs(near).min())
    assert float(asked.costs(nearest(asked)[None])[0]) <= least + 0.01


@pytest.mark.parametrize("seed", range(4))
def test_eight_legs_do_better_by_carrying_the_ring(seed: int) -> None:
    """Than rounding each leg by itself; the centre still within its tolerance."""
    asked = _legs(seed, 8, 2)
    alone = np.round(asked.exact)
    found = nearest(asked)
    assert float(asked.costs(found[None])[0]) < 0.8 * float(asked.costs(alone[None])[0])
    assert np.abs(asked.off + asked.table @ found).max() < 1.0
    assert found == pytest.approx(np.round(found))


def test_many_places_cost_what_each_does() -> None:
    """However many are asked of at once."""
    asked = _legs(1, 5, 2)
    places = np.round(asked.exact + np.random.default_rng(2).normal(0.0, 2.0, (2 * MANY + 7, 5)))
    each = [float(chance(asked.off + asked.table @ one, asked.sigma)) for one in places]
    assert asked.costs(places) == pytest.approx(each, rel=1e-12)
    assert asked.costs(places[:0]).shape == (0,)


def test_no_change_of_one_or_two_legs_betters_what_is_found() -> None:
    """Tried one by one."""
    asked = _legs(2, 5, 2)
    found = nearest(asked)
    least = float(asked.costs(found[None])[0])
    for change in product((-1, 0, 1), repeat=5):
        if 1 <= np.count_nonzero(change) <= 2:
            assert float(asked.costs((found + change)[None])[0]) >= least * (1 - 1e-12)


def test_a_thread_that_ends_is_kept_to() -> None:
    """A body that is nearly closed is not turned further than it goes."""
    asked = _legs(3, 6, 2)
    high = np.full(6, 400.0)
    high[2] = 0.0
    short = Asked(asked.off, asked.table, asked.sigma, asked.exact, asked.low, high)
    assert nearest(short)[2] <= 0.0
