"""Combinations, patterns and climates against the clauses they come from."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, degrees, pi

import numpy as np
import pytest

from rafterstay import loads, roof
from rafterstay.job import Job
from rafterstay.loads import Case, Cases
from rafterstay.loads.asce7_2016.printed_in import FOOT, PSF
from rafterstay.loads.laid import Lines, Plan
from rafterstay.loads.spread import dead_lines, directions, even, halves
from rafterstay.roof import Frame
from tests.checks.calculator import figures, worked
from tests.loads.crooked import beyond, plate_of
from tests.statics.roofs import Value, stated, text_of

GROUND = (
    '{ ground = "37 psf", exposure = "C partially exposed", thermal = "unheated", '
    'importance = "II", slippery = false, level = "service" }'
)


def carried(frame: Frame, lines: Lines) -> np.ndarray:
    """Load of each hip, its head's included. [N]"""
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    return lines.hips.mean(axis=1) * hips + lines.heads


def down(frame: Frame, case: Case) -> float:
    """All that a case puts on hips, heads and tails. [N]"""
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    on_hips = case.hip_load.mean(axis=1) @ hips
    return float(on_hips + case.head_load.sum() + case.tail_load.sum())


def snowed(snow: str = GROUND, **changes: Value) -> tuple[Frame, Cases, dict[str, Case]]:
    """Cases of the reading room under ground snow."""
    return gathered(with_snow(stated("reading-room", **changes), snow))


def with_snow(job: Job, snow: str) -> Job:
    from rafterstay.job.read import loads as read

    text = text_of("reading-room").replace('{ roof = "30 psf" }', snow)
    return replace(job, loads=replace(job.loads, snow=read(text).loads.snow))


def gathered(job: Job) -> tuple[Frame, Cases, dict[str, Case]]:
    frame = roof.lay_out(job)
    cases = loads.gather(job, frame)
    by_id = {case.id: case for case in cases.cases}
    assert len(by_id) == len(cases.cases)
    return frame, cases, by_id


def with_wind(job: Job, uplift: float) -> Job:
    return replace(job, loads=replace(job.loads, wind=replace(job.loads.wind, uplift=uplift)))


def test_snow_on_plan_is_pressure_times_area() -> None:
    """Source: geometry; hub and all."""
    frame = roof.lay_out(stated("reading-room", roof__sides=7))
    total = carried(frame, even(Plan.of(frame, 0.0), 29 * PSF))
    area = 7 * (11.125 * FOOT) ** 2 * np.sin(2 * np.pi / 7) / 2
    assert total.sum() == pytest.approx(29 * PSF * area)


def test_dead_load_is_weight_times_sloping_area() -> None:
    """Source: geometry; each face is a sloping triangle."""
    frame = roof.lay_out(stated(roof__sides=6, roof__rise="8 ft"))
    total = carried(frame, dead_lines(Plan.of(frame, 0.0), 17 * PSF))
    apothem = 12 * np.cos(np.pi / 6)
    faces = 6 * (12 * np.hypot(apothem, 8) / 2) * FOOT**2
    assert total.sum() == pytest.approx(17 * PSF * faces)


def test_a_slice_has_its_centroid_at_two_thirds() -> None:
    """A triangle of load, nil at a point hub. Source: geometry."""
    frame = roof.lay_out(stated())
    lines = even(Plan.of(frame, 0.0), 40 * PSF)
    assert lines.hips[:, 1] == pytest.approx(0, abs=1e-9)
    assert lines.heads == pytest.approx(0, abs=1e-12)


def test_one_sided_snow_is_full_on_one_half_and_three_tenths_on_the_other() -> None:
    """The simplified pattern of the design: leg 1 bears all of it, the leg opposite 0.3."""
    _, cases, by_id = gathered(stated())
    assert cases.simplified_snow
    whole = by_id["D+S/balanced"].hip_load[:, 0]
    shares = by_id["D+S/unbalanced-000"].hip_load[:, 0] / whole
    assert shares == pytest.approx([1, 1, 0.65, 0.3, 0.3, 0.3, 0.65, 1])


def test_combinations_of_dead_and_snow() -> None:
    """Source: International Building Code 2018, 1605.3.1, equations with D and S only (read)."""
    _, cases, by_id = gathered(stated("reading-room"))
    assert {case.equation for case in cases.cases} == {"D", "D+S", "D+0.75S"}
    assert len(cases.cases) == 1 + 2 * (1 + 20)
    dead, full = by_id["D/dead"].hip_load, by_id["D+S/balanced"].hip_load
    assert by_id["D+0.75S/balanced"].hip_load == pytest.approx(dead + 0.75 * (full - dead))
    assert by_id["D+S/unbalanced-018"].duration_factor == 1.15
    assert by_id["D/dead"].duration_factor == 0.9


