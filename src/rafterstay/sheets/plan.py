"""The plan seen from above: legs with their pulls, ring, hub, rafters, plate and snow side."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean
from typing import Final

import numpy as np

from rafterstay.core.quantities import show
from rafterstay.sheets.hatch import half, hatch
from rafterstay.sheets.panel import draw_border, draw_panel
from rafterstay.sheets.scene import ADVANCE, Circle, Path, Point, Scene, Text
from rafterstay.sheets.summary import (
    Designed,
    LegShare,
    drawn_state,
    largest_pull,
    leg_pulls,
    share,
    weakest_leg_part,
)

__all__ = ["draw_figure", "draw_plan", "draw_roof", "figure_scale", "outline"]

_PAPER: Final = {"us": (279.4, 215.9), "si": (297.0, 210.0)}  # letter and A4, on their side
# Drawing scales that a ruler or a pocket calculator can follow.
_SCALES: Final = (
    8,
    10,
    12,
    16,
    20,
    24,
    30,
    32,
    40,
    48,
    60,
    64,
    80,
    96,
    100,
    120,
    128,
    150,
    200,
    240,
    300,
    400,
)
_PANEL: Final = 74.0
_MARGIN: Final = 8.0
_FOOT: Final = 28.0  # under the plan: caption and cautions
_BUBBLE: Final = 3.3
_BUBBLE_OUT: Final = 7.4  # corner to the middle of a leg's number
_DIMENSION_OUT: Final = 15.0
_LETTERS: Final = tuple(size / 10 for size in range(28, 13, -1))
_GAP: Final = 0.55  # clear between lettering and a rafter


@dataclass(frozen=True)
class _Sheet:
    """Where on paper the roof lies, and how large. ``centre`` and ``radius`` in mm.

    ``letters`` are the sizes a leg's lettering may have, largest first; ``bubble`` is the radius
    of a leg's number, ``out`` its distance from the corner. [mm]
    """

    scene: Scene
    centre: Point
    radius: float
    scale: float
    letters: tuple[float, ...] = _LETTERS
    bubble: float = _BUBBLE
    out: float = _BUBBLE_OUT

    def point(self, plan: np.ndarray) -> Point:
        """A point of the roof [m], counted from its middle, on paper. [mm]"""
        per_metre = 1000.0 / self.scale
        return (
            self.centre[0] + per_metre * float(plan[0]),
            self.centre[1] + per_metre * float(plan[1]),
        )

    def length(self, metres: float) -> float:
        """A length of the roof on paper. [mm]"""
        return metres * 1000.0 / self.scale


def draw_plan(design: Designed) -> Scene:
    """Draw the plan of a tie with the pulls of its governing one-sided state.

    Args:
        design: A finished design.

    Returns:
        One sheet: letter for a job shown in US units, A4 otherwise. [mm]
    """
    row = drawn_state(design)
    part = weakest_leg_part(design)
    sheet = _sheet(design)
    _draw_snow(sheet, design, row)
    _draw_rafters(sheet, design)
    _draw_plate(sheet, design)
    _draw_tie(sheet, design, row, part)
    _draw_labels(sheet, design, row, part)
    _draw_dimension(sheet, design)
    _draw_numbers(sheet, design)
    _draw_caption(sheet, design, row, part)
    draw_panel(sheet.scene, design, _panel_left(sheet.scene), int(sheet.scale))
    return sheet.scene


def draw_figure(
    design: Designed, *, size: float, margin: float, bubble: float, letters: tuple[float, ...]
) -> Scene:
    """Draw the roof, its tie and the numbers of its legs alone, each part under its name.

    Args:
        design: A finished design.
        size: Side of the square the figure fills. [mm]
        margin: From a corner of the plate to the edge; the numbers stand in it. [mm]
        bubble: Radius of a leg's number. [mm]
        letters: Sizes the lettering along the legs may have, largest first; empty for none. [mm]

    Returns:
        The scene; parts are ``snow``, ``wall``, ``hub``, ``ring``, ``leg-1`` ... and ``labels``.
    """
    row, part = drawn_state(design), weakest_leg_part(design)
    reach = float(np.linalg.norm(outline(design), axis=1).max()) * 1000.0
    low, high = outline(design)[:, 1].min() * 1000.0, outline(design)[:, 1].max() * 1000.0
    scene = Scene(size, size, f"Rope tie plan: {design.job.title}")
    scale = figure_scale(design, size=size, margin=margin)
    radius = reach / scale
    centre = (size / 2, size / 2 - float(low + high) / 2 / scale)
    sheet = _Sheet(scene, centre, radius, scale, letters or _LETTERS, bubble, margin / 2)
    scene.part = "snow"
    _draw_snow(sheet, design, row)
    _draw_rafters(sheet, design)
    _draw_plate(sheet, design)
    _draw_tie(sheet, design, row, part)
    _draw_numbers(sheet, design)
    scene.part = "labels"
    if letters:
        _draw_labels(sheet, design, row, part)
    scene.part = ""
    return scene


def draw_roof(scene: Scene, design: Designed, *, centre: Point, scale: float) -> None:
    """Draw rafters, plate, legs, ring and hub alone, without pulls and letters.

    Args:
        scene: Where to draw.
        design: A finished design.
        centre: Where the middle of the roof lies. [mm]
        scale: Drawing scale, 1 to this. [-]
    """
    reach = float(np.linalg.norm(outline(design), axis=1).max()) * 1000.0
    sheet = _Sheet(scene, centre, reach / scale, scale)
    _draw_rafters(sheet, design)
    _draw_plate(sheet, design)
    _draw_tie(sheet, design, None, None)


def figure_scale(design: Designed, *, size: float, margin: float) -> float:
    """Scale of a figure: millimetres of the roof to one on paper.

    Args:
        design: A finished design.
        size: Side of the square the figure fills. [mm]
        margin: From a numbered foot to the edge. [mm]

    Returns:
        The scale; a gable, numbered at two feet only, may come nearer the other edges. [-]
    """
    if design.frame.shape == "gable":
        reach, wide = 500.0 * design.job.roof.span, 500.0 * design.job.roof.length
        return max(reach / (size / 2 - margin), wide / (size / 2 - margin / 4))
    reach = float(np.linalg.norm(outline(design), axis=1).max()) * 1000.0
    return reach / (size / 2 - margin)


def _panel_left(scene: Scene) -> float:
    return scene.width - _MARGIN - _PANEL


def _sheet(design: Designed) -> _Sheet:
    """Paper, the middle of the roof on it, and the largest scale that fits."""
    width, height = _PAPER[design.job.show]
    scene = Scene(width, height, f"Rope tie plan: {design.job.title}")
    draw_border(scene, _MARGIN, _panel_left(scene))
    wide = _panel_left(scene) - _MARGIN
    tall = height - 2 * _MARGIN - _FOOT
    outside = _BUBBLE_OUT + _BUBBLE + 1.5
    room = min((wide - 2 * outside - 10.0) / 2, tall / 2 - outside)
    reach = float(np.linalg.norm(outline(design), axis=1).max()) * 1000.0
    scale = next((scale for scale in _SCALES if reach / scale <= room), math.ceil(reach / room))
    low, high = outline(design)[:, 1].min(), outline(design)[:, 1].max()
    middle = tall / 2 - float(low + high) / 2 * 1000.0 / scale
    centre = (_MARGIN + wide / 2 + 5.0, _MARGIN + _FOOT + middle)
    return _Sheet(scene, centre, reach / scale, scale)


def _middle(design: Designed) -> np.ndarray:
    """Middle of the roof on plan: mean of the feet. [m] (2,)"""
    return np.asarray(design.frame.nodes[design.frame.feet][:, :2].mean(axis=0))


def _from_middle(design: Designed, points: np.ndarray) -> np.ndarray:
    """Plan positions counted from the middle. [m] (n, 2)"""
    return np.asarray(np.asarray(points)[:, :2] - _middle(design))


def _feet(design: Designed) -> np.ndarray:
    return _from_middle(design, design.frame.nodes[design.frame.feet])


def outline(design: Designed) -> np.ndarray:
    """Corners of the plate on plan; of a gable those of the whole roof about its typical pair.

    Args:
        design: A finished design.

    Returns:
        Corners, counted from the middle. [m] (n, 2)
    """
    if design.frame.shape == "polygon":
        return _feet(design)
    half, reach = design.job.roof.length / 2, design.job.roof.span / 2
    return np.array([[-half, reach], [half, reach], [half, -reach], [-half, -reach]])


def _heads(design: Designed) -> np.ndarray:
    return _from_middle(design, design.frame.nodes[design.frame.heads])


def _draw_snow(sheet: _Sheet, design: Designed, row: int) -> None:
    """Hatch the half of the roof that carries the snow of a one-sided pattern."""
    towards = design.forces.states[row].case.direction_deg
    if towards is None:
        return
    azimuth = math.radians(towards)
    unit = (math.sin(azimuth), math.cos(azimuth))
    corners = [sheet.point(corner) for corner in outline(design)]
    cut = sheet.centre[0] * unit[0] + sheet.centre[1] * unit[1]
    for start, end in hatch(half(corners, unit, cut), 2.4, 45.0):
        sheet.scene.line("hatch", start, end)


def _draw_rafters(sheet: _Sheet, design: Designed) -> None:
    """Both plies of every rafter, foot to head, stopped where neighbours would meet."""
    n = design.frame.n
    apart = design.tie.gap + design.tie.ply.thickness
    width = sheet.length(apart)
    meet = width / 2 / math.tan(math.pi / n)
    hub = float(np.linalg.norm(_heads(design), axis=1).mean())
    start = max(meet, sheet.length(hub), 1.2)
    for leg, foot in enumerate(_feet(design)):
        outer = sheet.point(foot)
        along, across = _axes(sheet, outer)
        sheet.scene.part = f"leg-{leg + 1}"
        for side in (-width / 2, width / 2):
            sheet.scene.line(
                "rafter",
                (
                    sheet.centre[0] + start * along[0] + side * across[0],
                    sheet.centre[1] + start * along[1] + side * across[1],
                ),
                (outer[0] + side * across[0], outer[1] + side * across[1]),
            )
    sheet.scene.part = "hub"
    if design.frame.hub != "point" and hub > 0.0:
        sheet.scene.add(Circle("hub", sheet.centre, sheet.length(hub)))
    sheet.scene.part = ""


def _axes(sheet: _Sheet, outer: Point) -> tuple[Point, Point]:
    """Unit vectors from the middle to a point on paper, and to the left of that."""
    dx, dy = outer[0] - sheet.centre[0], outer[1] - sheet.centre[1]
    size = math.hypot(dx, dy)
    return (dx / size, dy / size), (-dy / size, dx / size)


def _draw_plate(sheet: _Sheet, design: Designed) -> None:
    corners = tuple(sheet.point(corner) for corner in outline(design))
    sheet.scene.part = "wall"
    if design.frame.shape == "gable":
        _draw_other_pairs(sheet, design)
    sheet.scene.add(Path("plate", corners, closed=True))
    sheet.scene.part = ""


def _draw_other_pairs(sheet: _Sheet, design: Designed) -> None:
    """Ridge, and every pair but the typical one as a line; ties of the tied ones."""
    roof, n_side = design.job.roof, int(design.job.roof.length / 2 / design.job.roof.spacing)
    ridge = [sheet.point(np.array([side * roof.length / 2, 0.0])) for side in (-1, 1)]
    sheet.scene.line("rafter", ridge[0], ridge[1])
    starts, ends = (_from_middle(design, points) for points in _leg_ends(design))
    for pair in (k for k in range(-n_side, n_side + 1) if k):
        along = np.array([pair * roof.spacing, 0.0])
        for foot in _feet(design):
            sheet.scene.line("rafter", sheet.point(along), sheet.point(foot + along))
        if pair % roof.tie_every == 0:
            start, end = sheet.point(starts[0] + along), sheet.point(ends[0] + along)
            sheet.scene.line("leg fine", start, end)


def _leg_ends(design: Designed) -> tuple[np.ndarray, np.ndarray]:
    return design.tie.bolt_points, design.tie.ring_points


def _draw_tie(sheet: _Sheet, design: Designed, row: int | None, part: LegShare | None) -> None:
    """Legs with their turnbuckles and bolts, and the ring on top of them."""
    pulls = None if row is None else design.forces.leg_pull[row]
    slack = np.zeros(design.tie.n, bool) if row is None else design.forces.slack[row]
    bolts = [sheet.point(point) for point in _from_middle(design, design.tie.bolt_points)]
    eyes = [sheet.point(point) for point in _from_middle(design, design.tie.ring_points)]
    fine = " fine" if _is_crowded(sheet, design) else ""
    for leg, (bolt, eye) in enumerate(zip(bolts, eyes, strict=True)):
        sheet.scene.part = f"leg-{leg + 1}"
        over = part is not None and pulls is not None and pulls[leg] > part.full_pull
        pen = ("governing" if over else "leg") + fine
        sheet.scene.line("slack" if slack[leg] else pen, bolt, eye)
        body = sheet.length(min(design.tie.turnbuckle_set, design.tie.leg_lengths[leg] / 2))
        # Ties across meet in the middle: their turnbuckles stand clear of it.
        inner = eye if design.tie.layout != "cross" else _part_way(bolt, eye, 0.6)
        _draw_turnbuckle(sheet, bolt, inner, body, 0.9 if fine else 1.7)
    sheet.scene.part = "ring"
    if design.tie.body is not None:
        middle = (fmean(x for x, _ in eyes), fmean(y for _, y in eyes))
        sheet.scene.add(Circle("ring", middle, fmean(math.dist(eye, middle) for eye in eyes)))
    elif design.tie.layout == "ring":
        sheet.scene.add(Path("ring", tuple(eyes), closed=True, fill="none"))
    if design.tie.layout == "cross":
        bolts += eyes
    for leg, bolt in enumerate(bolts):
        sheet.scene.part = f"leg-{leg + 1}"
        sheet.scene.add(Circle("bolt", bolt, 0.45 if fine else 0.75, fill="paper"))
    sheet.scene.part = "hub"
    if design.frame.hub == "point":
        sheet.scene.add(Circle("hub", sheet.centre, 0.6, fill="ink"))
    sheet.scene.part = ""


def _part_way(start: Point, end: Point, share: float) -> Point:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _is_crowded(sheet: _Sheet, design: Designed) -> bool:
    """Whether the legs need a finer pen where they meet the ring."""
    if design.tie.layout != "ring":
        return design.tie.n > 8
    return math.tau * sheet.length(design.tie.ring_radius) / design.frame.n < 1.5


def _draw_turnbuckle(sheet: _Sheet, bolt: Point, eye: Point, body: float, width: float) -> None:
    """A long box in the middle of the leg, open like a turnbuckle's body."""
    middle = _part_way(bolt, eye, 0.5)
    long = math.dist(bolt, eye)
    along = ((bolt[0] - eye[0]) / long, (bolt[1] - eye[1]) / long)
    across = (-along[1], along[0])
    corners = tuple(
        (
            middle[0] + u * body / 2 * along[0] + v * width / 2 * across[0],
            middle[1] + u * body / 2 * along[1] + v * width / 2 * across[1],
        )
        for u, v in ((-0.5, -1), (0.5, -1), (0.5, 1), (-0.5, 1))
    )
    sheet.scene.add(Path("bolt", corners, closed=True, fill="paper"))


