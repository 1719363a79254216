"""Load cases: which combination, what lies where, and for how long."""

from __future__ import annotations

from dataclasses import dataclass

from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = ["Case", "Cases"]


@dataclass(frozen=True)
class Case:
    """One combination with one pattern of load on the hips.

    Attributes:
        equation: For example ``D+S``.
        pattern: ``dead``, ``balanced`` or ``unbalanced``.
        direction_deg: Towards the loaded side, clockwise from leg 1; None where it has none.
        duration_factor: C_D of the shortest load in the combination. [-]
        dead_factor: Multiplies the self-weight of ropes, turnbuckles and ring. [-]
        hip_load: Downward load per metre of hip *along its axis* at the foot and at the head,
            linear between. [N/m] (n, 2)
        head_load: Downward load straight on each head (the hub's own area). [N] (n,)
        source: The clause of the combination.
    """

    equation: str
    pattern: str
    direction_deg: float | None
    duration_factor: float
    dead_factor: float
    hip_load: Floats
    head_load: Floats
    source: Source

    @property
    def id(self) -> str:
        """``equation/pattern[-direction]``, the direction in whole degrees."""
        if self.direction_deg is None:
            return f"{self.equation}/{self.pattern}"
        return f"{self.equation}/{self.pattern}-{int(self.direction_deg + 0.5) % 360:03d}"


@dataclass(frozen=True)
class Cases:
    """Every case of a job, and the load on the roof while the legs are set.

    Attributes:
        cases: In the order they are solved.
        setting: The dead load that lies on the roof when the legs are tensioned.
        simplified_snow: True where one-sided snow is the simplified half full, half 0.3.
    """

    cases: tuple[Case, ...]
    setting: Case
    simplified_snow: bool
