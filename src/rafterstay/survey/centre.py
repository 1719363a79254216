"""Where should the ring's centre go, and how long is every leg?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, InputError
from rafterstay.survey.network import point_order
from rafterstay.survey.nouns import AsBuilt, Floats, Leg, Legs, is_foot

__all__ = ["find_centre", "least_difference_centre", "most_equal_centre"]

_STEPS: Final = 50
_CLOSE: Final = 1e-12  # [-] of the frame's size


def find_centre(as_built: AsBuilt, bolts: Sequence[str] = ()) -> Legs:
    """The place where straight legs from the tie bolts are most equal, and the legs to it.

    On plan it is the point that makes the squares of the legs' differences from their mean
    least; in height the mean of the bolts, where a ring with equal pulls comes to rest.

    Args:
        as_built: The frame as it stands.
        bolts: Points the legs start from, leg 1 first; the tie bolts t1, t2 ... where empty, or
            the feet where no bolt was surveyed.

    Returns:
        Centre, legs with their ±, and how much better the best possible centre would do.

    Raises:
        InputError: SV-033 where fewer than three points are given or they lie on a line.

    Source: docs/theory/survey.md eq. 10 to 12
    """
    names = tuple(bolts) or _starts(as_built)
    points = np.array([as_built.at(name) for name in names if as_built.has(name)])
    if len(points) != len(names) or len(names) < 3 or _in_line(points):
        bound = "three or more surveyed points, not on one line"
        raise InputError(Finding("SV-033", "tie bolts", ", ".join(names[:8]) or "none", bound))
    centre = most_equal_centre(points)
    covariance = as_built.covariance[np.ix_(as_built.rows(names), as_built.rows(names))]
    moves = _centre_moves(points, centre)
    least = least_difference_centre(points)
    return Legs(
        centre,
        np.sqrt(np.maximum(np.diag(moves @ covariance @ moves.T), 0.0)),
        _legs(names, points, centre, moves=moves, covariance=covariance),
        float(np.ptp(_lengths(points, centre))),
        float(np.ptp(_lengths(points, least))),
        least,
    )


def most_equal_centre(points: Floats) -> Floats:
    """Centre, at the points' mean height, from which they are most nearly equally far.

    Args:
        points: Three or more, not on one line. [m] (n_points, 3)

    Returns:
        The centre that makes the sum of squares of (length - mean length) least. [m] (3,)

    Source: docs/theory/survey.md eq. 10

    >>> corners = np.array([[3.0, 0, 1], [0, 3, 1], [-3, 0, 1], [0, -3, 1]]) + [5, 7, 0]
    >>> most_equal_centre(corners).round(9).tolist()
    [5.0, 7.0, 1.0]
    """
    centre: Floats = np.asarray(points.mean(axis=0))
    size = float(np.ptp(points, axis=0).max())
    for _ in range(_STEPS):
        length = _lengths(points, centre)
        step = np.linalg.lstsq(_slopes(points, centre), -length, rcond=None)[0][:2]
        # Half the frame at most: from far outside the circle's equations point astray.
        step *= min(1.0, 0.5 * size / max(float(np.linalg.norm(step)), 1e-300))
        centre = centre + np.array([step[0], step[1], 0.0])
        if float(np.abs(step).max()) <= _CLOSE * size:
            break
    return centre


def least_difference_centre(points: Floats) -> Floats:
    """Centre, at the points' mean height, whose longest and shortest legs differ least.

    Args:
        points: Three or more, not on one line. [m] (n_points, 3)

    Returns:
        The centre nearest by. [m] (3,)

    Source: linear approximation by exchange, E. Stiefel (1959); docs/theory/survey.md eq. 11
    """
    centre = best = most_equal_centre(points)
    if len(points) < 4:
        return centre
    for _ in range(_STEPS):
        length = _lengths(points, centre)
        step = _level_out(_slopes(points, centre), length)
        moved = centre + np.array([step[0], step[1], 0.0])
        if np.ptp(_lengths(points, moved)) >= np.ptp(_lengths(points, best)) - 1e-12:
            break
        centre = best = moved
    return best


def _starts(as_built: AsBuilt) -> tuple[str, ...]:
    bolts = [n for n in as_built.names if n[:1] == "t" and n[1:].isdigit()]
    chosen = bolts or [n for n in as_built.names if is_foot(n)]
    return tuple(sorted(chosen, key=point_order))


def _in_line(points: Floats) -> bool:
    plan = points[:, :2] - points[:, :2].mean(axis=0)
    size = np.linalg.svd(plan, compute_uv=False)
    return bool(size[1] < 0.01 * size[0])


def _lengths(points: Floats, centre: Floats) -> Floats:
    return np.asarray(np.linalg.norm(points - centre, axis=1))


def _slopes(points: Floats, centre: Floats) -> Floats:
    """Change of (length - mean) with the centre's x and y and with the mean. (n, 3)"""
    away = (points - centre) / _lengths(points, centre)[:, None]
    return np.column_stack([-away[:, :2], -np.ones(len(points))])


