"""The frame as a survey found it: feet, tie bolts and hub where they really stand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.roof.area import hub_wedges
from rafterstay.roof.frame import Floats, Frame
from rafterstay.roof.gable import tied_pairs
from rafterstay.roof.lay_out import frame_between, lay_out
from rafterstay.survey import AsBuilt, find_centre

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["stand", "widest_pair"]


def stand(job: Job, built: AsBuilt) -> Frame:
    """Build the frame on surveyed points.

    Args:
        job: Sections, hub and tie height; sizes only where a point was not surveyed.
        built: The survey, laid over the drawing: leg 1 to the north.

    Returns:
        The frame, every foot where it stands. The hub stands where it was surveyed, else over
        the middle of the feet; heads stand ``roof.hub_radius`` from it towards their feet. Tie
        bolts stand where they were surveyed, else on the line from foot to head. The ring is
        to hang where legs are most equal. A gable is the pair drawn with its widest span.

    Raises:
        InputError: SV-042 a foot was not surveyed; of a gable no whole pair.

    Source: docs/theory/survey.md eq. 10 to 12 for the ring's centre
    """
    if job.roof.shape == "gable":
        return _widest(job, built)
    n = job.roof.sides or 0
    feet = _points(built, [str(k + 1) for k in range(n)])
    hub = _hub(job, built, feet)
    towards = feet[:, :2] - hub[:2]
    outward = towards / np.linalg.norm(towards, axis=1, keepdims=True)
    heads = np.column_stack([hub[:2] + job.roof.hub_radius * outward, np.full(n, hub[2])])
    frame = frame_between(job, feet, heads, outward=outward, geometry="measured")
    nodes = frame.nodes.copy()
    if frame.hub_node >= 0:
        nodes[frame.hub_node] = hub
    names = tuple(f"t{k + 1}" for k in range(n))
    apart = not np.array_equal(frame.bolts, frame.feet)
    if apart and all(built.has(name) for name in names):
        nodes[frame.bolts] = _points(built, names)
    else:
        names = built.feet
    pieces = hub_wedges(heads[:, :2], hub[:2])
    frame = replace(frame, nodes=nodes, centre=hub[:2], hub_wedges=pieces)
    centre = find_centre(built, names).centre.copy()
    centre[2] = frame.nodes[frame.bolts, 2].mean()
    return replace(frame, ring_centre=centre)


def widest_pair(built: AsBuilt, pairs: int) -> float:
    """Widest distance on plan between two feet of a gable that face one another.

    Args:
        built: The survey.
        pairs: How many pairs there are; foot k faces foot 2 pairs + 1 - k. A pair whose feet
            were not both surveyed is passed over.

    Returns:
        Distance. [m]

    Raises:
        InputError: SV-042 of no pair were both feet surveyed.
    """
    facing = [(str(k), str(2 * pairs + 1 - k)) for k in range(1, pairs + 1)]
    whole = [pair for pair in facing if all(map(built.has, pair))]
    if not whole:
        _points(built, facing[0])
    apart = [built.at(one)[:2] - built.at(other)[:2] for one, other in whole]
    return float(np.linalg.norm(apart, axis=1).max())


def _widest(job: Job, built: AsBuilt) -> Frame:
    span = widest_pair(built, tied_pairs(job.roof))
    return replace(lay_out(replace(job, roof=replace(job.roof, span=span))), geometry="measured")


def _hub(job: Job, built: AsBuilt, feet: Floats) -> Floats:
    if built.has("hub"):
        return built.at("hub")
    middle = feet.mean(axis=0)
    return np.array([middle[0], middle[1], middle[2] + job.roof.rise])


def _points(built: AsBuilt, names: list[str] | tuple[str, ...]) -> Floats:
    missing = [name for name in names if not built.has(name)]
    if missing:
        raise InputError(
            Finding(
                "SV-042",
                key="readings",
                value=f"none to {', '.join(missing[:8])}",
                bound=f"readings to every foot, {names[0]} to {names[-1]}",
                remedy="Take the readings that `rafterstay survey JOB` lists for them.",
            )
        )
    return np.array([built.at(name) for name in names])
