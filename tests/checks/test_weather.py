"""Which states a check may read: strength from set and cold, slackness from all."""

from __future__ import annotations

import pytest

from rafterstay import design
from rafterstay.checks import Check
from tests.statics.roofs import Value, stated

WEATHER: dict[str, Value] = {
    "loads__dead": "12 psf",
    "loads__coldest": "-20 degF",
    "loads__warmest": "110 degF",
    "loads__drying": "1/8 in",
    "support__walls": "stiff",
    "support__wall_stiffness": ["6 kip/in", "20 kip/in"],
    "pretension__target": "500 lb",
}


@pytest.fixture(scope="module")
def found() -> dict[str, Check]:
    """Walls that help, so that heat and drying change the pulls."""
    done = design.check(stated(**WEATHER))
    return {check.id: check for check in done.checks.checks}


def test_strength_and_spread_are_never_read_from_a_dried_roof(found: dict[str, Check]) -> None:
    """Bedding-in is tuned out; counting it as spread would condemn every new tie."""
    read = {check.combination for name, check in found.items() if name != "leg-slack"}
    assert any(name for name in read)
    assert not [name for name in read if name.endswith(("/dry", "/warm"))]


def test_slackness_is_read_from_the_dried_roof(found: dict[str, Check]) -> None:
    """The least pull of all is there."""
    assert found["leg-slack"].combination.endswith("/dry")
