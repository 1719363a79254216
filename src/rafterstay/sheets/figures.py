"""Loads in words and arrows, and the pull of every leg."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from rafterstay.sheets.desk import LETTER, TABLE, Box, Desk
from rafterstay.sheets.request import Request
from rafterstay.sheets.scene import Path, Point, Text
from rafterstay.sheets.summary import first_largest, largest_pull, leg_pulls, ring_pull
from rafterstay.sheets.table import Column, rows_that_fit, tabulate

__all__ = ["draw_loads", "draw_pulls"]

_PULLS: Final = "PULLS BY LEG"
_LOADS: Final = "LOADS"


def draw_loads(asked: Request) -> list[Desk]:
    """Draw what lies on the roof, and list the combinations.

    Args:
        asked: What to draw.

    Returns:
        One sheet.
    """
    desk = asked.desk(_LOADS, None, cautions=(1, 2))
    inner = desk.body.inset(3.0)
    middle = inner.left + 0.44 * inner.width
    top = Box(inner.left, inner.high - 62.0, middle - 4.0, inner.high)
    _draw_pattern(desk, asked, top)
    under = Box(inner.left, inner.low, middle - 4.0, top.low - 2.0)
    desk.notes(under, _load_words(asked), heading="AS STATED IN THE JOB")
    right = Box(middle + 2.0, inner.low, inner.right, inner.high)
    rows = _cases(asked)
    fit = rows_that_fit(right) - 1
    tabulate(desk, right, _CASES, rows[:fit])
    if len(rows) > fit:
        words = f"and {len(rows) - fit} more: all are in the packet."
        desk.letter(Text("text", (right.left, right.low + 1.5), words, LETTER))
    return [desk]


_CASES: Final = (
    Column("Combination"),
    Column("C_D", right=True),
    Column("Largest pull", right=True),
    Column("Leg", right=True),
)


def _cases(asked: Request) -> list[tuple[str, str, str, str]]:
    """Each combination and pattern once, its worst direction and weather counted."""
    design = asked.design
    pulls = np.asarray(design.forces.leg_pull)
    rows: dict[str, list[int]] = {}
    for row, state in enumerate(design.forces.states):
        rows.setdefault(f"{state.case.equation}/{state.case.pattern}", []).append(row)
    found: dict[str, tuple[float, int, float]] = {}
    for name, held in rows.items():
        # Directions that mirror one another differ by rounding: the first is named.
        place, leg = divmod(first_largest(pulls[held].ravel()), pulls.shape[1])
        factor = design.forces.states[held[place]].case.duration_factor
        found[name] = (float(pulls[held].max()), leg + 1, factor)
    ranked = sorted(found.items(), key=lambda item: -item[1][0])
    return [
        (name, f"{factor:g}", asked.said(most, "force"), str(leg))
        for name, (most, leg, factor) in ranked
    ]


def _load_words(asked: Request) -> list[str]:
    job, said = asked.design.job, asked.said
    loads, snow = job.loads, job.loads.snow
    words = [f"Basis {loads.basis}."]
    words.append(f"Dead {said(loads.dead, 'pressure')} of the sloping roof plane.")
    if snow.ground is not None:
        words.append(f"Snow {said(snow.ground, 'pressure')} on the ground.")
    else:
        words.append(f"Snow {said(snow.roof or 0.0, 'pressure')} on plan.")
    if asked.design.cases.simplified_snow:
        words.append("One-sided snow is a simplified pattern: full, and 0.3 on the other half.")
    words.append(f"Roof live load {said(loads.roof_live, 'pressure')}.")
    uplift = getattr(loads.wind, "uplift", None)
    if uplift:
        words.append(f"Wind uplift {said(uplift, 'pressure')}, net, square to the roof.")
    words.append(
        "Walls give no help." if job.support.wall_stiffness is None else "Walls are stiff."
    )
    words.append("Earthquake and wind on the walls are not covered.")
    return words


def _draw_pattern(desk: Desk, asked: Request, box: Box) -> None:
    """The roof's profile under snow on both sides, and on one side."""
    frame = asked.design.frame
    half = float(np.linalg.norm(frame.nodes[frame.feet[0]][:2] - frame.centre))
    wide = (box.width - 14.0) / 2
    rise = asked.head_height
    per = min((wide - 6.0) / (2 * half), 22.0 / rise)
    for count, (name, left, right) in enumerate((("balanced", 1.0, 1.0), ("one side", 0.3, 1.0))):
        x = box.left + wide / 2 + count * (wide + 14.0)
        base = box.low + 9.0
        top = base + rise * per
        profile = ((x - half * per, base), (x, top), (x + half * per, base))
        desk.scene.add(Path("outline", profile))
        level = top + 5.0
        for side, share in ((-1, left), (1, right)):
            _arrows(desk, (x, level), side * half * per, 13.0 * share)
        desk.place([Text("text", (x, box.low + 2.5), name, LETTER, "middle")])
    words = "Snow as it lies on plan, over the roof's profile"
    desk.place([Text("text", (box.left, box.high - 4.0), words, LETTER, bold=True)])


