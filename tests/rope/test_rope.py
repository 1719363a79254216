"""The rope formulas against what they must obey: limits, inverses, exact statics, refusals.

Published figures are in ``tests/published``; here the referee is the physics itself, worked
another way.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay import rope
from rafterstay.core.errors import DataError, InputError

pulls = st.floats(3.0, 5e4)
lengths = st.floats(0.3, 20.0)


def test_a_ring_corner_in_balance_by_vectors() -> None:
    """Unequal corners: the leg closes the polygon of forces, resolved on fixed axes."""
    ring, corner, bearing = 743.0, math.radians(127.3), math.radians(11.9)
    one = (math.cos(bearing), math.sin(bearing))
    other = (math.cos(bearing + corner), math.sin(bearing + corner))
    leg = rope.leg_pull_at_corner(ring, corner)
    assert leg == pytest.approx(ring * math.hypot(one[0] + other[0], one[1] + other[1]))


@given(pulls, st.integers(3, 64))
def test_a_regular_ring_agrees_with_its_corner(leg: float, n: int) -> None:
    corner = math.pi - 2.0 * math.pi / n
    assert rope.leg_pull_at_corner(rope.ring_pull(leg, n), corner) == pytest.approx(leg)


@given(st.floats(1.0, 200.0), st.floats(1.0, 200.0))
def test_a_gentler_bend_never_costs_more(first: float, second: float) -> None:
    tight, gentle = sorted((first, second))
    assert 0.5 <= rope.bending_efficiency(tight) <= rope.bending_efficiency(gentle) <= 0.95


def test_between_printed_bends_the_line_is_straight() -> None:
    assert rope.bending_efficiency(3.3) == pytest.approx(0.65 + 0.10 * 1.3 / 2.0)
    assert rope.bending_efficiency(27.1) == pytest.approx(0.91 + 0.02 * 7.1 / 10.0)
    assert rope.bending_efficiency(311.0) == 0.95


def test_a_bend_is_as_well_known_as_the_weaker_of_its_points() -> None:
    assert rope.bending_source(7.0).confidence == 99
    assert rope.bending_source(2.0).confidence == 99
    assert rope.bending_source(3.0).confidence == 93
    assert rope.bending_source(64.0).obtained == "read"


@given(pulls, lengths, st.floats(0.02, 2.0), st.integers(1, 9))
def test_pull_and_frequency_are_inverse(pull: float, length: float, mass: float, n: int) -> None:
    frequency = rope.taut_string_frequency(pull, mass, length, mode=n)
    assert rope.taut_string_pull(frequency, mass, length, mode=n) == pytest.approx(pull)


@pytest.mark.parametrize("mode", [1, 2, 3])
@pytest.mark.parametrize("z", [20.0, 33.3, 50.0, 211.0])
def test_a_clamped_rope_obeys_the_clamped_bars_own_equation(z: float, mode: int) -> None:
    """Within the stated 0.5 %, and 0.1 % from z 50; the bar's equation is solved by bisection."""
    length, mass, bending = 1.7, 0.37, 2.9
    pull = bending * (z / length) ** 2
    exact = _clamped_frequency(pull, mass, length, bending, mode)
    ours = rope.fixed_rope_frequency(pull, mass, length, bending_stiffness=bending, mode=mode)
    assert ours == pytest.approx(exact, rel=0.001 if z >= 50.0 else 0.005)


def _clamped_frequency(pull: float, mass: float, length: float, bending: float, n: int) -> float:
    """Root n of the frequency equation of a clamped bar under pull, as printed in textbooks."""

    def unbalance(omega: float) -> float:
        half = pull / (2.0 * bending)
        root = math.sqrt(half**2 + mass * omega**2 / bending)
        a, b = math.sqrt(root - half) * length, math.sqrt(root + half) * length
        whole = 2.0 * a * b * (1.0 / math.cosh(b) - math.cos(a))
        return whole + (b * b - a * a) * math.tanh(b) * math.sin(a)

    string = math.pi * n / length * math.sqrt(pull / mass)
    z = length * math.sqrt(pull / bending)
    low, high = string, string * (1.0 + 5.0 / z)  # below the next root for n of 3 or less
    assert unbalance(low) * unbalance(high) < 0.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if unbalance(low) * unbalance(middle) <= 0.0 else (middle, high)
    return low / (2.0 * math.pi)


