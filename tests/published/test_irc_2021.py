"""International Residential Code (2021), chapter 8: raised ties, notches, holes.

Span factors of the notes to Tables R802.4.1: four read, 1.00 from memory, 98 %. Tie factors of
the note to Table R802.5.2: from memory, 95 %. Notches and holes of R802.7.1: read.
"""

from __future__ import annotations

import pytest

from rafterstay.checks.irc_2021.openings import allowed_openings
from rafterstay.checks.irc_2021.raised_tie import duty, prescriptive, span_factor, tie_factor
from rafterstay.core.errors import InputError
from rafterstay.core.sources import Source
from tests.published.printed import Row, require_agreement

SOURCE = Source("IRC", "2021", "Tables R802.4.1, R802.5.2; R802.7.1", "read", 97)
SPANS = {"1/3": "0.67", "1/4": "0.76", "1/5": "0.83", "1/6": "0.90", "1/7.5": "1.00"}
TIES = {"1/3": "1.5", "1/4": "1.33", "1/5": "1.25", "1/6": "1.2", "1/10": "1.11"}


OPENINGS = (
    ("notch_depth", 10, "1.54"),
    ("notch_length", 10, "3.08"),
    ("end_notch_depth", 10, "2.31"),
    ("hole", 10, "3.08"),
    ("hole", 6, "1.83"),
    ("hole", 8, "2.42"),
    ("hole_edge", 8, "2"),
)
DRESSED = {6: 5.5, 8: 7.25, 10: 9.25}  # NDS Supplement Table 1A [in]


def opening(attribute: str, nominal: int) -> float:
    allowed = allowed_openings(DRESSED[nominal] * 0.0254)
    return float(getattr(allowed, attribute)) / 0.0254


def share(text: str) -> float:
    top, bottom = text.split("/")
    return float(top) / float(bottom)


ROWS = (
    *(
        Row(
            f"span factor at Hc/Hr {at}",
            text,
            "-",
            serves="irc_2021.span_factor",
            computed=lambda at=at: span_factor(share(at)),
        )
        for at, text in SPANS.items()
    ),
    *(
        Row(
            f"tie factor at Hc/Hr {at}",
            text,
            "-",
            serves="irc_2021.tie_factor",
            computed=lambda at=at: tie_factor(share(at)),
            obtained="memory",
            confidence=95,
        )
        for at, text in TIES.items()
    ),
    *(
        Row(
            f"{attribute} of a 2x{nominal}",
            text,
            "in",
            serves="irc_2021.allowed_openings",
            computed=lambda attribute=attribute, nominal=nominal: opening(attribute, nominal),
        )
        for attribute, nominal, text in OPENINGS
    ),
)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_row(row: Row) -> None:
    require_agreement(row)


@pytest.mark.parametrize(
    ("height", "said"),
    [
        (0.0, "rafter tie"),
        (1.0 / 3.0, "rafter tie"),
        (0.34, "neither: engineer"),
        (0.66, "neither: engineer"),
        (2.0 / 3.0, "collar tie"),
        (0.9, "collar tie"),
    ],
)
def test_duty_by_thirds(height: float, said: str) -> None:
    """R802.5.2 puts rafter ties in the lower third, R802.4.6 collar ties in the upper."""
    assert duty(height) == said


def test_tables_are_for_common_rafters() -> None:
    within, _ = prescriptive(0)
    outside, reason = prescriptive(7)
    assert (within, outside) == ("within", "outside")
    assert "7 sides" in reason


@pytest.mark.parametrize("height", [-0.01, 1.0, float("nan")])
def test_a_tie_outside_the_roof_is_refused(height: float) -> None:
    with pytest.raises(InputError, match="IN-822"):
        tie_factor(height)
    with pytest.raises(InputError, match="IN-822"):
        span_factor(height)
