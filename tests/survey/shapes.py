"""Designed shapes, crooked frames and readings of them, for the tests of the survey."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, hypot, pi, sin

import numpy as np

from rafterstay.survey import Reading
from rafterstay.survey.network import Joining
from rafterstay.survey.nouns import Kind

__all__ = ["IN", "SIGMA", "TWENTY", "crooked", "gable", "read_off", "ring", "true_value"]

IN = 0.0254  # [m]
SIGMA = IN / 16  # [m]

Shape = Mapping[str, Sequence[float]]


def ring(
    n: int, radius: float = 3.6576, *, bolts: bool = False, hub: bool = False, centre: bool = False
) -> dict[str, tuple[float, float, float]]:
    """Feet clockwise from north; bolts at 0.55 of the radius, 0.9 m up; hub 1.7 m up."""
    azimuth = [2 * pi * k / n for k in range(n)]
    shape = {str(k + 1): (radius * sin(a), radius * cos(a), 0.0) for k, a in enumerate(azimuth)}
    if bolts:
        shape |= {f"t{k}": (0.55 * x, 0.55 * y, 0.9) for k, (x, y, _) in list(shape.items())}
    if centre:
        shape["centre"] = (0.0, 0.0, 0.0)
    if hub:
        shape["hub"] = (0.0, 0.0, 1.7)
    return shape


def gable(
    pairs: int, span: float = 7.3, bay: float = 1.22
) -> dict[str, tuple[float, float, float]]:
    """Feet clockwise round the rectangle: foot k faces foot 2 pairs + 1 - k."""
    west = {str(k + 1): (-span / 2, k * bay, 0.0) for k in range(pairs)}
    east = {str(2 * pairs - k): (span / 2, k * bay, 0.0) for k in range(pairs)}
    return west | east


def crooked(
    shape: Shape, seed: int, *, by: float = 0.02, level: bool = False
) -> dict[str, tuple[float, float, float]]:
    """The shape as clumsily built: every point out of place by some centimetres."""
    generator = np.random.default_rng(seed)
    built = {}
    for name, place in shape.items():
        x, y, z = (np.asarray(place) + by * generator.standard_normal(3)).tolist()
        built[name] = (x, y, place[2] if level else z)
    return built


def true_value(shape: Shape, start: str, end: str, kind: Kind) -> float:
    """What a faultless reading would be. [m]"""
    dx, dy, dz = (b - a for a, b in zip(shape[start], shape[end], strict=True))
    if kind == "height":
        return dz
    return hypot(dx, dy) if kind == "level" else hypot(dx, dy, dz)


def read_off(shape: Shape, listed: Sequence[Joining], seed: int | None = None) -> list[Reading]:
    """Readings of a shape, with normal errors of 1/16 in where a seed is given."""
    errors = np.zeros(len(listed))
    if seed is not None:
        errors = SIGMA * np.random.default_rng(seed).standard_normal(len(listed))
    return [
        Reading(r.start, r.end, r.kind, true_value(shape, r.start, r.end, r.kind) + float(e))
        for r, e in zip(listed, errors, strict=True)
    ]


def _octagon_list() -> tuple[Reading, ...]:
    pairs = [(k, (k + skip) % 8) for skip in (1, 2) for k in range(8)]
    pairs += [(k, k + 4) for k in range(4)]
    return tuple(Reading(str(i + 1), str(j + 1), "level", 1.0) for i, j in pairs)


TWENTY = _octagon_list()  # sides, skip-one chords, diameters
