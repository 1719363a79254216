"""Raising, tension, upkeep: what is known today, and honest blanks for what is not."""

from __future__ import annotations

from typing import Final

import numpy as np

from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import System, show
from rafterstay.packet.nouns import (
    Block,
    Column,
    Page,
    blanks,
    form,
    heading,
    numbered,
    pairs,
    para,
    ticks,
)
from rafterstay.sheets.summary import Designed

__all__ = ["hold_points", "placard_page", "raising_page", "tension_page", "upkeep_page"]

_AFTER: Final = (
    "After deep or one-sided snow, high wind, an earthquake, or when a leg feels slack by hand: "
    "inspect before the room is used."
)
_HOLD_POINTS: Final = (
    "Hub on its prop, prop on ground that holds it, and braced; walls braced and plumb.",
    "Frame surveyed; no reading in doubt; the cut list made from the survey.",
    "Every sleeve pressed, gauged and logged; a test eye of each reel and tool held.",
    "Every bolt in, spacers both sides of the eye, nuts on; every pin with its cotter.",
    "Every leg pinned; every turnbuckle engaged by one thread diameter at least, both ends.",
    "Ring centred and level; no leg slack to the hand; pulls read and written down.",
    "Every turnbuckle locked; nothing on the roof before this is signed.",
    "Prop lowered by screw jack, step by step, the spread read at each; nobody underneath.",
    "Prop out; pulls and spread read again; placard up.",
)


def hold_points(design: Designed) -> tuple[str, ...]:
    """Where work stops until it is signed; of a ring only where there is one."""
    if design.tie.layout == "ring":
        return _HOLD_POINTS
    return tuple(point.replace("Ring centred and level; no", "No") for point in _HOLD_POINTS)


def raising_page(design: Designed) -> Page:
    """Hold points, raising order and the lowering of the prop."""
    system = design.job.show
    spread = show(float(np.max(design.forces.spread)), "length", system)
    limit = show(design.job.limits.spread, "length", system)
    blocks: list[Block] = [
        para("Raising plan, hold points, lowering the prop", "title"),
        para("Work stops at each hold point until it is ticked and initialled."),
        ticks(hold_points(design)),
        heading("Order of the legs"),
        para(
            "Not worked out by this version: the order, how far each turnbuckle is backed off, how "
            "hard the last legs pull to be pinned. Whoever leads the work fills it in beforehand."
        ),
        form(
            [
                Column("Step", "right"),
                Column("Leg", width=0.7),
                Column("Back off, turns", width=1),
                Column("Expected pull to pin it", width=1.3),
                Column("Tool or purchase", width=1.3),
                Column("Done, initials", width=1),
            ],
            [(str(k), "", "", "", "", "") for k in range(1, design.tie.n + 1)],
            height=6.0,
        ),
        heading("Lowering the prop"),
        pairs(
            [
                ("Before it is lowered", _prop_said(design)),
                ("Legs then take", _taken_over(design)),
                ("Spread, never above", f"{limit}; under full load {spread} are expected"),
            ],
            first=42,
        ),
        form(
            [
                Column("Jack down by", width=1),
                Column("Spread at foot ___", width=1),
                Column("at foot ___", width=1),
                Column("Ring: sag, shift", width=1),
                Column("Stop or go, initials", width=1),
            ],
            [("", "", "", "", "")] * 6,
            height=6.5,
        ),
        numbered(((f"{one.number}.", one.text) for one in cautions_for("raise")), size=0.86),
    ]
    return Page(tuple(blocks))


def _taken_over(design: Designed) -> str:
    """What the legs pull once the prop is out; nothing keeps them taut under a weightless roof."""
    pulls, system = design.forces.setting.lowered_pull, design.job.show
    if not np.isfinite(pulls).all():
        return "no figure: with the dead load the job states, no leg is drawn taut"
    least, most = (show(float(pull), "force", system) for pull in (pulls.min(), pulls.max()))
    return f"{least if least == most else f'{least} to {most}'} each, roof bare"


