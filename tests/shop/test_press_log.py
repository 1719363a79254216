"""Sleeves: by the rule or not, gauged or not, and what the job folder keeps of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay.catalog import STANDARD
from rafterstay.core.errors import InputError
from rafterstay.job.examples import example
from rafterstay.shop.eye import eye_of
from rafterstay.shop.press_file import COLUMNS, LARGEST_FILE, parse_presses, read_presses
from rafterstay.shop.press_log import (
    LEG_EYES,
    EyePulled,
    Pressed,
    allowed_orders,
    faults_of,
    from_log,
    pulled_in,
    pulled_name,
    readiness,
    ring_missing,
    ring_sleeves,
    to_log,
    untested,
)
from rafterstay.shop.pull_file import COLUMNS as PULLS
from rafterstay.shop.pull_file import parse_pulls, pull_from_log, pull_to_log
from rafterstay.shop.ring_rope import ring_sleeve
from rafterstay.store import create_folder
from tests.shop.benches import INCH, LBF, designed

TIE = designed("octagon").tie
EYE = eye_of(TIE.rope, TIE.thimble, TIE.sleeve)
GOOD = Pressed(
    leg=3,
    eye="ring eye",
    reel="B-17",
    sleeve="copper oval 1/4 in",
    tool="bench tool, die 1/4",
    presses=3,
    order="2-1-3",
    tail_before=9 / 16 * INCH,
    tail_after=3 / 8 * INCH,
    gauge="passed",
    who="Ida",
    when="2026-05-02 10:40",
)


def faults(**changes: object) -> tuple[str, ...]:
    return faults_of(replace(GOOD, **changes), TIE, EYE, system="us")  # type: ignore[arg-type]


def test_a_good_sleeve_has_no_fault() -> None:
    assert faults() == ()
    assert faults(order="1-2-3") == ()
    assert faults(order="1, 2, 3") == ()


def test_orders_of_the_bulletins() -> None:
    """Makers' sleeve bulletins, read: 1-2-3 or 2-1-3; 1-2-3-4 or 2-1-3-4."""
    assert allowed_orders(3) == ("1-2-3", "2-1-3")
    assert allowed_orders(4) == ("1-2-3-4", "2-1-3-4")
    assert allowed_orders(1) == ("1",)


@pytest.mark.parametrize("order", ["1-3-2", "3-1-2", "2-3-1", "1-2", "two ends first"])
def test_a_press_between_two_finished_ones_is_a_fault(order: str) -> None:
    assert any("order" in fault for fault in faults(order=order))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"gauge": "not gauged"}, "not gauged"),
        ({"gauge": "failed"}, "gauge failed"),
        ({"presses": 2, "order": "1-2"}, "2 presses, not 3"),
        ({"tail_after": 0.1 * INCH}, "under 1/4"),
        ({"tail_after": 0.7 * INCH}, "over 1/2"),
        ({"tail_after": None}, "not read"),
        ({"sleeve": "copper oval 5/16 in"}, "cut it off"),
    ],
)
def test_each_fault_is_named(changes: dict[str, object], said: str) -> None:
    (fault,) = faults(**changes)
    assert said in fault


def whole_log(n: int) -> list[Pressed]:
    return [replace(GOOD, leg=leg, eye=eye) for leg in range(1, n + 1) for eye in LEG_EYES]


def test_a_leg_is_not_ready_while_a_sleeve_is_not_gauged() -> None:
    log = whole_log(8)
    held = [EyePulled("B-17", "bench tool, die 1/4", 29_000.0, held=True)]
    assert all(one.ready for one in readiness(log, TIE, EYE, system="us", tested=held))
    log.append(replace(GOOD, leg=5, eye="bolt eye", gauge="not gauged"))
    answers = readiness(log, TIE, EYE, system="us", tested=held)
    assert [one.leg for one in answers if not one.ready] == [5]
    assert answers[4].missing == ("bolt eye: not gauged",)
    log.append(replace(GOOD, leg=5, eye="bolt eye"))
    assert all(one.ready for one in readiness(log, TIE, EYE, system="us", tested=held))


