"""The middle of the roof: the ring in mid-air, and the hub where the heads meet."""

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
from rafterstay.sheets.scene import Circle, Dimension, Path, Point, Text
from rafterstay.sheets.steel_shape import moved, steel_shapes
from rafterstay.shop.eye import Eye, eye_of
from rafterstay.shop.ring_steel import made_of_steel

__all__ = ["corner_angles", "draw_hub", "draw_ring"]

_NOTES: Final = 92.0
_ROUND: Final = 72  # corners of a drawn circle


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
            most=2,
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
        most=1,
    )


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
    words.append(f"Hangs {said(float(np.asarray(tie.ring_points)[:, 2].mean()))} above the plate.")
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


def draw_hub(asked: Request) -> list[Desk]:
    """Draw the hub where the heads meet: from above, and cut upright.

    Args:
        asked: What to draw.

    Returns:
        One sheet; none for a gable, whose ridge is in its section.
    """
    design = asked.design
    if design.frame.shape == "gable":
        return []
    tie, roof = design.tie, design.job.roof
    ply = tie.gap + 2 * tie.ply.thickness
    # Plies that meet at a point start where neighbours would touch.
    meet = ply / 2 / math.tan(math.pi / design.frame.n)
    size = 2000.0 * (max(roof.hub_radius, meet) + 0.9 * tie.ply.depth)
    title = "HUB: FROM ABOVE, AND CUT UPRIGHT"
    blank = asked.desk(title, None, cautions=(2, 4)).body
    room = Box(blank.left + 4, blank.low + 12, blank.right - _NOTES, blank.high - 16)
    scale = scale_for(((size, room.width / 2 - 12.0), (size, room.height)))
    desk = asked.desk(title, scale, cautions=(2, 4))
    column = desk.column(_NOTES)
    half = room.width / 2
    left = Box(room.left, room.low, room.left + half, room.high)
    right = Box(room.left + half, room.low, room.right, room.high)
    _hub_plan(desk, asked, left.middle, scale, reach=size / 2 / scale)
    _hub_cut(desk, asked, right.middle, scale, reach=size / 2 / scale)
    for box, name in ((left, "FROM ABOVE"), (right, "CUT UPRIGHT")):
        at = (box.middle[0], desk.body.high - 6.0)
        desk.place([Text("text", at, name, LETTER, "middle", bold=True)])
    desk.notes(column, _hub_words(asked), heading="HUB")
    return [desk]


def _hub_plan(desk: Desk, asked: Request, centre: Point, scale: float, *, reach: float) -> None:
    """Both plies of every rafter up to the hub, and the hub itself."""
    design = asked.design
    frame, tie, roof = design.frame, design.tie, design.job.roof
    per = 1000.0 / scale
    heads = frame.nodes[frame.heads][:, :2] - frame.centre
    t, gap = tie.ply.thickness * per, tie.gap * per
    meet = (gap / 2 + t) / math.tan(math.pi / frame.n) if frame.n > 2 else 0.0
    for hip in range(frame.n):
        out = np.asarray(frame.outward[hip, :2])
        start = max(meet, float(np.linalg.norm(heads[hip])) * per)
        ux, uy = float(out[0]), float(out[1])
        for low, high in ((gap / 2, gap / 2 + t), (-gap / 2 - t, -gap / 2)):
            corners = tuple(
                (centre[0] + a * ux - b * uy, centre[1] + a * uy + b * ux)
                for a, b in ((start, low), (reach, low), (reach, high), (start, high))
            )
            desk.scene.add(Path("wood", corners, closed=True, fill="paper"))
    if frame.hub == "disc":
        desk.scene.add(Circle("hub", centre, roof.hub_radius * per, fill="paper"))
    elif frame.hub == "ring":
        for radius in (roof.hub_radius, max(roof.hub_radius - (roof.hub_width or 0.0), 0.0)):
            points = tuple(
                (
                    centre[0] + radius * per * math.sin(2 * math.pi * k / frame.n),
                    centre[1] + radius * per * math.cos(2 * math.pi * k / frame.n),
                )
                for k in range(frame.n)
            )
            desk.scene.add(Path("hub", points, closed=True))
    else:
        desk.scene.add(Circle("hub", centre, 0.8, fill="ink"))
    if frame.hub != "point":
        far = float(np.linalg.norm(heads[0]))
        end = (centre[0], centre[1] + far * per)
        desk.measure(
            Dimension("dimension", end, centre, 0.0, asked.said(far), far * 1000.0, LETTER),
            most=1,
        )


