"""The hub where the heads meet: from above, and cut upright through two heads."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from rafterstay.sheets.desk import LETTER, Box, Desk
from rafterstay.sheets.request import Request
from rafterstay.sheets.scales import scale_for
from rafterstay.sheets.scene import Angle, Circle, Dimension, Path, Point, Text

__all__ = ["beam_end", "draw_hub", "inset"]

_NOTES: Final = 92.0


def inset(corners: tuple[Point, ...], by: float) -> tuple[Point, ...]:
    """A closed line moved inwards, each of its sides by the same distance.

    Args:
        corners: In order, clockwise. [mm]
        by: How far, square to a side. [mm]

    Returns:
        As many corners; two sides in one line are refused by the division. [mm]

    Source: where two lines meet, Cramer's rule

    >>> inset(((0.0, 0.0), (0.0, 6.0), (10.0, 6.0), (10.0, 0.0)), 1.0)
    ((1.0, 1.0), (1.0, 5.0), (9.0, 5.0), (9.0, 1.0))
    """
    sides = []
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        long = math.dist((x0, y0), (x1, y1))
        nx, ny = (y1 - y0) / long, (x0 - x1) / long
        sides.append((nx, ny, nx * x0 + ny * y0 + by))
    moved = []
    for (a, b, c), (d, e, f) in zip((sides[-1], *sides[:-1]), sides, strict=True):
        across = a * e - b * d
        moved.append(((c * e - b * f) / across, (a * f - c * d) / across))
    return tuple(moved)


def beam_end(outer: Point, towards: int, size: tuple[float, float]) -> tuple[Path, ...]:
    """The cut end of a beam: its outline, and the two diagonals that say timber is cut.

    Args:
        outer: Middle of its outer face. [mm]
        towards: 1 where the beam lies to the left of that face, -1 to the right.
        size: Width and depth. [mm]

    Returns:
        Outline first.
    """
    wide, deep = size
    (x, y), inner = outer, outer[0] - towards * wide
    low, high = y - deep / 2, y + deep / 2
    corners = ((inner, low), (x, low), (x, high), (inner, high))
    return (
        Path("hub", corners, closed=True, fill="paper"),
        Path("grain", (corners[0], corners[2])),
        Path("grain", (corners[1], corners[3])),
    )


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
    _draw_plan(desk, asked, left.middle, scale, reach=size / 2 / scale)
    _Cut(desk, asked, right.middle, scale, reach=size / 2 / scale).draw()
    for box, name in ((left, "FROM ABOVE"), (right, "CUT UPRIGHT")):
        at = (box.middle[0], desk.body.high - 6.0)
        desk.place([Text("text", at, name, LETTER, "middle", bold=True)])
    desk.notes(column, _words(asked), heading="HUB")
    return [desk]


def _draw_plan(desk: Desk, asked: Request, centre: Point, scale: float, *, reach: float) -> None:
    """Both plies of every rafter up to the hub, and the hub itself."""
    design = asked.design
    frame, tie, roof = design.frame, design.tie, design.job.roof
    per = 1000.0 / scale
    heads = (frame.nodes[frame.heads][:, :2] - frame.centre) * per
    t, gap = tie.ply.thickness * per, tie.gap * per
    meet = (gap / 2 + t) / math.tan(math.pi / frame.n) if frame.n > 2 else 0.0
    ways = [(float(out[0]), float(out[1])) for out in np.asarray(frame.outward)]
    for hip, (ux, uy) in enumerate(ways):
        start = max(meet, float(np.linalg.norm(heads[hip])))
        for low, high in ((gap / 2, gap / 2 + t), (-gap / 2 - t, -gap / 2)):
            corners = tuple(
                (centre[0] + a * ux - b * uy, centre[1] + a * uy + b * ux)
                for a, b in ((start, low), (reach, low), (reach, high), (start, high))
            )
            desk.scene.add(Path("wood", corners, closed=True, fill="paper"))
    placed = tuple((centre[0] + float(x), centre[1] + float(y)) for x, y in heads)
    if frame.hub == "disc":
        desk.scene.add(Circle("hub", centre, roof.hub_radius * per, fill="paper"))
    elif frame.hub == "ring":
        for by in (0.0, (roof.hub_width or 0.0) * per):
            desk.scene.add(Path("hub", inset(placed, by), closed=True))
    else:
        desk.scene.add(Circle("hub", centre, 0.8, fill="ink"))
    if frame.hub != "point":
        far = float(np.linalg.norm(heads[0])) / per
        desk.measure(
            Dimension("dimension", placed[0], centre, 0.0, asked.said(far), far * 1000.0, LETTER),
            most=5,
        )
    for hip, (ux, uy) in enumerate(ways, start=1):
        at = (centre[0] + (reach + 4.0) * ux, centre[1] + (reach + 4.0) * uy - 0.36 * LETTER)
        number = Text("number", at, str(hip), LETTER, "middle")
        if desk.fits(number):
            desk.letter(number)


@dataclass(frozen=True)
class _Cut:
    """Two heads on the hub, cut through its middle.

    Attributes:
        centre: Of the view. [mm]
        scale: 1 to this. [-]
        reach: From the middle to where the rafters are broken off. [mm]
    """

    desk: Desk
    asked: Request
    centre: Point
    scale: float
    reach: float

    @property
    def heads(self) -> tuple[tuple[int, int], tuple[int, int]]:
        """Side and hip of each head drawn, that of leg 1 to the right."""
        return (1, 0), (-1, self.asked.design.frame.n // 2)

    def draw(self) -> None:
        """Draw both heads, the hub between them, and their measures."""
        per, half = 1000.0 / self.scale, self.asked.design.tie.ply.depth / 2
        y = self.centre[1] + self._drop(0) / 2
        for side, hip in self.heads:
            rise = half * per / math.cos(self._slope(hip))
            x0, drop = self._head(side, hip), self._drop(hip)
            x1 = self.centre[0] + side * self.reach
            ends = ((x0, y + rise), (x1, y - drop + rise), (x1, y - drop - rise), (x0, y - rise))
            self.desk.scene.add(Path("wood", ends, closed=True, fill="paper"))
            self.desk.scene.line("centre", (x0, y), (x1, y - drop))
            at = (x1 + side * 3.0, y - drop - 0.36 * LETTER)
            self.desk.place([Text("number", at, str(hip + 1), LETTER, "middle")])
        self._draw_hub(y)
        self._measure_slope(y, half * per / math.cos(self._slope(0)))

    def _measure_slope(self, y: float, above: float) -> None:
        """Between the axis of hip 1 and the level through its head."""
        x0, x1 = self._head(*self.heads[0]), self.centre[0] + self.reach
        slope = self._slope(0)
        if x1 - x0 < 4.0 or math.degrees(slope) < 1.0:
            return
        radius = 0.8 * (x1 - x0)
        self.desk.scene.line("centre", (x0, y), (x0 + radius + 2.0, y))
        said = f"{math.degrees(slope):.1f} deg"
        one = Angle("dimension", (x0, y), (x1, y - self._drop(0)), (x1, y), radius, said, LETTER)
        half = one.lettering().width / 2
        places = [(x0 + radius - half + 5.0 * k, y + above + 3.0 + 5.0 * k) for k in range(6)]
        self.desk.measure_angle(one, places)

    def _slope(self, hip: int) -> float:
        """Of a hip, to the level. [rad]"""
        frame = self.asked.design.frame
        foot, head = frame.nodes[frame.feet[hip]], frame.nodes[frame.heads[hip]]
        return math.atan2(float(head[2] - foot[2]), math.dist(foot[:2], head[:2]))

    def _head(self, side: int, hip: int) -> float:
        """Where the bearing of a head lies, across the view. [mm]"""
        frame = self.asked.design.frame
        far = float(np.linalg.norm(frame.nodes[frame.heads[hip], :2] - frame.centre))
        return self.centre[0] + side * far * 1000.0 / self.scale

    def _drop(self, hip: int) -> float:
        """How far a hip falls between its head and where it is broken off. [mm]"""
        inner = self._head(1, hip) - self.centre[0]
        return (self.reach - inner) * math.tan(self._slope(hip))

    def _draw_hub(self, y: float) -> None:
        frame, roof = self.asked.design.frame, self.asked.design.job.roof
        per = 1000.0 / self.scale
        right, left = (self._head(side, hip) for side, hip in self.heads)
        if frame.hub == "disc":
            half = self.asked.design.tie.ply.depth * per / 2 / math.cos(self._slope(0))
            block = ((left, y - half), (right, y - half), (right, y + half), (left, y + half))
            self.desk.scene.add(Path("hub", block, closed=True, fill="paper"))
        elif frame.hub == "ring":
            wide, deep = (roof.hub_width or 0.0) * per, (roof.hub_depth or 0.0) * per
            for end in (-deep / 2, deep / 2):
                self.desk.scene.line("grain", (left + wide, y + end), (right - wide, y + end))
            self.desk.scene.add(*beam_end((right, y), 1, (wide, deep)))
            self.desk.scene.add(*beam_end((left, y), -1, (wide, deep)))
            self._measure_beam((left, y), wide, deep)

    def _measure_beam(self, outer: Point, wide: float, deep: float) -> None:
        """Width and depth of the ring's beam, on the section to the left."""
        roof, said = self.asked.design.job.roof, self.asked.said
        (x, y), half = outer, self.asked.design.tie.ply.depth * 500.0 / self.scale
        measures = (
            ((x, y - deep / 2), (x + wide, y - deep / 2), -half - 4.0, roof.hub_width or 0.0),
            ((x + wide, y - deep / 2), (x + wide, y + deep / 2), -4.0, roof.hub_depth or 0.0),
        )
        for start, end, off, real in measures:
            self.desk.measure(
                Dimension("dimension", start, end, off, said(real), real * 1000.0, LETTER)
            )


