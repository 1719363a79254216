"""Reel plans: every piece once, none overlapping, and how far from the best there is."""

from __future__ import annotations

from itertools import pairwise
from time import perf_counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay.core.errors import InputError
from rafterstay.shop.patterns import Column, choose_columns
from rafterstay.shop.reels import ReelPlan, Stock, plan_reels


def require_sound(plan: ReelPlan, pieces: dict[str, int]) -> None:
    """Every piece once and at its length; cuts in order with their loss, inside their reel."""
    cuts = [cut for reel in plan.reels for cut in reel.cuts]
    assert sorted(cut.piece for cut in cuts) == sorted(pieces)
    assert all(cut.end - cut.start == pieces[cut.piece] for cut in cuts)
    for reel in plan.reels:
        assert reel.cuts[0].start == reel.stock.spare
        for one, other in pairwise(reel.cuts):
            assert other.start == one.end + reel.stock.loss
        assert reel.left >= 0
    sold = sum(reel.stock.length for reel in plan.reels if reel.stock.at_hand is None)
    assert plan.bought == sold >= plan.bound


def least_by_trying_all(sizes: list[int], stocks: list[Stock]) -> int:
    """Least length bought, by trying every division of the pieces into reels."""
    best = [10**9]

    def place(k: int, loads: list[int]) -> None:
        if k == len(sizes):
            cost = 0
            for load in loads:
                fit = [s.length for s in stocks if load <= s.room]
                if not fit:
                    return
                cost += min(fit)
            best[0] = min(best[0], cost)
            return
        for j in range(len(loads)):
            loads[j] += sizes[k]
            place(k + 1, loads)
            loads[j] -= sizes[k]
        place(k + 1, [*loads, sizes[k]])

    place(0, [])
    return best[0]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(7, 60), min_size=1, max_size=7),
    st.sampled_from([[(100, 3, 1)], [(80, 0, 0), (130, 0, 0)], [(61, 0, 0), (97, 5, 2)]]),
)
def test_small_plans_are_sound_and_their_bound_is_true(
    sizes: list[int], sold: list[tuple[int, int, int]]
) -> None:
    stocks = [Stock(*one) for one in sold]
    pieces = {f"piece {k}": size for k, size in enumerate(sizes)}
    plan = plan_reels(pieces, stocks, time_limit=1.0)
    require_sound(plan, pieces)
    if len({stock.loss for stock in stocks}) == 1:
        with_loss = [size + stocks[0].loss for size in sizes]
        best = least_by_trying_all(with_loss, stocks)
        assert plan.bound <= best <= plan.bought
        if plan.gap == 0:
            assert plan.bought == best


def test_patterns_beat_first_fit_where_they_must() -> None:
    """Nine pieces for three reels: first fit takes four, the best takes three."""
    sizes = [44, 44, 44, 31, 31, 31, 25, 25, 25]
    pieces = {f"p{k}": size for k, size in enumerate(sizes)}
    plan = plan_reels(pieces, [Stock(100)])
    require_sound(plan, pieces)
    assert (plan.bought, plan.gap) == (300, 0.0)


def test_the_solver_finds_what_greed_cannot() -> None:
    """Patterns alone, from a start that wastes: 3 x (44 + 31 + 25) in three reels."""
    sizes = [44] * 3 + [31] * 3 + [25] * 3
    start = [Column(0, ((size, 1),)) for size in sizes]
    choice = choose_columns(sizes, [(100, 100, 0)], start=start, seconds=2.0)
    assert len(choice.columns) == 3
    assert choice.bound == pytest.approx(300.0)


@pytest.mark.parametrize(
    "sold",
    [
        [Stock(3000)],
        [Stock(800), Stock(1600)],
        [Stock(9600, 40, 2), Stock(19200, 40, 2), Stock(48000, 40, 2)],
        [Stock(1900, 11, 2)],
    ],
    ids=["one", "two", "three", "tight"],
)
def test_two_hundred_pieces_in_under_five_seconds(sold: list[Stock]) -> None:
    random = np.random.default_rng(4)
    pieces = {f"p{k}": int(size) for k, size in enumerate(random.integers(330, 720, 200))}
    begun = perf_counter()
    plan = plan_reels(pieces, sold)
    assert perf_counter() - begun < 5.0
    require_sound(plan, pieces)
    # Whatever is not proved best says so, and how far it may be off.
    assert plan.gap < 0.03
    assert (plan.told != "") == (plan.gap > 0)


def test_rope_at_hand_goes_first_and_costs_nothing() -> None:
    pieces = {"a": 50, "b": 45, "c": 30, "d": 29}
    plan = plan_reels(pieces, [Stock(100), Stock(61, at_hand=1), Stock(33, at_hand=1)])
    require_sound(plan, pieces)
    assert [reel.stock.length for reel in plan.reels] == [33, 61, 100]
    assert plan.bought == 100
    assert "at hand" in plan.told
    everything = plan_reels({"a": 20}, [Stock(100), Stock(61, at_hand=2)])
    assert (everything.bought, everything.gap, everything.method) == (0, 0.0, "nothing bought")


def test_a_piece_longer_than_any_rope_is_refused() -> None:
    with pytest.raises(InputError, match="IN-068 a piece of rope = long, 98 steps"):
        plan_reels({"short": 9, "long": 98}, [Stock(100, spare=2, loss=1)])


def test_no_search_is_made_on_rope_beyond_its_reach() -> None:
    """A mile of rope in sixteenths is too wide for the knapsack: told, never silent."""
    start = [Column(0, ((600_000, 1),)), Column(0, ((500_000, 1),))]
    choice = choose_columns([600_000, 500_000], [(1_000_000, 1_000_000, 0)], start=start, seconds=1)
    assert (choice.columns, choice.bound) == ((), 0.0)
    assert "too long" in choice.told


def test_nothing_is_printed_by_the_solver(capfd: pytest.CaptureFixture[str]) -> None:
    choose_columns([44, 31, 25], [(70, 70, 0)], start=[Column(0, ((44, 1), (25, 1)))], seconds=1)
    assert capfd.readouterr() == ("", "")
