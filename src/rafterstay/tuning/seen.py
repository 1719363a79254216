"""What would a reading say of a tie at rest, and how does that depend on pulls and eyes?"""

from __future__ import annotations

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.tuning.model import Model, Stand
from rafterstay.tuning.nouns import Reading

__all__ = ["level_rows", "ring_centre", "seen", "shift_rows", "towards"]


def towards(model: Model) -> Floats:
    """Unit vectors on plan from where the ring is to hang to every bolt. [-] (n, 2)"""
    line = (model.tie.bolt_points - ring_centre(model))[:, :2]
    return np.asarray(line / np.linalg.norm(line, axis=1, keepdims=True))


def ring_centre(model: Model) -> Floats:
    """Where the ring is to hang. [m] (3,)"""
    return np.asarray(model.tie.ring_points.mean(axis=0))


def shift_rows(model: Model, width: int) -> Floats:
    """The ring's centre, east and north, from everything seen. [-] (2, width)"""
    n = model.tie.n
    rows = np.zeros((2, width))
    for way in range(2):
        rows[way, n + way : 4 * n : 3] = 1.0 / n
    return rows


def level_rows(model: Model, width: int) -> Floats:
    """Every eye's height above the mean, from everything seen. [-] (n, width)"""
    n = model.tie.n
    rows = np.zeros((n, width))
    rows[:, n + 2 : 4 * n : 3] = np.eye(n) - 1.0 / n
    return rows


def seen(model: Model, at: Stand, reading: Reading) -> tuple[float, Floats]:
    """What a reading of a rest would be.

    Args:
        model: The tie.
        at: Its rest.
        reading: Of ``pull``, ``corner``, ``side``, ``offset`` or ``level``.

    Returns:
        Its value, and its slope by everything seen. [N, rad, m] (n_seen,)

    Source: docs/theory/tuning.md section 2
    """
    n, k = model.tie.n, reading.where - 1
    slope = np.zeros(len(at.seen))
    if reading.what == "pull":
        slope[k] = 1.0
        return float(at.pull[k]), slope
    if reading.what == "offset":
        slope = towards(model)[k] @ shift_rows(model, len(slope))
        off = at.eyes.mean(axis=0) - ring_centre(model)
        return float(towards(model)[k] @ off[:2]), slope
    if reading.what == "level":
        slope = level_rows(model, len(slope))[k]
        return float(at.eyes[k, 2] - at.eyes[:, 2].mean()), slope
    first, second = at.eyes[k], at.eyes[reading.to - 1]
    if reading.what == "side":
        line = second - first
        long = float(np.linalg.norm(line))
        _at_eye(slope, n, reading.to - 1)[:] = line / long
        _at_eye(slope, n, k)[:] = -line / long
        return long, slope
    before, after = (k - 1) % n, (k + 1) % n
    return _corner(at.eyes, (before, k, after), slope)


def _at_eye(slope: Floats, n: int, k: int) -> Floats:
    return slope[n + 3 * k : n + 3 * k + 3]


def _corner(eyes: Floats, three: tuple[int, int, int], slope: Floats) -> tuple[float, Floats]:
    """Inside angle at the middle one of three eyes."""
    before, here, after = three
    a, b = eyes[before] - eyes[here], eyes[after] - eyes[here]
    la, lb = float(np.linalg.norm(a)), float(np.linalg.norm(b))
    a, b = a / la, b / lb
    cosine = float(np.clip(a @ b, -1.0, 1.0))
    sine = max(float(np.sqrt(1.0 - cosine**2)), 1e-9)
    by_a, by_b = (cosine * a - b) / (sine * la), (cosine * b - a) / (sine * lb)
    n = len(eyes)
    _at_eye(slope, n, before)[:] = by_a
    _at_eye(slope, n, after)[:] = by_b
    _at_eye(slope, n, here)[:] = -by_a - by_b
    return float(np.arccos(cosine)), slope
