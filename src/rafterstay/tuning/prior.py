"""What is believed of a tie before any reading: the cut list, the survey and the catalogue."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.roof.frame import Floats
from rafterstay.shop.allowances import UNMEASURED, making_of, take_up_of
from rafterstay.shop.measured import as_surveyed
from rafterstay.statics.condense import skeleton
from rafterstay.statics.holds import thrust_today
from rafterstay.statics.nouns import State
from rafterstay.statics.setting import set_legs
from rafterstay.tuning.friction import EYES, is_held, stuck
from rafterstay.tuning.model import Model

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.loads import Cases
    from rafterstay.roof import Frame
    from rafterstay.survey import AsBuilt
    from rafterstay.tie import Tie

__all__ = ["Prior", "model_of", "prior_of"]

# Half a factor to twice: what a frame of sawn timber and its joints may be beside the model,
# common practice, no source.
FRAME: Final = log(2.0) / sqrt(3.0)
ROPE: Final = 0.30 / sqrt(3.0)  # EA within 30 %, as the cut list takes it [-]
PLACE: Final = sqrt(2.0) * 0.0254 / 16  # of a side: two eyes' places on the ring rope [m]
LEAST_WALLS: Final = 0.2  # of the logarithm, however narrow the job states them [-]


@dataclass(frozen=True)
class Prior:
    """Means and standard deviations before any reading.

    Attributes:
        leg: Each leg's rope and distance, longer than cut for. [m] (n,)
        leg_sigma: [m] (n,)
        body_sigma: Of each body's opening where it is not read. [m]
        side_sigma: Of a side of the ring. [m]
        rope_sigma: Of the logarithm of EA. [-]
        frame_sigma: Of the logarithm of the frame's stiffness. [-]
        walls_sigma: Of the logarithm of the walls' stiffness. [-]
    """

    leg: Floats
    leg_sigma: Floats
    body_sigma: float
    side_sigma: float = PLACE
    rope_sigma: float = ROPE
    frame_sigma: float = FRAME
    walls_sigma: float = FRAME


def model_of(
    frame: Frame,
    tie: Tie,
    cases: Cases,
    *,
    walls: tuple[float, float] | None,
    set_temperature: float,
    plate: tuple[Floats, Floats] | None = None,
    standing: bool = False,
) -> Model:
    """The tie as drawn and set, to be compared with readings.

    Args:
        frame: The roof.
        tie: Its tie, its target known.
        cases: For the load while the legs are tuned.
        walls: Least and most stiffness at each foot, None for no help. [N/m]
        set_temperature: At which the legs are to pull what is asked. [K]
        plate: Least and most pull of each side of the plate by its lengthening, None where it is
            jointed. [N/m] (n,) each
        standing: The roof stood on its walls before the tie was set: no prop, and what carries
            the dead load's thrust goes on carrying it.

    Returns:
        The model; stiffness of walls and plate is the geometric mean, and a ring rope that could
        slide is held by its eyes.

    Raises:
        InputError: TU-010 no ring, or legs without turnbuckles.
        Mechanism: The target pull cannot be held.
    """
    if tie.layout != "ring" or not tie.has_turnbuckles:
        raise InputError(
            Finding(
                "TU-010",
                key="tie.layout",
                value=tie.layout,
                bound="a ring with a turnbuckle in every leg, where a tie is tuned",
                remedy="Set a band or straight ties one by one, with `gauge`.",
            )
        )
    spring = sqrt(walls[0] * walls[1]) if walls else 0.0
    sides = () if plate is None else tuple(np.sqrt(plate[0] * plate[1]).tolist())
    held = thrust_today(skeleton(frame), cases.setting) if standing else ()
    state = State(cases.setting, wall_stiffness=spring, plate_stiffness=sides)
    legs = set_legs(
        skeleton(frame),
        tie,
        cases.setting,
        state=state,
        leg_extra=None,
        walls_help=walls is not None or plate is not None,
        standing=held,
    )
    bones = skeleton(frame, propped=not standing)
    model = Model(
        bones,
        tie,
        legs.links,
        cases.setting,
        spring,
        set_temperature,
        plate=sides,
        standing=held,
    )
    return stuck(model) if legs.links.web.sliding else model


def prior_of(job: Job, model: Model, built: AsBuilt | None = None) -> Prior:
    """What the cut list and the survey let expect.

    Args:
        job: Drying and walls.
        model: The tie.
        built: The survey, where the frame was measured.

    Returns:
        The prior.

    Source: docs/theory/take-up.md; docs/theory/tuning.md section 3
    """
    tie = model.tie
    sigmas = [UNMEASURED] * tie.n
    if built is not None:
        sigmas = list(as_surveyed(model.bones.frame, tie, built).sigmas)
    making = making_of(tie.rope, tie.sleeve, prestretched=False)
    mean, spread = [], []
    for k, sigma in enumerate(sigmas):
        length = float(model.links.leg_length[0, k, [0, 2]].sum())
        takes = take_up_of(
            making,
            rope_length=length,
            stretch=length * tie.target / tie.rope.stiffness,
            drying=0.0,
            distance_sigma=sigma,
            measured=built is not None,
        )
        mean.append(takes.mean)
        spread.append(sqrt(takes.sigma**2 + sum(half**2 for half in takes.halves) / 3.0))
    stated = [one for one in (job.support.wall_stiffness, _of_plate(job)) if one]
    width = max((log(most / least) / sqrt(12.0) for least, most in stated), default=FRAME)
    return Prior(
        leg=np.array(mean),
        leg_sigma=np.array(spread),
        body_sigma=tie.turnbuckle.take_up / sqrt(12.0),
        side_sigma=EYES if is_held(model) else PLACE,
        walls_sigma=max(width, LEAST_WALLS),
    )


def _of_plate(job: Job) -> tuple[float, float] | None:
    """Least and most of what a joint of a plate that runs on opens. [m]"""
    return job.support.joint_slip if job.support.plate == "continuous" else None
