"""Every part of the tie against its clause.

takes ``Job``, ``Frame``, ``Tie``, ``Forces``; gives ``Checks``, worst first, each with the lines
a reviewer can redo; next: sizing, packet.
"""

from __future__ import annotations

from rafterstay.checks.nouns import Check, Checks
from rafterstay.checks.verify import verify

__all__ = ["Check", "Checks", "verify"]
