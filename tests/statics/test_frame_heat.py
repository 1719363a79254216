"""A frame that warms with its ropes: where the hub goes, and ropes of stainless steel."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

import pytest

from rafterstay import roof, statics, tie
from rafterstay.loads.nouns import SET, Climate
from rafterstay.statics import Forces
from rafterstay.tie import Tie
from tests.statics.roofs import FOOT, PSF, half_loaded, rigid, stated, weightless

COLD = Climate("cold", -31.0, 0.0, bedded=False, with_snow=True, answers="strength")
WARM = Climate("warm", 23.0, 0.0, bedded=False, with_snow=True, answers="least pull")
RADIUS, RISE = 12 * FOOT, 5 * FOOT
CARBON = 12e-6  # EN 1993-1-1 clause 3.2.6 [1/K]
STAINLESS = 16e-6  # 1.4301 and 1.4401, EN 10088-1: value from memory, 95 % [1/K]
ALONG_THE_GRAIN = 3.8e-6  # Wood Handbook FPL-GTR-190 chapter 4, its middle: from memory, 92 %


def in_three_weathers(height: str, rope: str, ring: str) -> tuple[Tie, Forces]:
    """Rigid hips and weightless ropes under 6 psf: as set, 31 K colder, 23 K warmer."""
    job = stated(
        tie__height=height, roof__rise="5 ft", parts__rope=f"{rope} 1/4 in", parts__ring_rope=ring
    )
    frame = rigid(roof.lay_out(job))
    rigged = weightless(tie.rig(job, frame))
    cases = replace(half_loaded(frame, 6 * PSF, 0.0, other=1.0), climates=(SET, COLD, WARM))
    return rigged, statics.solve(frame, rigged, cases)


def longer(rigged: Tie, warming: float, rope: float, ring: float) -> float:
    """Rope, turnbuckle and ring from bolt to centre, each by its own metal. [m]"""
    cut = rigged.leg_lengths[0] - rigged.turnbuckle_set
    grown = rope * cut + CARBON * rigged.turnbuckle_set + ring * rigged.ring_radius
    return float(warming * grown)


@pytest.mark.parametrize(("height", "share"), [("0", 0.0), ("1/4", 0.25)])
def test_a_warm_hub_stands_where_longer_hips_on_wider_feet_put_it(
    height: str, share: float
) -> None:
    """sqrt((1 + a_t w)^2 L^2 - (R + x)^2): hips and ropes warm together.

    Without help of walls the pull stays, so the feet go out by what the ropes grow alone, over
    1 - h (docs/theory/thermal.md eq. 4); the timber shows in the height of the hub. Source:
    geometry of a right triangle.
    """
    rigged, forces = in_three_weathers(height, "7x19 galvanized", "7x19 galvanized 5/16 in")
    hip, stood = hypot(RADIUS, RISE), RADIUS + float(forces.spread[0].mean())
    for row, weather in ((1, COLD), (2, WARM)):
        out = longer(rigged, weather.warming, CARBON, CARBON) / (1 - share)
        assert forces.spread[row] - forces.spread[0] == pytest.approx(out, rel=5e-3)
        warm = hip * (1 + ALONG_THE_GRAIN * weather.warming)
        down = sqrt(hip**2 - stood**2) - sqrt(warm**2 - (stood + out) ** 2)
        found = float(forces.hub_drop[row] - forces.hub_drop[0])
        assert found == pytest.approx(down, rel=0.01)
        unwarmed = sqrt(hip**2 - stood**2) - sqrt(hip**2 - (stood + out) ** 2)
        assert abs(unwarmed) > 1.4 * abs(down)  # or timber shows nothing


@pytest.mark.parametrize(
    ("rope", "ring", "expansions"),
    [
        ("7x19 stainless", "7x19 galvanized 5/16 in", (STAINLESS, CARBON)),
        ("7x19 galvanized", "7x19 stainless 5/16 in", (CARBON, STAINLESS)),
        ("7x19 stainless", "7x19 stainless 5/16 in", (STAINLESS, STAINLESS)),
    ],
)
def test_each_rope_grows_by_its_own_metal(
    rope: str, ring: str, expansions: tuple[float, float]
) -> None:
    """The feet follow the tie: 16e-6 for stainless rope, 12e-6 for carbon steel, part by part."""
    rigged, forces = in_three_weathers("0", rope, ring)
    apart = []
    for row, weather in ((1, COLD), (2, WARM)):
        out = longer(rigged, weather.warming, *expansions)
        assert forces.spread[row] - forces.spread[0] == pytest.approx(out, rel=5e-3)
        apart.append(abs(out / longer(rigged, weather.warming, CARBON, CARBON) - 1))
    assert min(apart) > 0.012  # or the metal shows nothing
