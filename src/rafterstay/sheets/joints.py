"""Where a leg hangs: the bolt across the plies, and the eye on it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

import numpy as np

from rafterstay.core.errors import InputError
from rafterstay.sheets.desk import LETTER, Box, Desk
from rafterstay.sheets.eye_shape import EyeView, draw_eye
from rafterstay.sheets.request import Request
from rafterstay.sheets.scales import scale_for
from rafterstay.sheets.scene import Circle, Dimension, Path, Point, Text
from rafterstay.shop.cut import jaw_pin
from rafterstay.shop.eye import Eye, eye_of

__all__ = ["draw_bolt", "draw_eye_sheet"]

_WASHER: Final = 2.2  # outside of a washer over the bolt: about that of plain washers, for show
_NOTES: Final = 80.0


def draw_bolt(asked: Request) -> list[Desk]:
    """Draw the tie bolt across the plies, and from the side.

    Args:
        asked: What to draw.

    Returns:
        One sheet.
    """
    tie = asked.design.tie
    title = "TIE BOLT: PLIES, SPACERS, EYE"
    blank = asked.desk(title, None, cautions=(1, 3)).body
    room = Box(blank.left + 4, blank.low + 13, blank.right - _NOTES, blank.high - 23)
    wide = (2 * tie.ply.thickness + tie.gap + 6 * tie.bolt.diameter) * 1000.0
    high = tie.ply.depth * 1000.0
    scale = scale_for(((high, room.height), (wide, 0.63 * room.width)))
    side = scale_for(((3.0 * high, room.height), (2.6 * high, 0.37 * room.width)))
    words = f"1 : {scale:g}; from the side 1 : {side:g}"
    desk = asked.desk(title, scale, cautions=(1, 3), scale_words=words)
    column = desk.column(_NOTES)
    split = room.left + 0.62 * room.width
    _across(desk, asked, Box(room.left + 18.0, room.low, split, room.high), scale)
    _from_side(desk, asked, Box(split + 4.0, room.low, room.right, room.high), side)
    desk.notes(column, _bolt_words(asked), heading="AT EVERY TIE BOLT")
    return [desk]


def _rectangle(centre: Point, wide: float, high: float) -> tuple[Point, ...]:
    x, y = centre
    a, b = wide / 2, high / 2
    return ((x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b))


def _across(desk: Desk, asked: Request, box: Box, scale: float) -> None:
    """Both plies cut square to their length, the bolt lying across them."""
    tie = asked.design.tie
    per = 1000.0 / scale
    t, gap, depth, d = (
        size * per for size in (tie.ply.thickness, tie.gap, tie.ply.depth, tie.bolt.diameter)
    )
    x, y = box.middle
    scene = desk.scene
    for side in (-1, 1):
        ply = _rectangle((x + side * (gap + t) / 2, y), t, depth)
        scene.add(Path("wood", ply, closed=True, fill="paper"))
        washer = _rectangle((x + side * (gap / 2 + t + 0.12 * d), y), 0.24 * d, _WASHER * d)
        scene.add(Path("outline", washer, closed=True, fill="paper"))
    eye = tie.thimble.thickness * per
    clear = (gap - eye) / 2
    shift = 0.0 if tie.eye_spacers else -clear
    if tie.eye_spacers and clear > 0.05:
        for side in (-1, 1):
            spacer = _rectangle((x + side * (eye + clear) / 2, y), clear, _WASHER * d)
            scene.add(Path("outline", spacer, closed=True, fill="paper"))
    long = gap + 2 * t + 3.0 * d
    scene.add(Path("outline", _rectangle((x + 0.35 * d, y), long, d), closed=True, fill="paper"))
    for side, size in ((-1, 0.7), (1, 0.85)):
        middle = x + side * (gap / 2 + t + 0.24 * d + size * d / 2)
        head = _rectangle((middle, y), size * d, 1.6 * d)
        scene.add(Path("outline", head, closed=True, fill="paper"))
    thimble = _rectangle((x + shift, y), eye, tie.thimble.overall_width * per)
    scene.add(Path("rope", thimble, closed=True, fill="paper"))
    _measure_across(desk, asked, (x, y), scale)


def _measure_across(desk: Desk, asked: Request, middle: Point, scale: float) -> None:
    tie = asked.design.tie
    per = 1000.0 / scale
    x, y = middle
    half, gap, t = tie.ply.depth * per / 2, tie.gap * per, tie.ply.thickness * per

    def across(first: float, last: float, real: float, off: float, words: str) -> None:
        low = y - half if off < 0 else y + half
        desk.measure(
            Dimension(
                "dimension",
                (x + first, low),
                (x + last, low),
                off,
                words,
                real * 1000.0,
                LETTER,
            )
        )

    eye = tie.thimble.thickness
    shift = 0.0 if tie.eye_spacers else -(tie.gap - eye) / 2 * per
    words = f"eye {asked.said(eye)}"
    across(shift - eye * per / 2, shift + eye * per / 2, eye, 10.0, words)
    across(-gap / 2, gap / 2, tie.gap, 4.0, f"gap {asked.said(tie.gap)}")
    across(-gap / 2 - t, -gap / 2, tie.ply.thickness, -5.0, asked.said(tie.ply.thickness))
    left = x - gap / 2 - t
    desk.measure(
        Dimension(
            "dimension",
            (left, y - half),
            (left, y),
            9.0 + 2.0 * tie.bolt.diameter * per,
            asked.said(tie.ply.depth / 2),
            tie.ply.depth * 500.0,
            LETTER,
        )
    )
    words = "ACROSS THE PLIES"
    desk.place(
        [
            Text("text", (x, y + half + 12.0 + 6.0 * k), words, LETTER, "middle", bold=True)
            for k in range(3)
        ]
    )


def _from_side(desk: Desk, asked: Request, box: Box, scale: float) -> None:
    """A ply from its side at the rafter's slope, with the eye and the way the leg pulls."""
    design = asked.design
    frame, tie = design.frame, design.tie
    per = 1000.0 / scale
    x, y = box.middle[0] + 6.0, box.middle[1]
    slope = _slope(asked)
    cos, sin = math.cos(slope), math.sin(slope)
    half = tie.ply.depth * per / 2
    reach = min(box.width / 2 / max(cos, 0.3), 0.9 * box.height / max(sin, 0.3) / 2, 1.6 * half * 2)

    def at(along: float, aside: float) -> Point:
        # The head lies to the left and up, the foot to the right and down.
        return (x + along * cos + aside * sin, y - along * sin + aside * cos)

    for aside in (-half, half):
        desk.scene.line("wood", at(-reach, aside), at(reach, aside))
    for k in (-2, -1, 1, 2):
        aside = half * k / 3
        desk.scene.line("grain", at(-0.92 * reach, aside), at(0.92 * reach, aside))
    desk.scene.add(Circle("outline", (x, y), tie.bolt.diameter * per / 2, fill="paper"))
    desk.scene.add(Circle("thin", (x, y), _WASHER * tie.bolt.diameter * per / 2))
    way = _pull_way(asked)
    eye = _eye(asked) if tie.layout != "band" else None
    if eye is not None:
        offset = (eye.bore - tie.bolt.diameter / 2) * per
        centre = (x + offset * math.cos(way), y + offset * math.sin(way))
        draw_eye(desk.scene, eye, EyeView(centre, way, scale), live=0.04, plain=True)
    # Past the drawn end of the ply, so that the figure lies on no line.
    desk.measure(
        Dimension(
            "dimension",
            at(-reach, -half),
            at(-reach, 0.0),
            5.0,
            asked.said(tie.ply.depth / 2),
            tie.ply.depth * 500.0,
            LETTER,
        )
    )
    desk.place(_heading(box.middle[0], desk, "FROM THE SIDE"))
    del frame


