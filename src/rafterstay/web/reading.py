"""A job file read once, however many parts of the page ask for it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final

from rafterstay import job as jobs
from rafterstay.catalog import STANDARD, Catalogue
from rafterstay.core.quantities import System
from rafterstay.job import Job

__all__ = ["job_of", "layout_of", "ring_of", "shape_of", "system_of", "title_of", "tree_of"]

_KEPT: Final = 16  # texts: a few tabs, with what was before their last change


@lru_cache(_KEPT)
def tree_of(text: str) -> Mapping[str, Any]:
    """The tables of a job file as they are written; to be read only.

    Raises:
        ValueError: The text is not TOML.
    """
    return tomllib.loads(text.removeprefix("\ufeff"))


@lru_cache(_KEPT)
def job_of(text: str, catalogue: Catalogue = STANDARD) -> Job:
    """The job in a text.

    Args:
        text: A job file.
        catalogue: Where its parts are looked up.

    Raises:
        InputError: Every fault at once.
    """
    return jobs.loads(text, catalogue=catalogue)


def system_of(text: str) -> System:
    r"""Units a job file shows its answers in.

    >>> system_of("[job]\nshow = 'si'"), system_of("")
    ('si', 'us')
    """
    heading = tree_of(text).get("job")
    return "si" if isinstance(heading, dict) and heading.get("show") == "si" else "us"


def shape_of(text: str) -> str:
    r"""Shape of the roof a job file states.

    >>> shape_of("[roof]\nshape = 'gable'"), shape_of("")
    ('gable', 'polygon')
    """
    return _word(text, "roof", "shape", "polygon")


def layout_of(text: str) -> str:
    """How the tie of a job file runs."""
    return _word(text, "tie", "layout", "ring")


def ring_of(text: str) -> str:
    """What the centre ring of a job file is."""
    return _word(text, "tie", "ring", "rope-seized")


def _word(text: str, table: str, key: str, usual: str) -> str:
    found = tree_of(text).get(table)
    word = found.get(key, usual) if isinstance(found, dict) else usual
    return word if isinstance(word, str) else usual


def title_of(text: str) -> str:
    """What a job file calls the roof.

    >>> title_of("[roof]")
    'Roof'
    """
    return _word(text, "job", "title", "Roof")
