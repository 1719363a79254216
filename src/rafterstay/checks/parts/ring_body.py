"""What a welded ring or a hub plate is made of."""

from __future__ import annotations

from rafterstay.checks.judging import Asked, judged, largest, stated_in_job
from rafterstay.checks.nouns import Check
from rafterstay.tie.nouns import HubPlate, RingBar

__all__ = ["hubplate_bearing", "hubplate_net", "hubplate_tearout", "ring_welded"]


def ring_welded(asked: Asked) -> Check | None:
    """Name the bar of a welded ring as not checked."""
    return _not_covered(asked, "ring-welded") if isinstance(asked.tie.body, RingBar) else None


def hubplate_net(asked: Asked) -> Check | None:
    """Name the net section of a hub plate as not checked."""
    return _not_covered(asked, "hubplate-net") if isinstance(asked.tie.body, HubPlate) else None


def hubplate_bearing(asked: Asked) -> Check | None:
    """Name the holes of a hub plate as not checked."""
    held = isinstance(asked.tie.body, HubPlate)
    return _not_covered(asked, "hubplate-bearing") if held else None


def hubplate_tearout(asked: Asked) -> Check | None:
    """Name the rim of a hub plate as not checked."""
    held = isinstance(asked.tie.body, HubPlate)
    return _not_covered(asked, "hubplate-tearout") if held else None


def _not_covered(asked: Asked, check_id: str) -> Check:
    worst = largest(asked.forces.leg_pull, asked.forces)
    return judged(
        check_id,
        demand=worst.value,
        capacity=None,
        unit="N",
        why="This is not covered: nothing here says what it can take.",
        sources=(stated_in_job("tie.ring"),),
        working=(),
        worst=worst,
        refer="its strength is not checked",
    )
