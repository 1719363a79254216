"""Loads of a gable's common rafters, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rafterstay.core.errors import InputError
from rafterstay.job.building import Loads, Snow, Wind
from rafterstay.loads import gable
from rafterstay.loads.asce7_2016.printed_in import FOOT, MPH, PSF
from rafterstay.loads.gable import Outline, Pattern, RafterCase
from rafterstay.loads.pair_worked import pair_worked
from tests.checks.calculator import figures, worked
from tests.loads.test_gather import GROUND, with_snow
from tests.statics.roofs import stated

OUTLINE = Outline(
    span=24 * FOOT, rise=4 * FOOT, spacing=2 * FOOT, length=31 * FOOT, overhang=1.25 * FOOT
)
BARE = replace(OUTLINE, overhang=0.0)


def loads_of(snow: str = GROUND, **changes: float) -> Loads:
    """Loads of a job with some changed; uplift in Pa."""
    stated_loads = with_snow(stated("reading-room"), snow).loads
    wind = replace(stated_loads.wind, uplift=changes.pop("uplift", 0.0))
    return replace(stated_loads, wind=wind, **changes)


def total(pattern: Pattern | RafterCase, slope: int | None = None, *, out: bool = False) -> float:
    """Load of one slope, or of both. [N]"""
    return sum(
        (part.out if out else part.down) * (part.end - part.start)
        for part in pattern.stretches
        if slope is None or part.slope == slope
    )


def named(patterns: list[Pattern], name: str, direction: float | None = None) -> Pattern:
    (one,) = (p for p in patterns if p.name == name and direction in (None, p.direction_deg))
    return one


def blown(speed: float = 118.0, height: float = 15.0) -> Wind:
    return Wind(
        uplift=0.0,
        speed=speed * MPH,
        exposure="C",
        enclosure="enclosed",
        height=height * FOOT,
    )


def test_dead_load_is_weight_times_sloping_length() -> None:
    """Source: geometry; the overhang too."""
    reach = 13.25 * FOOT
    sloping = reach * (1 + (4 / 12) ** 2) ** 0.5
    expected = 2 * 11 * PSF * sloping * 2 * FOOT
    assert total(gable.lay_dead(11 * PSF, OUTLINE)) == pytest.approx(expected)


def test_even_load_of_the_worked_gable() -> None:
    """24 ft, 40 psf at 2 ft: 80 lb a foot of plan, so 1440 lb at the plate for 4 on 12.

    Source: statics of three hinges, w L^2 / (8 h).
    """
    laid = gable.lay_snow(Snow(40 * PSF, *[None] * 6), BARE, simple_rafters=True)
    line = laid[0].stretches[0].down
    assert line == pytest.approx(40 * PSF * 2 * FOOT)
    pull = line * (24 * FOOT) ** 2 / (8 * 4 * FOOT) / 4.4482216152605
    assert pull == pytest.approx(1440.0)


def test_a_short_gable_takes_the_ground_snow_on_its_lee() -> None:
    """7.6.1: W up to 20 ft on simple rafters (value from memory, 97 %)."""
    laid = gable.lay_snow(loads_of().snow, OUTLINE, simple_rafters=True)
    assert [one.name for one in laid] == ["balanced", "unbalanced", "unbalanced"]
    lee = named(laid, "unbalanced", 90.0)
    assert total(lee, 0) == pytest.approx(37 * PSF * 13.25 * FOOT * 2 * FOOT)
    assert total(lee, 1) == 0.0


def test_other_gables_take_the_drift() -> None:
    """7.6.1 by its formulas: 0.3 p_s, p_s and h_d g / sqrt(S) over 8 h_d sqrt(S) / 3."""
    laid = gable.lay_snow(loads_of().snow, OUTLINE, simple_rafters=False)
    lee = named(laid, "unbalanced-drift", 270.0)
    sloped = 0.7 * 1.2 * 37
    height = 0.43 * 20 ** (1 / 3) * 47**0.25 - 1.5
    drift = height * (0.13 * 37 + 14) / 3**0.5 * min(8 * height * 3**0.5 / 3, 13.25)
    expected = (sloped * 13.25 + drift) * PSF * FOOT * 2 * FOOT
    assert total(lee, 1) == pytest.approx(expected)
    assert total(lee, 0) == pytest.approx(0.3 * sloped * 13.25 * PSF * FOOT * 2 * FOOT)


def test_a_steep_gable_has_even_snow_only() -> None:
    """7.6.1: beyond 7 on 12."""
    steep = replace(OUTLINE, rise=9 * FOOT)
    laid = gable.lay_snow(loads_of().snow, steep, simple_rafters=False)
    assert [one.name for one in laid] == ["balanced"]


def test_wind_by_hand() -> None:
    """118 mph, exposure C, 15 ft, 4 on 12, h/L 15/24: Figure 27.3-1 by hand.

    Windward between 15 and 20 degrees and between the columns for 0.5 and 1; leeward -0.6.
    """
    q = 0.00256 * 2.01 * (15 / 900) ** (2 / 9.5) * 0.85 * 118**2
    between = (18.434948822922 - 15) / 5
    over = (15 / 24 - 0.5) / 0.5
    low = (1 - over) * (-0.7 + 0.3 * between) + over * (-1.0 + 0.3 * between)
    laid = gable.lay_wind(blown(), OUTLINE)
    worst = named(laid, "wind-pull-inside-high", 90.0)
    main = next(part for part in worst.stretches if part.slope == 0 and part.start == 0.0)
    expected = q * (0.85 * low - 0.18) * PSF * 2 * FOOT
    assert main.down == pytest.approx(expected, rel=1e-9)
    assert main.out == pytest.approx(-expected / 3, rel=1e-9)
    eave = next(part for part in worst.stretches if part.slope == 0 and part.start > 0.0)
    assert eave.down == pytest.approx(q * 0.85 * (low - 0.8) * PSF * 2 * FOOT, rel=1e-9)
    assert len(laid) == 4 * 2 + 1


def test_the_stated_uplift_leans_with_the_roof() -> None:
    """Source: statics; square to the roof it lifts p a plan area and pulls out p x slope."""
    wind = replace(blown(), uplift=19 * PSF, speed=None, height=None)
    laid = gable.lay_wind(wind, BARE)
    assert [one.name for one in laid] == ["uplift", "uplift-one-sided", "uplift-one-sided"]
    assert total(laid[0]) == pytest.approx(-19 * PSF * 24 * FOOT * 2 * FOOT)
    assert total(laid[0], 1, out=True) == pytest.approx(19 * PSF * 12 * FOOT * 2 * FOOT / 3)
    assert total(laid[2], 0) == 0.0


@pytest.mark.parametrize("rise", [1.9, 22.0])
def test_a_slope_outside_the_wind_figure_is_refused(rise: float) -> None:
    with pytest.raises(InputError, match="IN-841"):
        gable.lay_wind(blown(), replace(OUTLINE, rise=rise * FOOT))


def test_combinations_of_a_gable() -> None:
    """IBC 2018 1605.3.1 (read); one-sided snow lies on the lee of its wind."""
    loads = replace(loads_of(roof_live=20 * PSF), wind=blown())
    cases = gable.gather(loads, OUTLINE, simple_rafters=True)
    assert {case.equation for case in cases} == {
        "D",
        "D+Lr",
        "D+S",
        "D+0.75Lr",
        "D+0.75S",
        "D+0.6W",
        "D+0.75(0.6W)+0.75Lr",
        "D+0.75(0.6W)+0.75S",
        "0.6D+0.6W",
    }
    keys = [(case.equation, case.pattern, case.direction_deg) for case in cases]
    assert len(set(keys)) == len(keys)
    by_key = dict(zip(keys, cases, strict=True))
    dead, snow = by_key["D", "dead", None], by_key["D+S", "unbalanced", 270.0]
    wind = by_key["D+0.6W", "wind-push-inside-low", 90.0]
    both = by_key["D+0.75(0.6W)+0.75S", "unbalanced+wind-push-inside-low", 90.0]
    for slope in (0, 1):
        expected = total(dead, slope) + 0.75 * (
            total(snow, slope) + total(wind, slope) - 2 * total(dead, slope)
        )
        assert total(both, slope) == pytest.approx(expected)
    least = by_key["0.6D+0.6W", "wind-along", None]
    assert (least.dead_factor, least.duration_factor) == (0.6, 1.6)


def test_bare_eaves_keep_their_dead_load_only() -> None:
    cases = gable.gather(loads_of(), OUTLINE, simple_rafters=True)
    by_key = {(case.equation, case.pattern, case.direction_deg): case for case in cases}
    full, bare = by_key["D+S", "balanced", None], by_key["D+S", "balanced-bare-eaves", None]
    snow = 0.7 * 1.2 * 37 * PSF * 1.25 * FOOT * 2 * FOOT
    assert total(full) - total(bare) == pytest.approx(2 * snow)
    without = gable.gather(loads_of(), BARE, simple_rafters=True)
    assert not any("bare" in case.pattern for case in without)


def test_roof_live_on_one_slope() -> None:
    """ASCE 7-16 4.8.2: no reduction at 4 on 12 and 25 ft2."""
    laid = gable.lay_live(20 * PSF, BARE)
    one = named(laid, "one-sided", 270.0)
    assert total(one, 1) == pytest.approx(20 * PSF * 12 * FOOT * 2 * FOOT)
    assert total(one, 0) == 0.0
    assert gable.lay_live(0.0, BARE) == []


def worked_of(read: Loads, outline: Outline = OUTLINE) -> dict[str, float]:
    """Symbols and values of the lines, each line redone with a pocket calculator."""
    lines, _ = pair_worked(read, outline, simple_rafters=False)
    for line in lines:
        assert worked(line.numbers) == pytest.approx(line.value, rel=1e-6), line
        assert figures(line.numbers)
    return {line.symbol: line.value for line in lines}


def test_the_lines_say_what_is_laid() -> None:
    """Pressures that the patterns hold, against those of the lines: two ways to one figure."""
    read = replace(loads_of(dead=11 * PSF, roof_live=20 * PSF), wind=blown())
    lines = worked_of(read)
    snow = gable.lay_snow(read.snow, OUTLINE, simple_rafters=False)
    live = gable.lay_live(read.roof_live, OUTLINE)
    (dead,) = (gable.lay_dead(read.dead, OUTLINE),)
    over = 2 * FOOT * 2 * 13.25 * FOOT * PSF  # spacing, both slopes with their eaves
    assert lines["pD"] == pytest.approx(total(dead) / over)
    assert lines["p_even"] == pytest.approx(total(named(snow, "balanced")) / over)
    assert lines["Lr"] == pytest.approx(total(named(live, "balanced")) / over)
    drift = named(snow, "unbalanced-drift", 90.0)
    assert lines["p_windward"] == pytest.approx(total(drift, 1) / (over / 2))
    lee = lines["ps"] * 13.25 + lines["p_drift"] * lines["w"]
    assert lee * 2 * FOOT**2 * PSF == pytest.approx(total(drift, 0))
    for name, (windward, leeward) in {
        "wind-pull-inside-low": ("p_pull_windward_low", "p_leeward_low"),
        "wind-push-inside-high": ("p_push_windward_high", "p_leeward_high"),
    }.items():
        pattern = named(gable.lay_wind(read.wind, BARE), name, 90.0)
        on_slope = 2 * FOOT * 12 * FOOT * PSF
        assert lines[windward] == pytest.approx(total(pattern, 0) / on_slope)
        assert lines[leeward] == pytest.approx(total(pattern, 1) / on_slope)
    along = named(gable.lay_wind(read.wind, BARE), "wind-along")
    assert lines["p_along_high"] == pytest.approx(total(along, 0) / (2 * 12 * FOOT**2 * PSF))


def test_a_short_roof_a_steep_one_and_snow_as_stated_have_their_own_lines() -> None:
    short, _ = pair_worked(loads_of(), OUTLINE, simple_rafters=True)
    assert [line.symbol for line in short][-1] == "p_lee"
    steep = replace(OUTLINE, rise=9 * FOOT)
    assert set(worked_of(loads_of(), steep)) == {"pD", "pf", "Cs", "ps", "p_even"}
    stated_on_roof = replace(loads_of(uplift=7 * PSF), snow=stated("reading-room").loads.snow)
    lines = worked_of(stated_on_roof)
    assert (lines["p_full"], lines["p_other"]) == pytest.approx((30.0, 9.0))
    assert (lines["pW"], lines["pW_out"]) == pytest.approx((7.0, 7.0 * 4 / 12))


def test_a_gable_names_the_clauses_it_lays() -> None:
    _, sources = pair_worked(replace(loads_of(), wind=blown()), OUTLINE, simple_rafters=False)
    places = " ".join(source.place for source in sources)
    assert "7.6.1" in places
    assert "27.3.1" in places
    assert "4.8.2" not in places
