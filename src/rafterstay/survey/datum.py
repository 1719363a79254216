"""Where does the whole frame lie? Laying one set of points over another, with its ±."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rafterstay.survey.network import Network, freedoms
from rafterstay.survey.nouns import Floats

__all__ = ["held_over", "lay_over", "lay_over_covariance", "turn_covariance", "turn_on_plan"]


def held_over(network: Network, xyz: Floats) -> NDArray[np.intp]:
    """Rows of the points over which a frame is laid: the feet, where they are enough.

    Two places are enough on plan; where nothing says which way is up, three that are not on one
    line are needed. Every point counts where the feet are not enough.

    Args:
        network: Says what was measured.
        xyz: Where the points stand. [m] (n_points, 3)
    """
    own = xyz[network.feet] if len(network.feet) else xyz[:1]
    size = np.linalg.svd(own - own.mean(axis=0), compute_uv=False)
    spread = int(np.sum(size > 1e-3 * max(float(np.ptp(xyz)), 1e-9)))
    enough = spread >= (2 if network.tilt_free else 1)
    return network.feet if enough else np.arange(len(xyz))


def lay_over(network: Network, xyz: Floats, onto: Floats, over: NDArray[np.intp]) -> Floats:
    """Move a frame as a whole so that chosen points lie as near as they can to others.

    The frame is moved and turned on plan and raised; it is tilted only where no reading says
    which way is up. Directions that were not measured are taken from ``onto``.

    Args:
        network: Says what was measured.
        xyz: Frame to move. [m] (n_points, 3)
        onto: Where it should lie. [m] (n_points, 3)
        over: Rows of the points that count.

    Returns:
        The frame moved. [m] (n_points, 3)

    Source: docs/theory/survey.md eq. 4
    """
    own, other = xyz - xyz[over].mean(axis=0), onto - onto[over].mean(axis=0)
    if network.tilt_free:
        laid = own @ _turn(own[over], other[over]).T
    else:
        laid = own.copy()
        laid[:, :2] = own[:, :2] @ turn_on_plan(own[over, :2], other[over, :2]).T
    laid = laid + onto[over].mean(axis=0)
    with_height = over[network.measured[over, 2]]
    if not len(with_height):
        with_height = np.flatnonzero(network.measured[:, 2])
    if len(with_height) and not network.tilt_free:
        laid[:, 2] = xyz[:, 2] + np.mean(onto[with_height, 2] - xyz[with_height, 2])
    return np.where(network.measured, laid, onto)


def turn_on_plan(own: Floats, other: Floats) -> Floats:
    """Rotation that lays centred plan points over others with the least squares.

    Args:
        own: Points to turn, from their middle. [m] (n_points, 2)
        other: Where they should come, from their middle. [m] (n_points, 2)

    Returns:
        Matrix of the rotation. [-] (2, 2)

    >>> turn_on_plan(np.array([[1.0, 0.0]]), np.array([[0.0, 1.0]])).round(9).tolist()
    [[0.0, -1.0], [1.0, 0.0]]
    """
    along = float(np.sum(own * other))
    across = float(np.sum(own[:, 0] * other[:, 1] - own[:, 1] * other[:, 0]))
    size = float(np.hypot(along, across))
    c, s = (along / size, across / size) if size > 0.0 else (1.0, 0.0)
    return np.array([[c, -s], [s, c]])


def _turn(own: Floats, other: Floats) -> Floats:
    """Rotation in space with the least squares, without mirroring. (3, 3)"""
    left, _, right = np.linalg.svd(other.T @ own)
    handed = float(np.sign(np.linalg.det(left @ right)))
    return np.asarray(left @ np.diag([1.0, 1.0, handed]) @ right)


def lay_over_covariance(
    network: Network, xyz: Floats, covariance: Floats, over: NDArray[np.intp]
) -> Floats:
    """Covariance of a frame once chosen points have been laid over others.

    Args:
        network: Says what was measured.
        xyz: Where the frame lies. [m] (n_points, 3)
        covariance: In any free or minimally held frame. [m2] (n_unknowns, n_unknowns)
        over: Rows of the points that count.

    Returns:
        [m2] (n_unknowns, n_unknowns)

    Source: S-transformation, W. Baarda (1973); docs/theory/survey.md eq. 5
    """
    whole = freedoms(network, xyz, np.arange(len(xyz)))
    seen = freedoms(network, xyz, over)
    away = np.eye(len(covariance)) - whole @ np.linalg.solve(seen.T @ whole, seen.T)
    return np.asarray(away @ covariance @ away.T)


def turn_covariance(network: Network, covariance: Floats, before: Floats, after: Floats) -> Floats:
    """Covariance of the unknowns once the frame has been turned from one place to another.

    Args:
        network: Says what was measured.
        covariance: Where the frame lay. [m2] (n_unknowns, n_unknowns)
        before: Where it lay. [m] (n_points, 3)
        after: Where it lies. [m] (n_points, 3)

    Returns:
        [m2] (n_unknowns, n_unknowns)
    """
    own, other = before - before.mean(axis=0), after - after.mean(axis=0)
    turn = np.eye(3)
    if network.tilt_free:
        turn = _turn(own, other)
    elif network.plan_free:
        turn[:2, :2] = turn_on_plan(own[:, :2], other[:, :2])
    place = np.flatnonzero(network.measured.ravel())
    whole = np.kron(np.eye(len(before)), turn)[np.ix_(place, place)]
    return np.asarray(whole @ covariance @ whole.T)
