"""Upright views: the section through leg 1, and the elevation of the frame."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.sheets.desk import LETTER, Box, Desk
from rafterstay.sheets.hub import beam_end
from rafterstay.sheets.request import Request
from rafterstay.sheets.scales import scale_for
from rafterstay.sheets.scene import Angle, Circle, Dimension, Path, Point, Text

__all__ = ["draw_elevation", "draw_section"]

_NOTES: Final = 78.0  # width of the column of notes [mm]
_WALL: Final = 300.0  # of the wall drawn below the plate [mm]
_PLATE: Final = (140.0, 45.0)  # drawn size of the plate, for show [mm]


@dataclass(frozen=True)
class _View:
    """An upright plane: where its points lie on paper."""

    desk: Desk
    origin: Point  # of the plane's axis at the level of the plate [mm]
    scale: float
    column: Box  # for notes

    def at(self, across: float, up: float) -> Point:
        """A point of the plane [m] on paper. [mm]"""
        return (
            self.origin[0] + across * 1000.0 / self.scale,
            self.origin[1] + up * 1000.0 / self.scale,
        )

    def line(self, layer: str, points: list[tuple[float, float]], *, closed: bool = False) -> None:
        """Draw through points of the plane; what is closed hides what lies behind."""
        placed = tuple(self.at(*point) for point in points)
        self.desk.scene.add(Path(layer, placed, closed=closed, fill="paper" if closed else "none"))


def draw_section(asked: Request) -> list[Desk]:
    """Draw the section through leg 1 and the hub.

    Args:
        asked: What to draw.

    Returns:
        One sheet.
    """
    frame = asked.design.frame
    opposite = 1 + frame.n // 2 if frame.n % 2 == 0 else None
    title = f"SECTION THROUGH LEGS 1 AND {opposite}" if opposite else "SECTION THROUGH LEG 1"
    if frame.shape == "gable":
        title = "SECTION THROUGH THE TIED PAIR"
    view = _open(asked, title)
    _draw_cut(view, asked, opposite)
    _measure_section(view, asked)
    _name_section(view, asked)
    _measure_hip(view, asked)
    _note_section(view, asked)
    return [view.desk]


def draw_elevation(asked: Request) -> list[Desk]:
    """Draw the frame from the side, deck left out.

    Args:
        asked: What to draw.

    Returns:
        One sheet.
    """
    view = _open(asked, "ELEVATION OF THE FRAME, ROOFING LEFT OUT")
    if asked.design.frame.shape == "gable":
        _draw_long_side(view, asked)
    else:
        _draw_hips(view, asked)
    return [view.desk]


def _open(asked: Request, title: str) -> _View:
    """A sheet with room for the roof and a column of notes."""
    frame, job = asked.design.frame, asked.design.job
    feet = frame.nodes[frame.feet][:, :2] - frame.centre
    reach = float(np.linalg.norm(feet, axis=1).max()) * 1000.0
    if "ELEVATION" in title and frame.shape == "gable":
        reach = job.roof.length * 500.0
    over = job.roof.overhang * 1000.0
    blank = asked.desk(title, None, cautions=(1, 4)).body
    room = Box(blank.left + 24.0, blank.low + 15.0, blank.right - _NOTES - 24.0, blank.high - 14.0)
    tall = asked.head_height * 1000.0 + _WALL + 400.0
    scale = scale_for(((2 * (reach + over), room.width), (tall, room.height)))
    desk = asked.desk(title, scale, cautions=(1, 4))
    spare = (room.height - tall / scale) / 2
    low = room.low + spare + _WALL / scale
    return _View(desk, (room.middle[0], low), scale, desk.column(_NOTES))


def _along(asked: Request) -> Floats:
    """Plan direction of leg 1, which lies to the right. (2,)"""
    return np.asarray(asked.design.frame.outward[0, :2])


def _in_plane(asked: Request, points: Floats) -> Floats:
    """Distance along leg 1's direction and height. [m] (n, 2)"""
    frame = asked.design.frame
    plan = np.asarray(points)[:, :2] - frame.centre
    return np.column_stack([plan @ _along(asked), np.asarray(points)[:, 2]])


