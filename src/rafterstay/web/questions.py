"""What the page asks: fifteen answers, where each is found, and whom to ask for it."""

from __future__ import annotations

from typing import Final

from rafterstay.web.further import MORE
from rafterstay.web.question import DEPARTMENT, SHOP, TAPE, YARD, Question

__all__ = ["FIFTEEN", "QUESTIONS", "fifteen_of", "question_of", "questions_of"]

POLYGON: Final = ("polygon",)
GABLE: Final = ("gable",)

_ASKED: Final = (
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
        TAPE,
        shapes=POLYGON,
    ),
    Question(
        "across",
        "Across corners",
        "length",
        ("roof.plate_radius",),
        "plan",
        "Tape level between two opposite corners, where the hips' feet bear; with an odd number "
        "of sides, centre to corner, doubled.",
        TAPE,
        shapes=POLYGON,
    ),
    Question(
        "rise",
        "Rise (Hr)",
        "length",
        ("roof.rise",),
        "section",
        "Plumb from where the heads bear at the hub down to the height of the plate.",
        TAPE,
    ),
    Question(
        "height",
        "Height of the tie (Hc)",
        "height",
        ("tie.height",),
        "section",
        "Where the bolts go, above the plate: 1/3 of the rise, or a length. Lower pulls less.",
        TAPE,
    ),
    Question(
        "hub",
        "Hub",
        "hub",
        ("roof.hub", "roof.hub_radius", "roof.hub_width", "roof.hub_depth"),
        "hub",
        "Look up to where the heads meet: in one point, on a solid block (disc), or on a ring of "
        "beams with a hole in it.",
        TAPE,
        shapes=POLYGON,
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
        DEPARTMENT,
    ),
    Question(
        "dead",
        "Weight of the roof",
        "roofing",
        ("loads.dead",),
        "roof",
        "Pick the roofing by name, or write the weight the maker states with everything under it.",
        YARD,
    ),
    Question(
        "species",
        "Species",
        "choice",
        ("rafter.species",),
        "rafter",
        "Letters in the grade stamp on the plank: DF-L, HF, SPF or SP.",
        YARD,
        "species",
    ),
    Question(
        "grade",
        "Grade",
        "choice",
        ("rafter.grade",),
        "rafter",
        "The number in the same stamp.",
        YARD,
        "grade",
    ),
    Question(
        "ply",
        "Ply",
        "choice",
        ("rafter.ply",),
        "rafter",
        "Size one plank was sold as; a 2x10 tapes 1 1/2 by 9 1/4 in.",
        TAPE,
        "ply",
    ),
    Question(
        "plies",
        "Plies",
        "count",
        ("rafter.plies",),
        "rafter",
        "Count the planks side by side in one hip; the eye of a leg sits between two.",
        TAPE,
    ),
    Question(
        "gap",
        "Gap",
        "length",
        ("rafter.gap",),
        "rafter",
        "Tape the clear space between the two planks.",
        TAPE,
    ),
    Question(
        "rope",
        "Rope of the legs",
        "choice",
        ("parts.rope",),
        "leg",
        "On the reel's label: lay, finish and size. Thimble, sleeve and ring rope follow it.",
        SHOP,
        "rope",
    ),
    Question(
        "walls",
        "Walls",
        "walls",
        ("support.walls", "support.wall_stiffness"),
        "wall",
        "No help, unless an engineer has stated how stiff they are against the thrust.",
        DEPARTMENT,
    ),
)

_OF_A_GABLE: Final = (
    Question(
        "span",
        "Span",
        "length",
        ("roof.span",),
        "plan",
        "Tape level across the building, between where the two rafters of a pair bear.",
        TAPE,
        shapes=GABLE,
    ),
    Question(
        "length",
        "Length along the ridge",
        "length",
        ("roof.length",),
        "plan",
        "Tape along the plate from end wall to end wall.",
        TAPE,
        shapes=GABLE,
    ),
    Question(
        "spacing",
        "Spacing of the rafters",
        "spacing",
        ("roof.spacing", "roof.tie_every"),
        "plan",
        "Tape from middle to middle of two neighbours along the plate. With a tie at every "
        "second pair the plate carries the thrust of the pair between.",
        TAPE,
        shapes=GABLE,
    ),
    Question(
        "ridge",
        "Ridge",
        "choice",
        ("roof.ridge",),
        "ridge",
        "A board only lies between the heads; a beam stands on posts and carries them, and "
        "takes the thrust away.",
        TAPE,
        "words",
        shapes=GABLE,
    ),
)

QUESTIONS: Final = (*_ASKED, *_OF_A_GABLE, *MORE)
_BY_NAME: Final = {question.name: question for question in QUESTIONS}
_BY_KEY: Final = {key: question for question in QUESTIONS for key in question.keys}
# A gable has no sides, corners or hub; of its plies two stand at every tie.
FIFTEEN: Final = {
    "polygon": tuple(one.name for one in _ASKED),
    "gable": (
        "title",
        "span",
        "length",
        "spacing",
        "rise",
        "height",
        "ridge",
        "snow",
        "dead",
        "species",
        "grade",
        "ply",
        "gap",
        "rope",
        "walls",
    ),
}


def fifteen_of(shape: str) -> tuple[Question, ...]:
    """The fifteen questions a roof must have answered.

    Args:
        shape: ``polygon`` or ``gable``.

    Returns:
        In the order they are asked.

    >>> [len(fifteen_of(shape)) for shape in ("polygon", "gable")]
    [15, 15]
    """
    return tuple(_BY_NAME[name] for name in FIFTEEN.get(shape, FIFTEEN["polygon"]))


def questions_of(shape: str, layout: str, ring: str = "rope-seized") -> tuple[Question, ...]:
    """Every question such a roof and tie have: the fifteen first.

    Args:
        shape: ``polygon`` or ``gable``.
        layout: ``ring``, ``band`` or ``cross``.
        ring: What the centre ring is.

    Returns:
        Questions.
    """
    first = fifteen_of(shape)
    rest = (one for one in QUESTIONS if one not in first and one.is_for(shape, layout, ring))
    return (*first, *rest)


def question_of(key: str) -> Question | None:
    """The question a key of the job file belongs to.

    >>> question_of("roof.hub_radius").name, question_of("site.pool")
    ('hub', None)
    """
    return _BY_KEY.get(key)
