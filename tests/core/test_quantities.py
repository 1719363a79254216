"""Quantities are read and shown as the trade writes them.

Referee: pint, an independent library of units, with its own definitions of every unit.
"""

from __future__ import annotations

import contextlib
import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay.core.errors import InputError
from rafterstay.core.quantities import DIMENSIONS, Dimension, Rounding, System, parse, show, units

# Our spelling where pint spells a unit otherwise.
PINT = {
    "lb": "force_pound",
    "lbf": "force_pound",
    "lbs": "force_pound",
    "plf": "force_pound/ft",
    "lb/ft": "force_pound/ft",
    "lbf/ft": "force_pound/ft",
    "lb/in": "force_pound/inch",
    "lbf/in": "force_pound/inch",
    "kip/in": "kip/inch",
    "psf": "force_pound/ft**2",
    "'": "ft",
    '"': "inch",
    "in": "inch",
    "N/mm2": "N/mm**2",
    "°": "deg",
    "degF": "degF",
    "°F": "degF",
    "°C": "degC",
    "K": "kelvin",
}
REGISTRY = pint.UnitRegistry()
SI: dict[Dimension, str] = {
    "length": "m",
    "force": "N",
    "pressure": "Pa",
    "stress": "Pa",
    "temperature": "kelvin",
    "stiffness": "N/m",
    "force per length": "N/m",
    "angle": "rad",
    "mass": "kg",
    "speed": "m/s",
}


def code(text: str, dimension: Dimension) -> str:
    with pytest.raises(InputError) as caught:
        parse(text, dimension)
    found = caught.value.findings[0]
    assert found.bound
    assert found.remedy
    return found.code


@pytest.mark.parametrize(
    ("dimension", "unit"), [(name, unit) for name in SI for unit in units(name)]
)
def test_every_unit_agrees_with_pint(dimension: Dimension, unit: str) -> None:
    named = unit if dimension == "mass" else PINT.get(unit, unit)
    expected = REGISTRY.Quantity(17.3, named).to(SI[dimension]).magnitude
    assert parse(f"17.3 {unit}", dimension) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("unit", units("temperature difference"))
def test_a_difference_has_no_zero_point(unit: str) -> None:
    named = {"degF": "delta_degF", "°F": "delta_degF", "K": "kelvin"}.get(unit, "delta_degC")
    expected = REGISTRY.Quantity(-41.0, named).to("kelvin").magnitude
    assert parse(f"-41 {unit}", "temperature difference") == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("11'-6 1/2\"", 138.5),
        ("11' 6 1/2\"", 138.5),
        ("11'6\"", 138),
        ("11'-6-1/2\"", 138.5),
        ("12 ft 6 in", 150),
        ("12 ft 6 1/2 in", 150.5),
        ("12ft", 144),
        ("0'-3/8\"", 0.375),
        ("1 1/2 in", 1.5),
        ("1-1/2 in", 1.5),
        ("3/8 in", 0.375),
        ("7/4 in", 1.75),
        (".5 in", 0.5),
        ("  6   in ", 6),
        ("-2 ft", -24),
        ("-1'-6\"", -18),
        ("+3 in", 3),
        ("11’-6”", 138),
        ("11′-6″", 138),
        ("1.2e1 in", 12),
    ],
)
def test_lengths_as_written_on_site(text: str, inches: float) -> None:
    assert parse(text, "length") == pytest.approx(inches * 0.0254, rel=1e-14)


@pytest.mark.parametrize("text", ["1/3", "0", ".25", "2", "1 1/2", "-3/4"])
def test_plain_numbers_and_fractions(text: str) -> None:
    expected = {"1/3": 1 / 3, "0": 0, ".25": 0.25, "2": 2, "1 1/2": 1.5, "-3/4": -0.75}
    assert parse(text, "number") == pytest.approx(expected[text], rel=1e-15)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("12", "length"),
        ("0", "length"),
        ("40", "pressure"),
        ("12 kip", "length"),
        ("3 furlong", "length"),
        ("3 FT", "length"),
        ("5 ft", "number"),
        ("60", "temperature"),
        ("1 kN/m2", "stiffness"),
    ],
)
def test_a_unit_that_is_missing_or_wrong(text: str, dimension: Dimension) -> None:
    assert code(text, dimension) == "IN-002"


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "ft",
        "nan ft",
        "inf in",
        "-Infinity m",
        "1e999 ft",
        "1e400000000 ft",
        "1/0 in",
        "1 5/4 in",
        "11'-14\"",
        "11.5'-6 1/3 1/2\"",
        "1,200 ft",
        "1.2.3 ft",
        "--2 ft",
        "١٢ ft",
        "１２ ft",
        "12½ in",
        "1_000 ft",
        "0x10 ft",
        "2**3 ft",
        "9" * 60 + " ft",
        "9" * 1_000_000 + " ft",
        "1/" * 30 + "1 ft",
        "'\"",
        "\0 ft",
        "5 ft 6 in 7",
    ],
)
def test_figures_that_cannot_be_read(text: str) -> None:
    assert code(text, "length") == "IN-003"


