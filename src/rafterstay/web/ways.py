"""Other ways to tie the roof that is on the sheet: other layouts, other sizes, other heights."""

from __future__ import annotations

from contextlib import suppress
from typing import Any, Final

from rafterstay import design, sizing
from rafterstay.core.errors import RafterstayError
from rafterstay.core.quantities import System, show
from rafterstay.design import Design
from rafterstay.job import Job
from rafterstay.sheets.literal import printable
from rafterstay.sheets.summary import share
from rafterstay.sizing import Scheme, Sizes
from rafterstay.sizing.schemes import Layout
from rafterstay.web.drawing import thumbnail_markup
from rafterstay.web.heights import heights_markup, said_of_height, written_height
from rafterstay.web.words import verdict_said

__all__ = ["KINDS", "compared", "sized", "swept"]

_POUND: Final = 0.45359237  # [kg], exact
KINDS: Final = {
    "compare": "Ring, band or straight across",
    "size": "The smallest parts that pass",
    "heights": "How high the tie may sit",
}
_LAYOUT: Final = {
    "ring": "Legs to a ring",
    "band": "A band round the plate",
    "cross": "Straight across",
}
_PART: Final = {
    "rope": "Rope of the legs",
    "ring_rope": "Rope of the ring",
    "ring_bar": "Bar of the ring",
    "plate_thickness": "Thickness of the plate",
    "thimble": "Thimble",
    "sleeve": "Sleeve",
    "turnbuckle": "Turnbuckle",
    "bolt": "Bolt",
    "shackle": "Shackle",
    "ply": "Ply of the rafters",
}
_FIRST_LOOK: Final = ("D+S/balanced", "D+Lr/balanced")


def compared(job: Job, *, provisional: bool) -> dict[str, Any]:
    """The same roof tied three ways.

    Args:
        job: As stated.
        provisional: Some of its answers are stand-ins.

    Returns:
        Facts for the template.
    """
    schemes = []
    for one in design.compare(job):
        facts = _scheme(one, job, _drawn(job, one.layout) if not one.cannot else None)
        if one.verdict:
            facts["verdict"] = verdict_said(one.verdict, provisional=provisional)  # type: ignore[arg-type]
        schemes.append(facts)
    return {"schemes": schemes, "gable": job.roof.shape == "gable"}


def _scheme(one: Scheme, job: Job, drawn: Design | None) -> dict[str, Any]:
    system = job.show
    facts: dict[str, Any] = {
        "layout": one.layout,
        "heading": _LAYOUT[one.layout],
        "now": one.layout == job.tie.layout,
        "cannot": one.cannot,
        "joints": one.joints,
        "plan": thumbnail_markup(drawn, id=f"way-{one.layout}") if drawn else "",
        "figures": [],
        "verdict": "",
    }
    if one.cannot or one.pull is None:
        return facts
    used = f"{share(one.utilisation)} " if one.utilisation is not None else ""
    facts["figures"] = [
        ("Largest pull", show(one.pull, "force", system)),
        ("Weakest", f"{used}{one.weakest.replace('-', ' ')}"),
        ("Head-room above the plate", show(max(0.0, one.headroom or 0.0), "length", system)),
        ("Steel", _mass(one.steel or 0.0, system)),
        ("Eyes to press", str(one.eyes)),
        ("Turnbuckles", str(one.turnbuckles)),
        (
            "Cost",
            "no prices stated" if one.cost is None else f"{one.cost:.0f} {job.prices.currency}",
        ),
    ]
    return facts


def _drawn(job: Job, layout: Layout) -> Design | None:
    laid = sizing.laid_out(job, layout)
    if isinstance(laid, str):
        return None
    with suppress(RafterstayError):
        return design.check(laid, only=_FIRST_LOOK)
    return None


def _mass(kilogram: float, system: System) -> str:
    return f"{kilogram / _POUND:.0f} lb" if system == "us" else f"{kilogram:.1f} kg"


def sized(job: Job, *, with_ply: bool, provisional: bool) -> dict[str, Any]:
    """The smallest parts that pass together.

    Args:
        job: As stated.
        with_ply: The plies may change too.
        provisional: Some of its answers are stand-ins.

    Returns:
        Facts for the template; ``take`` is what the job would state.
    """
    sizes = design.size(job, with_ply=with_ply)
    now, found = sizing.parts_of(job), sizing.parts_of(sizes.job)
    downs = {one.part: one for one in sizes.downs}
    rows = []
    for part, name in found.items():
        down = downs.get(part)
        if down is None:
            continue
        then = "there is none smaller"
        if down.name is not None:
            then = f"{down.name}: {'an engineer must decide' if down.refers else 'fails'} by "
        rows.append(
            {
                "part": _PART[part],
                "now": now[part],
                "found": name,
                "then": then + (down.check.replace("-", " ") if down.name is not None else ""),
            }
        )
    return {
        "rows": rows,
        "take": {part: name for part, name in found.items() if name != now[part]},
        "verdict": verdict_said(sizes.found.checks.verdict, provisional=provisional),
        "stays": _stays(sizes),
        "beside": sizing.washers(sizes),
        "with_ply": with_ply,
    }


def _stays(sizes: Sizes) -> list[tuple[str, str]]:
    """Checks that no size settles, and why."""
    unmet = {one.check: one for one in sizes.unmet}
    found = []
    for check in sizes.found.checks.checks:
        if not check.decides or check.status == "passes":
            continue
        said = check.why
        if check.id in unmet:
            best = unmet[check.id]
            said = sizing.at_best(best, share(best.utilisation))
            said = f"{said[0].upper()}{said[1:]}. {check.why}"
            said += f" {sizing.remedy(sizes, best)}" if best.utilisation > 1.0 else ""
        found.append((check.id.replace("-", " ").capitalize(), printable(said)))
    return found


def swept(job: Job, *, provisional: bool) -> dict[str, Any]:
    """The tie at every height, parts held.

    Args:
        job: As stated.
        provisional: Some of its answers are stand-ins.

    Returns:
        Facts for the template.
    """
    rows = design.heights(job)
    return {
        "drawing": heights_markup(job, rows, provisional=provisional),
        "rows": [
            said_of_height(row, job.show, provisional=provisional)
            | {"stated": row.stated, "third": row.third, "height_key": written_height(row)}
            for row in rows
        ],
        "movable": job.tie.layout != "band",
    }
