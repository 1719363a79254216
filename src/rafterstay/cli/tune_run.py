"""A job and its readings, carried to a table of turns."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rafterstay import design, roof, tuning
from rafterstay import job as jobs
from rafterstay import survey as surveys
from rafterstay.cli.survey_frame import read_frame, stated_points

if TYPE_CHECKING:
    from rafterstay.design import Tuned

__all__ = ["tuned"]


def tuned(place: str, readings: Path, survey: Path | None) -> Tuned:
    """Carry a job to its table of turns.

    Args:
        place: A job folder or file.
        readings: Of the tie as it hangs.
        survey: Readings of the frame, where it was measured.

    Returns:
        The advice.

    Raises:
        InputError: The job or any reading cannot be used.
    """
    job = jobs.load(place)
    frame = roof.lay_out(job)
    rope = job.tie.ring in {"rope-seized", "rope-sliding"}
    taken = tuning.read(readings, legs=frame.n, rope_ring=rope)
    if survey is None:
        return design.tune(job, taken)
    built = read_frame(job, frame, survey)
    points = stated_points(job, frame)
    shape = {name: points.get(name, (0.0, 0.0, 0.0)) for name in built.names}
    stands = surveys.compare(built, shape, system=job.show)
    standing = {int(one.id): one.outward for one in stands}
    return design.tune(job, taken, built=built, standing=standing)