def _pair(point: Floats) -> tuple[float, float]:
    """A point of the plane as two plain figures."""
    return float(point[0]), float(point[1])


def _draw_cut(view: _View, asked: Request, opposite: int | None) -> None:
    """Rafters, plates, hub, legs and ring in the plane of the section."""
    design = asked.design
    frame, tie = design.frame, design.tie
    chosen = [0] if opposite is None else [0, opposite - 1]
    for hip in chosen:
        foot, head = _in_plane(asked, frame.nodes[[frame.feet[hip], frame.heads[hip]]])
        _rafter(view, foot, head, depth=tie.ply.depth, tail=design.job.rafter.tail)
        _plate(view, float(foot[0]))
    if opposite is None:
        _draw_face(view, asked)
    _hub(view, asked, cut=True)
    _tie_in_section(view, asked, chosen)
    axis = [(0.0, -0.1), (0.0, asked.head_height + 0.25)]
    view.line("centre", axis)


def _name_section(view: _View, asked: Request) -> None:
    """The parts of leg 1, which lies to the right, by name."""
    design = asked.design
    frame, tie = design.frame, design.tie
    bolt = _pair(_in_plane(asked, frame.nodes[[frame.bolts[0]]])[0])
    named = [("tie bolt", bolt, 4.0)]
    if tie.layout == "ring":
        eye = _pair(_in_plane(asked, np.asarray(tie.ring_points)[[0]])[0])
        named = [("ring", eye, 3.0), *named]
        if tie.has_turnbuckles:
            middle = ((eye[0] + bolt[0]) / 2, (eye[1] + bolt[1]) / 2)
            named.insert(1, ("turnbuckle", middle, -4.0))
    for words, point, away in named:
        tip = view.at(*point)
        # The bolt's name stands over the rafter, the others under the leg.
        up = 1.0 if words == "tie bolt" else -1.0
        start = tie.ply.depth * 600.0 / view.scale + 4.0 if up > 0 else 6.0
        places = [
            (tip[0] + side, tip[1] + way * (start + 4.0 * k))
            for way in (up, -up)
            for k in range(8)
            for side in (away, -away, 3 * away)
        ]
        view.desk.point_out(tip, words, places)


def _rafter(view: _View, foot: Floats, head: Floats, *, depth: float, tail: float) -> None:
    """Both edges of a rafter about its axis, plumb at the head."""
    run, rise = float(foot[0] - head[0]), float(head[1] - foot[1])
    long = math.hypot(run, rise)
    ux, uy = run / long, -rise / long  # from head to foot
    nx, ny = (-uy, ux) if run >= 0 else (uy, -ux)
    half = depth / 2
    lower = (float(foot[0]) + max(tail, 0.05) * ux, float(foot[1]) + max(tail, 0.05) * uy)
    plumb = half * long / abs(run) if run else half
    corners = [
        (float(head[0]), float(head[1]) + plumb),
        (lower[0] + half * nx, lower[1] + half * ny),
        (lower[0] - half * nx, lower[1] - half * ny),
        (float(head[0]), float(head[1]) - plumb),
    ]
    view.line("wood", corners, closed=True)
    view.line("centre", [(float(head[0]), float(head[1])), (float(foot[0]), float(foot[1]))])


def _plate(view: _View, across: float) -> None:
    """The plate under a foot, and the wall under it, broken off."""
    wide, thick = (size / 1000.0 for size in _PLATE)
    left, right = across - wide / 2, across + wide / 2
    wall = [(left, -thick), (left, -_WALL / 1000.0), (right, -_WALL / 1000.0), (right, -thick)]
    view.line("thin", wall)
    box = [(left, -thick), (right, -thick), (right, 0.0), (left, 0.0)]
    view.line("outline", box, closed=True)
    view.line("thin", [box[0], box[2]])
    view.line("thin", [box[1], box[3]])


