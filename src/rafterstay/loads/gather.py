"""Every combination, pattern and direction the job asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.core.sources import Source
from rafterstay.loads.nouns import Case, Cases
from rafterstay.loads.spread import dead_lines, one_sided, snow_lines, uniform
from rafterstay.roof.frame import Floats, Frame

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["combine", "directions", "gather"]

COMBINATIONS = Source(
    "International Building Code", "2018", "1605.3.1 (basic, allowable stress)", "read", 97
)
# Load duration, NDS 2018 Table 2.3.2: permanent and two-month snow.
PERMANENT, SNOW = 0.9, 1.15


def directions(n: int) -> tuple[float, ...]:
    """Directions of one-sided snow: towards every leg and every middle of a side.

    Args:
        n: Number of hips.

    Returns:
        Clockwise from leg 1. [deg]

    >>> directions(3)
    (0.0, 60.0, 120.0, 180.0, 240.0, 300.0)
    """
    return tuple(180.0 * k / n for k in range(2 * n))


def gather(job: Job, frame: Frame) -> Cases:
    """Gather the cases of allowable stress design with dead load and snow.

    Args:
        job: Dead load per area of roof plane and snow on plan.
        frame: The roof.

    Returns:
        ``D``, then ``D+S`` and ``D+0.75S`` balanced and one-sided in all 2n directions. ``D``
        is left out where no dead load is stated; snow's where there is none.

    Source: International Building Code 2018, 1605.3.1, with L, Lr, R, W and E nil
    """
    dead = dead_lines(frame, job.loads.dead)
    setting = combine("D", dead, None, 0.0, pattern="dead")
    cases = [setting] if job.loads.dead > 0 else []
    pressure = job.loads.snow.roof
    if pressure > 0:
        for equation, factor in (("D+S", 1.0), ("D+0.75S", 0.75)):
            balanced = snow_lines(frame, pressure, uniform(frame))
            cases.append(combine(equation, dead, balanced, factor, pattern="balanced"))
            for direction in directions(frame.n):
                lines = snow_lines(frame, pressure, one_sided(frame, direction))
                cases.append(
                    combine(
                        equation, dead, lines, factor, pattern="unbalanced", direction=direction
                    )
                )
    if not cases:
        cases = [setting]
    return Cases(cases=tuple(cases), setting=setting, simplified_snow=pressure > 0)


def combine(
    equation: str,
    dead: tuple[Floats, Floats],
    snow: tuple[Floats, Floats] | None,
    snow_factor: float,
    *,
    pattern: str,
    direction: float | None = None,
) -> Case:
    """Add snow times its factor to the dead load.

    Args:
        equation: Name of the combination.
        dead: Lines and head loads of the dead load. [N/m, N]
        snow: Lines and head loads of the snow, or None. [N/m, N]
        snow_factor: Multiplies the snow. [-]
        pattern: Name of the pattern.
        direction: Towards the loaded side, clockwise from leg 1. [deg]

    Returns:
        The case, with the duration factor of its shortest load.
    """
    hips, heads = dead
    if snow is not None:
        hips, heads = hips + snow_factor * snow[0], heads + snow_factor * snow[1]
    return Case(
        equation=equation,
        pattern=pattern,
        direction_deg=direction,
        duration_factor=PERMANENT if snow is None else SNOW,
        dead_factor=1.0,
        hip_load=hips,
        head_load=heads,
        source=COMBINATIONS,
    )
