"""The ring in mid-air with the eyes on it, seen from above."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from rafterstay.core.errors import InputError
from rafterstay.roof.frame import Floats
from rafterstay.sheets.desk import LETTER, Box, Desk
from rafterstay.sheets.eye_shape import EyeView, draw_eye
from rafterstay.sheets.request import Request
from rafterstay.sheets.scales import scale_for
from rafterstay.sheets.scene import Angle, Dimension, Path, Point, Text
from rafterstay.sheets.steel_shape import moved, steel_shapes
from rafterstay.shop.eye import Eye, eye_of
from rafterstay.shop.ring_steel import made_of_steel

__all__ = ["corner_angles", "draw_ring"]

_NOTES: Final = 92.0


def corner_angles(points: Floats) -> Floats:
    """Inside angle of a closed line at each of its corners.

    Args:
        points: Corners on plan, in order. [m] (n, 2)

    Returns:
        Angles. [deg] (n,)

    >>> corner_angles(np.array([[0.0, 0.0], [0.0, 3.0], [4.0, 0.0]])).round(2).tolist()
    [90.0, 53.13, 36.87]
    """
    before = np.roll(points, 1, axis=0) - points
    after = np.roll(points, -1, axis=0) - points
    cosine = (before * after).sum(axis=1)
    cosine /= np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)
    return np.asarray(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))


def draw_ring(asked: Request) -> list[Desk]:
    """Draw the centre ring with the eyes on it, seen from above.

    Args:
        asked: What to draw.

    Returns:
        One sheet; none where the tie has no ring.
    """
    design = asked.design
    tie = design.tie
    if tie.layout != "ring":
        return []
    eye = _eye(asked)
    eyes = np.asarray(tie.ring_points)[:, :2]
    middle = eyes.mean(axis=0)
    around = eyes - middle
    reach = float(np.linalg.norm(around, axis=1).max())
    long = 0.0 if eye is None else eye.crown + eye.reach + eye.dead
    title = "CENTRE RING, SEEN FROM ABOVE"
    blank = asked.desk(title, None, cautions=(3, 7)).body
    room = Box(blank.left + 4, blank.low + 4, blank.right - _NOTES, blank.high - 4)
    size = 2000.0 * (reach + long)
    scale = scale_for(((size, room.width - 10.0), (size, room.height - 10.0)))
    desk = asked.desk(title, scale, cautions=(3, 7))
    column = desk.column(_NOTES)
    centre = room.middle
    per = 1000.0 / scale
    placed = [(centre[0] + float(x) * per, centre[1] + float(y) * per) for x, y in around]
    _draw_loop(desk, asked, placed, centre, per=per)
    for point in placed:
        if eye is not None and len(placed) <= 24:
            way = math.atan2(point[1] - centre[1], point[0] - centre[0])
            rope = 0.0 if tie.body else tie.ring_rope.diameter / 2
            away = (eye.bore - rope) * per
            at = (point[0] + away * math.cos(way), point[1] + away * math.sin(way))
            draw_eye(desk.scene, eye, EyeView(at, way, scale), live=0.03, plain=True)
    _number_eyes(desk, placed, centre, reach=(reach + long) * per)
    _measure_ring(desk, asked, placed, centre)
    _measure_corner(desk, asked, placed, centre)
    desk.notes(column, _ring_words(asked, around, eye), heading="CENTRE RING")
    return [desk]


def _eye(asked: Request) -> Eye | None:
    tie = asked.design.tie
    try:
        return eye_of(tie.rope, tie.thimble, tie.sleeve)
    except (InputError, ValueError):
        return None


def _draw_loop(
    desk: Desk, asked: Request, placed: list[Point], centre: Point, *, per: float
) -> None:
    """The ring through the crowns of the eyes: straight sides of rope, or a round of steel."""
    tie = asked.design.tie
    if tie.ring.startswith("rope"):
        desk.scene.add(Path("ring", tuple(placed), closed=True))
    elif tie.body is not None:
        for shape in steel_shapes(tie, per):
            desk.scene.add(moved(shape, centre))
    desk.scene.line("centre", (centre[0] - 3, centre[1]), (centre[0] + 3, centre[1]))
    desk.scene.line("centre", (centre[0], centre[1] - 3), (centre[0], centre[1] + 3))


def _number_eyes(desk: Desk, placed: list[Point], centre: Point, *, reach: float) -> None:
    """The number of each leg past its tail, where there is room."""
    for leg, point in enumerate(placed, start=1):
        way = math.atan2(point[1] - centre[1], point[0] - centre[0])
        choices = []
        for out in (6.0, 11.0, 16.0):
            far = reach + out
            at = (centre[0] + far * math.cos(way), centre[1] + far * math.sin(way) - 0.36 * LETTER)
            choices.append(Text("number", at, str(leg), LETTER, "middle"))
        desk.place(choices)


def _measure_ring(desk: Desk, asked: Request, placed: list[Point], centre: Point) -> None:
    """One side, and centre to the crown of an eye."""
    tie = asked.design.tie
    points = np.asarray(tie.ring_points)
    if len(placed) >= 3:
        side = float(np.linalg.norm(points[0] - points[1]))
        # Clear of the eyes, which reach inwards round the ring.
        inward = 10.0
        desk.measure(
            Dimension(
                "dimension",
                placed[0],
                placed[1],
                -inward,
                asked.said(side),
                side * 1000.0,
                LETTER,
            ),
            most=6,
            beside=False,
            told=True,
        )
    k = len(placed) // 2
    radius = float(np.linalg.norm(points[k, :2] - points[:, :2].mean(axis=0)))
    desk.measure(
        Dimension(
            "dimension",
            centre,
            placed[k],
            0.0,
            asked.said(radius),
            radius * 1000.0,
            LETTER,
        ),
        most=6,
    )


def _measure_corner(desk: Desk, asked: Request, placed: list[Point], centre: Point) -> None:
    """The inside corner of a ring of rope at one eye, where there is room."""
    if not asked.design.tie.ring.startswith("rope") or len(placed) < 3:
        return
    points = np.array(placed)
    angles = corner_angles(points)
    for k in range(1, len(placed)):
        before, after = placed[k - 1], placed[(k + 1) % len(placed)]
        way = math.atan2(centre[1] - placed[k][1], centre[0] - placed[k][0])
        for radius in (8.0, 11.0, 14.0, 17.0):
            said = f"{angles[k]:.1f} deg"
            one = Angle("dimension", placed[k], before, after, radius, said, LETTER)
            half = one.lettering().width / 2
            away = radius + 2.0 + half * abs(math.cos(way)) + 0.4 * LETTER * abs(math.sin(way))
            x, y = (placed[k][0] + away * math.cos(way), placed[k][1] + away * math.sin(way))
            longest = min(math.dist(placed[k], before), math.dist(placed[k], after))
            place = (x, y - 0.36 * LETTER)
            if radius < longest and desk.measure_angle(one, [place], told=True, clear=True):
                return


_RINGS: Final = {
    "rope-seized": "A closed rope; every eye is seized to it and cannot slide.",
    "rope-sliding": "A closed rope; the eyes slide on it.",
    "welded": "A welded ring of round bar.",
    "plate": "A round plate with a hole for each leg.",
    "point": "All legs share one point.",
}


def _ring_words(asked: Request, around: Floats, eye: Eye | None) -> list[str]:
    tie, said = asked.design.tie, asked.said
    words = [_RINGS[tie.ring]]
    if tie.ring.startswith("rope"):
        words.append(f"Ring rope {tie.ring_said}.")
        angles = corner_angles(around)
        least, most = float(angles.min()), float(angles.max())
        even = most - least < 0.05
        words.append(
            f"Inside corner at every eye {least:.1f} deg."
            if even
            else f"Inside corners {least:.1f} to {most:.1f} deg."
        )
    words += _steel_words(asked)
    words.append(f"Centre to eye crown {said(tie.ring_radius)}.")
    sides = np.linalg.norm(around - np.roll(around, -1, axis=0), axis=1)
    if tie.ring.startswith("rope") and len(around) >= 3:
        words.append(f"Eye to eye along the ring {said(float(sides.min()))}.")
        free = float(sides.min()) - tie.thimble.overall_width
        words.append(
            f"Clear between neighbouring thimbles {said(free)}."
            if free > 0
            else "Neighbouring thimbles would lie on one another."
        )
    words.append(
        f"Hangs {said(float(np.asarray(tie.ring_points)[:, 2].mean()))} above {asked.datum}."
    )
    ring = asked.cut.ring if asked.cut is not None else None
    if ring is not None:
        words.append(f"Loop round the eyes, without pull: {said(ring.loop)}; lap {said(ring.lap)}.")
    if eye is None or len(around) > 24:
        words.append("Eyes not drawn.")
    return words


def _steel_words(asked: Request) -> list[str]:
    """What a ring of steel is made to, closer than a tape is read."""
    tie = asked.design.tie
    steel, n = made_of_steel(tie), tie.n
    if steel is None:
        return []

    def exact(length: float) -> str:
        inches = f"{length / 0.0254:.3f} in, " if asked.design.job.show == "us" else ""
        return f"{inches}{1000.0 * length:.1f} mm"

    if steel.kind == "bar":
        return [
            f"Round bar {exact(steel.size)}, {steel.steel}.",
            f"Clear inside {exact(steel.inside)}.",
            f"Once round along the bar's axis {exact(steel.length)}.",
            f"Weld {asked.design.job.tie.ring_weld}, midway between eyes {n} and 1; no eye on it.",
            "Seize each eye on both sides: a free eye slides.",
        ]
    return [
        f"Plate {exact(steel.size)}, {steel.steel}, {exact(steel.outside)} across.",
        f"{n} holes of {exact(steel.hole)}, drilled, on a radius of {exact(steel.radius)}.",
        f"Hole to hole, straight, {exact(steel.chord)}.",
        "A shackle's pin through each hole, its bow through the thimble; pins wired.",
    ]
