"""How the legs pull as they are set and once the prop is lowered, in words and as a document."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from rafterstay.core.quantities import System, show

if TYPE_CHECKING:
    from rafterstay.roof.frame import Floats
    from rafterstay.sheets.summary import Designed

__all__ = ["FIND_OUT", "setting_document", "setting_lines"]

_HOW: Final = {
    "propped": "Set with the {hub} on its prop",
    "standing": "Set on the roof as it stands, no prop under the {hub}",
}
_THEN: Final = {
    "propped": "With the prop lowered",
    "standing": "Once the tie alone holds the dead load",
}
FIND_OUT: Final = (
    "Nothing is stated to help, yet the roof stands: find out what holds it before anything is "
    "taken away."
)


def setting_document(design: Designed) -> dict[str, Any]:
    """The setting state of the bare bound.

    Args:
        design: A finished design.

    Returns:
        ``set_when``, pulls as set and lowered, prop and feet; None where it is not known.
    """
    setting = design.forces.setting
    lowered = [float(pull) if math.isfinite(pull) else None for pull in setting.lowered_pull]
    return {
        "set_when": design.job.pretension.set_when,
        "legs_N": [float(pull) for pull in setting.leg_pull],
        "lowered_N": None if None in lowered else lowered,
        "prop_N": float(setting.prop_force),
        "spread_m": float(setting.spread.max()),
    }


def setting_lines(design: Designed) -> list[str]:
    """The same in sentences.

    Args:
        design: A finished design.

    Returns:
        One sentence each: as set, and what comes after.
    """
    setting, system = design.forces.setting, design.job.show
    how = design.job.pretension.set_when
    if not np.isfinite(setting.lowered_pull).all():
        return ["No dead load is stated, so nothing pulls while the legs are set snug."]
    prop = show(setting.prop_force, "force", system, rounding="up")
    hub = "ridge" if design.frame.shape == "gable" else "hub"
    carried = f"; the prop carries {prop}" if how == "propped" else ""
    lines = [
        f"{_HOW[how].format(hub=hub)}: {_pulls(setting.leg_pull, system)}{carried}.",
        f"{_THEN[how]}: {_pulls(setting.lowered_pull, system)}.",
    ]
    target, held = design.tie.target, float(setting.leg_pull.mean())
    if design.job.support.help_stated and target > 1.001 * held:
        asked = show(target, "force", system)
        lines.append(
            f"That is without the help that is stated: the dead load holds no more. With it the "
            f"legs are set to {asked}, the target."
        )
    return lines


def _pulls(pulls: Floats, system: System) -> str:
    """One pull for all legs, or the least and the largest."""
    least, most = int(pulls.argmin()), int(pulls.argmax())
    said = [show(float(pulls[k]), "force", system) for k in (least, most)]
    if said[0] == said[1]:
        return said[0] if len(pulls) == 1 else f"{said[0]} in every leg"
    return f"{said[0]} in leg {least + 1} to {said[1]} in leg {most + 1}"
