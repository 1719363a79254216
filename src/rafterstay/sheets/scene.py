"""A drawing before it has a file format: shapes in mm on paper, on named layers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from rafterstay.sheets.literal import cells

__all__ = ["ADVANCE", "LAYERS", "Circle", "Layer", "Path", "Point", "Scene", "Text", "overlap"]

Point = tuple[float, float]

# Advance of a character over the letter height in the usual fonts of even width: 0.60 to 0.602.
ADVANCE: Final = 0.602
_ABOVE: Final = 0.76  # capitals and figures above the base line, over the letter height
_BELOW: Final = 0.22


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
    shapes: list[Path | Circle | Text] = field(default_factory=list)
    part: str = ""

    def add(self, *shapes: Path | Circle | Text) -> None:
        """Lay shapes on top of what is drawn."""
        self.shapes.extend(
            replace(shape, part=self.part) if self.part else shape for shape in shapes
        )

    def line(self, layer: str, start: Point, end: Point) -> None:
        """Draw one straight line."""
        self.add(Path(layer, (start, end)))

    def texts(self) -> tuple[Text, ...]:
        """All lettering, in drawing order."""
        return tuple(shape for shape in self.shapes if isinstance(shape, Text))


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
