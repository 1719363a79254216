"""A file of readings: what is taken, and the named error of every fault."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay.core.errors import InputError
from rafterstay.tuning import parse, read

HEAD = b"what,where,value,sigma\n"
EVERY = HEAD + (
    b"# two turns of the same evening\n"
    b"temperature,air,67 degF,\n"
    b"pull,3,210 lb,8 lb\n"
    b"pull,3,0.95 kN\n"
    b"corner,2,136.5 deg,\n"
    b"side,7-2,9 1/4 in,1/32 in\n"
    b"offset,5,-1/8 in,\n"
    b"level,8,3 mm,\n"
    b"opening,1,2 3/16 in,\n"
    b"turned,6,-1/12,\n"
    b"turned,2,1/4,\n"
    b"pull,6,180 lb,\n"
)


def _codes(data: bytes, **more: bool) -> list[str]:
    with pytest.raises(InputError) as raised:
        parse(data, legs=8, **more)
    return [found.code for found in raised.value.findings]


def test_every_kind_is_read() -> None:
    """In SI, with its ±; what follows a turn is of the next stage."""
    taken = parse(EVERY, legs=8)
    assert [one.what for one in taken] == [
        "temperature", "pull", "pull", "corner", "side", "offset", "level", "opening",
        "turned", "turned", "pull",
    ]  # fmt: skip
    assert taken[1].value == pytest.approx(934.126, abs=1e-2)
    assert taken[1].sigma == pytest.approx(35.586, abs=1e-2)
    assert taken[2].sigma == pytest.approx(0.04 * 950.0)
    assert (taken[4].where, taken[4].to) == (7, 2)
    assert taken[8].value == pytest.approx(-1 / 12)
    assert [one.stage for one in taken] == [0] * 8 + [1] * 3
    assert taken[-1].named == "pull of leg 6"


@pytest.mark.parametrize(
    ("rows", "codes"),
    [
        (b"pull,9,210 lb,\n", ["TU-006"]),
        (b"pull,0,210 lb,\n", ["TU-006"]),
        (b"side,3-3,9 in,\n", ["TU-006"]),
        (b"side,3,9 in,\n", ["TU-006"]),
        (b"temperature,roof,60 degF,\n", ["TU-006"]),
        (b"pul,3,210 lb,\n", ["TU-005"]),
        (b"pull,3,210,\n", ["TU-007"]),
        (b"pull,3,nan lb,\n", ["TU-007"]),
        (b"pull,3,,\n", ["TU-007"]),
        (b"pull,3,-2 lb,\n", ["TU-008"]),
        (b"corner,3,190 deg,\n", ["TU-008"]),
        (b"pull,3,210 lb,0 lb\n", ["TU-009"]),
        (b"pull,3,210 lb,8 lb,again\n", ["TU-004"]),
        (b"pull;3;210 lb\n", ["TU-004"]),
        (b"turned,3,1/4,\n", ["TU-003"]),
        (b"pul,3,210 lb,\npull,x,210,\n", ["TU-005", "TU-006", "TU-007"]),
    ],
)
def test_a_fault_is_named_with_its_line(rows: bytes, codes: list[str]) -> None:
    """Every fault of the file at once."""
    assert _codes(HEAD + rows) == codes


def test_a_stiff_ring_has_no_corners_to_read() -> None:
    """TU-005, with what to read instead."""
    assert _codes(HEAD + b"corner,3,135 deg,\npull,1,200 lb,\n", rope_ring=False) == ["TU-005"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "TU-003"),
        (HEAD, "TU-003"),
        (b"pull,3,210 lb,\npull,4,210 lb,\n", "TU-004"),
        (b"\xff\xfe" + EVERY, "TU-002"),
        (HEAD + b"pull,3,\x00,\n", "TU-002"),
        (b"x" * 1_000_001, "TU-002"),
        (HEAD + b"pull,3,210 lb,\n" * 5001, "TU-003"),
    ],
)
def test_a_file_that_is_none_is_refused(data: bytes, code: str) -> None:
    assert _codes(data) == [code]


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="TU-001"):
        read(tmp_path / "none.csv", legs=8)


def _ends_well(data: bytes) -> bool:
    """Readings, or findings with codes of this file's own."""
    try:
        parse(data, legs=12)
    except InputError as fault:
        return all(found.code.startswith("TU-") for found in fault.findings)
    return True


@given(st.binary(max_size=300))
def test_bytes_of_any_kind_end_in_readings_or_a_named_error(data: bytes) -> None:
    assert _ends_well(data)
    assert _ends_well(HEAD + data)


@given(st.text(alphabet=" ,.-/'\"0123456789abdefgilnoprstuw#\n", max_size=200))
def test_words_of_any_kind_too(text: str) -> None:
    assert _ends_well(HEAD + text.encode())
