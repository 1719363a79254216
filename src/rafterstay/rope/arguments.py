"""What a formula refuses before it is worked: a figure that cannot be."""

from __future__ import annotations

import math

from rafterstay.core.errors import Finding, InputError

__all__ = [
    "require",
    "require_above_zero",
    "require_count",
    "require_finite",
    "require_not_negative",
]


def require(met: bool, code: str, name: str, value: float, *, bound: str, remedy: str = "") -> None:
    """Raise unless a bound is met.

    Args:
        met: Whether it is.
        code: Code of the fault.
        name: Name of the argument.
        value: The figure given. [its own unit]
        bound: Completes "but it must be ...".
        remedy: What to do, one sentence.

    Raises:
        InputError: The code given, with the argument, its value and the bound.
    """
    if not met:
        raise InputError(Finding(code, key=name, value=f"{value:g}", bound=bound, remedy=remedy))


def require_finite(**values: float) -> None:
    """Raise unless every figure is a finite number.

    Args:
        values: Figures by the name of their argument. [their own units]

    Raises:
        InputError: IN-801.
    """
    for name, value in values.items():
        require(math.isfinite(value), "IN-801", name, value, bound="a finite number")


def require_above_zero(**values: float) -> None:
    """Raise unless every figure is finite and above zero.

    Args:
        values: Figures by the name of their argument. [their own units]

    Raises:
        InputError: IN-801 not finite, IN-802 not above 0.
    """
    require_finite(**values)
    for name, value in values.items():
        require(value > 0.0, "IN-802", name, value, bound="above 0")


def require_not_negative(**values: float) -> None:
    """Raise unless every figure is finite and zero or more.

    Args:
        values: Figures by the name of their argument. [their own units]

    Raises:
        InputError: IN-801 not finite, IN-803 below 0.
    """
    require_finite(**values)
    for name, value in values.items():
        require(value >= 0.0, "IN-803", name, value, bound="0 or more")


def require_count(name: str, value: int, least: int) -> None:
    """Raise unless a count is whole and large enough.

    Args:
        name: Name of the argument.
        value: The count given. [-]
        least: Least count allowed. [-]

    Raises:
        InputError: IN-804.
    """
    whole = float(value).is_integer() and not isinstance(value, bool)
    require(
        whole and value >= least, "IN-804", name, value, bound=f"a whole number, {least} or more"
    )
