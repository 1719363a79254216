"""The folder that was opened: which jobs lie in it, and how a new one is started.

A name from the browser is looked up among the jobs found here; it never becomes a path.
"""

from __future__ import annotations

import re
import threading
import tomllib
import unicodedata
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rafterstay.core.errors import Finding, InputError, RafterstayError
from rafterstay.job import set_value
from rafterstay.job.examples import example
from rafterstay.job.read import FILE_NAME, LARGEST
from rafterstay.sheets.literal import printable
from rafterstay.store import JobFolder, create_folder, open_folder
from rafterstay.web.pencil import Pencil, marked
from rafterstay.web.reading import shape_of

__all__ = ["Card", "Desk"]

_MOST_JOBS: Final = 200  # told on the first screen; a folder with more is not a desk
_LONGEST_NAME: Final = 40


@dataclass(frozen=True)
class Card:
    """A job as the first screen lists it."""

    name: str
    title: str


class Desk:
    """An opened folder: one job, or a folder of jobs.

    Attributes:
        root: The folder.
        single: The folder is a job itself; no other can be started in it.
    """

    def __init__(self, root: Path) -> None:
        self.root = root.absolute()
        self.single = (self.root / FILE_NAME).exists()
        self._open: dict[str, JobFolder] = {}
        self._busy = threading.Lock()

    def cards(self) -> tuple[Card, ...]:
        """Every job, by name."""
        return tuple(Card(name, _title(path)) for name, path in self._paths())

    def folder(self, name: str) -> JobFolder:
        """The opened job of a name.

        Raises:
            InputError: CL-040 there is no such job here.
            StoreError: It cannot be read.
        """
        path = dict(self._paths()).get(name)
        if path is None:
            raise InputError(
                Finding(
                    "CL-040",
                    key="job",
                    value=printable(name[:60]),
                    bound="one of the jobs in the opened folder",
                    remedy="Go back to the first page and pick one.",
                )
            )
        with self._busy:
            if name not in self._open:
                self._open[name] = open_folder(path)
            return self._open[name]

    def start(self, title: str, like: str) -> str:
        """Start a job: the values of an example, every answer in pencil.

        Args:
            title: What the user calls it; may be empty.
            like: Name of an example.

        Returns:
            Name of the new job.

        Raises:
            InputError: CL-041 the opened folder is a job; IN-014 no such example; IN-001 the
                title cannot be one.
            StoreError: The folder cannot be written.
        """
        if self.single:
            raise InputError(
                Finding(
                    "CL-041",
                    bound="a new job cannot be started inside a job",
                    remedy="Close the page and open the folder above it: `rafterstay open`.",
                )
            )
        called = title.strip()
        text = set_value(example(like), "job.title", called or "My roof")
        pencil = Pencil.empty(shape_of(text)).answered(["title"] if called else [])
        body = marked(text, pencil)
        _require_job(body)
        name = self._free_name(called or "my roof")
        create_folder(self.root / name, body, note=f"started like {like}").close()
        return name

    def close(self) -> None:
        """Let go of every job."""
        with self._busy:
            for folder in self._open.values():
                folder.close()
            self._open.clear()

    def _paths(self) -> Iterator[tuple[str, Path]]:
        if self.single:
            yield _label(self.root.name), self.root
            return
        found = 0
        with suppress(OSError):
            for path in sorted(self.root.iterdir()):
                if path.name.startswith(".") or path.is_symlink():
                    continue
                if (path / FILE_NAME).is_file() and found < _MOST_JOBS:
                    found += 1
                    yield _label(path.name), path

    def _free_name(self, title: str) -> str:
        start = _label(title)[:_LONGEST_NAME].strip("-") or "roof"
        taken = {path.name.casefold() for path in self.root.iterdir()}
        numbers = (f"{start}-{number}" for number in range(2, 10_000))
        return next(name for name in (start, *numbers) if name not in taken)


def _label(text: str) -> str:
    """Words as they may stand in an address: small letters, figures, hyphens.

    >>> _label("Étoile  No. 2/../x")
    'etoile-no-2-x'
    """
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "job"


def _title(path: Path) -> str:
    with suppress(OSError, ValueError):
        with (path / FILE_NAME).open("rb") as file:
            tree = tomllib.loads(file.read(LARGEST).decode("utf-8-sig"))
        heading = tree.get("job")
        if isinstance(heading, dict) and isinstance(heading.get("title"), str):
            return printable(heading["title"][:120])
    return printable(path.name)


def _require_job(text: str) -> None:
    """A title that cannot be one is refused before a folder is made."""
    from rafterstay import job

    try:
        job.loads(text)
    except RafterstayError as fault:
        raise InputError(fault.findings) from None
