"""How hard what is left may be pulled when one leg or one side of the ring is gone."""

from __future__ import annotations

from typing import Final

from rafterstay.core.sources import Source

__all__ = [
    "DURATION",
    "LOSS",
    "PROOF_SOURCE",
    "ROPE",
    "SHACKLE_PROOF",
    "TURNBUCKLE_PROOF",
]

ROPE: Final = 1.1
"""Breaking strength, reductions taken, over a pull that comes once. [-]"""

DURATION: Final = 1.6
"""C_D of timber for seconds to minutes. [-]"""

TURNBUCKLE_PROOF: Final = 2.5
"""Proof load of a turnbuckle over its working load limit. [-]"""

SHACKLE_PROOF: Final = 2.0
"""Proof load of a shackle over its working load limit; Federal Specification RR-C-271, anchor
shackles, from memory, 85 %. [-]"""

LOSS: Final = Source(
    "one leg or side lost, what is shed counted twice", "", "", "common practice", 80
)
PROOF_SOURCE: Final = Source("ASTM F1145, Turnbuckles", "", "proof load of jaw type", "read", 99)
