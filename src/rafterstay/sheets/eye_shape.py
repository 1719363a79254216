"""The outline of an eye: rope round its thimble, finished sleeve and tail."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from rafterstay.sheets.scene import Path, Point, Scene
from rafterstay.shop.eye import Eye

__all__ = ["EyeView", "draw_eye"]

_STEPS: Final = 40  # of an arc
_SLEEVE: Final = 1.3  # half width of a pressed sleeve, in rope diameters: drawn for show


@dataclass(frozen=True)
class EyeView:
    """Where an eye lies on paper.

    Attributes:
        centre: Centre of the crown's arc. [mm]
        way: Direction from the crown to the sleeve, counter-clockwise. [rad]
        scale: Drawing scale, 1 to this. [-]
    """

    centre: Point
    way: float
    scale: float

    def at(self, along: float, aside: float) -> Point:
        """A point of the eye on paper.

        Args:
            along: From the arc's centre towards the sleeve. [m]
            aside: To the left of that. [m]

        Returns:
            Its place. [mm]
        """
        cos, sin = math.cos(self.way), math.sin(self.way)
        x, y = along * 1000.0 / self.scale, aside * 1000.0 / self.scale
        return (self.centre[0] + x * cos - y * sin, self.centre[1] + x * sin + y * cos)


def draw_eye(scene: Scene, eye: Eye, view: EyeView, *, live: float, plain: bool = False) -> None:
    """Draw an eye.

    Args:
        scene: Where to draw.
        eye: Its measures.
        view: Where it lies.
        live: Rope drawn past the sleeve. [m]
        plain: Rope and sleeve only, for small scales.
    """
    d = eye.diameter
    for radius, mouth in ((eye.crown + d / 2, d), (eye.crown - d / 2, 0.0)):
        points = _loop(radius, eye.reach, mouth)
        scene.add(Path("rope", tuple(view.at(*point) for point in points)))
    if not plain:
        thimble = _loop(eye.bore, eye.reach - 1.2 * eye.bore, 0.0)
        scene.add(Path("thin", tuple(view.at(*point) for point in thimble), closed=True))
    end = eye.reach + eye.after
    for aside in (0.0, d):
        scene.line("rope", view.at(end, aside), view.at(end + live, aside))
    tail = ((end, 0.0), (end + eye.tail, 0.0), (end + eye.tail, -d), (end, -d))
    scene.add(Path("rope", tuple(view.at(*point) for point in tail)))
    half = _SLEEVE * d
    sleeve = ((eye.reach, -half), (end, -half), (end, half), (eye.reach, half))
    corners = tuple(view.at(*point) for point in sleeve)
    scene.add(Path("outline", corners, closed=True, fill="paper"))


def _loop(radius: float, reach: float, mouth: float) -> list[tuple[float, float]]:
    """From the mouth along a tangent, round the arc and back. [m]"""
    far = math.hypot(reach, mouth)
    start = math.atan2(mouth, reach) + math.acos(min(1.0, radius / far))
    turns = [start + (2 * math.pi - 2 * start) * k / _STEPS for k in range(_STEPS + 1)]
    arc = [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]
    return [(reach, mouth), *arc, (reach, -mouth)]