_KINDS: Final = {
    "point": "The heads share one point.",
    "disc": "A rigid disc, {} from its centre to the heads' bearing.",
    "ring": "A closed ring of beams, {} from its centre to the heads.",
}


def _words(asked: Request) -> list[str]:
    design = asked.design
    frame, roof, said = design.frame, design.job.roof, asked.said
    words = [_KINDS[frame.hub].format(said(roof.hub_radius))]
    if frame.hub == "ring":
        wide, deep = roof.hub_width or 0.0, roof.hub_depth or 0.0
        words.append(f"Its beams {said(wide)} wide, {said(deep)} deep, cut square to their length.")
        words.append("Thin lines between the beams: the far side of the ring.")
    turned = 1 + frame.n // 2
    if asked.is_measured and frame.n % 2 == 0:
        words.append(f"Heads 1 and {turned} are drawn.")
    if frame.n % 2:
        words.append(f"Heads 1 and {turned} are drawn; head {turned} is turned into the cut.")
    if frame.hub != "point":
        words.append("Heads bear on their full depth." if frame.heads_bear else "Heads are pinned.")
    forces = design.forces
    push = float(np.max(forces.head_push)) if np.size(forces.head_push) else 0.0
    pull = -float(np.min(forces.head_push)) if np.size(forces.head_push) else 0.0
    shear = float(np.max(forces.head_shear)) if np.size(forces.head_shear) else 0.0
    words.append(f"Largest push between a head and the hub: {said(push, 'force')}.")
    if pull > 0.5:
        words.append(f"Largest pull between them: {said(pull, 'force')}.")
    words.append(f"Largest shear between them: {said(shear, 'force')}.")
    stated = roof.hub_shear_allowable
    words.append(
        f"Shear joint of each head stated to carry {said(stated, 'force')}."
        if stated
        else "What the joint of a head carries is not stated."
    )
    words.append(f"Head's bearing centre {said(asked.head_height)} above {asked.datum}.")
    if frame.hub == "disc":
        words.append("The hub's depth is drawn for show.")
    return words
