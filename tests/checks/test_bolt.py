"""Bolt through doubled rafters: clear beside the eye, angle, duration, steel, distances.

The four values of a 5/8 in bolt in Douglas fir were worked by hand from AWC TR12 (2015)
Table 1-1 and NDS 2018 12.3 with the unrounded bearing formulas.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay.checks import Check, verify
from rafterstay.checks.nds_2018.dowel import Joint, double_shear_loads, single_shear_loads
from rafterstay.checks.nds_2018.eye_bolt import EyeBolt, eye_bolt_value
from tests.checks.scene import INCH, LBF, N, forces, state, stated, the, verified, verified_with

PSI = LBF / INCH**2
HIP = math.atan(0.5)


def fir_bolt(clear: float, far: float | None = None) -> EyeBolt:
    near, other = clear * INCH, (clear if far is None else far) * INCH
    return EyeBolt(0.625 * INCH, 45e3 * PSI, 0.50, 1.5 * INCH, 0.41 * INCH, near, other)


@pytest.mark.parametrize(
    ("clear", "angle", "pounds"),
    [(0.5, HIP, 1373.0), (0.25, HIP, 1605.0), (0.0, HIP, 1908.0), (0.0, 0.0, 2276.0)],
)
def test_clear_beside_the_eye_costs_strength(clear: float, angle: float, pounds: float) -> None:
    value = eye_bolt_value(fir_bolt(clear), angle).value / LBF
    assert value == pytest.approx(pounds, abs=0.5)


def test_the_whole_check_gives_the_same_value() -> None:
    """The same 1/4 in clear reached through job, catalogue and frame, at snow's duration."""
    changes = {"gap": "0.91 in", "height": "0", "tail": "12 in"}
    _, frame, tie = stated(**changes)
    direction = tie.ring_points - tie.bolt_points
    direction = direction / np.linalg.norm(direction, axis=1, keepdims=True)
    check = the(
        verified_with({"pull_direction": np.broadcast_to(direction, (3, N, 3))}, **changes),
        "bolt-yield",
    )
    hip = math.atan(79.0 / (135.5 - 7.0))
    by_hand = hem_fir_value(0.25, hip) * 1.15
    assert check.capacity == pytest.approx(by_hand * LBF, rel=1e-9)
    assert frame.rise == pytest.approx(79.0 * INCH)


def hem_fir_value(gap: float, angle: float) -> float:
    """Mode IIIs in two planes, 5/8 in bolt, Hem-Fir, written out from the standard. [lbf]"""
    along, across = 11200.0 * 0.43, 6100.0 * 0.43**1.45 / math.sqrt(0.625)
    sine, cosine = math.sin(angle) ** 2, math.cos(angle) ** 2
    q_s = along * across / (along * sine + across * cosine) * 0.625
    q_m = 87000.0 * 0.625
    a, b = 1.0 / (4.0 * q_s) + 1.0 / (2.0 * q_m), 0.75 + gap
    c = -q_s * 1.5**2 / 4.0 - 45000.0 * 0.625**3 / 6.0
    load = (-b + math.sqrt(b * b - 4.0 * a * c)) / a
    return load / (3.2 * (1.0 + 0.25 * math.degrees(angle) / 90.0))


def test_the_deciding_state_is_the_largest_ratio_not_the_largest_pull() -> None:
    """900 lb for ten minutes (C_D 1.6) asks less of wood than 700 lb for ever (C_D 0.9)."""
    read, frame, tie = stated()
    loads = forces(frame, tie)
    pulls = np.full((3, N), 100.0 * LBF)
    pulls[0, 2], pulls[1, 5] = 700.0 * LBF, 900.0 * LBF
    states = (state("D", "dead", 0.9), state("D+W", "wind", 1.6), loads.states[2])
    loads = replace(loads, leg_pull=pulls, states=states)
    check = the(verify(read, frame, tie, loads, simplified_snow=False), "bolt-yield")
    assert (check.combination, check.leg) == ("D/dead", 3)
    assert check.demand == pytest.approx(700.0 * LBF)


def test_a_steeper_pull_can_decide_over_a_larger_one() -> None:
    """Across the grain the same bolt carries less, so 800 lb across beats 820 lb along."""
    read, frame, tie = stated()
    loads = forces(frame, tie)
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    axis = axis / np.linalg.norm(axis, axis=1, keepdims=True)
    down = np.array([0.0, 0.0, -1.0])
    across = down - np.einsum("kj,j->k", axis, down)[:, None] * axis
    across = across / np.linalg.norm(across, axis=1, keepdims=True)
    direction = np.stack([axis, axis, axis])
    direction[2, 3] = across[3]
    pulls = np.full((3, N), 90.0 * LBF)
    pulls[1, 0], pulls[2, 3] = 820.0 * LBF, 800.0 * LBF
    loads = replace(loads, leg_pull=pulls, pull_direction=direction)
    check = the(verify(read, frame, tie, loads, simplified_snow=False), "bolt-yield")
    assert check.leg == 4
    theta = next(line.value for line in check.working if line.symbol == "theta")
    assert theta == pytest.approx(90.0)


