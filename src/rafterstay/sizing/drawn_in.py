"""How far the walls are drawn in while the legs are set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.roof.plate import plate_sides
from rafterstay.statics.condense import skeleton
from rafterstay.statics.holds import thrust_today
from rafterstay.statics.nouns import State
from rafterstay.statics.setting import set_legs

if TYPE_CHECKING:
    from rafterstay.sizing.nouns import Carried

__all__ = ["drawn_in"]


def drawn_in(found: Carried) -> float:
    """Inward movement of the worst foot in the setting state, over the limit of its spread.

    Args:
        found: The job with its target pull; the least stiffness of walls and plate counts.

    Returns:
        Share of the limit, below 0 where every foot moves outward; 0 where nothing helps: prop or
        dead load then holds the feet. [-]

    Raises:
        Mechanism: The pull cannot be held.
    """
    job, load = found.job, found.cases.setting
    if not job.support.help_stated:
        return 0.0
    plate = plate_sides(job, found.frame)
    state = State(
        load,
        bound="stated",
        wall_stiffness=job.support.wall_stiffness[0] if job.support.wall_stiffness else 0.0,
        plate_stiffness=() if plate is None else tuple(plate[0].tolist()),
    )
    bones = skeleton(found.frame)
    stood = job.pretension.set_when == "standing"
    legs = set_legs(
        bones,
        found.tie,
        load,
        state=state,
        leg_extra=None,
        walls_help=True,
        standing=thrust_today(bones, load) if stood else (),
    )
    return -float(legs.setting.spread.min()) / found.job.limits.spread
