"""ANSI/AWC National Design Specification for Wood Construction (2018), chapter 12.

Formulas of Table 12.3.3 and terms of Table 12.3.1B: read. Tables 12A and 12F: values from
memory, 98 %, but 1050 lb of Table 12F, which was read. Tables 12.5.1A to C: values from memory,
97 %. The tables print bearing to 50 psi and loads to 10 lb.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from rafterstay.checks.nds_2018 import bearing
from rafterstay.checks.nds_2018.bearing import bolt_moment, reduction_term
from rafterstay.checks.nds_2018.dowel import (
    Joint,
    double_shear_loads,
    reference_value,
    single_shear_loads,
)
from rafterstay.checks.nds_2018.geometry import (
    Distance,
    edge_distance,
    end_distance,
    geometry_factor,
    spacing_in_row,
)
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("NDS", "2018", "Tables 12A, 12F", "memory", 98)
INCH = 0.0254
PSI = 6894.757293168361
ACROSS = math.pi / 2.0


def tabulated(gravity: float, diameter: float) -> tuple[float, float]:
    """Bearing along and across the grain in psi, rounded as the table prints it."""
    along = bearing.parallel_bearing(gravity) / PSI
    across = bearing.perpendicular_bearing(gravity, diameter * INCH) / PSI
    return 50.0 * round(along / 50.0), 50.0 * round(across / 50.0)


def table_value(
    gravity: float, diameter: float, main: float, side: float, way: str, *, double: bool = False
) -> float:
    """A value of Table 12A (single) or 12F (double shear). [lbf]

    ``way``: ``par`` both along the grain, ``s`` side across, ``m`` main across, ``perp`` both.
    """
    along, across = tabulated(gravity, diameter)
    joint = Joint(
        main=diameter * (across if way in ("m", "perp") else along),
        side=diameter * (across if way in ("s", "perp") else along),
        main_length=main,
        side_length=side,
        moment=bolt_moment(45000.0, diameter),
    )
    loads = double_shear_loads(joint) if double else single_shear_loads(joint)
    angle = 0.0 if way == "par" else ACROSS
    return reference_value(loads, diameter * INCH, angle).value


def load_rows(
    table: str, gravity: float, diameter: float, main: float, printed: dict[str, str], size: str
) -> list[Row]:
    double = table == "12F"
    return [
        Row(
            f"Table {table}, G {gravity}, {size}, main {main} in, side 1.5 in, {way}",
            text,
            "lbf",
            serves=f"nds_2018.{'double' if double else 'single'}_shear_loads",
            check="bolt-yield",
            step="10",
            computed=lambda way=way: table_value(gravity, diameter, main, 1.5, way, double=double),
            obtained="read" if text == "1050" else None,
        )
        for way, text in printed.items()
    ]


def row(quantity: str, text: str, unit: str, serves: str, computed: Callable[[], float]) -> Row:
    return Row(
        quantity,
        text,
        unit,
        serves=f"nds_2018.{serves}",
        check="bolt-distances" if "distance" in serves else "bolt-yield",
        computed=computed,
        obtained="memory" if "distance" in serves or "spacing" in serves else "read",
        confidence=97 if "distance" in serves or "spacing" in serves else 98,
    )


def bearing_row(gravity: float, text: str) -> Row:
    return Row(
        f"Table 12.3.3, Fe along the grain, G {gravity}",
        text,
        "psi",
        serves="nds_2018.parallel_bearing",
        check="bolt-yield",
        step="50",
        computed=lambda: bearing.parallel_bearing(gravity) / PSI,
        obtained="read",
    )


def across_row(size: str, diameter: float, text: str) -> Row:
    return Row(
        f"Table 12.3.3, Fe across the grain, G 0.50, {size}",
        text,
        "psi",
        serves="nds_2018.perpendicular_bearing",
        check="bolt-yield",
        step="50",
        computed=lambda: bearing.perpendicular_bearing(0.50, diameter * INCH) / PSI,
    )


ROWS = (
    *load_rows(
        "12A", 0.50, 0.5, 1.5, {"par": "480", "s": "300", "m": "300", "perp": "220"}, "1/2 in"
    ),
    *load_rows(
        "12A", 0.50, 0.5, 3.5, {"par": "610", "s": "370", "m": "430", "perp": "330"}, "1/2 in"
    ),
    *load_rows(
        "12A", 0.55, 0.5, 1.5, {"par": "530", "s": "330", "m": "330", "perp": "250"}, "1/2 in"
    ),
    *load_rows(
        "12A", 0.55, 0.75, 1.5, {"par": "800", "s": "460", "m": "460", "perp": "310"}, "3/4 in"
    ),
    *load_rows("12F", 0.50, 0.5, 1.5, {"par": "1050", "s": "730", "m": "470"}, "1/2 in"),
    *load_rows("12F", 0.50, 0.5, 3.5, {"par": "1230", "s": "730", "m": "860"}, "1/2 in"),
    bearing_row(0.50, "5600"),
    bearing_row(0.55, "6150"),
    bearing_row(0.43, "4800"),
    bearing_row(0.42, "4700"),
    across_row("1/2 in", 0.5, "3150"),
    across_row("5/8 in", 0.625, "2800"),
    across_row("3/4 in", 0.75, "2600"),
    across_row("7/8 in", 0.875, "2400"),
    across_row("1 in", 1.0, "2250"),
    Row(
        "Table 12.3.3, Fe under 1/4 in, G 0.50",
        "4650",
        "psi",
        serves="nds_2018.small_dowel_bearing",
        step="50",
        computed=lambda: bearing.small_dowel_bearing(0.50) / PSI,
        obtained="read",
    ),
    row(
        "Rd, mode Is, along",
        "4",
        "-",
        "reduction_term",
        lambda: reduction_term("Is", 0.5 * INCH, 0.0),
    ),
    row(
        "Rd, mode II, across",
        "4.5",
        "-",
        "reduction_term",
        lambda: reduction_term("II", 0.5 * INCH, ACROSS),
    ),
    row(
        "Rd, mode IV, across",
        "4",
        "-",
        "reduction_term",
        lambda: reduction_term("IV", 1.0 * INCH, ACROSS),
    ),
    row(
        "K_D at 0.17 in",
        "2.2",
        "-",
        "reduction_term",
        lambda: reduction_term("IV", 0.17 * INCH, 0.0),
    ),
    row(
        "K_D at 0.2 in",
        "2.5",
        "-",
        "reduction_term",
        lambda: reduction_term("II", 0.2 * INCH, ACROSS),
    ),
    row(
        "end distance, tension along, full",
        "7",
        "D",
        "end_distance",
        lambda: end_distance("toward end", 1.0).full,
    ),
    row(
        "end distance, tension along, least",
        "3.5",
        "D",
        "end_distance",
        lambda: end_distance("toward end", 1.0).least,
    ),
    row(
        "end distance, compression, full",
        "4",
        "D",
        "end_distance",
        lambda: end_distance("away from end", 1.0).full,
    ),
    row(
        "end distance, across, least",
        "2",
        "D",
        "end_distance",
        lambda: end_distance("across", 1.0).least,
    ),
    row("spacing in a row, full", "4", "D", "spacing_in_row", lambda: spacing_in_row(1.0).full),
    row("spacing in a row, least", "3", "D", "spacing_in_row", lambda: spacing_in_row(1.0).least),
    row(
        "edge distance, along, l/D 5",
        "1.5",
        "D",
        "edge_distance",
        lambda: edge_distance("along", 1.0, 5.0, row_spacing=4.0),
    ),
    row(
        "edge distance, along, l/D 7, rows 4 D apart",
        "2",
        "D",
        "edge_distance",
        lambda: edge_distance("along", 1.0, 7.0, row_spacing=4.0),
    ),
    row(
        "edge distance, across, loaded",
        "4",
        "D",
        "edge_distance",
        lambda: edge_distance("loaded", 1.0),
    ),
    row(
        "edge distance, across, unloaded",
        "1.5",
        "D",
        "edge_distance",
        lambda: edge_distance("unloaded", 1.0),
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


def test_geometry_factor_follows_the_end_distance() -> None:
    """C_delta is available over full from the least distance up (12.5.1.2)."""
    asked = end_distance("toward end", 0.625)
    assert geometry_factor(3.5 * 0.625, asked) == pytest.approx(0.5)
    assert geometry_factor(6.3 * 0.625, asked) == pytest.approx(0.9)
    assert geometry_factor(9.0 * 0.625, asked) == 1.0
    assert geometry_factor(3.4 * 0.625, asked) is None
    assert asked == Distance(2.1875, 4.375)


def test_bearing_at_an_angle_is_hankinsons() -> None:
    """Equation 12.3-11 at 0, 90 and, by hand, 30 degrees: 5600 and 2800 give 4480 psi."""
    assert bearing.angled_bearing(5600.0, 2800.0, 0.0) == pytest.approx(5600.0)
    assert bearing.angled_bearing(5600.0, 2800.0, ACROSS) == pytest.approx(2800.0)
    at_30 = 5600.0 * 2800.0 / (5600.0 * 0.25 + 2800.0 * 0.75)
    assert bearing.angled_bearing(5600.0, 2800.0, math.pi / 6.0) == pytest.approx(at_30)
