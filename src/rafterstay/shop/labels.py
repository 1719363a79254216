"""What is written on each leg, how large, and whether each eye can still be seen in year twenty."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, sin
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rafterstay.shop.eye import Eye
    from rafterstay.tie.nouns import Tie

__all__ = ["READ_FROM", "Label", "Sight", "labels", "letter_height", "sights"]

READ_FROM: Final = 6.0  # [m] floor to tie at the most: common practice, the job does not say
_LEGIBLE: Final = 300.0  # [-] distance over letter height, 1 in for 25 ft: common practice


@dataclass(frozen=True)
class Label:
    """A tag on one leg."""

    leg: int
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Sight:
    """Whether an eye and its sleeve can be seen.

    Attributes:
        eye: Which eye.
        open: It hangs in the open.
        told: What to do so that it can be looked at for ever.
    """

    eye: str
    open: bool
    told: str


def letter_height(distance: float) -> float:
    """Height of letters that are read without effort.

    Args:
        distance: From eye to label. [m]

    Returns:
        Height of a capital. [m]

    Source: one inch for 25 ft, common practice

    >>> round(letter_height(25 * 0.3048) / 0.0254, 3)
    1.0
    """
    return distance / _LEGIBLE


def labels(set_lengths: tuple[str, ...]) -> tuple[Label, ...]:
    """A tag for every leg.

    Args:
        set_lengths: How each turnbuckle is set, in words.

    Returns:
        From leg 1.
    """
    return tuple(
        Label(leg, (f"LEG {leg}", f"set {said} pin to pin", "DO NOT LOOSEN"))
        for leg, said in enumerate(set_lengths, start=1)
    )


def sights(tie: Tie, eye: Eye, *, slope: float) -> tuple[Sight, ...]:
    """Which eyes hide, and what keeps them in sight.

    The eye at the bolt lies between two plies. From the bolt in the middle of their depth the
    leg comes out of them where it passes their lower edge.

    Args:
        tie: Its rafter and parts.
        eye: As drawn.
        slope: Rise over run of the rafter. [-]

    Returns:
        One answer a kind of eye.

    Source: geometry; docs/shop.md
    """
    jaws = Sight("both jaw eyes", True, "in the open; no tape or paint over the sleeves")
    if tie.layout == "band":
        told = (
            "they share a bolt at the plate: no soffit, fascia or flashing may close over them, "
            "or it has a door"
        )
        return Sight("both eyes at each corner", False, told), jaws
    sleeve = eye.pin_to_mouth(tie.bolt.diameter) + eye.dead
    inside = tie.ply.depth / 2 / sin(atan(slope)) if slope > 0 else float("inf")
    clear = sleeve > inside
    told = (
        "its sleeve hangs clear below the plies; leave the gap above it open to the light"
        if clear
        else "it and its sleeve lie between the plies: never close the gap from below, and look "
        "in with a lamp and a mirror"
    )
    if tie.layout == "cross":
        return Sight("bolt eye at either end", clear, told), jaws
    ring = Sight("ring eye", True, "in the open; no lamp or cloth hung round the ring")
    return Sight("bolt eye", clear, told), jaws, ring
