"""What each page shows: the facts its template prints, in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from rafterstay.catalog import STANDARD, Catalogue
from rafterstay.core.cautions import cautions_for
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import System, parse, show
from rafterstay.sheets.literal import printable
from rafterstay.sheets.summary import (
    Designed,
    LegPull,
    drawn_state,
    largest_pull,
    least_pull,
    leg_pulls,
    ring_pull,
)
from rafterstay.sheets.words import GEOMETRY
from rafterstay.store import JobText
from rafterstay.web.answers import Answer
from rafterstay.web.drawing import MOST_LETTERED, legs_in_words, plan_markup, section_markup
from rafterstay.web.fields import choices, form_names, names_for, written
from rafterstay.web.lines import line_view, still_markup
from rafterstay.web.pencil import Pencil, pencilled
from rafterstay.web.question import GROUPS, Question
from rafterstay.web.questions import fifteen_of, questions_of
from rafterstay.web.reading import layout_of, ring_of, shape_of, system_of, tree_of
from rafterstay.web.roofing import roofings
from rafterstay.web.spoken import in_words
from rafterstay.web.ways import KINDS
from rafterstay.web.words import said_of, state_in_words, verdict_in_words

__all__ = ["Asked", "ask_sheet", "asked", "read_back", "sheet"]

# Groups of questions, and the parts of checks, that belong to a touched part.
_TOUCHED: Final = {
    "leg": (("leg",), {"rope", "eye", "turnbuckle", "shackle", "bolt", "leg", "wood"}),
    "ring": (("ring",), {"ring", "hubplate"}),
    "hub": (("hub", "ridge"), {"hub"}),
    "wall": (("wall",), {"wall", "plate", "holddown"}),
    "rafter": (("rafter",), {"rafter", "ply", "wood"}),
    "roof": (("roof",), {"unbalanced"}),
}
_STAGES: Final = (
    ("Roof", ("plan", "section", "hub", "ridge", "wall")),
    ("Loads", ("roof",)),
    ("Rafters", ("rafter",)),
    ("Tie", ("leg",)),
)
_LATER: Final = ("Survey", "Cut", "Raise", "Tune", "Hand over", "Years")


@dataclass(frozen=True)
class Asked:
    """A question as a form shows it.

    Attributes:
        question: The question.
        values: Text of each form field.
        state: ``ink``, ``unanswered`` or ``unknown``.
        stand_in: What is used as long as it is in pencil; empty in ink.
        said: The answer read back in words; empty where there is nothing to say.
        typed: A field holds text that is not in the job yet.
        faults: What is wrong with it.
        options: Of a choice: groups of names.
    """

    question: Question
    values: Mapping[str, str]
    state: str
    stand_in: str
    said: str
    typed: bool
    faults: tuple[Finding, ...]
    options: tuple[tuple[str, tuple[str, ...]], ...]


def asked(
    text: str,
    typed: Mapping[str, str],
    faults: Mapping[str, tuple[Finding, ...]],
    shelves: Catalogue = STANDARD,
) -> dict[str, Asked]:
    """Every question as its form field shows it.

    Args:
        text: The job file.
        typed: Texts that are not in the job yet, by form field.
        faults: What is wrong, by question.
        shelves: Where parts are chosen from.

    Returns:
        By name of the question.
    """
    tree = tree_of(text)
    system, pencil = system_of(text), pencilled(text)
    return {
        question.name: _asked(
            question,
            written(question, tree, system),
            pencil,
            typed,
            faults,
            _options(question, system, shelves),
            system,
        )
        for question in questions_of(shape_of(text), layout_of(text), ring_of(text))
    }


def _asked(
    question: Question,
    now: Mapping[str, str],
    pencil: Pencil,
    typed: Mapping[str, str],
    faults: Mapping[str, tuple[Finding, ...]],
    options: tuple[tuple[str, tuple[str, ...]], ...],
    system: System,
) -> Asked:
    name = question.name
    state = (
        "unknown"
        if name in pencil.unknown
        else "unanswered"
        if name in pencil.unanswered
        else "ink"
    )
    values = dict(now)
    if state != "ink":
        values = dict.fromkeys(now, "")
    waiting = {field: typed[field] for field in form_names(question) if field in typed}
    values |= waiting
    return Asked(
        question=question,
        values=values,
        state=state,
        stand_in="" if state == "ink" else _stand_in(question, now),
        said=read_back(question, values[name], system),
        typed=bool(waiting) and any(waiting[field] != now[field] for field in waiting),
        faults=faults.get(name, ()),
        options=options,
    )


def _stand_in(question: Question, now: Mapping[str, str]) -> str:
    value = now[question.name]
    if question.kind == "hub" and value != "point":
        return f"{value}, {now['hub_radius']}"
    return value


def _options(
    question: Question, system: System, shelves: Catalogue
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    if question.kind == "roofing":
        return (("", tuple(one.name for one in roofings())),)
    if question.shelf == "rope":
        groups: dict[str, list[str]] = {}
        metric = []
        for name in choices("rope"):
            lay = " ".join(name.split()[:-2])
            if name.endswith("mm"):
                metric.append((lay, name))
            else:
                groups.setdefault(lay, []).append(name)
        for lay, name in metric:
            groups.setdefault(f"{lay}, metric", []).append(name)
        order = sorted(groups, key=lambda lay: lay.endswith("metric") != (system == "si"))
        found = tuple((lay, tuple(groups[lay])) for lay in order)
    else:
        found = (("", names_for(question)),) if question.shelf else ()
    own = tuple(one.part.name for one in shelves.own if one.kind == question.shelf)
    return (*found, ("Your own", own)) if own else found


def read_back(question: Question, text: str, system: System) -> str:
    """An answer in words, as soon as it can be read.

    Args:
        question: The question.
        text: What was typed.
        system: Units of the job.

    Returns:
        Words; empty where it is no length or cannot be read yet.
    """
    if question.kind not in ("length", "height", "spacing") or not text.strip():
        return ""
    try:
        if question.kind == "height" and not any(mark.isalpha() or mark in "'\"" for mark in text):
            share = parse(text, "number")
            return f"{share:.3g} of the rise"
        return in_words(parse(text, "length"), system)
    except InputError:
        return ""


def sheet(
    name: str,
    now: JobText,
    answer: Answer,
    shown: Mapping[str, Asked],
    *,
    at: str = "",
    stale: Answer | None = None,
) -> dict[str, Any]:
    """Everything the page of a job prints.

    Args:
        name: Of the job in addresses.
        now: The job file.
        answer: Its answer, or a first look.
        shown: Every question.
        at: Part that was touched; empty for none.
        stale: The last answer there was, where this one has none.

    Returns:
        Facts for the template.
    """
    pencil, fifteen = pencilled(now.text), fifteen_of(shape_of(now.text))
    drawn = answer.design or (stale.design if stale else None)
    here = f"/jobs/{name}"
    facts: dict[str, Any] = {
        "name": name,
        "here": here,
        "now": now,
        "show": system_of(now.text),
        "q": shown,
        "at": at,
        "touched": at.partition("-")[0],
        "groups": GROUPS,
        "fifteen": {one.name for one in fifteen},
        "gable": shape_of(now.text) == "gable",
        "stages": _stages(shown, fifteen),
        "later": _LATER,
        "ways": KINDS,
        "open": [one.name for one in fifteen if one.name in pencil],
        "unknown": [one.name for one in fifteen if one.name in pencil.unknown],
        "faulty": [one for one in shown.values() if one.faults],
        "whole": answer.whole,
        "stale": answer.design is None and drawn is not None,
        "failed": answer.faults,
        "cautions": cautions_for("check"),
        "design": None,
    }
    if drawn is not None:
        facts |= _drawn(drawn, here, at, provisional=bool(pencil), still=answer.whole)
    return facts


def _stages(
    shown: Mapping[str, Asked], fifteen: tuple[Question, ...]
) -> list[tuple[str, str, bool]]:
    """Name, first question and whether all is answered, of each stage the page serves."""
    found = []
    for stage, groups in _STAGES:
        of_it = [one for one in shown.values() if one.question.group in groups]
        first = [one for one in of_it if one.question in fifteen]
        found.append((stage, first[0].question.name, all(one.state == "ink" for one in first)))
    return found


def _drawn(
    design: Designed, here: str, at: str, *, provisional: bool, still: bool
) -> dict[str, Any]:
    """The facts that need an answer."""
    system = design.job.show
    pulls = leg_pulls(design)
    most, least = largest_pull(pulls), least_pull(pulls)
    row = drawn_state(design)
    spread = show(float(design.forces.spread.max()), "length", system)
    ring = ring_pull(design)
    checks = [said_of(check, design) for check in design.checks.checks]
    return {
        "design": design,
        "title": printable(design.job.title),
        "plan": plan_markup(design, here=here, chosen=at),
        "section": section_markup(design, here=here, chosen=at),
        "still": still_markup(design) if still else "",
        "shape": line_view(design)["said"] if still else "",
        "verdict": design.checks.verdict,
        "verdict_words": verdict_in_words(design, provisional=provisional),
        "drawn_words": state_in_words(design.forces.states[row].id, design),
        "figures": [
            ("Largest pull", f"{show(most.most, 'force', system)}, leg {most.leg}"),
            ("Least pull", f"{show(least.least, 'force', system)}, leg {least.leg}"),
            *([] if ring is None else [("Ring pull", show(ring, "force", system))]),
            *_set_to(design, system),
            (
                "Walls spread",
                f"{spread} of {show(design.job.limits.spread, 'length', system)}",
            ),
        ],
        "geometry": GEOMETRY[design.frame.geometry],
        "checks": checks,
        "legs": list(zip(pulls, legs_in_words(design), strict=True)),
        "many": design.frame.n > MOST_LETTERED,
        "note": _note(design, at, pulls),
        "assumed": design.job.assumed,
    }


def _set_to(design: Designed, system: System) -> list[tuple[str, str]]:
    """Between which pulls the legs may be set, where that was asked and worked out."""
    band = getattr(design, "band", None)
    if band is None:
        return []
    if band.status == "none":
        return [("Set the legs to", "no pull is right")]
    ends = [show(pull, "force", system) for pull in (band.low, band.high) if pull is not None]
    return [("Set the legs to", " to ".join(ends))]


def _note(design: Designed, at: str, pulls: tuple[LegPull, ...]) -> dict[str, Any] | None:
    """What stands beside the drawing about the part that was touched."""
    kind, _, number = at.partition("-")
    if kind not in _TOUCHED:
        return None
    groups, parts = _TOUCHED[kind]
    leg = int(number) if number.isascii() and number.isdigit() else 0
    if kind == "leg" and not 1 <= leg <= design.tie.n:
        return None
    system = design.job.show
    rows: list[tuple[str, str]] = []
    if kind == "leg":
        pull = pulls[leg - 1]
        rows = [
            (
                "Largest pull",
                f"{show(pull.most, 'force', system)} in {state_in_words(pull.most_in, design)}",
            ),
            (
                "Least pull",
                f"{show(pull.least, 'force', system)} in {state_in_words(pull.least_in, design)}",
            ),
            (
                "Length, bolt to ring" if design.tie.layout == "ring" else "Length, bolt to bolt",
                show(float(design.tie.leg_lengths[leg - 1]), "length", system),
            ),
        ]
    elif kind == "ring" and (ring := ring_pull(design)) is not None:
        rows = [("Largest pull in a side", show(ring, "force", system))]
    elif kind == "wall":
        worst = int(np.asarray(design.forces.spread).max(axis=0).argmax())
        rows = [
            (
                "Moves out most",
                f"foot {worst + 1}, {show(float(design.forces.spread.max()), 'length', system)}",
            )
        ]
    elif kind == "hub":
        rows = [("Comes down most", show(float(design.forces.hub_drop.max()), "length", system))]
    heading = f"Leg {leg}" if kind == "leg" else GROUPS[kind]
    if kind == "hub" and design.frame.shape == "gable":
        heading = GROUPS["ridge"]
    checks = [said_of(one, design) for one in design.checks.checks if one.part in parts]
    return {"heading": heading, "rows": rows, "groups": groups, "checks": checks}


def ask_sheet(shown: Mapping[str, Asked]) -> list[tuple[str, list[Asked]]]:
    """Whom to ask, and what: every answer that is still in pencil."""
    found: dict[str, list[Asked]] = {}
    for one in shown.values():
        if one.state != "ink":
            found.setdefault(one.question.ask or "To decide yourself", []).append(one)
    return list(found.items())
