"""What holds the feet outward beside the tie: walls, a plate that runs on, what stands today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rafterstay.loads.nouns import Case
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.condense import Skeleton, condense
from rafterstay.statics.nouns import State

__all__ = [
    "HELD",
    "Variant",
    "holding",
    "side_growth",
    "thrust_today",
    "thrusts",
    "variants",
]

HELD = 1e10  # spring of a foot that something holds where it stands [N/m]
_EA = (0.75, 1.1)  # on EA of every rope, where help is counted on [-]


@dataclass(frozen=True)
class Variant:
    """What a group of states has in common: what holds the feet, and rope stiffness.

    Attributes:
        bound: ``bare`` or ``stated``.
        told: What is varied, in words; empty for bare.
        walls: Spring at each foot, outward. [N/m]
        rope_factor: On EA of every rope. [-]
        plate: Pull of each side of the plate per lengthening; empty where it is jointed. [N/m]
        on_walls: Walls and plate go on carrying the dead load's thrust, as they did before
            there was a tie.
    """

    bound: str
    told: str
    walls: float
    rope_factor: float
    plate: tuple[float, ...] = ()
    on_walls: bool = False


def variants(
    walls: tuple[float, float] | None,
    plate: tuple[Floats, Floats] | None = None,
    *,
    standing: bool = False,
) -> list[Variant]:
    """Bare always; where something helps, the least and the most help with EA x 0.75 and 1.1.

    Args:
        walls: Least and most wall stiffness at each foot, None for no help. [N/m]
        plate: Least and most stiffness of the plate's sides, None where jointed. [N/m] (n,) each
        standing: The roof stood before the tie was set: each help is also run with the dead
            load's thrust left on it.

    Returns:
        The groups to solve.
    """
    bare = [Variant("bare", "", 0.0, 1.0)]
    if walls is None and plate is None:
        return bare
    named = " and ".join(
        name for name, help_ in (("wall", walls), ("plate", plate)) if help_ is not None
    )
    found = []
    for end, which in enumerate(("least", "most")):
        for factor in _EA:
            told = f"{which} {named} stiffness, EA x {factor}"
            sides = () if plate is None else tuple(plate[end].tolist())
            wall = 0.0 if walls is None else walls[end]
            found.append(Variant("stated", told, wall, factor, sides))
            if standing:
                told += ", dead load on what holds it today"
                found.append(Variant("stated", told, wall, factor, sides, on_walls=True))
    return bare + found


def side_growth(frame: Frame) -> Floats:
    """How much each side of the plate lengthens by outward movements of the feet.

    Args:
        frame: The roof; side k runs from foot k to foot k + 1.

    Returns:
        Lengthening per movement. [-] (n_sides, n)

    Source: docs/theory/plate-ring.md eq. 1
    """
    feet = frame.nodes[frame.feet]
    along = np.roll(feet, -1, axis=0) - feet
    along = along / np.linalg.norm(along, axis=1)[:, None]
    grown = -np.diag((along * frame.outward).sum(axis=1))
    here = np.arange(frame.n)
    there = np.roll(here, -1)
    grown[here, there] += (along * frame.outward[there]).sum(axis=1)
    return np.asarray(grown)


def holding(frame: Frame, state: State) -> Floats:
    """Stiffness of walls and plate against outward movements of the feet.

    Args:
        frame: The roof.
        state: How stiff they are.

    Returns:
        Inward force on each foot by outward movement of each. [N/m] (n, n)

    Source: docs/theory/plate-ring.md eq. 2
    """
    firm = state.wall_stiffness * np.eye(frame.n)
    if state.plate_stiffness:
        grown = side_growth(frame)
        firm = firm + grown.T @ (np.array(state.plate_stiffness)[:, None] * grown)
    return np.asarray(firm)


def thrust_today(bones: Skeleton, case: Case) -> tuple[float, ...]:
    """Inward force on each foot of a roof that stands without its tie, feet where they are.

    Args:
        bones: The frame.
        case: The dead load.

    Returns:
        Force of whatever holds the feet today; its vector sum is nil. [N] (n,)

    Source: docs/theory/pretension.md eq. 3
    """
    return tuple(thrusts(bones, [case])[0].tolist())


def thrusts(bones: Skeleton, cases: Sequence[Case]) -> Floats:
    """Inward force that keeps each foot where it is, without a tie.

    Args:
        bones: The frame.
        cases: The loads.

    Returns:
        Below 0 where the load is upward and draws the foot in. [N] (n_cases, n)

    Source: docs/theory/pretension.md eq. 3
    """
    frame = bones.frame
    forces, work = loads_on(bones, cases)
    still = np.zeros((1, len(frame.nodes), 6))
    held = condense(bones, still, forces=forces, work=work, wall_stiffness=HELD)
    # Movements nothing resists carry no thrust: the least of them does.
    kept = np.linalg.lstsq(held.stiffness[0], held.push.T, rcond=1e-13)[0].T
    return np.asarray(HELD * (held.all_movements(bones, kept) @ bones.free.outward.T))