@pytest.mark.parametrize("mode", [1, 2, 5])
def test_a_hinged_rope_balances_its_energies(mode: int) -> None:
    """A half sine wave of number k: m w^2 = T k^2 + EI k^4."""
    pull, mass, length, bending = 913.0, 0.21, 1.3, 4.7
    wave = mode * math.pi / length
    turns = math.sqrt((pull * wave**2 + bending * wave**4) / mass) / (2.0 * math.pi)
    ours = rope.pinned_rope_frequency(pull, mass, length, bending_stiffness=bending, mode=mode)
    assert ours == pytest.approx(turns)


def test_the_clamped_form_is_refused_just_below_its_limit() -> None:
    assert rope.slenderness(20.1**2, 1.0, 1.0) == pytest.approx(20.1)
    rope.fixed_rope_frequency(20.1**2, 0.3, 1.0, bending_stiffness=1.0)
    with pytest.raises(InputError, match=r"IN-807 .* 19\.9, but it must be 20 or more"):
        rope.fixed_rope_frequency(19.9**2, 0.3, 1.0, bending_stiffness=1.0)


def test_a_turn_of_the_body_takes_up_two_pitches() -> None:
    """ASME B1.1: 5/8 in UNC has 11 threads in an inch; one turn takes 0.1818 in."""
    assert rope.turnbuckle_travel(11 / 0.0254) == pytest.approx(0.1818 * 0.0254, abs=5e-5 * 0.0254)


def test_a_stretch_factor_gives_the_stretch_it_was_printed_for() -> None:
    """Percent = W G/D^2: 640 lb on 5/16 in rope of 1.40e-5 stretches it by 0.0918 %."""
    lbf, inch = 4.4482216152605, 0.0254
    stiffness = rope.stiffness_from_factor(0.3125 * inch, 0.01 * 1.40e-5 * inch**2 / lbf)
    percent = 100.0 * rope.elastic_stretch(640.0 * lbf, 7.3, stiffness) / 7.3
    assert percent == pytest.approx(640.0 * 1.40e-5 / 0.3125**2)


@given(pulls, lengths, st.floats(0.5, 30.0))
def test_stiffness_only_raises_the_note(pull: float, length: float, bending: float) -> None:
    string = rope.taut_string_frequency(pull, 0.2, length, mode=2)
    assert rope.pinned_rope_frequency(pull, 0.2, length, bending_stiffness=bending, mode=2) > string


def test_the_side_pull_balances_when_the_hook_is_off_centre() -> None:
    near, far, aside = 0.31, 0.97, 0.011
    tension = rope.side_pull_tension(89.0, aside, near=near, far=far)
    steep, flat = math.atan2(aside, near), math.atan2(aside, far)
    assert tension * (math.sin(steep) + math.sin(flat)) == pytest.approx(89.0)


def test_the_gain_is_the_stretch_of_the_longer_way() -> None:
    near, far, aside, stiffness = 0.31, 0.97, 0.011, 1.986e6
    longer = math.sqrt(near**2 + aside**2) + math.sqrt(far**2 + aside**2) - near - far
    gain = rope.side_pull_gain(stiffness, aside, near=near, far=far)
    assert gain == pytest.approx(stiffness * longer / (near + far), rel=1e-9)
    assert gain == pytest.approx(stiffness * aside**2 / (2 * near * far), rel=1e-3)


def test_the_parabola_is_near_the_catenary_at_a_twentieth() -> None:
    """The stated limit: within 0.4 % of the catenary at a sag of L/20."""
    weight, length = 1.7, 9.3
    pull = weight * length / 8.0 * 20.0
    catenary = pull / weight * (math.cosh(weight * length / (2.0 * pull)) - 1.0)
    assert rope.sag(weight, length, pull) == pytest.approx(catenary, rel=0.004)
    arc = 2.0 * pull / weight * math.sinh(weight * length / (2.0 * pull))
    assert rope.sagged_length(length, rope.sag(weight, length, pull)) == pytest.approx(
        arc, rel=1e-4
    )


