"""Yield loads of a bolt with a gap between the parts it joins (general dowel equations).

Derivation and sign convention: docs/theory/bolt-with-gap.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rafterstay.checks.nds_2018.bearing import Mode, reduction_term

__all__ = [
    "Joint",
    "Reference",
    "double_shear_loads",
    "lever_shares",
    "reference_value",
    "single_shear_loads",
]


@dataclass(frozen=True)
class Joint:
    """A dowel between a main and a side member.

    Attributes:
        main: Bearing of the dowel on the main member, Fe D. [N/m]
        side: Bearing on a side member, Fe D. [N/m]
        main_length: Bearing length in the main member. [m]
        side_length: Bearing length in a side member. [m]
        moment: Of the dowel, alike in both members. [N m]
        gap: Clear between the members at a shear plane. [m]
    """

    main: float
    side: float
    main_length: float
    side_length: float
    moment: float
    gap: float = 0.0


@dataclass(frozen=True)
class Reference:
    """The mode that yields first and the reference design value it gives."""

    mode: Mode
    value: float  # [N]


def _root(a: float, b: float, c: float) -> float:
    """Positive root P of ``a P^2 + b P - c = 0``."""
    return (math.sqrt(b * b + 4.0 * a * c) - b) / (2.0 * a)


def single_shear_loads(joint: Joint) -> dict[Mode, float]:
    """Yield load of each mode of a dowel in one shear plane.

    Args:
        joint: The members, the dowel and the gap.

    Returns:
        Mode to yield load, before any reduction. [N]

    Source: AWC TR12 (2015) Table 1-1

    >>> joint = Joint(2400.0, 2400.0, 1.5, 1.5, 937.5)
    >>> round(single_shear_loads(joint)["II"] / 3.6, 1)
    414.2
    """
    q_m, q_s, l_m, l_s = joint.main, joint.side, joint.main_length, joint.side_length
    gap, moment = joint.gap, joint.moment
    block_m, block_s = q_m * l_m**2 / 4.0, q_s * l_s**2 / 4.0
    return {
        "Im": q_m * l_m,
        "Is": q_s * l_s,
        "II": _root(0.25 / q_s + 0.25 / q_m, l_s / 2.0 + gap + l_m / 2.0, block_s + block_m),
        "IIIm": _root(0.5 / q_s + 0.25 / q_m, gap + l_m / 2.0, moment + block_m),
        "IIIs": _root(0.25 / q_s + 0.5 / q_m, l_s / 2.0 + gap, block_s + moment),
        "IV": _root(0.5 / q_s + 0.5 / q_m, gap, 2.0 * moment),
    }


def double_shear_loads(joint: Joint) -> dict[Mode, float]:
    """Yield load of each mode of a dowel through a main member between two alike side members.

    Args:
        joint: The members, the dowel and the gap at *each* shear plane.

    Returns:
        Mode to yield load of both planes together, before any reduction. [N]

    Limits: the main member does not tilt, both planes are alike.

    Source: AWC TR12 (2015) Table 1-1

    >>> joint = Joint(2800.0, 2800.0, 1.5, 1.5, 937.5)
    >>> round(double_shear_loads(joint)["Im"] / 4.0)
    1050
    """
    one = single_shear_loads(joint)
    return {
        "Im": joint.main * joint.main_length,
        "Is": 2.0 * one["Is"],
        "IIIs": 2.0 * one["IIIs"],
        "IV": 2.0 * one["IV"],
    }


def reference_value(loads: dict[Mode, float], diameter: float, angle: float) -> Reference:
    """The least of the yield loads after their reduction terms.

    Args:
        loads: Mode to yield load. [N]
        diameter: Of the dowel. [m]
        angle: Largest angle of load to grain in any member. [rad]

    Returns:
        Deciding mode and reference design value Z.

    Source: NDS 2018 12.3.1

    >>> reference_value({"Im": 4000.0, "IV": 3840.0}, 0.0127, 0.0)
    Reference(mode='Im', value=1000.0)
    """
    reduced = {mode: load / reduction_term(mode, diameter, angle) for mode, load in loads.items()}
    mode = min(reduced, key=reduced.__getitem__)
    return Reference(mode, reduced[mode])


def lever_shares(thickness: float, eye: float, near: float, far: float) -> tuple[float, float]:
    """How a pull on an eye divides between two plies when it sits off the middle.

    The bolt is taken as a beam held at the middle of each ply's thickness.

    Args:
        thickness: Of each ply. [m]
        eye: Width of the eye along the bolt. [m]
        near: Clear from the eye to the nearer ply. [m]
        far: Clear from the eye to the farther ply. [m]

    Returns:
        Share of the nearer and of the farther ply; they add to 1. [-]

    Source: statics; docs/theory/bolt-with-gap.md eq. 6

    >>> lever_shares(1.5, 0.5, 0.0, 1.0)
    (0.6666666666666666, 0.3333333333333333)
    """
    to_near = thickness / 2.0 + near + eye / 2.0
    to_far = thickness / 2.0 + far + eye / 2.0
    return to_far / (to_near + to_far), to_near / (to_near + to_far)
