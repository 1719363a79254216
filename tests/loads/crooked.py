"""Roofs that are not quite regular, turned and mirrored at will, and shapely's view of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from rafterstay import roof
from rafterstay.job import Job
from rafterstay.loads.laid import Plan, eave_corners
from rafterstay.roof.lay_out import frame_between
from tests.statics.roofs import stated


def job_of(sides: int) -> Job:
    """A ten-sided reading room made over to another number of sides."""
    return stated("reading-room", roof__sides=sides)


def crooked(
    sides: int, wobble: list[float], *, turn_deg: float = 0.0, mirror: bool = False
) -> roof.Frame:
    """A roof whose feet and heads stand up to a few percent out.

    Args:
        sides: Number of hips.
        wobble: As many shares of a foot's radius and azimuth, each within 0.05.
        turn_deg: Turns it clockwise.
        mirror: Mirrors it in the line through north and south; leg 1 stays leg 1.
    """
    out = np.resize(np.array(wobble), (sides, 2))
    azimuth = (np.arange(sides) + 2 * out[:, 1]) * 2 * np.pi / sides
    if mirror:
        azimuth = np.roll(-azimuth[::-1], 1)
        out = np.roll(out[::-1], 1, axis=0)
    azimuth = azimuth + np.radians(turn_deg)
    outward = np.stack([np.sin(azimuth), np.cos(azimuth)], axis=1)
    feet = np.column_stack([3.4 * (1 + out[:, :1]) * outward, np.zeros(sides)])
    heads = np.column_stack([0.23 * (1 - out[:, :1]) * outward, np.full(sides, 2.1)])
    return frame_between(job_of(sides), feet, heads, outward=outward, geometry="measured")


def plate_of(frame: roof.Frame, overhang: float = 0.0) -> shapely.Polygon:
    """The plan of a roof to its plate, or to its eaves."""
    return shapely.Polygon(eave_corners(frame, overhang))


def beyond(plan: Plan, direction_deg: float, offset: float = 0.0) -> shapely.Polygon:
    """A very large half-plane about the hub's centre."""
    turn = np.radians(direction_deg)
    towards = np.array([np.sin(turn), np.cos(turn)])
    across = np.array([towards[1], -towards[0]])
    start = plan.frame.centre + offset * towards
    corners = [
        start + 90 * across,
        start - 90 * across,
        start - 90 * across + 90 * towards,
        start + 90 * across + 90 * towards,
    ]
    return shapely.Polygon(corners)


def with_overhang(job: Job, overhang: float) -> Job:
    """A job whose eaves stand out."""
    return replace(job, roof=replace(job.roof, overhang=overhang))
