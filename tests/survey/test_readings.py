"""Faults of a readings file: each is named with its row and column, all at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rafterstay.core.errors import Finding, InputError
from rafterstay.survey import parse, read
from rafterstay.survey.nouns import DEFAULT_SIGMA
from rafterstay.survey.readings import LARGEST_FILE, MOST_FINDINGS, MOST_ROWS

HEAD = "from,to,kind,value,sigma\n"
GOOD = HEAD + "1,2,level,9'-2 1/4\",\n"
FEET = [str(k) for k in range(1, 9)]


def findings(data: bytes | str, points: list[str] | None = None) -> tuple[Finding, ...]:
    with pytest.raises(InputError) as caught:
        parse(data, file="feet.csv", points=points or [])
    return caught.value.findings


def one(rows: str, points: list[str] | None = None) -> Finding:
    (found,) = findings(HEAD + rows, points)
    return found


def test_a_file_as_a_builder_writes_it() -> None:
    text = (
        "# north wall first, 55 degF\n"
        "\n"
        "From, To, Kind, Value, Sigma\n"
        "1, 2, level, 9'-2 1/4\", 1/8 in\n"
        '1,2,level,"9\'-2 5/16""",\n'
        " t3 ,3,height,-0.912 m\n"
        "# 4,5,level,rained off,\n"
        "hub,7,slope,4.02 m,\n"
    )
    readings = parse(text)
    assert [(r.start, r.end, r.kind, r.line) for r in readings] == [
        ("1", "2", "level", 4),
        ("1", "2", "level", 5),
        ("t3", "3", "height", 6),
        ("hub", "7", "slope", 8),
    ]
    assert readings[0].value == pytest.approx(110.25 * 0.0254, abs=1e-12)
    assert readings[0].sigma == pytest.approx(0.0254 / 8, abs=1e-12)
    assert readings[1].text == "9'-2 5/16\""
    assert readings[2].value == -0.912
    assert readings[1].sigma == DEFAULT_SIGMA == 0.0254 / 16


def test_the_same_line_twice_is_two_readings() -> None:
    assert len(parse(HEAD + "1,2,level,3 m,\n1,2,level,3 m,\n")) == 2


@pytest.mark.parametrize("mark", [b"\xef\xbb\xbf", b""])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_byte_order_mark_of_utf_8_and_any_line_end_are_no_fault(mark: bytes, end: str) -> None:
    assert len(parse(mark + GOOD.replace("\n", end).encode())) == 1


@pytest.mark.parametrize(
    "data",
    [GOOD.encode("utf-16"), b"PK\x03\x04\x14\x00\x06\x00" + bytes(range(256)), GOOD + "\x00"],
)
def test_what_is_not_text(data: bytes | str) -> None:
    assert [f.code for f in findings(data)] == ["SV-002"]


def test_the_line_of_a_byte_that_is_not_text() -> None:
    (found,) = findings(GOOD.encode() + b"1,2,level,9\xb4,\n")
    assert (found.code, found.line) == ("SV-002", 3)


def test_too_large_and_too_many(tmp_path: Path) -> None:
    large = tmp_path / "large.csv"
    large.write_bytes(HEAD.encode() + b"#" * LARGEST_FILE)
    with pytest.raises(InputError, match=r"SV-001 large\.csv: readings = more than 5 MB"):
        read(large)
    rows = "1,2,level,3 m,\n" * (MOST_ROWS + 1)
    (found,) = findings(HEAD + rows)
    assert (found.code, found.value) == ("SV-003", "20001 rows")
    assert len(parse(HEAD + rows[: -len("1,2,level,3 m,\n")])) == MOST_ROWS


@pytest.mark.parametrize("head", ["a,b,c,d,e", "to,from,kind,value,sigma", "1,2,level,3 m,"])
def test_a_wrong_heading(head: str) -> None:
    found = findings(f"# mine\n{head}\n1,2,level,3 m,\n")
    assert [(f.code, f.line) for f in found] == [("SV-004", 2)]


@pytest.mark.parametrize("text", ["", "\n \n", "# nothing yet\n", HEAD, HEAD + "# 1,2\n,,,,\n"])
def test_no_readings(text: str) -> None:
    assert [f.code for f in findings(text)] == ["SV-012"]


