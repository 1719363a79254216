"""What was typed and is not in the job yet: kept in the job folder until it is."""

from __future__ import annotations

import json
import threading
from collections.abc import Collection, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from rafterstay.core.errors import StoreError
from rafterstay.store.files import read_bounded, swap_in, write_beside
from rafterstay.web.fields import form_names
from rafterstay.web.questions import QUESTIONS

__all__ = ["DRAFT_FILE", "Draft"]

DRAFT_FILE: Final = "draft.json"
_LARGEST: Final = 64_000  # bytes
_LONGEST: Final = 400  # characters kept of one field
_NAMES: Final = frozenset(name for question in QUESTIONS for name in form_names(question))


class Draft:
    """Texts of form fields, down on the disk before they are acknowledged.

    It is a convenience and no part of the job: one that cannot be read is taken for empty.
    """

    def __init__(self, folder: Path) -> None:
        self._path = folder / DRAFT_FILE
        self._busy = threading.Lock()
        self._texts = self._read()

    def texts(self) -> dict[str, str]:
        """Text of every field that was typed into, by its name."""
        with self._busy:
            return dict(self._texts)

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep what was typed.

        Raises:
            OSError: The folder cannot be written.
        """
        self.change(typed)

    def change(self, typed: Mapping[str, str], *, gone: Collection[str] = ()) -> None:
        """Keep what was typed, and let go of what is in the job now.

        Args:
            typed: Texts by form field; fields that no question has are let go.
            gone: Names of form fields.

        Raises:
            OSError: The folder cannot be written.
        """
        known = {name: text[:_LONGEST] for name, text in typed.items() if name in _NAMES}
        with self._busy:
            self._write(
                {name: text for name, text in self._texts.items() if name not in gone} | known
            )

    def _write(self, texts: dict[str, str]) -> None:
        if texts == self._texts:
            return
        swap_in(write_beside(self._path, json.dumps(texts, indent=1).encode()), self._path)
        self._texts = texts

    def _read(self) -> dict[str, str]:
        with suppress(OSError, ValueError, RecursionError, StoreError):
            found = json.loads(read_bounded(self._path, _LARGEST) or b"{}")
            if isinstance(found, dict):
                return {
                    name: text[:_LONGEST]
                    for name, text in found.items()
                    if name in _NAMES and isinstance(text, str) and text.isprintable()
                }
        return {}