def _heading(x: float, desk: Desk, words: str) -> Iterable[Text]:
    """Places for the name of a view over it."""
    for k in range(4):
        at = (x, desk.body.high - 6.0 - 6.0 * k)
        yield Text("text", at, words, LETTER, "middle", bold=True)


def _slope(asked: Request) -> float:
    """Of rafter 1 to the level. [rad]"""
    frame = asked.design.frame
    foot, head = frame.nodes[frame.feet[0]], frame.nodes[frame.heads[0]]
    return math.atan2(float(head[2] - foot[2]), math.dist(foot[:2], head[:2]))


def _pull_way(asked: Request) -> float:
    """Way the leg runs on the sheet, towards the ring: left, up or down as drawn. [rad]"""
    tie = asked.design.tie
    if tie.layout != "ring":
        return math.pi
    leg = np.asarray(tie.ring_points)[0] - np.asarray(tie.bolt_points)[0]
    return math.pi - math.atan2(float(leg[2]), math.hypot(float(leg[0]), float(leg[1])))


def _eye(asked: Request) -> Eye | None:
    """The eye, where its pins go through the thimble and the rope round it closes."""
    tie = asked.design.tie
    try:
        eye = eye_of(tie.rope, tie.thimble, tie.sleeve)
        eye.pin_to_mouth(tie.bolt.diameter)
    except (InputError, ValueError):
        return None
    return eye


