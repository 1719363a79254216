"""How fast a plucked rope swings between two bridges."""

from __future__ import annotations

import math

from rafterstay.rope.arguments import (
    require,
    require_above_zero,
    require_count,
    require_not_negative,
)

__all__ = [
    "fixed_rope_frequency",
    "pinned_rope_frequency",
    "slenderness",
    "taut_string_frequency",
    "taut_string_pull",
]

_LEAST_SLENDERNESS = 20.0


def taut_string_frequency(pull: float, mass: float, length: float, *, mode: int = 1) -> float:
    """Frequency of a string without stiffness.

    Args:
        pull: Pull in the string, >= 0. [N]
        mass: Mass per length, > 0. [kg/m]
        length: Length that swings, > 0. [m]
        mode: Number of half waves, >= 1. [-]

    Returns:
        f = (n/2L) sqrt(T/m). [Hz]

    Raises:
        InputError: IN-801, IN-802, IN-803, IN-804.

    Source: Mersenne's law

    >>> round(taut_string_frequency(2000.0, 0.1637, 3.0), 2)
    18.42
    """
    require_not_negative(pull=pull)
    require_above_zero(mass=mass, length=length)
    require_count("mode", mode, 1)
    return mode / (2.0 * length) * math.sqrt(pull / mass)


def taut_string_pull(frequency: float, mass: float, length: float, *, mode: int = 1) -> float:
    """Pull in a string without stiffness from its frequency.

    Args:
        frequency: Frequency of the mode, >= 0. [Hz]
        mass: Mass per length, > 0. [kg/m]
        length: Length that swings, > 0. [m]
        mode: Number of half waves, >= 1. [-]

    Returns:
        T = m (2 L f/n)^2. [N]

    Raises:
        InputError: IN-801, IN-802, IN-803, IN-804.

    Source: Mersenne's law

    >>> round(taut_string_pull(18.4223, 0.1637, 3.0))
    2000
    """
    require_not_negative(frequency=frequency)
    require_above_zero(mass=mass, length=length)
    require_count("mode", mode, 1)
    return mass * (2.0 * length * frequency / mode) ** 2


def slenderness(pull: float, bending_stiffness: float, length: float) -> float:
    """Tell a string from a bar: z = L sqrt(T/EI), large for a string.

    Args:
        pull: Pull in the rope, > 0. [N]
        bending_stiffness: EI, > 0. [N m2]
        length: Length that swings, > 0. [m]

    Returns:
        z. [-]

    Raises:
        InputError: IN-801, IN-802.

    Source: Morse and Ingard, Theoretical Acoustics

    >>> slenderness(2500.0, 1.0, 1.0)
    50.0
    """
    require_above_zero(pull=pull, bending_stiffness=bending_stiffness, length=length)
    return length * math.sqrt(pull / bending_stiffness)


def pinned_rope_frequency(
    pull: float, mass: float, length: float, *, bending_stiffness: float, mode: int = 1
) -> float:
    """Frequency of a stiff rope whose ends turn freely.

    Args:
        pull: Pull in the rope, > 0. [N]
        mass: Mass per length, > 0. [kg/m]
        length: Length that swings, > 0. [m]
        bending_stiffness: EI, > 0. [N m2]
        mode: Number of half waves, >= 1. [-]

    Returns:
        The taut string's, times sqrt(1 + (n pi/z)^2). [Hz]

    Raises:
        InputError: IN-801, IN-802, IN-804.

    Limits: exact for a bar under constant pull with hinged ends.

    Source: Timoshenko, Vibration Problems in Engineering

    >>> round(pinned_rope_frequency(2500.0, 1.0, 1.0, bending_stiffness=1.0), 3)
    25.049
    """
    z = slenderness(pull, bending_stiffness, length)
    string = taut_string_frequency(pull, mass, length, mode=mode)
    return string * math.sqrt(1.0 + (mode * math.pi / z) ** 2)


def fixed_rope_frequency(
    pull: float, mass: float, length: float, *, bending_stiffness: float, mode: int = 1
) -> float:
    """Frequency of a stiff rope whose ends are held against turning.

    Args:
        pull: Pull in the rope, > 0. [N]
        mass: Mass per length, > 0. [kg/m]
        length: Length that swings, > 0. [m]
        bending_stiffness: EI, > 0. [N m2]
        mode: Number of half waves, 1 to 3. [-]

    Returns:
        The taut string's, times 1 + 2/z + (4 + (n pi)^2/2)/z^2. [Hz]

    Raises:
        InputError: IN-801, IN-802, IN-804, IN-807 too stocky, IN-808 a mode above 3.

    Limits: within 0.5 % of the clamped bar's own equation for modes 1 to 3 and z of 20 or more,
        0.1 % from z 50; what lies outside is refused.

    Source: Morse and Ingard, Theoretical Acoustics

    >>> round(fixed_rope_frequency(2500.0, 1.0, 1.0, bending_stiffness=1.0) / 25.0, 5)
    1.04357
    """
    z = slenderness(pull, bending_stiffness, length)
    require(
        z >= _LEAST_SLENDERNESS,
        "IN-807",
        "L sqrt(T/EI)",
        z,
        bound=f"{_LEAST_SLENDERNESS:g} or more",
        remedy="Set the bridges further apart or pull harder.",
    )
    string = taut_string_frequency(pull, mass, length, mode=mode)
    require(mode <= 3, "IN-808", "mode", mode, bound="1 to 3")
    return string * (1.0 + 2.0 / z + (4.0 + (mode * math.pi) ** 2 / 2.0) / z**2)
