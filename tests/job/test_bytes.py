"""Any bytes are a job or a named fault: no other exception, no hang, bounded memory."""

from __future__ import annotations

import hashlib
import os
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import example as tried
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay import job
from rafterstay.core.errors import Finding, InputError
from rafterstay.job.examples import example
from rafterstay.job.places import find_places
from rafterstay.job.read import LARGEST

OCTAGON = example("octagon").encode()


def fault(source: bytes | Path) -> Finding:
    read: Callable[..., job.Job] = job.loads if isinstance(source, bytes) else job.load
    with pytest.raises(InputError) as caught:
        read(source)
    (found,) = caught.value.findings
    assert found.remedy
    assert found.file
    return found


@pytest.mark.parametrize(
    ("raw", "code", "line", "column"),
    [
        (b"", "IN-023", 1, 1),
        (b" \r\n\t\n", "IN-023", 1, 1),
        (b"\xef\xbb\xbf", "IN-023", 1, 1),
        (b"schema = 1\n\x00", "IN-022", 2, 1),
        (b"a = 'b\xff'", "IN-022", 1, 7),
        ("schema = 1\n".encode("utf-16"), "IN-022", 1, 1),
        (b"\x7fELF\x02\x01\x01\x00\x00", "IN-022", 1, 8),
        (b"schema = 1\n[roof\nsides = 8", "IN-020", 2, 6),
        (b"schema = 1\nroof", "IN-020", 2, 5),
        (b"schema = \n", "IN-020", 1, 10),
        (b'title = "open\n', "IN-020", 1, 14),
        (b'title = """open\n', "IN-020", 1, 16),
        (b"a = 9" + b"9" * 5000, "IN-020", 1, 5006),
        (b"schema = 1\nschema = 1\n", "IN-021", 2, 11),
        (b"[roof]\nsides = 8\n[job]\n[roof]\n", "IN-021", 4, 6),
        (b"a = { b = 1, b = 2 }\n", "IN-021", 1, 19),
        (b"[roof]\nsides = 8\n[roof.sides]\n", "IN-021", 3, 12),
        (b"schema = 1\n#" + b"x" * LARGEST, "IN-024", 1, 1),
    ],
)
def test_what_is_no_job_is_told_with_its_place(
    raw: bytes, code: str, line: int, column: int
) -> None:
    found = fault(raw)
    assert (found.code, found.line, found.column) == (code, line, column)


def test_marks_of_other_editors_do_no_harm() -> None:
    plain = job.loads(OCTAGON)
    windows = b"\xef\xbb\xbf" + OCTAGON.replace(b"\n", b"\r\n")
    read = job.loads(windows)
    assert read.roof == plain.roof
    assert read.sha256 == hashlib.sha256(windows).hexdigest() != plain.sha256
    with pytest.raises(InputError) as caught:
        job.loads(windows.replace(b"sides = 8", b"sides = 2"))
    line = OCTAGON.split(b"\n").index(next(x for x in OCTAGON.split(b"\n") if b"sides = 8" in x))
    assert (caught.value.findings[0].line, caught.value.findings[0].column) == (line + 1, 9)


@pytest.mark.parametrize(
    "bomb",
    [
        b"a = " + b"[" * 400_000,
        b"a = " + b"{a=" * 300_000,
        b"a = " + b"[" * 40 + b"]" * 40,
        b"[" + b"a." * 400_000 + b"a]",
        b"a." * 400_000 + b"a = 1",
        b"a = { " + b"b." * 300_000 + b"c = 1 }",
        b"[x]\n" + b"'a'." * 200_000 + b"a = 1",
    ],
    ids=range(7),
)
def test_nesting_bombs_are_refused(bomb: bytes) -> None:
    assert fault(bomb).code == "IN-026"


