"""International Residential Code (2021), chapter 8: raised ties, notches, holes.

Span factors of the notes to Tables R802.4.1: four read, 1.00 from memory, 98 %. Tie factors of
the note to Table R802.5.2: from memory, 95 %. Notches and holes of R802.7.1, bearing of R802.6
and bending limits of Table R301.7: read.
"""

from __future__ import annotations

import pytest

from rafterstay import job
from rafterstay.checks.irc_2021.openings import allowed_openings
from rafterstay.checks.irc_2021.raised_tie import duty, prescriptive, span_factor, tie_factor
from rafterstay.checks.parts.rafter_form import LIMITS
from rafterstay.core.errors import InputError
from rafterstay.core.sources import Source
from rafterstay.job.examples import example
from tests.published.printed import Row, require_agreement

SOURCE = Source("IRC", "2021", "Tables R301.7, R802.4.1, R802.5.2; R802.6, R802.7.1", "read", 97)
SPANS = {"1/3": "0.67", "1/4": "0.76", "1/5": "0.83", "1/6": "0.90", "1/7.5": "1.00"}
FOOT = 0.3048
PSF = 47.880258980335840  # [Pa]
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
            check="rafter-hole",
        )
        for attribute, nominal, text in OPENINGS
    ),
    Row(
        "bearing of a rafter on wood, at least",
        "1-1/2",
        "in",
        serves="job.rafter.seat",
        computed=lambda: job.loads(example("octagon")).rafter.seat / 0.0254,
        check="rafter-bearing",
    ),
    *(
        Row(
            f"rafters {what}, length over",
            text,
            "-",
            serves="checks.rafter_deflection",
            computed=lambda steep=steep: LIMITS[0] if steep else LIMITS[1],
            step="0",
            check="rafter-deflection",
        )
        for what, text, steep in (
            ("steeper than 3:12, no finished ceiling", "180", True),
            ("and other members else", "240", False),
        )
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
        (0.34, "neither"),
        (0.66, "neither"),
        (2.0 / 3.0, "collar tie"),
        (0.9, "collar tie"),
    ],
)
def test_duty_by_thirds(height: float, said: str) -> None:
    """R802.5.2 puts rafter ties in the lower third, R802.4.6 collar ties in the upper."""
    assert duty(height)[0] == said


def test_a_hub_that_holds_its_heads_does_the_collar_ties_duty() -> None:
    """R802.4.6 lets a strap over the ridge stand in for collar ties."""
    assert duty(0.2, heads_held=True)[0] == "both"
    assert duty(0.5, heads_held=True)[0] == "neither"
    assert duty(0.8, heads_held=True)[0] == "collar tie"


WITHIN = {
    "sides": 0,
    "height_ratio": 1.0 / 3.0,
    "slope": 0.25,
    "span": 36.0 * FOOT,
    "snow": 70.0 * PSF,
    "dead": 20.0 * PSF,
}


def test_at_every_limit_the_tables_still_hold() -> None:
    assert prescriptive(**WITHIN)[0] == "within"


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("sides", 7, "7 sides"),
        ("height_ratio", 0.34, "lower third"),
        ("slope", 0.249, "3:12"),
        ("span", 36.1 * FOOT, "36 ft"),
        ("snow", 70.5 * PSF, "70 psf"),
        ("dead", 20.1 * PSF, "20 psf"),
    ],
)
def test_past_one_limit_the_reason_is_told(name: str, value: float, said: str) -> None:
    """Limits of Tables R802.4.1, R802.5.2 and of R802.3, R802.5.2."""
    within, why = prescriptive(**{**WITHIN, name: value})
    assert within == "outside"
    assert said in why
    assert why.count(";") == 0


def test_every_reason_is_told() -> None:
    _, why = prescriptive(sides=9, height_ratio=0.6, slope=0.1, span=20.0, snow=5e3, dead=2e3)
    assert why.count(";") == 5


@pytest.mark.parametrize("height", [-0.01, 1.0, float("nan")])
def test_a_tie_outside_the_roof_is_refused(height: float) -> None:
    with pytest.raises(InputError, match="IN-822"):
        tie_factor(height)
    with pytest.raises(InputError, match="IN-822"):
        span_factor(height)
