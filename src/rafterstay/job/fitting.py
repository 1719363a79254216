"""What the user states of the tie, its parts, its pretension and its limits, in SI.

Each field's ``Key`` says what it means, its bounds, its default and whether it is served.
"""

# Annotations are read while a job is audited, so they are not postponed here.

from dataclasses import dataclass
from typing import Annotated, Literal

from rafterstay.job.keys import STRICT, Choice, Count, Flag, Height, Name, Quantity, Text, TieHeight

__all__ = ["Limits", "Parts", "Pretension", "Prices", "Site", "TieStated"]

_CUSTOM = "common practice, no source"
_NONE = "nothing of the kind was stated"
_OF_A_RING = 'required where layout = "ring"; nothing else has one'
_OF_A_PLATE = 'required where ring = "plate"'
_WELDED = ("tie.ring", ("welded",))
_PLATE = ("tie.ring", ("plate",))
_OF_ROPE = ("tie.ring", ("rope-seized", "rope-sliding"))
_UNPRICED = "no price stated"


@dataclass(frozen=True)
class TieStated:
    """``[tie]``. Lengths in m."""

    __pydantic_config__ = STRICT

    layout: Annotated[
        Literal["ring", "band", "cross"],
        Choice(
            means="how the tie runs: legs to a centre ring, a band round the plate from foot to "
            "foot, or straight across from hip to opposite hip",
            words=("ring", "band", "cross"),
            default="ring",
            why="legs to a ring reach every hip and leave the middle clear",
        ),
    ]
    height: Annotated[
        Height,
        TieHeight(means="the height of the tie bolts above the feet: Hc/Hr, or a length"),
    ]
    ring: Annotated[
        Literal["rope-seized", "rope-sliding", "welded", "plate"],
        Choice(
            means="what the centre ring is: a rope with its eyes seized in place, or one that "
            "slides through them, a welded ring of round bar, or a plate with a hole for each leg",
            words=("rope-seized", "rope-sliding", "welded", "plate"),
            default="rope-seized",
            why="eyes that are seized stay where they were set",
        ),
    ]
    ring_radius: Annotated[
        float,
        Quantity(
            means="the distance from the ring's centre to the crown of an eye on it",
            dimension="length",
            least="1 in",
            most="10 ft",
            default=None,
            why=_OF_A_RING,
        ),
    ]
    ring_ropes: Annotated[
        int | None,
        Count(
            means="how many ropes a ring of rope is made of; two are closed each by itself and "
            "lie side by side in every eye",
            least=1,
            most=2,
            default=1,
            why="one rope",
            goes_with=_OF_ROPE,
        ),
    ]
    ring_bar: Annotated[
        float | None,
        Quantity(
            means="the diameter of the round bar a welded ring is made of",
            dimension="length",
            least="1/4 in",
            most="1-1/2 in",
            default=None,
            why='required where ring = "welded"',
            goes_with=_WELDED,
        ),
    ]
    ring_steel: Annotated[
        str | None,
        Name(
            means="the steel of a welded ring or a plate",
            shelf="steel",
            default="ASTM A36",
            why="the least of the common structural steels",
            goes_with=("tie.ring", ("welded", "plate")),
        ),
    ]
    ring_weld: Annotated[
        Literal["complete-penetration", "not stated"] | None,
        Choice(
            means="how the ends of the bar of a welded ring are joined",
            words=("complete-penetration", "not stated"),
            default="not stated",
            why="nobody has said how the ring is closed",
            goes_with=_WELDED,
        ),
    ]
    plate_thickness: Annotated[
        float | None,
        Quantity(
            means="the thickness of the plate",
            dimension="length",
            least="1/8 in",
            most="1-1/2 in",
            default=None,
            why=_OF_A_PLATE,
            goes_with=_PLATE,
        ),
    ]
    plate_edge: Annotated[
        float | None,
        Quantity(
            means="the distance from the centre of a hole to the plate's edge, outwards along "
            "the leg",
            dimension="length",
            least="1/4 in",
            most="12 in",
            default=None,
            why=_OF_A_PLATE,
            goes_with=_PLATE,
        ),
    ]
    plate_hole: Annotated[
        float | Literal["close"] | None,
        Quantity(
            means="the diameter of the holes in the plate; close is 1/32 in over the pin of "
            "the shackle",
            dimension="length",
            least="1/8 in",
            most="3 in",
            words=("close",),
            default="close",
            why="1/32 in over the pin is the most that AISC 360 D5.2 lets a pin have that turns",
            goes_with=_PLATE,
        ),
    ]