@pytest.mark.parametrize(
    "flood",
    [
        b"".join(b"k%d=1\n" % number for number in range(90_000)),
        b"".join(b"[t%d]\n" % number for number in range(90_000)),
        b"[[site]]\n" * 100_000,
        b"a = [" + b"1," * 400_000 + b"]",
        b'a = """' + b'"" ' * 300_000,
        b'a = "' + b"\\" * 900_000,
        b"'" * 900_000,
        b"\n" * 900_000 + b"[",
        b" " * 900_000 + b"x",
        b"[roof]\nrise = '" + b"1/" * 400_000 + b"'",
        b"[roof]\nrise = 0x" + b"f" * 900_000,
        b'"' + b"k" * 900_000 + b'" = 1',
    ],
    ids=range(12),
)
def test_floods_come_to_an_end(flood: bytes) -> None:
    with pytest.raises(InputError) as caught:
        job.loads(flood)
    assert len(caught.value.findings) <= 61
    assert len(str(caught.value)) < 40_000


def test_forty_megabytes_are_not_read(tmp_path: Path) -> None:
    sparse = tmp_path / "job.toml"
    with sparse.open("wb") as handle:
        handle.truncate(40_000_000)
    tracemalloc.start()
    try:
        assert fault(tmp_path).code == "IN-024"
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 5 * LARGEST


def test_a_folder_and_its_file_are_the_same_job(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(OCTAGON)
    read = job.load(tmp_path)
    assert read == job.load(tmp_path / "job.toml") == job.load(str(tmp_path))
    assert read.sha256 == hashlib.sha256(OCTAGON).hexdigest()


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "empty").mkdir()
    for place in ("pipe", "loop", "empty", "missing.toml", "nul\0.toml", "x" * 5000):
        assert fault(tmp_path / place).code == "IN-025"
    assert fault(Path("/dev/zero")).code == "IN-025"


def judged(raw: bytes) -> set[str]:
    """Codes of the findings; empty where the bytes are a job."""
    try:
        job.loads(raw)
    except InputError as told:
        return {
            found.code[:3] if found.line or found.code == "IN-012" else "no place"
            for found in told.findings
        }
    return set()


@given(st.binary(max_size=400))
@tried(b"\xef\xbb\xbf\xef\xbb\xbf")
@tried(b"a = 0x_")
@tried(b"a = 9999-99-99")
@tried(b"a = 00:00:61")
def test_any_bytes(raw: bytes) -> None:
    assert judged(raw) == {"IN-"}


TOML_MARKS = st.text(alphabet="abr.=[]{}\"'\\#,\n \t01-_:TuZ+é", max_size=120)


@settings(max_examples=300)
@given(TOML_MARKS)
def test_any_text_of_toml_marks(text: str) -> None:
    assert judged(text.encode()) == {"IN-"}


@settings(max_examples=200)
@given(
    st.integers(0, len(OCTAGON) - 1),
    st.integers(0, 30),
    st.binary(max_size=12) | TOML_MARKS.map(str.encode),
)
def test_the_example_with_a_piece_replaced(at: int, length: int, piece: bytes) -> None:
    assert judged(OCTAGON[:at] + piece + OCTAGON[at + length :]) <= {"IN-"}


VALUES = st.sampled_from(
    ['"6 ft"', "6", "nan", "inf", "true", "[]", "{}", '"0"', '""', "1979-05-27", '"1/3"', "-1e400"]
)


@settings(max_examples=200)
@given(st.integers(0, OCTAGON.count(b"\n") - 1), VALUES)
def test_the_example_with_any_value_anywhere(number: int, value: str) -> None:
    lines = OCTAGON.decode().splitlines()
    key, equals, _ = lines[number].partition("=")
    lines[number] = f"{key}{equals}{value}" if equals else value
    assert judged("\n".join(lines).encode()) <= {"IN-"}


@settings(max_examples=300)
@given(TOML_MARKS)
def test_places_are_found_in_any_text(text: str) -> None:
    lines = text.split("\n")
    for place in find_places(text).by_path.values():
        assert 1 <= place.line <= place.value_line <= len(lines)
        assert 1 <= place.column <= len(lines[place.line - 1])