def _arrows(desk: Desk, start: Point, wide: float, high: float) -> None:
    """A block of load drawn as arrows that end on one level."""
    x, y = start
    outline = ((x, y), (x, y + high), (x + wide, y + high), (x + wide, y))
    desk.scene.add(Path("load", outline, closed=True))
    count = max(2, int(abs(wide) / 5.0))
    for k in range(count + 1):
        at = x + wide * k / count
        desk.scene.line("load", (at, y + high), (at, y))
        desk.scene.line("load", (at, y), (at - 0.8, y + 1.8))
        desk.scene.line("load", (at, y), (at + 0.8, y + 1.8))


def draw_pulls(asked: Request) -> list[Desk]:
    """List the largest and the least pull of every leg.

    Args:
        asked: What to draw.

    Returns:
        As many sheets as the legs need.
    """
    design = asked.design
    pulls = leg_pulls(design)
    rows = [
        (
            str(pull.leg),
            f"{round(pull.azimuth_deg) % 360:03d}",
            asked.said(pull.most, "force"),
            pull.most_in,
            asked.said(pull.least, "force"),
            pull.least_in,
        )
        for pull in pulls
    ]
    desks = []
    first = True
    while rows:
        desk = asked.desk(_PULLS, None, cautions=(2, 3), scale_words=TABLE)
        inner = desk.body.inset(4.0)
        top = inner.high
        if first:
            top = desk.notes(inner, _pull_words(asked))
        table = Box(inner.left, inner.low, inner.right, top)
        count = rows_that_fit(table)
        tabulate(desk, table, _COLUMNS, rows[:count])
        rows, first = rows[count:], False
        desks.append(desk)
    return desks


_COLUMNS: Final = (
    Column("Leg", right=True),
    Column("Azimuth", right=True),
    Column("Largest", right=True),
    Column("In combination"),
    Column("Least", right=True),
    Column("In combination"),
)


def _pull_words(asked: Request) -> list[str]:
    design = asked.design
    most = largest_pull(leg_pulls(design))
    words = [
        f"Largest pull of all: {asked.said(most.most, 'force')} in leg {most.leg}, {most.most_in}."
    ]
    ring = ring_pull(design)
    if ring is not None:
        words.append(f"Largest pull in the ring: {asked.said(ring, 'force')}.")
    setting = np.asarray(design.forces.setting.leg_pull)
    mean = float(setting.mean()) if setting.size else 0.0
    if math.isfinite(mean):
        words.append(f"When set, prop in: {asked.said(mean, 'force')} in the mean.")
    words.append("Azimuth is clockwise from leg 1, seen from above. Service loads, second order.")
    return words
