"""Where do the points lie if the readings are to be changed as little as possible?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, NotConverged
from rafterstay.survey.network import Network, design, freedoms, predicted
from rafterstay.survey.nouns import Floats

__all__ = ["CHECKED_LEAST", "Solution", "solve"]

CHECKED_LEAST: Final = 1e-6  # [-] below this share nothing checks a reading
_CLOSE: Final = 1e-10  # [-] of the frame's size: steps shorter than this end the search
_MOST_HALVINGS: Final = 30


@dataclass(frozen=True)
class Solution:
    """One least-squares adjustment.

    Attributes:
        xyz: [m] (n_points, 3)
        covariance: Of the unknowns, no point held. [m2] (n_unknowns, n_unknowns)
        matrix: Design matrix of all readings at ``xyz``. (n_readings, n_unknowns)
        residuals: Reading less adjusted value, of all readings. [m] (n_readings,)
        iterations: Steps taken.
    """

    xyz: Floats
    covariance: Floats
    matrix: Floats
    residuals: Floats
    iterations: int

    def adjusted_variance(self) -> Floats:
        """Variance of every adjusted reading.

        Returns:
            [m2] (n_readings,)
        """
        return np.asarray(np.einsum("ij,ij->i", self.matrix @ self.covariance, self.matrix))

    def cost(self, sigmas: Floats, used: NDArray[np.bool_]) -> float:
        """Weighted sum of squares of the residuals used.

        Args:
            sigmas: [m] (n_readings,)
            used: Readings that count. (n_readings,)

        Returns:
            [-]
        """
        return float(np.sum((self.residuals[used] / sigmas[used]) ** 2))


def solve(
    network: Network,
    values: Floats,
    sigmas: Floats,
    *,
    start: Floats,
    over: NDArray[np.intp],
    used: NDArray[np.bool_],
    most_steps: int = 60,
) -> Solution:
    """Least squares by Gauss-Newton steps, the frame as a whole held by inner constraints.

    Args:
        network: Readings as arrays.
        values: [m] (n_readings,)
        sigmas: Standard deviations. [m] (n_readings,)
        start: First guess. [m] (n_points, 3)
        over: Rows of the points whose mean movement and turn is held at zero.
        used: Readings that count. (n_readings,)
        most_steps: Steps after which the search is given up.

    Returns:
        The adjustment.

    Raises:
        NotConverged: SV-030 after that many steps, or where points run into one another.

    Source: docs/theory/survey.md eq. 2 and 3
    """
    unit = float(np.median(sigmas))
    root_weight = np.where(used, unit / sigmas, 0.0)
    size = float(np.ptp(start, axis=0).max())
    xyz, matrix = start.copy(), design(network, start)
    wanted = (values - predicted(network, xyz)) * root_weight
    for iteration in range(1, most_steps + 1):
        inverse = _inverse(network, xyz, matrix * root_weight[:, None], over)
        step = inverse @ (matrix.T @ (wanted * root_weight))
        if not np.isfinite(step).all():
            raise _not_converged(network, values - predicted(network, xyz), iteration)
        xyz, wanted, share = _walk(network, xyz, step, values, root_weight)
        matrix = design(network, xyz)
        if share * float(np.abs(step).max(initial=0.0)) <= _CLOSE * size:
            inverse = _inverse(network, xyz, matrix * root_weight[:, None], over)
            residuals = values - predicted(network, xyz)
            return Solution(xyz, inverse * unit**2, matrix, residuals, iteration)
    raise _not_converged(network, values - predicted(network, xyz), most_steps)


def _inverse(network: Network, xyz: Floats, weighted: Floats, over: NDArray[np.intp]) -> Floats:
    """Inverse of the normal matrix bordered by the inner constraints, border cut off."""
    whole = freedoms(network, xyz, over)
    n, k = whole.shape
    bordered = np.zeros((n + k, n + k))
    bordered[:n, :n] = weighted.T @ weighted
    bordered[:n, n:] = whole
    bordered[n:, :n] = whole.T
    try:
        return np.asarray(np.linalg.inv(bordered)[:n, :n])
    except np.linalg.LinAlgError:
        # Points have run into one line or one place: no step leads on from there.
        return np.full((n, n), np.nan)


def _walk(
    network: Network, xyz: Floats, step: Floats, values: Floats, root_weight: Floats
) -> tuple[Floats, Floats, float]:
    """The longest of 1, 1/2, 1/4 ... of a step that does not make the misfit worse."""
    before = float(np.sum(((values - predicted(network, xyz)) * root_weight) ** 2))
    share = 1.0
    for _ in range(_MOST_HALVINGS):
        moved = xyz.copy()
        moved[network.measured] += share * step
        wanted = (values - predicted(network, moved)) * root_weight
        if float(np.sum(wanted**2)) <= before * (1.0 + 1e-9) + 1e-18:
            return moved, wanted, share
        share /= 2.0
    return xyz, (values - predicted(network, xyz)) * root_weight, 0.0


def _not_converged(network: Network, residuals: Floats, iterations: int) -> NotConverged:
    worst = int(np.argmax(np.abs(residuals)))
    node = network.names[network.end[worst]]
    said = f"{network.names[network.start[worst]]} to {node}"
    return NotConverged(
        Finding(
            "SV-030",
            "readings",
            f"no shape after {iterations} steps",
            "readings of one frame",
            f"Reading {worst + 1}, {said}, agrees least with the others: take it again.",
        ),
        iterations=iterations,
        residual=float(np.abs(residuals[worst])),
        worst_node=node,
    )
