"""The plate as a ring of timbers: how much each side pulls back when it is lengthened."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rafterstay import catalog
from rafterstay.roof.frame import Floats, Frame

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["plate_sides", "side_stiffness"]


def plate_sides(job: Job, frame: Frame) -> tuple[Floats, Floats] | None:
    """Least and most stiffness of every side of a continuous plate.

    Args:
        job: Plate, its joints, species and grade of the rafters.
        frame: Where the feet stand.

    Returns:
        Pull by lengthening, joints included: with the most slip and with the least. [N/m]
        (n,) each; None where the plate is jointed.

    Source: docs/theory/plate-ring.md eq. 3
    """
    support = job.support
    if support.plate != "continuous" or not support.joint_capacity or not support.joint_slip:
        return None
    ply = job.catalogue.find("ply", support.plate_ply or "")
    timber = catalog.species(job.rafter.species, job.rafter.grade, ply.depth)
    rigidity = timber.e * (support.plate_plies or 1) * ply.thickness * ply.depth
    feet = frame.nodes[frame.feet]
    lengths = np.linalg.norm(np.roll(feet, -1, axis=0) - feet, axis=1)
    least, most = support.joint_slip
    return (
        side_stiffness(lengths, rigidity, support.joint_capacity / most),
        side_stiffness(lengths, rigidity, support.joint_capacity / least),
    )


def side_stiffness(lengths: Floats, rigidity: float, joint: float) -> Floats:
    """Stiffness of sides of plate, each with one joint: half of one at either corner.

    Args:
        lengths: Corner to corner. [m] (n,)
        rigidity: Modulus times area of the plate. [N]
        joint: Pull of a joint by its slip. [N/m]

    Returns:
        Pull by lengthening. [N/m] (n,)

    Source: springs in series; docs/theory/plate-ring.md eq. 3

    >>> side_stiffness(np.array([2.0]), 4e6, 2e6).tolist()
    [1000000.0]
    """
    return np.asarray(1 / (lengths / rigidity + 1 / joint))