def test_a_near_unit_is_offered() -> None:
    with pytest.raises(InputError, match="Did you mean 'psf'"):
        parse("40 PSF", "pressure")
    with pytest.raises(InputError, match="'kip' is a unit of force"):
        parse("40 kip", "pressure")


@given(st.text(max_size=200), st.sampled_from(DIMENSIONS))
def test_any_text_is_a_finite_value_or_a_finding(text: str, dimension: Dimension) -> None:
    try:
        value = parse(text, dimension)
    except InputError as fault:
        told = {found.code for found in fault.findings}
    else:
        told = set()
        assert math.isfinite(value)
    assert told <= {"IN-002", "IN-003"}


@given(st.text(alphabet="0123456789/.-+ eE'\"ftin", max_size=64))
def test_texts_that_look_like_lengths_come_to_an_end(text: str) -> None:
    # A regular expression that tries every split would never come back from some of these.
    with contextlib.suppress(InputError):
        assert math.isfinite(parse(text, "length"))


@pytest.mark.parametrize(
    ("inches", "rounding", "expected"),
    [
        (138.5, "near", "11'-6 1/2\""),
        (11.97, "near", "1'-0\""),
        (11.96, "near", '11 15/16"'),
        (11.99, "near", "1'-0\""),
        (11.97, "down", '11 15/16"'),
        (11.95, "up", "1'-0\""),
        (0.03125, "near", '1/16"'),
        (0.031, "near", '0"'),
        (0.001, "up", '1/16"'),
        (-0.001, "down", '-1/16"'),
        (-0.001, "up", '0"'),
        (-30.04, "near", "-2'-6 1/16\""),
        (12.25, "near", "1'-0 1/4\""),
        (0.0, "near", '0"'),
        (143.97, "near", "12'-0\""),
    ],
)
def test_feet_and_inches_to_a_sixteenth(inches: float, rounding: Rounding, expected: str) -> None:
    assert show(inches * 0.0254, "length", "us", rounding=rounding) == expected


@pytest.mark.parametrize(
    ("value", "dimension", "system", "expected"),
    [
        (6038.9, "force", "us", "1358 lb"),
        (6038.9, "force", "si", "6.04 kN"),
        (999.7, "force", "si", "1 kN"),
        (604.2, "force", "si", "604 N"),
        (-0.2, "force", "si", "0 N"),
        (1915.21, "pressure", "us", "40 psf"),
        (1915.21, "pressure", "si", "1.92 kPa"),
        (6.2053e6, "stress", "us", "900 psi"),
        (288.7056, "temperature", "us", "60 degF"),
        (288.7056, "temperature", "si", "15.6 degC"),
        (0.4636, "angle", "us", "26.56 deg"),
        (0.9996, "length", "si", "1 m"),
        (0.1524, "length", "si", "152 mm"),
        (0.00635, "length", "si", "6.4 mm"),
        (3.5179, "length", "si", "3.518 m"),
        (1 / 3, "number", "us", "0.333"),
        (math.inf, "force", "us", "--"),
        (math.nan, "length", "us", "--"),
    ],
)
def test_what_is_shown(value: float, dimension: Dimension, system: System, expected: str) -> None:
    assert show(value, dimension, system) == expected


STEPS: dict[tuple[Dimension, System], float] = {
    ("length", "us"): 0.0254 / 16,
    ("length", "si"): 1e-3,
    ("force", "us"): 4.4482216152605,
    ("force", "si"): 10.0,
    ("pressure", "us"): 4.788026,
    ("temperature", "us"): 5 / 9,
    ("temperature", "si"): 0.1,
    ("stiffness", "us"): 175.1269,
    ("number", "us"): 1e-3,
}


@given(
    st.floats(-1e5, 1e5, allow_subnormal=True),
    st.sampled_from(sorted(STEPS)),
    st.sampled_from(["near", "up", "down"]),
)
def test_what_is_shown_is_read_back(
    value: float, shape: tuple[Dimension, System], rounding: Rounding
) -> None:
    dimension, system = shape
    text = show(value, dimension, system, rounding=rounding)
    again = parse(text, dimension)
    slack = 1e-9 * max(1.0, abs(value))
    step = STEPS[shape]
    if rounding == "near":
        assert abs(again - value) <= step / 2 * (1 + 1e-6) + slack
    else:
        sign = 1 if rounding == "up" else -1
        assert -slack <= sign * (again - value) <= step * (1 + 1e-6) + slack
    assert show(again, dimension, system) == text
