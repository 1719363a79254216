"""Reference value of a bolt that carries a steel eye between two plies of wood."""

from __future__ import annotations

from dataclasses import dataclass

from rafterstay.checks.nds_2018.bearing import (
    STEEL_BEARING,
    Mode,
    angled_bearing,
    bolt_moment,
    parallel_bearing,
    perpendicular_bearing,
)
from rafterstay.checks.nds_2018.dowel import (
    Joint,
    Reference,
    lever_shares,
    reference_value,
    single_shear_loads,
)

__all__ = ["EyeBolt", "EyeBoltValue", "eye_bolt_value"]


@dataclass(frozen=True)
class EyeBolt:
    """A bolt through two plies with an eye between them.

    Attributes:
        diameter: Of the bolt, 1/4 to 1 in. [m]
        yield_bending: Fyb. [Pa]
        gravity: Specific gravity of the wood. [-]
        ply: Thickness of each ply. [m]
        eye: Width of the steel eye along the bolt. [m]
        near: Clear from the eye to the nearer ply. [m]
        far: Clear to the other ply; equal to ``near`` where spacers hold the eye central. [m]
    """

    diameter: float
    yield_bending: float
    gravity: float
    ply: float
    eye: float
    near: float
    far: float


@dataclass(frozen=True)
class EyeBoltValue:
    """What the bolt carries, and the pieces of the answer.

    Attributes:
        bearing: Fe of the wood at the angle. [Pa]
        joint: Of the nearer plane.
        near: Value of the nearer shear plane.
        far: Value of the farther shear plane.
        eye: Value of the bolt's bearing on the eye. [N]
        near_share: Of the pull. [-]
        value: Reference design value Z of the whole bolt. [N]
    """

    bearing: float
    joint: Joint
    near: Reference
    far: Reference
    eye: float
    near_share: float
    value: float


def eye_bolt_value(bolt: EyeBolt, angle: float) -> EyeBoltValue:
    """Reference design value of the bolt, C_D and C_delta not yet applied.

    Args:
        bolt: Sizes and materials.
        angle: Between the pull and the grain, 0 to pi/2. [rad]

    Returns:
        Value and its pieces; it falls steadily as the angle grows.

    Limits: the eye turns freely on the bolt and does not tilt along it; each plane is one half
        of a double-shear joint with that plane's own gap.

    Source: AWC TR12 (2015) Table 1-1; NDS 2018 12.3; docs/theory/bolt-with-gap.md

    >>> inch, psi = 0.0254, 6894.757293168361
    >>> bolt = EyeBolt(0.625 * inch, 45e3 * psi, 0.5, 1.5 * inch, 0.41 * inch, 0.0, 0.0)
    >>> round(eye_bolt_value(bolt, 0.0).value / 4.4482216152605)
    2276
    """
    across = perpendicular_bearing(bolt.gravity, bolt.diameter)
    bearing = angled_bearing(parallel_bearing(bolt.gravity), across, angle)

    def plane(gap: float) -> tuple[Joint, Reference]:
        joint = Joint(
            main=STEEL_BEARING * bolt.diameter,
            side=bearing * bolt.diameter,
            main_length=bolt.eye,
            side_length=bolt.ply,
            moment=bolt_moment(bolt.yield_bending, bolt.diameter),
            gap=gap,
        )
        loads = single_shear_loads(joint)
        # II, IIIm: the main member tilts, which an eye held by two planes does not.
        kept: dict[Mode, float] = {mode: loads[mode] for mode in ("Is", "IIIs", "IV")}
        return joint, reference_value(kept, bolt.diameter, angle)

    joint, near = plane(bolt.near)
    _, far = plane(bolt.far)
    eye = reference_value({"Im": joint.main * bolt.eye}, bolt.diameter, angle).value
    near_share, far_share = lever_shares(bolt.ply, bolt.eye, bolt.near, bolt.far)
    value = min(eye, near.value / near_share, far.value / far_share)
    return EyeBoltValue(bearing, joint, near, far, eye, near_share, value)