def _labels(design: Designed, row: int, part: LegShare | None) -> list[str]:
    """What is written along each leg: its pull, and its share of what the weakest part gives."""
    said = []
    for leg, pull in enumerate(design.forces.leg_pull[row]):
        if design.forces.slack[row, leg]:
            said.append("slack")
            continue
        words = show(float(pull), "force", design.job.show)
        said.append(f"{words}  {share(float(pull) / part.full_pull)}" if part else words)
    return said


def _draw_labels(sheet: _Sheet, design: Designed, row: int, part: LegShare | None) -> None:
    """Letter every leg beside its rafter, as large as stays clear of the next rafter."""
    labels = _labels(design, row, part)
    if design.tie.layout != "ring":
        _letter_legs(sheet, design, labels)
        return
    # What a leg takes across: its two plies, or its bolt and turnbuckle where those are wider.
    drawn = 1.3 if _is_crowded(sheet, design) else 2.0
    width = max(sheet.length(design.tie.gap + design.tie.ply.thickness), drawn)
    feet = [sheet.point(foot) for foot in _feet(design)]
    longest = max(len(label) for label in labels) * ADVANCE
    size, inner = _lettering(sheet, _sharpest(sheet, feet), width, longest)
    bolt = float(np.linalg.norm(_from_middle(design, design.tie.bolt_points), axis=1).mean())
    ring = sheet.length(design.tie.ring_radius)
    # Beside the outer half of the leg if the next rafter is far enough there.
    wished = (ring + sheet.length(bolt)) / 2 + longest * size / 4
    middle = min(
        max(inner + longest * size / 2, wished), sheet.radius - longest * size / 2 - 1.2 * size
    )
    over = [part is not None and pull > part.full_pull for pull in design.forces.leg_pull[row]]
    for label, foot, heavy in zip(labels, feet, over, strict=True):
        along, across = _axes(sheet, foot)
        upright = along[0] > 1e-9 or (abs(along[0]) <= 1e-9 and along[1] > 0)
        # The base line lies on the rafter's side for legs read outwards, else the top does.
        clear = width / 2 + _GAP + (0.22 if upright else 0.76) * size
        turn = math.degrees(math.atan2(along[1], along[0]))
        at = (
            sheet.centre[0] + middle * along[0] + clear * across[0],
            sheet.centre[1] + middle * along[1] + clear * across[1],
        )
        angle = turn if upright else turn + 180.0
        text = Text("text", at, label, size, "middle", angle=angle, bold=heavy)
        sheet.scene.add(Path("clear", text.box(), closed=True, fill="paper"), text)


