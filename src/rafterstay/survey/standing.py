"""How far is each foot from where it should be, and may a tie pull it back?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from rafterstay.core import quantities
from rafterstay.core.errors import Finding, InputError
from rafterstay.survey.datum import held_over, lay_over, lay_over_covariance, turn_covariance
from rafterstay.survey.network import assemble
from rafterstay.survey.nouns import AsBuilt, Floats, Standing

__all__ = ["compare"]

_SURE = 2.0  # [-] sigmas from which a difference is taken as real


def compare(
    as_built: AsBuilt,
    shape: Mapping[str, Sequence[float]],
    outward: Mapping[str, Sequence[float]] | None = None,
    *,
    system: quantities.System = "us",
) -> tuple[Standing, ...]:
    """Every foot against the designed shape laid over the frame as well as it goes.

    The shape is moved and turned but not stretched: feet that have all spread show as spread.

    Args:
        as_built: The frame as it stands.
        shape: Designed position of every point surveyed. [m]
        outward: Direction on plan in which a tie holds each foot, away from the middle; from
            the middle of the feet where None. [-]
        system: Units of the words, ``us`` or ``si``.

    Returns:
        One for each foot.

    Raises:
        InputError: SV-025 where the shape lacks a point; SV-035 where fewer than two feet were
            surveyed or one stands in their middle.

    Source: docs/theory/survey.md eq. 4 and 5
    """
    missing = [name for name in as_built.names if name not in shape]
    if missing:
        bound = "points of the designed shape"
        raise InputError(Finding("SV-025", "readings", "points " + ", ".join(missing[:8]), bound))
    network = assemble(as_built.readings)
    onto = np.array([[float(v) for v in shape[name]] for name in as_built.names])
    feet = network.feet
    away = _outward(as_built.feet, onto[feet], outward)
    over = held_over(network, onto)
    laid = lay_over(network, as_built.xyz, onto, over)
    place = np.flatnonzero(network.measured.ravel())
    turned = turn_covariance(network, as_built.covariance[np.ix_(place, place)], as_built.xyz, laid)
    covariance = np.zeros_like(as_built.covariance)
    covariance[np.ix_(place, place)] = lay_over_covariance(network, laid, turned, over)
    return tuple(
        _standing(
            as_built.names[k],
            laid[k] - onto[k],
            covariance[3 * k : 3 * k + 3, 3 * k : 3 * k + 3],
            away[row],
            system,
        )
        for row, k in enumerate(feet.tolist())
    )


def _outward(
    feet: Sequence[str], onto: Floats, outward: Mapping[str, Sequence[float]] | None
) -> Floats:
    """Unit vectors on plan in which a tie holds each foot. (n_feet, 2)"""
    if outward is None and len(feet):
        away = onto[:, :2] - onto[:, :2].mean(axis=0)
    else:
        away = np.array([[float(v) for v in (outward or {})[name]] for name in feet])
    size = np.linalg.norm(away.reshape(-1, 2), axis=1)
    if len(feet) < 2 or float(size.min()) <= 1e-3 * float(size.max()):
        bound = "two or more, none of them in their middle"
        remedy = "State the directions in which a tie holds the feet."
        raise InputError(Finding("SV-035", "feet", ", ".join(feet[:8]) or "none", bound, remedy))
    return np.asarray(away / size[:, None])


def _standing(
    name: str, moved: Floats, block: Floats, away: Floats, system: quantities.System
) -> Standing:
    east, north = away.tolist()
    axes = np.array([[east, north, 0.0], [north, -east, 0.0], [0.0, 0.0, 1.0]])
    outward, sideways, up = (axes @ moved).tolist()
    sigma = np.sqrt(np.maximum(np.diag(axes @ block @ axes.T), 0.0)).tolist()
    words = _words(name, (outward, sideways, up), sigma, system)
    return Standing(name, outward, sideways, up, sigma[0], sigma[1], sigma[2], words)


def _words(
    name: str, moved: Sequence[float], sigma: Sequence[float], system: quantities.System
) -> str:
    def shown(k: int) -> str:
        size = quantities.show(abs(moved[k]), "length", system)
        sure = quantities.show(_SURE * sigma[k], "length", system, rounding="up")
        return f"{size} (± {sure})"

    real = [abs(m) > _SURE * s and s > 0.0 for m, s in zip(moved, sigma, strict=True)]
    said = []
    if real[0] and moved[0] > 0.0:
        said.append(f"{shown(0)} outward: a tie may pull it back, a little at a time.")
    elif real[0]:
        said.append(f"{shown(0)} inward: a tie only pulls inward and cannot push it out.")
    if real[1]:
        side = "clockwise" if moved[1] > 0.0 else "anticlockwise"
        said.append(f"{shown(1)} sideways, {side}: not a tie's work; plumb and brace the wall.")
    if real[2]:
        side = "high" if moved[2] > 0.0 else "low"
        said.append(f"{shown(2)} {side}: not a tie's work; pack or trim the bearing.")
    if not said:
        said.append("where it should be, within the ± of the survey.")
    return f"Foot {name}: " + " ".join(said)
