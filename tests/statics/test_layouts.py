"""Gables, bands, ties straight across and jacks, against statics a reviewer can redo."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import hypot, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from rafterstay import job, loads, roof, statics, tie
from rafterstay.job import Job
from rafterstay.job.examples import example
from rafterstay.loads import Cases
from rafterstay.loads.gable import Stretch
from rafterstay.loads.on_pair import feet_push, outline_of, pair_lines
from rafterstay.statics import Forces
from tests.statics.roofs import FOOT, POUND, PSF, Value, half_loaded, row, stated

FEW = settings(max_examples=6, deadline=None, phases=(Phase.explicit, Phase.generate))
GABLE = "gable-workshop"
PLAIN: dict[str, Value] = {
    "roof__span": "24 ft",
    "roof__rise": "4 ft",
    "tie__height": "1/6",
    "roof__overhang": "1 ft",
    "loads__dead": "10 psf",
}
BARE: dict[str, Value] = {"roof__overhang": "0 in", "loads__dead": "0 psf", "roof__tie_every": 1}


def workshop(**changes: Value) -> Job:
    """The workshop 24 ft wide at 4:12, its snow stated on the roof."""
    text = example(GABLE)
    (line,) = (each for each in text.splitlines() if each.startswith("snow = "))
    text = text.replace(line, 'snow = { roof = "40 psf" }')
    for key, value in (PLAIN | changes).items():
        text = job.set_value(text, key.replace("__", "."), value)
    return job.loads(text)


def weightless(read: Job) -> Forces:
    """Forces of a job whose ropes weigh nothing."""
    frame = roof.lay_out(read)
    cases = loads.gather(read, frame)
    light = tuple(replace(case, dead_factor=0.0) for case in cases.cases)
    only = Cases(light, replace(cases.setting, dead_factor=0.0), simplified_snow=True)
    return statics.solve(frame, tie.rig(read, frame), only)


def gable(**changes: Value) -> Job:
    """24 ft, 4:12, every pair tied, no overhang, snow alone; rafters 2 ft apart."""
    return workshop(**(BARE | changes))


@pytest.mark.parametrize(("height", "pounds"), [("0", 1440.0), ("1/3", 2160.0)])
def test_a_gable_pulls_as_three_hinges_do(height: str, pounds: float) -> None:
    """W L^2 / (8 h) with 80 lb per foot, 24 ft, 4 ft; times 1 / (1 - Hc/Hr) above the plate.

    Source: statics; IRC 2021 Table R802.5.2, note on raised ties.
    """
    forces = weightless(gable(tie__height=height))
    found = forces.first_order[row(forces, "D+S/balanced")] / POUND
    assert found == pytest.approx([pounds], abs=0.5)


@pytest.mark.parametrize("fraction", [0.1, 0.29, 0.6])
def test_a_raised_tie_pulls_by_its_lever(fraction: float) -> None:
    """Source: IRC 2021 Table R802.5.2, note on raised ties, 1 / (1 - Hc/Hr)."""
    low, high = (weightless(gable(tie__height=str(at))) for at in (0.0, fraction))
    for state in ("D+S/balanced", "D+S/unbalanced-180"):
        ratio = high.first_order[row(high, state)] / low.first_order[row(low, state)]
        assert ratio == pytest.approx([1 / (1 - fraction)], rel=2e-3)


def test_loads_in_are_loads_out() -> None:
    """Moments about the ridge on the roof as drawn: T (h - Hc) = w L^2 / 8, to rounding."""
    for every, fraction in ((1, 0.0), (3, 0.17), (4, 0.31)):
        read = gable(tie__height=str(fraction), roof__tie_every=every, loads__snow__roof="13 psf")
        forces = weightless(read)
        moment = every * 13 * PSF * 2 * FOOT * (24 * FOOT) ** 2 / 8
        found = forces.first_order[row(forces, "D+S/balanced")] * 4 * FOOT * (1 - fraction)
        assert found == pytest.approx([moment], rel=1e-10)


@pytest.mark.parametrize(
    ("height", "printed", "largest"),
    [
        ("1/3", "0.67", "0.67"),
        ("1/4", "0.76", "0.75"),
        ("1/5", "0.83", "0.80"),
        ("1/6", "0.90", "0.83"),
    ],
)
def test_bending_at_a_raised_tie_gives_the_code_span_factor(
    height: str, printed: str, largest: str
) -> None:
    """Bending at the tie grows as the span squared. Source: IRC 2021 Tables R802.4.1, notes (read).

    Below about 0.29 of the rise a rafter bends more above its tie than at it: at x = 1 - T/(w L1)
    of the run M = x - x2/2 - T (x - k), T = 1 / (2 (1 - k)), in w L1^2; see errata.toml.
    """
    forces = weightless(gable(tie__height=height, loads__snow__roof="1 psf"))
    moment = np.abs(forces.hip_moment[row(forces, "D+S/balanced")])
    plain = 2 * FOOT * PSF * (12 * FOOT) ** 2 / 8
    at = int(np.abs(forces.hip_at - float(Fraction(height))).argmin())
    assert f"{sqrt(plain / moment[:, at].max()):.2f}" == printed
    assert f"{sqrt(plain / moment.max()):.2f}" == largest


@pytest.mark.parametrize(
    ("sides", "times"),
    [(3, 0.57735), (4, 0.70711), (5, 0.85065), (6, 1.0), (10, 1.61803), (16, 2.56292)],
)
def test_a_band_pulls_as_a_polygon_does(sides: int, times: float) -> None:
    """1 / (2 sin(pi/n)) of a hip's thrust. Source: statics; docs/theory/band.md eq. 1."""
    band = stated(
        tie__layout="band", roof__sides=sides, loads__snow__roof="1 psf", rafter__ply="2x12"
    )
    forces = weightless(band)
    thrust = PSF * sin(2 * pi / sides) * (12 * FOOT) ** 3 / 2 / (3 * 6 * FOOT)
    found = forces.first_order[row(forces, "D+S/balanced")]
    assert found / thrust == pytest.approx(times, rel=2e-4)
    assert found.shape == (sides,)


