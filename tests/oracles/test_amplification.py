"""The growth that is told of a state is that of the leg that grows most: Kratos over clarabel."""

from __future__ import annotations

import pytest

from .test_displaced import LOW, ON_EIGHT, ROOFS, Roof, refereed, stated_and_bare

UNLIKE = {
    "low, legs cut unequal": Roof(
        "octagon",
        LOW | {"loads.dead": "3 psf"},
        2e-3,
        cases=ON_EIGHT,
        longer={0: 0.012, 2: -0.009, 5: 0.007, 6: 0.021},
    ),
    "a leg hangs slack": ROOFS["a leg hangs slack"],
}


@pytest.mark.parametrize("name", UNLIKE)
def test_the_leg_that_grows_most(name: str) -> None:
    """Second over first order of each leg that pulls; one that hangs by its weight is no pull."""
    case = UNLIKE[name]
    for state in stated_and_bare(case):
        first, second = refereed(case, state)
        pulls = first > 0.01 * first.max()
        ratio = second.legs[pulls] / first[pulls]
        assert state.amplification - 1 == pytest.approx(ratio.max() - 1, rel=2e-3)
        # Were it a mean, or what the largest pull grows by, it would show.
        assert ratio.mean() - 1 < 0.99 * (ratio.max() - 1)
        assert second.legs.max() / first.max() - 1 < 0.99 * (ratio.max() - 1)