def _hub_cut(desk: Desk, asked: Request, centre: Point, scale: float, *, reach: float) -> None:
    """Two heads on the hub, cut through the middle."""
    design = asked.design
    frame, tie, roof = design.frame, design.tie, design.job.roof
    per = 1000.0 / scale
    foot, head = frame.nodes[frame.feet[0]], frame.nodes[frame.heads[0]]
    slope = math.atan2(float(head[2] - foot[2]), math.dist(foot[:2], head[:2]))
    inner = float(np.linalg.norm(head[:2] - frame.centre)) * per
    half = tie.ply.depth * per / 2 / math.cos(slope)
    for side in (-1, 1):
        x0, x1 = centre[0] + side * inner, centre[0] + side * reach
        drop = (reach - inner) * math.tan(slope)
        y = centre[1] + drop / 2
        corners = ((x0, y + half), (x1, y - drop + half), (x1, y - drop - half), (x0, y - half))
        desk.scene.add(Path("wood", corners, closed=True, fill="paper"))
        desk.scene.line("centre", (x0, y), (x1, y - drop))
    y = centre[1] + (reach - inner) * math.tan(slope) / 2
    if frame.hub != "point":
        deep = (roof.hub_depth or 2 * half / per) * per
        block = tuple(
            (centre[0] + a * inner, y + b * deep / 2)
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
        desk.scene.add(Path("hub", block, closed=True, fill="paper"))
    angle = f"{math.degrees(slope):.1f} deg"
    spot = (centre[0] + 0.6 * reach, y - (0.6 * reach - inner) * math.tan(slope) + half + 3.0)
    desk.place([Text("dimension", (spot[0], spot[1] + 5.0 * k), angle, LETTER) for k in range(6)])


def _hub_words(asked: Request) -> list[str]:
    design = asked.design
    frame, roof, said = design.frame, design.job.roof, asked.said
    forces = design.forces
    kind = {
        "point": "The heads share one point.",
        "disc": f"A rigid disc, {said(roof.hub_radius)} from its centre to the heads' bearing.",
        "ring": f"A closed ring of beams, {said(roof.hub_radius)} from its centre to the heads.",
    }
    words = [kind[frame.hub]]
    if frame.hub == "ring":
        wide, deep = roof.hub_width or 0.0, roof.hub_depth or 0.0
        words.append(f"Ring section {said(wide)} wide, {said(deep)} deep.")
    if frame.hub != "point":
        words.append("Heads bear on their full depth." if frame.heads_bear else "Heads are pinned.")
    push = float(np.max(forces.head_push)) if np.size(forces.head_push) else 0.0
    pull = -float(np.min(forces.head_push)) if np.size(forces.head_push) else 0.0
    shear = float(np.max(forces.head_shear)) if np.size(forces.head_shear) else 0.0
    words.append(f"Largest push between a head and the hub: {asked.said(push, 'force')}.")
    if pull > 0.5:
        words.append(f"Largest pull between them: {asked.said(pull, 'force')}.")
    words.append(f"Largest shear between them: {asked.said(shear, 'force')}.")
    stated = roof.hub_shear_allowable
    words.append(
        f"Shear joint of each head stated to carry {asked.said(stated, 'force')}."
        if stated
        else "What the joint of a head carries is not stated."
    )
    words.append(f"Head's bearing centre {said(frame.rise)} above the plate.")
    if frame.hub != "point" and not roof.hub_depth:
        words.append("The hub's depth is drawn for show.")
    return words