def test_a_leg_is_not_ready_without_a_test_eye_of_its_reel_and_tool() -> None:
    log = whole_log(8)
    log[7] = replace(log[7], reel="C-2")  # the ring eye of leg 2
    broke = [
        EyePulled("B-17", "bench tool, die 1/4", 29_000.0, held=True),
        EyePulled("C-2", "bench tool, die 1/4", 21_000.0, held=False),
    ]
    answers = readiness(log, TIE, EYE, system="us", tested=broke)
    assert [one.leg for one in answers if not one.ready] == [2]
    assert untested(log, broke, TIE) == (("C-2", "bench tool, die 1/4"),)


def test_an_eye_that_was_never_logged_is_missing() -> None:
    log = [one for one in whole_log(8) if (one.leg, one.eye) != (6, "inner jaw eye")]
    answers = readiness(log, TIE, EYE, system="us")
    assert answers[5].missing == ("inner jaw eye: not logged",)


def test_the_job_folder_gives_back_what_was_pressed(tmp_path: Path) -> None:
    with create_folder(tmp_path / "room", example("octagon")) as folder:
        for one in (GOOD, replace(GOOD, leg=None, eye="test eye", tail_before=None)):
            folder.append("press_log", to_log(one), who=one.who, taken=one.when)
            entry = folder.entries("press_log")[-1]
            assert from_log(entry.values, who=entry.who, when=entry.taken) == one


def test_the_log_of_proof_pulls_tells_test_eyes_from_legs() -> None:
    part = pulled_name("B-17", "bench tool, die 1/4")
    found = pulled_in(part, pull=28_500.0, held=True)
    assert found == EyePulled("B-17", "bench tool, die 1/4", 28_500.0, held=True)
    assert pulled_in("ring end eye", pull=9_000.0, held=True) is None


HEAD = ",".join(COLUMNS)
LINE = '3,ring eye,B-17,copper oval 1/4 in,"bench tool, die 1/4",3,2-1-3,9/16 in,3/8 in,passed'


def test_a_file_from_the_bench_is_read() -> None:
    other = ",test eye,B-17,x,y,3,1-2-3,,,failed,Ida,now"
    text = f"# May\n{HEAD}\n{LINE},Ida,2026-05-02 10:40\n{other}\n"
    first, second = parse_presses(text.encode())
    assert first == GOOD
    assert (second.leg, second.tail_after, second.gauge) == (None, None, "failed")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (f"{LINE},Ida", "11 cells, but it must be 12 cells"),
        (f"{LINE.replace('3,ring', '0,ring')},Ida,now", "leg = '0'"),
        (f"{LINE.replace('3,ring', '²,ring')},Ida,now", "leg = '²'"),
        (f"{LINE.replace(',3,2', ',some,2')},Ida,now", "presses = 'some'"),
        (f"{LINE.replace('9/16 in', '9/16')},Ida,now", "tail_before = '9/16'"),
        (f"{LINE.replace('9/16 in', '-1 in')},Ida,now", "0 or more"),
        (f"{LINE.replace('passed', 'fine')},Ida,now", "gauge = 'fine'"),
        (f"{LINE},,now", "who is empty"),
    ],
)
def test_each_wrong_cell_is_told_with_its_line(line: str, said: str) -> None:
    with pytest.raises(InputError, match="IN-069") as caught:
        parse_presses(f"{HEAD}\n{line}\n".encode(), file="may.csv")
    (finding,) = caught.value.findings
    assert (finding.file, finding.line) == ("may.csv", 2)
    assert said in str(finding)


@pytest.mark.parametrize(
    "data", [b"", b"leg,eye\n", b"\xff\xfe", HEAD.encode() + b"\n" + b"x" * LARGEST_FILE]
)
def test_a_file_that_is_no_press_log_is_refused(data: bytes) -> None:
    with pytest.raises(InputError, match="IN-069"):
        parse_presses(data)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="IN-069"):
        read_presses(tmp_path / "none.csv")


