"""The parts a tie is made of, each figure with its source.

takes a kind and a name, and the user's own files; gives the row in SI; next: job, which states
names, and tie.
"""

from __future__ import annotations

from rafterstay.catalog.bring import load_own, read_own
from rafterstay.catalog.own import STANDARD, Catalogue, Own
from rafterstay.catalog.shelf import KINDS, find, names, species, timbers

__all__ = [
    "KINDS",
    "STANDARD",
    "Catalogue",
    "Own",
    "find",
    "load_own",
    "names",
    "read_own",
    "species",
    "timbers",
]