def test_no_dead_load_leaves_out_the_combination_of_dead_alone() -> None:
    """Nothing would hold the legs' own weight."""
    _, cases, _ = gathered(stated())
    assert [case.id for case in cases.cases][:3] == [
        "D+S/balanced",
        "D+S/unbalanced-000",
        "D+S/unbalanced-023",
    ]


def test_every_combination_of_the_code() -> None:
    """IBC 2018 1605.3.1 (read); C_D of the shortest load, NDS 2018 Table 2.3.2 (read)."""
    job = with_wind(stated("reading-room", loads__roof_live="20 psf"), 23 * PSF)
    _, cases, by_id = gathered(job)
    factors = {case.equation: case.duration_factor for case in cases.cases}
    assert factors == {
        "D": 0.9,
        "D+Lr": 1.25,
        "D+S": 1.15,
        "D+0.75Lr": 1.25,
        "D+0.75S": 1.15,
        "D+0.6W": 1.6,
        "D+0.75(0.6W)+0.75Lr": 1.6,
        "D+0.75(0.6W)+0.75S": 1.6,
        "0.6D+0.6W": 1.6,
    }
    dead = by_id["D/dead"]
    live = by_id["D+Lr/balanced"].hip_load - dead.hip_load
    lift = by_id["D+0.6W/uplift"].hip_load - dead.hip_load
    both = by_id["D+0.75(0.6W)+0.75Lr/balanced+uplift"]
    assert both.hip_load == pytest.approx(dead.hip_load + 0.75 * (live + lift))
    least = by_id["0.6D+0.6W/uplift"]
    assert least.hip_load == pytest.approx(0.6 * dead.hip_load + lift)
    assert (least.dead_factor, both.dead_factor) == (0.6, 1.0)
    assert least.hip_push == pytest.approx(by_id["D+0.6W/uplift"].hip_push)


def test_uplift_is_its_pressure_times_the_plan() -> None:
    """Square to the roof it lifts its pressure times the plan, whatever the slope."""
    frame, _, by_id = gathered(with_wind(stated("reading-room", roof__sides=7), 31 * PSF))
    lift = down(frame, by_id["D+0.6W/uplift"]) - down(frame, by_id["D/dead"])
    assert lift == pytest.approx(-0.6 * 31 * PSF * plate_of(frame).area, rel=1e-10)


def test_the_screen_of_a_light_roof() -> None:
    """0.6 x 10 - 0.6 x 24.46 = -8.7 psf net: arithmetic on ASCE 7-16 2.4.1."""
    job = with_wind(stated(loads__dead="10 psf", roof__rise="1/4 in"), 24.46 * PSF)
    frame, _, by_id = gathered(job)
    net = down(frame, by_id["0.6D+0.6W/uplift"]) / plate_of(frame).area / PSF
    assert net == pytest.approx(-8.676, abs=5e-3)


def test_one_sided_snow_meets_uplift_on_the_other_half() -> None:
    """The lee is loaded, the windward side lifts; odd numbers of sides too."""
    job = with_wind(stated("reading-room", roof__sides=7), 26 * PSF)
    frame, _, by_id = gathered(job)
    plan = Plan.of(frame, 0.0)
    for name, towards in (("103", 103 - 1 / 7), ("026", 180 / 7)):
        case = by_id[f"D+0.75(0.6W)+0.75S/unbalanced+uplift-{name}"]
        snow = halves(plan, towards, 30 * PSF, 9 * PSF)
        lift = halves(plan, towards + 180.0, -26 * PSF, 0.0, square=True)
        expected = dead_lines(plan, 15 * PSF) + snow * 0.75 + lift * 0.45
        assert case.hip_load == pytest.approx(expected.hips, rel=1e-9, abs=1e-9)
        assert case.hip_push == pytest.approx(expected.push, rel=1e-9, abs=1e-9)


