"""One hip cut free, with every force on it: the figure of the free body."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from rafterstay.core.quantities import show
from rafterstay.packet.balance import Balance
from rafterstay.sheets.as_svg import to_svg
from rafterstay.sheets.scene import Circle, Path, Point, Scene, Text
from rafterstay.sheets.summary import Designed, first_largest

__all__ = ["hip_figure"]

_WIDTH: Final = 174.0  # [mm]
_HIGHEST: Final = 74.0  # of the hip on paper [mm]
_WIDEST: Final = 92.0
_ARROW: Final = 15.0
_SIZE: Final = 3.0


def hip_figure(design: Designed, balance: Balance) -> tuple[str, str]:
    """Draw the hip whose tie pulls hardest.

    Args:
        design: A finished design.
        balance: The forces of one state.

    Returns:
        The drawing as SVG, and what it shows in words.
    """
    frame, system = design.frame, design.job.show
    hip = first_largest(balance.pull)
    start, stop = frame.nodes[frame.feet[hip]], frame.nodes[frame.heads[hip]]
    run = float(np.linalg.norm((stop - start)[:2]))
    rise = float(stop[2] - start[2])
    share = float(frame.nodes[frame.bolts[hip]][2] - start[2]) / rise
    scale = min(_WIDEST / run, _HIGHEST / rise)
    scene = Scene(_WIDTH, rise * scale + 42.0, f"Forces on hip {hip + 1}")
    foot = (44.0, 25.0)
    head = (foot[0] + run * scale, foot[1] + rise * scale)
    bolt = (foot[0] + share * (head[0] - foot[0]), foot[1] + share * (head[1] - foot[1]))

    def force(value: float) -> str:
        return show(value if abs(value) > 1e-6 else 0.0, "force", system)

    _hip(scene, foot, head, bolt)
    load = float(balance.load[hip])
    _load(scene, foot, head, f"{force(load)} load of roof on the hip")
    lift = load + float(balance.steel[hip]) - float(balance.reaction[hip])
    pull = float(balance.pull[hip])
    _pull(scene, bolt, f"{force(pull)} pull of the tie")
    _push(scene, head, f"{force(float(balance.push[hip]))} push of the hub")
    _upright(scene, head, lift, f"{force(abs(lift))} hub on the head")
    _reaction(scene, foot, float(balance.reaction[hip]), force(abs(balance.reaction[hip])))
    side = float(balance.wall[hip] - balance.wind[hip] - balance.beside[hip])
    if abs(side) > 0.5:
        words = f"{force(abs(side))} {'wall, less loads' if side > 0 else 'loads, less wall'}"
        _level(scene, (foot[0] - 3.0, foot[1]), side, words)
    said = (
        f"Hip {hip + 1} cut free in {balance.state}: load {force(load)} down, foot "
        f"{force(float(balance.reaction[hip]))} up, tie {force(pull)} inwards, hub "
        f"{force(float(balance.push[hip]))} outwards."
    )
    return to_svg(scene, paper="#ffffff"), said


def _hip(scene: Scene, foot: Point, head: Point, bolt: Point) -> None:
    scene.line("rafter", (foot[0] - 12.0, foot[1] - 2.4), (foot[0] + 12.0, foot[1] - 2.4))
    scene.line("governing", foot, head)
    for at in (foot, bolt, head):
        scene.add(Circle("bolt", at, 1.3, "paper"))
    for at, name in ((foot, "foot"), (head, "head")):
        scene.add(Text("text", (at[0] + 4.0, at[1] - 5.6), name, _SIZE))
    if bolt != foot:
        scene.add(Text("text", (bolt[0] + 4.0, bolt[1] - 6.4), "tie bolt", _SIZE))


def _load(scene: Scene, foot: Point, head: Point, words: str) -> None:
    """A row of arrows on the hip."""
    for k in range(1, 8):
        x = foot[0] + (head[0] - foot[0]) * k / 8
        y = foot[1] + (head[1] - foot[1]) * k / 8
        _arrow(scene, (x, y + 10.0), (x, y + 1.2), "leg fine")
    middle = ((foot[0] + head[0]) / 2 - 3.0, (foot[1] + head[1]) / 2 + 13.0)
    scene.add(Text("text", middle, words, _SIZE, "end", bold=True))


def _pull(scene: Scene, bolt: Point, words: str) -> None:
    """The tie pulls the hip inwards: to the right, where the ring is."""
    _arrow(scene, (bolt[0] + 2.0, bolt[1]), (bolt[0] + 2.0 + _ARROW, bolt[1]), "governing fine")
    at = (bolt[0] + 4.0 + _ARROW, bolt[1] - 1.0)
    scene.add(Text("text", at, words, _SIZE, bold=True))


def _push(scene: Scene, head: Point, words: str) -> None:
    """The hub pushes the head outwards."""
    _arrow(scene, (head[0] + 2.0 + _ARROW, head[1]), (head[0] + 2.0, head[1]), "governing fine")
    x = min(head[0] + 4.0, _WIDTH - 2.0 - len(words) * _SIZE * 0.602)
    scene.add(Text("text", (x, head[1] + 2.6), words, _SIZE, bold=True))


def _upright(scene: Scene, head: Point, lift: float, words: str) -> None:
    if abs(lift) < 0.5:
        return
    ends = ((head[0], head[1] - 13.0), (head[0], head[1] - 2.0))
    _arrow(scene, *(ends if lift > 0 else ends[::-1]), "leg fine")
    way = "up" if lift > 0 else "down"
    x = min(head[0] + 3.0, _WIDTH - 2.0 - len(f"{words}, {way}") * _SIZE * 0.602)
    scene.add(Text("text", (x, head[1] - 11.0), f"{words}, {way}", _SIZE))


def _reaction(scene: Scene, foot: Point, value: float, words: str) -> None:
    ends = ((foot[0], foot[1] - 4.0 - _ARROW), (foot[0], foot[1] - 4.0))
    _arrow(scene, *(ends if value >= 0 else ends[::-1]), "governing fine")
    said = f"{words} {'wall on the foot' if value >= 0 else 'HOLD-DOWN'}"
    scene.add(Text("text", (foot[0] + 3.0, foot[1] - 4.0 - _ARROW), said, _SIZE, bold=True))


def _level(scene: Scene, foot: Point, inward: float, words: str) -> None:
    ends = ((foot[0] - _ARROW, foot[1]), (foot[0], foot[1]))
    _arrow(scene, *(ends if inward > 0 else ends[::-1]), "leg fine")
    scene.add(Text("text", (2.0, foot[1] + 3.0), words, _SIZE))


def _arrow(scene: Scene, tail: Point, tip: Point, layer: str) -> None:
    """A line with a filled head at its tip."""
    dx, dy = tip[0] - tail[0], tip[1] - tail[1]
    size = math.hypot(dx, dy)
    ux, uy = dx / size, dy / size
    back = (tip[0] - 3.0 * ux, tip[1] - 3.0 * uy)
    scene.line(layer, tail, back)
    barbs = ((back[0] - uy, back[1] + ux), (back[0] + uy, back[1] - ux))
    scene.add(Path(layer, (tip, *barbs), closed=True, fill="ink"))
