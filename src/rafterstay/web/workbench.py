"""One job on the page: read, changed, undone, each step saved before it is acknowledged."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field

from rafterstay import job as jobs
from rafterstay.catalog import STANDARD, Catalogue, load_own
from rafterstay.core.errors import Finding, InputError, RafterstayError
from rafterstay.store import Conflict, JobFolder, JobText
from rafterstay.web.answers import Answer, Answers
from rafterstay.web.draft import Draft
from rafterstay.web.entry import Entered, enter, set_aside
from rafterstay.web.fields import form_names
from rafterstay.web.questions import QUESTIONS

__all__ = ["Outcome", "Workbench"]

_FIELDS = {name: question for question in QUESTIONS for name in form_names(question)}


@dataclass
class Outcome:
    """What became of a form.

    Attributes:
        faults: What could not be put in, by question.
        notices: What else is to be said.
        conflict: The job was changed elsewhere; nothing was saved.
    """

    faults: dict[str, tuple[Finding, ...]] = field(default_factory=dict)
    notices: tuple[Finding, ...] = ()
    conflict: Conflict | None = None


class Workbench:
    """A job that is open on the page; threads may share it.

    Attributes:
        name: Of the job in addresses.
        folder: Its folder.
        draft: What was typed and is not in the job yet.
        faults: What is wrong with it, by question, as far as it was tried.
    """

    def __init__(self, name: str, folder: JobFolder, answers: Answers) -> None:
        self.name = name
        self.folder = folder
        self.draft = Draft(folder.path)
        self.faults: dict[str, tuple[Finding, ...]] = {}
        self._answers = answers
        self._last: Answer | None = None
        self._sent: dict[str, str] = {}
        self._busy = threading.Lock()

    def answer(self, text: str, *, quick: bool) -> Answer:
        """What a text comes to.

        Args:
            text: The job file.
            quick: A first look is enough.

        Returns:
            The answer or its faults.
        """
        try:
            shelves = load_own(self.folder.path)
        except RafterstayError as fault:
            return Answer(None, not quick, fault.findings)
        look = self._answers.quick if quick else self._answers.whole
        found = look(text, self.name, shelves)
        if found.design is not None:
            self._last = found
        return found

    def shelves(self) -> Catalogue:
        """The parts this job may name: its own too, as long as their files can be read."""
        with suppress(RafterstayError):
            return load_own(self.folder.path)
        return STANDARD

    def last(self) -> Answer | None:
        """The last answer there was, to be shown as stale where there is none now."""
        return self._last

    def keep(self, form: Mapping[str, str]) -> None:
        """Keep what is being typed, unless the very same text was put into the job already.

        What is typed and what is put in come by different ways, and may arrive out of turn.

        Raises:
            OSError: The folder cannot be written.
        """
        with self._busy:
            fresh = {name: text for name, text in form.items() if self._sent.get(name) != text}
            self.draft.keep(fresh)

    def put(self, form: Mapping[str, str]) -> Outcome:
        """Put a form into the job and save it.

        Args:
            form: Form fields; ``base`` is the fingerprint of the text they were made from,
                ``over`` of the text to be replaced where the user has decided so, ``keep`` is
                ``file`` where the other text shall stay, ``unknown`` the question that is put
                off, ``show`` the units.

        Returns:
            What could not be put in.

        Raises:
            StoreError: The folder cannot be written.
        """
        fields = {name: text for name, text in form.items() if name in _FIELDS}
        with self._busy:
            now = self.folder.read()
            start = self._text_of(form.get("base", ""), now)
            done = self._entered(start, form, fields)
            outcome = Outcome(faults=done.faults)
            tried = {_FIELDS[name].name for name in fields} | {form.get("unknown", "")}
            kept = {name: found for name, found in self.faults.items() if name not in tried}
            self.faults = kept | done.faults
            if done.text != start:
                try:
                    self._save(done, form, now)
                except Conflict as conflict:
                    self.draft.keep(fields)
                    outcome.conflict = conflict
                    return outcome
            faulty = {name for name, one in _FIELDS.items() if one.name in done.faults}
            put_off = {name for name, one in _FIELDS.items() if one.name == form.get("unknown")}
            self.draft.change(
                {name: text for name, text in fields.items() if name in faulty},
                gone=(set(fields) - faulty) | put_off,
            )
            self._sent |= {name: text for name, text in fields.items() if name not in faulty}
        return outcome

    def undo(self, base: str) -> Outcome:
        """Go back to the text before this one.

        Args:
            base: Fingerprint of the text the user sees.

        Returns:
            A notice where there is nothing before it, or a conflict.
        """
        with self._busy:
            try:
                self.folder.undo(expected=base or None)
            except Conflict as conflict:
                return Outcome(conflict=conflict)
            except RafterstayError as fault:
                return Outcome(notices=fault.findings)
            self._sent.clear()
        return Outcome()

    def _entered(self, start: str, form: Mapping[str, str], fields: Mapping[str, str]) -> Entered:
        if "unknown" in form:
            return Entered(set_aside(start, form["unknown"]), [form["unknown"]])
        if form.get("show") in ("us", "si"):
            return Entered(jobs.set_value(start, "job.show", form["show"]), ["units"])
        return enter(start, fields, exact=form.get("exact") == "1", catalogue=self.shelves())

    def _save(self, done: Entered, form: Mapping[str, str], now: JobText) -> None:
        expected = form.get("over") or form.get("base") or now.fingerprint
        said = "put off" if "unknown" in form else "answered"
        # Where the user keeps what is there, this text is still kept as a revision.
        self.folder.save(
            done.text,
            note=f"{said}: {', '.join(done.accepted)}",
            expected=expected,
            keep="file" if form.get("keep") == "file" else None,
        )

    def _text_of(self, base: str, now: JobText) -> str:
        """The text a form was made from; the text of now where that is not recorded."""
        if base and base != now.fingerprint:
            for revision in self.folder.revisions():
                if revision.fingerprint == base:
                    return self.folder.body_of(revision.id).decode("utf-8")
        _require_text(now)
        return now.text


def _require_text(now: JobText) -> None:
    try:
        now.body.decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(
            Finding(
                "IN-022", key="the file", bound="UTF-8 text", remedy="Undo, or mend it by hand."
            )
        ) from None
