"""The parts a tie is made of, each figure with its source.

takes a kind and a name; gives the row in SI; next: job, which states names, and tie.
"""

from __future__ import annotations

from rafterstay.catalog.shelf import KINDS, find, names, species, timbers

__all__ = ["KINDS", "find", "names", "species", "timbers"]
