"""Where might the points stand? A first guess from the readings alone."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, InputError, NotConverged
from rafterstay.survey.datum import held_over, turn_on_plan
from rafterstay.survey.least_squares import Solution, solve
from rafterstay.survey.network import Network
from rafterstay.survey.nouns import Floats

__all__ = ["first_guess", "is_mirrored", "require_no_fold", "require_up_or_down"]

_SEED: Final = 20250917  # the guesses must be the same every time
_TRIES: Final = 8
_STEPS: Final = 40
_GOOD_FIT: Final = 4.0  # [-] mean square of weighted residuals that needs no other guess
_SLOPE, _HEIGHT = 1, 2


def first_guess(network: Network, values: Floats, sigmas: Floats) -> Floats:
    """Positions that suit the readings, feet clockwise, foot 1 due north of the middle.

    Args:
        network: Readings as arrays.
        values: [m] (n_readings,)
        sigmas: [m] (n_readings,)

    Returns:
        [m] (n_points, 3), z from the mean of the feet.

    Raises:
        InputError: SV-023 where a height's sign, SV-022 where a point's side is not said.

    Limits: the readings must hold points strewn at random; a group of points hinged on two
        others may be laid to the wrong side of them, which only a shape can tell.

    Source: classical scaling of path lengths, W. Torgerson (1952); docs/theory/survey.md section 8
    """
    require_up_or_down(network)
    require_no_fold(network)
    z = _heights(network, values, sigmas)
    if not network.plan_free:
        return np.column_stack([np.zeros((len(z), 2)), z])
    best: Solution | None = None
    lowest = np.inf
    generator = np.random.default_rng(_SEED)
    scaled = _scaled(network, _plan_lengths(network, values, z))
    size = float(np.ptp(scaled, axis=0).max())
    everyone = np.ones(len(values), dtype=bool)
    over = held_over(network, np.column_stack([scaled, z]))
    for k in range(_TRIES):
        shaken = scaled + k / _TRIES * 0.3 * size * generator.standard_normal(scaled.shape)
        try:
            tried = solve(
                network,
                values,
                sigmas,
                start=np.column_stack([shaken, z]),
                over=over,
                used=everyone,
                most_steps=_STEPS,
            )
        except NotConverged:
            continue
        cost = tried.cost(sigmas, everyone)
        if cost < lowest:
            best, lowest = tried, cost
        if lowest <= _GOOD_FIT * len(values):
            break
    # One gross mistake can keep every guess from settling: the search for it starts here too.
    return _set_down(network, np.column_stack([scaled, z]) if best is None else best.xyz)


def is_mirrored(network: Network, xyz: Floats) -> bool:
    """Whether the feet number anticlockwise seen from above.

    Args:
        network: Readings as arrays.
        xyz: Where the points stand. [m] (n_points, 3)
    """
    x, y = xyz[network.feet, 0], xyz[network.feet, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0.0


def require_up_or_down(network: Network) -> None:
    """Refuse points whose height only slope readings know: they do not say up or down."""
    told = np.zeros(len(network.names), dtype=bool)
    by_height = network.code == _HEIGHT
    told[network.start[by_height]] = True
    told[network.end[by_height]] = True
    unsure = [network.names[k] for k in np.flatnonzero(network.measured[:, 2] & ~told)]
    if unsure:
        raise InputError(
            Finding(
                "SV-023",
                "height of " + ", ".join(unsure[:8]),
                "known from slope readings only",
                "said to be up or down by a height reading or the designed shape",
                f"Take the height of {unsure[0]} above a foot.",
            )
        )


def require_no_fold(network: Network) -> None:
    """Refuse points that reach only two others on plan: they fit on either side of the line."""
    on_plan = network.code != _HEIGHT
    near: list[set[int]] = [set() for _ in network.names]
    for i, j in zip(network.start[on_plan].tolist(), network.end[on_plan].tolist(), strict=True):
        near[i].add(j)
        near[j].add(i)
    if len(network.names) <= 3 or not network.plan_free:
        return
    folds = [network.names[k] for k in range(len(near)) if len(near[k]) == 2]
    if folds:
        first = near[network.names.index(folds[0])]
        line = " and ".join(network.names[k] for k in sorted(first))
        raise InputError(
            Finding(
                "SV-022",
                f"{folds[0]}",
                f"measured to {line} only",
                "measured to three points, or the designed shape stated",
                f"It could stand on either side of {line}: tape it to a third point.",
            )
        )


def _heights(network: Network, values: Floats, sigmas: Floats) -> Floats:
    """Heights that suit the height readings best, mean of those measured 0. [m] (n_points,)"""
    rows = np.flatnonzero(network.code == _HEIGHT)
    matrix = np.zeros((len(rows), len(network.names)))
    matrix[np.arange(len(rows)), network.end[rows]] = 1.0 / sigmas[rows]
    matrix[np.arange(len(rows)), network.start[rows]] = -1.0 / sigmas[rows]
    return np.asarray(np.linalg.pinv(matrix) @ (values[rows] / sigmas[rows]))


def _plan_lengths(network: Network, values: Floats, z: Floats) -> Floats:
    """Length of each level or slope reading on plan; inf for a height. [m] (n_readings,)"""
    rise = z[network.end] - z[network.start]
    squared = values**2 - np.where(network.code == _SLOPE, rise**2, 0.0)
    plan = np.sqrt(np.maximum(squared, (0.01 * values) ** 2))
    return np.where(network.code == _HEIGHT, np.inf, plan)


def _scaled(network: Network, lengths: Floats) -> Floats:
    """Plan positions whose distances resemble shortest paths along the readings. (n, 2)"""
    count = len(network.names)
    path = np.full((count, count), np.inf)
    np.fill_diagonal(path, 0.0)
    np.minimum.at(path, (network.start, network.end), lengths)
    path = np.minimum(path, path.T)
    for via in range(count):
        path = np.minimum(path, path[:, via : via + 1] + path[via : via + 1, :])
    squared = np.where(np.isfinite(path), path, np.nanmax(path[np.isfinite(path)])) ** 2
    centring = np.eye(count) - 1.0 / count
    size, vector = np.linalg.eigh(-0.5 * centring @ squared @ centring)
    return np.asarray(vector[:, -2:] * np.sqrt(np.maximum(size[-2:], 0.0)))


def _set_down(network: Network, xyz: Floats) -> Floats:
    """Feet clockwise, foot of the lowest number due north, middle and mean height at 0."""
    feet = network.feet if len(network.feet) > 1 else np.arange(len(xyz))
    laid = xyz.copy()
    if is_mirrored(network, laid):
        laid[:, 0] = -laid[:, 0]
    laid[:, :2] -= laid[feet, :2].mean(axis=0)
    north = np.array([[0.0, 1.0]])
    laid[:, :2] = laid[:, :2] @ turn_on_plan(laid[feet[:1], :2], north).T
    with_height = _with_height(network, feet)
    if len(with_height):
        laid[:, 2] -= laid[with_height, 2].mean()
    return np.where(network.measured, laid, 0.0)


def _with_height(network: Network, feet: NDArray[np.intp]) -> NDArray[np.intp]:
    own = feet[network.measured[feet, 2]]
    return own if len(own) else np.flatnonzero(network.measured[:, 2])
