"""What the tool says of the same job: the one place where referees and tool meet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from rafterstay import design, job, loads, roof, statics, tie

from .model import Floats

__all__ = ["Displaced", "Told", "displaced", "told"]


@dataclass(frozen=True)
class Told:
    """A state as the tool names it, and its legs."""

    id: str
    wall: float  # spring at each foot, outward [N/m]
    rope_factor: float  # on EA of every rope [-]
    variant: str  # what is varied within the bound
    legs: Floats  # pulls on the frame as drawn [N] (n_legs,)


def told(
    path: Path, changes: Mapping[str, str | bool | int | list[str]], extra: Floats | None = None
) -> list[Told]:
    """Ask the tool for every state of a job.

    Args:
        path: A job file.
        changes: New values by dotted key.
        extra: Added to each leg's unstretched rope. [m] (n_legs,)

    Returns:
        Every state, in the tool's order.
    """
    text = path.read_text(encoding="utf-8")
    for key, value in changes.items():
        text = job.set_value(text, key, value)
    stated = job.loads(text)
    found = design.check(stated)
    forces = found.forces
    if extra is not None:
        walls = stated.support.wall_stiffness
        forces = statics.solve(found.frame, found.tie, found.cases, walls=walls, leg_extra=extra)
    return [
        Told(
            state.id,
            state.wall_stiffness,
            state.rope_factor,
            state.variant,
            forces.first_order[i],
        )
        for i, state in enumerate(forces.states)
    ]


@dataclass(frozen=True)
class Displaced:
    """A state on the displaced roof."""

    id: str
    case: str
    wall: float  # spring at each foot, outward [N/m]
    rope_factor: float  # on EA of every rope [-]
    first: Floats  # pulls on the frame as drawn [N] (n_legs,)
    second: Floats  # pulls on the displaced frame [N] (n_legs,)
    slack: Floats  # legs that hang (n_legs,)
    spread: Floats  # outward movement of each foot from the drawing [m]; of bare walls only
    drop: float  # of the hub [m]
    amplification: float  # largest growth of any pull, as a ratio [-]


def displaced(text: str, cases: tuple[str, ...], extra: Floats | None = None) -> list[Displaced]:
    """Ask the tool for some cases of a job, second order.

    Args:
        text: A job file.
        cases: Ids of the cases.
        extra: Added to each leg's unstretched rope. [m] (n_legs,)

    Returns:
        Every state of the cases, in the tool's order.
    """
    stated = job.loads(text)
    frame = roof.lay_out(stated)
    every = loads.gather(stated, frame)
    wanted = tuple(case for case in every.cases if case.id in cases)
    forces = statics.solve(
        frame,
        tie.rig(stated, frame),
        replace(every, cases=wanted),
        walls=stated.support.wall_stiffness,
        leg_extra=extra,
    )
    return [
        Displaced(
            state.id,
            state.case.id,
            state.wall_stiffness,
            state.rope_factor,
            forces.first_order[i],
            forces.leg_pull[i],
            forces.slack[i],
            forces.spread[i] + forces.setting.spread,
            float(forces.hub_drop[i]),
            float(forces.amplification[i]),
        )
        for i, state in enumerate(forces.states)
    ]
