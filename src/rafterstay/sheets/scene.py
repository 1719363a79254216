"""A drawing before it has a file format: shapes in mm on paper, on named layers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from rafterstay.sheets.literal import cells

__all__ = [
    "ADVANCE",
    "CAPITAL",
    "LAYERS",
    "Angle",
    "Circle",
    "Dimension",
    "Layer",
    "Path",
    "Point",
    "Scene",
    "Shape",
    "Text",
    "overlap",
]

Point = tuple[float, float]

# Advance of a character over the letter height in the usual fonts of even width: 0.60 to 0.602.
ADVANCE: Final = 0.602
# Height of a capital over the letter height: DejaVu Sans Mono, 1493 of 2048 units.
CAPITAL: Final = 0.729
_ABOVE: Final = 0.76  # capitals and figures above the base line, over the letter height
_BELOW: Final = 0.22
_PLUMB: Final = 2.0  # a line this near to upright is read from the right, as an upright one [deg]


@dataclass(frozen=True)
class Layer:
    """A pen: line width in mm, colour, dashes in mm."""

    name: str
    width: float
    colour: str
    dash: tuple[float, ...] = ()


_INK = "#1f242a"

LAYERS: Final[dict[str, Layer]] = {
    layer.name: layer
    for layer in (
        Layer("border", 0.5, _INK),
        Layer("hatch", 0.13, "#8d9299"),
        Layer("plate", 0.5, _INK),
        Layer("rafter", 0.2, "#8a6a35"),
        Layer("hub", 0.35, "#8a6a35"),
        Layer("leg", 0.7, _INK),
        Layer("slack", 0.35, _INK, (1.6, 1.0)),
        Layer("governing", 1.1, "#8a2f14"),
        Layer("leg fine", 0.35, _INK),
        Layer("governing fine", 0.6, "#8a2f14"),
        Layer("ring", 0.6, _INK),
        Layer("bolt", 0.3, _INK),
        Layer("dimension", 0.18, "#245d8c"),
        Layer("number", 0.25, _INK),
        Layer("rule", 0.2, _INK),
        Layer("outline", 0.5, _INK),
        Layer("thin", 0.25, _INK),
        Layer("hidden", 0.25, _INK, (2.0, 1.0)),
        Layer("centre", 0.18, _INK, (6.0, 1.2, 1.0, 1.2)),
        Layer("rope", 0.35, _INK),
        Layer("wood", 0.35, "#8a6a35"),
        Layer("grain", 0.13, "#8a6a35"),
        Layer("load", 0.35, "#245d8c"),
        Layer("ruler", 0.18, _INK),
        Layer("register", 0.25, _INK),
        Layer("text", 0.0, _INK),
        Layer("clear", 0.0, _INK),
    )
}


@dataclass(frozen=True)
class Path:
    """A line through points, closed or open; ``fill`` is ``none``, ``paper`` or ``ink``.

    ``part`` of any shape names what it belongs to: ``leg-3``, ``ring``.
    """

    layer: str
    points: tuple[Point, ...]
    closed: bool = False
    fill: Literal["none", "paper", "ink"] = "none"
    part: str = ""


@dataclass(frozen=True)
class Circle:
    """A circle; filled like a path."""

    layer: str
    centre: Point
    radius: float
    fill: Literal["none", "paper", "ink"] = "none"
    part: str = ""


@dataclass(frozen=True)
class Text:
    """Lettering of even width.

    Attributes:
        layer: Name of a layer; its colour is the letters' colour.
        at: Where the base line starts, has its middle, or ends.
        text: One line, printable.
        size: Letter height (the font's em). [mm]
        anchor: Which point of the base line ``at`` is.
        angle: Counter-clockwise. [deg]
        bold: Heavier letters of the same width.
    """

    layer: str
    at: Point
    text: str
    size: float
    anchor: Literal["start", "middle", "end"] = "start"
    angle: float = 0.0
    bold: bool = False
    part: str = ""

    @property
    def width(self) -> float:
        """Length of the base line. [mm]"""
        return cells(self.text) * self.size * ADVANCE

    def box(self, margin: float = 0.0) -> tuple[Point, ...]:
        """Corners of the lettering's rectangle.

        Args:
            margin: How far it is grown on every side. [mm]

        Returns:
            Four corners, counter-clockwise from the start of the line. [mm]
        """
        shift = {"start": 0.0, "middle": -0.5, "end": -1.0}[self.anchor] * self.width
        left, right = shift - margin, shift + self.width + margin
        low, high = -_BELOW * self.size - margin, _ABOVE * self.size + margin
        cos, sin = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        return tuple(
            (self.at[0] + x * cos - y * sin, self.at[1] + x * sin + y * cos)
            for x, y in ((left, low), (right, low), (right, high), (left, high))
        )


@dataclass(frozen=True)
class Dimension:
    """How far two points lie apart: extension lines, a line between ticks, and the figure.

    Attributes:
        layer: Name of a layer.
        start: First point measured. [mm]
        end: Second point measured. [mm]
        off: From the start to the dimension line, square to it, to the left of its way. [mm]
        text: The figure as lettered.
        value: The length it states, of the real thing. [mm]
        size: Letter height. [mm]
        angle: Way of the dimension line, counter-clockwise; along start to end where None. [deg]
        beside: The figure stands past the end, else over the middle.
    """

    layer: str
    start: Point
    end: Point
    off: float
    text: str
    value: float
    size: float
    angle: float | None = None
    beside: bool = False
    part: str = ""

    @property
    def way(self) -> float:
        """Direction of the dimension line, from the foot of the start to that of the end. [rad]"""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        if self.angle is None:
            return math.atan2(dy, dx)
        way = math.radians(self.angle)
        return way if dx * math.cos(way) + dy * math.sin(way) >= 0.0 else way + math.pi

    @property
    def feet(self) -> tuple[Point, Point]:
        """Ends of the dimension line. [mm]"""
        cos, sin = math.cos(self.way), math.sin(self.way)
        first = (self.start[0] - self.off * sin, self.start[1] + self.off * cos)
        long = (self.end[0] - self.start[0]) * cos + (self.end[1] - self.start[1]) * sin
        return first, (first[0] + long * cos, first[1] + long * sin)

    def lettering(self) -> Text:
        """The figure where it stands."""
        first, last = self.feet
        turn = math.degrees(math.remainder(self.way, math.tau))
        upright = -90.0 + _PLUMB < turn <= 90.0 + _PLUMB
        angle = turn if upright else turn + 180.0
        cos, sin = math.cos(self.way), math.sin(self.way)
        lift = 0.4 * self.size
        up = (-math.sin(math.radians(angle)), math.cos(math.radians(angle)))
        if self.beside:
            at = (last[0] + 2.2 * cos, last[1] + 2.2 * sin)
            level = (at[0] - 0.36 * self.size * up[0], at[1] - 0.36 * self.size * up[1])
            anchor: Literal["start", "end"] = "start" if upright else "end"
            return Text(self.layer, level, self.text, self.size, anchor, angle, part=self.part)
        middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
        at = (middle[0] + lift * up[0], middle[1] + lift * up[1])
        return Text(self.layer, at, self.text, self.size, "middle", angle, part=self.part)

    def lines(self) -> tuple[Path, ...]:
        """Extension lines, dimension line and ticks."""
        drawn = []
        cos, sin = math.cos(self.way), math.sin(self.way)
        for measured, foot in zip((self.start, self.end), self.feet, strict=True):
            long = math.dist(measured, foot)
            if long > 2.0:
                ux, uy = (foot[0] - measured[0]) / long, (foot[1] - measured[1]) / long
                first = (measured[0] + 1.0 * ux, measured[1] + 1.0 * uy)
                drawn.append((first, (foot[0] + 1.5 * ux, foot[1] + 1.5 * uy)))
            tick = ((cos - sin) * 1.0, (sin + cos) * 1.0)
            drawn.append(
                ((foot[0] - tick[0], foot[1] - tick[1]), (foot[0] + tick[0], foot[1] + tick[1]))
            )
        drawn.append(self.feet)
        return tuple(Path(self.layer, ends, part=self.part) for ends in drawn)


@dataclass(frozen=True)
class Angle:
    """The angle between two lines from one corner: an arc between ticks, and the figure.

    Attributes:
        layer: Name of a layer.
        corner: Where the lines meet. [mm]
        start: A point of the first line. [mm]
        end: A point of the second, counter-clockwise from the first. [mm]
        radius: Of the arc. [mm]
        text: The figure as lettered.
        size: Letter height. [mm]
        at: Middle of the figure's base line; past the middle of the arc where None. [mm]
    """

    layer: str
    corner: Point
    start: Point
    end: Point
    radius: float
    text: str
    size: float
    at: Point | None = None
    part: str = ""

    @property
    def first(self) -> float:
        """Way of the first line. [rad]"""
        return math.atan2(self.start[1] - self.corner[1], self.start[0] - self.corner[0])

    @property
    def sweep(self) -> float:
        """From the first line to the second, counter-clockwise. [rad]"""
        last = math.atan2(self.end[1] - self.corner[1], self.end[0] - self.corner[0])
        return (last - self.first) % math.tau

    def on_arc(self, share: float, past: float = 0.0) -> Point:
        """A point of the arc.

        Args:
            share: Of the way along it. [-]
            past: How far outside it. [mm]

        Returns:
            The point. [mm]
        """
        turn, far = self.first + share * self.sweep, self.radius + past
        x, y = self.corner
        return (x + far * math.cos(turn), y + far * math.sin(turn))

    def lettering(self) -> Text:
        """The figure, level, where it stands."""
        if self.at is not None:
            return Text(self.layer, self.at, self.text, self.size, "middle", part=self.part)
        x, y = self.on_arc(0.5, 1.6)
        turn = self.first + 0.5 * self.sweep
        anchor: Literal["start", "end"] = "start" if math.cos(turn) >= 0.0 else "end"
        level = (x, y - 0.36 * self.size)
        return Text(self.layer, level, self.text, self.size, anchor, part=self.part)

    def lines(self) -> tuple[Path, ...]:
        """The arc, its ticks, and the lines carried on to it where they end before it."""
        steps = max(2, math.ceil(self.sweep / math.radians(3.0)))
        drawn = [tuple(self.on_arc(k / steps) for k in range(steps + 1))]
        for share, measured in ((0.0, self.start), (1.0, self.end)):
            foot = self.on_arc(share)
            turn = self.first + share * self.sweep + math.pi / 4
            tick = (math.cos(turn), math.sin(turn))
            drawn.append(
                ((foot[0] - tick[0], foot[1] - tick[1]), (foot[0] + tick[0], foot[1] + tick[1]))
            )
            if math.dist(self.corner, measured) < self.radius:
                drawn.append((measured, self.on_arc(share, 1.5)))
        return tuple(Path(self.layer, points, part=self.part) for points in drawn)


Shape = Path | Circle | Text | Dimension | Angle


@dataclass
class Scene:
    """A sheet of paper. Origin at its lower left corner, x to the right, y up. [mm]

    Attributes:
        width: [mm]
        height: [mm]
        title: What the sheet is, in one line.
        shapes: In drawing order: later shapes lie on top.
        part: What the shapes drawn next belong to; empty for the sheet itself.
    """

    width: float
    height: float
    title: str
    shapes: list[Shape] = field(default_factory=list)
    part: str = ""

    def add(self, *shapes: Shape) -> None:
        """Lay shapes on top of what is drawn."""
        self.shapes.extend(
            replace(shape, part=self.part) if self.part else shape for shape in shapes
        )

    def line(self, layer: str, start: Point, end: Point) -> None:
        """Draw one straight line."""
        self.add(Path(layer, (start, end)))

    def texts(self) -> tuple[Text, ...]:
        """All lettering, in drawing order; that of dimensions too."""
        return tuple(shape for shape in self.drawn() if isinstance(shape, Text))

    def drawn(self) -> Iterator[Path | Circle | Text]:
        """Every shape in drawing order, dimensions as the lines and letters they are made of."""
        for shape in self.shapes:
            if isinstance(shape, Dimension | Angle):
                yield from shape.lines()
                yield shape.lettering()
            else:
                yield shape


def overlap(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether two convex outlines share ground.

    Args:
        one: Corners in order. [mm]
        other: Corners in order. [mm]

    Returns:
        True unless an edge of either separates them (separating axis theorem).

    >>> square = ((0, 0), (2, 0), (2, 2), (0, 2))
    >>> overlap(square, [(x + 1.9, y) for x, y in square])
    True
    >>> overlap(square, [(x + 2.1, y) for x, y in square])
    False
    """
    for outline in (one, other):
        for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
            nx, ny = y1 - y0, x0 - x1
            first = [nx * x + ny * y for x, y in one]
            second = [nx * x + ny * y for x, y in other]
            if max(first) <= min(second) or max(second) <= min(first):
                return False
    return True