def _letter_legs(sheet: _Sheet, design: Designed, labels: list[str]) -> None:
    """Letter legs that run from hip to hip along themselves, clear of where they cross."""
    starts, ends = (_from_middle(design, points) for points in _leg_ends(design))
    at, clear = (0.5, 2.4) if design.tie.layout == "band" else (0.8, 1.4)
    room = 0.9 if at == 0.5 else 0.36
    if design.tie.n == 1:  # nothing crosses it
        at, room = 0.74, 0.52
    for label, start, end in zip(labels, starts, ends, strict=True):
        first, last = sheet.point(start), sheet.point(end)
        long = math.dist(first, last)
        size = min(sheet.letters[0], room * long / len(label) / ADVANCE)
        size = max(size, sheet.letters[-1])
        along = ((last[0] - first[0]) / long, (last[1] - first[1]) / long)
        turn = math.degrees(math.atan2(along[1], along[0]))
        upright = -90.0 < turn <= 90.0
        up = math.radians(turn + (90.0 if upright else -90.0))
        place = _part_way(first, last, at)
        place = (place[0] + clear * math.cos(up), place[1] + clear * math.sin(up))
        text = Text("text", place, label, size, "middle", angle=turn if upright else turn + 180.0)
        sheet.scene.add(Path("clear", text.box(), closed=True, fill="paper"), text)


