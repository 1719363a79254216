"""Which answers are still in pencil: a note at the end of the job file, kept by the page.

Every revision carries its own note, so that undo brings the pencil marks back with the values.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rafterstay.job.stand_ins import NOTE, STAND_INS
from rafterstay.web.questions import QUESTIONS, fifteen_of

__all__ = ["Pencil", "marked", "pencilled"]


@dataclass(frozen=True)
class Pencil:
    """Names of questions whose value is a stand-in.

    Attributes:
        unanswered: Nobody has been asked yet.
        unknown: The user said "I don't know yet"; they stand on the Ask sheet.
    """

    unanswered: frozenset[str] = frozenset()
    unknown: frozenset[str] = frozenset()

    @classmethod
    def empty(cls, shape: str = "polygon") -> Pencil:
        """A sheet of such a roof on which nothing is answered."""
        return cls(unanswered=frozenset(one.name for one in fifteen_of(shape)))

    def __contains__(self, name: object) -> bool:
        return name in self.unanswered or name in self.unknown

    def __bool__(self) -> bool:
        return bool(self.unanswered or self.unknown)

    def answered(self, names: Iterable[str]) -> Pencil:
        """The same, with some answers in ink."""
        inked = frozenset(names)
        return Pencil(self.unanswered - inked, self.unknown - inked)

    def not_known(self, name: str) -> Pencil:
        """The same, with one answer put off."""
        return Pencil(self.unanswered - {name}, self.unknown | {name})


def pencilled(text: str) -> Pencil:
    r"""The note in a job file; all is in ink where there is none.

    >>> sorted(pencilled("a = 1\n# Not known yet, a stand-in is used: snow, rise\n").unknown)
    ['rise', 'snow']
    """
    known = {question.name for question in QUESTIONS}
    found = {words: frozenset(names.split(", ")) & known for words, names in NOTE.findall(text)}
    return Pencil(**{field: found.get(words, frozenset()) for field, words in STAND_INS.items()})


def marked(text: str, pencil: Pencil) -> str:
    r"""The text with its note put right, and nothing else changed.

    >>> marked("a = 1", Pencil(unknown=frozenset({"snow"})))
    'a = 1\n# Not known yet, a stand-in is used: snow\n'
    >>> marked(marked("a = 1\n", Pencil(unknown=frozenset({"snow"}))), Pencil())
    'a = 1\n'
    """
    bare = NOTE.sub("", text)
    lines = [
        f"# {words}, a stand-in is used: "
        + ", ".join(one.name for one in QUESTIONS if one.name in getattr(pencil, field))
        for field, words in STAND_INS.items()
        if getattr(pencil, field)
    ]
    if not lines:
        return bare
    gap = "" if bare.endswith("\n") or not bare else "\n"
    return bare + gap + "\n".join(lines) + "\n"
