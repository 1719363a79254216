"""What a form says, put into a job file: each answer that is sound, and the faults of the rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import partial

from rafterstay import job as jobs
from rafterstay.catalog import STANDARD, Catalogue
from rafterstay.core.errors import Finding, InputError
from rafterstay.web.fields import Stated, follow, form_names, stated, written
from rafterstay.web.pencil import marked, pencilled
from rafterstay.web.question import Question
from rafterstay.web.questions import fifteen_of, questions_of
from rafterstay.web.reading import job_of, layout_of, ring_of, shape_of, system_of, tree_of

__all__ = ["Entered", "changed", "enter", "set_aside"]


@dataclass
class Entered:
    """A job file after a form was put into it.

    Attributes:
        text: The file.
        accepted: Names of questions that were answered.
        faults: Findings by the question they are about; its old value stands.
    """

    text: str
    accepted: list[str] = field(default_factory=list)
    faults: dict[str, tuple[Finding, ...]] = field(default_factory=dict)


def changed(text: str, form: Mapping[str, str]) -> list[Question]:
    """The questions whose form fields say something else than the file they were made from.

    Args:
        text: The file the form showed.
        form: Text of form fields; those left out were not shown.

    Returns:
        Questions in the order they are asked.
    """
    tree, system, pencil = tree_of(text), system_of(text), pencilled(text)
    found = []
    for question in questions_of(shape_of(text), layout_of(text), ring_of(text)):
        names = form_names(question)
        if not any(name in form for name in names):
            continue
        now = written(question, tree, system)
        said = {name: form.get(name, now[name]).strip() for name in names}
        if question.name in pencil:
            if any(said[name] for name in _leading(question)):
                found.append(question)
        elif any(said[name] != now[name] for name in names):
            found.append(question)
    return found


def _leading(question: Question) -> tuple[str, ...]:
    """Form fields that make an answer by themselves; the others only go with one."""
    names = form_names(question)
    return names if question.kind == "roofing" else names[:1]


def enter(
    text: str, form: Mapping[str, str], *, exact: bool = False, catalogue: Catalogue = STANDARD
) -> Entered:
    """Put every sound answer of a form into a job file.

    Answers that only fit together are tried again after the others.

    Args:
        text: The file the form showed.
        form: Text of form fields.
        exact: Nothing goes with an answer but what the form says.
        catalogue: Where parts are looked up.

    Returns:
        The new file, and what could not be put in.
    """
    done, put = Entered(text), partial(_with_answer, exact=exact, catalogue=catalogue)
    waiting = changed(text, form)
    progress = True
    while waiting and progress:
        left = []
        for question in waiting:
            try:
                done.text = put(done.text, question, form)
            except InputError as fault:
                done.faults[question.name] = fault.findings
                left.append(question)
            else:
                done.faults.pop(question.name, None)
                done.accepted.append(question.name)
        progress = len(left) < len(waiting)
        waiting = left
    return done


def _with_answer(
    text: str, question: Question, form: Mapping[str, str], *, exact: bool, catalogue: Catalogue
) -> str:
    tree, system = tree_of(text), system_of(text)
    pencil = pencilled(text)
    now = written(question, tree, system)
    if question.name in pencil:
        now = now | dict.fromkeys(_leading(question), "")
    filled = {name: form.get(name, now[name]) for name in form_names(question)}
    if not question.optional and not any(filled[name].strip() for name in _leading(question)):
        raise InputError(
            Finding(
                "IN-005",
                key=question.keys[0],
                bound="stated",
                remedy='Write it, or press "I don\'t know yet".',
            )
        )
    answer = stated(question, filled, system)
    text = _put(text, answer if exact else answer | follow(question, answer, tree))
    text = marked(text, pencil.answered([question.name]))
    job_of(text, catalogue)
    return text


def set_aside(text: str, name: str) -> str:
    """The file with one answer put off: its value stays as a stand-in.

    Args:
        text: The file.
        name: Of one of the fifteen questions; any other changes nothing.

    Returns:
        The file.
    """
    known = any(question.name == name for question in fifteen_of(shape_of(text)))
    return marked(text, pencilled(text).not_known(name)) if known else text


def _put(text: str, values: Stated) -> str:
    tree = tree_of(text)
    for key, value in values.items():
        found: object = tree
        for part in key.split("."):
            found = found.get(part) if isinstance(found, dict) else None
        if value is None and found is not None:
            text = jobs.drop_value(text, key)
        elif value is not None and (found != value or type(found) is not type(value)):
            text = jobs.set_value(text, key, value)
    return text
