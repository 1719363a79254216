"""The first pages: what the tie is for, what was taken for it, and how the frame stands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from rafterstay.core.cautions import CAUTIONS
from rafterstay.core.quantities import show
from rafterstay.job.keys import Height, Key, Quantity
from rafterstay.job.nouns import keys
from rafterstay.packet.nouns import (
    Block,
    Column,
    Page,
    Told,
    heading,
    listed,
    numbered,
    para,
    ruled,
)
from rafterstay.packet.strength import working_rows
from rafterstay.sheets.summary import Designed, largest_pull, leg_pulls, share
from rafterstay.sheets.words import GEOMETRY, verdict_words

if TYPE_CHECKING:
    from rafterstay.core.quantities import System
    from rafterstay.job import Job
    from rafterstay.packet.literal import Words
    from rafterstay.survey import AsBuilt

__all__ = [
    "cautions_page",
    "cover_blocks",
    "cover_page",
    "criteria_page",
    "duty_said",
    "job_rows",
    "standing_page",
    "stated_rows",
]

_DUTY = {
    "rafter tie": "This tie does the duty of a rafter tie: it holds the thrust at the feet.",
    "collar tie": "This tie does the duty of a collar tie: it holds the heads together in wind.",
    "both": "This tie does both duties: rafter tie, holding the thrust at the feet, and collar "
    "tie, holding the heads together in wind.",
    "neither": "By its height this tie does neither duty by the code's own rule: it is no rafter "
    "tie in the lower third and no collar tie that holds the heads. An engineer must decide.",
}
_COVERED = (
    "Covered: pulls of the tie and what they ask of rope, eyes, sleeves, turnbuckles, bolts, ring, "
    "rafters, hub and plate, under the loads on the criteria page."
)
_TABLES = ("roof", "support", "loads", "rafter", "tie", "parts", "pretension", "limits", "site")


def cover_page(design: Designed, title: str, told: Sequence[Told]) -> Page:
    """Title, verdict, duty, scope and contents."""
    return Page((*cover_blocks(design, title, told), heading("Contents"), {"kind": "contents"}))


def cover_blocks(design: Designed, title: str, told: Sequence[Told]) -> list[Block]:
    """Title, verdict, duty and scope."""
    checks = design.checks
    missing = [one.text for one in told if one.code == "not-covered"]
    return [
        para(title, "title"),
        para(f"Rope tie for the rafters of this roof: {_roof_said(design)}"),
        {
            "kind": "verdict",
            "text": verdict_words(checks.verdict, design.job),
            "why": _verdict_said(design),
        },
        heading("Duty"),
        para(duty_said(design)),
        heading("Scope"),
        listed(
            [
                _COVERED,
                *missing,
                f"Code tables: {checks.prescriptive}. {checks.prescriptive_why}",
                CAUTIONS[1].text,
            ]
        ),
        {"kind": "note", "text": CAUTIONS[0].text},
    ]


def duty_said(design: Designed) -> str:
    """Rafter tie, collar tie, both or neither, and why."""
    duty = design.checks.duty
    return f"{_DUTY.get(duty, duty)} {design.checks.duty_why}"


def _roof_said(design: Designed) -> str:
    frame, tie, system = design.frame, design.tie, design.job.show
    span = show(frame.span, "length", system)
    rise = show(float(frame.nodes[frame.heads, 2].mean()), "length", system)
    layout = {
        "ring": f"{tie.n} legs to a centre ring",
        "band": f"a band of {tie.n} pieces round the plate",
        "cross": f"{tie.n} ties straight across",
    }[tie.layout]
    kind = "gable" if frame.shape == "gable" else f"{frame.n} sides"
    if frame.shape == "gable":
        layout = "one tie to every tied pair of rafters"
    return (
        f"{kind}, {span} across, {rise} from plate to head; {layout}, "
        f"{show(tie.height, 'length', system)} above the plate, of {tie.rope.name} wire rope."
    )


def _verdict_said(design: Designed) -> str:
    most = largest_pull(leg_pulls(design))
    pull = show(most.most, "force", design.job.show)
    said = f"Largest pull {pull} in leg {most.leg}, {most.most_in}."
    for check in design.checks.checks:
        if check.id == design.checks.weakest and check.utilisation is not None:
            said += f" Weakest: {check.part} ({check.id}), {share(check.utilisation)} of its limit."
    open_ones = [c.id for c in design.checks.checks if c.decides and c.status == "refer"]
    failed = [c.id for c in design.checks.checks if c.decides and c.status == "fails"]
    if design.job.stand_ins:
        said += f" Not answered yet, stand-ins are used: {', '.join(design.job.stand_ins)}."
    if failed:
        said += f" Does not pass: {', '.join(failed)}."
    if open_ones:
        said += f" For an engineer: {', '.join(open_ones)}."
    return said


def criteria_page(design: Designed, words: Words) -> Page:
    """Loads, their basis, materials: all that was stated."""
    cases = design.cases
    blocks: list[Block] = [
        para("Design criteria", "title"),
        para(
            "All that the job states, in the units of the answers. A key marked * was left out: "
            "its default was taken, for the reason on the page of assumptions."
        ),
    ]
    for table in _TABLES:
        rows = stated_rows(design.job, table, words)
        if rows:
            blocks += [heading(table.capitalize()), _stated(rows)]
    if cases.working:
        blocks += [
            heading("How the pressures were found"),
            {"kind": "working", "lines": working_rows(cases.working)},
        ]
    sources = dict.fromkeys(
        [str(source) for source in cases.sources] + [str(case.source) for case in cases.cases]
    )
    blocks += [heading("Basis of loads and combinations"), listed(sources, size=0.9)]
    return Page(tuple(blocks))


def _stated(rows: Sequence[tuple[str, str, str]]) -> Block:
    columns = [Column("Key", width=0.9), Column("Value", width=1), Column("What it is", width=2)]
    return ruled(columns, rows, size=0.86)


def stated_rows(job: Job, table: str, words: Words) -> list[tuple[str, str, str]]:
    """Key, value and meaning of every key of a table of the job that has a value."""
    return [row for row in job_rows(job, words) if row[0].removesuffix(" *").split(".")[0] == table]


def job_rows(job: Job, words: Words) -> list[tuple[str, str, str]]:
    """Key, value and meaning of every key of the job that has a value; * marks a default."""
    taken = {one.key for one in job.assumed}
    rows = []
    for path, key in keys():
        if not isinstance(key, Key) or path[0] not in _TABLES:
            continue
        value: Any = job
        for name in path:
            value = getattr(value, name, None)
        if value is None:
            continue
        name = ".".join(path)
        said = words.literal(_said(value, key, job.show), name)
        rows.append((name + (" *" if name in taken else ""), said, key.means.replace("`", "")))
    return rows


def _said(value: Any, key: Key, system: System) -> str:
    """A value as the reader writes it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Height):
        if value.is_fraction:
            return f"{value.value:.4g} of the rise"
        return show(value.value, "length", system)
    if isinstance(value, tuple) and isinstance(key, Quantity):
        return " to ".join(show(one, key.dimension, system) for one in value)
    if isinstance(value, float) and isinstance(key, Quantity):
        return show(value, key.dimension, system)
    return str(value)


