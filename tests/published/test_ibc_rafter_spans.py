"""International Building Code (2018), Table 2308.7.2(2): rafter spans.

Roof live load 20 psf, ceiling attached, L/240; Douglas Fir-Larch, rafters 12 and 16 in apart
(read; the table's second block taken as 16 in, as the code orders it). Spans are printed in feet
and inches, here in inches. A simple beam under live and dead load, its bending by the tables and
factors that `rafter-bending` reads, with C_r 1.15 of repeated rafters, which hips do not get; its
deflection under live load alone. What the code prescribes and what is worked here overlap in
these rows; those of No. 2 do not agree, and `errata.toml` says why.
"""

from __future__ import annotations

from math import sqrt

import pytest

from rafterstay import catalog
from rafterstay.checks.nds_2018.adjustment import size_factor
from rafterstay.core.sources import Source
from rafterstay.loads.combinations import COMBINATIONS
from tests.published.printed import Row, require_agreement

SOURCE = Source("IBC", "2018", "Table 2308.7.2(2), rafter spans", "read", 95)
INCH, POUND = 0.0254, 4.4482216152605
PSI = POUND / INCH**2
LIVE, REPEATED = 20.0, 1.15  # [psf], NDS 2018 4.3.9


def span(grade: str, nominal: int, *, spacing: int, dead: int) -> float:
    """Span on plan of a rafter. [in]"""
    ply = catalog.find("ply", f"2x{nominal}")
    timber = catalog.species("Douglas Fir-Larch", grade, ply.depth)
    thick, deep = ply.thickness / INCH, ply.depth / INCH
    (duration,) = {one.duration_factor for one in COMBINATIONS if one.equation == "D+Lr"}
    bending = timber.fb / PSI * size_factor(ply.depth) * duration * REPEATED
    live, whole = (load * spacing / 144 for load in (LIVE, LIVE + dead))  # [lb/in]
    by_strength = sqrt(8 * bending * thick * deep**2 / 6 / whole)
    inertia = thick * deep**3 / 12
    by_deflection = (384 * timber.e / PSI * inertia / (5 * live * 240)) ** (1 / 3)
    return float(min(by_strength, by_deflection))


SPANS = {
    # grade, spacing, dead: spans of 2x6, 2x8, 2x10 and 2x12 as printed
    ("No. 1", 12, 10): ("15-9", "20-10", "", ""),
    ("No. 1", 12, 20): ("15-4", "19-5", "23-9", ""),
    ("No. 1", 16, 10): ("14-4", "18-11", "23-9", ""),
    ("No. 1", 16, 20): ("13-3", "16-10", "20-7", "23-10"),
    ("No. 2", 16, 20): ("12-5", "15-9", "19-3", "22-4"),
}


def inches(text: str) -> str:
    feet, rest = text.split("-")
    return str(12 * int(feet) + int(rest))


ROWS = tuple(
    Row(
        f"span of a 2x{nominal} {grade}, {spacing} in apart, dead {dead} psf ({text})",
        inches(text),
        "in",
        serves="checks.rafter_bending",
        computed=lambda grade=grade, nominal=nominal, spacing=spacing, dead=dead: span(
            grade, nominal, spacing=spacing, dead=dead
        ),
        check="rafter-bending",
        erratum="rafter-spans-no-2" if grade == "No. 2" else "",
    )
    for (grade, spacing, dead), texts in SPANS.items()
    for nominal, text in zip((6, 8, 10, 12), texts, strict=True)
    if text
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


@pytest.mark.parametrize("nominal", [6, 8, 10, 12])
def test_the_spans_of_no_2_follow_from_875_psi(nominal: int) -> None:
    """The stress that the printed spans imply, sqrt(875 / 900) of ours, to the nearest inch."""
    at = (6, 8, 10, 12).index(nominal)
    printed = float(inches(SPANS["No. 2", 16, 20][at]))
    ours = span("No. 2", nominal, spacing=16, dead=20)
    assert printed == pytest.approx(ours * sqrt(875 / 900), abs=0.75)