def test_roof_live_stands_all_over_or_on_one_half() -> None:
    """ASCE 7-16 4.8.2: R_2 of a face that rises 7.24 in 12; R_1 is 1 for so small a hip."""
    job = stated("reading-room", loads__roof_live="20 psf", loads__snow__roof="0 psf")
    frame, cases, by_id = gathered(job)
    rise = 12 * float(frame.plane_slope[0])
    reduced = 20 * (1.2 - 0.05 * rise) * PSF
    load = down(frame, by_id["D+Lr/balanced"]) - down(frame, by_id["D/dead"])
    assert load == pytest.approx(reduced * plate_of(frame).area, rel=1e-10)
    half = down(frame, by_id["D+Lr/one-sided-018"]) - down(frame, by_id["D/dead"])
    assert half == pytest.approx(load / 2, rel=1e-9)
    assert not any("S" in case.equation for case in cases.cases)


def test_ground_snow_on_a_short_roof_with_its_tie_at_the_plate() -> None:
    """7.6.1: I_s p_g on the lee, nothing to windward (value from memory, 97 %)."""
    frame, cases, by_id = snowed(roof__rise="5 ft", tie__height="0")
    assert not cases.simplified_snow
    roof_area = plate_of(frame).area
    balanced = down(frame, by_id["D+S/balanced"]) - down(frame, by_id["D/dead"])
    assert balanced == pytest.approx(0.7 * 1.2 * 37 * PSF * roof_area, rel=1e-10)
    lee = down(frame, by_id["D+S/unbalanced-054"]) - down(frame, by_id["D/dead"])
    assert lee == pytest.approx(37 * PSF * roof_area / 2, rel=1e-9)
    assert "D+S/unbalanced-cone-054" in by_id
    assert not any("drift" in name for name in by_id)


def test_ground_snow_drifts_where_the_hip_is_not_simple() -> None:
    """7.6.1 with a raised tie: 0.3 p_s, p_s and the surcharge over its strip, by shapely."""
    frame, _, by_id = snowed(roof__rise="5 ft")
    sloped = 0.7 * 1.2 * 37
    apothem = 11.125 * cos(pi / 10)
    slope = float(frame.plane_slope.mean())
    height = 0.43 * 20.0 ** (1 / 3) * 47.0**0.25 - 1.5
    surcharge = height * (0.13 * 37 + 14) * slope**0.5
    width = 8 * height / slope**0.5 / 3
    assert width < apothem
    plan = Plan.of(frame, 0.0)
    whole = plate_of(frame)
    lee = whole.intersection(beyond(plan, 90.0))
    strip = lee.difference(beyond(plan, 90.0, width * FOOT))
    expected = PSF * (
        sloped * lee.area + 0.3 * sloped * (whole.area - lee.area) + surcharge * strip.area
    )
    case = by_id["D+S/unbalanced-drift-090"]
    assert down(frame, case) - down(frame, by_id["D/dead"]) == pytest.approx(expected, rel=1e-9)
    assert "D+S/unbalanced-090" not in by_id


def strips(
    radius: float, inner: float, width: float, surcharge: float
) -> tuple[np.ndarray, np.ndarray]:
    """Hip 1 of six with the drift's line square to it, cut into strips beside the plate by hand.

    Shares of the way from foot to head, and load of each strip on 1 Pa of even snow. [m2]
    """
    at = (np.arange(4000) + 0.5) / 4000
    around = radius + (inner - radius) * at
    depth = (radius - inner) * cos(pi / 6) / len(at)
    # Along each half-face from the hip; every face stands 60 degrees to the line of the drift.
    along = (np.arange(100) + 0.5) / 100 * around[:, None] / 2
    ahead = around[:, None] - along * cos(pi / 3)
    load = 1.0 + surcharge * (ahead < width)
    return at, depth * around * load.mean(axis=1)


def bending(at: np.ndarray, load: np.ndarray) -> float:
    """Largest moment of a simple beam of length 1 under point loads."""
    support = (load * (1 - at)).sum()
    places = np.linspace(0.0, 1.0, 101)
    passed = np.clip(places[:, None] - at, 0.0, None) @ load
    return float((support * places - passed).max())


