"""What lies on one pair of common rafters of a gable, as lines of load along the plan.

It knows no frame: whoever builds the gable hands the stretches to its rafters. The ridge runs
north; slope 0 falls to the east (090), slope 1 to the west (270).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan, degrees
from typing import TYPE_CHECKING, Final

from rafterstay.core.sources import Source
from rafterstay.loads.asce7_2016 import snow as clause
from rafterstay.loads.asce7_2016.roof_live import reduced_roof_live
from rafterstay.loads.asce7_2016.unbalanced import (
    SHORT,
    drifted_snow,
    is_unbalanced,
    short_roof_snow,
)
from rafterstay.loads.asce7_2016.wind import (
    RoofWind,
    internal_coefficient,
    roof_winds,
    velocity_coefficient,
    velocity_pressure,
)
from rafterstay.loads.combinations import COMBINATIONS, SOURCE, Combination
from rafterstay.loads.snow import FULL, OTHER, site_of

if TYPE_CHECKING:
    from rafterstay.job.building import Loads, Snow, Wind

__all__ = [
    "Outline",
    "Pattern",
    "RafterCase",
    "Stretch",
    "gather",
    "lay_dead",
    "lay_live",
    "lay_snow",
    "lay_wind",
]

TOWARDS: Final = (90.0, 270.0)


@dataclass(frozen=True)
class Outline:
    """The gable as far as its loads ask. Lengths in m.

    Attributes:
        span: Plate to plate.
        rise: Plate to ridge.
        spacing: Of the rafters.
        length: Along the ridge.
        overhang: Of the eaves past the plates, on plan.
    """

    span: float
    rise: float
    spacing: float
    length: float
    overhang: float = 0.0

    @property
    def slope(self) -> float:
        """Rise over run. [-]"""
        return self.rise / (self.span / 2)

    @property
    def slope_deg(self) -> float:
        """Of the roof. [deg]"""
        return degrees(atan(self.slope))

    @property
    def eave_to_ridge(self) -> float:
        """Plan distance W. [m]"""
        return self.span / 2 + self.overhang


@dataclass(frozen=True)
class Stretch:
    """An even load on part of one rafter.

    Attributes:
        slope: 0 or 1.
        start: Plan distance from the ridge. [m]
        end: Plan distance from the ridge; past half the span it lies on the overhang. [m]
        down: Downward per metre of plan. [N/m]
        out: Horizontal, away from the ridge, per metre of plan. [N/m]
    """

    slope: int
    start: float
    end: float
    down: float
    out: float = 0.0


@dataclass(frozen=True)
class Pattern:
    """One load in one pattern.

    Attributes:
        name: Of the pattern.
        direction_deg: Towards the loaded slope, for wind where it comes from; None if none.
        stretches: What lies on both rafters of a pair.
    """

    name: str
    direction_deg: float | None
    stretches: tuple[Stretch, ...]

    def scaled(self, factor: float) -> tuple[Stretch, ...]:
        """The stretches, all loads multiplied.

        Args:
            factor: On every load. [-]
        """
        return tuple(
            replace(one, down=factor * one.down, out=factor * one.out) for one in self.stretches
        )


@dataclass(frozen=True)
class RafterCase:
    """One combination on a pair of rafters; names and factors as of `Case`.

    Attributes:
        equation: For example ``D+S``.
        pattern: Its name.
        direction_deg: See `Pattern`.
        duration_factor: C_D. [-]
        dead_factor: On the self-weight of the tie. [-]
        stretches: Loads add where stretches overlap.
        source: The clause of the combination.
    """

    equation: str
    pattern: str
    direction_deg: float | None
    duration_factor: float
    dead_factor: float
    stretches: tuple[Stretch, ...]
    source: Source


def _slope(
    outline: Outline,
    slope: int,
    pressure: float,
    *,
    on_eave: float | None = None,
    lean: float = 0.0,
) -> list[Stretch]:
    """An even downward pressure on plan of one slope, and on its overhang.

    ``lean`` pushes inwards that many times as much.
    """
    half = outline.span / 2
    parts = [(0.0, half, pressure)]
    if outline.overhang > 0:
        parts.append((half, half + outline.overhang, pressure if on_eave is None else on_eave))
    return [
        Stretch(slope, start, end, load * outline.spacing, -lean * load * outline.spacing)
        for start, end, load in parts
        if load
    ]


def _pair(outline: Outline, first: float, second: float) -> tuple[Stretch, ...]:
    return (*_slope(outline, 0, first), *_slope(outline, 1, second))


def _either(name: str, outline: Outline, full: float, other: float) -> list[Pattern]:
    """One pressure on one slope and another on the other, both ways round."""
    return [
        Pattern(name, TOWARDS[0], _pair(outline, full, other)),
        Pattern(name, TOWARDS[1], _pair(outline, other, full)),
    ]


def lay_dead(pressure: float, outline: Outline) -> Pattern:
    """Weight of the roof, overhang included.

    Args:
        pressure: Per area of the roof plane. [Pa]
        outline: The gable.

    Returns:
        Pattern ``dead``.
    """
    on_plan = pressure * (1 + outline.slope**2) ** 0.5
    return Pattern("dead", None, _pair(outline, on_plan, on_plan))


def lay_live(stated: float, outline: Outline) -> list[Pattern]:
    """Roof live load on both slopes and on one.

    Args:
        stated: Unreduced, on plan. [Pa]
        outline: The gable.

    Returns:
        Patterns ``balanced`` and ``one-sided``; none where nothing was stated.

    Source: ASCE 7-16 4.8.2; one slope after 4.3.3, partial loading (memory, 85 %)
    """
    if stated <= 0:
        return []
    area = outline.spacing * outline.span / 2
    load = reduced_roof_live(stated, tributary=area, slope=outline.slope)
    return [
        Pattern("balanced", None, _pair(outline, load, load)),
        *_either("one-sided", outline, load, 0.0),
    ]


def lay_snow(stated: Snow, outline: Outline, *, simple_rafters: bool) -> list[Pattern]:
    """Snow on both slopes, then each one-sided rule that applies.

    Args:
        stated: Snow on the roof, or on the ground with what goes with it.
        outline: The gable.
        simple_rafters: The rafters are held at plate and ridge only.

    Returns:
        ``balanced``, then ``unbalanced`` or ``unbalanced-drift`` both ways.

    Source: ASCE 7-16 7.3, 7.4, 7.6.1; snow on the roof alone takes half full, half 0.3
    """
    if stated.ground is None:
        load = stated.roof or 0.0
        if load <= 0:
            return []
        even = Pattern("balanced", None, _pair(outline, load, load))
        return [even, *_either("unbalanced", outline, FULL * load, OTHER * load)]
    site = site_of(stated)
    factor = clause.slope_factor(outline.slope_deg, site.thermal, slippery=site.slippery)
    sloped = factor * site.flat
    rain = clause.rain_on_snow(site.ground, outline.slope_deg, outline.eave_to_ridge)
    least = clause.minimum_snow(site.ground, site.importance, outline.slope_deg)
    load = max(sloped + rain, least)
    laid = [Pattern("balanced", None, _pair(outline, load, load))]
    if not is_unbalanced(outline.slope):
        return laid
    if simple_rafters and outline.eave_to_ridge <= SHORT * (1 + 1e-9):
        return laid + _either(
            "unbalanced", outline, short_roof_snow(site.ground, site.importance), 0.0
        )
    drifted = drifted_snow(
        sloped,
        site.ground,
        slope=outline.slope,
        eave_to_ridge=outline.eave_to_ridge,
        importance=site.importance,
    )
    for lee, one in enumerate(
        _either("unbalanced-drift", outline, drifted.leeward, drifted.windward)
    ):
        drift = Stretch(lee, 0.0, drifted.width, drifted.surcharge * outline.spacing)
        laid.append(replace(one, stretches=(*one.stretches, drift)))
    return laid


def lay_wind(wind: Wind, outline: Outline) -> list[Pattern]:
    """Wind from its speed, or the user's net uplift on both slopes and on one.

    Args:
        wind: Speed with what goes with it, or uplift.
        outline: The gable.

    Returns:
        Patterns named ``wind-...`` by `RoofWind`, from either side; or ``uplift`` and
        ``uplift-one-sided``. None where neither was stated.

    Raises:
        InputError: IN-841.

    Source: ASCE 7-16 27.3.1 (memory, 90 %)
    """
    laid: list[Pattern] = []
    if wind.uplift > 0:
        lift, lean = -wind.uplift, outline.slope
        sides = [tuple(_slope(outline, side, lift, lean=lean)) for side in (0, 1)]
        laid.append(Pattern("uplift", None, sides[0] + sides[1]))
        laid += [Pattern("uplift-one-sided", TOWARDS[side], sides[side]) for side in (0, 1)]
    if wind.speed is None or wind.height is None:
        return laid
    coefficient = velocity_coefficient(wind.height, str(wind.exposure))
    winds = roof_winds(
        velocity_pressure(wind.speed, coefficient),
        slope_deg=outline.slope_deg,
        height_over_length=wind.height / outline.span,
        height_over_length_along=wind.height / outline.length,
        internal=internal_coefficient(str(wind.enclosure)),
    )
    for one in winds:
        sides_out_of = (0,) if one.name == "along" else (0, 1)
        laid += [_blown(one, outline, side) for side in sides_out_of]
    return laid


def _blown(wind: RoofWind, outline: Outline, windward: int) -> Pattern:
    """The pressures of one wind, its windward slope given."""
    lean = outline.slope
    stretches = (
        *_slope(outline, windward, wind.windward, on_eave=wind.windward_eave, lean=lean),
        *_slope(outline, 1 - windward, wind.leeward, on_eave=wind.leeward_eave, lean=lean),
    )
    direction = None if wind.name == "along" else TOWARDS[windward]
    return Pattern(f"wind-{wind.name}", direction, stretches)


def gather(loads: Loads, outline: Outline, *, simple_rafters: bool) -> tuple[RafterCase, ...]:
    """Gather every combination on a pair of rafters.

    Args:
        loads: What the job states.
        outline: The gable.
        simple_rafters: The rafters are held at plate and ridge only.

    Returns:
        ``D`` first. Where snow or roof live load meets wind, even loads meet every wind,
        one-sided loads meet the winds from the other side and those that have none.

    Raises:
        InputError: IN-841.

    Source: International Building Code 2018, 1605.3.1, with L, R and E nil
    """
    dead = lay_dead(loads.dead, outline)
    snow = lay_snow(loads.snow, outline, simple_rafters=simple_rafters)
    lay = {
        "live": _both_eaves(lay_live(loads.roof_live, outline), outline),
        "snow": _both_eaves(snow, outline),
        "wind": _both_eaves(lay_wind(loads.wind, outline), outline),
    }
    cases = [_case(COMBINATIONS[0], dead, (), "dead", None)]
    for combination in COMBINATIONS[1:]:
        cases += _combined(combination, dead, lay)
    return tuple(cases)


def _both_eaves(laid: list[Pattern], outline: Outline) -> list[Pattern]:
    """Every pattern with the overhang loaded and, where there is one, bare."""
    if outline.overhang <= 0:
        return laid
    half = outline.span / 2
    bare = []
    for one in laid:
        kept = tuple(
            replace(part, end=min(part.end, half)) for part in one.stretches if part.start < half
        )
        bare.append(Pattern(f"{one.name}-bare-eaves", one.direction_deg, kept))
    return laid + bare


def _combined(
    combination: Combination, dead: Pattern, lay: dict[str, list[Pattern]]
) -> list[RafterCase]:
    factors = {"live": combination.live, "snow": combination.snow, "wind": combination.wind}
    first, *second = [name for name, factor in factors.items() if factor > 0]
    cases = []
    for one in lay[first]:
        load = one.scaled(factors[first])
        if not second:
            cases.append(_case(combination, dead, load, one.name, one.direction_deg))
        for wind in lay["wind"] if second else ():
            if not _meet(one, wind):
                continue
            name = f"{one.name.removesuffix('-bare-eaves')}+{wind.name}"
            both = load + wind.scaled(combination.wind)
            direction = one.direction_deg if wind.direction_deg is None else wind.direction_deg
            cases.append(_case(combination, dead, both, name, direction))
    return cases


def _meet(one: Pattern, wind: Pattern) -> bool:
    """Alike at the eaves; and a one-sided load lies on the lee of the wind."""
    if one.name.endswith("-bare-eaves") is not wind.name.endswith("-bare-eaves"):
        return False
    if one.direction_deg is None or wind.direction_deg is None:
        return True
    return one.direction_deg != wind.direction_deg


def _case(
    combination: Combination,
    dead: Pattern,
    load: tuple[Stretch, ...],
    pattern: str,
    direction: float | None,
) -> RafterCase:
    return RafterCase(
        equation=combination.equation,
        pattern=pattern,
        direction_deg=direction,
        duration_factor=combination.duration_factor,
        dead_factor=combination.dead,
        stretches=dead.scaled(combination.dead) + load,
        source=SOURCE,
    )
