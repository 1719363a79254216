"""Pull, bending and twist inside a closed ring of bar that legs pull unequally."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = ["InBar", "bending_share", "in_bar", "shear_share", "twist_share"]


@dataclass(frozen=True)
class InBar:
    """What a ring carries at stations along it. (..., n_stations)

    Attributes:
        pull: Along the bar. [N]
        shear: In the plane of the ring, square to the bar. [N]
        bending: In the plane of the ring, + where the inner side is stretched. [N m]
        bending_across: Out of the plane of the ring. [N m]
        twist: [N m]
    """

    pull: Floats
    shear: Floats
    bending: Floats
    bending_across: Floats
    twist: Floats


def bending_share(turn: Floats | float) -> Floats:
    """Bending that one unit of outward pull makes in a ring of unit radius.

    Args:
        turn: Angle from the pull round the ring, 0 to a whole turn. [rad]

    Returns:
        Share; nothing depends on the section. [-]

    Limits: thin ring, balanced pulls.
    Source: docs/theory/welded-ring.md eq. 4

    >>> round(float(bending_share(0.0)), 4)
    0.2387
    """
    turn = np.asarray(turn)
    back = pi - turn
    return np.asarray((1.0 - back * np.sin(turn) + np.cos(turn) / 2.0) / (2.0 * pi))


def twist_share(turn: Floats | float) -> Floats:
    """Bending that one unit of pull along the ring makes; twist by a pull across it.

    Args:
        turn: Angle from the pull round the ring, 0 to a whole turn. [rad]

    Returns:
        Share. [-]

    Limits: thin ring, balanced pulls.
    Source: docs/theory/welded-ring.md eq. 5

    >>> round(float(twist_share(0.6)), 4)
    0.0641
    """
    turn = np.asarray(turn)
    back = pi - turn
    return np.asarray((1.5 * np.sin(turn) - back * (1.0 - np.cos(turn))) / (2.0 * pi))


def shear_share(turn: Floats | float) -> Floats:
    """Shear that one unit of outward pull makes in a ring: half of it on either side.

    Args:
        turn: Angle from the pull round the ring, 0 to a whole turn. [rad]

    Returns:
        Share. [-]

    Limits: thin ring, balanced pulls.
    Source: docs/theory/welded-ring.md eq. 6

    >>> float(shear_share(0.0)), round(float(shear_share(1.0)), 4)
    (-0.5, -0.1172)
    """
    turn = np.asarray(turn)
    back = pi - turn
    return np.asarray((np.sin(turn) / 2.0 - back * np.cos(turn)) / (2.0 * pi))


def in_bar(load: Floats, at: Floats, stations: Floats, radius: float) -> InBar:
    """What a closed ring carries under pulls that balance one another.

    Args:
        load: On the bar's axis: outward, along the ring as angles grow, and across its plane. [N]
            (..., n, 3)
        at: Angle of each pull round the ring. [rad] (n,)
        stations: Angles looked at; one at a pull is just beyond it. [rad] (n_stations,)
        radius: To the bar's axis. [m]

    Returns:
        Forces at the stations.

    Limits: a thin ring, its bar under a fifth of its radius; the stretch of the bar is left out
        of what pulls along it make.
    Source: docs/theory/welded-ring.md eq. 4-7

    >>> pulls = np.array([[1000.0, 0.0, 0.0]] * 8)
    >>> inside = in_bar(pulls, np.arange(8) * pi / 4, np.array([0.0]), 0.15)
    >>> round(float(inside.pull[0]), 1), round(float(inside.bending[0]), 2)
    (1207.1, 9.92)
    """
    turn = np.mod(stations[:, None] - at, 2.0 * pi)
    # An angle that rounds to a whole turn is none.
    turn = np.where(turn > 2.0 * pi - 1e-9, 0.0, turn)
    bend, twist, shear = bending_share(turn), twist_share(turn), shear_share(turn)
    out, along, across = load[..., 0], load[..., 1], load[..., 2]
    step = turn / (2.0 * pi) - 0.5
    return InBar(
        pull=out @ (1.0 / (2.0 * pi) - bend).T + along @ (step - twist).T,
        shear=out @ shear.T + along @ bend.T,
        bending=radius * (out @ bend.T + along @ twist.T),
        bending_across=radius * (across @ bend.T),
        twist=radius * (across @ twist.T),
    )