def _draw_face(view: _View, asked: Request) -> None:
    """Of an odd number of sides: the middle of the side that faces leg 1."""
    frame = asked.design.frame
    k = frame.n // 2
    feet = _in_plane(asked, frame.nodes[frame.feet[[k, k + 1]]]).mean(axis=0)
    heads = _in_plane(asked, frame.nodes[frame.heads[[k, k + 1]]]).mean(axis=0)
    view.line("thin", [_pair(feet), _pair(heads)])
    _plate(view, float(feet[0]))


def _hub(view: _View, asked: Request, *, cut: bool = False) -> None:
    """The hub from the side; where a ring of beams is cut, its two sections."""
    frame, roof = asked.design.frame, asked.design.job.roof
    if frame.shape == "gable":
        board = 0.019
        half = 0.75 * asked.design.tie.ply.depth
        corners = [(-board, -half), (board, -half), (board, half), (-board, half)]
    elif frame.hub == "point":
        view.desk.scene.add(Circle("hub", view.at(0.0, asked.head_height), 0.8, fill="ink"))
        return
    else:
        half = (roof.hub_depth or asked.design.tie.ply.depth) / 2
        wide = roof.hub_radius
        corners = [(-wide, -half), (wide, -half), (wide, half), (-wide, half)]
    if cut and frame.hub == "ring":
        _cut_ring(view, asked)
    else:
        view.line("hub", [(x, asked.head_height + z) for x, z in corners], closed=True)


def _cut_ring(view: _View, asked: Request) -> None:
    """Two beams of a hub ring, the far side of the ring between them.

    Across from leg 1 a roof of an odd number of sides has the middle of a side of the ring.
    """
    frame, roof = asked.design.frame, asked.design.job.roof
    wide, deep = ((size or 0.0) * 1000.0 / view.scale for size in (roof.hub_width, roof.hub_depth))
    heads = _in_plane(asked, frame.nodes[frame.heads])[:, 0]
    k = frame.n // 2
    left = float(heads[[k, k + 1]].mean() if frame.n % 2 else heads[k])
    left_end, right_end = (view.at(x, asked.head_height) for x in (left, float(heads[0])))
    for z in (-deep / 2, deep / 2):
        start, stop = (left_end[0] + wide, left_end[1] + z), (right_end[0] - wide, right_end[1] + z)
        view.desk.scene.line("grain", start, stop)
    for end, towards in ((left_end, -1), (right_end, 1)):
        view.desk.scene.add(*beam_end(end, towards, (wide, deep)))


def _tie_in_section(view: _View, asked: Request, chosen: list[int]) -> None:
    """Legs that lie in the plane, ring cut twice, bolts seen from their ends."""
    design = asked.design
    frame, tie = design.frame, design.tie
    bolts = _in_plane(asked, frame.nodes[frame.bolts])
    scene = view.desk.scene
    if tie.layout == "cross" and len(chosen) == 2:
        first, last = (_pair(bolts[k]) for k in chosen)
        view.line("leg", [first, last])
        _body(view, asked, first, last, share=0.35)
    if tie.layout == "ring":
        eyes = _in_plane(asked, np.asarray(tie.ring_points))
        for hip in chosen:
            first, last = _pair(bolts[hip]), _pair(eyes[hip])
            view.line("leg", [first, last])
            _body(view, asked, first, last, share=0.5)
            scene.add(Circle("ring", view.at(*last), 0.7, fill="paper"))
        if len(chosen) == 2:
            ends = [_pair(eyes[hip]) for hip in chosen]
            view.line("thin", ends)
    for hip in chosen:
        scene.add(Circle("bolt", view.at(*map(float, bolts[hip])), 0.9, fill="paper"))