@dataclass(frozen=True)
class Parts:
    """``[parts]``: names of catalogue rows."""

    __pydantic_config__ = STRICT

    rope: Annotated[str, Name(means="the rope of the legs: lay, finish and size", shelf="rope")]
    ring_rope: Annotated[
        str,
        Name(
            means="the rope of the centre ring: lay, finish and size",
            shelf="rope",
            default=None,
            why="required where the ring is of rope; nothing else has one",
        ),
    ]
    turnbuckle: Annotated[str, Name(means="the turnbuckle of each leg", shelf="turnbuckle")]
    bolt: Annotated[str, Name(means="the bolt through the plies that holds the eye", shelf="bolt")]
    thimble: Annotated[str, Name(means="the thimble in each eye of the legs", shelf="thimble")]
    sleeve: Annotated[str, Name(means="the sleeve that closes each eye", shelf="sleeve")]
    shackle: Annotated[
        str,
        Name(
            means="the shackle between bolt and eye of each leg: its bow on the bolt, its pin "
            "through the thimble; of a plate also that between plate and eye: its pin through "
            "the hole, its bow through the thimble",
            shelf="shackle",
            besides=("none",),
            default="none",
            why="the eye sits straight on the bolt",
        ),
    ]
    eye_spacers: Annotated[
        bool,
        Flag(
            means="whether washers hold the eye central between the plies",
            default=False,
            why="without spacers the eye leans on one ply, which is the harder case",
        ),
    ]


@dataclass(frozen=True)
class Pretension:
    """``[pretension]``. N."""

    __pydantic_config__ = STRICT

    target: Annotated[
        float | Literal["auto"],
        Quantity(
            means="the mean pull of the legs when they are set; 0 lb is snug; auto is the middle "
            "of the band that is found",
            dimension="force",
            least="0 lb",
            most="20 kip",
            words=("auto",),
            default="0 lb",
            why="snug: no slack, no pull",
        ),
    ]
    set_when: Annotated[
        Literal["propped", "standing"],
        Choice(
            means="how the roof stands while the legs are set: with the hub on its prop, or as "
            "it stood on its walls before there was a tie",
            words=("propped", "standing"),
            default="propped",
            why="the hub prop stays until every leg is locked",
        ),
    ]


@dataclass(frozen=True)
class Limits:
    """``[limits]``. m, N."""

    __pydantic_config__ = STRICT

    spread: Annotated[
        float,
        Quantity(
            means="how far a foot may move outwards under full load",
            dimension="length",
            least="0 in",
            most="12 in",
            above=True,
            default="1/4 in",
            why=_CUSTOM,
        ),
    ]
    ring_sag: Annotated[
        float,
        Quantity(
            means="how far the ring may sag below the bolts as the roof stands, its prop lowered",
            dimension="length",
            least="0 in",
            most="24 in",
            above=True,
            default="1/2 in",
            why=_CUSTOM,
        ),
    ]
    ring_shift: Annotated[
        float,
        Quantity(
            means="how far the ring may wander on plan under one-sided load",
            dimension="length",
            least="0 in",
            most="24 in",
            above=True,
            default="1/2 in",
            why=_CUSTOM,
        ),
    ]
    hand_pull: Annotated[
        float,
        Quantity(
            means="how hard one person on a ladder should have to pull",
            dimension="force",
            least="0 lb",
            most="500 lb",
            above=True,
            default="50 lb",
            why=_CUSTOM,
        ),
    ]


@dataclass(frozen=True)
class Site:
    """``[site]``."""

    __pydantic_config__ = STRICT

    wet_service: Annotated[
        bool,
        Flag(
            means="whether the timber's moisture is above 19 % for long in use",
            default=False,
            why="a roof over a room keeps its timber dry",
        ),
    ]
    pool: Annotated[bool, Flag(means="whether a pool is under the roof", default=False, why=_NONE)]
    timber_treatment: Annotated[
        Literal["none", "copper", "other"],
        Choice(
            means="what the timber is treated with against decay",
            words=("none", "copper", "other"),
            default="none",
            why=_NONE,
        ),
    ]


@dataclass(frozen=True)
class Prices:
    """``[prices]``."""

    __pydantic_config__ = STRICT

    currency: Annotated[
        str,
        Text(means="the currency of the prices", longest=12, default="USD", why="no price stated"),
    ]
    rope_by: Annotated[
        Literal["ft", "m"] | None,
        Choice(
            means="the length that the prices of rope are for",
            words=("ft", "m"),
            default=None,
            why="a foot where the job shows us, a metre where it shows si",
        ),
    ]
    rope: Annotated[
        float | None,
        Quantity(
            means="the price of that length of the legs' rope",
            dimension="number",
            least="0",
            most="100000",
            default=None,
            why=_UNPRICED,
        ),
    ]
    ring_rope: Annotated[
        float | None,
        Quantity(
            means="the price of that length of the ring's rope",
            dimension="number",
            least="0",
            most="100000",
            default=None,
            why=_UNPRICED,
        ),
    ]
    turnbuckle: Annotated[
        float | None,
        Quantity(
            means="the price of one turnbuckle",
            dimension="number",
            least="0",
            most="100000",
            default=None,
            why=_UNPRICED,
        ),
    ]
    bolt: Annotated[
        float | None,
        Quantity(
            means="the price of one bolt with its nut and washers",
            dimension="number",
            least="0",
            most="100000",
            default=None,
            why=_UNPRICED,
        ),
    ]
    thimble: Annotated[
        float | None,
        Quantity(
            means="the price of one thimble",
            dimension="number",
            least="0",
            most="100000",
            default=None,
            why=_UNPRICED,
        ),
    ]
    sleeve: Annotated[
        float | None,
        Quantity(
            means="the price of one sleeve",
            dimension="number",
            least="0",
            most="100000",
            default=None,
            why=_UNPRICED,
        ),
    ]
