"""What the user states of the roof, its walls, its loads and its hips, in SI.

Each field's ``Key`` says what it means, its bounds, its default and whether it is served.
"""

# Annotations are read while a job is audited, so they are not postponed here.

from dataclasses import dataclass
from typing import Annotated, Literal

from rafterstay.job.keys import STRICT, Choice, Count, Flag, Name, Pair, Quantity, Text

__all__ = ["Heading", "Loads", "Rafter", "Snow", "Support", "Wind"]

_CUSTOM = "common practice, no source"
_NONE = "nothing of the kind was stated"
_CONTINUOUS = 'required where plate = "continuous", refused elsewhere'
_NOT_STATED = "not stated; the check that needs it says so"


@dataclass(frozen=True)
class Heading:
    """``[job]``."""

    __pydantic_config__ = STRICT

    title: Annotated[
        str,
        Text(means="a name for the job", longest=120, default="Untitled", why="no title stated"),
    ]
    show: Annotated[
        Literal["us", "si"],
        Choice(
            means="the units of the answers",
            words=("us", "si"),
            default="us",
            why="the tables for rope and timber are in US units",
        ),
    ]


@dataclass(frozen=True)
class Support:
    """``[support]``."""

    __pydantic_config__ = STRICT

    walls: Annotated[
        Literal["no help", "stiff"],
        Choice(
            means="whether the walls help to hold the thrust",
            words=("no help", "stiff"),
            default="no help",
            why="walls that are not shown to hold the thrust are not counted on",
        ),
    ]
    wall_stiffness: Annotated[
        tuple[float, float] | None,
        Pair(
            means="how stiff the walls are against the thrust at each hip's foot, least and most",
            dimension="stiffness",
            least="0 lb/in",
            most="1000 kip/in",
            above=True,
            default=None,
            why='required where walls = "stiff", refused elsewhere',
        ),
    ]
    plate: Annotated[
        Literal["jointed", "continuous"],
        Choice(
            means="whether the plate pieces carry pull past the corners of a many-sided roof",
            words=("jointed", "continuous"),
            default="jointed",
            why="a plate joint that is not shown to carry pull is not counted on",
        ),
    ]
    plate_ply: Annotated[
        str | None,
        Name(
            means="the size of one ply of the plate, laid flat, of the rafters' species and grade",
            shelf="ply",
            default=None,
            why=_NOT_STATED,
        ),
    ]
    plate_plies: Annotated[
        int | None,
        Count(
            means="the plies of the plate that bend sideways together",
            least=1,
            most=3,
            default=None,
            why="required with `plate_ply`, refused without it",
        ),
    ]
    holddown_allowable: Annotated[
        float,
        Quantity(
            means="the uplift a foot's joint to the wall may carry: allowable stress, normal "
            "duration",
            dimension="force",
            least="0 lb",
            most="100 kip",
            default="0 lb",
            why=_NOT_STATED,
        ),
    ]
    joint_capacity: Annotated[
        float | None,
        Quantity(
            means="the pull a joint of a continuous plate may carry: allowable stress, normal "
            "duration",
            dimension="force",
            least="0 lb",
            most="100 kip",
            above=True,
            default=None,
            why=_CONTINUOUS,
        ),
    ]
    joint_slip: Annotated[
        tuple[float, float] | None,
        Pair(
            means="how far a joint of a continuous plate opens under that pull, least and most",
            dimension="length",
            least="0 in",
            most="1 in",
            above=True,
            default=None,
            why=_CONTINUOUS,
        ),
    ]

    @property
    def help_stated(self) -> bool:
        """Whether anything beside the tie is counted on, within a range, to hold the feet."""
        return self.wall_stiffness is not None or self.plate == "continuous"


_WITH_GROUND = "required with `ground`, refused without it"
_WITH_SPEED = "required with `speed`, refused without it"