def test_every_leg_tried_one_by_one_gives_the_same_utilisation() -> None:
    """The early stop loses nothing against trying all legs of all states."""
    read, frame, tie = stated(gap="1 1/8 in")
    loads = forces(frame, tie)
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    axis = axis / np.linalg.norm(axis, axis=1, keepdims=True)
    worst = 0.0
    for row, each in enumerate(loads.states):
        for leg in range(N):
            angle = math.acos(float(loads.pull_direction[row, leg] @ axis[leg]))
            value = hem_fir_value((1.125 - 0.41) / 2.0, angle) * each.case.duration_factor
            worst = max(worst, float(loads.leg_pull[row, leg]) / LBF / value)
    check = the(verify(read, frame, tie, loads, simplified_snow=False), "bolt-yield")
    assert check.utilisation == pytest.approx(worst, rel=1e-9)


def test_slack_legs_have_no_angle() -> None:
    """A leg that hangs slack may have no direction at all."""
    read, frame, tie = stated()
    loads = forces(frame, tie)
    pulls, direction = loads.leg_pull.copy(), loads.pull_direction.copy()
    pulls[2, 1], direction[2, 1] = 0.0, np.nan
    changed = replace(loads, leg_pull=pulls, pull_direction=direction)
    check = the(verify(read, frame, tie, changed, simplified_snow=False), "bolt-yield")
    assert check.leg == 5
    assert math.isfinite(check.demand)


class TestLeaningEye:
    def test_near_plane_decides_by_lever(self) -> None:
        """0.2 in clear in all: the near ply has 0.55 of the pull, its plane no gap."""
        value = eye_bolt_value(fir_bolt(0.0, 0.2), HIP)
        share = (0.75 + 0.205 + 0.2) / (1.5 + 0.41 + 0.2)
        assert value.near_share == pytest.approx(share)
        near = eye_bolt_value(fir_bolt(0.0), HIP).value / 2.0
        assert value.value == pytest.approx(near / share, rel=1e-12)

    @pytest.mark.parametrize("gap", ["7/16 in", "7/8 in", "1 1/2 in", "2 3/4 in", "5 in"])
    def test_spacers_never_cost_strength(self, gap: str) -> None:
        with_spacers = the(verified(gap=gap), "bolt-yield").capacity
        without = the(verified(gap=gap, eye_spacers="false"), "bolt-yield").capacity
        assert with_spacers is not None
        assert without is not None
        assert without <= with_spacers * (1.0 + 1e-12)


def test_two_planes_of_one_kind_are_double_shear() -> None:
    """Twice Is, IIIs and IV of single shear are the double-shear loads of TR12 Table 1-1."""
    joint = Joint(54375.0, 2750.0, 0.41, 1.5, 1831.0, 0.31)
    one, two = single_shear_loads(joint), double_shear_loads(joint)
    assert set(two) == {"Im", "Is", "IIIs", "IV"}
    for mode in ("Is", "IIIs", "IV"):
        assert two[mode] == pytest.approx(2.0 * one[mode])
    assert two["Im"] == pytest.approx(54375.0 * 0.41)


@pytest.mark.parametrize("mode", ["II", "IIIm", "IIIs", "IV"])
def test_yield_loads_satisfy_equilibrium(mode: str) -> None:
    """The load P of TR12's quadratic A P^2 + B P + C = 0, written out as printed."""
    q_m, q_s, l_m, l_s, moment, gap = 3100.0, 1900.0, 2.3, 1.4, 777.0, 0.37
    a = {
        "II": 1 / (4 * q_s) + 1 / (4 * q_m),
        "IIIm": 1 / (2 * q_s) + 1 / (4 * q_m),
        "IIIs": 1 / (4 * q_s) + 1 / (2 * q_m),
        "IV": 1 / (2 * q_s) + 1 / (2 * q_m),
    }[mode]
    b = {
        "II": l_s / 2 + gap + l_m / 2,
        "IIIm": gap + l_m / 2,
        "IIIs": l_s / 2 + gap,
        "IV": gap,
    }[mode]
    c = {
        "II": -q_s * l_s**2 / 4 - q_m * l_m**2 / 4,
        "IIIm": -moment - q_m * l_m**2 / 4,
        "IIIs": -q_s * l_s**2 / 4 - moment,
        "IV": -2 * moment,
    }[mode]
    loads = single_shear_loads(Joint(q_m, q_s, l_m, l_s, moment, gap))
    load = next(value for name, value in loads.items() if name == mode)
    assert a * load**2 + b * load + c == pytest.approx(0.0, abs=1e-9 * abs(c))


SIZES = {
    "diameter": st.floats(0.25, 1.0),
    "gravity": st.floats(0.31, 0.73),
    "ply": st.floats(0.7, 5.6),
    "eye": st.floats(0.2, 2.1),
    "clear": st.floats(0.0, 6.0),
    "angle": st.floats(0.0, 1.5),
}


