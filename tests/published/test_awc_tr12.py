"""AWC Technical Report 12 (2015), General Dowel Equations for Lateral Connection Values.

Worked single-shear example with a 1/2 in bolt, 1-1/2 in main and side members of G 0.43 along
the grain, and the moment of a bolt: read.
"""

from __future__ import annotations

import pytest

from rafterstay.checks.nds_2018.bearing import Mode, bolt_moment, reduction_term
from rafterstay.checks.nds_2018.dowel import Joint, reference_value, single_shear_loads
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("AWC TR12", "2015", "worked example, single shear", "read", 99)
INCH = 0.0254
# The example states bearing as tabulated: 4800 psi at G 0.43. Units lbf and in throughout.
JOINT = Joint(4800.0 * 0.5, 4800.0 * 0.5, 1.5, 1.5, bolt_moment(45000.0, 0.5))


def mode_value(mode: Mode) -> float:
    return single_shear_loads(JOINT)[mode] / reduction_term(mode, 0.5 * INCH, 0.0)


PRINTED: tuple[tuple[Mode, str], ...] = (
    ("Im", "900"),
    ("Is", "900"),
    ("II", "414"),
    ("IIIm", "550"),
    ("IIIs", "550"),
    ("IV", "663"),
)
ROWS = (
    *(
        Row(
            f"single shear, mode {mode}",
            text,
            "lbf",
            serves="nds_2018.single_shear_loads",
            check="bolt-yield",
            computed=lambda mode=mode: mode_value(mode),
        )
        for mode, text in PRINTED
    ),
    Row(
        "single shear, deciding value",
        "414",
        "lbf",
        serves="nds_2018.reference_value",
        check="bolt-yield",
        computed=lambda: reference_value(single_shear_loads(JOINT), 0.5 * INCH, 0.0).value,
    ),
    Row(
        "moment of a 1/2 in bolt, 45 ksi",
        "937.5",
        "lbf in",
        serves="nds_2018.bolt_moment",
        check="bolt-yield",
        computed=lambda: bolt_moment(45000.0, 0.5),
    ),
    Row(
        "moment of a 0.4 in dowel, 45 ksi",
        "480",
        "lbf in",
        serves="nds_2018.bolt_moment",
        check="bolt-yield",
        computed=lambda: bolt_moment(45000.0, 0.4),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)
