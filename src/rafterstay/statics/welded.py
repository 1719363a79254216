"""Pull and bending inside a closed circular ring that n equal legs pull outwards."""

from __future__ import annotations

from math import pi, sin, tan

from rafterstay.core.errors import Finding, InputError

__all__ = ["moment_at_eye", "moment_between_eyes", "pull_at_eye", "pull_between_eyes"]


def pull_at_eye(leg_pull: float, n_legs: int) -> float:
    """Pull in the ring just beside an eye.

    Args:
        leg_pull: In every leg. [N]
        n_legs: At equal angles, >= 3. [-]

    Returns:
        Pull along the ring. [N]

    Raises:
        InputError: ST-009 fewer than three legs.

    Limits: a thin ring, its depth small beside its radius.
    Source: docs/theory/rigid-ring.md eq. 6

    >>> round(pull_at_eye(1000.0, 8), 1)
    1207.1
    """
    _require_three(n_legs)
    return leg_pull / (2 * tan(pi / n_legs))


def pull_between_eyes(leg_pull: float, n_legs: int) -> float:
    """Pull in the ring midway between two eyes.

    Args:
        leg_pull: In every leg. [N]
        n_legs: At equal angles, >= 3. [-]

    Returns:
        Pull along the ring. [N]

    Raises:
        InputError: ST-009 fewer than three legs.

    Source: docs/theory/rigid-ring.md section 5

    >>> round(pull_between_eyes(1000.0, 8), 1)
    1306.6
    """
    _require_three(n_legs)
    return leg_pull / (2 * sin(pi / n_legs))


def moment_at_eye(leg_pull: float, radius: float, n_legs: int) -> float:
    """Bending moment in the ring at an eye; stretches its inner side.

    Args:
        leg_pull: In every leg. [N]
        radius: To the ring's own axis. [m]
        n_legs: At equal angles, >= 3. [-]

    Returns:
        Moment. [N m]

    Raises:
        InputError: ST-009 fewer than three legs.

    Limits: a thin ring, its depth small beside its radius.
    Source: docs/theory/rigid-ring.md eq. 7

    >>> round(moment_at_eye(1000.0, 0.15, 8), 2)
    9.92
    """
    _require_three(n_legs)
    return leg_pull * radius / 2 * (n_legs / pi - 1 / tan(pi / n_legs))


def moment_between_eyes(leg_pull: float, radius: float, n_legs: int) -> float:
    """Bending moment in the ring midway between eyes; stretches its outer side.

    Args:
        leg_pull: In every leg. [N]
        radius: To the ring's own axis. [m]
        n_legs: At equal angles, >= 3. [-]

    Returns:
        Moment. [N m]

    Raises:
        InputError: ST-009 fewer than three legs.

    Limits: a thin ring, its depth small beside its radius.
    Source: docs/theory/rigid-ring.md section 5

    >>> round(moment_between_eyes(1000.0, 0.15, 8), 2)
    5.0
    """
    _require_three(n_legs)
    return leg_pull * radius / 2 * (1 / sin(pi / n_legs) - n_legs / pi)


def _require_three(n_legs: int) -> None:
    if n_legs < 3:
        raise InputError(
            Finding(
                code="ST-009",
                key="n_legs",
                value=str(n_legs),
                bound="3 or more",
                remedy="Two legs make a line, not a ring.",
            )
        )
