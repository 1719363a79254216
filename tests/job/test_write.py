"""One key is changed and nothing else: comments, order and line ends stay."""

from __future__ import annotations

import difflib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay import job
from rafterstay.core.errors import InputError
from rafterstay.job.examples import DEMO, example

OCTAGON = example("octagon")


def lines_changed(before: str, after: str) -> list[str]:
    compared = difflib.ndiff(before.splitlines(keepends=True), after.splitlines(keepends=True))
    return [line for line in compared if line[0] in "+-"]


@pytest.mark.parametrize("text", [OCTAGON, example(DEMO)], ids=["octagon", DEMO])
def test_only_the_line_of_the_key_changes(text: str) -> None:
    after = job.set_value(text, "roof.rise", "7'-3\"")
    removed, added = lines_changed(text, after)
    assert removed.split("#", 1)[1] == added.split("#", 1)[1]
    assert job.loads(after).roof.rise == pytest.approx(87 * 0.0254, rel=1e-15)


def test_a_key_of_an_inline_table_changes() -> None:
    after = job.set_value(OCTAGON, "loads.snow.roof", "55 psf")
    assert 'snow = { roof = "55 psf" }            # as it lies on plan' in after
    assert len(lines_changed(OCTAGON, after)) == 2


def test_missing_tables_and_keys_are_added() -> None:
    short = OCTAGON[: OCTAGON.index("[limits]")].replace('snow = { roof = "40 psf" }', "")
    after = job.set_value(short, "limits.spread", "3/8 in")
    after = job.set_value(after, "loads.snow.roof", "25 psf")
    after = job.set_value(after, "site.pool", False)
    read = job.loads(after)
    assert read.limits.spread == pytest.approx(0.375 * 0.0254, rel=1e-15)
    assert read.loads.snow.roof == pytest.approx(25 * 47.88025898, rel=1e-9)
    assert all(line in after for line in short.splitlines())


def test_a_range_a_flag_and_a_count() -> None:
    after = job.set_value(OCTAGON, "support.walls", "stiff")
    after = job.set_value(after, "support.wall_stiffness", ["1 kip/in", "4 kip/in"])
    after = job.set_value(after, "parts.eye_spacers", False)
    after = job.set_value(after, "roof.sides", 12)
    read = job.loads(after)
    assert read.support.wall_stiffness == pytest.approx((175126.8, 700507.3), rel=1e-6)
    assert (read.parts.eye_spacers, read.roof.sides) == (False, 12)
    assert OCTAGON.count("#") == after.count("#")


def test_line_ends_and_the_mark_of_other_editors_stay() -> None:
    windows = "\ufeff" + OCTAGON.replace("\n", "\r\n")
    after = job.set_value(windows, "roof.sides", 9)
    assert after.startswith("\ufeff")
    assert after.count("\r\n") == after.count("\n") == OCTAGON.count("\n")


@given(st.text(max_size=80).filter(lambda text: "\r" not in text))
def test_whatever_is_typed_stays_one_value(typed: str) -> None:
    after = job.set_value(OCTAGON, "job.title", typed)
    try:
        assert job.loads(after).title == typed
    except InputError as fault:
        told = {(found.code, found.key) for found in fault.findings}
    else:
        told = {("IN-001", "job.title")}
    assert told == {("IN-001", "job.title")}


def test_what_cannot_be_changed() -> None:
    with pytest.raises(InputError, match=r"IN-004 roof\.rize"):
        job.set_value(OCTAGON, "roof.rize", "1 ft")
    with pytest.raises(InputError, match="IN-004 roof"):
        job.set_value(OCTAGON, "roof", "1 ft")
    with pytest.raises(InputError, match="IN-020"):
        job.set_value("[roof\n", "roof.rise", "1 ft")
    with pytest.raises(InputError, match="IN-026"):
        job.set_value("a = " + "[" * 100_000, "roof.rise", "1 ft")
    with pytest.raises(InputError, match=r"IN-006 roof = 3, but it must be a table"):
        job.set_value("roof = 3\n", "roof.rise", "1 ft")


def test_an_edit_that_goes_on_from_another_is_one_of_the_text_read_anew() -> None:
    """A space at the end makes the text one that was not written out before."""
    edits: tuple[tuple[str, str | int | list[str] | None], ...] = (
        ("roof.sides", 9),
        ("support.walls", "stiff"),
        ("support.wall_stiffness", ["1 kip/in", "4.5 kip/in"]),
        ("loads.snow.roof", None),
        ("loads.snow.ground", "33 psf"),
        ("loads.snow.exposure", "B fully exposed"),
        ("tie.ring_radius", "7 1/4 in"),
        ("loads.snow.exposure", None),
        ("support.wall_stiffness", None),
        ("roof.rise", "5'-9 3/8\""),
    )
    going_on = anew = OCTAGON
    for key, value in edits:
        if value is None:
            going_on, anew = job.drop_value(going_on, key), job.drop_value(anew + " ", key)
        else:
            going_on, anew = (
                job.set_value(going_on, key, value),
                job.set_value(anew + " ", key, value),
            )
        anew = anew.removesuffix(" ")
        assert going_on == anew, key
        assert job.set_value(going_on + " ", "roof.sides", 9).removesuffix(" ") == going_on
