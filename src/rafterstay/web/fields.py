"""How a question's answer is written in a form, and what it states in the job file."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from rafterstay import catalog
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import System, parse, show
from rafterstay.job.keys import Choice, Key
from rafterstay.job.nouns import keys
from rafterstay.web.question import Question
from rafterstay.web.roofing import roofings

__all__ = [
    "Stated",
    "choices",
    "follow",
    "form_names",
    "names_for",
    "snow_choices",
    "stated",
    "written",
]

# Values to put into the job file by key; None leaves the key out.
Stated = dict[str, str | int | bool | list[str] | None]

_FINISHES: Final = (" galvanized ", " stainless ", " bright ")
_EXTRA: Final = {
    "hub": ("hub", "hub_radius", "hub_width", "hub_depth"),
    "spacing": ("spacing", "tie_every"),
    "walls": ("walls", "walls_least", "walls_most"),
    "roofing": ("dead", "roofing"),
    "snow": ("snow", "snow_on", "exposure", "thermal", "importance", "slippery", "level"),
}


def form_names(question: Question) -> tuple[str, ...]:
    """Names of the form fields a question has."""
    return _EXTRA.get(question.kind, (question.name,))


def written(question: Question, tree: Mapping[str, Any], system: System) -> dict[str, str]:
    """The answer in a job file as the form shows it.

    Args:
        question: Any.
        tree: The parsed job file.
        system: Units to show.

    Returns:
        Text of each form field, by its name.
    """
    values = [_at(tree, key) for key in question.keys]
    first = _plain(values[0])
    if question.kind == "hub":
        return dict(zip(form_names(question), [_plain(value) for value in values], strict=True))
    if question.kind == "walls":
        pair = values[1] if isinstance(values[1], list) and len(values[1]) == 2 else ("", "")
        return {"walls": first or "no help", "walls_least": pair[0], "walls_most": pair[1]}
    if question.kind == "roofing":
        return {"dead": _shown(first, "pressure", system), "roofing": ""}
    if question.kind == "snow":
        plain = [_plain(value) for value in values]
        ground = values[1] is not None
        depth = _shown(plain[1] if ground else first, "pressure", system)
        said = [depth, "the ground" if ground else "the roof", *plain[2:]]
        return dict(zip(form_names(question), said, strict=True))
    if question.name == "across":
        return {"across": _doubled(first, system)}
    if not first:
        first = _usual(question.keys[0])
    if question.kind == "spacing":
        return {"spacing": _shown(first, "length", system), "tie_every": _plain(values[1])}
    if question.kind in ("length", "force", "pressure"):
        return {question.name: _shown(first, question.kind, system)}
    return {question.name: first}


def stated(question: Question, form: Mapping[str, str], system: System) -> Stated:
    """What a filled-in form states.

    Args:
        question: Any.
        form: Text of its form fields.
        system: Units a weight by name is written in.

    Returns:
        Values by key of the job file.

    Raises:
        InputError: The text cannot be put into the job file at all.
    """
    text = {name: form.get(name, "").strip() for name in form_names(question)}
    first = text[question.name]
    key = question.keys[0]
    if question.optional and not first:
        return {key: None}
    if question.kind == "hub":
        return _hub(text)
    if question.kind == "spacing":
        return {key: first, question.keys[1]: _counted(text["tie_every"])}
    if question.kind == "walls":
        pair = [text["walls_least"], text["walls_most"]]
        return {key: first, question.keys[1]: pair if first == "stiff" else None}
    if question.kind == "roofing":
        named = {one.name: one.stated(system) for one in roofings()}
        return {key: named.get(text["roofing"], first)}
    if question.kind == "snow":
        return _snow(question, text)
    if question.kind == "count":
        return {key: _counted(first)}
    if question.kind == "flag":
        return {key: first == "yes"}
    if question.name == "across":
        return {key: _halved(first)}
    return {key: first}


_RINGS: Final = ("rope-seized", "rope-sliding", "welded", "plate")


def follow(question: Question, answer: Stated, tree: Mapping[str, Any]) -> Stated:
    """What goes with an answer.

    Thimble, sleeve and ring rope follow the rope of the legs; a band lies on the plate; legs
    that meet in mid-air need a ring, and get one of the usual size (common practice, no source).
    Another kind of ring takes its own keys along and leaves those of the last one behind.

    Args:
        question: What was answered.
        answer: Values by key.
        tree: The parsed job file before it.

    Returns:
        Values by key; a part that the catalogue does not have in that size stays as it was.
    """
    ring = answer.get("tie.ring")
    if ring in _RINGS:
        return _of_ring(str(ring), tree)
    layout = answer.get("tie.layout")
    if layout == "band":
        return {"tie.height": "0"}
    if layout == "ring" and not _at(tree, "tie.ring_radius"):
        leg = str(_at(tree, "parts.rope"))
        rope = _at(tree, "parts.ring_rope") or _next_size(leg, _size_of(leg))
        of_rope = str(_at(tree, "tie.ring") or "rope").startswith("rope")
        begun: Stated = {"tie.ring_radius": "6 in"}
        return begun | {"parts.ring_rope": rope} if of_rope else begun
    rope = answer.get("parts.rope")
    if question.name != "rope" or not isinstance(rope, str) or rope not in choices("rope"):
        return {}
    size = _size_of(rope)
    found: Stated = {}
    if f"heavy {size}" in choices("thimble"):
        found["parts.thimble"] = f"heavy {size}"
    if f"copper oval {size}" in choices("sleeve"):
        found["parts.sleeve"] = f"copper oval {size}"
    if _at(tree, "parts.ring_rope"):
        found["parts.ring_rope"] = _next_size(rope, size)
    return found


def _of_ring(ring: str, tree: Mapping[str, Any]) -> Stated:
    """What goes with a kind of ring; sizes to begin with are common practice, no source."""
    leg = str(_at(tree, "parts.rope"))
    of_rope = ring.startswith("rope")
    begin: dict[str, tuple[bool, Any]] = {
        "parts.ring_rope": (of_rope, _next_size(leg, _size_of(leg))),
        "tie.ring_ropes": (of_rope, None),
        "tie.ring_bar": (ring == "welded", "3/4 in"),
        "tie.ring_weld": (ring == "welded", None),
        "tie.plate_thickness": (ring == "plate", "3/8 in"),
        "tie.plate_edge": (ring == "plate", "1 1/4 in"),
        "tie.plate_hole": (ring == "plate", None),
        "tie.ring_steel": (not of_rope, None),
    }
    found: Stated = {
        key: (_at(tree, key) or first) if goes else None for key, (goes, first) in begin.items()
    }
    if ring == "plate" and _at(tree, "parts.shackle") in (None, "none"):
        found["parts.shackle"] = "anchor 3/8 in"
    return found


def _size_of(rope: str) -> str:
    """The end of a rope's name, after its finish."""
    return next((rope.partition(word)[2] for word in _FINISHES if word in rope), "")