def _sharpest(sheet: _Sheet, feet: list[Point]) -> float:
    """Smallest angle between neighbouring rafters on plan. [rad]"""
    turns = [math.atan2(y - sheet.centre[1], x - sheet.centre[0]) for x, y in feet]
    return min(
        abs(math.remainder(after - before, math.tau))
        for before, after in pairwise([*turns, turns[0]])
    )


def _lettering(sheet: _Sheet, angle: float, width: float, longest: float) -> tuple[float, float]:
    """Largest letter height that fits between two rafters, and the radius it fits from. [mm]"""
    radius = sheet.radius
    for size in sheet.letters:
        # Clear of the next rafter: its near face is r sin(angle) away, less half its width.
        high = width + 2 * _GAP + 0.98 * size
        inner = high / math.sin(min(angle, math.pi / 2))
        if inner + longest * size + 1.2 * size <= radius:
            return size, inner
    least = sheet.letters[-1]
    return least, radius - longest * least - 1.2 * least


def _draw_numbers(sheet: _Sheet, design: Designed) -> None:
    """The number of every leg in a circle outside its corner."""
    radius = min(sheet.bubble, 0.42 * math.tau * (sheet.radius + sheet.out) / design.frame.n)
    size = radius * 0.95
    for leg, foot in enumerate(_feet(design)):
        outer = sheet.point(foot)
        along, _ = _axes(sheet, outer)
        sheet.scene.part = f"leg-{leg + 1}"
        centre = (outer[0] + sheet.out * along[0], outer[1] + sheet.out * along[1])
        number = Text("number", (centre[0], centre[1] - 0.36 * size), str(leg + 1), size, "middle")
        sheet.scene.add(Circle("number", centre, radius, fill="paper"), number)
    sheet.scene.part = ""


