"""From the sizes of a roof to its nodes and beams."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from rafterstay import catalog
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import show
from rafterstay.roof.area import hub_wedges, polygon_area, wedges
from rafterstay.roof.frame import Floats, Frame, Member
from rafterstay.roof.gable import OUTWARD, as_gable, tied_pair

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["frame_between", "lay_out"]

Indices = NDArray[np.intp]

# Shear modulus of sawn lumber over its modulus along the grain: common practice, no source;
# it only enters the twist of a hub ring.
SHEAR_RATIO = 1 / 16


def lay_out(job: Job) -> Frame:
    """Lay out a roof as drawn: regular and many-sided, or the tied pair of a gable.

    Args:
        job: What the user states.

    Returns:
        The frame, leg 1 at azimuth 000, numbered clockwise seen from above.

    Raises:
        DataError: The catalogue has no such ply, species or grade.
        InputError: IN-072 the beams of a hub ring are so wide that they leave no opening.

    Source: geometry of a regular polygon; docs/theory/gable.md section 1
    """
    roof = job.roof
    if roof.shape == "gable":
        feet, heads = tied_pair(roof)
        pair = frame_between(job, feet, heads, outward=OUTWARD, geometry="designed")
        return as_gable(pair, roof)
    azimuth = 2 * pi * np.arange(roof.sides) / roof.sides
    outward = np.stack([np.sin(azimuth), np.cos(azimuth)], axis=1)
    feet = np.column_stack([roof.plate_radius * outward, np.zeros(roof.sides)])
    heads = np.column_stack([roof.hub_radius * outward, np.full(roof.sides, roof.rise)])
    return frame_between(job, feet, heads, outward=outward, geometry="designed")


def frame_between(
    job: Job,
    feet: Floats,
    heads: Floats,
    *,
    outward: Floats,
    geometry: Literal["designed", "measured"],
) -> Frame:
    """Build the frame of straight hips between given feet and heads.

    Args:
        job: Sections, hub and tie height.
        feet: Bearing centres, clockwise. [m] (n, 3)
        heads: Bearing centres, clockwise. [m] (n, 3)
        outward: Unit plan vectors along which the feet may slide. [-] (n, 2)
        geometry: Whether the points are drawn or surveyed.

    Returns:
        The frame.

    Raises:
        DataError: The catalogue has no such ply, species or grade.
        InputError: IN-072 the beams of a hub ring are so wide that they leave no opening.
    """
    n = len(feet)
    hub_node = -1 if job.roof.hub == "ring" else 3 * n
    fraction = job.tie_height / job.roof.rise
    has_bolts = fraction > 0
    feet_at = np.arange(n)
    heads_at = np.arange(n, 2 * n)
    bolts_at = np.arange(2 * n, 3 * n) if has_bolts else feet_at
    points = [feet, heads]
    names = [f"foot {k + 1}" for k in range(n)] + [f"head {k + 1}" for k in range(n)]
    if has_bolts:
        points.append(feet + fraction * (heads - feet))
        names += [f"tie bolt {k + 1}" for k in range(n)]
    if hub_node >= 0:
        hub_node = len(names)
        points.append(heads.mean(axis=0)[None, :])
        names.append("hub")
    corners_at = None
    if job.roof.hub == "ring" and heads_bear(job):
        corners_at = np.arange(len(names), len(names) + n)
        points.append(heads)
        names += [f"hub corner {k + 1}" for k in range(n)]
    nodes = np.concatenate(points)
    centre = heads[:, :2].mean(axis=0)
    pieces = wedges(feet[:, :2], heads[:, :2])
    plan = np.column_stack([outward, np.zeros(n)])
    reach = feet[:, None, :2] - feet[None, :, :2]
    return Frame(
        n=n,
        nodes=nodes,
        names=tuple(names),
        members=(
            *_hips(job, nodes, feet_at, bolts_at, heads_at),
            *_hub_ring(job, nodes, heads_at if corners_at is None else corners_at),
        ),
        feet=feet_at,
        bolts=bolts_at,
        heads=heads_at,
        hub=job.roof.hub or "point",
        hub_node=hub_node,
        heads_bear=heads_bear(job),
        outward=plan,
        sideways=np.column_stack([-outward[:, 1], outward[:, 0], np.zeros(n)]),
        tributary=polygon_area(pieces).sum(axis=1),
        wedges=pieces,
        hub_wedges=hub_wedges(heads[:, :2], centre),
        plane_slope=_plane_slope(feet, heads),
        centre=centre,
        rise=job.roof.rise,
        span=float(np.sqrt((reach**2).sum(axis=-1)).max()),
        deck=job.roof.bracing != "none",
        geometry=geometry,
        jacks=job.roof.infill == "jacks",
        hub_corners=corners_at,
    )


def heads_bear(job: Job) -> bool:
    """Whether heads bear on a hub of some size over their full depth.

    Args:
        job: What the user states of hub and heads.

    Returns:
        False for a point, and where heads are stated to be pinned.

    Source: docs/theory/hub.md section 7
    """
    return job.roof.hub in {"disc", "ring"} and job.roof.heads == "bearing"


def _plane_slope(feet: Floats, heads: Floats) -> Floats:
    """Rise over run square to the plate side of each face: the plane's slope, not the hip's.

    A pair has no face between its hips but the one each lies in.
    """
    if len(feet) == 2:
        hip = heads - feet
        return np.asarray(hip[:, 2] / np.linalg.norm(hip[:, :2], axis=1))
    side = (feet + np.roll(feet, -1, axis=0)) / 2
    inner = (heads + np.roll(heads, -1, axis=0)) / 2
    along = np.roll(feet, -1, axis=0) - feet
    run = inner - side
    square = np.abs(along[:, 0] * run[:, 1] - along[:, 1] * run[:, 0])
    return np.asarray(run[:, 2] * np.linalg.norm(along[:, :2], axis=1) / square)


def _hips(job: Job, nodes: Floats, feet: Indices, bolts: Indices, heads: Indices) -> list[Member]:
    """Beams of the hips, free of moment at the foot and at a head that does not bear on a hub."""
    ply = job.catalogue.find("ply", job.rafter.ply)
    timber = catalog.species(job.rafter.species, job.rafter.grade, ply.depth)
    count = job.rafter.plies
    area = count * ply.thickness * ply.depth
    strong = count * ply.thickness * ply.depth**3 / 12
    weak = count * ply.depth * ply.thickness**3 / 12
    bearing = heads_bear(job)
    members = []
    for k, (foot, bolt, head) in enumerate(zip(feet, bolts, heads, strict=True)):
        axis = nodes[head] - nodes[foot]
        across = np.cross(axis, (0.0, 0.0, 1.0))
        up = np.cross(across, axis)
        spans = [(foot, head)] if bolt == foot else [(foot, bolt), (bolt, head)]
        for start, end in spans:
            members.append(
                Member(
                    name=f"hip {k + 1}",
                    start=int(start),
                    end=int(end),
                    up=_unit(up),
                    e=timber.e,
                    g=timber.e * SHEAR_RATIO,
                    area=area,
                    strong=strong,
                    weak=weak,
                    torsion=strong + weak,
                    pinned=(bool(start == foot), bool(end == head) and not bearing),
                    loose=(bool(start == foot), bool(end == head)),
                )
            )
    return members


def _hub_ring(job: Job, nodes: Floats, corners: Indices) -> list[Member]:
    """Beams of a hub ring from corner to corner."""
    if job.roof.hub != "ring":
        return []
    _require_open(job, nodes[corners, :2])
    ply = job.catalogue.find("ply", job.rafter.ply)
    timber = catalog.species(job.rafter.species, job.rafter.grade, ply.depth)
    width, depth = job.roof.hub_width or 0.0, job.roof.hub_depth or 0.0
    pinned = job.roof.hub_joints == "pinned"
    return [
        Member(
            name=f"hub ring {k + 1}",
            start=int(corners[k]),
            end=int(corners[(k + 1) % len(corners)]),
            up=(0.0, 0.0, 1.0),
            e=timber.e,
            g=timber.e * SHEAR_RATIO,
            area=width * depth,
            strong=width * depth**3 / 12,
            weak=depth * width**3 / 12,
            torsion=rectangle_torsion(width, depth),
            pinned=(pinned, pinned),
            loose=(pinned, pinned),
        )
        for k in range(len(corners))
    ]


def _require_open(job: Job, heads: Floats) -> None:
    """Refuse beams whose inner faces meet: what is left is no ring of beams but a block."""
    corners = heads - heads.mean(axis=0)
    sides = np.roll(corners, -1, axis=0) - corners
    twice = np.abs(corners[:, 0] * sides[:, 1] - corners[:, 1] * sides[:, 0])
    room, width = float((twice / np.hypot(*sides.T)).min()), job.roof.hub_width or 0.0
    if width < room:
        return
    raise InputError(
        Finding(
            "IN-072",
            key="roof.hub_width",
            value=show(width, "length", job.show),
            bound="under what lies between the ring's sides and its middle, "
            + show(room, "length", job.show),
            remedy='Make the beams narrower or the ring larger; a solid block is hub = "disc".',
        )
    )


def rectangle_torsion(width: float, depth: float) -> float:
    """Torsion constant of a solid rectangle.

    Args:
        width: One side. [m]
        depth: The other side. [m]

    Returns:
        Torsion constant. [m4]

    Limits: within 0.5 % of the exact series for every ratio of the sides (tests/roof).
    Source: Roark's Formulas for Stress and Strain, table of torsion, solid rectangle
        (value from memory, 95 %)

    >>> round(rectangle_torsion(1.0, 1.0), 4)
    0.1408
    """
    short, long = min(width, depth), max(width, depth)
    ratio = short / long
    return long * short**3 * (1 / 3 - 0.21 * ratio * (1 - ratio**4 / 12))


def _unit(vector: Floats) -> tuple[float, float, float]:
    x, y, z = (vector / np.linalg.norm(vector)).tolist()
    return (x, y, z)
