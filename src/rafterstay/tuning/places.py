"""Whole steps for many builds at once, carried to where the ring may hang so that they fit.

docs/theory/tuning.md section 12; `rounding` looks further, at one build.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = ["whole_steps"]

CARRIED: Final = 0.6  # of its tolerance: how far the ring is carried each way [-]
PLACES: Final = 11  # along each way


def whole_steps(exact: Floats, off: Floats, table: Floats, *, part: float) -> Floats:
    """Turns rounded together: of many places of the ring the one whose rounding leaves least.

    Args:
        exact: Turns. [-] (b, n)
        off: What they leave: pulls, the centre east and north, levels, in tolerances.
            [-] (b, n_rows)
        table: Change of it by each turn. [-] (b, n_rows, n)
        part: Of a turn. [-]

    Returns:
        Whole steps. [-] (b, n)

    Source: docs/theory/tuning.md section 5
    """
    legs = exact.shape[1]
    normal = np.swapaxes(table, 1, 2) @ table + 1e-4 * np.eye(legs)
    carry = np.linalg.solve(normal, np.swapaxes(table[:, legs : legs + 2], 1, 2))
    way = np.linspace(-CARRIED, CARRIED, PLACES)
    places = np.stack(np.meshgrid(way, way), axis=-1).reshape(-1, 2)
    # The middle first: of equals the least carried is kept.
    places = places[np.argsort((places**2).sum(axis=1), kind="stable")]
    tried = exact[:, None] + places @ np.swapaxes(carry, 1, 2)
    tried = np.round(tried / part) * part
    left = off[:, None] + (tried - exact[:, None]) @ np.swapaxes(table, 1, 2)
    best = np.abs(left).max(axis=2).argmin(axis=1)
    return np.asarray(tried[np.arange(len(exact)), best])