def _next_size(rope: str, size: str) -> str:
    """The next rope of the same lay and finish that is thicker by a usual step of sizes.

    1/4, 5/16, 3/8 in: a fifth or more; the sizes between are seldom on a shelf (common practice,
    no source). The rope itself where there is none.
    """
    start, unit = rope.removesuffix(size), size[-2:]
    named = [name for name in choices("rope") if name.startswith(start) and name.endswith(unit)]
    sizes = {name: parse(name.removeprefix(start), "length") for name in named}
    thicker = [name for name in named if sizes[name] >= 1.19 * sizes[rope]]
    return min(thicker, key=sizes.__getitem__, default=rope)


@cache
def choices(shelf: str) -> tuple[str, ...]:
    """Every name a choice may take.

    >>> choices("grade")
    ('No. 1', 'No. 2')
    """
    if shelf in ("species", "grade"):
        part = 0 if shelf == "species" else 1
        pairs = (name.rpartition(" No. ") for name in catalog.timbers())
        return tuple(dict.fromkeys((a, f"No. {b}")[part] for a, _, b in pairs))
    besides = ("none",) if shelf == "shackle" else ()
    return (*besides, *catalog.names(shelf))  # type: ignore[arg-type]


@cache
def names_for(question: Question) -> tuple[str, ...]:
    """What a choice offers: names of its shelf, or the words its key allows.

    Args:
        question: Of kind ``choice``.

    Returns:
        Names in the order they are listed.
    """
    if question.shelf != "words":
        return choices(question.shelf) if question.shelf else ()
    key = _key_of(question.keys[0])
    return tuple(str(word) for word in key.words) if isinstance(key, Choice) else ()


