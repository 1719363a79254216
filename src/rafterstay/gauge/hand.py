"""Pull by a luggage scale to the side, and by the stretch of a marked length."""

from __future__ import annotations

import math
from typing import Final

from rafterstay.gauge.arguments import require_between
from rafterstay.gauge.nouns import Gauged
from rafterstay.rope import side_pull_gain, side_pull_tension

__all__ = ["by_side_pull", "by_stretch"]

# Common practice, no source: what a hand reading is good for, one standard deviation.
SCALE_SHARE: Final = 0.02  # luggage scale, of its reading [-]
SCALE_LEAST: Final = 0.5  # luggage scale, half of its last digit [N]
TAPE: Final = 0.0254 / 32  # a deflection read against a straight line [m]
MARK: Final = 0.0254 / 128  # a change of length read with a fine scale on a marked length [m]
STIFFNESS_SHARE: Final = 0.12  # EA from a table, a quarter either way at the outside [-]
YIELD: Final = (0.3, 1.0)  # share of the extra stretch that ends which give way leave [-]


def by_side_pull(
    length: float,
    at: float,
    *,
    side_pull: float,
    deflection: float,
    stiffness: float | None = None,
    side_pull_sigma: float | None = None,
    deflection_sigma: float = TAPE,
) -> Gauged:
    """Pull in a leg before it was drawn aside.

    Holding it aside stretches it; with the stiffness known, between 0.3 and all of that is
    taken off again, by how far its ends give way, and the doubt is in the ±.

    Args:
        length: Bolt to ring, > 0. [m]
        at: Where the scale hooks on, from either end. [m]
        side_pull: Square to the leg. [N]
        deflection: How far it moves aside there. [m]
        stiffness: EA of the leg's rope; None leaves the extra stretch in. [N]
        side_pull_sigma: 2 % and half a newton where left out. [N]
        deflection_sigma: [m]

    Returns:
        The pull.

    Raises:
        InputError: GA-010.

    Source: statics of three points; docs/theory/gauge.md eq. 1 and 2
    """
    require_between("length", length, (0.3, 100.0), "m")
    require_between("at", at, (0.02 * length, 0.98 * length), "m")
    require_between("side pull", side_pull, (1.0, 2000.0), "N")
    require_between("deflection", deflection, (1e-3, 0.1 * length), "m")
    near, far = at, length - at
    held = side_pull_tension(side_pull, deflection, near=near, far=far)
    scale = side_pull_sigma or math.hypot(SCALE_SHARE * side_pull, SCALE_LEAST)
    variance = (held * scale / side_pull) ** 2 + (held * deflection_sigma / deflection) ** 2
    told = []
    gain = 0.0
    if stiffness is not None:
        whole = side_pull_gain(stiffness, deflection, near=near, far=far)
        gain = whole * sum(YIELD) / 2
        variance += (whole * (YIELD[1] - YIELD[0]) / math.sqrt(12.0)) ** 2
        # The gain grows with the square of the deflection and is taken off: both errors add.
        variance += (2.0 * gain * deflection_sigma / deflection) ** 2
        told.append(f"Holding it aside adds {gain:.0f} N, which is taken off.")
    else:
        told.append("The rope is not named: what holding it aside adds is still in the pull.")
    pull = held - gain
    if pull <= 2.0 * math.sqrt(variance):
        reason = (
            "the side pull is little more than what stretching the leg aside takes: "
            "pull it aside less far, or snug it first"
        )
        return Gauged("side pull", None, None, reason, tuple(told))
    return Gauged("side pull", pull, math.sqrt(variance), told=tuple(told))


def by_stretch(
    mark: float,
    change: float,
    *,
    stiffness: float,
    change_sigma: float = MARK,
    stiffness_share: float = STIFFNESS_SHARE,
) -> Gauged:
    """Pull from how much a marked length of a bedded-in rope has grown.

    Args:
        mark: Between two marks, hand straight. [m]
        change: How much longer it is under the pull. [m]
        stiffness: EA of the rope. [N]
        change_sigma: [m]
        stiffness_share: Standard deviation of EA. [-]

    Returns:
        The pull.

    Raises:
        InputError: GA-010.

    Limits: bedding-in of a new rope is read as pull: pull it up and let it off once first.

    Source: Hooke's law

    >>> round(by_stretch(2.0, 0.002, stiffness=2.0e6).pull or 0.0)
    2000
    """
    require_between("mark", mark, (0.1, 100.0), "m")
    require_between("change", change, (0.0, 0.02 * mark), "m")
    pull = stiffness * change / mark
    sigma = math.hypot(stiffness * change_sigma / mark, stiffness_share * pull)
    if pull <= 2.0 * stiffness * change_sigma / mark:
        reason = "the change is no larger than what the marks can be read to: mark a longer length"
        return Gauged("stretch", None, None, reason)
    told = "A rope that has not bedded in grows more than its pull accounts for."
    return Gauged("stretch", pull, sigma, told=(told,))
