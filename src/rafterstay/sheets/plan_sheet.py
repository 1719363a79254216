"""The plan with its dimensions: what is built, seen from above."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.sheets.desk import LETTER, Box, Desk
from rafterstay.sheets.plan import draw_roof, outline
from rafterstay.sheets.request import Request
from rafterstay.sheets.scales import scale_for
from rafterstay.sheets.scene import Circle, Dimension, Point, Text

__all__ = ["draw_plan_sheets"]

_NOTES: Final = 92.0  # width of the column of notes [mm]
_OUT: Final = 10.5  # corner to the middle of a leg's number [mm]
_AROUND: Final = 22.0  # numbers and dimensions round the plan [mm]


def draw_plan_sheets(asked: Request) -> list[Desk]:
    """Draw the plan.

    Args:
        asked: What to draw.

    Returns:
        One sheet.
    """
    design = asked.design
    corners = outline(design) * 1000.0
    blank = asked.desk("PLAN, SEEN FROM ABOVE", None, cautions=(1, 4)).body
    room = Box(blank.left, blank.low, blank.right - _NOTES, blank.high).inset(_AROUND)
    low, high = corners.min(axis=0), corners.max(axis=0)
    scale = scale_for(
        ((float(high[0] - low[0]), room.width), (float(high[1] - low[1]), room.height))
    )
    desk = asked.desk("PLAN, SEEN FROM ABOVE", scale, cautions=(1, 4))
    column = desk.column(_NOTES)
    middle = (low + high) / 2 / scale
    centre = (room.middle[0] - float(middle[0]), room.middle[1] - float(middle[1]))
    draw_roof(desk.scene, design, centre=centre, scale=scale)

    def at(plan: Floats) -> Point:
        return (centre[0] + float(plan[0]) / scale, centre[1] + float(plan[1]) / scale)

    _measure(desk, asked, [at(corner) for corner in corners])
    _number_legs(desk, asked, centre, scale)
    _note(desk, asked, column)
    return [desk]


def _number_legs(desk: Desk, asked: Request, centre: Point, scale: float) -> None:
    """The number of every leg in a circle outside its corner, further out where two would meet."""
    frame = asked.design.frame
    feet = frame.nodes[frame.feet][:, :2]
    feet = (feet - feet.mean(axis=0)) * 1000.0 / scale
    for leg, foot in enumerate(feet[: asked.design.tie.n], start=1):
        long = float(np.linalg.norm(foot))
        radius = 2.1 + 1.05 * len(str(leg))
        choices = []
        for out in (_OUT, _OUT + 6.4, _OUT + 12.8):
            x, y = (float(part) * (1 + out / long) for part in foot)
            at = (centre[0] + x, centre[1] + y - 0.36 * LETTER)
            choices.append(Text("number", at, str(leg), LETTER, "middle"))
        placed = desk.place(choices)
        if placed is not None:
            middle = (placed.at[0], placed.at[1] + 0.36 * LETTER)
            desk.scene.add(Circle("number", middle, radius))
            square = [(middle[0] + a * radius, middle[1] + b * radius) for a, b in _SQUARE]
            desk.keep_clear(square)


_SQUARE: Final = ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9))


def _measure(desk: Desk, asked: Request, corners: list[Point]) -> None:
    """Across the plate, and its side."""
    design = asked.design
    plan = outline(design)
    n = len(corners)
    if design.frame.shape == "gable":
        for (a, b), off in (((3, 0), 12.0), ((3, 2), -12.0)):
            _between(desk, asked, plan, corners, (a, b), off=off)
        return
    if n > 3:
        _across(desk, asked, plan, corners)
    # The lowest side right of the middle: the dimension across stands to the left.
    middle = sum(x for x, _ in corners) / n
    pairs = [(corners[k], corners[(k + 1) % n]) for k in range(n)]
    right = [k for k in range(n) if pairs[k][0][0] + pairs[k][1][0] > 2 * middle - 1e-6]
    side = min(right, key=lambda k: round(pairs[k][0][1] + pairs[k][1][1], 6))
    _between(desk, asked, plan, corners, (side, (side + 1) % n), off=6.5, told=True)


def _across(desk: Desk, asked: Request, plan: Floats, corners: list[Point]) -> None:
    """Corner 1 to the corner that faces it, or to the middle of the side that does."""
    n = len(corners)
    facing = [n // 2] if n % 2 == 0 else [n // 2, n // 2 + 1]
    real = float(np.linalg.norm(plan[0] - plan[facing].mean(axis=0)))
    x, y = (sum(corners[k][axis] for k in facing) / len(facing) for axis in (0, 1))
    off = _clear_of(corners, (x, y), corners[0]) + 17.0
    words = asked.said(real)
    desk.measure(Dimension("dimension", (x, y), corners[0], off, words, real * 1000.0, LETTER))


def _clear_of(corners: list[Point], start: Point, end: Point) -> float:
    """How far the outline reaches to the left of a line. [mm]"""
    long = math.dist(start, end)
    nx, ny = -(end[1] - start[1]) / long, (end[0] - start[0]) / long
    return max((x - start[0]) * nx + (y - start[1]) * ny for x, y in corners)


def _between(
    desk: Desk,
    asked: Request,
    plan: Floats,
    corners: list[Point],
    pair: tuple[int, int],
    *,
    off: float,
    told: bool = False,
) -> None:
    start, end = pair
    real = float(np.linalg.norm(plan[start] - plan[end]))
    desk.measure(
        Dimension(
            "dimension",
            corners[start],
            corners[end],
            off,
            asked.said(real),
            real * 1000.0,
            LETTER,
        ),
        told=told,
    )


def _note(desk: Desk, asked: Request, box: Box) -> None:
    """What the drawing alone does not say."""
    desk.notes(box, _facts(asked), heading="ON PLAN")


def _facts(asked: Request) -> list[str]:
    design = asked.design
    tie, roof, said = design.tie, design.job.roof, asked.said
    facts = ["Legs number clockwise. Leg 1 is at azimuth 000."]
    if design.frame.shape == "gable":
        facts += [
            f"Span {said(roof.span)}, length {said(roof.length)}.",
            f"Rafters every {said(roof.spacing)}, one tie to {roof.tie_every} pairs.",
        ]
    else:
        corners = outline(design)
        sides = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1)
        reach = np.linalg.norm(corners, axis=1)
        facts.append(f"{design.frame.n} sides of {asked.range(sides)}.")
        facts.append(f"Centre to corner {asked.range(reach)}.")
        hub = {"point": "Heads meet at a point.", "disc": "Hub: a disc", "ring": "Hub: a ring"}
        words = hub[design.frame.hub]
        if design.frame.hub != "point":
            words += f", {said(roof.hub_radius)} from centre to heads."
        facts.append(words)
    if roof.overhang:
        facts.append(f"Overhang {said(roof.overhang)} on plan, not drawn.")
    facts.append(_tie_facts(asked))
    lengths = np.asarray(tie.leg_lengths)
    ends = "bolt to eye crown" if tie.layout == "ring" else "bolt to bolt"
    facts.append(f"Legs {asked.range(lengths)}, {ends}.")
    facts += [
        f"Legs: {tie.rope.name}.",
        *([f"Ring: {tie.ring_said}."] if tie.layout == "ring" else []),
        *([f"Turnbuckles: {tie.turnbuckle.name}."] if tie.has_turnbuckles else []),
        f"Tie bolts: {tie.bolt.name}.",
        f"Rafters: {tie.plies} x {tie.ply.name}, {said(tie.gap)} clear between.",
    ]
    return facts


def _tie_facts(asked: Request) -> str:
    tie = asked.design.tie
    height = asked.said(tie.height)
    if tie.layout == "band":
        where = "on the plate" if tie.height == 0 else f"{height} above {asked.datum}"
        return f"Tie: a band {where}. Leg k runs from corner k to the next."
    if tie.layout == "cross":
        words = f"Tie: straight across, {height} above {asked.datum}."
        return words if tie.n == 1 else f"{words} Leg k runs from corner k to k + {tie.n}."
    return f"Tie: legs to a ring, {asked.said(tie.ring_radius)} from centre to eye crown."
