"""Takes named points and readings, gives the frame as it stands; next: roof.

``plan`` lists the readings to take, ``adjust`` settles them, ``find_centre`` says where the
ring goes and how long the legs are, ``compare`` which foot is out of place. Nothing here knows
a roof.
"""

from rafterstay.survey.adjust import adjust, require_rigid, rigid
from rafterstay.survey.centre import find_centre
from rafterstay.survey.nouns import (
    AsBuilt,
    Blunder,
    Leg,
    Legs,
    Plan,
    Planned,
    Point,
    Reading,
    Rigidity,
    Standing,
)
from rafterstay.survey.plan import form, plan
from rafterstay.survey.readings import parse, read
from rafterstay.survey.standing import compare

__all__ = [
    "AsBuilt",
    "Blunder",
    "Leg",
    "Legs",
    "Plan",
    "Planned",
    "Point",
    "Reading",
    "Rigidity",
    "Standing",
    "adjust",
    "compare",
    "find_centre",
    "form",
    "parse",
    "plan",
    "read",
    "require_rigid",
    "rigid",
]
