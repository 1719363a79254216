"""A job's frame as points to survey, and its readings as the frame that stands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from rafterstay import job as jobs
from rafterstay import roof
from rafterstay import survey as surveys
from rafterstay.core.errors import Finding, InputError
from rafterstay.job import Job
from rafterstay.roof.frame import Frame
from rafterstay.roof.gable import tied_pairs
from rafterstay.survey import AsBuilt, Legs, Plan, Standing

__all__ = ["Listed", "Surveyed", "planned", "read_frame", "stated_points", "surveyed"]

Points = dict[str, tuple[float, ...]]


@dataclass(frozen=True)
class Listed:
    """A job and the readings to take of it."""

    job: Job
    points: Points
    plan: Plan


@dataclass(frozen=True)
class Surveyed:
    """A job and what its readings say.

    Attributes:
        job: As stated.
        built: The frame as it stands.
        legs: Ring centre and legs; None where the tie bolts were not all surveyed.
        standing: How each foot stands against the drawing.
    """

    job: Job
    built: AsBuilt
    legs: Legs | None
    standing: tuple[Standing, ...]


def stated_points(job: Job, frame: Frame) -> Points:
    """Designed place of every point worth surveying.

    Args:
        job: Of a gable its length, and how far apart its tied pairs stand.
        frame: As drawn.

    Returns:
        Feet 1 to n, tie bolts t1 to tn where they are not the feet, and the hub. x east,
        y north, z up from the plate. Of a gable the feet of every tied pair. [m]
    """
    if job.roof.shape == "gable":
        return _pairs(job)
    nodes = frame.nodes
    points = {str(k + 1): nodes[node] for k, node in enumerate(frame.feet)}
    if not np.array_equal(frame.bolts, frame.feet):
        points |= {f"t{k + 1}": nodes[node] for k, node in enumerate(frame.bolts)}
    points["hub"] = np.array([*frame.centre, nodes[frame.heads, 2].mean()])
    return {name: tuple(map(float, at)) for name, at in points.items()}


def planned(place: str) -> Listed:
    """List the readings to take of a job's frame.

    Args:
        place: Job folder or file.

    Returns:
        The list, in walking order.

    Raises:
        InputError: The job cannot be used.
    """
    job = jobs.load(place)
    points = stated_points(job, roof.lay_out(job))
    return Listed(job, points, surveys.plan(points, layout=_layout(job)))


def surveyed(place: str, readings: Path) -> Surveyed:
    """Settle the readings of a job's frame.

    Args:
        place: Job folder or file.
        readings: Readings file.

    Returns:
        What they say.

    Raises:
        InputError: Job or readings cannot be used; every finding at once.
    """
    job = jobs.load(place)
    frame = roof.lay_out(job)
    points = stated_points(job, frame)
    built = read_frame(job, frame, readings)
    bolts = tuple(name for name in built.names if name.startswith("t")) or built.feet
    gable = job.roof.shape == "gable"
    whole = len(bolts) == len(frame.bolts) and not gable
    outward = {name: _outward(points[name], gable=gable) for name in built.feet}
    shape = {name: points[name] for name in built.names if name in points}
    shape |= {name: _centre(frame) for name in built.names if name == "centre"}
    return Surveyed(
        job=job,
        built=built,
        legs=surveys.find_centre(built, bolts) if whole else None,
        standing=surveys.compare(built, shape, outward, system=job.show),
    )


def read_frame(job: Job, frame: Frame, readings: Path) -> AsBuilt:
    """Read and settle the readings of a frame.

    Args:
        job: As stated.
        frame: As drawn.
        readings: Readings file.

    Returns:
        The frame as it stands.

    Raises:
        InputError: SV-041 the file cannot be read; else what is wrong with its readings.
    """
    points = stated_points(job, frame) | {"centre": _centre(frame)}
    try:
        taken = surveys.read(readings, points)
    except OSError as fault:
        raise InputError(
            Finding(
                "SV-041",
                file=str(readings),
                key="readings",
                value=fault.strerror or "",
                bound="a file that can be read",
                remedy="Give the readings of the survey.",
            )
        ) from fault
    named = {name for reading in taken for name in (reading.start, reading.end)}
    return surveys.adjust(taken, {name: points[name] for name in points if name in named})


def _pairs(job: Job) -> Points:
    """Feet of every tied pair, clockwise from the north end: foot k faces foot 2m + 1 - k."""
    pairs = tied_pairs(job.roof)
    along = [job.roof.length * (0.5 - k / (pairs - 1)) for k in range(pairs)]
    half = job.roof.span / 2
    east = [(half, y, 0.0) for y in along]
    west = [(-half, y, 0.0) for y in reversed(along)]
    return {str(k): at for k, at in enumerate([*east, *west], start=1)}


def _outward(at: tuple[float, ...], *, gable: bool) -> tuple[float, float]:
    """Direction on plan in which a tie holds a foot. [-]"""
    if gable:
        return (1.0 if at[0] > 0 else -1.0, 0.0)
    size = float(np.hypot(at[0], at[1]))
    return (at[0] / size, at[1] / size)


def _centre(frame: Frame) -> tuple[float, ...]:
    return (float(frame.centre[0]), float(frame.centre[1]), 0.0)


def _layout(job: Job) -> Literal["ring", "pairs"]:
    return "pairs" if job.roof.shape == "gable" else "ring"
