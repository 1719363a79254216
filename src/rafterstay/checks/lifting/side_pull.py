"""What a shackle loses when it is pulled out of its plane."""

from __future__ import annotations

import math
from typing import Final

from rafterstay.core.errors import Finding, InputError

__all__ = ["ANGLES", "side_factor"]

ANGLES: Final = (0.0, math.radians(45.0), math.radians(90.0))
FACTORS: Final = (1.0, 0.70, 0.50)


def side_factor(angle: float) -> float:
    """Share of its working load limit a shackle keeps under a side pull.

    Args:
        angle: Of the pull out of the shackle's plane, 0 to a right angle. [rad]

    Returns:
        1, 0.70 and 0.50 at 0, 45 and 90 degrees, straight between. [-]

    Raises:
        InputError: IN-823. The angle lies outside 0 to a right angle.

    Limits: screw-pin and bolt-type shackles, not round-pin ones.

    Source: makers' charts of side loading; straight between the printed angles

    >>> round(side_factor(math.radians(45.0)), 2)
    0.7
    """
    if not 0.0 <= angle <= ANGLES[2]:
        said = f"{math.degrees(angle):.1f} deg"
        raise InputError(Finding("IN-823", "angle of a side pull", said, "from 0 to 90 deg"))
    k = 0 if angle <= ANGLES[1] else 1
    share = (angle - ANGLES[k]) / (ANGLES[k + 1] - ANGLES[k])
    return FACTORS[k] + (FACTORS[k + 1] - FACTORS[k]) * share
