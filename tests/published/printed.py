"""What a printed figure promises: its value, and half a unit of its last digit.

A module under ``tests/published`` is one source. It names ``SOURCE`` and ``ROWS`` and holds one
test over them::

    SOURCE = Source("Title", "edition", "table or clause", "read", 99)
    ROWS = (
        Row("efficiency bent at D/d 8", "83", "%",
            serves="rope.bending_efficiency", computed=lambda: 100.0 * bending_efficiency(8.0)),
    )

    @pytest.mark.parametrize("row", ROWS, ids=str)
    def test_row(row: Row) -> None:
        require_agreement(row)

``docs/verification.md`` is written from the same rows by ``python -m tests.published.report``.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from rafterstay.core.sources import Obtained

__all__ = ["Printed", "Row", "errata", "printed", "require_agreement"]

_FRACTION = re.compile(r"(-)?(?:(\d+)[- ])?(\d+)/(\d+)")
_ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Printed:
    """A printed figure: anything within ``tolerance`` of ``value`` would print the same."""

    text: str
    value: float
    tolerance: float

    def agrees(self, computed: float) -> bool:
        """Tell whether the computed figure, rounded as the source rounds, prints alike."""
        slack = 1e-9 * max(1e-300, abs(self.value))
        return abs(computed - self.value) <= self.tolerance + slack


def printed(text: str, *, step: str | None = None) -> Printed:
    """Read a printed figure.

    Args:
        text: The figure as printed: ``"1,357.6"``, ``"1.40e-5"``, ``"4-1/2"``, ``"3/8"``.
            A fraction is nominal and exact; a decimal is good to half its last digit.
        step: What the source rounds to when that is coarser than its last digit, as ``"10"``
            for a table rounded to ten pounds; ``"0"`` for a nominal figure or a count, which is
            exact however it is printed.

    Returns:
        The value and its tolerance, in the printed unit.

    >>> printed("1.40e-5").tolerance
    5e-08
    >>> printed("4-1/2")
    Printed(text='4-1/2', value=4.5, tolerance=0.0)
    >>> printed("480", step="10").tolerance
    5.0
    """
    half_step = float(Decimal(step) / 2) if step is not None else None
    match = _FRACTION.fullmatch(text)
    if match is not None:
        sign, whole, top, bottom = match.groups()
        size = Fraction(int(whole or 0)) + Fraction(int(top), int(bottom))
        return Printed(text, float(-size if sign else size), half_step or 0.0)
    number = Decimal(text.replace(",", ""))
    if not number.is_finite():
        raise ValueError(f"{text!r} is not a printed figure")
    last_digit = float(Decimal(5).scaleb(int(number.as_tuple().exponent) - 1))
    return Printed(text, float(number), half_step if half_step is not None else last_digit)


@dataclass(frozen=True)
class Row:
    """One published figure beside the formula or table of ours that answers it.

    Attributes:
        quantity: What is printed, with its inputs.
        text: The figure as printed.
        unit: Unit of the figure and of ``computed``.
        serves: The formula or table checked, as ``rope.ring_pull`` or ``catalog.rope``.
        computed: Our answer in the printed unit.
        step: See `printed`.
        check: The check id this row serves, where it serves one.
        obtained: How this row was obtained, where that differs from the module's source.
        confidence: In percent, where it differs from the module's source.
        erratum: Key in ``errata.toml`` when the printed figure is known to disagree.
    """

    quantity: str
    text: str
    unit: str
    serves: str
    computed: Callable[[], float]
    step: str | None = None
    check: str = ""
    obtained: Obtained | None = None
    confidence: int | None = None
    erratum: str = ""

    def __str__(self) -> str:
        return f"{self.quantity} = {self.text} {self.unit}"


@cache
def errata() -> dict[str, dict[str, str]]:
    """Read ``errata.toml``: every published figure we disagree with, and why."""
    with (_ROOT / "errata.toml").open("rb") as file:
        return tomllib.load(file)


def require_agreement(row: Row) -> None:
    """Fail unless our answer prints as the source does, or an erratum says why it does not."""
    figure = printed(row.text, step=row.step)
    answer = row.computed()
    said = f"{row}: ours is {answer!r}, tolerance {figure.tolerance!r}"
    if row.erratum:
        assert errata()[row.erratum]["reason"], f"{row.erratum} needs a reason in errata.toml"
        assert not figure.agrees(answer), f"{said}: agrees, so the erratum should go"
    else:
        assert figure.agrees(answer), said
