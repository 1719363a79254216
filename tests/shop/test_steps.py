"""Rounding to the tape: never to the unsafe side, and sums that close."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from rafterstay.shop.steps import STEP, above, below, closing, nearest

LENGTHS = st.floats(-40.0, 40.0)
STEPS = st.sampled_from([*STEP.values()])


@given(LENGTHS, STEPS)
def test_above_and_below_hold_the_length_between_them(length: float, step: float) -> None:
    # A millionth of a step is given away to conversions: well under a rope's own doubt.
    up, down = above(length, step), below(length, step)
    assert up * step >= length - 1.1e-6 * step
    assert down * step <= length + 1.1e-6 * step
    assert 0 <= up - down <= 1
    assert nearest(length, step) in (up, down)


@given(st.integers(0, 20_000), STEPS)
def test_a_length_on_its_mark_stays_there(count: int, step: float) -> None:
    length = float(Fraction(step) * count)
    assert above(length, step) == below(length, step) == nearest(length, step) == count
    inches = count / 16
    assert above(inches * 0.0254, STEP["us"]) == count


@given(st.lists(LENGTHS, min_size=1, max_size=9), STEPS, st.sets(st.integers(0, 8), max_size=3))
def test_rounded_terms_add_up_and_stay_near(
    lengths: list[float], step: float, down: set[int]
) -> None:
    steps, total = closing(lengths, step, down=down)
    exact = sum(map(Fraction, lengths)) / Fraction(step)
    assert sum(steps) == total
    assert abs(total - exact) <= Fraction(1, 2) + Fraction(1, 10**5)
    for count, length in zip(steps, lengths, strict=True):
        assert abs(count - Fraction(length) / Fraction(step)) <= 1 + Fraction(1, 10**5)


def test_the_term_that_must_not_grow_is_rounded_down() -> None:
    # 2.5 + 3.5 + 1.9 = 7.9: one of the three stays down, the first although it is nearer up.
    assert closing((2.95, 3.5, 1.45), 1.0) == ((3, 4, 1), 8)
    assert closing((2.95, 3.5, 1.45), 1.0, down=(0,)) == ((2, 4, 2), 8)