@dataclass(frozen=True)
class Snow:
    """``loads.snow``: ``roof`` alone, or ``ground`` with all that follows it. Pa."""

    __pydantic_config__ = STRICT

    roof: Annotated[
        float | None,
        Quantity(
            means="the snow on the roof as it lies on plan, in place of `ground`",
            dimension="pressure",
            least="0 psf",
            most="400 psf",
            default=None,
            why="required where `ground` is not stated, refused where it is",
        ),
    ]
    ground: Annotated[
        float | None,
        Quantity(
            means="the ground snow of the site, in place of `roof`",
            dimension="pressure",
            least="0 psf",
            most="400 psf",
            default=None,
            why="required where `roof` is not stated, refused where it is",
        ),
    ]
    exposure: Annotated[
        Literal[
            "B fully exposed",
            "B partially exposed",
            "B sheltered",
            "C fully exposed",
            "C partially exposed",
            "C sheltered",
            "D fully exposed",
            "D partially exposed",
            "D sheltered",
            "above treeline fully exposed",
            "above treeline partially exposed",
        ]
        | None,
        Choice(
            means="the terrain (B built up or wooded, C open, D flat beside water, above the "
            "treeline) and how the roof stands in it: no shelter, some, or close among taller "
            "trees or houses",
            words=(
                "B fully exposed",
                "B partially exposed",
                "B sheltered",
                "C fully exposed",
                "C partially exposed",
                "C sheltered",
                "D fully exposed",
                "D partially exposed",
                "D sheltered",
                "above treeline fully exposed",
                "above treeline partially exposed",
            ),
            default=None,
            why=_WITH_GROUND,
        ),
    ]
    thermal: Annotated[
        Literal["heated", "cold ventilated", "unheated", "freezer"] | None,
        Choice(
            means="how warm the roof is kept: heated below it, heated with a well insulated "
            "and ventilated roof, unheated or open, or a freezer",
            words=("heated", "cold ventilated", "unheated", "freezer"),
            default=None,
            why=_WITH_GROUND,
        ),
    ]
    importance: Annotated[
        Literal["I", "II", "III", "IV"] | None,
        Choice(
            means="the risk category of the building; a dwelling is II",
            words=("I", "II", "III", "IV"),
            default=None,
            why=_WITH_GROUND,
        ),
    ]
    slippery: Annotated[
        bool | None,
        Flag(
            means="whether snow slides off: a slippery surface with nothing to stop it and, "
            "over a heated room, insulated as the standard asks",
            default=None,
            why=_WITH_GROUND,
        ),
    ]
    level: Annotated[
        Literal["service", "strength"] | None,
        Choice(
            means="the level the ground snow is given at: service for maps up to 2016, "
            "strength for those of 2022",
            words=("service", "strength"),
            default=None,
            why=_WITH_GROUND,
        ),
    ]


@dataclass(frozen=True)
class Wind:
    """``loads.wind``. Pa, m/s, m."""

    __pydantic_config__ = STRICT

    uplift: Annotated[
        float,
        Quantity(
            means="the net wind uplift, square to the roof, strength level",
            dimension="pressure",
            least="0 psf",
            most="400 psf",
            default="0 psf",
            why=_NONE,
        ),
    ]
    speed: Annotated[
        float | None,
        Quantity(
            means="the basic wind speed of the site, strength level; for a gable only",
            dimension="speed",
            least="50 mph",
            most="250 mph",
            default=None,
            why="refused for a polygon, which needs `uplift`",
        ),
    ]
    exposure: Annotated[
        Literal["B", "C", "D"] | None,
        Choice(
            means="the terrain upwind: B built up or wooded, C open, D beside water",
            words=("B", "C", "D"),
            default=None,
            why=_WITH_SPEED,
        ),
    ]
    enclosure: Annotated[
        Literal["enclosed", "partially enclosed"] | None,
        Choice(
            means="how open the building is to the wind",
            words=("enclosed", "partially enclosed"),
            default=None,
            why=_WITH_SPEED,
        ),
    ]
    height: Annotated[
        float | None,
        Quantity(
            means="the mean height of the roof above the ground",
            dimension="length",
            least="5 ft",
            most="60 ft",
            default=None,
            why=_WITH_SPEED,
        ),
    ]


