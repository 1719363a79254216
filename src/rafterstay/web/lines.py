"""The roof as lines in space, at rest and as it moves under snow, for the view that turns."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from rafterstay.core.quantities import show
from rafterstay.roof.frame import Floats
from rafterstay.sheets.scene import Path, Scene
from rafterstay.sheets.summary import Designed, drawn_state
from rafterstay.web.ink import to_markup
from rafterstay.web.words import state_in_words

__all__ = ["line_view", "still_markup"]

_WIDE, _TALL = 100.0, 58.0
_TURN, _TURN_GABLE, _TILT = 0.5, 1.15, 0.42  # [rad] as the view that turns begins
_PEN: Final = {"hip": "rafter", "plate": "plate", "leg": "leg", "ring": "ring", "other": "other"}
_TIMES: Final = (1, 2, 5, 10, 20, 50, 100, 200)  # how much too large the movement is drawn
_DRAWN: Final = 0.08  # largest movement on the drawing, over the span


def line_view(design: Designed) -> dict[str, Any]:
    """Lines with the movement of their ends.

    Args:
        design: A finished design.

    Returns:
        ``lines``: kind, two ends [m], their movements as drawn [m]; ``times``; ``said``.
    """
    row = drawn_state(design)
    frame, forces = design.frame, design.forces
    nodes = np.asarray(frame.nodes)
    feet, heads = nodes[frame.feet], nodes[frame.heads]
    moved_feet = np.asarray(frame.outward) * np.asarray(forces.spread)[row][:, None]
    moved_heads = np.tile([0.0, 0.0, -float(forces.hub_drop[row])], (frame.n, 1))
    share = design.tie.height / frame.rise
    moved_bolts = (1.0 - share) * moved_feet + share * moved_heads
    gable = frame.shape == "gable"
    has_ring = design.tie.layout == "ring"
    stops = design.tie.stops
    moved_eyes = _ring_moves(design, row, moved_bolts) if has_ring else moved_bolts[stops]
    most = max(float(np.abs(part).max()) for part in (moved_feet, moved_heads, moved_eyes))
    times = max((t for t in _TIMES if t * most <= _DRAWN * frame.span), default=1)
    bolts, eyes = np.asarray(design.tie.bolt_points), np.asarray(design.tie.ring_points)
    lines: list[dict[str, Any]] = []
    for kind, starts, ends, first, second in (
        ("hip", feet, heads, moved_feet, moved_heads),
        ("plate", feet, np.roll(feet, -1, 0), moved_feet, np.roll(moved_feet, -1, 0)),
        ("leg", bolts, eyes, moved_bolts, moved_eyes),
        ("ring", eyes, np.roll(eyes, -1, 0), moved_eyes, np.roll(moved_eyes, -1, 0)),
    ):
        if gable and kind == "plate":
            lines += _long_lines(design, times)
            continue
        lines += [
            {
                "kind": kind,
                "ends": np.round([starts[k], ends[k]], 4).tolist(),
                "moves": np.round([times * first[k], times * second[k]], 4).tolist(),
            }
            for k in range(len(starts) if kind != "ring" or has_ring else 0)
        ]
    state = state_in_words(forces.states[row].id, design)
    said = f"Shape under {state}, drawn {times} times too large" if times > 1 else f"Under {state}"
    down, out = float(forces.hub_drop[row]), float(np.asarray(forces.spread)[row].max())
    system = design.job.show
    said += f": the {'ridge' if gable else 'hub'} comes down {show(down, 'length', system)}"
    said += f", the feet move out by up to {show(max(0.0, out), 'length', system)}"
    turn = _TURN_GABLE if gable else _TURN
    return {"lines": lines, "times": times, "said": said, "rise": frame.rise, "turn": turn}


def still_markup(design: Designed) -> str:
    """The same lines seen from one side, for pages without a script.

    Args:
        design: A finished design.

    Returns:
        An ``svg`` element: thin ink at rest, heavy ink as it moves.
    """
    view = line_view(design)
    ends = np.array([line["ends"] for line in view["lines"]])
    moves = np.array([line["moves"] for line in view["lines"]])
    reach = float(np.hypot(ends[..., 0], ends[..., 1]).max())
    per = min(_WIDE / (2.1 * reach), _TALL / (1.25 * reach))
    scene = Scene(_WIDE, _TALL, "Shape")
    for moved in (False, True)[: 1 + (view["times"] > 1)]:
        scene.part = "moved" if moved else "rest"
        flat = _seen(ends + moves if moved else ends, view["rise"], view["turn"]) * per
        flat += np.array([_WIDE / 2, _TALL / 2])
        for line, (first, last) in zip(view["lines"], flat, strict=True):
            if moved and line["kind"] == "other":
                continue
            points = ((float(first[0]), float(first[1])), (float(last[0]), float(last[1])))
            scene.add(Path(_PEN[line["kind"]], points))
    return to_markup(scene, id="still", said=view["said"], link=lambda _: None)


def _seen(points: Floats, rise: float, turn: float) -> Floats:
    """Points in space as they lie on the paper, from a little above and aside. [m] (..., 2)"""
    x, y, z = points[..., 0], points[..., 1], points[..., 2]
    along = x * np.cos(turn) - y * np.sin(turn)
    deep = x * np.sin(turn) + y * np.cos(turn)
    high = (z - rise / 2) * np.cos(_TILT) + deep * np.sin(_TILT)
    return np.stack([along, high], axis=-1)


def _long_lines(design: Designed, times: int) -> list[dict[str, Any]]:
    """Plates and ridge of a gable, and its other pairs: at rest, the tied pair moves alone."""
    roof, frame = design.job.roof, design.frame
    nodes = np.asarray(frame.nodes)
    along = np.array([roof.length / 2, 0.0, 0.0])
    points = [*nodes[frame.feet], nodes[frame.heads].mean(axis=0)]
    ends = [("other", point - along, point + along) for point in points]
    step = np.array([roof.spacing, 0.0, 0.0])
    side = int(roof.length / 2 / roof.spacing)
    for k in (k for k in range(-side, side + 1) if k):
        ends += [
            ("other", foot + k * step, head + k * step)
            for foot, head in zip(nodes[frame.feet], nodes[frame.heads], strict=True)
        ]
    still = np.zeros((2, 3))
    return [
        {
            "kind": kind,
            "ends": np.round([start, end], 4).tolist(),
            "moves": (times * still).tolist(),
        }
        for kind, start, end in ends
    ]


def _ring_moves(design: Designed, row: int, bolts: Floats) -> Floats:
    """The ring moves as one; where its rope is slack it is drawn where it was."""
    shift = np.asarray(design.forces.ring_shift)[row]
    sag = float(design.forces.ring_sag[row])
    if not (np.isfinite(shift).all() and np.isfinite(sag)):
        return np.zeros((design.frame.n, 3))
    down = float(bolts[:, 2].mean()) - sag
    return np.tile([float(shift[0]), float(shift[1]), down], (design.frame.n, 1))