def _draw_dimension(sheet: _Sheet, design: Designed) -> None:
    """Across corners where two corners face one another, else corner to the far side's middle."""
    feet = _feet(design)
    n = design.frame.n
    far = feet[n // 2] if n % 2 == 0 else (feet[n // 2] + feet[n // 2 + 1]) / 2
    across = float(np.linalg.norm(feet[0] - far))
    words = f"across corners {show(across, 'length', design.job.show)}"
    if n == 2:
        words = f"span {show(across, 'length', design.job.show)}"
    if n % 2:
        words = f"corner to far side {show(across, 'length', design.job.show)}"
    top, bottom = sheet.point(feet[0])[1], sheet.point(far)[1]
    x = sheet.centre[0] - sheet.radius - _DIMENSION_OUT
    leftmost = {top: sheet.centre[0], bottom: sheet.centre[0]}
    if n % 2:
        leftmost[bottom] = min(sheet.point(feet[n // 2 + 1])[0], sheet.centre[0])
    for y in (top, bottom):
        sheet.scene.line("dimension", (leftmost[y] - 2.0, y), (x - 1.5, y))
        sheet.scene.line("dimension", (x - 1.0, y - 1.0), (x + 1.0, y + 1.0))
    sheet.scene.line("dimension", (x, bottom), (x, top))
    size = 2.8
    at = (x - 1.1, (top + bottom) / 2)
    sheet.scene.add(Text("dimension", at, words, size, "middle", angle=90.0))


def _draw_caption(sheet: _Sheet, design: Designed, row: int, part: LegShare | None) -> None:
    """Two or three lines under the plan: what it shows, what is hatched, what is lettered."""
    state = design.forces.states[row]
    lines = ["Plan, seen from above. Legs number clockwise; leg 1 is at azimuth 000."]
    if state.case.direction_deg is None:
        lines.append(f"Pulls are those of {state.id}.")
    else:
        rest = ", the other half 0.3 of it" if design.cases.simplified_snow else ""
        lines.append(f"Pulls are those of {state.id}: snow on the hatched half{rest}.")
    if part:
        full = show(part.full_pull, "force", design.job.show)
        lines.append(f"Second figure: the pull over {full}, which uses up the {part.check.part}.")
    most = largest_pull(leg_pulls(design))
    if design.forces.leg_pull[row].max() < most.most:
        largest = show(most.most, "force", design.job.show)
        lines.append(f"The largest pull of all combinations is {largest}, in {most.most_in}.")
    left, top = _MARGIN + 4.0, _MARGIN + _FOOT - 4.5
    for count, line in enumerate(lines):
        sheet.scene.add(Text("text", (left, top - 3.7 * count), line, 2.5, bold=count == 0))
