"""What a small pull to the side tells of the pull along a rope."""

from __future__ import annotations

import math

from rafterstay.rope.arguments import require_above_zero, require_not_negative

__all__ = ["side_pull_gain", "side_pull_tension"]


def side_pull_tension(side_pull: float, deflection: float, *, near: float, far: float) -> float:
    """Pull in a rope while it is held aside between two points.

    Args:
        side_pull: Pull square to the rope, >= 0. [N]
        deflection: How far it moves aside, > 0. [m]
        near: From the pull to one held point, along the straight rope, > 0. [m]
        far: From the pull to the other, > 0. [m]

    Returns:
        T = P/(d/sqrt(a^2 + d^2) + d/sqrt(b^2 + d^2)), while held aside. [N]

    Raises:
        InputError: IN-801, IN-802, IN-803.

    Limits: the rope's own stiffness is left out. The held pull exceeds the rope's own by
        `side_pull_gain`.

    Source: statics of three points

    >>> round(side_pull_tension(10.0, 0.09, near=18.0, far=18.0))
    1000
    """
    require_not_negative(side_pull=side_pull)
    require_above_zero(deflection=deflection, near=near, far=far)
    slopes = deflection / math.hypot(near, deflection) + deflection / math.hypot(far, deflection)
    return side_pull / slopes


def side_pull_gain(stiffness: float, deflection: float, *, near: float, far: float) -> float:
    """Pull that holding a rope aside adds to it, its ends unmoved.

    Args:
        stiffness: EA of the rope, > 0. [N]
        deflection: How far it moves aside, >= 0. [m]
        near: From the pull to one held point, > 0. [m]
        far: From the pull to the other, > 0. [m]

    Returns:
        EA times the strain of the longer way, about EA d^2/(2 a b). [N]

    Raises:
        InputError: IN-801, IN-802, IN-803.

    Limits: ends that give way take some of it off; then this is the most.

    Source: Hooke's law on the longer way

    >>> round(side_pull_gain(446430.0, 0.09, near=18.0, far=18.0), 1)
    5.6
    """
    require_above_zero(stiffness=stiffness, near=near, far=far)
    require_not_negative(deflection=deflection)
    # d^2/(h + a) is sqrt(a^2 + d^2) - a without the loss of digits.
    longer = sum(deflection**2 / (math.hypot(part, deflection) + part) for part in (near, far))
    return stiffness * longer / (near + far)
