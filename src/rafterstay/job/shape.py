"""What the user states of the roof's shape and of how its rafters meet, in SI.

Each field's ``Key`` says what it means, its bounds, its default and whether it is served.
"""

# Annotations are read while a job is audited, so they are not postponed here.

from dataclasses import dataclass
from typing import Annotated, Literal

from rafterstay.job.keys import STRICT, Choice, Count, Quantity

__all__ = ["Roof"]

_NONE = "nothing of the kind was stated"
_NOT_STATED = "not stated; the check that needs it says so"
_OF_A_POLYGON = "required for a polygon, refused for a gable"
_OF_A_GABLE = "required for a gable, refused for a polygon"


@dataclass(frozen=True)
class Roof:
    """``[roof]``. Lengths in m, forces in N. Keys of the other shape are None."""

    __pydantic_config__ = STRICT

    shape: Annotated[
        Literal["polygon", "gable"],
        Choice(
            means="the shape of the roof: hips that meet at a hub, or pairs of common rafters "
            "that meet at a ridge",
            words=("polygon", "gable"),
            default="polygon",
            why="hips that meet at a hub are what a rope tie is for",
        ),
    ]
    sides: Annotated[
        int,
        Count(
            means="the number of sides, and of hips",
            least=3,
            most=64,
            default=None,
            why=_OF_A_POLYGON,
        ),
    ]
    plate_radius: Annotated[
        float,
        Quantity(
            means="the distance on plan from the centre to a corner of the plate, where the "
            "hip's foot bears",
            dimension="length",
            least="1 ft",
            most="60 ft",
            default=None,
            why=_OF_A_POLYGON,
        ),
    ]
    hub: Annotated[
        Literal["point", "disc", "ring"] | None,
        Choice(
            means="how the heads meet: in one point, pinned to a rigid disc, or on a closed ring "
            "of beams",
            words=("point", "disc", "ring"),
            default=None,
            why=_OF_A_POLYGON,
        ),
    ]
    hub_radius: Annotated[
        float,
        Quantity(
            means="the distance on plan from the centre to a head's bearing; 0 for a point",
            dimension="length",
            least="0 in",
            most="20 ft",
            default="0 in",
            why="the heads meet in a point",
        ),
    ]
    heads: Annotated[
        Literal["pinned", "bearing"],
        Choice(
            means="how the heads meet a disc or ring: bearing over their full depth, so that "
            "one-sided load can pass off centre, or pinned",
            words=("pinned", "bearing"),
            default="bearing",
            why="heads cut to the hub bear on their full depth; see docs/theory/hub.md",
        ),
    ]
    rise: Annotated[
        float,
        Quantity(
            means="the height from the foot's bearing centre up to the head's bearing centre",
            dimension="length",
            least="0 in",
            most="60 ft",
            above=True,
        ),
    ]
    infill: Annotated[
        Literal["purlins", "jacks"],
        Choice(
            means="what carries the roof between hips: purlins bring all load to the hips; jacks "
            "run from plate to hip, or to a hub of some size, and share it between the two",
            words=("purlins", "jacks"),
            default="purlins",
            why="all load on the hips bends them more; the thrust is the same",
        ),
    ]
    bracing: Annotated[
        Literal["deck", "none"] | None,
        Choice(
            means="what holds the hips sideways; rafters of a gable stand under a deck",
            words=("deck", "none"),
            default=None,
            why="required for a polygon",
        ),
    ]
    overhang: Annotated[
        float,
        Quantity(
            means="the overhang past the plate, on plan",
            dimension="length",
            least="0 in",
            most="10 ft",
            default="0 in",
            why=_NONE,
        ),
    ]
    hub_width: Annotated[
        float | None,
        Quantity(
            means="the width of the hub ring's beam, on plan",
            dimension="length",
            least="1/2 in",
            most="24 in",
            default=None,
            why='required where hub = "ring", refused elsewhere',
        ),
    ]
    hub_depth: Annotated[
        float | None,
        Quantity(
            means="the depth of the hub ring's beam, vertically",
            dimension="length",
            least="1/2 in",
            most="24 in",
            default=None,
            why='required where hub = "ring", refused elsewhere',
        ),
    ]
    hub_joints: Annotated[
        Literal["rigid", "pinned"],
        Choice(
            means="how the beams of a hub ring meet; pinned is refused with the reason",
            words=("rigid", "pinned"),
            default="rigid",
            why="a closed ring of beams must be stiff at its joints",
        ),
    ]
    hub_shear_allowable: Annotated[
        float,
        Quantity(
            means="the shear a head's joint to the hub may carry: allowable stress, normal "
            "duration, per head",
            dimension="force",
            least="0 lb",
            most="100 kip",
            default="0 lb",
            why=_NOT_STATED,
        ),
    ]
    hub_tension_allowable: Annotated[
        float,
        Quantity(
            means="the pull a head's joint to the hub may carry: allowable stress, normal "
            "duration, per head",
            dimension="force",
            least="0 lb",
            most="100 kip",
            default="0 lb",
            why=_NOT_STATED,
        ),
    ]
    span: Annotated[
        float,
        Quantity(
            means="the span of a gable, foot's bearing centre to foot's bearing centre",
            dimension="length",
            least="2 ft",
            most="120 ft",
            default=None,
            why=_OF_A_GABLE,
        ),
    ]
    length: Annotated[
        float,
        Quantity(
            means="the length of a gable along its ridge",
            dimension="length",
            least="2 ft",
            most="400 ft",
            default=None,
            why=_OF_A_GABLE,
        ),
    ]
    spacing: Annotated[
        float,
        Quantity(
            means="the spacing of a gable's rafters, centre to centre",
            dimension="length",
            least="6 in",
            most="12 ft",
            default=None,
            why=_OF_A_GABLE,
        ),
    ]
    tie_every: Annotated[
        int,
        Count(
            means="one tie to how many pairs of rafters; the plate carries the thrust of the "
            "pairs between to the tied ones",
            least=1,
            most=20,
            default=None,
            why=_OF_A_GABLE,
        ),
    ]
    ridge: Annotated[
        Literal["board", "beam"] | None,
        Choice(
            means="what stands at a gable's ridge: a board only lies between the heads, a beam "
            "on posts carries them",
            words=("board", "beam"),
            default=None,
            why=_OF_A_GABLE,
        ),
    ]