def _bolt_words(asked: Request) -> list[str]:
    tie, said = asked.design.tie, asked.said
    clear = tie.gap - tie.thimble.thickness
    words = [
        f"Bolt {tie.bolt.name}, at mid depth of the ply.",
        _HOLE[asked.design.job.show],
        f"Plies {tie.plies} x {tie.ply.name}, {said(tie.gap)} clear.",
        f"Eye {said(tie.thimble.thickness)} thick over its thimble.",
    ]
    if clear < 0:
        words.append("The eye is thicker than the gap: it does not go in.")
    elif tie.eye_spacers:
        words.append(f"Washers as spacers, {said(clear / 2)} on each side: the eye stays central.")
    else:
        words.append("No spacers: the eye leans on one ply. Drawn so; the checks take it so too.")
    slope = math.degrees(_slope(asked))
    grain = abs(math.degrees(math.pi - _pull_way(asked)) + slope)
    if tie.layout == "band":
        words.append("The band leaves along the plate, out of the plane of this view.")
    else:
        whose = "At leg 1, drawn: rafter" if asked.is_measured else "Rafter"
        words.append(f"{whose} {slope:.1f} deg to the level; pull {grain:.1f} deg to the grain.")
    if _eye(asked) is None:
        words.append("Eye not drawn: bolt, thimble and rope do not fit one another.")
    words.append("Washers, head and nut are drawn for show.")
    return words


# Source: NDS 2018 12.1.3.2, 1/32 to 1/16 in over the bolt
_HOLE: Final = {
    "us": 'Hole 1/32" to 1/16" over the bolt.',
    "si": "Hole 0.8 mm to 1.6 mm over the bolt.",
}


def draw_eye_sheet(asked: Request) -> list[Desk]:
    """Draw one eye with its measures.

    Args:
        asked: What to draw.

    Returns:
        One sheet; none where the parts make no eye.
    """
    tie = asked.design.tie
    eye = _eye(asked)
    if eye is None:
        return []
    title = "EYE: THIMBLE, SLEEVE, TAIL"
    blank = asked.desk(title, None, cautions=(7, 8)).body
    long = (eye.crown + eye.diameter / 2 + eye.reach + eye.dead + 0.02) * 1000.0
    scale = scale_for(((long, blank.width - _NOTES - 30.0), (2.6 * eye.crown * 1000.0, 70.0)))
    desk = asked.desk(title, scale, cautions=(7, 8))
    column = desk.column(_NOTES)
    per = 1000.0 / scale
    room = Box(blank.left + 14, desk.body.low + 12, blank.right - _NOTES - 10, desk.body.high - 10)
    left = room.left + (room.width - long / scale) / 2 + (eye.crown + eye.diameter / 2) * per
    view = EyeView((left, room.middle[1]), 0.0, scale)
    draw_eye(desk.scene, eye, view, live=eye.tail + 0.012)
    pin = tie.bolt.diameter
    at_pin = view.at(-(eye.bore - pin / 2), 0.0)
    desk.scene.add(Circle("centre", at_pin, pin * per / 2))
    _measure_eye(desk, asked, eye, view)
    desk.notes(column, _eye_words(asked, eye), heading="EVERY EYE OF A LEG")
    return [desk]


