"""Whole jobs drawn by chance: every shape and layout, parts that fit and parts that do not."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from rafterstay import catalog, design, job
from rafterstay.core.errors import InputError, Mechanism, NotConverged
from rafterstay.design import Design
from rafterstay.job.examples import example

__all__ = ["answered", "drawn"]

BASES = ("octagon", "reading-room", "gable-workshop", "bandstand", "pavilion", "round-house")
RINGS = ("rope-seized", "rope-sliding")


def drawn(seed: int, count: int) -> Iterator[tuple[str, dict[str, Any]]]:
    """Names of an example and the keys to change in it.

    Args:
        seed: Of the draw.
        count: How many.

    Yields:
        As many as asked for, the examples in turn.
    """
    draw = np.random.default_rng(seed)

    def one_of(*words: str) -> str:
        return str(draw.choice(words))

    def inches(least: float, most: float) -> str:
        return f"{draw.uniform(least, most):.3f} in"

    for number in range(count):
        base = BASES[number % len(BASES)]
        changes: dict[str, Any] = {
            "job.show": one_of("us", "si"),
            "roof.rise": inches(48.0, 110.0),
            "loads.dead": f"{draw.uniform(2.0, 22.0):.2f} psf",
            "rafter.species": one_of("Hem-Fir", "Southern Pine", "Douglas Fir-Larch"),
            "rafter.ply": one_of("2x6", "2x8", "2x10", "2x12"),
            "rafter.gap": inches(0.6, 2.6),
            "rafter.block_spacing": inches(14.0, 50.0),
            "parts.bolt": one_of(*catalog.names("bolt")),
            "parts.rope": one_of(*catalog.names("rope")),
            "parts.shackle": one_of("none", "none", *catalog.names("shackle")),
            "parts.eye_spacers": bool(draw.integers(2)),
            "site.wet_service": bool(draw.integers(2)),
            "site.timber_treatment": one_of("none", "copper", "other"),
        }
        if base != "bandstand":
            changes["tie.height"] = f"{draw.uniform(0.02, 0.55):.3f}"
        if base in ("octagon", "reading-room", "round-house"):
            changes["tie.ring"] = one_of(*RINGS)
            changes["parts.ring_rope"] = one_of(*catalog.names("rope"))
        yield base, changes


def answered(base: str, changes: dict[str, Any]) -> Design | None:
    """A drawn job carried to its checks; None where it cannot be rigged or nothing holds it."""
    text = example(base)
    for key, value in changes.items():
        text = job.set_value(text, key, value)
    try:
        return design.check(job.loads(text))
    except (InputError, Mechanism, NotConverged):
        return None
