"""How far is each foot from where it should be, and may a tie pull it back?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from rafterstay.core import quantities
from rafterstay.core.errors import Finding, InputError
from rafterstay.survey.datum import lay_over, lay_over_covariance
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
        InputError: SV-025 where the shape lacks a point.

    Source: docs/theory/survey.md eq. 4 and 5
    """
    missing = [name for name in as_built.names if name not in shape]
    if missing:
        bound = "points of the designed shape"
        raise InputError(Finding("SV-025", "readings", "points " + ", ".join(missing[:8]), bound))
    network = assemble(as_built.readings)
    onto = np.array([[float(v) for v in shape[name]] for name in as_built.names])
    over = network.feet
    laid = lay_over(network, as_built.xyz, onto, over)
    place = np.flatnonzero(network.measured.ravel())
    turned = _turned(as_built, laid)
    covariance = np.zeros_like(turned)
    covariance[np.ix_(place, place)] = lay_over_covariance(
        network, laid, turned[np.ix_(place, place)], over
    )
    middle = onto[over].mean(axis=0)
    found = []
    for k in over.tolist():
        name = as_built.names[k]
        away = (onto[k] - middle)[:2] if outward is None else np.array(outward[name], dtype=float)
        block = covariance[3 * k : 3 * k + 3, 3 * k : 3 * k + 3]
        found.append(_standing(name, laid[k] - onto[k], block, away, system))
    return tuple(found)


def _turned(as_built: AsBuilt, laid: Floats) -> Floats:
    """Covariance turned on plan as the frame was."""
    own = as_built.xyz[:, :2] - as_built.xyz[:, :2].mean(axis=0)
    other = laid[:, :2] - laid[:, :2].mean(axis=0)
    turn = np.eye(3)
    turn[:2, :2] = np.linalg.lstsq(own, other, rcond=None)[0].T
    whole = np.kron(np.eye(len(own)), turn)
    return np.asarray(whole @ as_built.covariance @ whole.T)


def _standing(
    name: str, moved: Floats, block: Floats, away: Floats, system: quantities.System
) -> Standing:
    e = away / float(np.linalg.norm(away))
    axes = np.array([[e[0], e[1], 0.0], [e[1], -e[0], 0.0], [0.0, 0.0, 1.0]])
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