@pytest.mark.parametrize(
    ("row", "code", "column"),
    [
        ("1,2,level", "SV-005", None),
        ("1,2,level,3,5 m,1/16 in", "SV-005", None),
        ("9x,2,level,3 m,", "SV-006", 1),
        ("1,center,level,3 m,", "SV-006", 2),
        (",2,level,3 m,", "SV-006", 1),
        ("0,2,level,3 m,", "SV-006", 1),
        ("4,4,level,3 m,", "SV-007", 2),
        ("1,2,Slop,3 m,", "SV-008", 3),
        ("1,2,,3 m,", "SV-008", 3),
        ("1,2,level,,", "SV-009", 4),
        ("1,2,level,long,", "SV-009", 4),
        ("1,2,level,12.5,", "SV-009", 4),
        ("1,2,level,3 kg,", "SV-009", 4),
        ("1,2,level,nan m,", "SV-009", 4),
        ("1,2,level,-3 m,", "SV-010", 4),
        ("1,2,slope,0 in,", "SV-010", 4),
        ("1,2,height,-4000 ft,", "SV-010", 4),
        ("1,2,level,3 m,-1/16 in", "SV-011", 5),
        ("1,2,level,3 m,0 in", "SV-011", 5),
        ("1,2,level,3 m,2 ft", "SV-011", 5),
        ("1,2,level,3 m,0.1", "SV-009", 5),
    ],
)
def test_a_faulty_row_is_named_with_row_and_column(row: str, code: str, column: int | None) -> None:
    found = one("1,2,level,3 m,\n" + row + "\n")
    assert (found.code, found.file, found.line, found.column) == (code, "feet.csv", 3, column)
    assert found.bound


def test_a_point_the_frame_does_not_have() -> None:
    found = one("1,12,level,3 m,\n", FEET)
    assert (found.code, found.column, found.value) == ("SV-006", 2, "12")
    assert "1, 2, 3, 4, 5, 6, 7, 8" in found.bound
    assert one("t1,2,level,3 m,\n", FEET).code == "SV-006"


def test_near_matches_are_offered() -> None:
    assert "centre" in one("1,center,level,3 m,\n").remedy
    assert "slope" in one("1,2,slop,3 m,\n").remedy


def test_all_faults_are_told_at_once() -> None:
    found = findings(HEAD + "1,1,lvl,3,\n1,2,level,3 m,\n2,x,height,blue,-1 in\n")
    assert [(f.code, f.line, f.column) for f in found] == [
        ("SV-007", 2, 2),
        ("SV-008", 2, 3),
        ("SV-009", 2, 4),
        ("SV-006", 4, 2),
        ("SV-009", 4, 4),
        ("SV-011", 4, 5),
    ]


def test_a_file_of_nothing_but_faults_is_cut_short() -> None:
    found = findings(HEAD + "x,2,level,3 m,\n" * 250)
    assert len(found) == MOST_FINDINGS + 1
    assert (found[-1].code, found[-1].value) == ("SV-013", "150 more faults")


def test_a_stray_quotation_mark_spoils_its_own_row_only() -> None:
    found = findings(HEAD + '1,2,level,"3 m,\n2,3,level,4 m,\n')
    assert [(f.code, f.line) for f in found] == [("SV-009", 2)]


def test_a_huge_field_is_a_faulty_row() -> None:
    assert one("1,2,level," + "9" * 200_000 + ",\n").code == "SV-005"


def told(data: bytes | str) -> list[str]:
    """Codes of the findings; none where the data are readings."""
    try:
        found = parse(data)
    except InputError as fault:
        return [f.code for f in fault.findings]
    return [] if all(r.start != r.end and r.sigma > 0.0 for r in found) else ["unfit reading"]


@given(st.binary(max_size=300))
def test_any_bytes_give_readings_or_named_findings(data: bytes) -> None:
    assert all(code.startswith("SV-") for code in told(data))


@given(st.text(alphabet="0123456789',.\" -/#levsophigtm\n", max_size=120))
def test_any_rows_give_readings_or_named_findings(rows: str) -> None:
    assert all(code.startswith("SV-") for code in told(HEAD + rows))
