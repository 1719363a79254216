"""What a tape reads on the bench for a length that must be right on the roof."""

from __future__ import annotations

from typing import Final

from rafterstay.rope import expansion

__all__ = ["TAPE", "bench_factor"]

TAPE: Final = expansion("carbon")
"""Expansion of a steel tape. [1/K]"""


def bench_factor(rope: float, *, survey: float, bench: float, setting: float) -> float:
    """Reading on the bench over the reading on the roof, for rope that must fit there.

    A steel tape and a steel rope grow alike, so on bright or galvanized rope the bench's
    temperature does not matter; only the survey's tape and another metal do.

    Args:
        rope: Expansion of the rope. [1/K]
        survey: Temperature of the tape when the distances were read. [K]
        bench: Temperature of rope and tape on the bench. [K]
        setting: Temperature at which the legs are set. [K]

    Returns:
        Factor on the length. [-]

    Limits: the timber is taken to keep its length between survey and setting.

    Source: docs/theory/cutting.md eq. 4

    >>> bench_factor(TAPE, survey=290.0, bench=270.0, setting=290.0)
    1.0
    >>> round((bench_factor(16e-6, survey=290.0, bench=270.0, setting=290.0) - 1) * 1e6, 1)
    -80.0
    """
    return 1.0 + TAPE * (survey - bench) - rope * (setting - bench)
