"""What helps besides the sizes that were found, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rafterstay.core.quantities import show
from rafterstay.sizing.stock import is_held_by_ring
from rafterstay.tie.nouns import HubPlate

if TYPE_CHECKING:
    from rafterstay.sizing.nouns import Sizes, Unmet

__all__ = ["at_best", "remedy", "washers"]

_LARGER_RING: Final = (
    "A thicker bar would be no thin ring at this radius: a larger ring can have one."
)
_STIFFER: Final = {
    "wall-spread": "Ropes of lay 7x7 or 1x19 stretch less than 7x19: state one and size again."
}
_FILLED: Final = 0.75  # of a shackle's opening


def at_best(unmet: Unmet, share: str) -> str:
    """How near sizes come to what a check asks.

    Args:
        unmet: The check.
        share: Its utilisation at best, in words.

    Returns:
        Words that begin a sentence, without its end.
    """
    names = ", ".join(f"{part.replace('_', ' ')} {name}" for part, name in unmet.parts.items())
    if unmet.utilisation <= 1.0:
        return f"it passes with {names}, but then another check does not"
    if unmet.check == "leg-lost":
        return f"what it asks of the ring alone is at best {share} of what may be, with {names}"
    if unmet.alone:
        return f"no size on the shelf meets it: at best {share} of what it may be, with {names}"
    return (
        f"no size that other checks allow meets it: at best {share} of what it may be, with {names}"
    )


def remedy(sizes: Sizes, unmet: Unmet) -> str:
    """What is no size on a ladder, and yet would help.

    Args:
        sizes: What was found.
        unmet: A check that no size meets.

    Returns:
        A sentence; empty where nothing is known.
    """
    bar = unmet.parts.get("ring_bar")
    if bar and is_held_by_ring(sizes.job, bar):
        return _LARGER_RING
    return _STIFFER.get(unmet.check, "")


def washers(sizes: Sizes) -> str:
    """What a plate needs beside it that is much thinner than its shackles are wide.

    Args:
        sizes: What was found.

    Returns:
        A sentence; empty where there is no such plate, or the opening is not known.

    Source: common practice, no source
    """
    body, system = sizes.found.tie.body, sizes.job.show
    if not isinstance(body, HubPlate) or body.shackle.inside_width is None:
        return ""
    room = body.shackle.inside_width
    if body.thickness > _FILLED * room:
        return ""
    return (
        f"The plate is {show(body.thickness, 'length', system)} thick and its shackles open "
        f"{show(room, 'length', system)}: washers on each pin, as many on either side of the "
        "plate, keep a shackle square to its pull."
    )
