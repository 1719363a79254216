"""How a quantity with its unit is read and shown; inside, everything is SI.

Text is read by a fixed grammar: a number, a fraction, a mixed number or feet and inches, then
one unit of the table below. It is never evaluated, at most ``LONGEST_TEXT`` characters are
looked at, and exponents have at most two digits, so any text is settled in bounded time.

Temperatures are kept in kelvin. A difference of temperature is a dimension of its own: 10 degF
as a temperature is 260.9 K, as a difference 5.56 K.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Final, Literal, NoReturn

from rafterstay.core.errors import Finding, InputError

__all__ = [
    "DIMENSIONS",
    "LONGEST_TEXT",
    "Dimension",
    "Rounding",
    "System",
    "parse",
    "show",
    "show_both",
    "units",
]

Dimension = Literal[
    "length",
    "force",
    "pressure",
    "stress",
    "temperature",
    "temperature difference",
    "stiffness",
    "force per length",
    "angle",
    "mass",
    "speed",
    "number",
]
System = Literal["us", "si"]
Rounding = Literal["near", "up", "down"]

LONGEST_TEXT: Final = 64

_FOOT: Final = 0.3048  # [m], exact: international foot
_INCH: Final = 0.0254  # [m], exact
_POUND: Final = 0.45359237  # [kg], exact: international avoirdupois pound
_LBF: Final = _POUND * 9.80665  # [N], with the standard acceleration of free fall
_PSF: Final = _LBF / _FOOT**2
_PSI: Final = _LBF / _INCH**2
_RANKINE: Final = 5.0 / 9.0  # [K]
_PRESSURES: Final = {
    "psf": _PSF,
    "psi": _PSI,
    "ksi": 1000.0 * _PSI,
    "Pa": 1.0,
    "kPa": 1e3,
    "MPa": 1e6,
    "N/mm2": 1e6,
}

# One table of units: dimension -> unit -> SI value of one unit.
# Source: NIST SP 811 (2008) appendix B; the factors named exact above are exact by definition.
_UNITS: Final[dict[Dimension, dict[str, float]]] = {
    "length": {
        "ft": _FOOT,
        "in": _INCH,
        "mm": 1e-3,
        "cm": 1e-2,
        "m": 1.0,
        "'": _FOOT,
        '"': _INCH,
        "feet": _FOOT,
        "foot": _FOOT,
        "inch": _INCH,
        "inches": _INCH,
    },
    "force": {"lb": _LBF, "lbf": _LBF, "lbs": _LBF, "kip": 1000.0 * _LBF, "N": 1.0, "kN": 1e3},
    "pressure": _PRESSURES,
    "stress": _PRESSURES,
    "temperature": {"degF": _RANKINE, "degC": 1.0, "K": 1.0, "°F": _RANKINE, "°C": 1.0},
    "temperature difference": {
        "degF": _RANKINE,
        "degC": 1.0,
        "K": 1.0,
        "°F": _RANKINE,
        "°C": 1.0,
    },
    "stiffness": {
        "kip/in": 1000.0 * _LBF / _INCH,
        "lb/in": _LBF / _INCH,
        "lbf/in": _LBF / _INCH,
        "kN/m": 1e3,
        "N/mm": 1e3,
        "kN/mm": 1e6,
        "N/m": 1.0,
    },
    "force per length": {
        "plf": _LBF / _FOOT,
        "lb/ft": _LBF / _FOOT,
        "lbf/ft": _LBF / _FOOT,
        "kN/m": 1e3,
        "N/m": 1.0,
    },
    "angle": {"deg": math.pi / 180.0, "rad": 1.0, "°": math.pi / 180.0},
    "mass": {"lb": _POUND, "kg": 1.0, "g": 1e-3, "oz": _POUND / 16.0},
    "speed": {"mph": 0.44704, "km/h": 1.0 / 3.6, "m/s": 1.0},
    "number": {"": 1.0},
}
DIMENSIONS: Final[tuple[Dimension, ...]] = tuple(_UNITS)
_ZERO_POINTS: Final = {
    "degF": 459.67 * _RANKINE,
    "°F": 459.67 * _RANKINE,
    "degC": 273.15,
    "°C": 273.15,
}
_EXAMPLES: Final[dict[Dimension, str]] = {
    "length": "12 ft 6 1/2 in, 3/8 in or 152 mm",
    "force": "50 lb, 2 kip or 1.2 kN",
    "pressure": "40 psf or 1.9 kPa",
    "stress": "900 psi or 6.2 MPa",
    "temperature": "60 degF or 15 degC",
    "temperature difference": "40 degF or 20 K",
    "stiffness": "1 kip/in or 175 kN/m",
    "force per length": "50 plf or 0.7 kN/m",
    "angle": "26.57 deg",
    "mass": "12 lb or 5 kg",
    "speed": "115 mph or 51 m/s",
    "number": "0.5, 1/3 or 2",
}

_NUMBER: Final = re.compile(r"([0-9]{1,20}\.?[0-9]{0,20}|\.[0-9]{1,20})([eE][+-]?[0-9]{1,2})?")
_FRACTION: Final = re.compile(r"(?:([0-9]{1,9})(?: +| *- *))?([0-9]{1,9}) */ *([0-9]{1,9})")
_FEET_INCHES: Final = re.compile(
    r"([0-9]{1,9}) *(?:'|ft|feet|foot) *-? *([0-9][0-9./ -]*?) *(?:\"|inches|inch|in)"
)
_UNIT: Final = re.compile(r"(?:[A-Za-z°'\"][A-Za-z0-9/°]*)?")
_SPLIT: Final = re.compile(r"([0-9./ +-]*(?:[eE][+-]?[0-9]+)?[0-9./ -]*)(.*)", re.DOTALL)
# Marks that phones and word processors put for feet, inches and a blank.
_TYPED: Final = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "\u00a0": " "})


@dataclass(frozen=True)
class _Style:
    """How one system writes a dimension: the first unit whose ``above`` is reached, its step."""

    unit: str
    step: float  # in that unit
    above: float = 0.0  # SI magnitude


_STYLES: Final[dict[Dimension, dict[System, tuple[_Style, ...]]]] = {
    "length": {
        "us": (_Style("in", 1 / 16),),
        "si": (_Style("m", 0.001, 1.0), _Style("mm", 1.0, 0.1), _Style("mm", 0.1)),
    },
    "force": {"us": (_Style("lb", 1.0),), "si": (_Style("kN", 0.01, 1e3), _Style("N", 1.0))},
    "pressure": {"us": (_Style("psf", 0.1),), "si": (_Style("kPa", 0.01),)},
    "stress": {"us": (_Style("psi", 1.0),), "si": (_Style("MPa", 0.01),)},
    "temperature": {"us": (_Style("degF", 1.0),), "si": (_Style("degC", 0.1),)},
    "temperature difference": {"us": (_Style("degF", 1.0),), "si": (_Style("K", 0.1),)},
    "stiffness": {"us": (_Style("lb/in", 1.0),), "si": (_Style("kN/m", 0.1),)},
    "force per length": {"us": (_Style("plf", 1.0),), "si": (_Style("kN/m", 0.01),)},
    "angle": {"us": (_Style("deg", 0.01),), "si": (_Style("deg", 0.01),)},
    "mass": {"us": (_Style("lb", 0.1),), "si": (_Style("kg", 0.01),)},
    "speed": {"us": (_Style("mph", 1.0),), "si": (_Style("m/s", 0.1),)},
    "number": {"us": (_Style("", 0.001),), "si": (_Style("", 0.001),)},
}


def units(dimension: Dimension) -> tuple[str, ...]:
    """Every unit a quantity of this dimension may be written in.

    >>> units("force")
    ('lb', 'lbf', 'lbs', 'kip', 'N', 'kN')
    """
    return tuple(_UNITS[dimension])


def parse(text: str, dimension: Dimension) -> float:
    r"""Value in SI of a quantity as it is written on site.

    Args:
        text: For example ``11'-6 1/2"``, ``3/8 in``, ``40 psf``, ``-10 degC``.
        dimension: What the quantity must be.

    Returns:
        Finite value in SI: m, N, Pa, K, N/m, rad, kg. [-]

    Raises:
        InputError: IN-002 where the unit is missing, unknown or of another dimension;
            IN-003 where the figure cannot be read.

    Limits: at most 64 characters, two digits of exponent, inches under 12 beside feet.

    Source: NIST SP 811 (2008), appendix B

    >>> parse("11'-6 1/2\"", "length") == (11 * 12 + 6.5) * 0.0254
    True
    >>> round(parse("32 degF", "temperature"), 9)
    273.15
    """
    shown = text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT] + "..."
    if len(text) > LONGEST_TEXT:
        _refuse_figure(shown, dimension)
    cleaned = text.translate(_TYPED).strip(" \t")
    negative = cleaned.startswith("-")
    body = cleaned[1:].lstrip(" ") if cleaned[:1] in ("-", "+") else cleaned
    if dimension == "length" and (both := _FEET_INCHES.fullmatch(body)):
        size = _feet_and_inches(both[1], both[2], shown)
        return -size if negative else size
    figure, unit = (part.strip(" ") for part in _split(body))
    amount = _amount(figure)
    if amount is None or not _UNIT.fullmatch(unit):
        _refuse_figure(shown, dimension)
    if unit not in _UNITS[dimension]:
        _refuse_unit(shown, unit, dimension)
    value = (-amount if negative else amount) * _UNITS[dimension][unit]
    if dimension == "temperature":
        value += _ZERO_POINTS.get(unit, 0.0)
    return value


def show_both(value: float, dimension: Dimension) -> str:
    r"""A quantity in SI and, in brackets, in US units: for words that know no job.

    Args:
        value: In SI. [-]
        dimension: What the value is.

    Returns:
        Text with both units.

    >>> show_both(4003.4, "force"), show_both(0.2708, "length")
    ('4 kN (900 lb)', '271 mm (10 11/16")')
    """
    return f"{show(value, dimension, 'si')} ({show(value, dimension, 'us')})"


def show(value: float, dimension: Dimension, system: System, *, rounding: Rounding = "near") -> str:
    r"""A quantity as the trade writes it, which ``parse`` reads back.

    US lengths are feet and inches to 1/16 in, forces whole pounds. Halves round away from
    zero; ``up`` and ``down`` go to the next step towards plus and minus infinity.

    Args:
        value: In SI; not finite values are shown as ``--``. [-]
        dimension: What the value is.
        system: ``us`` or ``si``.
        rounding: ``near``, ``up`` or ``down``.

    Returns:
        Text with its unit.

    >>> show(3.5179, "length", "us"), show(3.5179, "length", "si")
    ('11\'-6 1/2"', '3.518 m')
    >>> show(6038.9, "force", "us"), show(6038.9, "force", "us", rounding="down")
    ('1358 lb', '1357 lb')
    """
    if not math.isfinite(value):
        return "--"
    for style in _STYLES[dimension][system]:
        steps = _in_steps(value, style, dimension, rounding)
        if abs(steps * style.step) * _UNITS[dimension][style.unit] >= style.above:
            break
    if dimension == "length" and system == "us":
        return _sixteenths(steps)
    decimals = max(0, round(-math.log10(style.step)))
    figure = f"{steps * style.step:.{decimals}f}"
    figure = figure.rstrip("0").rstrip(".") if decimals else figure
    return f"{'0' if figure == '-0' else figure} {style.unit}".rstrip(" ")


def _split(body: str) -> tuple[str, str]:
    """The figure and what follows it."""
    found = _SPLIT.fullmatch(body)
    return (found[1], found[2]) if found else ("", body)


def _amount(figure: str) -> float | None:
    """A plain number, a fraction or a mixed number; None where it is none of them."""
    if _NUMBER.fullmatch(figure):
        return float(figure)
    found = _FRACTION.fullmatch(figure)
    if found is None or int(found[3]) == 0:
        return None
    part = Fraction(int(found[2]), int(found[3]))
    if found[1] is not None and part >= 1:
        return None
    return float(int(found[1] or 0) + part)


def _feet_and_inches(feet: str, inches: str, shown: str) -> float:
    """Metres in whole feet and inches under 12."""
    amount = _amount(inches)
    if amount is None or amount >= 12.0:
        _refuse_figure(shown, "length", "Beside feet, inches are a number under 12.")
    return (int(feet) * 12 + amount) * _INCH


def _refuse_figure(shown: str, dimension: Dimension, remedy: str = "") -> NoReturn:
    remedy = remedy or "Write plain digits, a point for decimals, no thousands mark."
    bound = f"a figure with its unit, like {_EXAMPLES[dimension]}"
    if dimension == "number":
        bound = f"a plain number or fraction, like {_EXAMPLES[dimension]}"
    raise InputError(Finding("IN-003", value=shown, bound=bound, remedy=remedy))


def _refuse_unit(shown: str, unit: str, dimension: Dimension) -> NoReturn:
    wanted = f"{'an' if dimension == 'angle' else 'a'} {dimension}"
    elsewhere = [name for name in DIMENSIONS if unit and unit in _UNITS[name]]
    if dimension == "number":
        remedy = f"Leave the unit {unit!r} out."
    elif not unit:
        remedy = f"Add the unit: {', '.join(_shown_units(dimension))}."
    elif elsewhere:
        remedy = f"{unit!r} is a unit of {elsewhere[0]}; use {', '.join(_shown_units(dimension))}."
    else:
        known = {name.casefold(): name for name in _shown_units(dimension)}
        near = get_close_matches(unit.casefold(), known, n=1, cutoff=0.5)
        asked = f"Did you mean {known[near[0]]!r}? " if near else ""
        remedy = f"{asked}Units read here: {', '.join(_shown_units(dimension))}."
    bound = f"{wanted} with its unit, like {_EXAMPLES[dimension]}"
    if dimension == "number":
        bound = f"a plain number or fraction, like {_EXAMPLES[dimension]}"
    raise InputError(Finding("IN-002", value=shown, bound=bound, remedy=remedy))


def _shown_units(dimension: Dimension) -> tuple[str, ...]:
    """Units worth listing in a remedy: one spelling each."""
    spare = {"'", '"', "feet", "foot", "inch", "inches", "lbs", "°F", "°C", "°", "lbf/in", "lbf/ft"}
    return tuple(unit for unit in _UNITS[dimension] if unit not in spare)


def _in_steps(value: float, style: _Style, dimension: Dimension, rounding: Rounding) -> int:
    """Whole steps of the style nearest to, above or below the value."""
    zero = _ZERO_POINTS.get(style.unit, 0.0) if dimension == "temperature" else 0.0
    exact = (value - zero) / _UNITS[dimension][style.unit] / style.step
    # A conversion leaves a few units in the last place: that must not push a whole step.
    whole = round(exact)
    if abs(exact - whole) <= 1e-9 * max(1.0, abs(exact)):
        return whole
    if rounding == "up":
        return math.ceil(exact)
    if rounding == "down":
        return math.floor(exact)
    return int(math.copysign(math.floor(abs(exact) + 0.5 + 1e-9), exact))


def _sixteenths(steps: int) -> str:
    r"""Feet and inches of whole sixteenths of an inch.

    >>> _sixteenths(16 * 138 + 8), _sixteenths(-3), _sixteenths(16 * 12), _sixteenths(0)
    ('11\'-6 1/2"', '-3/16"', '1\'-0"', '0"')
    """
    feet, rest = divmod(abs(steps), 16 * 12)
    inches, sixteenths = divmod(rest, 16)
    part = Fraction(sixteenths, 16)
    words = [str(inches)] if inches or not part else []
    words += [f"{part.numerator}/{part.denominator}"] if part else []
    if feet and not inches and part:
        words = ["0", *words]
    sign = "-" if steps < 0 else ""
    return f"{sign}{feet}'-{' '.join(words)}\"" if feet else f'{sign}{" ".join(words)}"'