def standing_page(design: Designed) -> Page:
    """The frame as it stands, with its ±; or as designed, and what to measure."""
    blocks: list[Block] = [para("The frame as built", "title")]
    built = design.built
    if built is None:
        blocks += [
            {
                "kind": "note",
                "text": f"{_capital(GEOMETRY['designed'])}. Every length below is from the "
                "drawing; the pulls are those of the drawing. Survey the frame before any leg is "
                "cut, and bind this packet again with the readings.",
            },
            *_designed(design),
        ]
    else:
        blocks += _measured(design, built)
    return Page(tuple(blocks))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _designed(design: Designed) -> Iterable[Block]:
    frame, system = design.frame, design.job.show
    rows = []
    for k in range(frame.n):
        foot, head = frame.nodes[frame.feet[k]], frame.nodes[frame.heads[k]]
        following = frame.nodes[frame.feet[(k + 1) % frame.n]]
        rows.append(
            (
                str(k + 1),
                show(float(np.linalg.norm(following - foot)), "length", system),
                show(float(np.linalg.norm(head - foot)), "length", system),
                "",
                "",
            )
        )
    columns = [
        Column("Foot", "right"),
        Column("to the next foot, drawn", "right", 1),
        Column("foot to head, drawn", "right", 1),
        Column("to the next foot, taped", "left", 1),
        Column("foot to head, taped", "left", 1),
    ]
    yield {**ruled(columns, rows), "kind": "form", "height": 6.5}
    yield para("Taped by ______________________   with ______________________   on ____________")


def _measured(design: Designed, built: AsBuilt) -> Iterable[Block]:
    system = design.job.show
    yield para(
        f"As measured. {len(built.readings)} readings, {built.redundancy} of them spare. Each ± is "
        "met 19 times in 20."
    )
    if math.isfinite(built.smallest_hidden):
        hidden = show(built.smallest_hidden, "length", system, rounding="up")
        yield para(f"A mistake no bigger than {hidden} could still hide in one reading.")
    if built.blunders:
        yield heading("Readings that cannot be right and were left out")
        yield listed(
            f"{one.start} to {one.end}: {show(abs(one.residual), 'length', system)} too "
            f"{'long' if one.residual > 0 else 'short'}"
            + (f"; likely slip: {one.likely_slip}" if one.likely_slip else "")
            for one in built.blunders
        )
    yield heading("Points")
    rows = [
        (
            point.id,
            *(_signed(at, system) for at in (point.x, point.y, point.z)),
            f"± {show(2 * point.sigma, 'length', system, rounding='up')}",
        )
        for point in built.points
    ]
    columns = [
        Column("Point"),
        Column("East", "right", 1),
        Column("North", "right", 1),
        Column("Up", "right", 1),
        Column("Within", "left", 1),
    ]
    yield ruled(columns, rows)
    if design.frame.shape == "polygon" and not built.has("hub"):
        height = show(design.job.roof.rise, "length", system)
        yield para(
            f"The hub was not surveyed: it is taken {height} above the mean of the feet and over "
            "their middle, as the job states its rise."
        )
    yield heading("Legs, bolt to ring, as the frame stands")
    said = ((show(float(one), "length", system),) for one in design.tie.leg_lengths)
    rows = [(str(k), *row) for k, row in enumerate(said, start=1)]
    yield ruled([Column("Leg", "right"), Column("Bolt to eye crown", "right")], rows)
    if built.notes:
        yield listed(built.notes, size=0.9)


def _signed(value: float, system: System) -> str:
    said = show(abs(value), "length", system)
    if said == show(0.0, "length", system):
        return said
    return f"{'-' if value < 0 else '+'}{said}"


def cautions_page() -> Page:
    """All sixteen cautions."""
    return Page(
        (
            para("Cautions", "title"),
            numbered((f"{one.number}.", one.text) for one in CAUTIONS),
        )
    )
