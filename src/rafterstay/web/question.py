"""What a question of the page is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

__all__ = ["DEPARTMENT", "GROUPS", "SHOP", "TAPE", "YARD", "Kind", "Question"]

Kind = Literal[
    "text",
    "count",
    "length",
    "height",
    "force",
    "pressure",
    "snow",
    "roofing",
    "spacing",
    "hub",
    "walls",
    "choice",
    "flag",
]
TAPE: Final = "To tape on the frame"
DEPARTMENT: Final = "Building department"
YARD: Final = "Lumber yard"
SHOP: Final = "Rope shop"
_ANY_SHAPE: Final = ("polygon", "gable")
_ANY_LAYOUT: Final = ("ring", "band", "cross")
_ANY_RING: Final = ("rope-seized", "rope-sliding", "welded", "plate")


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
        shelf: What a choice is made from: a kind of the catalogue, ``species``, ``grade``, or
            ``words`` for the words the job file allows.
        shapes: Roofs it is asked for.
        layouts: Ties it is asked for.
        rings: Rings it is asked for.
        optional: Left empty, its key is left out, and the job file's own default is taken.
    """

    name: str
    label: str
    kind: Kind
    keys: tuple[str, ...]
    group: str
    where: str
    ask: str = ""
    shelf: str = ""
    shapes: tuple[str, ...] = _ANY_SHAPE
    layouts: tuple[str, ...] = _ANY_LAYOUT
    rings: tuple[str, ...] = _ANY_RING
    optional: bool = False

    def is_for(self, shape: str, layout: str, ring: str) -> bool:
        """Whether such a roof and tie have it."""
        return shape in self.shapes and layout in self.layouts and ring in self.rings


# Part of the roof, and its heading on the page.
GROUPS: Final = {
    "sheet": "The job",
    "plan": "Plan",
    "section": "Section",
    "hub": "Hub",
    "ridge": "Ridge",
    "roof": "Weight on the roof",
    "rafter": "Rafters",
    "leg": "Legs",
    "wall": "Walls",
    "ring": "Ring",
}