@pytest.mark.parametrize("sides", [4, 6, 14])
def test_ties_across_pull_as_legs_to_a_ring_do(sides: int) -> None:
    """Each end holds one hip's thrust. Source: statics; docs/theory/cross.md eq. 1."""
    cross = stated(
        tie__layout="cross", roof__sides=sides, tie__height="0.3", loads__snow__roof="2 psf"
    )
    forces = weightless(cross)
    slice_load = 2 * PSF * sin(2 * pi / sides) * (12 * FOOT) ** 2 / 2
    found = forces.first_order[row(forces, "D+S/balanced")]
    assert found == pytest.approx(slice_load * 12 / (3 * 6 * 0.7), rel=2e-3)
    assert found.shape == (sides // 2,)
    assert forces.ring_pull.size == 0
    assert np.isnan(forces.ring_shift).all()


@pytest.mark.parametrize("every", [2, 3, 5])
def test_one_tie_holds_the_thrust_of_all_its_pairs(every: int) -> None:
    """The untied push on the plate, the plate on the tied feet. docs/theory/gable.md eq. 3."""
    one = weightless(gable(tie__height="0.25", loads__snow__roof="1 psf"))
    many = weightless(gable(tie__height="0.25", loads__snow__roof="1 psf", roof__tie_every=every))
    for state in ("D+S/balanced", "D+S/unbalanced-000"):
        ratio = many.first_order[row(many, state)] / one.first_order[row(one, state)]
        assert ratio == pytest.approx([every], rel=2e-3)
    # The extra push bends the rafter below its bolt: (m - 1) H Hc more at the bolt.
    at_bolt = int(np.flatnonzero(np.isclose(one.hip_at, 0.25))[0])
    here = row(one, "D+S/balanced")
    thrust = 1 * PSF * 2 * FOOT * (24 * FOOT) ** 2 / (8 * 4 * FOOT)
    more = many.hip_moment[here, :, at_bolt] - one.hip_moment[here, :, at_bolt]
    assert more == pytest.approx((every - 1) * thrust * 1 * FOOT, rel=0.01)


def test_an_untied_pair_pushes_as_three_hinges_do() -> None:
    """Reactions by moments of the whole pair, then of one rafter about the ridge.

    Loads down and sideways, part of a slope and an overhang, all unequal. Source: statics.
    """
    read = workshop(roof__overhang="19 in", roof__span="22 ft", roof__rise="5.3 ft")
    frame, outline = roof.lay_out(read), outline_of(read)
    half, rise, reach = 11 * FOOT, 5.3 * FOOT, 11 * FOOT + 19 * FOOT / 12
    parts = (
        Stretch(0, 0.0, half, 310.0, -95.0),
        Stretch(0, half, reach, 270.0, -60.0),
        Stretch(0, 0.3, 1.9, 140.0),
        Stretch(1, 0.0, half, -45.0, 70.0),
        Stretch(1, half, reach, -160.0, 33.0),
    )
    found = feet_push(pair_lines(parts, frame, outline), frame)
    # Ridge at 0; x to the side of slope 0; z above the feet. Forces down and towards +x.
    points, down, level = [], [], []
    for part in parts:
        side = 1.0 if part.slope == 0 else -1.0
        middle, long = (part.start + part.end) / 2, part.end - part.start
        points.append((side * middle, rise * (1 - middle / half)))
        down.append(part.down * long)
        level.append(side * part.out * long)
    x, z = np.array(points).T
    push, weight = np.array(level), np.array(down)
    lift_0 = ((weight * (x + half)).sum() + (push * z).sum()) / (2 * half)
    on_0 = x > 0
    # Moments about the ridge of everything on slope 0: lift, thrust T inwards at the foot, loads.
    loads_0 = (weight * x)[on_0].sum() - (push * (rise - z))[on_0].sum()
    thrust_0 = (lift_0 * half - loads_0) / rise
    thrust_1 = thrust_0 - push.sum()
    assert found == pytest.approx([thrust_0, thrust_1], rel=1e-12)


def test_wind_from_either_side_pulls_alike_and_lifts_what_it_should() -> None:
    """Feet change places with the wind; the upright sum is that of the lines. Equilibrium."""
    read = workshop(loads__dead="19 psf", roof__tie_every=2, tie__height="0.22")
    blow = {"speed": 96 * 0.44704, "exposure": "C", "enclosure": "enclosed", "height": 4.3}
    wind = replace(read.loads.wind, **blow)
    read = replace(read, loads=replace(read.loads, wind=wind))
    frame = roof.lay_out(read)
    cases = loads.gather(read, frame)
    forces = statics.solve(frame, tie.rig(read, frame), cases)
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    rig = tie.rig(read, frame)
    rope = (rig.leg_lengths - rig.turnbuckle_set) * rig.rope.mass
    hung = 9.80665 * (rope + rig.turnbuckle.mass).sum()
    blown = [k for k, state in enumerate(forces.states) if "wind-" in state.id]
    mirrored = 0
    for here in blown:
        case = forces.states[here].case
        put_on = case.hip_load.mean(axis=1) @ hips + case.tail_load.sum()
        assert forces.foot_reaction[here].sum() == pytest.approx(
            put_on + case.dead_factor * hung, rel=1e-5
        )
        if case.id.endswith("-000") and "+wind" not in case.pattern:
            mirrored += 1
            other = row(forces, case.id.removesuffix("000") + "180")
            assert forces.leg_pull[here] == pytest.approx(forces.leg_pull[other], rel=1e-5)
            assert forces.foot_reaction[here] == pytest.approx(
                forces.foot_reaction[other][::-1], rel=1e-4
            )
    assert mirrored >= 4


def test_a_ridge_beam_takes_the_thrust_away() -> None:
    """Half of each rafter's load goes to the beam; none pushes outward. Source: statics."""
    read = gable(roof__ridge="beam", roof__tie_every=3, loads__snow__roof="11 psf")
    forces = weightless(read)
    here = row(forces, "D+S/unbalanced-000")
    load = 11 * PSF * 2 * FOOT * 12 * FOOT * np.array([1.0, 0.3])
    assert forces.head_shear[here] == pytest.approx(load / 2, rel=1e-3)
    assert forces.foot_reaction[here] == pytest.approx(load / 2, rel=1e-3)
    assert forces.leg_pull[here] == pytest.approx([0.0], abs=2.0)
    assert loads.gather(read, roof.lay_out(read)).told[1].startswith("The ridge beam carries")


def test_an_overhang_levers_the_roof_up() -> None:
    """T h = w (a^2 - e^2) / 2 with the eave loaded, w a^2 / 2 with it bare. Source: statics."""
    read = gable(tie__height="0", roof__overhang="27 in", loads__snow__roof="2 psf")
    forces = weightless(read)
    line, half, eave, rise = 4 * PSF * FOOT, 12 * FOOT, 27 / 12 * FOOT, 4 * FOOT
    for state, out in (("D+S/balanced", eave), ("D+S/balanced-bare-eaves", 0.0)):
        pull = line * (half**2 - out**2) / 2 / rise
        assert forces.first_order[row(forces, state)] == pytest.approx([pull], rel=2e-3)
        lift = line * (half + out)
        assert forces.foot_reaction[row(forces, state)] == pytest.approx(lift, rel=1e-6)


@pytest.mark.parametrize("sides", [5, 8])
def test_jacks_leave_the_thrust_and_lighten_the_hip(sides: int) -> None:
    """Half of the load to the plate; the same moment about it. docs/theory/jacks.md eq. 1, 2."""
    changes: dict[str, Value] = {
        "roof__sides": sides,
        "loads__snow__roof": "2 psf",
        "tie__height": "0.2",
    }
    found = [weightless(stated(roof__infill=infill, **changes)) for infill in ("purlins", "jacks")]
    whole = 2 * PSF * sin(2 * pi / sides) * (12 * FOOT) ** 2 / 2
    for state in ("D+S/balanced", f"D+S/unbalanced-{90 // sides * 2 * 2:03d}"):
        if state not in {each.id for each in found[0].states}:
            continue
        purlins, jacks = (each.first_order[row(each, state)] for each in found)
        assert jacks == pytest.approx(purlins, rel=2e-4)
    lift = [each.foot_reaction[row(each, "D+S/balanced")] for each in found]
    assert lift[0] == pytest.approx(whole, rel=1e-6)
    assert lift[1] == pytest.approx(whole / 2, rel=1e-6)


@FEW
@given(
    half=st.integers(2, 4),
    layout=st.sampled_from(["band", "cross"]),
    direction=st.floats(3.0, 80.0),
    other=st.floats(0.1, 0.9),
    rise=st.floats(4.0, 8.0),
)
def test_turning_and_mirroring_leave_results_unchanged(
    half: int, layout: str, direction: float, other: float, rise: float
) -> None:
    """Snow turned by one side renumbers legs and feet; mirrored snow mirrors them."""
    n = 2 * half
    read = stated(
        tie__layout=layout,
        roof__sides=n,
        roof__rise=f"{rise:.4f} ft",
        tie__height="0" if layout == "band" else "0.23",
        rafter__ply="2x12",
    )
    frame = roof.lay_out(read)
    rig = tie.rig(read, frame)

    def pulls(towards: float) -> Forces:
        return statics.solve(frame, rig, half_loaded(frame, 9 * PSF, towards, other))

    here, turned, mirrored = (pulls(at) for at in (direction, direction + 360 / n, -direction))
    legs = np.arange(rig.n)
    assert turned.leg_pull[0] == pytest.approx(np.roll(here.leg_pull[0], 1), rel=1e-5)
    assert turned.foot_reaction[0] == pytest.approx(np.roll(here.foot_reaction[0], 1), rel=1e-5)
    image = (-legs - 1) % n if layout == "band" else -legs % half
    assert mirrored.leg_pull[0] == pytest.approx(here.leg_pull[0][image], rel=1e-5)
    assert mirrored.foot_reaction[0] == pytest.approx(
        here.foot_reaction[0][-np.arange(n) % n], rel=1e-5
    )


@FEW
@given(
    span=st.floats(14.0, 34.0),
    pitch=st.floats(0.25, 1.2),
    fraction=st.floats(0.0, 0.4),
    every=st.integers(1, 3),
    eave=st.floats(0.0, 20.0),
)
def test_a_gable_has_no_better_side_and_loses_no_load(
    span: float, pitch: float, fraction: float, every: int, eave: float
) -> None:
    """Either slope loaded: feet change places, the pull stays. Loads in equal loads out."""
    read = workshop(
        roof__span=f"{span:.3f} ft",
        roof__rise=f"{span / 2 * pitch:.3f} ft",
        roof__tie_every=every,
        roof__overhang=f"{eave:.2f} in",
        tie__height=f"{fraction:.3f}",
        loads__snow__roof="7 psf",
        loads__dead="4 psf",
        rafter__ply="2x12",
    )
    frame = roof.lay_out(read)
    forces = statics.solve(frame, tie.rig(read, frame), loads.gather(read, frame))
    north, south = (row(forces, f"D+S/unbalanced-{at}") for at in ("000", "180"))
    assert forces.leg_pull[north] == pytest.approx(forces.leg_pull[south], rel=2e-5)
    for told in (forces.foot_reaction, forces.head_push, forces.spread):
        assert told[north] == pytest.approx(told[south][::-1], rel=5e-5, abs=1e-8)
    rig = tie.rig(read, frame)
    hung = (
        9.80665
        * ((rig.leg_lengths - rig.turnbuckle_set) * rig.rope.mass + rig.turnbuckle.mass).sum()
    )
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    for here, state in enumerate(forces.states):
        case = state.case
        put_on = case.hip_load.mean(axis=1) @ hips + case.tail_load.sum()
        carried = forces.foot_reaction[here].sum()
        # Re-basing stops when no pull changes by 1e-5; what is left of that shows here.
        assert carried == pytest.approx(put_on + case.dead_factor * hung, rel=3e-6)


def test_lines_of_a_pair_hold_all_that_lies_on_it() -> None:
    """Totals by area: 24 ft + 2 ft of eaves, 2 ft strip, on plan. Source: geometry."""
    read = workshop(loads__dead="9 psf", loads__snow__roof="23 psf")
    frame = roof.lay_out(read)
    cases = {case.id: case for case in loads.gather(read, frame).cases}
    case = cases["D+S/balanced"]
    hip = hypot(12, 4) * FOOT
    total = case.hip_load.mean(axis=1).sum() * hip + case.tail_load.sum()
    area = 26 * 2 * FOOT**2
    expected = (9 * hypot(12, 4) / 12 + 23) * PSF * area
    assert total == pytest.approx(expected, rel=1e-10)
    assert case.tail_moment == pytest.approx(case.tail_load * FOOT / 2, rel=1e-10)
