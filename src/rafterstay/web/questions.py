"""What the page asks: fifteen answers, where each is found, and whom to ask for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

__all__ = ["FIFTEEN", "GROUPS", "MORE", "QUESTIONS", "Kind", "Question", "question_of"]

Kind = Literal[
    "text", "count", "length", "height", "snow", "roofing", "hub", "walls", "choice", "flag"
]


@dataclass(frozen=True)
class Question:
    """One thing the page asks.

    Attributes:
        name: Of its form field.
        label: In the trade's words.
        kind: How it is written and read.
        keys: Keys of the job file it answers; the first is the one shown.
        group: Part of the roof it belongs to, as ``GROUPS`` lists them.
        where: One line: where the answer is found.
        ask: Whom to ask who does not know it; empty where one measures or chooses oneself.
        shelf: What a choice is made from: a kind of the catalogue, or ``species``, ``grade``.
    """

    name: str
    label: str
    kind: Kind
    keys: tuple[str, ...]
    group: str
    where: str
    ask: str = ""
    shelf: str = ""


_TAPE: Final = "To tape on the frame"
_DEPARTMENT: Final = "Building department"
_YARD: Final = "Lumber yard"
_SHOP: Final = "Rope shop"

# Part of the roof, and its heading on the page.
GROUPS: Final = {
    "sheet": "The job",
    "plan": "Plan",
    "section": "Section",
    "hub": "Hub",
    "roof": "Weight on the roof",
    "rafter": "Rafters",
    "leg": "Legs",
    "wall": "Walls",
    "ring": "Ring",
}

FIFTEEN: Final = (
    Question(
        "title",
        "Title",
        "text",
        ("job.title",),
        "sheet",
        "What you call the building; it stands on every sheet.",
    ),
    Question(
        "sides",
        "Sides",
        "count",
        ("roof.sides",),
        "plan",
        "Count the corners of the plate, which is the number of hips.",
        _TAPE,
    ),
    Question(
        "across",
        "Across corners",
        "length",
        ("roof.plate_radius",),
        "plan",
        "Tape level between two opposite corners, where the hips' feet bear; with an odd number "
        "of sides, centre to corner, doubled.",
        _TAPE,
    ),
    Question(
        "rise",
        "Rise (Hr)",
        "length",
        ("roof.rise",),
        "section",
        "Plumb from where the heads bear at the hub down to the height of the plate.",
        _TAPE,
    ),
    Question(
        "height",
        "Height of the tie (Hc)",
        "height",
        ("tie.height",),
        "section",
        "Where the bolts go, above the plate: 1/3 of the rise, or a length. Lower pulls less.",
        _TAPE,
    ),
    Question(
        "hub",
        "Hub",
        "hub",
        ("roof.hub", "roof.hub_radius", "roof.hub_width", "roof.hub_depth"),
        "hub",
        "Look up to where the heads meet: in one point, on a solid block (disc), or on a ring of "
        "beams with a hole in it.",
        _TAPE,
    ),
    Question(
        "snow",
        "Snow",
        "snow",
        (
            "loads.snow.roof",
            "loads.snow.ground",
            "loads.snow.exposure",
            "loads.snow.thermal",
            "loads.snow.importance",
            "loads.snow.slippery",
            "loads.snow.level",
        ),
        "roof",
        "The building department states it for your site; ask whether its figure is for the roof "
        "or for the ground.",
        _DEPARTMENT,
    ),
    Question(
        "dead",
        "Weight of the roof",
        "roofing",
        ("loads.dead",),
        "roof",
        "Pick the roofing by name, or write the weight the maker states with everything under it.",
        _YARD,
    ),
    Question(
        "species",
        "Species",
        "choice",
        ("rafter.species",),
        "rafter",
        "Letters in the grade stamp on the plank: DF-L, HF, SPF or SP.",
        _YARD,
        "species",
    ),
    Question(
        "grade",
        "Grade",
        "choice",
        ("rafter.grade",),
        "rafter",
        "The number in the same stamp.",
        _YARD,
        "grade",
    ),
    Question(
        "ply",
        "Ply",
        "choice",
        ("rafter.ply",),
        "rafter",
        "Size one plank was sold as; a 2x10 tapes 1 1/2 by 9 1/4 in.",
        _TAPE,
        "ply",
    ),
    Question(
        "plies",
        "Plies",
        "count",
        ("rafter.plies",),
        "rafter",
        "Count the planks side by side in one hip; the eye of a leg sits between two.",
        _TAPE,
    ),
    Question(
        "gap",
        "Gap",
        "length",
        ("rafter.gap",),
        "rafter",
        "Tape the clear space between the two planks.",
        _TAPE,
    ),
    Question(
        "rope",
        "Rope of the legs",
        "choice",
        ("parts.rope",),
        "leg",
        "On the reel's label: lay, finish and size. Thimble, sleeve and ring rope follow it.",
        _SHOP,
        "rope",
    ),
    Question(
        "walls",
        "Walls",
        "walls",
        ("support.walls", "support.wall_stiffness"),
        "wall",
        "No help, unless an engineer has stated how stiff they are against the thrust.",
        _DEPARTMENT,
    ),
)

# What belongs to a part beyond the fifteen: shown when the part is touched.
MORE: Final = (
    Question(
        "ring_radius",
        "Radius of the ring",
        "length",
        ("tie.ring_radius",),
        "ring",
        "From the middle of the ring to the crown of an eye on it.",
    ),
    Question(
        "ring_rope",
        "Rope of the ring",
        "choice",
        ("parts.ring_rope",),
        "ring",
        "It pulls harder than a leg where there are more than six, so it is thicker.",
        _SHOP,
        "rope",
    ),
    Question(
        "turnbuckle",
        "Turnbuckle",
        "choice",
        ("parts.turnbuckle",),
        "leg",
        "Ends, thread and take-up are cast or stamped on the body.",
        _SHOP,
        "turnbuckle",
    ),
    Question(
        "bolt",
        "Bolt",
        "choice",
        ("parts.bolt",),
        "leg",
        "Through both plies and the eye between them.",
        _SHOP,
        "bolt",
    ),
    Question(
        "thimble",
        "Thimble",
        "choice",
        ("parts.thimble",),
        "leg",
        "One in each eye, of the rope's size.",
        _SHOP,
        "thimble",
    ),
    Question(
        "sleeve",
        "Sleeve",
        "choice",
        ("parts.sleeve",),
        "leg",
        "One on each eye, of the rope's size and for its metal.",
        _SHOP,
        "sleeve",
    ),
    Question(
        "spacers",
        "Spacers beside the eye",
        "flag",
        ("parts.eye_spacers",),
        "leg",
        "Washers that hold the eye in the middle between the plies: the bolt bends less.",
    ),
)

QUESTIONS: Final = (*FIFTEEN, *MORE)
_BY_KEY: Final = {key: question for question in QUESTIONS for key in question.keys}


def question_of(key: str) -> Question | None:
    """The question a key of the job file belongs to.

    >>> question_of("roof.hub_radius").name, question_of("site.pool")
    ('hub', None)
    """
    return _BY_KEY.get(key)