@dataclass(frozen=True)
class Loads:
    """``[loads]``. Pa, K, m."""

    __pydantic_config__ = STRICT

    basis: Annotated[
        Literal["us-asd-2016"],
        Choice(
            means="the rules for combining loads",
            words=("us-asd-2016",),
            default="us-asd-2016",
            why="the basis that is served",
        ),
    ]
    dead: Annotated[
        float,
        Quantity(
            means="the weight of the roof per area of its sloping plane, hips included",
            dimension="pressure",
            least="0 psf",
            most="200 psf",
        ),
    ]
    snow: Snow
    roof_live: Annotated[
        float,
        Quantity(
            means="the roof live load on plan, before it is reduced for area and slope",
            dimension="pressure",
            least="0 psf",
            most="100 psf",
            default="0 psf",
            why=_NONE,
        ),
    ]
    wind: Wind
    set_temperature: Annotated[
        float,
        Quantity(
            means="the temperature of the frame while the legs are set",
            dimension="temperature",
            least="-60 degF",
            most="150 degF",
            default="60 degF",
            why=_CUSTOM,
        ),
    ]
    coldest: Annotated[
        float,
        Quantity(
            means="the coldest the frame and the rope get",
            dimension="temperature",
            least="-60 degF",
            most="150 degF",
            same_as="set_temperature",
            proviso="only the set temperature",
            default="60 degF",
            why="no change of temperature was stated",
        ),
    ]
    warmest: Annotated[
        float,
        Quantity(
            means="the warmest the frame and the rope get",
            dimension="temperature",
            least="-60 degF",
            most="150 degF",
            same_as="set_temperature",
            proviso="only the set temperature",
            default="60 degF",
            why="no change of temperature was stated",
        ),
    ]
    drying: Annotated[
        float,
        Quantity(
            means="the length each leg's path loses as the frame dries",
            dimension="length",
            least="0 in",
            most="2 in",
            default="0 in",
            why=_NONE,
        ),
    ]


@dataclass(frozen=True)
class Rafter:
    """``[rafter]``. Lengths in m."""

    __pydantic_config__ = STRICT

    species: Annotated[str, Name(means="the species the hips are graded as")]
    grade: Annotated[str, Name(means="the grade stamped on the hips")]
    ply: Annotated[str, Name(means="the size of one ply of a hip", shelf="ply")]
    plies: Annotated[
        int,
        Count(
            means="the plies of a hip; the eye lies between two",
            least=1,
            most=4,
            default=2,
            why="the eye lies between two plies",
        ),
    ]
    gap: Annotated[
        float,
        Quantity(
            means="the clear distance between the plies",
            dimension="length",
            least="0 in",
            most="6 in",
            above=True,
        ),
    ]
    block_spacing: Annotated[
        float,
        Quantity(
            means="the spacing along the hip of the blocks between its plies",
            dimension="length",
            least="3 in",
            most="20 ft",
            default="2 ft",
            why=_CUSTOM,
        ),
    ]
    brace_spacing: Annotated[
        float,
        Quantity(
            means="the spacing along the hip of what holds it sideways",
            dimension="length",
            least="3 in",
            most="40 ft",
            default="2 ft",
            why=_CUSTOM,
        ),
    ]
    tail: Annotated[
        float,
        Quantity(
            means="the length of the hip along its axis beyond the foot's bearing centre",
            dimension="length",
            least="0 in",
            most="10 ft",
            default="0 in",
            why=_NOT_STATED,
        ),
    ]
    seat: Annotated[
        float,
        Quantity(
            means="how long each ply of the foot bears on the plate, on plan along the hip",
            dimension="length",
            least="1 1/2 in",
            most="12 in",
            default="1 1/2 in",
            why="the least a rafter may bear on wood, IRC 2021 R802.6",
        ),
    ]
    end_fixity: Annotated[
        Literal["none", "a", "b"],
        Choice(
            means="whether split rings or shear plates tie the plies at their end blocks: a "
            "within 1/20 of the hip's length from its end, b within 1/10, none",
            words=("none", "a", "b"),
            default="none",
            why="nails and bolts do not make two plies one column",
        ),
    ]
