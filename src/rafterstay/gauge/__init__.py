"""How hard does a rope pull, each way with its ±?

takes recordings, side pulls, stretches and ring corners; gives Gauged pulls; next: tuning.
Nothing here knows a roof.
"""

from rafterstay.gauge.combine import combine
from rafterstay.gauge.hand import by_side_pull, by_stretch
from rafterstay.gauge.nouns import Gauged, Shares, Sound
from rafterstay.gauge.pluck import by_pluck
from rafterstay.gauge.recording import load
from rafterstay.gauge.ring_shape import by_corners

__all__ = [
    "Gauged",
    "Shares",
    "Sound",
    "by_corners",
    "by_pluck",
    "by_side_pull",
    "by_stretch",
    "combine",
    "load",
]
