"""Makers' tables of rope and strand of 316 stainless wire, metric.

Values from memory, 75 %: a rope of these cannot make a part pass by itself. Beside them the
minimum breaking force by factor of EN 12385-4 and EN 12385-10, F = K d**2 R, from memory, 80 %:
K 0.359 for 7x7, 0.356 for 7x19, 0.525 for 1x19; wire grades 1570, and 1470 to 1570 for 1x19.
"""

from __future__ import annotations

from functools import partial

import pytest

from rafterstay import catalog
from rafterstay.core.sources import Source
from tests.published.figures import mass, strength
from tests.published.printed import Row, require_agreement

SOURCE = Source("Makers' tables of 316 stainless rope", "undated", "metric", "memory", 75)
FORCES = {
    "7x7": ("5.07", "9.02", "14.1", "20.3", "36.1", "56.4", "81.2"),
    "7x19": ("4.98", "8.86", "13.8", "19.9", "35.4", "55.4", "79.7"),
    "1x19": ("7.1", "12.6", "19.6", "28.2", "50.2", "78.4", "113"),
}
SIZES = (3, 4, 5, 6, 8, 10, 12)
FACTORS = {"7x7": (0.359, 1570.0), "7x19": (0.356, 1570.0), "1x19": (0.525, 1470.0)}
ROWS = tuple(
    Row(
        f"{lay} of 316 stainless, {size} mm, minimum breaking force",
        text,
        "kN",
        serves=f"catalog.rope strength {lay} stainless metric",
        computed=partial(strength, f"{lay} stainless {size} mm", 1000.0),
        check="rope-strength",
    )
    for lay, texts in FORCES.items()
    for size, text in zip(SIZES, texts, strict=True)
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


@pytest.mark.parametrize("lay", FACTORS)
@pytest.mark.parametrize("size", SIZES)
def test_forces_go_with_the_square_of_the_size(lay: str, size: int) -> None:
    factor, grade = FACTORS[lay]
    assert strength(f"{lay} stainless {size} mm", 1.0) == pytest.approx(
        factor * size**2 * grade, rel=0.03
    )


@pytest.mark.parametrize("lay", FACTORS)
def test_a_rope_weighs_as_its_wires_do(lay: str) -> None:
    """Wires of 7950 kg/m3, which lie longer than the rope by a few percent.

    Metallic area 0.471, 0.472 and 0.595 d**2: Wire Rope Users Manual, from memory, 75 %.
    """
    area = {"7x7": 0.471, "7x19": 0.472, "1x19": 0.595}[lay]
    for size in SIZES:
        wires = 7950.0 * area * (size / 1000.0) ** 2
        assert mass(f"{lay} stainless {size} mm", 1.0) == pytest.approx(wires, rel=0.08)


def test_none_of_them_is_sure_enough_to_pass_by_itself() -> None:
    for lay in FACTORS:
        for size in SIZES:
            assert catalog.find("rope", f"{lay} stainless {size} mm").source.confidence < 80
