"""The roof as lines in space, at rest and as it moves under snow, for the view that turns."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.sheets.summary import Designed, drawn_state
from rafterstay.web.words import state_in_words

__all__ = ["line_view"]

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
    return {"lines": lines, "times": times, "said": said, "rise": frame.rise}


def _long_lines(design: Designed, times: int) -> list[dict[str, Any]]:
    """Plates and ridge of a gable, and its other pairs: at rest, the tied pair moves alone."""
    roof, frame = design.job.roof, design.frame
    nodes = np.asarray(frame.nodes)
    along = np.array([roof.length / 2, 0.0, 0.0])
    points = [*nodes[frame.feet], nodes[frame.heads].mean(axis=0)]
    ends = [("plate" if z < 1 else "hip", p - along, p + along) for z, p in enumerate(points)]
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