def test_lambda_squared_term_by_term() -> None:
    weight, length, pull, stiffness = 37.0, 61.0, 4100.0, 2.6e6
    longer = length * (1.0 + (weight * length / pull) ** 2 / 8.0)
    expected = (weight * length / pull) ** 2 * length / (pull * longer / stiffness)
    assert rope.lambda_squared(weight, length, pull, stiffness=stiffness) == pytest.approx(expected)


def test_warming_a_held_rope_undoes_its_free_growth() -> None:
    length, stiffness, warming = 3.7, 1.3e6, -17.0
    change = rope.thermal_change(length, rope.expansion("stainless"), warming)
    force = rope.restrained_thermal_force(stiffness, rope.expansion("stainless"), -warming)
    assert rope.elastic_stretch(force, length, stiffness) == pytest.approx(-change)


def test_without_friction_a_purchase_gains_its_parts() -> None:
    assert rope.purchase(5, 0.0) == 5.0
    assert rope.purchase(1, 0.7) == 1.0
    assert rope.capstan_ratio(0.0, 9.0) == 1.0
    assert rope.purchase(3, 0.1, turn=2.2) < 3.0


def test_bedding_in_is_a_range_by_lay() -> None:
    assert rope.constructional_stretch("7x19") == (0.0, 0.01)
    with pytest.raises(DataError, match=r"DA-014 lay = '8x19'.*7x19"):
        rope.constructional_stretch("8x19")


REFUSALS: list[tuple[str, Callable[[], object]]] = [
    ("IN-801", lambda: rope.elastic_stretch(math.nan, 2.0, 3.0)),
    ("IN-801", lambda: rope.bending_efficiency(math.inf)),
    ("IN-802", lambda: rope.elastic_stretch(1.0, 0.0, 3.0)),
    ("IN-802", lambda: rope.stiffness_from_factor(-0.006, 2e-11)),
    ("IN-802", lambda: rope.strength_from_grade(0.332, 0.01, 0.0)),
    ("IN-802", lambda: rope.side_pull_tension(10.0, 0.0, near=1.0, far=2.0)),
    ("IN-802", lambda: rope.sag(1.0, 3.0, 0.0)),
    ("IN-802", lambda: rope.turnbuckle_travel(0.0)),
    ("IN-802", lambda: rope.thermal_change(0.0, 12e-6, 10.0)),
    ("IN-803", lambda: rope.elastic_stretch(-1.0, 2.0, 3.0)),
    ("IN-803", lambda: rope.capstan_ratio(-0.2, 3.0)),
    ("IN-803", lambda: rope.side_pull_gain(1e6, -0.01, near=1.0, far=2.0)),
    ("IN-804", lambda: rope.ring_pull(100.0, 2)),
    ("IN-804", lambda: rope.purchase(0, 0.2)),
    ("IN-804", lambda: rope.taut_string_frequency(10.0, 1.0, 2.0, mode=0)),
    ("IN-805", lambda: rope.bending_efficiency(0.98)),
    ("IN-806", lambda: rope.leg_pull_at_corner(10.0, 3.2)),
    ("IN-807", lambda: rope.fixed_rope_frequency(100.0, 0.2, 0.5, bending_stiffness=2.0)),
    ("IN-808", lambda: rope.fixed_rope_frequency(1e4, 0.2, 3.0, bending_stiffness=1.0, mode=4)),
]


@pytest.mark.parametrize(("code", "ask"), REFUSALS)
def test_what_cannot_be_is_refused_by_name(code: str, ask: Callable[[], object]) -> None:
    with pytest.raises(InputError, match=f"{code} .*must be"):
        ask()


def test_every_table_has_its_source() -> None:
    from rafterstay.core.tables import read_sources
    from rafterstay.rope.stretch import TABLES

    files = {path.stem for path in TABLES.glob("*.csv")}
    assert files == set(read_sources(TABLES / "sources.toml"))