def _prop_said(design: Designed) -> str:
    force = design.forces.setting.prop_force
    if force <= 0.5:
        return "the prop carries nothing while the legs are set"
    return f"the prop carries {show(force, 'force', design.job.show)} of the bare roof"


def _figure(pull: float, system: System) -> str:
    return show(pull, "force", system) if np.isfinite(pull) else "none found"


def tension_page(design: Designed) -> Page:
    """Tension record: expected pulls, two readings a leg, lock, signatures."""
    setting, system = design.forces.setting, design.job.show
    rows = [
        (
            str(leg + 1),
            show(float(setting.leg_pull[leg]), "force", system),
            _figure(float(setting.lowered_pull[leg]), system),
            *[""] * 6,
        )
        for leg in range(design.tie.n)
    ]
    columns = [
        Column("Leg", "right"),
        Column("Expected, on prop", "right", 1.1),
        Column("prop out", "right", 0.9),
        Column("1st method, ±", width=1.1),
        Column("2nd method, ±", width=1.1),
        Column("Pin to pin", width=0.9),
        Column("Locked", width=0.7),
        Column("By", width=0.7),
        Column("Date", width=0.8),
    ]
    blocks: list[Block] = [
        para("Tension record", "title"),
        para(
            "Expected pulls are the program's, at the temperature the job states for setting, "
            "nothing but dead load on the roof. Two methods should agree before anything is turned "
            "by much; write the ± of each."
        ),
        form(columns, rows, height=7.2),
        heading("The day"),
        blanks(
            [
                "Air temperature",
                "Weather",
                "1st method",
                "2nd method",
                "Ring: sides differ by",
                "Ring: off centre by",
                "Ring: out of level by",
                "Spread of the walls",
            ]
        ),
        heading("Signed"),
        blanks(["Builder", "Date", "Witness", "Date ", "Inspector", "Date  "]),
    ]
    return Page(tuple(blocks))


def upkeep_page() -> Page:
    """When to look, and what was found."""
    looks = (
        "Every leg by hand: none slack",
        "Every sleeve: tail showing, no slip, no crack",
        "Every rope: no broken wire, no rust at eyes",
        "Every lock nut and cotter in place",
        "Ring centred and level",
        "Walls plumb; no new cracks",
    )
    blocks: list[Block] = [
        para("Upkeep", "title"),
        para(
            "Look after the first month, after the first winter, then every year; and after deep "
            "or one-sided snow, high wind, an earthquake, or when a leg feels slack by hand. These "
            "times are common practice, no source."
        ),
        para(
            "Not worked out by this version: how many turns are lost as the rope beds in and the "
            "timber dries, and the depth of snow that calls for a look. Write what is found; do "
            "not turn a body on the strength of one reading."
        ),
        form(
            [
                Column("Date", width=0.8),
                *(Column(look, width=1) for look in looks),
                Column("Pull read, leg", width=0.9),
                Column("By", width=0.7),
            ],
            [("", *[""] * len(looks), "", "")] * 12,
            height=9.0,
            size=0.8,
        ),
        numbered(((f"{one.number}.", one.text) for one in cautions_for("upkeep")), size=0.9),
    ]
    return Page(tuple(blocks))


def placard_page(design: Designed, title: str) -> Page:
    """What hangs on the wall, to be cut out."""
    job, system = design.job, design.job.show
    snow = job.loads.snow
    pressure = snow.roof if snow.ground is None else snow.ground
    where = "on the roof" if snow.ground is None else "on the ground"
    items = [
        f"These {design.tie.n} ropes hold the roof. Loosen, cut, heat or move no part of them.",
        "Hang nothing from legs or ring.",
        f"Designed for snow of {show(pressure or 0.0, 'pressure', system)} {where}.",
        _AFTER,
        "Never turn a turnbuckle while snow lies on the roof.",
        f"The record is kept with the house: job {job.sha256[:16]}.",
        "Keeper of the record: ______________________    Last looked at: ______________",
    ]
    return Page(
        (
            para("Placard", "title"),
            para(f"To be cut out and fixed where it is read from the room. {title}"),
            {"kind": "placard", "text": "ROOF TIE - DO NOT LOOSEN", "items": items},
        )
    )
