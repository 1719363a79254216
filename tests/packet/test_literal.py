"""Other people's words stand in a packet as they were written, or as codes that are counted."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

import pytest

from rafterstay.packet import Site
from rafterstay.packet.literal import Words, drawn
from rafterstay.shop.press_log import Pressed
from rafterstay.shop.pull_file import Pulled
from tests.packet.paper import designed, made, squashed, text_of

HOSTILE = [
    'He said "go" and it\'s <b>done</b> & paid',
    "#strong[bold] $x^2$ *star* _under_ `tick` @cite <label>",
    '#sys.inputs #panic("no") #import "@preview/x:1": * // no',
    "= Heading - list + one / term: 1. ~ --- ... https://example.org",
    "\\u{1F600} \\# \\\\ ] [ } { $",
    "שלום 12 العربية",
    "Łódź Škoda Ωμέγα Жар ½ ≤ ± 20°",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_is_printed_as_it_was_written(text: str) -> None:
    done = designed("octagon")
    bound = made(replace(done, job=replace(done.job, title=text)), brief=True)
    assert [one.code for one in bound.told] == []
    if not any(unicodedata.bidirectional(c) in ("R", "AL") for c in text):
        assert squashed(text) in squashed(text_of(bound.pdf))
    else:
        found = text_of(bound.pdf)
        assert all(word in found or word[::-1] in found for word in text.split())


def test_what_the_lettering_lacks_is_spelled_and_counted() -> None:
    done = designed("octagon")
    title = "Barn 🏚 屋根 \u202eloft\x1b[31m"
    bound = made(replace(done, job=replace(done.job, title=title)), brief=True)
    assert [one.code for one in bound.told] == ["text-spelled-out"]
    assert "job.title" in bound.told[0].text
    said = squashed(text_of(bound.pdf))
    assert "Barn\\U0001f3da\\u5c4b\\u6839\\u202eloft\\x1b[31m" in said


def test_every_logged_text_may_be_ten_thousand_characters_long() -> None:
    long = "#x[ 'q\" <i>" * 1000
    press = Pressed(
        leg=2,
        eye=long,
        reel=long,
        sleeve=long,
        tool=long,
        presses=3,
        order=long,
        tail_before=0.01,
        tail_after=0.008,
        gauge=long,
        who=long,
        when="2031-04-02",
    )
    eye = Pulled(None, "A" * 10_000, long, 4321.0, 60.0, "held", long, "2031-04-02")
    done = designed("octagon")
    title = replace(done, job=replace(done.job, title="T" * 10_000))
    bound = made(
        title, site=Site(revision=7, presses=(press, press), pulls=(eye, replace(eye, leg=2)))
    )
    assert [one.code for one in bound.told] == ["text-shortened"]
    said = bound.told[0].text
    for what in ("job.title", "press log: reel (2 times)", "test eye: scale", "proof pull: part"):
        assert what in said
    text = squashed(text_of(bound.pdf))
    assert "#x['q\"<i>" in text
    assert text.count("[shortened]") >= 12
    assert "T" * 120 + "[shortened]" in text
    assert "T" * 121 not in text


def test_all_that_is_called_drawn_is_drawn() -> None:
    """A missing letter is refused by PDF/A, so binding is the proof."""
    everything = [chr(c) for c in range(0x3000) if drawn(chr(c))]
    done = designed("octagon")
    for start in range(0, len(everything), 110):
        title = "".join(everything[start : start + 110])
        bound = made(replace(done, job=replace(done.job, title=title)), brief=True)
        assert not bound.told


def test_words_are_counted_once_each() -> None:
    words = Words()
    assert words.literal("plain", "note") == "plain"
    assert words.told() == ()
    words.literal("x" * 81, "note")
    words.literal("y" * 81, "note")
    words.literal("é🏚", "tool")
    shortened, spelled = words.told()
    assert "note (2 times)" in shortened.text
    assert spelled.text.endswith(": tool.")
