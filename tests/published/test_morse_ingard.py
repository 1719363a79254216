"""Morse and Ingard, Theoretical Acoustics, 1968: the stiff string with clamped ends.

The form is a value from memory, 93 %; the figure for z = 50 is computed from it.
"""

from __future__ import annotations

import pytest

from rafterstay import rope
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("Morse and Ingard, Theoretical Acoustics", "1968", "stiff string", "computed", 93)
ROWS = (
    Row(
        "clamped rope, z 50, first mode over the taut string",
        "1.04357",
        "-",
        serves="rope.fixed_rope_frequency",
        computed=lambda: (
            rope.fixed_rope_frequency(2500.0 * 3.0, 0.4, 1.0, bending_stiffness=3.0)
            / rope.taut_string_frequency(2500.0 * 3.0, 0.4, 1.0)
        ),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
