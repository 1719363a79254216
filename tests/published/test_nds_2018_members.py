"""NDS (2018) and its Supplement: factors on stresses, slender beams.

Table 4A adjustment factors and the 2x12 beam of 3.3.3: read. C_D from Table 2.3.2: read for 0.9,
1.15, 1.25 and 1.6; 1.0 and 2.0 from memory, 99 %. C_i of Table 4.3.8: value from memory, 97 %.
C_M of bolts, Table 11.3.3: value from memory, 95 %. Spaced columns of 15.2: from memory, 93 %.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rafterstay.checks.nds_2018.adjustment import (
    WET_CONNECTION,
    incising_factor,
    load_duration_factor,
    size_factor,
    wet_service_factor,
)
from rafterstay.checks.nds_2018.members import (
    beam_buckling_stress,
    beam_effective_length,
    beam_slenderness,
    beam_stability_factor,
    net_area,
)
from rafterstay.checks.nds_2018.spaced import (
    BLOCK_SLENDERNESS,
    DEPTH_SLENDERNESS,
    PLY_SLENDERNESS,
    fixity_factor,
)
from rafterstay.core.errors import DataError
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("NDS and Supplement", "2018", "Tables 2.3.2, 4A; 3.3.3", "read", 99)
INCH = 0.0254
PSI = 6894.757293168361


def row(quantity: str, text: str, unit: str, serves: str, computed: Callable[[], float]) -> Row:
    check = CHECKS.get(serves, "")
    return Row(quantity, text, unit, serves=f"nds_2018.{serves}", computed=computed, check=check)


CHECKS = {
    "size_factor": "rafter-bending",
    "load_duration_factor": "rafter-bending",
    "wet_service_factor": "rafter-shear",
    "beam_effective_length": "rafter-stability",
    "beam_slenderness": "rafter-stability",
    "beam_buckling_stress": "rafter-stability",
    "beam_stability_factor": "rafter-stability",
    "net_area": "wood-net",
}


DEPTHS = {"3.5": "1.5", "4.5": "1.4", "5.5": "1.3", "7.25": "1.2", "9.25": "1.1", "11.25": "1.0"}
COLUMNS = {"3.5": "1.15", "5.5": "1.1", "7.25": "1.05", "9.25": "1.0", "13.25": "0.9"}
DURATIONS = {
    "permanent": "0.9",
    "ten years": "1.0",
    "two months": "1.15",
    "seven days": "1.25",
    "ten minutes": "1.6",
    "impact": "2.0",
}
WET = {"fb": "0.85", "ft": "1.0", "fv": "0.97", "fc_perp": "0.67", "fc": "0.8", "e": "0.9"}
INCISED = {"fb": "0.80", "ft": "0.80", "fv": "0.80", "fc": "0.80", "fc_perp": "1.00",
           "e": "0.95", "e_min": "0.95"}  # fmt: skip
EFFECTIVE = beam_effective_length(96.0, 11.25)
SLENDER = beam_slenderness(EFFECTIVE, 11.25, 1.5)
BUCKLING = beam_buckling_stress(580e3, SLENDER)
# 15.2.3.2 and 15.2.3.3: from memory, 93 %.
SPACED = (
    ("K_x under condition a", "2.5", fixity_factor("a"), "ply-buckling"),
    ("K_x under condition b", "3.0", fixity_factor("b"), "ply-buckling"),
    ("most l1/d1", "80", PLY_SLENDERNESS, "ply-buckling"),
    ("most l2/d2", "50", DEPTH_SLENDERNESS, "ply-buckling"),
    ("most l3/d1", "40", BLOCK_SLENDERNESS, "ply-blocks"),
)

ROWS = (
    *(
        row(
            f"C_F of Fb and Ft, {depth} in",
            text,
            "-",
            "size_factor",
            lambda depth=depth: size_factor(float(depth) * INCH),
        )
        for depth, text in {**DEPTHS, "14.5": "0.9"}.items()
    ),
    *(
        row(
            f"C_F of Fc, {depth} in",
            text,
            "-",
            "size_factor",
            lambda depth=depth: size_factor(float(depth) * INCH, compression=True),
        )
        for depth, text in COLUMNS.items()
    ),
    *(
        row(
            f"C_D, {name}",
            text,
            "-",
            "load_duration_factor",
            lambda name=name: load_duration_factor(name),
        )
        for name, text in DURATIONS.items()
    ),
    *(
        row(
            f"C_M of {stress}",
            text,
            "-",
            "wet_service_factor",
            lambda stress=stress: wet_service_factor(stress),
        )
        for stress, text in WET.items()
    ),
    *(
        Row(
            f"C_i of {stress}",
            text,
            "-",
            serves="nds_2018.incising_factor",
            computed=lambda stress=stress: incising_factor(stress),
            obtained="memory",
            confidence=97,
        )
        for stress, text in INCISED.items()
    ),
    Row(
        "C_M of bolts wet in service",
        "0.7",
        "-",
        serves="nds_2018.WET_CONNECTION",
        computed=lambda: WET_CONNECTION,
        obtained="memory",
        confidence=95,
        check="bolt-yield",
    ),
    *(
        Row(
            f"spaced column, {what}",
            text,
            "-",
            serves="nds_2018.spaced",
            computed=lambda value=value: value,
            step="0",
            obtained="memory",
            confidence=93,
            check=check,
        )
        for what, text, value, check in SPACED
    ),
    row(
        "C_M of Fb where Fb C_F is 1150 psi",
        "1.0",
        "-",
        "wet_service_factor",
        lambda: wet_service_factor("fb", 1150.0 * PSI),
    ),
    row(
        "C_M of Fc where Fc C_F is 760 psi",
        "0.8",
        "-",
        "wet_service_factor",
        lambda: wet_service_factor("fc", 760.0 * PSI),
    ),
    row("l_e, 2x12, l_u 96 in", "190.23", "in", "beam_effective_length", lambda: EFFECTIVE),
    row("R_B, 2x12, l_u 96 in", "30.84", "-", "beam_slenderness", lambda: SLENDER),
    row("F_bE, 2x12, E_min 580 ksi", "731.7", "psi", "beam_buckling_stress", lambda: BUCKLING),
    row(
        "C_L, 2x12, Fb* 1000 psi",
        "0.6655",
        "-",
        "beam_stability_factor",
        lambda: beam_stability_factor(BUCKLING, 1000.0),
    ),
    Row(
        "3.1.2, 2x8 less a 5/8 in bolt's hole",
        "9.844",
        "in2",
        serves="nds_2018.net_area",
        computed=lambda: net_area(1.5 * INCH, 7.25 * INCH, 0.625 * INCH) / INCH**2,
        obtained="computed",
        confidence=95,
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


def test_a_depth_between_two_rows_takes_the_deeper() -> None:
    assert size_factor(8.0 * INCH) == 1.1


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: load_duration_factor("a while"), "DA-031"),
        (lambda: wet_service_factor("fd"), "DA-032"),
    ],
)
def test_an_unknown_name_is_refused(ask: Callable[[], float], code: str) -> None:
    with pytest.raises(DataError, match=code):
        ask()
