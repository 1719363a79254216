"""HUD, Residential Structural Design Guide, 2nd edition, example 5.1: floor joist of 2x8.

Fb 975 psi, joists 16 in apart, 40 psf in all, E 1.5e6 psi and L/360 at 30 psf live: read.
"""

from __future__ import annotations

import math

import pytest

from rafterstay.checks.nds_2018.adjustment import load_duration_factor, size_factor
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("HUD Residential Structural Design Guide", "2nd", "example 5.1", "read", 98)
REPETITIVE = 1.15  # C_r, NDS 4.3.9: three or more members at most 24 in apart

MODULUS = 1.5 * 7.25**2 / 6.0
INERTIA = 1.5 * 7.25**3 / 12.0
BENDING = 975.0 * load_duration_factor("ten years") * size_factor(7.25 * 0.0254) * REPETITIVE
SPAN = math.sqrt(8.0 * BENDING * MODULUS / 12.0 / (40.0 * 16.0 / 12.0))
LIVE = 30.0 * 16.0 / 12.0 / 12.0  # lbf/in
STIFF_SPAN = (384.0 * 1.5e6 * INERTIA / (5.0 * LIVE * 360.0)) ** (1.0 / 3.0) / 12.0

ROWS = (
    Row("S of a 2x8", "13.14", "in3", serves="arithmetic", computed=lambda: MODULUS),
    Row("I of a 2x8", "47.63", "in4", serves="arithmetic", computed=lambda: INERTIA),
    Row("Fb'", "1345", "psi", serves="nds_2018.size_factor", computed=lambda: BENDING, step="2"),
    Row("span for bending", "14.87", "ft", serves="nds_2018.size_factor", computed=lambda: SPAN),
    Row("span for deflection", "13.8", "ft", serves="arithmetic", computed=lambda: STIFF_SPAN),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