def _body(
    view: _View,
    asked: Request,
    first: tuple[float, float],
    last: tuple[float, float],
    *,
    share: float,
) -> None:
    """The turnbuckle of a leg as a box."""
    tie = asked.design.tie
    if not tie.has_turnbuckles:
        return
    long = math.dist(first, last)
    body = min(tie.turnbuckle_set, 0.6 * long) / 2
    half = 1.0 * view.scale / 1000.0
    ux, uz = (last[0] - first[0]) / long, (last[1] - first[1]) / long
    x, z = (first[k] + share * (last[k] - first[k]) for k in (0, 1))
    corners = [
        (x + a * body * ux - b * half * uz, z + a * body * uz + b * half * ux)
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    view.line("thin", corners, closed=True)


def _measure_section(view: _View, asked: Request) -> None:
    """Hr, Hc, the run, and the height of the ring where it hangs elsewhere."""
    design = asked.design
    frame, tie = design.frame, design.tie
    foot, head = _in_plane(asked, frame.nodes[[frame.feet[0], frame.heads[0]]])
    clear = (design.job.rafter.tail + tie.ply.depth) * 1000.0 / view.scale
    # Hr to the right, Hc to the left where a rafter stands there: a short Hc has its figure past
    # its end, where it would meet the lines of Hr.
    other = 0 if frame.n % 2 else frame.n // 2
    far_foot, far_bolt = _in_plane(asked, frame.nodes[[frame.feet[other], frame.bolts[other]]])
    out = 9.0 + clear
    heights = (
        ("Hr", foot, head, -out),
        ("Hc", far_foot, far_bolt, out if other else -out - 9.0),
    )
    for name, low_end, top, off in heights:
        rise = float(top[1] - low_end[1])
        if rise <= 0.0:
            continue
        start, end = view.at(*_pair(low_end)), view.at(*_pair(top))
        words = f"{name} {asked.said(rise)}"
        view.desk.measure(
            Dimension("dimension", start, end, off, words, rise * 1000.0, LETTER, angle=90.0)
        )
    low = -_WALL / 1000.0
    reach = float(foot[0])
    view.desk.measure(
        Dimension(
            "dimension",
            view.at(0.0, low),
            view.at(reach, low),
            -5.5,
            asked.said(reach),
            reach * 1000.0,
            LETTER,
        )
    )
    if reach - float(head[0]) > 0 and float(head[0]) > 0.0:
        start, end = (view.at(x, asked.head_height) for x in (0.0, float(head[0])))
        view.desk.measure(
            Dimension(
                "dimension",
                start,
                end,
                tie.ply.depth * 800.0 / view.scale + 6.0,
                asked.said(float(head[0])),
                float(head[0]) * 1000.0,
                LETTER,
            )
        )


def _measure_hip(view: _View, asked: Request) -> None:
    """Between the axis of a hip and the level through its foot, where there is room.

    The hip across from leg 1, where there is one: at leg 1 the parts have their names.
    """
    frame = asked.design.frame
    hip = frame.n // 2 if frame.n % 2 == 0 else 0
    foot, head = _in_plane(asked, frame.nodes[[frame.feet[hip], frame.heads[hip]]])
    corner, top = view.at(*_pair(foot)), view.at(*_pair(head))
    inward = 1.0 if top[0] > corner[0] else -1.0
    run = abs(top[0] - corner[0])
    said = f"{math.degrees(math.atan2(top[1] - corner[1], run)):.1f} deg"
    level = (corner[0] + 3.0 * inward, corner[1])
    ends = (level, top) if inward > 0 else (top, level)
    for share in (0.30, 0.38, 0.46, 0.54, 0.62, 0.22):
        one = Angle("dimension", corner, *ends, share * run, said, LETTER)
        half = one.lettering().width / 2
        parts = (0.6, 0.75) if inward < 0 else (0.4, 0.25)
        beside = [(*one.on_arc(part), away) for part in parts for away in (1.8, 4.0, 8.0)]
        places = [(x + inward * (away + half), y - 0.36 * LETTER) for x, y, away in beside]
        if view.desk.measure_angle(one, places, told=True, clear=True):
            return


def _note_section(view: _View, asked: Request) -> None:
    """Angles and heights in words, and the parts by name."""
    design = asked.design
    frame, tie, said = design.frame, design.tie, asked.said
    foot, head = _in_plane(asked, frame.nodes[[frame.feet[0], frame.heads[0]]])
    run, rise = float(foot[0] - head[0]), float(head[1] - foot[1])
    hip = math.degrees(math.atan2(rise, run))
    name = "Rafter" if frame.shape == "gable" else "Hip"
    words = [
        f"Hr {said(rise)}: foot's bearing centre to head's bearing centre.",
        f"Hc {said(tie.height)}: foot's bearing centre to tie bolt."
        if tie.height > 0
        else "Tie at the plate: Hc is 0.",
        f"Hc / Hr = {tie.height / rise:.3f}.",
        (
            f"{name}: {hip:.1f} deg to the level, {90 - hip:.1f} deg to plumb, "
            f"{said(math.hypot(run, rise))} from foot to head on its axis."
        ),
    ]
    if frame.shape != "gable":
        slopes = np.degrees(np.arctan(np.asarray(frame.plane_slope)))
        least, most = float(slopes.min()), float(slopes.max())
        spread = f"{least:.1f}" if most - least < 0.05 else f"{least:.1f} to {most:.1f}"
        words.append(f"Roof plane: {spread} deg to the level.")
    if asked.is_measured:
        words.append(_hips_said(asked))
    if tie.layout == "ring":
        leg = np.asarray(tie.bolt_points)[0] - np.asarray(tie.ring_points)[0]
        angle = math.degrees(math.atan2(leg[2], math.hypot(leg[0], leg[1])))
        words.append(f"Leg 1: {abs(angle):.1f} deg to the level as drawn.")
    words += [
        f"Rafters {tie.plies} x {tie.ply.name}, {said(tie.gap)} clear between.",
        "Plate and wall are drawn for show: their sizes are not part of the tie.",
    ]
    view.desk.notes(view.column, words, heading="HEIGHTS AND ANGLES")


def _hips_said(asked: Request) -> str:
    """Of a frame as measured: how far the hips differ from the one that is drawn."""
    frame = asked.design.frame
    way = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    slopes = np.degrees(np.arctan2(way[:, 2], np.hypot(way[:, 0], way[:, 1])))
    return (
        f"Hr and hip are those of leg 1; of all {frame.n} hips: Hr {asked.range(way[:, 2])}, "
        f"{slopes.min():.1f} to {slopes.max():.1f} deg, "
        f"{asked.range(np.linalg.norm(way, axis=1))} on their axes."
    )


def _draw_hips(view: _View, asked: Request) -> None:
    """Every hip, leg and the ring, near ones full, far ones thin."""
    design = asked.design
    frame, tie = design.frame, design.tie
    feet, heads = (_in_plane(asked, frame.nodes[ids]) for ids in (frame.feet, frame.heads))
    bolts = _in_plane(asked, frame.nodes[frame.bolts])
    plan = frame.nodes[frame.feet][:, :2] - frame.centre
    east = np.array([_along(asked)[1], -_along(asked)[0]])
    near = plan @ east >= -1e-9
    eyes = _in_plane(asked, np.asarray(tie.ring_points)) if tie.layout == "ring" else None
    order = sorted(range(frame.n), key=lambda k: bool(near[k]))
    for k in order:
        pen = "outline" if near[k] else "thin"
        view.line(pen, [_pair(feet[k]), _pair(heads[k])])
    for k in range(tie.n):
        pen = "leg fine" if near[k] else "thin"
        start = bolts[k]
        stop = eyes[k] if eyes is not None else bolts[int(tie.stops[k])]
        view.line(pen, [_pair(start), _pair(stop)])
        view.desk.scene.add(Circle("bolt", view.at(*map(float, start)), 0.6, fill="paper"))
    if eyes is not None:
        inner, outer = (float(pick(eyes[:, 0])) for pick in (np.min, np.max))
        view.line("ring", [(inner, float(eyes[0, 1])), (outer, float(eyes[0, 1]))])
    left, right = float(feet[:, 0].min()), float(feet[:, 0].max())
    view.line("plate", [(left, 0.0), (right, 0.0)])
    for side in (left, right):
        view.line("thin", [(side, 0.0), (side, -_WALL / 1000.0)])
    _hub(view, asked)
    numbered = []
    for k in sorted(range(frame.n), key=lambda k: not near[k]):
        x, y = view.at(float(feet[k, 0]), 0.0)
        # Beside the wall's line at either end, under the plate elsewhere.
        aside = 3.4 * ((feet[k, 0] > right - 1e-9) * 1.0 - (feet[k, 0] < left + 1e-9) * 1.0)
        text = Text("number", (x + aside, y - 5.6), str(k + 1), LETTER, "middle")
        if near[k] and view.desk.fits(text):
            view.desk.letter(text)
            numbered.append(k + 1)
    _measure_elevation(view, asked, left, right)
    whole = f"{len(numbered)} of {frame.n} feet are numbered: those on the near side."
    words = [
        "Seen square to leg 1, which lies to the right; near hips heavy, far hips thin.",
        whole,
        f"Legs to a ring at {asked.said(tie.height)} above {asked.datum}."
        if tie.layout == "ring"
        else f"Tie at {asked.said(tie.height)} above {asked.datum}.",
        "Roofing, purlins and blocking are left out.",
    ]
    _column(view, words)


def _measure_elevation(view: _View, asked: Request, left: float, right: float) -> None:
    design = asked.design
    low = -_WALL / 1000.0
    view.desk.measure(
        Dimension(
            "dimension",
            view.at(left, low),
            view.at(right, low),
            -5.5,
            asked.said(right - left),
            (right - left) * 1000.0,
            LETTER,
        )
    )
    sides = (("Hr", asked.head_height, left, 9.0), ("Hc", design.tie.height, right, -9.0))
    for name, rise, side, off in sides:
        if rise <= 0.0:
            continue
        foot = view.at(side, 0.0)
        top = (foot[0], foot[1] + rise * 1000.0 / view.scale)
        view.desk.measure(
            Dimension(
                "dimension",
                foot,
                top,
                off,
                f"{name} {asked.said(rise)}",
                rise * 1000.0,
                LETTER,
                angle=90.0,
            )
        )


def _draw_long_side(view: _View, asked: Request) -> None:
    """Of a gable: rafters between plate and ridge, tied pairs heavy."""
    design = asked.design
    roof = design.job.roof
    half = roof.length / 2
    count = int(half / roof.spacing)
    for pair in range(-count, count + 1):
        across = pair * roof.spacing
        tied = pair % roof.tie_every == 0
        view.line("outline" if tied else "thin", [(across, 0.0), (across, roof.rise)])
        if tied:
            at = view.at(across, design.tie.height)
            view.desk.scene.add(Circle("bolt", at, 0.7, fill="paper"))
    view.line("plate", [(-half, 0.0), (half, 0.0)])
    view.line("outline", [(-half, roof.rise), (half, roof.rise)])
    for side in (-half, half):
        view.line("thin", [(side, -_WALL / 1000.0), (side, roof.rise)])
    _measure_elevation(view, asked, -half, half)
    words = [
        (
            f"Common rafters every {asked.said(roof.spacing)}; heavy ones are tied pairs, "
            f"every {roof.tie_every}."
        ),
        f"Ridge {roof.ridge}, {asked.said(roof.rise)} above the plate.",
        f"Tie bolts at {asked.said(design.tie.height)} above the plate.",
        "Roofing and blocking are left out.",
    ]
    _column(view, words)


def _column(view: _View, words: list[str]) -> None:
    view.desk.notes(view.column, words, heading="ELEVATION")
