"""How far each leg runs: as drawn, or from a survey of the frame as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.shop.allowances import UNMEASURED
from rafterstay.shop.nouns import Legs
from rafterstay.survey.centre import find_centre

if TYPE_CHECKING:
    from rafterstay.roof.frame import Frame
    from rafterstay.survey import AsBuilt
    from rafterstay.tie.nouns import Tie

__all__ = ["as_drawn", "as_surveyed", "bolt_names"]


def as_drawn(tie: Tie) -> Legs:
    """Distances of the drawing, with what a frame is usually off it.

    Args:
        tie: As drawn.

    Returns:
        Legs not measured.
    """
    n = tie.n
    return Legs(tuple(map(float, tie.leg_lengths)), (UNMEASURED,) * n, measured=False)


def bolt_names(frame: Frame) -> tuple[str, ...]:
    """What a survey calls the tie bolts: t1, t2 and so on, or the feet where they are one."""
    feet = bool(np.array_equal(frame.bolts, frame.feet))
    return tuple(f"{'' if feet else 't'}{k + 1}" for k in range(frame.n))


def as_surveyed(frame: Frame, tie: Tie, built: AsBuilt) -> Legs:
    """Distances of the frame as it stands, to a regular ring about the best centre.

    The ring is turned so that its eyes look at the bolts as well as they can together.

    Args:
        frame: As designed.
        tie: Its ring.
        built: The survey.

    Returns:
        Legs, measured.

    Raises:
        InputError: SV-040 a tie bolt was not surveyed.

    Source: docs/theory/cutting.md section 5
    """
    names = bolt_names(frame)
    missing = [name for name in names if not built.has(name)]
    if missing:
        raise InputError(
            Finding(
                "SV-040",
                key="tie bolts surveyed",
                value=f"all but {', '.join(missing[:8])}",
                bound=f"{names[0]} to {names[-1]}, every one",
                remedy="Take the readings that `survey` plans to the missing bolts.",
            )
        )
    found = find_centre(built, names)
    bolts = np.array([built.at(name) for name in names])
    out = bolts - found.centre
    azimuth = np.arctan2(out[:, 0], out[:, 1])
    regular = 2 * np.pi * np.arange(tie.n) / tie.n
    # A mean of directions, not of angles: nothing happens at north.
    turn = float(np.angle(np.exp(1j * (azimuth - regular)).mean()))
    eyes = found.centre + tie.ring_radius * np.column_stack(
        [np.sin(regular + turn), np.cos(regular + turn), np.zeros(tie.n)]
    )
    distances = np.linalg.norm(bolts - eyes, axis=1)
    return Legs(
        tuple(map(float, distances)),
        tuple(leg.sigma for leg in found.legs),
        measured=True,
        notes=tuple(built.notes),
    )
