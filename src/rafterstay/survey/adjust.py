"""How does the frame stand, by all readings together, and which reading is wrong?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.core import quantities
from rafterstay.core.errors import Finding, InputError
from rafterstay.survey.blunders import (
    Checks,
    Search,
    inseparable_groups,
    judge,
    name_blunders,
    search,
)
from rafterstay.survey.datum import held_over, lay_over, lay_over_covariance, turn_covariance
from rafterstay.survey.least_squares import CHECKED_LEAST
from rafterstay.survey.network import Joining, Network, assemble, rigidity
from rafterstay.survey.nouns import (
    BLUNDER_LIMIT,
    POWER_QUANTILE,
    AsBuilt,
    Floats,
    Reading,
    Rigidity,
)
from rafterstay.survey.start import first_guess

__all__ = ["adjust", "require_rigid", "rigid"]

_WOBBLE: Final = 16.0  # sigmas of a reading: a foot less sure than that is as good as loose
_SEED: Final = 20250918
_CHANCE: Final = 3.09  # [-] scatter that chance brings once in 1,000

_Shape = Mapping[str, Sequence[float]]


def rigid(readings: Sequence[Joining], shape: _Shape) -> Rigidity:
    """Whether a list of readings would hold a shape.

    Args:
        readings: Taken or planned; their values do not matter.
        shape: Designed position of every point they name, x east, y north, z up. [m]

    Returns:
        Rank, rank needed, loose points and the readings that would hold them.

    Raises:
        InputError: SV-025 where the shape lacks a point.

    >>> square = {"1": (0, 3, 0), "2": (4, 3, 0), "3": (4, 0, 0), "4": (0, 0, 0)}
    >>> sides = [Reading(str(k), str(k % 4 + 1), "level", 1.0) for k in (1, 2, 3, 4)]
    >>> (lambda found: (found.rank, found.needed, found.fixes))(rigid(sides, square))
    (4, 5, (('1', '3', 'level'),))
    """
    network = assemble(readings)
    return rigidity(network, _placed(network, shape))


def require_rigid(readings: Sequence[Joining], shape: _Shape) -> None:
    """Refuse a list of readings that leaves the shape loose.

    Raises:
        InputError: SV-020 with the rank and the readings that would fix it.
    """
    network = assemble(readings)
    _refuse_loose(rigidity(network, _placed(network, shape)))


def adjust(readings: Sequence[Reading], shape: _Shape | None = None) -> AsBuilt:
    """The frame as it stands, by weighted least squares over all readings.

    Args:
        readings: At least enough to hold the shape.
        shape: Designed position of every point read, x east, y north, z up; the result is laid
            over its feet. Where None the shape is found from the readings, feet taken to
            number clockwise seen from above, foot 1 due north of the middle. [m]

    Returns:
        Every point with its ±, and the readings that cannot be right.

    Raises:
        InputError: SV-012 no reading; SV-020 loose; SV-021 as good as loose; SV-022, SV-023
            ambiguous; SV-025 the shape lacks a point.
        InputError: SV-034 too many readings disagree.
        NotConverged: SV-030.

    Limits: blunders are named surely only while they are few against the redundancy.

    Source: docs/theory/survey.md

    >>> tri = [Reading("1", "2", "level", 3.0), Reading("2", "3", "level", 4.0),
    ...        Reading("3", "1", "level", 5.0)]
    >>> built = adjust(tri)
    >>> built.redundancy, [round(float(v), 6) for v in built.at("1")]
    (0, [0.0, 2.403701, 0.0])
    """
    if not readings:
        raise InputError(
            Finding("SV-012", "readings", "none", "at least one", "Take the readings of the plan.")
        )
    network = assemble(readings)
    values = np.array([r.value for r in readings])
    sigmas = np.array([r.sigma for r in readings])
    start = _guessed(network, values, sigmas) if shape is None else _placed(network, shape)
    found = rigidity(network, start)
    _refuse_loose(found)
    over = held_over(network, start)
    redundancy = len(values) - found.needed
    ended = search(network, values, sigmas, start=start, over=over, redundancy=redundancy)
    return _as_built(
        network, readings, sigmas, start=start, over=over, ended=ended, needed=found.needed
    )


def _guessed(network: Network, values: Floats, sigmas: Floats) -> Floats:
    """A guess from the readings, once it is known that they can hold a shape at all."""
    # What leaves points strewn at random loose leaves every shape loose.
    strewn = np.random.default_rng(_SEED).standard_normal((len(network.names), 3))
    _refuse_loose(rigidity(network, strewn))
    return first_guess(network, values, sigmas)


def _placed(network: Network, shape: _Shape) -> Floats:
    missing = [name for name in network.names if name not in shape]
    if missing:
        raise InputError(
            Finding(
                "SV-025",
                "readings",
                "points " + ", ".join(missing[:8]),
                "points of the designed shape",
                "Strike out readings to points the frame does not have.",
            )
        )
    return np.array([[float(v) for v in shape[name]] for name in network.names])


def _refuse_loose(found: Rigidity) -> None:
    if found.is_rigid:
        return
    fixes = "; ".join(f"{kind} {start} to {end}" for start, end, kind in found.fixes[:12])
    points = ", ".join(found.loose[:12])
    remedy = f"Take also: {fixes}." if fixes else "Take more readings between these points."
    raise InputError(
        Finding(
            "SV-020",
            "readings",
            f"{found.rank} independent readings, which leave {points} loose",
            f"{found.needed} independent readings to hold the shape",
            remedy,
        )
    )


def _as_built(
    network: Network,
    readings: Sequence[Reading],
    sigmas: Floats,
    *,
    start: Floats,
    over: NDArray[np.intp],
    ended: Search,
    needed: int,
) -> AsBuilt:
    """The noun, laid over the start and with its ± counted from there."""
    solution, used = ended.solution, ended.used
    checks = judge(solution, sigmas, used)
    redundancy = int(used.sum()) - needed
    scatter, widened = _scatter(solution.cost(sigmas, used), redundancy)
    xyz = lay_over(network, solution.xyz, start, over)
    # The matrix belongs to the frame before it was laid over: turn it along.
    covariance = turn_covariance(network, solution.covariance, solution.xyz, xyz)
    covariance = lay_over_covariance(network, xyz, covariance, over) * widened**2
    full = np.zeros((3 * len(network.names),) * 2)
    place = np.flatnonzero(network.measured.ravel())
    full[np.ix_(place, place)] = covariance
    _refuse_wobbly(network, full, sigmas, over)
    hidden = np.where(
        checks.checked > CHECKED_LEAST, (BLUNDER_LIMIT + POWER_QUANTILE) * checks.spread, np.inf
    )
    seen = hidden[used & np.isfinite(hidden)]
    return AsBuilt(
        network.names,
        xyz,
        full,
        network.measured,
        tuple(readings),
        used,
        solution.residuals,
        checks.standardised,
        checks.checked,
        hidden,
        name_blunders(ended, network, readings, sigmas),
        redundancy,
        float(seen.max()) if len(seen) else float("inf"),
        _unchecked(checks, used),
        inseparable_groups(solution, sigmas, used),
        scatter,
        widened,
        solution.iterations,
        _notes(network, widened, len(ended.found), redundancy),
    )


def _unchecked(checks: Checks, used: NDArray[np.bool_]) -> tuple[int, ...]:
    return tuple(int(k) + 1 for k in np.flatnonzero(used & (checks.checked <= CHECKED_LEAST)))


def _scatter(cost: float, redundancy: int) -> tuple[float, float]:
    """Scatter of the residuals, and the factor it puts on every ±.

    Source: chi-squared against its normal approximation, E. Wilson and M. Hilferty (1931);
        docs/theory/survey.md eq. 9
    """
    if redundancy < 1:
        return float("nan"), 1.0
    scatter = float(np.sqrt(cost / redundancy))
    part = 2.0 / (9.0 * redundancy)
    most = (1.0 - part + _CHANCE * float(np.sqrt(part))) ** 3
    return scatter, scatter if scatter**2 > most else 1.0


def _refuse_wobbly(
    network: Network, covariance: Floats, sigmas: Floats, over: NDArray[np.intp]
) -> None:
    sigma = np.sqrt(np.maximum(np.diag(covariance), 0.0)).reshape(-1, 3).max(axis=1)
    unsure = [k for k in over.tolist() if sigma[k] > _WOBBLE * float(np.median(sigmas))]
    if not unsure:
        return
    worst = max(unsure, key=lambda k: float(sigma[k]))
    shown = quantities.show(float(sigma[worst]), "length", "us")
    bound = f"sure to {_WOBBLE:.0f} times the ± of a reading"
    remedy = "Tape it also to points further round the frame."
    raise InputError(Finding("SV-021", f"± of point {network.names[worst]}", shown, bound, remedy))


def _notes(network: Network, widened: float, left_out: int, redundancy: int) -> tuple[str, ...]:
    said = []
    if not network.plan_free:
        said.append("No reading on plan: positions on plan are those designed.")
    flat = [name for k, name in enumerate(network.names) if not network.measured[k, 2]]
    if len(flat) == len(network.names):
        said.append("No heights read: every height is as designed.")
    elif flat:
        said.append(f"No height read of {', '.join(flat)}: as designed.")
    if network.tilt_free:
        said.append("No reading says which way is up: the frame is laid over the designed one.")
    if left_out > redundancy:
        said.append("More readings were left out than are left to check the rest: measure again.")
    if widened > 1.0:
        said.append(
            f"Readings scatter {widened:.1f} times as much as stated: every ± is widened by that."
        )
    return tuple(said)
