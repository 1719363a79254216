"""AWC, Structural Wood Design Examples (2015/2018), examples E1.6, E1.7 and E1.8.

E1.6: a 2x8 bottom chord, Hem-Fir No. 2, 12 ft long, T 1420 lb, 32 plf, under dead load: read and
recomputed. E1.7: a 2x6 column, Southern Pine No. 1, 9 ft: read, from a reproduction whose Fc was
rounded in SI, so C_P is good to 0.3 %. E1.8: a 2x4 column, Southern Pine No. 2, 3 ft, pressed with
900 lb and bent both ways by 120 and 150 lb at mid-length: read in a reproduction.
"""

from __future__ import annotations

import pytest

from rafterstay.checks.nds_2018.adjustment import load_duration_factor, size_factor
from rafterstay.checks.nds_2018.combined import bending_with_compression
from rafterstay.checks.nds_2018.members import (
    beam_buckling_stress,
    beam_effective_length,
    beam_slenderness,
    beam_stability_factor,
    bending_with_tension,
    column_buckling_stress,
    column_stability_factor,
)
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("AWC Structural Wood Design Examples", "2015/2018", "E1.6 to E1.8", "read", 99)
INCH = 0.0254
PSI = 0.006894757293168361  # [MPa]

DURATION = load_duration_factor("permanent")
SIZE = size_factor(7.25 * INCH)
TENSION = 1420.0 / (1.5 * 7.25)
BENDING = 32.0 / 12.0 * 144.0**2 / 8.0 / (1.5 * 7.25**2 / 6.0)
ALLOWABLE_TENSION = 525.0 * DURATION * SIZE
ALLOWABLE_BENDING = 850.0 * DURATION * SIZE
EFFECTIVE = beam_effective_length(144.0, 7.25)
SLENDER = beam_slenderness(EFFECTIVE, 7.25, 1.5)
BUCKLING = beam_buckling_stress(470e3, SLENDER)
STABILITY = beam_stability_factor(BUCKLING, ALLOWABLE_BENDING)
TENSION_FACE, COMPRESSION_FACE = bending_with_tension(
    TENSION,
    BENDING,
    allowable_tension=ALLOWABLE_TENSION,
    allowable_bending=ALLOWABLE_BENDING,
    stable_bending=ALLOWABLE_BENDING * STABILITY,
)
# Reproduced from SI: 10.7 MPa and 4000 MPa stand for 1550 psi and 580 ksi.
COLUMN_SI = column_buckling_stress(4000.0, 108.0, 5.5)


# E1.8: Fb 1100, Fc 1450, E_min 510 ksi as the Supplement prints them for a 2x4; C_fu 1.1.
SHORT = 36.0
STRONG_8 = column_buckling_stress(510e3, SHORT, 3.5)
WEAK_8 = column_buckling_stress(510e3, SHORT, 1.5)
BEAM_8 = beam_buckling_stress(
    510e3,
    beam_slenderness(1.37 * SHORT + 3.0 * 3.5, 3.5, 1.5),  # load at mid-length, Table 3.3.3
)


def column_8(duration: float) -> float:
    return column_stability_factor(min(STRONG_8, WEAK_8), 1450.0 * duration)


def beam_8(duration: float) -> float:
    return beam_stability_factor(BEAM_8, 1100.0 * duration)


def bent_both_ways(duration: float, *, strong: float, weak: float, pressed: float) -> float:
    return float(
        bending_with_compression(
            pressed / (1.5 * 3.5),
            strong * SHORT / 4.0 / (1.5 * 3.5**2 / 6.0),
            weak * SHORT / 4.0 / (3.5 * 1.5**2 / 6.0),
            allowable_compression=1450.0 * duration * column_8(duration),
            allowable_strong=1100.0 * duration * beam_8(duration),
            allowable_weak=1100.0 * duration * 1.1,
            buckling_strong=STRONG_8,
            buckling_weak=WEAK_8,
            buckling_beam=BEAM_8,
        )
    )


