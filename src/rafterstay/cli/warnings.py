"""What a reader of a check must be told beside its verdict."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from rafterstay.checks.practice.materials import material_notes
from rafterstay.cli.setting_report import FIND_OUT
from rafterstay.core.quantities import show
from rafterstay.job import Job
from rafterstay.sheets.summary import Designed

__all__ = ["NOT_COVERED", "Warned", "own_rows", "stand_ins", "warnings_of"]

# What a whole roof asks for, by the check that looks at it where it is made; "" where none does.
NOT_COVERED: Final = {
    "wind on the walls": "",
    "earthquake": "",
    "the joints of the plate": "plate-joint",
    "the loss of a leg or of the ring": "leg-lost",
}


@dataclass(frozen=True)
class Warned:
    """A warning by its code, in one sentence."""

    code: str
    text: str


def warnings_of(design: Designed) -> tuple[Warned, ...]:
    """Everything a reader of this design must be told beside its verdict.

    Args:
        design: A finished design.

    Returns:
        At least what this version does not cover.
    """
    judged = {check.id for check in design.checks.checks}
    missing = [name for name, check_id in NOT_COVERED.items() if check_id not in judged]
    found = [Warned("not-covered", f"Not covered by this check: {', '.join(missing)}.")]
    if design.cases.simplified_snow:
        text = (
            "One-sided snow is taken as one half of the roof full and the other half 0.3 of it, "
            "because only the snow on the roof was stated: an engineer must confirm the pattern."
        )
        found.append(Warned("snow-simplified", text))
    found += [Warned("loads", told) for told in design.cases.told]
    found += _readings(design)
    found += _stands_by_what(design)
    found += _carried_off(design)
    found += _slack(design)
    found += _lifting(design)
    found += [Warned(code, text) for code, text in material_notes(design.job)]
    found += _from_memory(design)
    found += stand_ins(design.job)
    found += own_rows(design.job)
    return tuple(found)


def stand_ins(job: Job) -> list[Warned]:
    """Answers that nobody has given yet.

    Args:
        job: As stated.

    Returns:
        One warning, or none.
    """
    if not job.stand_ins:
        return []
    named = ", ".join(job.stand_ins)
    text = (
        f"Provisional: nobody has answered yet, and a stand-in is used: {named}. Nothing passes "
        "until each is answered on the page, or the note at the end of job.toml is taken out."
    )
    return [Warned("stand-ins", text)]


def own_rows(job: Job) -> list[Warned]:
    """Rows of the user's own catalogue that a job uses, each with what tells it apart.

    Args:
        job: Its parts, and where they are looked up.

    Returns:
        A warning a row; its SHA-256 is that of the row's cells with their names and units.
    """
    return [
        Warned(
            "own-part",
            f"{own.part.name} is a row of your own catalogue ({own.file} line {own.line}, "
            f"SHA-256 {own.sha256}): its figures are as good as the source it names, "
            f"{own.part.source.title}.",
        )
        for own in job.own_parts
    ]


def _readings(design: Designed) -> list[Warned]:
    if design.built is None:
        return []
    found = [Warned("survey-note", note) for note in design.built.notes]
    for one in design.built.blunders:
        slip = f" ({one.likely_slip})" if one.likely_slip else ""
        text = (
            f"The reading from {one.start} to {one.end} cannot be right{slip} and was left out: "
            "take it again."
        )
        found.append(Warned("blunder", text))
    return found


def _stands_by_what(design: Designed) -> list[Warned]:
    if design.job.pretension.set_when != "standing" or design.job.support.help_stated:
        return []
    return [Warned("standing", FIND_OUT)]


def _carried_off(design: Designed) -> list[Warned]:
    left_out = design.forces.left_out
    if not left_out:
        return []
    which = left_out[0] if len(left_out) == 1 else f"{left_out[0]} and {len(left_out) - 1} more"
    text = (
        f"Uplift draws the feet in, which no rope prevents: {which} stand by the walls or the "
        "plate that the job states, and by nothing else."
    )
    return [Warned("uplift", text)]


def _slack(design: Designed) -> list[Warned]:
    legs = np.flatnonzero(np.asarray(design.forces.slack).any(axis=0)) + 1
    if not legs.size:
        return []
    named = ", ".join(map(str, legs))
    text = f"In at least one combination these legs are slack: {named}."
    return [Warned("leg-slack", text)]


def _lifting(design: Designed) -> list[Warned]:
    least = np.asarray(design.forces.foot_reaction)
    row, foot = np.unravel_index(int(least.argmin()), least.shape)
    if least[row, foot] >= 0.0:
        return []
    force = show(-float(least[row, foot]), "force", design.job.show)
    text = f"Foot {foot + 1} must be held down with {force} in {design.forces.states[row].id}."
    return [Warned("hold-down", text)]


def _from_memory(design: Designed) -> list[Warned]:
    sources = [source for check in design.checks.checks for source in check.sources]
    sources += design.cases.sources
    titles = dict.fromkeys(str(source) for source in sources if source.obtained == "memory")
    if not titles:
        return []
    return [Warned("from-memory", f"Taken from memory, to be looked up: {'; '.join(titles)}.")]
