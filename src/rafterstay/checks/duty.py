"""Which tie of the code this one stands for, and whether its tables cover the roof."""

from __future__ import annotations

from typing import Literal

from rafterstay.checks.irc_2021.raised_tie import Duty, duty, prescriptive
from rafterstay.checks.judging import Asked
from rafterstay.checks.parts.hub import hub_tension

__all__ = ["duty_of", "prescriptive_of"]


def duty_of(asked: Asked) -> tuple[Duty, str]:
    """Tell the duty of a tie by its height, and of its hub by what its joints hold."""
    stated = asked.job.roof.hub_tension_allowable > 0.0
    held = stated and hub_tension(asked).status == "passes"
    return duty(asked.tie.height / asked.frame.rise, heads_held=held)


def prescriptive_of(asked: Asked) -> tuple[Literal["within", "outside"], str]:
    """Set shape, slope, span, loads and height of the tie against the prescriptive tables."""
    job, frame = asked.job, asked.frame
    snow = (job.loads.snow.roof, job.loads.snow.ground)
    return prescriptive(
        sides=0 if frame.shape == "gable" else frame.n,
        height_ratio=asked.tie.height / frame.rise,
        slope=float(frame.plane_slope.min()),
        span=frame.span,
        snow=max((each for each in snow if each is not None), default=0.0),
        dead=job.loads.dead,
        ties_apart=job.roof.tie_every * job.roof.spacing if frame.shape == "gable" else 0.0,
    )
