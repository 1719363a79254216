"""Full-size drawings on more than one sheet: tiles with a ruler and marks to lay them by."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

from rafterstay.sheets.clip import clip
from rafterstay.sheets.desk import LETTER, LINE, MARGIN, Box, Desk
from rafterstay.sheets.literal import clipped
from rafterstay.sheets.nouns import PAPER, Paper
from rafterstay.sheets.request import Request
from rafterstay.sheets.scene import ADVANCE, Angle, Circle, Dimension, Path, Point, Scene, Text

__all__ = ["Template", "tile_out", "window"]

_STRIP: Final = 37.0  # under the window: ruler, title, stamp, cautions [mm]
_MARK: Final = 3.0  # arm of a registration mark [mm]
_ROUND: Final = 96  # sides of a circle that a tile cuts
_INCH: Final = 25.4
_CLEAR: Final = 30.0  # from an anchor to a seam is as good as any more [mm]
_WORDS: Final = (
    "Print at 100 %, not fitted to the page. If the ruler does not read true: do not use."
)


@dataclass
class Template:
    """A full-size drawing.

    Attributes:
        title: In capitals.
        box: What it takes up. [mm]
        shapes: Lines and circles. [mm]
        labels: Words, each with the places it may stand, the best first. [mm]
        measures: Dimensions, drawn where they lie on one tile. [mm]
        angles: Angles, and where the middles of their figures may lie, the best first. [mm]
        anchors: Points that are not to lie where two tiles meet. [mm]
    """

    title: str
    box: Box
    shapes: list[Path | Circle] = field(default_factory=list)
    labels: list[list[Text]] = field(default_factory=list)
    measures: list[Dimension] = field(default_factory=list)
    angles: list[tuple[Angle, list[Point]]] = field(default_factory=list)
    anchors: list[Point] = field(default_factory=list)

    def label(self, text: str, *places: Point, size: float = LETTER, bold: bool = False) -> None:
        """Add words.

        Args:
            text: The words.
            places: Where their middle may lie, the best first. [mm]
            size: Letter height. [mm]
            bold: Heavier letters.
        """
        self.labels.append(
            [Text("text", (x, y - 0.36 * size), text, size, "middle", bold=bold) for x, y in places]
        )


def window(paper: Paper, *, upright: bool) -> Box:
    """Room for the drawing on one tile.

    Args:
        paper: Letter or A4.
        upright: The paper stands.

    Returns:
        The window. [mm]
    """
    width, height = PAPER[paper][::-1] if upright else PAPER[paper]
    edge = MARGIN + _MARK
    return Box(edge, MARGIN + _STRIP, width - edge, height - edge)


def tile_out(asked: Request, template: Template) -> list[Desk]:
    """Lay a template out on as few sheets as it takes.

    Args:
        asked: Paper and title block.
        template: What is drawn, full size.

    Returns:
        Sheets by rows from the top, each row from the left.
    """
    laid = min((_lay(asked.paper, template, upright=up) for up in (False, True)), key=_cost)
    upright, across, down, left, top, _ = laid
    room = window(asked.paper, upright=upright)
    desks = []
    for row in range(down):
        for column in range(across):
            low = top - (row + 1) * room.height
            shown = Box(
                left + column * room.width,
                low,
                left + (column + 1) * room.width,
                low + room.height,
            )
            desk = _tile(asked, template, shown, upright=upright)
            _mark(desk, row, column, across=across, down=down)
            desks.append(desk)
    return desks


def _count(box: Box, room: Box) -> tuple[int, int]:
    """Tiles across and down."""
    return (
        max(1, math.ceil(box.width / room.width - 1e-9)),
        max(1, math.ceil(box.height / room.height - 1e-9)),
    )


_Laid = tuple[bool, int, int, float, float, float]


def _lay(paper: Paper, template: Template, *, upright: bool) -> _Laid:
    """Tiles across and down, where the first starts, and how near an anchor comes to a seam."""
    box, room = template.box, window(paper, upright=upright)
    across, down = _count(box, room)
    xs, ys = ([anchor[k] for anchor in template.anchors] for k in (0, 1))
    left, beside = _start(box.left, box.right, room.width, across, xs)
    low, above = _start(box.low, box.high, room.height, down, ys)
    return upright, across, down, left, low + down * room.height, min(beside, above)


def _cost(laid: _Laid) -> tuple[int, float]:
    """Fewest sheets first, then anchors furthest from seams."""
    return laid[1] * laid[2], -laid[5]


def _start(
    low: float, high: float, tile: float, count: int, avoid: list[float]
) -> tuple[float, float]:
    """Where the first tile starts so that seams keep off the anchors, and how far they do."""
    spare = count * tile - (high - low)
    middle = low - spare / 2
    seams = range(1, count)

    def nearest(start: float) -> float:
        gaps = (abs(start + tile * seam - point) for seam in seams for point in avoid)
        return round(min(min(gaps, default=_CLEAR), _CLEAR), 3)

    tries = [middle + spare * k / 40 for k in (*range(21), *range(-1, -21, -1))]
    best = max(tries, key=nearest)
    return best, nearest(best)


def _tile(asked: Request, template: Template, shown: Box, *, upright: bool) -> Desk:
    """One window of the drawing, with its strip."""
    width, height = PAPER[asked.paper][::-1] if upright else PAPER[asked.paper]
    room = window(asked.paper, upright=upright)
    scene = Scene(width, height, f"{template.title}: {asked.stamp.title}")
    desk = Desk(scene, asked.stamp, template.title, 1.0, room)
    desk.box("border", room)
    dx, dy = room.left - shown.left, room.low - shown.low
    for shape in template.shapes:
        scene.add(*_moved(shape, room, dx, dy))
    for one in template.measures:
        moved = Dimension(
            one.layer,
            (one.start[0] + dx, one.start[1] + dy),
            (one.end[0] + dx, one.end[1] + dy),
            one.off,
            one.text,
            one.value,
            one.size,
            one.angle,
        )
        points = (*moved.feet, moved.start, moved.end)
        if all(room.left < x < room.right and room.low < y < room.high for x, y in points):
            desk.measure(moved, most=2)
    for angle, spots in template.angles:
        _measure_angle(desk, angle, spots, (dx, dy))
    for places in template.labels:
        _place(desk, places, dx, dy)
    _ruler(desk)
    _strip(desk)
    return desk


def _measure_angle(desk: Desk, one: Angle, spots: list[Point], by: Point) -> None:
    """An angle on the tile that holds its corner; where its arc is cut by a seam, in words."""
    dx, dy = by

    def there(point: Point) -> Point:
        return (point[0] + dx, point[1] + dy)

    room, corner = desk.body, there(one.corner)
    if not (room.left <= corner[0] < room.right and room.low <= corner[1] < room.high):
        return
    moved = replace(one, corner=corner, start=there(one.start), end=there(one.end))
    middles = [(x, y - 0.36 * one.size) for x, y in map(there, spots)]
    if not desk.measure_angle(moved, middles, told=True):
        texts = [Text("text", at, one.text, one.size, "middle") for at in middles]
        _place(desk, texts, 0.0, 0.0)


def _place(desk: Desk, places: Sequence[Text], dx: float, dy: float) -> None:
    """Letter words on the tile that holds the middle of their best place."""
    first = places[0]
    room = desk.body
    x, y = first.at[0] + dx, first.at[1] + dy
    if not (room.left <= x < room.right and room.low <= y < room.high):
        return
    half = first.width / 2 + 1.0
    moved = []
    for text in places:
        at = (
            min(max(text.at[0] + dx, room.left + half), room.right - half),
            min(max(text.at[1] + dy, room.low + 2.0), room.high - text.size),
        )
        moved.append(Text(text.layer, at, text.text, text.size, "middle", bold=text.bold))
    near = [
        Text(text.layer, (text.at[0], text.at[1] + step), text.text, text.size, "middle")
        for step in (5.5, -5.5, 11.0, -11.0)
        for text in moved
    ]
    desk.place([*moved, *near])


def _moved(shape: Path | Circle, room: Box, dx: float, dy: float) -> Iterator[Path | Circle]:
    """A shape moved onto the tile, what lies outside its window cut away."""
    if isinstance(shape, Circle):
        x, y = shape.centre[0] + dx, shape.centre[1] + dy
        r = shape.radius
        inside = room.left <= x - r and x + r <= room.right
        if inside and room.low <= y - r and y + r <= room.high:
            yield Circle(shape.layer, (x, y), r, shape.fill)
            return
        turns = [2 * math.pi * k / _ROUND for k in range(_ROUND + 1)]
        points = tuple((x + r * math.cos(turn), y + r * math.sin(turn)) for turn in turns)
        shape, dx, dy = Path(shape.layer, points), 0.0, 0.0
    points = tuple((x + dx, y + dy) for x, y in shape.points)
    if all(room.left <= x <= room.right and room.low <= y <= room.high for x, y in points):
        yield Path(shape.layer, points, shape.closed, shape.fill)
        return
    ends = (*points, points[0]) if shape.closed else points
    for start, end in pairwise(ends):
        cut = clip(start, end, (room.left, room.low, room.right, room.high))
        if cut is not None:
            yield Path(shape.layer, cut)


def _mark(desk: Desk, row: int, column: int, *, across: int, down: int) -> None:
    """Registration marks at the corners, and which tile joins where."""
    room, scene = desk.body, desk.scene
    for x in (room.left, room.right):
        for y in (room.low, room.high):
            scene.add(Circle("register", (x, y), 0.6 * _MARK))
            scene.line("register", (x - _MARK, y), (x + _MARK, y))
            scene.line("register", (x, y - _MARK), (x, y + _MARK))
    if across * down == 1:
        _title(desk)
        return
    desk.title += f", TILE {_cell(row, column)} OF {_cell(down - 1, across - 1)}"
    sides = (
        (row > 0, (room.middle[0], room.high - 3.2), _cell(row - 1, column)),
        (row < down - 1, (room.middle[0], room.low + 3.2), _cell(row + 1, column)),
        (column > 0, (room.left + 12.0, room.middle[1]), _cell(row, column - 1)),
        (column < across - 1, (room.right - 12.0, room.middle[1]), _cell(row, column + 1)),
    )
    for there, (x, y), name in sides:
        if there:
            upright = y == room.middle[1]
            steps = (0.0, 14.0, -14.0, 28.0, -28.0, 42.0, -42.0, 56.0, -56.0)
            places = [(x, y + step) if upright else (x + step, y) for step in steps]
            choices = [
                Text("text", (a, b - 0.36 * LETTER), f"joins {name}", LETTER, "middle")
                for a, b in places
            ]
            desk.place(choices)
    _title(desk)


def _cell(row: int, column: int) -> str:
    """Name of a tile: rows by letters, columns by numbers."""
    return f"{chr(ord('A') + row % 26)}{column + 1}"


def _ruler(desk: Desk) -> None:
    """100 mm and 4 in, to be measured before the template is used."""
    left = desk.body.left + 2.0
    _graduate(desk, (left, MARGIN + 28.5), unit=10.0, count=10, name="100 mm", up=1.0)
    _graduate(desk, (left, MARGIN + 27.0), unit=_INCH / 2, count=8, name="4 in", up=-1.0)


def _graduate(desk: Desk, start: Point, *, unit: float, count: int, name: str, up: float) -> None:
    """A base line with a tick at every unit, above or below it."""
    x, y = start
    end = x + unit * count
    desk.scene.add(Path("ruler", ((x, y), (end, y))))
    for k in range(count + 1):
        tall = up * (4.0 if k in (0, count) else 2.5)
        desk.scene.line("ruler", (x + unit * k, y), (x + unit * k, y + tall))
    lift = 0.3 if up > 0 else -0.95 * LETTER
    desk.letter(Text("text", (end + 1.5, y + lift), name, LETTER))


def _strip(desk: Desk) -> None:
    """Stamp and caution under the ruler; the title is lettered last."""
    stamp, left = desk.stamp, desk.body.left
    wide = int(desk.body.width / (LETTER * ADVANCE))
    revision = f", revision {stamp.revision}" if stamp.revision else ", revision ______"
    date = f", {stamp.date}" if stamp.date else ", date ____________"
    rows = [
        desk.clip("title block", f"1 : 1, {stamp.geometry}{revision}{date}", wide),
        f"Not an engineer's approval. Job {stamp.job}.",
        _WORDS,
    ]
    for count, row in enumerate(rows):
        y = MARGIN + 1.6 + LINE * (len(rows) - 1 - count)
        if count == 1:
            desk.number_at = ((desk.body.right, y), LETTER)
        desk.letter(Text("text", (left, y), clipped(row, wide), LETTER))


def _title(desk: Desk) -> None:
    """Letter the title of the tile and of its job."""
    wide = int(desk.body.width / (LETTER * ADVANCE))
    own = desk.title
    room = wide - len(own) - 2
    job = desk.clip("job.title", desk.stamp.title, max(10, room))
    words = clipped(f"{own}: {job}", wide)
    at = (desk.body.left, MARGIN + 1.6 + 3 * LINE)
    desk.letter(Text("text", at, words, LETTER, bold=True))
