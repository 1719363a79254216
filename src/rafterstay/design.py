"""The map: which stage follows which, read from top to bottom.

Every loop of the design stands here, never hidden as a call to a higher stage.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rafterstay import checks, loads, roof, statics, tie

if TYPE_CHECKING:
    from rafterstay.checks.nouns import Checks
    from rafterstay.job import Job
    from rafterstay.loads import Cases
    from rafterstay.roof import Frame
    from rafterstay.statics import Forces
    from rafterstay.tie import Tie

__all__ = ["Design", "check"]


@dataclass(frozen=True)
class Design:
    """A job carried from what was stated to what was found."""

    job: Job
    frame: Frame
    tie: Tie
    cases: Cases
    forces: Forces
    checks: Checks


def check(job: Job, *, only: Collection[str] = ()) -> Design:
    """Carry a job from roof to ranked checks.

    Args:
        job: What the user states, audited.
        only: Ids of the cases to solve, for a first look; all where left out or where the job
            has none of them. A first look is no verdict.

    Returns:
        Every stage's result.

    Raises:
        InputError: The parts do not fit the roof.
        Mechanism: Nothing holds a part of the roof.
        NotConverged: No answer was reached.
    """
    frame = roof.lay_out(job)
    rigged = tie.rig(job, frame)
    cases = loads.gather(job, frame)
    chosen = tuple(case for case in cases.cases if case.id in only)
    cases = replace(cases, cases=chosen or cases.cases)
    forces = statics.solve(frame, rigged, cases, walls=job.support.wall_stiffness)
    found = checks.verify(job, frame, rigged, forces, simplified_snow=cases.simplified_snow)
    return Design(job, frame, rigged, cases, forces, found)