@pytest.mark.parametrize("rise", ["3 ft", "4 ft", "5 ft", "5 ft 2 in"])
def test_a_drift_keeps_its_moment_about_the_foot(rise: str) -> None:
    """The line has the first moment of the strip; a simple hip bends at most a tenth less."""
    frame, _, by_id = snowed(roof__rise=rise, roof__sides=6)
    hip = np.linalg.norm(frame.nodes[frame.heads[0]] - frame.nodes[frame.feet[0]])
    line = by_id["D+S/unbalanced-drift-000"].hip_load[0] - by_id["D/dead"].hip_load[0]
    slope = float(frame.plane_slope.mean())
    sloped = 0.7 * 1.2 * 37
    height = 0.43 * 20.0 ** (1 / 3) * 47.0**0.25 - 1.5
    width = 8 * height / slope**0.5 / 3 * FOOT
    surcharge = height * (0.13 * 37 + 14) * slope**0.5 / sloped
    at, load = strips(11.125 * FOOT, 0.75 * FOOT, width, surcharge)
    load = load * sloped * PSF
    assert hip * line.mean() == pytest.approx(load.sum(), rel=2e-3)
    assert hip * (line[0] / 6 + line[1] / 3) == pytest.approx((load * at).sum(), rel=2e-3)
    straight = (line[0] * (1 - at) + line[1] * at) * hip / len(at)
    assert 0.9 < bending(at, straight) / bending(at, load) < 1.1


def test_a_cone_of_snow_on_a_quarter_of_the_plan() -> None:
    """7.6.4: nothing on the 225 degrees upwind; mirror-alike beside the wind (memory, 90 %)."""
    frame, _, by_id = snowed(roof__sides=16)
    extra = by_id["D+S/unbalanced-cone-000"].hip_load - by_id["D/dead"].hip_load
    assert extra[4:13] == pytest.approx(0.0, abs=1e-9)
    assert extra[1:4] == pytest.approx(extra[:-4:-1], rel=1e-9)
    # Hip 1 lies in the full sector: from 2 p_f C_s / C_e at the eave inwards to 0.5 p_f.
    slope_deg = degrees(atan(float(frame.plane_slope.mean())))
    cs = min(1.0, (70 - slope_deg) / 25)
    flat = 0.7 * 1.2 * 37 * PSF
    plan = Plan.of(frame, 0.0)
    foot_only = even(plan, 2 * flat * cs).hips[0]
    crown_only = even(plan, 0.5 * flat).hips[0]
    frame_load = (extra[0, 0] + extra[0, 1]) / 2
    assert crown_only.mean() < frame_load < foot_only.mean()
    # Heavier towards the eave: its centre lies nearer the foot than an even load's third.
    assert (extra[0, 0] / 6 + extra[0, 1] / 3) / frame_load < 1 / 3


@pytest.mark.parametrize(("sides", "cone"), [(3, False), (4, False), (5, True), (13, True)])
def test_from_five_sides_the_rule_for_cones_is_run_as_well(sides: int, cone: bool) -> None:
    """The standard does not say from how many sides on: both are run, and it is told."""
    _, cases, by_id = snowed(roof__sides=sides, roof__rise="3 ft", roof__plate_radius="14 ft")
    patterns = {case.pattern for case in cases.cases if case.equation == "D+S"}
    assert ("unbalanced-cone" in patterns) is cone
    assert "unbalanced-drift" in patterns
    assert any("cone" in told for told in cases.told) is cone
    directed = [name for name in by_id if name.startswith("D+S/unbalanced-drift")]
    assert len(directed) == 2 * sides


def test_a_roof_too_steep_for_one_sided_snow_says_so() -> None:
    """7.6.1 ends at 7 on 12 and four sides are no cone."""
    _, cases, _ = snowed(roof__sides=4, roof__rise="11 ft")
    assert {case.pattern for case in cases.cases} == {"dead", "balanced"}
    assert any("No one-sided snow" in told for told in cases.told)


def test_strength_level_ground_snow_counts_seven_tenths() -> None:
    """ASCE 7-22 2.4.1, 0.7 S (value from memory, 90 %)."""
    _, _, service = snowed(GROUND.replace("37 psf", "35 psf"))
    _, _, strength = snowed(GROUND.replace("37 psf", "50 psf").replace("service", "strength"))
    for name in ("D+S/balanced", "D+S/unbalanced-cone-018"):
        assert strength[name].hip_load == pytest.approx(service[name].hip_load, rel=1e-12)


def test_a_slippery_roof_sheds_and_a_low_one_keeps_the_minimum() -> None:
    """Figure 7.4-1 and 7.3.4 (values from memory, 95 %)."""
    frame, _, by_id = snowed(GROUND.replace("slippery = false", "slippery = true"))
    slope_deg = degrees(atan(float(frame.plane_slope.mean())))
    even_snow = down(frame, by_id["D+S/balanced"]) - down(frame, by_id["D/dead"])
    expected = 0.7 * 1.2 * 37 * (70 - slope_deg) / 55
    assert even_snow / plate_of(frame).area / PSF == pytest.approx(expected, rel=1e-9)
    low = GROUND.replace("37 psf", "22 psf").replace("unheated", "heated")
    frame, _, by_id = snowed(low, roof__rise="2 ft")
    even_snow = down(frame, by_id["D+S/balanced"]) - down(frame, by_id["D/dead"])
    assert even_snow / plate_of(frame).area / PSF == pytest.approx(20.0, rel=1e-9)