def _measure_eye(desk: Desk, asked: Request, eye: Eye, view: EyeView) -> None:
    outer = eye.crown + eye.diameter / 2
    end = eye.reach + eye.after
    low = -outer

    def along(first: float, last: float, off: float, aside: float = low) -> None:
        real = last - first
        start, stop = view.at(first, aside), view.at(last, aside)
        words = asked.said(real)
        desk.measure(Dimension("dimension", start, stop, off, words, real * 1000.0, LETTER))

    along(-eye.bore, eye.reach, -8.0)
    along(eye.reach, end, -8.0)
    along(end, end + eye.tail, -8.0)
    top, bottom = view.at(0.0, eye.bore), view.at(0.0, -eye.bore)
    words = asked.said(2 * eye.bore)
    real = 2000.0 * eye.bore
    away = (outer + 0.004) * 1000.0 / view.scale
    desk.measure(Dimension("dimension", bottom, top, away + 5.0, words, real, LETTER))
    _name_parts(desk, asked, eye, view)


def _name_parts(desk: Desk, asked: Request, eye: Eye, view: EyeView) -> None:
    """Thimble to the upper left, sleeve to the upper right, tail below: no line meets words."""
    outer, end = eye.crown + eye.diameter / 2, eye.reach + eye.after
    high, low = view.at(0.0, outer)[1] + 6.0, view.at(0.0, -outer)[1] - 14.0
    thimble = view.at(0.35 * eye.bore, 0.97 * eye.bore)
    name = f"thimble {asked.design.tie.thimble.name}"
    places = [(thimble[0] + away, high + 6.0 * k) for k in range(4) for away in (-6.0, 6.0)]
    desk.point_out(thimble, name, places)
    sleeve = view.at(eye.reach + eye.after / 2, 1.3 * eye.diameter)
    places = [(sleeve[0] + 5.0, high + 6.0 * k) for k in range(-1, 5)]
    desk.point_out(sleeve, "sleeve, finished", places)
    tail = view.at(end + eye.tail / 2, -eye.diameter)
    places = [(tail[0] + 6.0 + 3.0 * k, low + 12.0 - 5.0 * k) for k in range(6)]
    desk.point_out(tail, "tail", places)


def _eye_words(asked: Request, eye: Eye) -> list[str]:
    tie, said = asked.design.tie, asked.said
    making = asked.cut.making if asked.cut else None
    words = [
        f"Rope {tie.rope.name}.",
        (
            f"Thimble {tie.thimble.name}: largest pin that seats on its crown "
            f"{said(tie.thimble.inside_width)}."
        ),
        f"Pins: tie bolt {said(tie.bolt.diameter)}, jaw {said(jaw_pin(tie))}.",
        (
            f"Sleeve {tie.sleeve.name}: {said(eye.before)} before, {said(eye.after)} after "
            f"{tie.sleeve.presses} presses."
        ),
        f"Tail shows {said(eye.diameter)} to {said(2 * eye.diameter)} when finished.",
        f"Rope round the thimble, mouth to mouth: {said(eye.loop)}.",
    ]
    if making is not None:
        words.append(
            f"Eyes grow by {said(making.creep)} in pressing ({making.trial or 'practice'})."
        )
    words.append("Drawn finished, hand straight, without pull; the circle is the tie bolt.")
    return words
