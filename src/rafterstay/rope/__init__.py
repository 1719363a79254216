"""What wire rope does, one formula a question: stretch, bend, ring, swing, sag, heat, purchase.

takes figures in SI; gives figures in SI; next: tie, gauge, checks.
"""

from __future__ import annotations

from rafterstay.rope.heat import expansion, restrained_thermal_force, thermal_change
from rafterstay.rope.lacing import capstan_ratio, purchase
from rafterstay.rope.ring import leg_pull_at_corner, ring_pull
from rafterstay.rope.sag import CROSSOVER, lambda_squared, sag, sagged_length
from rafterstay.rope.side_pull import side_pull_gain, side_pull_tension
from rafterstay.rope.strength import bending_efficiency, bending_source, strength_from_grade
from rafterstay.rope.stretch import (
    constructional_stretch,
    elastic_stretch,
    stiffness_from_factor,
)
from rafterstay.rope.thread import turnbuckle_travel
from rafterstay.rope.vibration import (
    fixed_rope_frequency,
    pinned_rope_frequency,
    slenderness,
    taut_string_frequency,
    taut_string_pull,
)

__all__ = [
    "CROSSOVER",
    "bending_efficiency",
    "bending_source",
    "capstan_ratio",
    "constructional_stretch",
    "elastic_stretch",
    "expansion",
    "fixed_rope_frequency",
    "lambda_squared",
    "leg_pull_at_corner",
    "pinned_rope_frequency",
    "purchase",
    "restrained_thermal_force",
    "ring_pull",
    "sag",
    "sagged_length",
    "side_pull_gain",
    "side_pull_tension",
    "slenderness",
    "stiffness_from_factor",
    "strength_from_grade",
    "taut_string_frequency",
    "taut_string_pull",
    "thermal_change",
    "turnbuckle_travel",
]
