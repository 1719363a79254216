"""The map of the checks: every part asked once, worst first, and what they come to."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from rafterstay.checks.duty import duty_of, prescriptive_of
from rafterstay.checks.judging import Asked
from rafterstay.checks.nouns import Check, Checks, Verdict
from rafterstay.checks.parts.bolt import bolt_steel, bolt_yield
from rafterstay.checks.parts.bolt_distances import bolt_distances
from rafterstay.checks.parts.eye import eye_fit
from rafterstay.checks.parts.eye_pin import eye_pin, shackle_load
from rafterstay.checks.parts.hub import hub_bearing, hub_drop, hub_shear, hub_tension
from rafterstay.checks.parts.hubplate import hubplate_bearing, hubplate_net, hubplate_tearout
from rafterstay.checks.parts.lost import leg_lost, ring_lost
from rafterstay.checks.parts.movement import leg_slack, ring_sag, ring_shift, wall_spread
from rafterstay.checks.parts.plate import plate_bending
from rafterstay.checks.parts.plate_joint import plate_joint
from rafterstay.checks.parts.plies import ply_blocks, ply_buckling
from rafterstay.checks.parts.rafter_bending import rafter_bending
from rafterstay.checks.parts.rafter_form import rafter_deflection, rafter_hole
from rafterstay.checks.parts.rafter_seat import holddown, rafter_bearing
from rafterstay.checks.parts.rafter_shear import rafter_shear, wood_net, wood_splitting
from rafterstay.checks.parts.rafter_stability import rafter_stability
from rafterstay.checks.parts.ring import ring_bend, ring_clearance, ring_pull
from rafterstay.checks.parts.ring_welded import ring_welded
from rafterstay.checks.parts.rope import rope_lifting, rope_strength
from rafterstay.checks.parts.snow import unbalanced_snow
from rafterstay.checks.parts.turnbuckle import turnbuckle_load, turnbuckle_thread

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.roof.frame import Frame
    from rafterstay.statics.lost import Losses
    from rafterstay.statics.nouns import Forces
    from rafterstay.tie.nouns import Tie

__all__ = ["OF_A_LOSS", "verify"]

CHECKS: Final[tuple[Callable[[Asked], Check | None], ...]] = (
    rope_strength,
    rope_lifting,
    eye_fit,
    eye_pin,
    shackle_load,
    ring_pull,
    ring_bend,
    ring_clearance,
    ring_welded,
    hubplate_net,
    hubplate_bearing,
    hubplate_tearout,
    turnbuckle_load,
    turnbuckle_thread,
    bolt_yield,
    bolt_steel,
    bolt_distances,
    wood_splitting,
    wood_net,
    rafter_bending,
    rafter_stability,
    rafter_shear,
    rafter_bearing,
    rafter_deflection,
    rafter_hole,
    ply_buckling,
    ply_blocks,
    plate_bending,
    plate_joint,
    hub_bearing,
    hub_shear,
    hub_tension,
    hub_drop,
    holddown,
    wall_spread,
    ring_sag,
    ring_shift,
    leg_slack,
    leg_lost,
    ring_lost,
)
OF_A_GABLE: Final = {
    "hip": "rafter",
    "Hip": "Rafter",
    "hips": "rafters",
    "hub": "ridge",
    "Hub": "Ridge",
}
OF_A_LOSS: Final = frozenset({"leg-lost", "ring-lost"})
"""They tell of the tie when a part is gone: the weakest part is sought with all in place."""

OF_EVERY_STATE: Final = (leg_slack, wall_spread)
OF_A_RING: Final[tuple[Callable[[Asked], Check | None], ...]] = (
    ring_pull,
    ring_bend,
    ring_clearance,
    ring_sag,
    ring_shift,
)
OF_A_ROPE_RING: Final = (ring_pull, ring_bend)


def verify(
    job: Job,
    frame: Frame,
    tie: Tie,
    forces: Forces,
    *,
    simplified_snow: bool,
    losses: tuple[Losses, ...] | None = None,
) -> Checks:
    """Set every part against what it is asked.

    Args:
        job: What the user states; its units are the working's units.
        frame: The roof.
        tie: The tie's parts.
        forces: Every state; those for least pulls and spread only (warm, dried, bedded in; dead
            load on what held it before the tie) are read by those checks alone.
        losses: Forces with a leg or a side of the ring gone; None where they were not sought.
        simplified_snow: One-sided snow is the simplified pattern; an engineer must decide.

    Returns:
        Checks worst first, the verdict, the weakest part and the duty of the tie.
    """
    asked = Asked(job, frame, tie, forces.for_strength(), losses or ())
    every = Asked(job, frame, tie, forces)
    left_out = () if tie.layout == "ring" else OF_A_RING
    left_out += () if tie.ring.startswith("rope") else OF_A_ROPE_RING
    left_out += () if losses is not None else (leg_lost,)
    asking = (
        check(every if check in OF_EVERY_STATE else asked)
        for check in CHECKS
        if check not in left_out
    )
    made = [found for found in asking if found is not None]
    snow = unbalanced_snow(simplified_snow)
    made += [snow] if snow else []
    if frame.shape == "gable":
        made = [_of_rafters(check) for check in made]
    made.sort(key=_badness)
    deciding = [check for check in made if check.decides]
    duty, why_duty = duty_of(asked)
    within, why_within = prescriptive_of(asked)
    return Checks(
        verdict=_verdict(deciding),
        weakest=max((each for each in deciding if each.id not in OF_A_LOSS), key=_fullness).id,
        duty=duty,
        prescriptive=within,
        checks=tuple(made),
        duty_why=why_duty,
        prescriptive_why=why_within,
    )


def _of_rafters(check: Check) -> Check:
    """The same in the words of a gable, which has rafters and a ridge for hips and a hub."""
    lines = tuple(replace(line, formula=_on_gable(line.formula)) for line in check.working)
    return replace(check, why=_on_gable(check.why), working=lines)


def _on_gable(text: str) -> str:
    for of_many_sides, word in OF_A_GABLE.items():
        text = re.sub(rf"\b{of_many_sides}\b", word, text)
    return text


def _fullness(check: Check) -> float:
    """Utilisation; a part that may not be used at all is beyond any, one not asked below."""
    if check.utilisation is not None:
        return check.utilisation
    return math.inf if check.status == "fails" else -math.inf


def _badness(check: Check) -> tuple[int, float]:
    return ("fails", "refer", "passes").index(check.status), -_fullness(check)


def _verdict(deciding: Sequence[Check]) -> Verdict:
    statuses = {check.status for check in deciding}
    return "fails" if "fails" in statuses else "refer" if "refer" in statuses else "passes"