class TestAnyBolt:
    @given(**SIZES, more=st.floats(0.001, 0.07))
    def test_more_angle_never_gains(
        self, diameter: float, gravity: float, ply: float, eye: float, clear: float,
        angle: float, more: float,
    ) -> None:  # fmt: skip
        """What lets the search for the deciding leg stop early."""
        bolt = inches(diameter, gravity, ply, eye, clear)
        less = eye_bolt_value(bolt, angle).value
        assert eye_bolt_value(bolt, angle + more).value <= less * (1.0 + 1e-12)

    @given(**SIZES, more=st.floats(0.001, 3.0))
    def test_more_clear_never_gains(
        self, diameter: float, gravity: float, ply: float, eye: float, clear: float,
        angle: float, more: float,
    ) -> None:  # fmt: skip
        less = eye_bolt_value(inches(diameter, gravity, ply, eye, clear), angle).value
        wider = eye_bolt_value(inches(diameter, gravity, ply, eye, clear + more), angle).value
        assert wider <= less * (1.0 + 1e-12)

    @given(**SIZES)
    def test_never_more_than_touching_parts_nor_than_the_plies_bear(
        self, diameter: float, gravity: float, ply: float, eye: float, clear: float, angle: float
    ) -> None:
        bolt = inches(diameter, gravity, ply, eye, clear)
        value = eye_bolt_value(bolt, angle)
        assert 0.0 < value.value <= 2.0 * value.joint.side * bolt.ply / 4.0 * (1.0 + 1e-12)


def inches(diameter: float, gravity: float, ply: float, eye: float, clear: float) -> EyeBolt:
    g = clear / 2.0 * INCH
    return EyeBolt(diameter * INCH, 45e3 * PSI, gravity, ply * INCH, eye * INCH, g, g)


class TestSteel:
    def test_long_grip_of_a307(self) -> None:
        """Two planes of 13.5 ksi on 0.3068 in2; grip 3.875 in is 12 sixteenths over 5 D."""
        check = the(verified(), "bolt-steel")
        by_hand = 27000.0 * math.pi / 4.0 * 0.625**2 * (1.0 - 0.12)
        assert check.capacity == pytest.approx(by_hand * LBF, rel=1e-9)
        assert check.status == "passes"


class TestDistances:
    def test_end_close_to_the_bolt_and_tail_unstated_is_referred(self) -> None:
        check = the(verified(height="0", tail="0 in"), "bolt-distances")
        assert check.status == "refer"
        assert 'State rafter.tail: 2 1/2" or more' in check.why.replace("2-1/2", "2 1/2")

    def test_a_stated_tail_settles_it(self) -> None:
        check = the(verified(height="0", tail="2 1/2 in"), "bolt-distances")
        assert check.status == "passes"
        assert the(verified(height="0", tail="2 1/2 in"), "bolt-yield").capacity == pytest.approx(
            the(verified(height="0", tail="30 in"), "bolt-yield").capacity
        )

    def test_a_short_tail_costs_its_share(self) -> None:
        """At 0.6 of the full distance the bolt has 0.6 of its value (NDS 2018 12.5.1.2)."""
        short = the(verified(height="0", tail="1 1/2 in"), "bolt-yield")
        full = the(verified(height="0", tail="10 in"), "bolt-yield")
        assert short.capacity == pytest.approx(0.6 * _capacity(full))

    def test_under_the_least_end_distance_fails(self) -> None:
        check = the(verified(height="0", tail="1 in"), "bolt-distances")
        assert check.status == "fails"
        assert check.utilisation == pytest.approx(1.25)

    def test_a_high_tie_has_wood_enough_without_a_tail(self) -> None:
        assert the(verified(tail="0 in"), "bolt-distances").status == "passes"

    def test_edge_of_a_shallow_ply(self) -> None:
        """1 in bolt in a 2x8: 4 in to the loaded edge where 3.625 in is."""
        read, frame, tie = stated()
        ply = replace(tie.ply, depth=7.25 * INCH)
        bolt = replace(tie.bolt, diameter=INCH)
        thin = replace(tie, ply=ply, bolt=bolt)
        checks = verify(read, frame, thin, forces(frame, thin), simplified_snow=False)
        check = the(checks, "bolt-distances")
        assert check.status == "fails"
        assert check.utilisation == pytest.approx(4.0 / 3.625)


def _capacity(check: Check) -> float:
    assert check.capacity is not None
    return check.capacity


@pytest.mark.parametrize(("plies", "known"), [(1, False), (3, True)])
def test_other_than_two_plies_is_referred(plies: int, known: bool) -> None:
    read, frame, tie = stated()
    odd = replace(tie, plies=plies)
    checks = verify(read, frame, odd, forces(frame, odd), simplified_snow=False)
    check = the(checks, "bolt-yield")
    assert check.status == "refer"
    assert (check.capacity is not None) is known


def test_a_bolt_over_an_inch_is_outside_the_table() -> None:
    from rafterstay.checks.nds_2018.bearing import reduction_term
    from rafterstay.core.errors import InputError

    with pytest.raises(InputError, match="IN-821"):
        reduction_term("IV", 1.125 * INCH, 0.0)
