"""From the job's part names and the frame to the tie as drawn."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import numpy as np

from rafterstay import catalog
from rafterstay.catalog.rows import Turnbuckle
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import show
from rafterstay.roof.frame import Floats, Frame
from rafterstay.tie.body import body_of, mass_of
from rafterstay.tie.nouns import Tie

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["SCREWED_IN", "rig", "turnbuckle_set"]

# A turnbuckle starts well open, because rope only grows: common practice, no source.
SCREWED_IN = 0.25


def turnbuckle_set(turnbuckle: Turnbuckle) -> float:
    """Pin-to-pin length of a turnbuckle as it is hung, a quarter screwed in.

    Args:
        turnbuckle: Catalogue row.

    Returns:
        Length. [m]

    Source: common practice, no source
    """
    return turnbuckle.closed + (1 - SCREWED_IN) * turnbuckle.take_up


def rig(job: Job, frame: Frame) -> Tie:
    """Rig legs to a ring, a band from foot to foot, or ties straight across.

    Args:
        job: Layout, parts, ring radius and pretension.
        frame: Where the bolts are.

    Returns:
        The tie as drawn: a regular ring, its eyes on the lines to the bolts; of a band leg k
        from bolt k to k + 1; straight across leg k from bolt k to the one opposite.

    Raises:
        InputError: A leg is too short for its turnbuckle and two eyes.
    """
    ply = job.catalogue.find("ply", job.rafter.ply)
    turnbuckle = job.catalogue.find("turnbuckle", job.parts.turnbuckle)
    thimble = job.catalogue.find("thimble", job.parts.thimble)
    body = body_of(job, frame.n) if job.tie.layout == "ring" else None
    starts, ends = _legs(job, frame, body.link if body else 0.0)
    lengths = np.linalg.norm(ends - starts, axis=1)
    opened = turnbuckle_set(turnbuckle)
    _require_room(job, lengths, opened + 4 * thimble.inside_length)
    has_ring = job.tie.layout == "ring"
    return Tie(
        n=len(starts),
        height=job.tie_height,
        bolt_points=starts,
        ring_points=ends,
        ring_radius=job.tie.ring_radius if has_ring else 0.0,
        leg_lengths=lengths,
        turnbuckle_set=opened,
        rope=job.catalogue.find("rope", job.parts.rope),
        ring_rope=job.catalogue.find(
            "rope", job.parts.ring_rope if has_ring and body is None else job.parts.rope
        ),
        turnbuckle=turnbuckle,
        bolt=job.catalogue.find("bolt", job.parts.bolt),
        thimble=thimble,
        sleeve=job.catalogue.find("sleeve", job.parts.sleeve),
        species=catalog.species(job.rafter.species, job.rafter.grade, ply.depth),
        ply=ply,
        plies=job.rafter.plies,
        gap=job.rafter.gap,
        eye_spacers=job.parts.eye_spacers,
        # "auto" is snug until it has been found.
        target=0.0 if job.pretension.target == "auto" else job.pretension.target,
        layout=job.tie.layout,
        ring=job.tie.ring,
        ring_mass=mass_of(body, len(starts)),
        body=body,
        ring_ropes=job.tie.ring_ropes or 1,
    )


def _legs(job: Job, frame: Frame, link: float) -> tuple[Floats, Floats]:
    """Where every leg starts and ends as drawn: bolt and eye crown. [m] (n, 3) each"""
    bolts = frame.nodes[frame.bolts]
    if job.tie.layout == "band":
        return bolts, np.roll(bolts, -1, axis=0)
    if job.tie.layout == "cross":
        half = frame.n // 2
        return bolts[:half], bolts[half:]
    held = _eyes(frame, bolts, job.tie.ring_radius - link)
    along = bolts - held
    return bolts, held + link * along / np.linalg.norm(along, axis=1)[:, None]


def _eyes(frame: Frame, bolts: Floats, radius: float) -> Floats:
    """Crowns of a regular ring, turned so that they look at the bolts as well as they can."""
    centre = np.array([*frame.centre, bolts[:, 2].mean()])
    if frame.ring_centre is not None:
        centre = frame.ring_centre
    out = bolts - centre
    regular = 2 * pi * np.arange(frame.n) / frame.n
    # A mean of directions, not of angles: nothing happens at north.
    off = np.exp(1j * (np.arctan2(out[:, 0], out[:, 1]) - regular))
    turn = regular + (float(np.angle(off.mean())) if frame.geometry == "measured" else 0.0)
    ring = np.column_stack([np.sin(turn), np.cos(turn), np.zeros(frame.n)])
    return np.asarray(centre + radius * ring)


def _require_room(job: Job, lengths: Floats, least: float) -> None:
    """Every leg holds its turnbuckle and four eyes."""
    if lengths.min() > least:
        return
    wanted, has = (show(each, "length", job.show) for each in (least, float(lengths.min())))
    shortest = f"(leg {int(lengths.argmin()) + 1} has {has})"
    room = f"each leg more than {wanted} for its turnbuckle and four eyes {shortest}"
    if job.tie.layout == "ring":
        found = Finding(
            code="IN-060",
            key="tie.ring_radius",
            value=show(job.tie.ring_radius, "length", job.show),
            bound=f"small enough to leave {room}",
            remedy="Make the ring smaller, take a shorter turnbuckle, or lower the tie.",
        )
    else:
        found = Finding(
            code="IN-061",
            key="parts.turnbuckle",
            value=job.parts.turnbuckle,
            bound=f"short enough to leave {room}",
            remedy="Take a shorter turnbuckle, or lower the tie.",
        )
    raise InputError(found)