def _centre_moves(points: Floats, centre: Floats) -> Floats:
    """Movement of the centre with every coordinate of the points. (3, 3 n)

    The legs' differences are small against their length: their curvature is left out.
    """
    n = len(points)
    away = (points - centre) / _lengths(points, centre)[:, None]
    moves = np.zeros((3, 3 * n))
    moves[2, 2::3] = 1.0 / n
    lengths = np.zeros((n, 3 * n))
    for k in range(n):
        lengths[k, 3 * k : 3 * k + 3] = away[k]
    lengths -= np.outer(away[:, 2], moves[2])
    moves[:2] = -(np.linalg.pinv(_slopes(points, centre)) @ lengths)[:2]
    return moves


def _legs(
    names: Sequence[str], points: Floats, centre: Floats, *, moves: Floats, covariance: Floats
) -> tuple[Leg, ...]:
    n = len(names)
    own = np.eye(3 * n).reshape(n, 3, 3 * n) - moves
    out = points - centre
    length = np.linalg.norm(out, axis=1)
    plan = np.hypot(out[:, 0], out[:, 1])
    by_length = np.einsum("ki,kij->kj", out / length[:, None], own)
    turning = np.column_stack([out[:, 1], -out[:, 0], np.zeros(n)]) / plan[:, None] ** 2
    by_azimuth = np.einsum("ki,kij->kj", turning, own)
    by_azimuth = by_azimuth - by_azimuth[0]
    rising = np.column_stack(
        [out[:, 0] * out[:, 2] / plan, out[:, 1] * out[:, 2] / plan, -plan]
    ) / (length[:, None] ** 2)
    by_slope = np.einsum("ki,kij->kj", rising, own)
    azimuth = np.degrees(np.arctan2(out[:, 0], out[:, 1]))
    slope = np.degrees(np.arctan2(-out[:, 2], plan))
    sigma = [_spread(by, covariance) for by in (by_length, by_azimuth, by_slope)]
    return tuple(
        Leg(
            k + 1,
            names[k],
            float(length[k]),
            float(sigma[0][k]),
            float((azimuth[k] - azimuth[0]) % 360.0),
            float(np.degrees(sigma[1][k])),
            float(slope[k]),
            float(np.degrees(sigma[2][k])),
        )
        for k in range(n)
    )


def _spread(by: Floats, covariance: Floats) -> Floats:
    return np.asarray(np.sqrt(np.maximum(np.einsum("ki,ij,kj->k", by, covariance, by), 0.0)))


@dataclass
class _Reference:
    """Four rows on which the largest residual is equal, and the parameters that make it so."""

    rows: NDArray[np.intp]
    signs: Floats
    level: float
    parameters: Floats


def _level_out(matrix: Floats, target: Floats) -> Floats:
    """Parameters that make the largest of |target + matrix p| least."""
    rows = np.array(_spread_rows(target + matrix @ np.array([0.0, 0.0, target.mean()])))
    reference = _reference(matrix, target, rows)
    for _ in range(10 * len(target)):
        residual = target + matrix @ reference.parameters
        worst = int(np.argmax(np.abs(residual)))
        if abs(residual[worst]) <= reference.level * (1.0 + 1e-9) + 1e-15:
            break
        trials = [np.where(reference.rows == out, worst, reference.rows) for out in reference.rows]
        tried = [_reference(matrix, target, rows) for rows in trials]
        # Of the four exchanges the one that raises the level most is the right one.
        better = max(tried, key=lambda r: r.level)
        if better.level <= reference.level * (1.0 + 1e-12):
            break
        reference = better
    return reference.parameters


def _spread_rows(residual: Floats) -> list[int]:
    order = np.argsort(residual)
    return [int(order[0]), int(order[1]), int(order[-2]), int(order[-1])]


def _reference(matrix: Floats, target: Floats, rows: NDArray[np.intp]) -> _Reference:
    own = matrix[rows]
    weights = np.linalg.svd(own.T)[2][-1]
    level = float(weights @ target[rows]) / float(np.abs(weights).sum())
    signs = np.sign(weights)
    parameters = np.linalg.lstsq(own, level * signs - target[rows], rcond=None)[0]
    return _Reference(rows, signs, abs(level), parameters)
