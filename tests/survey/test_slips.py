"""Which slip explains a wrong reading. Cases invented; common practice, no source."""

from __future__ import annotations

import pytest

from rafterstay.core import quantities
from rafterstay.survey import Reading
from rafterstay.survey.nouns import Kind
from rafterstay.survey.slips import likely_slip

SIGMA = 0.0027  # [m]


def slip(written: str, truth: str, kind: Kind = "level", off: float = 0.0) -> str:
    reading = Reading("1", "2", kind, quantities.parse(written, "length"), text=written)
    found = likely_slip(reading, quantities.parse(truth, "length") + off, SIGMA)
    if found is None:
        return ""
    assert found.value == pytest.approx(quantities.parse(truth, "length"), abs=1e-9)
    return found.words


@pytest.mark.parametrize(
    ("written", "truth", "words"),
    [
        ("9'-3 1/4\"", "9'-2 1/4\"", "an inch too long"),
        ("22'-1 3/8\"", "22'-2 3/8\"", "an inch too short"),
        ("23'-9\"", "22'-9\"", "a foot too long"),
        ("9'-2 1/4\"", "9'-2 3/4\"", "a half-inch mark misread"),
        ("4'-6 1/2\"", "14'-6 1/2\"", "ten feet too short"),
        ("21'-7\"", "12'-7\"", "swapped digits: 12'-7\""),
        ("5.423 m", "5.243 m", "swapped digits: 5.243 m"),
        ("3.06 m", "13.06 m", "dropped digit: 13.06 m"),
        ("23'-1\"", "23'-10\"", "dropped digit: 23'-10\""),
        ("7'-9\"", "9'-7\"", "feet and inches swapped: 9'-7\""),
        ("7'-4\"", "7'-8\"", "inches counted from the other end of the foot"),
    ],
)
def test_the_slip_is_found(written: str, truth: str, words: str) -> None:
    assert slip(written, truth) == words
    assert slip(written, truth, off=0.9 * SIGMA) == words


def test_a_height_is_too_high_or_read_upside_down() -> None:
    assert slip('2 1/8"', '1 1/8"', "height") == "an inch too high"
    assert slip('-4 1/8"', '4 1/8"', "height") == "up and down exchanged"


def test_no_slip_is_invented() -> None:
    # 1.7 in and 5.3 in off: nothing simple does that to these figures.
    assert slip("9.111 ft", "8.969 ft") == ""
    reading = Reading("1", "2", "level", 3.0)
    assert likely_slip(reading, 3.137, SIGMA) is None


def test_a_reading_to_the_wrong_point() -> None:
    reading = Reading("1", "3", "level", 4.771)
    found = likely_slip(reading, 5.9, SIGMA, [("1 to 4", 7.2), ("1 to 2", 4.7702)])
    assert found is not None
    assert found.words == "taken to the wrong point: it fits 1 to 2"


def test_a_long_text_is_not_tried_digit_by_digit() -> None:
    text = "0" * 40 + "3.111 m"
    assert likely_slip(Reading("1", "2", "level", 3.111, text=text), 3.3137, SIGMA) is None
