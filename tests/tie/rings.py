"""The octagon of the contract with a welded ring, or with a hub plate."""

from __future__ import annotations

import re

from rafterstay import job
from rafterstay.job import Job
from tests.statics.roofs import Value, text_of

__all__ = ["plated", "welded"]


def _stated(ring: str, name: str, changes: dict[str, Value]) -> Job:
    text = re.sub(r"ring_rope = .*\n", "", text_of(name))
    for key, value in {"tie__ring": ring, **changes}.items():
        text = job.set_value(text, key.replace("__", "."), value)
    return job.loads(text)


def welded(name: str = "octagon", /, **changes: Value) -> Job:
    """A roof with a welded ring of 1/2 in bar, and keys changed."""
    return _stated("welded", name, {"tie__ring_bar": "1/2 in", **changes})


def plated(name: str = "octagon", /, **changes: Value) -> Job:
    """A roof with a plate of 3/8 in and 3/8 in shackles, and keys changed."""
    plate: dict[str, Value] = {
        "tie__plate_thickness": "3/8 in",
        "tie__plate_edge": "1 1/4 in",
        "parts__shackle": "anchor 3/8 in",
    }
    return _stated("plate", name, {**plate, **changes})
