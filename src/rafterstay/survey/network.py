"""What do the readings say about each other? The design matrix and its rank."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from rafterstay.survey.nouns import Floats, Kind, Rigidity, is_foot

__all__ = ["Joining", "Network", "assemble", "design", "freedoms", "point_order", "predicted"]
__all__ += ["rigidity"]

_LEVEL, _SLOPE, _HEIGHT = 0, 1, 2
_CODES: Final[dict[Kind, int]] = {"level": _LEVEL, "slope": _SLOPE, "height": _HEIGHT}
_RANK_TOLERANCE: Final = 1e-10  # [-] of the largest eigenvalue of the normal matrix
_GAIN_TIE: Final = 0.9  # a shorter reading is preferred if it holds nearly as well


class Joining(Protocol):
    """Anything that joins two points: a reading taken or one planned."""

    @property
    def start(self) -> str: ...
    @property
    def end(self) -> str: ...
    @property
    def kind(self) -> Kind: ...


@dataclass(frozen=True)
class Network:
    """Readings as arrays.

    Attributes:
        names: Of the points, feet first in order of number. (n_points,)
        start: Row of the point each reading starts from. (n_readings,)
        end: Row of the point it ends at. (n_readings,)
        code: 0 level, 1 slope, 2 height. (n_readings,)
        column: Unknown of each coordinate, -1 where none. (n_points, 3)
        n_unknowns: Coordinates to be found.
        plan_free: Moving and turning on plan changes no reading.
        tilt_free: Nor does tilting: no reading knows which way is up.
    """

    names: tuple[str, ...]
    start: NDArray[np.intp]
    end: NDArray[np.intp]
    code: NDArray[np.intp]
    column: NDArray[np.intp]
    n_unknowns: int
    plan_free: bool
    tilt_free: bool

    @property
    def feet(self) -> NDArray[np.intp]:
        """Rows of the feet."""
        return np.array([k for k, name in enumerate(self.names) if is_foot(name)], dtype=np.intp)

    @property
    def measured(self) -> NDArray[np.bool_]:
        """Which coordinates are unknowns. (n_points, 3)"""
        return self.column >= 0


def point_order(name: str) -> tuple[int, int, str]:
    """Sorting key: feet by number, then tie bolts by number, then the rest.

    >>> sorted(["hub", "t2", "10", "2", "t10"], key=point_order)
    ['2', '10', 't2', 't10', 'hub']
    """
    if is_foot(name):
        return 0, int(name), ""
    if name[:1] == "t" and name[1:].isdigit():
        return 1, int(name[1:]), ""
    return 2, 0, name


def assemble(readings: Iterable[Joining]) -> Network:
    """Arrays of a list of readings.

    On plan a point has unknowns as soon as any reading of the list is level or slope; its
    height is unknown only where a slope or height reading touches it.
    """
    listed = list(readings)
    names = sorted({name for r in listed for name in (r.start, r.end)}, key=point_order)
    row = {name: k for k, name in enumerate(names)}
    start = np.array([row[r.start] for r in listed], dtype=np.intp)
    end = np.array([row[r.end] for r in listed], dtype=np.intp)
    code = np.array([_CODES[r.kind] for r in listed], dtype=np.intp)
    has = np.zeros((len(names), 3), dtype=bool)
    has[:, :2] = bool(np.any(code != _HEIGHT))
    upright = code != _LEVEL
    has[start[upright], 2] = True
    has[end[upright], 2] = True
    column = np.where(has, np.cumsum(has).reshape(has.shape) - 1, -1).astype(np.intp)
    return Network(
        tuple(names),
        start,
        end,
        code,
        column,
        int(has.sum()),
        plan_free=bool(np.any(code != _HEIGHT)),
        tilt_free=bool(np.all(code == _SLOPE)) and len(listed) > 0,
    )


def predicted(network: Network, xyz: Floats) -> Floats:
    """What each reading should be between points that stand somewhere.

    Args:
        network: Readings as arrays.
        xyz: Where the points stand. [m] (n_points, 3)

    Returns:
        [m] (n_readings,)
    """
    step = xyz[network.end] - xyz[network.start]
    level = np.hypot(step[:, 0], step[:, 1])
    said = np.where(network.code == _LEVEL, level, np.sqrt(level**2 + step[:, 2] ** 2))
    return np.where(network.code == _HEIGHT, step[:, 2], said)


def design(network: Network, xyz: Floats) -> Floats:
    """Change of each reading with each unknown.

    A row is the unit vector of the reading at ``end`` and its opposite at ``start``.

    Args:
        network: Readings as arrays.
        xyz: Where the points stand. [m] (n_points, 3)

    Returns:
        [-] (n_readings, n_unknowns)

    Source: docs/theory/survey.md eq. 1
    """
    step = xyz[network.end] - xyz[network.start]
    along = step.copy()
    along[network.code == _LEVEL, 2] = 0.0
    along[network.code == _HEIGHT] = (0.0, 0.0, 1.0)
    size = np.linalg.norm(along, axis=1, keepdims=True)
    unit = along / np.where(size > 0.0, size, 1.0)
    # A spare last column takes what belongs to no unknown and is cut off.
    matrix = np.zeros((len(unit), network.n_unknowns + 1))
    rows = np.arange(len(unit))[:, None]
    matrix[rows, network.column[network.end]] += unit
    matrix[rows, network.column[network.start]] -= unit
    return matrix[:, :-1]


def freedoms(network: Network, xyz: Floats, over: NDArray[np.intp]) -> Floats:
    """Movements of the frame as a whole that change no reading, as seen at some points.

    Args:
        network: Readings as arrays.
        xyz: Where the points stand. [m] (n_points, 3)
        over: Rows of the points whose movement counts; other rows are zero.

    Returns:
        Columns of unit length: east, north, turn, up, tilts, those that apply. [-]
        (n_unknowns, n_freedoms)

    Source: docs/theory/survey.md eq. 3
    """
    moved = []
    arm = xyz - xyz[over].mean(axis=0)
    still, one = np.zeros(len(xyz)), np.ones(len(xyz))
    if network.plan_free:
        moved += [
            np.stack([one, still, still], axis=1),
            np.stack([still, one, still], axis=1),
            np.stack([-arm[:, 1], arm[:, 0], still], axis=1),
        ]
    if network.measured[:, 2].any():
        moved.append(np.stack([still, still, one], axis=1))
    if network.tilt_free:
        moved += [
            np.stack([still, -arm[:, 2], arm[:, 1]], axis=1),
            np.stack([arm[:, 2], still, -arm[:, 0]], axis=1),
        ]
    kept = np.zeros_like(network.measured)
    kept[over] = network.measured[over]
    if network.measured[:, 2].any() and not kept[:, 2].any():
        kept[:, 2] = network.measured[:, 2]
    basis = np.stack([np.where(kept, m, 0.0)[network.measured] for m in moved], axis=1)
    size = np.linalg.norm(basis, axis=0)
    return basis / np.where(size > 0.0, size, 1.0)


def rigidity(network: Network, xyz: Floats, offered: Sequence[Joining] = ()) -> Rigidity:
    """Whether the readings hold the shape, and what would.

    Args:
        network: Readings as arrays.
        xyz: Where the points are thought to stand. [m] (n_points, 3)
        offered: Readings to choose fixes from; every pair of points where empty.

    Returns:
        Rank, the rank needed, the loose points and the fewest readings that hold them.

    Source: docs/theory/survey.md eq. 2
    """
    matrix = design(network, xyz)
    whole = np.linalg.qr(freedoms(network, xyz, np.arange(len(xyz))))[0]
    needed = network.n_unknowns - whole.shape[1]
    size, vectors = np.linalg.eigh(matrix.T @ matrix)
    firm = size > _RANK_TOLERANCE * max(1.0, float(size[-1]))
    rank = int(firm.sum())
    if rank >= needed:
        return Rigidity(rank, needed)
    loose = vectors[:, ~firm]
    loose = loose - whole @ (whole.T @ loose)
    left, size, _ = np.linalg.svd(loose, full_matrices=False)
    left = left[:, size > 0.5]
    motion = np.zeros(network.measured.shape)
    motion[network.measured] = np.linalg.norm(left, axis=1)
    moved = np.linalg.norm(motion, axis=1)
    order = np.argsort(-moved, kind="stable")
    names = tuple(network.names[k] for k in order if moved[k] > 0.1 * moved.max())
    return Rigidity(rank, needed, names, _fixes(network, xyz, left, offered))


def _fixes(
    network: Network, xyz: Floats, loose: Floats, offered: Sequence[Joining]
) -> tuple[tuple[str, str, Kind], ...]:
    """Readings that take the looseness away one after another, each as much as it can."""
    choices = assemble_on(network, offered or _every_pair(network, xyz))
    rows = design(choices, xyz)
    reach = np.linalg.norm(xyz[choices.end] - xyz[choices.start], axis=1)
    fixes: list[tuple[str, str, Kind]] = []
    kinds: tuple[Kind, ...] = ("level", "slope", "height")
    while loose.shape[1]:
        gain = np.linalg.norm(rows @ loose, axis=1)
        if gain.size == 0 or gain.max() < 1e-6:
            break
        good = np.flatnonzero(gain >= _GAIN_TIE * gain.max())
        best = int(good[np.argmin(reach[good])])
        fixes.append(
            (
                network.names[choices.start[best]],
                network.names[choices.end[best]],
                kinds[choices.code[best]],
            )
        )
        stopped = loose.T @ rows[best]
        # What is left loose is every combination this reading does not feel.
        rest = np.linalg.svd(stopped[None, :], full_matrices=True)[2][1:]
        loose = loose @ rest.T
    return tuple(fixes)


@dataclass(frozen=True)
class _Choice:
    start: str
    end: str
    kind: Kind


def _every_pair(network: Network, xyz: Floats) -> list[Joining]:
    """Level readings between all points on plan, height readings between all with a height."""
    names, count = network.names, len(network.names)
    pairs = [(i, j) for i in range(count) for j in range(i + 1, count)]
    on_plan = np.hypot(*(xyz[:, None, :2] - xyz[None, :, :2]).transpose(2, 0, 1))
    size = float(on_plan.max())
    found: list[Joining] = []
    for i, j in pairs:
        if network.plan_free and on_plan[i, j] > 1e-3 * size:
            found.append(_Choice(names[i], names[j], "level"))
        if network.measured[i, 2] and network.measured[j, 2]:
            found.append(_Choice(names[i], names[j], "height"))
    return found


def assemble_on(network: Network, choices: Sequence[Joining]) -> Network:
    """Arrays of other readings between the same points, with the same unknowns."""
    row = {name: k for k, name in enumerate(network.names)}
    return Network(
        network.names,
        np.array([row[c.start] for c in choices], dtype=np.intp),
        np.array([row[c.end] for c in choices], dtype=np.intp),
        np.array([_CODES[c.kind] for c in choices], dtype=np.intp),
        network.column,
        network.n_unknowns,
        network.plan_free,
        network.tilt_free,
    )
