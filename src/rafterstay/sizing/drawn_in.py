"""How far the walls are drawn in while the legs are set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.statics.condense import skeleton
from rafterstay.statics.nouns import State
from rafterstay.statics.setting import set_legs

if TYPE_CHECKING:
    from rafterstay.sizing.nouns import Carried

__all__ = ["drawn_in"]


def drawn_in(found: Carried) -> float:
    """Inward movement of the worst foot in the setting state, over the limit of its spread.

    Args:
        found: The job with its target pull; the least stiffness of its walls counts.

    Returns:
        Share of the limit; 0 where the walls give no help: then the prop holds the feet. [-]

    Raises:
        Mechanism: The pull cannot be held.
    """
    walls, load = found.job.support.wall_stiffness, found.cases.setting
    if walls is None:
        return 0.0
    state = State(load, bound="stated", wall_stiffness=walls[0])
    bones = skeleton(found.frame)
    legs = set_legs(bones, found.tie, load, state=state, leg_extra=None, walls_help=True)
    return max(0.0, -float(legs.setting.spread.min())) / found.job.limits.spread
