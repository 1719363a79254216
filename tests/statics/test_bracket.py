"""Few tries to where a rising figure crosses nought, whatever its shape."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay.statics.bracket import Bracket


def tries(of: Callable[[float], float], start: float, *, at_nought: float, close: float) -> int:
    """How many tries it takes to come within ``close`` of nought."""
    search = Bracket(start, at_nought=at_nought, reach=10.0 * start)
    for number in range(1, 60):
        found = of(search.at)
        if abs(found) <= close:
            return number
        search.learn(found)
    raise AssertionError(search.at)


@given(st.floats(0.1, 50.0), st.floats(1.0, 2e4))
def test_a_line_through_what_was_told_takes_three_tries_at_most(slope: float, aim: float) -> None:
    assert tries(lambda x: slope * x - aim, aim, at_nought=-aim, close=1e-9 * aim) <= 3


@pytest.mark.parametrize(
    ("of", "at_nought"),
    [
        pytest.param(lambda x: math.atan(x - 3.7) + 0.2, -1.1, id="levels off"),
        pytest.param(lambda x: math.exp(x / 2) - 31.0, -30.0, id="steepens"),
        pytest.param(lambda x: min(x - 4.0, 0.01 * (x - 4.0)), -4.0, id="a kink at the crossing"),
        pytest.param(lambda x: max(0.0, x - 5.0) ** 2 - 0.03, -0.03, id="slack at first"),
        pytest.param(lambda x: x + 8.5 + 0.2 * math.sin(x), 8.5, id="already over at nought"),
    ],
)
def test_any_shape_is_met(of: Callable[[float], float], at_nought: float) -> None:
    assert tries(of, 1.0, at_nought=at_nought, close=1e-6) <= 25