@cache
def _key_of(dotted: str) -> Key | None:
    path = tuple(dotted.split("."))
    return next((key for known, key in keys() if known == path and isinstance(key, Key)), None)


def _usual(dotted: str) -> str:
    """What a key left out is taken for, as far as it can be written in a form."""
    key = _key_of(dotted)
    usual = key.default if key else None
    return _plain(usual) if isinstance(usual, str | bool | int) else ""


def _counted(text: str) -> int | str:
    return int(text) if text.isascii() and text.isdigit() else text


@cache
def snow_choices() -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """Form field, label and words of what snow on the ground asks for besides.

    >>> [field for field, _, _ in snow_choices()]
    ['exposure', 'thermal', 'importance', 'slippery', 'level']
    """
    labels = {
        "exposure": "Terrain, and how the roof stands in it",
        "thermal": "How warm the roof is kept",
        "importance": "Risk category; a dwelling is II",
        "slippery": "Snow slides off, and nothing stops it",
        "level": "The map's level: service up to 2016, strength from 2022",
    }
    known = {path: key for path, key in keys() if path[:2] == ("loads", "snow")}
    found = []
    for field, label in labels.items():
        key = known["loads", "snow", field]
        words = key.words if isinstance(key, Choice) else ("yes", "no")
        found.append((field, label, words))
    return tuple(found)


def _hub(text: Mapping[str, str]) -> Stated:
    """A point has no radius, and only a ring has beams."""
    kind = text["hub"]
    ring = kind == "ring"
    return {
        "roof.hub": kind,
        "roof.hub_radius": "0 in" if kind == "point" else text["hub_radius"],
        "roof.hub_width": text["hub_width"] if ring else None,
        "roof.hub_depth": text["hub_depth"] if ring else None,
    }


def _snow(question: Question, text: Mapping[str, str]) -> Stated:
    """Snow on the roof stands alone; snow on the ground brings what the roof's follows from."""
    roof, ground, *more = question.keys
    if text["snow_on"] != "the ground":
        return {roof: text["snow"], ground: None, **dict.fromkeys(more)}
    found: Stated = {roof: None, ground: text["snow"]}
    for key in more:
        said = text[key.rpartition(".")[2]]
        found[key] = (said == "yes" if said else None) if key.endswith("slippery") else said or None
    return found


def _at(tree: Mapping[str, Any], key: str) -> Any:
    """The value at a dotted key; None where there is none."""
    found: Any = tree
    for part in key.split("."):
        found = found.get(part) if isinstance(found, Mapping) else None
    return found


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def _shown(text: str, dimension: Any, system: System) -> str:
    """A quantity as the user wrote it, in the system shown where that says the same."""
    try:
        value = parse(text, dimension)
    except InputError:
        return text
    said = show(value, dimension, system)
    return said if abs(parse(said, dimension) - value) <= 1e-9 * max(abs(value), 1.0) else text


def _doubled(text: str, system: System) -> str:
    """A radius as the distance across."""
    try:
        across = 2.0 * parse(text, "length")
    except InputError:
        return text
    said = show(across, "length", system)
    if abs(parse(said, "length") - across) <= 1e-9:
        return said
    return f"{across / 0.0254:.6g} in" if system == "us" else f"{1000.0 * across:.7g} mm"


def _halved(text: str) -> str:
    """A distance across as the radius the job file states, exact in the units it was written in.

    Raises:
        InputError: IN-002, IN-003 it is no length.
    """
    try:
        radius = parse(text, "length") / 2.0
    except InputError as fault:
        found = fault.findings[0]
        key = "roof.plate_radius"
        raise InputError(
            Finding(found.code, key=key, value=text, bound=found.bound, remedy=found.remedy)
        ) from None
    if "m" in text.lower():
        return f"{1000.0 * radius:.10g} mm"
    said = show(radius, "length", "us")
    same = abs(parse(said, "length") - radius) <= 1e-12
    return said if same else f"{radius / 0.0254:.10g} in"
