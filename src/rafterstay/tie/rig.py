"""From the job's part names and the frame to the tie as drawn."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import numpy as np

from rafterstay import catalog
from rafterstay.catalog.rows import Turnbuckle
from rafterstay.core.errors import Finding, InputError
from rafterstay.roof.frame import Frame
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
    """Rig legs from every tie bolt to a ring at the height of the bolts.

    Args:
        job: Parts, ring radius and pretension.
        frame: Where the bolts are.

    Returns:
        The tie as drawn: a regular ring, its eyes on the lines to the bolts.

    Raises:
        InputError: A leg is too short for its turnbuckle and two eyes.
    """
    ply = catalog.find("ply", job.rafter.ply)
    turnbuckle = catalog.find("turnbuckle", job.parts.turnbuckle)
    thimble = catalog.find("thimble", job.parts.thimble)
    bolts = frame.nodes[frame.bolts]
    turn = 2 * pi * np.arange(frame.n) / frame.n
    eyes = np.column_stack(
        [
            frame.centre[0] + job.tie.ring_radius * np.sin(turn),
            frame.centre[1] + job.tie.ring_radius * np.cos(turn),
            np.full(frame.n, bolts[:, 2].mean()),
        ]
    )
    lengths = np.linalg.norm(eyes - bolts, axis=1)
    opened = turnbuckle_set(turnbuckle)
    least = opened + 4 * thimble.inside_length
    if lengths.min() <= least:
        raise InputError(
            Finding(
                code="IN-060",
                key="tie.ring_radius",
                value=f"{job.tie.ring_radius:.3f} m",
                bound=(
                    f"small enough to leave each leg more than {least:.3f} m for its turnbuckle "
                    f"and four eyes (leg {int(lengths.argmin()) + 1} has {lengths.min():.3f} m)"
                ),
                remedy="Make the ring smaller, take a shorter turnbuckle, or lower the tie.",
            )
        )
    return Tie(
        n=frame.n,
        height=job.tie_height,
        bolt_points=bolts,
        ring_points=eyes,
        ring_radius=job.tie.ring_radius,
        leg_lengths=lengths,
        turnbuckle_set=opened,
        rope=catalog.find("rope", job.parts.rope),
        ring_rope=catalog.find("rope", job.parts.ring_rope),
        turnbuckle=turnbuckle,
        bolt=catalog.find("bolt", job.parts.bolt),
        thimble=thimble,
        sleeve=catalog.find("sleeve", job.parts.sleeve),
        species=catalog.species(job.rafter.species, job.rafter.grade, ply.depth),
        ply=ply,
        plies=job.rafter.plies,
        gap=job.rafter.gap,
        eye_spacers=job.parts.eye_spacers,
        target=job.pretension.target,
    )
