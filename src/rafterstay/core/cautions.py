"""The cautions that stand on every output, numbered once so that all pages agree."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["CAUTIONS", "Caution", "Output", "cautions_for"]

Output = Literal["survey", "check", "plan", "make", "raise", "tune", "upkeep"]


@dataclass(frozen=True)
class Caution:
    """One caution.

    Attributes:
        number: Never reused; a page may print a selection, the numbers stay.
        text: What the reader must know.
        outputs: The outputs whose reader needs it.
    """

    number: int
    text: str
    outputs: frozenset[Output]


def _caution(number: int, text: str, *outputs: Output) -> Caution:
    return Caution(number, text, frozenset(outputs))


CAUTIONS: tuple[Caution, ...] = (
    _caution(
        1,
        "This is not an engineer's approval. The local code and the building official decide. "
        "A tie above the lower third of the rise, or a span, snow load or shape outside the "
        "prescriptive tables, needs a licensed engineer: the working is printed for that check.",
        "survey",
        "check",
        "plan",
        "make",
    ),
    _caution(
        2,
        "A rope can only pull. Wind uplift, the hub's joints, the bracing of the walls and the "
        "hold-downs are separate work.",
        "check",
        "plan",
    ),
    _caution(
        3,
        "The breaking strength of the rope is not the strength of the tie. Go by the weakest part.",
        "check",
        "plan",
        "make",
    ),
    _caution(
        4,
        "Keep the hub prop in, and keep load off the roof, until every leg is pinned, tensioned, "
        "locked and written down.",
        "check",
        "plan",
        "raise",
    ),
    _caution(
        5,
        "Stand out of line of a rope that is pulling. Put a guard over a proof pull. Never cut a "
        "rope that is under tension. Wear eye protection when cutting.",
        "make",
        "raise",
        "tune",
    ),
    _caution(
        6,
        "A pipe over a handle can break the tool. Use a bench tool or a hydraulic one, or have a "
        "rigging shop make the legs.",
        "make",
    ),
    _caution(
        7,
        "No U-bolt clips in permanent legs. No hooks and no open eyes. Lock every turnbuckle.",
        "check",
        "plan",
        "make",
        "raise",
    ),
    _caution(
        8,
        "A sleeve holds only if it suits the rope, was pressed by the right tool, got every press "
        "in the right order, shows its tail and passes the gauge. One no: cut it off and make "
        "another.",
        "make",
    ),
    _caution(
        9,
        "Tie the ladder, keep your hips between its rails and do not heave sideways. Work that "
        "takes two hands takes a platform.",
        "survey",
        "raise",
        "tune",
    ),
    _caution(
        10,
        "Never pull a wall past plumb. Go in small steps, opposite legs together.",
        "survey",
        "raise",
        "tune",
    ),
    _caution(
        11,
        "No heat on rope. No stainless rope over a pool. Zinc beside treated timber needs the "
        "notes on durability.",
        "check",
        "make",
        "upkeep",
    ),
    _caution(
        12,
        "Hang nothing from the legs or the ring. After deep or one-sided snow, high wind, an "
        "earthquake, or when a leg feels slack by hand: inspect before the room is used.",
        "check",
        "plan",
        "upkeep",
    ),
    _caution(
        13,
        "Every reading has its plus and minus. Let two methods agree before a large turn.",
        "survey",
        "tune",
        "upkeep",
    ),
    _caution(14, "Bare steel has no fire rating.", "check", "upkeep"),
    _caution(
        15,
        "Never turn a body while snow lies on the roof or where its thread cannot be seen. Never "
        "lower the hub prop in one go: use a screw jack, read the spread at each step, keep "
        "everybody out from underneath.",
        "check",
        "raise",
        "tune",
        "upkeep",
    ),
    _caution(
        16,
        'If the walls "give no help" and the roof stands today, something else holds it. Find out '
        "what before anything is taken away.",
        "check",
        "raise",
    ),
)


def cautions_for(output: Output) -> tuple[Caution, ...]:
    """Cautions a reader of one output needs, in order of number.

    Args:
        output: Which output is being written.

    Returns:
        At least one caution.

    >>> [caution.number for caution in cautions_for("plan")]
    [1, 2, 3, 4, 7, 12]
    """
    return tuple(caution for caution in CAUTIONS if output in caution.outputs)