CELLS = st.sampled_from(
    ["", "3", "0", "-1 in", "9/16 in", "1e999 in", "held", "60 s", "²", '"', "\x00", "nan lb", "="]
)


@given(st.binary(max_size=300) | st.lists(CELLS, max_size=14).map(lambda c: ",".join(c).encode()))
def test_any_bytes_are_entries_or_a_named_fault(data: bytes) -> None:
    """Nothing written at a bench can do more than be refused."""
    for columns, parse in ((COLUMNS, parse_presses), (PULLS, parse_pulls)):
        for text in (data, ",".join(columns).encode() + b"\n" + data):
            codes = set()
            try:
                parse(text)
            except InputError as fault:
                codes = {finding.code for finding in fault.findings}
            assert codes <= {"IN-069"}


def test_the_job_folder_gives_back_what_was_pulled(tmp_path: Path) -> None:
    lines = (
        ',R-4,"bench tool, die 1/4",rig,31.2 kN,0 s,broke,Ida,2026-05-03',
        "5,,,come-along and scale,1725 lb,2 min,held,Jo,2026-05-04",
    )
    pulled = parse_pulls("\n".join([",".join(PULLS), *lines]).encode())
    assert [one.part for one in pulled] == [
        pulled_name("R-4", "bench tool, die 1/4"),
        "leg 5",
    ]
    assert pulled[1].held == 120.0
    assert pulled[1].pull == pytest.approx(1725 * LBF)
    with create_folder(tmp_path / "room", example("octagon")) as folder:
        for one in pulled:
            folder.append("proof_pulls", pull_to_log(one), who=one.who, taken=one.when)
        found = [
            pull_from_log(entry.values, who=entry.who, when=entry.taken)
            for entry in folder.entries("proof_pulls")
        ]
    assert tuple(found) == pulled


def test_a_test_eye_is_good_only_where_it_reached_its_share() -> None:
    """0.90 x 7000 = 6300 lb on 1/4 in 7x19: the rope may break then, the sleeve may not slip."""
    name = ("B-17", "bench tool, die 1/4")
    for pounds, held, good in ((6301, True, True), (6299, True, False), (6900, False, False)):
        one = EyePulled(*name, pounds * LBF, held=held)
        assert one.is_good(TIE.rope) is good
        answers = readiness(whole_log(8), TIE, EYE, system="us", tested=[one])
        assert all(answer.ready is good for answer in answers)


def test_the_lap_of_the_ring_is_gauged_and_its_own_reel_tested() -> None:
    """The octagon's ring rope is 5/16 in: its sleeve, its tail and 0.90 of its 9800 lb."""
    sleeve = ring_sleeve(TIE, STANDARD)
    assert sleeve is not None
    one = replace(
        GOOD,
        leg=None,
        eye=ring_sleeves(1)[0],
        reel="R-9",
        sleeve=sleeve.name,
        tail_after=0.5 * INCH,
    )
    log = [one, replace(one, eye=ring_sleeves(1)[1], gauge="not gauged")]
    weak = [EyePulled("R-9", one.tool, 6400 * LBF, held=True)]
    told = ring_missing(log, TIE, sleeve, system="us", tested=weak)
    assert len(told) == 3
    assert told[1:2] == ("second ring sleeve: not gauged",)
    strong = [EyePulled("R-9", one.tool, 8821 * LBF, held=True)]
    log.append(replace(one, eye=ring_sleeves(1)[1]))
    assert ring_missing(log, TIE, sleeve, system="us", tested=strong) == ()
    assert ring_missing([], TIE, None, system="us") != ()
    # Of two ropes the second has a lap of its own.
    two = replace(TIE, ring_ropes=2)
    left = ring_missing(log, two, sleeve, system="us", tested=strong)
    assert left == ("third ring sleeve: not logged", "fourth ring sleeve: not logged")