def column_factor(duration: float) -> float:
    return column_stability_factor(COLUMN_SI, 10.7 * duration)


ROWS = (
    Row("E1.6 f_t", "130.6", "psi", serves="arithmetic", computed=lambda: TENSION),
    Row(
        "E1.6 Ft*", "567", "psi", serves="nds_2018.size_factor", computed=lambda: ALLOWABLE_TENSION
    ),
    Row(
        "E1.6 Fb*", "918", "psi", serves="nds_2018.size_factor", computed=lambda: ALLOWABLE_BENDING
    ),
    Row(
        "E1.6 l_e",
        "256.47",
        "in",
        serves="nds_2018.beam_effective_length",
        computed=lambda: EFFECTIVE,
    ),
    Row("E1.6 R_B", "28.747", "-", serves="nds_2018.beam_slenderness", computed=lambda: SLENDER),
    Row(
        "E1.6 F_bE",
        "682.5",
        "psi",
        serves="nds_2018.beam_buckling_stress",
        computed=lambda: BUCKLING,
    ),
    Row(
        "E1.6 C_L",
        "0.6738",
        "-",
        serves="nds_2018.beam_stability_factor",
        computed=lambda: STABILITY,
    ),
    Row(
        "E1.6 Fb**",
        "618.6",
        "psi",
        serves="nds_2018.beam_stability_factor",
        computed=lambda: ALLOWABLE_BENDING * STABILITY,
    ),
    Row(
        "E1.6 tension face",
        "0.8033",
        "-",
        serves="nds_2018.bending_with_tension",
        computed=lambda: TENSION_FACE,
    ),
    Row(
        "E1.6 compression face",
        "0.639",
        "-",
        serves="nds_2018.bending_with_tension",
        computed=lambda: COMPRESSION_FACE,
        obtained="computed",
        confidence=98,
    ),
    Row(
        "E1.7 F_cE",
        "1237",
        "psi",
        serves="nds_2018.column_buckling_stress",
        computed=lambda: COLUMN_SI / PSI,
        confidence=95,
    ),
    Row(
        "E1.7 C_P at C_D 1.6",
        "0.432",
        "-",
        serves="nds_2018.column_stability_factor",
        computed=lambda: column_factor(1.6),
        confidence=95,
    ),
    Row(
        "E1.7 C_P at C_D 1.15",
        "0.555",
        "-",
        serves="nds_2018.column_stability_factor",
        computed=lambda: column_factor(1.15),
        confidence=95,
    ),
    Row(
        "E1.7 C_P at C_D 0.9",
        "0.647",
        "-",
        serves="nds_2018.column_stability_factor",
        computed=lambda: column_factor(0.9),
        step="0.002",  # Fc and E_min were rounded in SI before
        confidence=95,
    ),
    *(
        Row(
            f"E1.8 C_P at C_D {duration}",
            text,
            "-",
            serves="nds_2018.column_stability_factor",
            computed=lambda duration=duration: column_8(duration),
            check="ply-buckling",
        )
        for duration, text in ((1.6, "0.29"), (1.15, "0.387"), (0.9, "0.473"))
    ),
    Row(
        "E1.8 C_L at C_D 1.6",
        "0.982",
        "-",
        serves="nds_2018.beam_stability_factor",
        computed=lambda: beam_8(1.6),
        check="rafter-stability",
    ),
    *(
        Row(
            f"E1.8 {name}, both ways at once",
            text,
            "-",
            serves="nds_2018.bending_with_compression",
            computed=lambda duration=duration, loads=loads: bent_both_ways(duration, **loads),
            check="rafter-bending",
        )
        for name, duration, loads, text in (
            ("D+S+W", 1.6, {"strong": 120.0, "weak": 150.0, "pressed": 900.0}, "0.98"),
            ("D+S", 1.15, {"strong": 0.0, "weak": 150.0, "pressed": 900.0}, "1.04"),
            ("D", 0.9, {"strong": 0.0, "weak": 50.0, "pressed": 300.0}, "0.35"),
        )
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
