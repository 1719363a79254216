"""Which metals and timbers of a job wear one another out: told, not refused."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rafterstay.job import Job

__all__ = ["material_notes"]

_TOLD: Final = {
    "copper-timber": (
        "Copper in the treatment eats thin zinc: bolts, washers and spacers in this timber must "
        "be hot-dip galvanized or stainless, and no galvanized rope or thimble may lie against it."
    ),
    "treated-timber": (
        "The treatment is not named: ask its maker which bolts and washers last in it."
    ),
    "mixed-metals": (
        "Legs and ring are of different metals: where they touch and get wet, stainless eats the "
        "zinc of the other."
    ),
    "sleeve-metal": (
        "Plain copper sleeves are for galvanized rope, zinc-plated copper for stainless: the "
        "sleeve is not the one for this rope."
    ),
    "bright-rope": (
        "Bright rope has no zinc: it rusts from within where nobody sees it. Take galvanized or "
        "stainless rope for a leg that is to stay."
    ),
    "pool": "Over a pool every fitting must be galvanized or painted, and looked at every year.",
}


def material_notes(job: Job) -> tuple[tuple[str, str], ...]:
    """Tell what must be known of the job's materials.

    Args:
        job: Parts, site and treatment.

    Returns:
        Code and sentence of each note.

    Source: IRC 2021 R317.3 for fasteners in treated timber (from memory, 95 %); the rest is
        common practice, no source
    """
    return tuple((code, _TOLD[code]) for code in _found(job))


def _found(job: Job) -> Iterator[str]:
    treatment = job.site.timber_treatment
    if treatment != "none":
        yield "copper-timber" if treatment == "copper" else "treated-timber"
    ropes = (job.parts.rope, job.parts.ring_rope or job.parts.rope)
    legs, ring = ("stainless" in name for name in ropes)
    if legs != ring:
        yield "mixed-metals"
    if legs != ("zinc-plated" in job.parts.sleeve):
        yield "sleeve-metal"
    if any(" bright " in name for name in ropes):
        yield "bright-rope"
    if job.site.pool:
        yield "pool"
