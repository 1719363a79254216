"""What makes a leg come out longer or shorter than it was cut, each with its reason."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from rafterstay.rope import constructional_stretch
from rafterstay.shop.take_up import Share, TakeUp

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope, Sleeve

__all__ = [
    "EYES",
    "PLAY_BOLT",
    "PLAY_BOLT_HALF",
    "PLAY_JAWS",
    "READING",
    "UNMEASURED",
    "Making",
    "making_of",
    "take_up_of",
]

_INCH: Final = 0.0254  # [m]
EYES: Final = 4  # of a leg

# A bolt hole is 1/32 to 1/16 in over the bolt: NDS 2018 12.1.3.2. The bolt moves by half.
_BOLT_HOLE: Final = (_INCH / 32, _INCH / 16)
# Looseness of a jaw's pin in its holes, each of two jaws: common practice, no source.
_JAW_HOLE: Final = (_INCH / 64, _INCH / 16)

PLAY_BOLT: Final = (_BOLT_HOLE[0] + _BOLT_HOLE[1]) / 4
"""How far the bolt stands nearer the ring than its hole when the leg pulls. [m]"""

PLAY_BOLT_HALF: Final = (_BOLT_HOLE[1] - _BOLT_HOLE[0]) / 4
"""Half width of what that may be. [m]"""

PLAY_JAWS: Final = (_JAW_HOLE[0] + _JAW_HOLE[1]) / 2
"""How much longer both loose pins make the turnbuckle when it pulls. [m]"""

UNMEASURED: Final = _INCH / 4
"""Standard deviation of a leg's distance in a frame not surveyed: common practice. [m]"""

READING: Final = _INCH / 32
"""Half width of what a tape reads at the bench: common practice. [m]"""

# The rest is common practice without a source; a trial eye or leg replaces what it measures.
_MARKING: Final = _INCH / 32  # [m] sigma of marking, and of cutting to the mark, each piece
_MAKING: Final = _INCH / 16  # [m] sigma of an eye off its mark
_RING: Final = _INCH / 16  # [m] sigma of an eye's place on the ring
_SEATING: Final = _INCH / 32  # [m] most that a thimble gives under its first pulls
_EA_SPREAD: Final = 0.30  # [-] half width: makers' factors and marine rules differ by a quarter
_CREEP_MOST: Final = 0.25  # [-] of a sleeve's growth, that pressing may let an eye grow
_PRESTRETCHED: Final = 0.1  # [-] share of bedding-in left in prestretched rope


@dataclass(frozen=True)
class Making:
    """What pressing and seating do to an eye, and how the rope will bed in.

    Attributes:
        creep: How much longer than drawn a pressed eye is, which the cut list takes off. [m]
        creep_half: Half width of what that may be. [m]
        trial: How it was measured; empty for common practice.
        bedding: Most lengthening of the rope as it beds in, the least being nil. [-]
        prestretched: The rope was stretched before it was cut.
    """

    creep: float
    creep_half: float
    trial: str
    bedding: float
    prestretched: bool

    def measured(self, creep: float, *, eyes: int, how: str) -> Making:
        """The same with what a trial showed.

        Args:
            creep: Growth of one eye over what is drawn, mean of the eyes tried. [m]
            eyes: How many eyes the reading holds.
            how: What was measured, in words.

        Returns:
            With the creep measured; its spread is the reading's. [m]
        """
        return replace(self, creep=creep, creep_half=READING / eyes, trial=how)


def making_of(rope: Rope, sleeve: Sleeve, *, prestretched: bool) -> Making:
    """What is assumed before anything was made.

    Args:
        rope: Rope of the leg.
        sleeve: Its sleeve.
        prestretched: The rope was stretched before it is cut.

    Returns:
        Creep from nil to a quarter of the sleeve's growth, the middle cut for.
    """
    most = _CREEP_MOST * (sleeve.after - sleeve.before)
    _, bedding = constructional_stretch(rope.lay)
    left = _PRESTRETCHED if prestretched else 1.0
    return Making(most / 2, most / 2, "", left * bedding, prestretched)


def take_up_of(
    making: Making,
    *,
    rope_length: float,
    stretch: float,
    drying: float,
    distance_sigma: float,
    measured: bool,
    bolt_play: float = PLAY_BOLT_HALF,
    links: float = 0.0,
    on_ring: bool = True,
) -> TakeUp:
    """Everything the turnbuckle of a leg must be ready for.

    Args:
        making: Of its eyes and rope.
        rope_length: Both pieces. [m]
        stretch: Elastic, at the setting pull; cut for. [m]
        drying: Loss of the leg's distance as the frame dries. [m]
        distance_sigma: Of the leg's distance. [m]
        measured: The distance was surveyed.
        bolt_play: Half width of the play of its bolts. [m]
        links: Half width of the length of its shackles. [m]
        on_ring: It ends on a ring, where an eye may sit off its place.

    Returns:
        Its take-up.
    """
    bedding = making.bedding * rope_length
    practice = "common practice"
    lay = "prestretched" if making.prestretched else "not prestretched"
    holes = bolt_play + (_JAW_HOLE[1] - _JAW_HOLE[0]) / 2
    shares = [
        Share("rope beds in", bedding / 2, bedding / 2, why=f"0 to {making.bedding:.2%}, {lay}"),
        Share("thimbles seat", EYES * _SEATING / 2, EYES * _SEATING / 2, why=practice),
        Share("frame dries", drying, why="loads.drying"),
        Share("eyes grow in pressing", half=EYES * making.creep_half, why=making.trial or practice),
        Share("hole and pin play", half=holes, why="NDS 2018 12.1.3.2; jaws common practice"),
        Share("elastic stretch", half=_EA_SPREAD * stretch, why="EA within 30 %"),
        Share("distance", sigma=distance_sigma, why="survey" if measured else practice),
        Share("marking and cutting", sigma=2**0.5 * _MARKING, why="two pieces, common practice"),
        Share("making eyes", sigma=EYES**0.5 * _MAKING, why="four eyes, common practice"),
    ]
    if links:
        shares.append(Share("length of shackles", half=links, why="its reading, or sheets differ"))
    if on_ring:
        shares.append(Share("place on the ring", sigma=_RING, why=practice))
    return TakeUp(tuple(shares))