def test_every_line_of_working_can_be_redone() -> None:
    """Each line's numbers give its value."""
    job = stated("reading-room", loads__roof_live="20 psf")
    for rise, snow in (
        ("5 ft", GROUND),
        ("6 ft", GROUND.replace("service", "strength")),
        ("9 ft", GROUND.replace("slippery = false", "slippery = true")),
    ):
        changed = with_snow(replace(job, roof=stated("reading-room", roof__rise=rise).roof), snow)
        _, cases, _ = gathered(changed)
        assert len(cases.working) >= 7
        for line in cases.working:
            assert worked(line.numbers) == pytest.approx(line.value, rel=1e-6), line
            assert figures(line.numbers)


def test_what_is_not_covered_is_told() -> None:
    _, cases, _ = gathered(stated())
    assert any("Earthquake" in told for told in cases.told)
    assert any("wind" in told for told in cases.told)
    _, blown, _ = gathered(with_wind(stated(), 900.0))
    assert not any("No wind" in told for told in blown.told)


def test_climates_are_those_the_job_asks_for() -> None:
    """Strength as set and coldest; least pull warmest, dried and bedded in."""
    job = stated("reading-room")
    weather = replace(
        job.loads,
        coldest=job.loads.set_temperature - 41.0,
        warmest=job.loads.set_temperature + 17.0,
    )
    plain = loads.gather(job, roof.lay_out(job))
    assert [climate.name for climate in plain.climates] == ["set"]
    _, warm, by_id = gathered(replace(job, loads=weather))
    assert [(one.name, one.warming, one.answers) for one in warm.climates] == [
        ("set", 0.0, "strength"),
        ("cold", -41.0, "strength"),
        ("warm", 17.0, "least pull"),
    ]
    _, dry, _ = gathered(replace(job, loads=replace(weather, drying=0.0031)))
    last = dry.climates[-1]
    assert (last.name, last.warming, last.drying, last.bedded) == ("dry", 17.0, 0.0031, True)
    snow = [one.name for one in dry.climates_of(by_id["D+S/balanced"])]
    alone = [one.name for one in dry.climates_of(by_id["D/dead"])]
    assert (snow, alone) == (["set", "cold"], ["set", "cold", "dry"])


def test_half_loads_turn_with_their_direction() -> None:
    """Renumbering a regular roof by one hip moves every line by one."""
    frame = roof.lay_out(stated("reading-room"))
    plan = Plan.of(frame, 0.0)
    first = halves(plan, 18.0, 700.0, 120.0).hips
    second = halves(plan, 18.0 + 36.0, 700.0, 120.0).hips
    assert np.roll(first, 1, axis=0) == pytest.approx(second, rel=1e-9, abs=1e-9)
    assert len(directions(10)) == 20


@pytest.mark.parametrize(
    "job",
    [
        stated("reading-room"),
        stated("octagon", roof__sides=7, roof__overhang="9 in", loads__dead="8 psf"),
        with_wind(with_snow(stated("reading-room", loads__roof_live="20 psf"), GROUND), 700.0),
    ],
)
def test_a_few_cases_are_those_of_all(job: Job) -> None:
    """What is asked for alone is laid as among all others; an unknown id asks for all."""
    frame = roof.lay_out(job)
    every = loads.gather(job, frame)
    ids = [case.id for case in every.cases]
    for start in range(0, len(ids), max(1, len(ids) // 6)):
        only = frozenset(ids[start : start + 3 : 2])
        few = loads.gather(job, frame, only=only)
        assert {case.id for case in few.cases} == only
        assert few.told == every.told
        assert [line.symbol for line in few.working] == [line.symbol for line in every.working]
        for case in few.cases:
            whole = every.cases[ids.index(case.id)]
            assert np.array_equal(case.hip_load, whole.hip_load)
            assert np.array_equal(case.tail_load, whole.tail_load)
            assert np.array_equal(case.hip_push, whole.hip_push)
    assert [case.id for case in loads.gather(job, frame, only={"D+H/none"}).cases] == ids
