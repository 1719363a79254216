"""The reader of printed figures itself: worked by hand, no outside source."""

from __future__ import annotations

import pytest

from tests.published.printed import Row, printed, require_agreement


@pytest.mark.parametrize(
    ("text", "value", "tolerance"),
    [
        ("83", 83.0, 0.5),
        ("0.6708", 0.6708, 0.00005),
        ("1,357.6", 1357.6, 0.05),
        ("6.98e-6", 6.98e-6, 0.005e-6),
        ("1.6e6", 1.6e6, 0.05e6),
        ("-0.198", -0.198, 0.0005),
        ("1-1/8", 1.125, 0.0),
        ("-3/16", -0.1875, 0.0),
    ],
)
def test_value_and_half_of_the_last_digit(text: str, value: float, tolerance: float) -> None:
    figure = printed(text)
    assert figure.value == pytest.approx(value, rel=1e-12)
    assert figure.tolerance == pytest.approx(tolerance, rel=1e-12, abs=0.0)


def test_a_coarser_step_widens_the_tolerance() -> None:
    assert printed("480", step="10").agrees(484.9)
    assert not printed("480", step="10").agrees(485.2)
    assert not printed("480").agrees(480.6)
    assert printed("3", step="0").tolerance == 0.0


@pytest.mark.parametrize("text", ["", "nan", "inf", "8 lb"])
def test_what_is_not_a_figure_is_refused(text: str) -> None:
    with pytest.raises((ValueError, ArithmeticError)):
        printed(text)


def test_a_row_that_disagrees_fails() -> None:
    row = Row("half of 3.1", "1.55", "-", serves="arithmetic", computed=lambda: 1.556)
    with pytest.raises(AssertionError, match=r"ours is 1\.556"):
        require_agreement(row)
