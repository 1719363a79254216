"""The table reader: what it converts and everything it refuses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rafterstay.core import tables
from rafterstay.core.errors import DataError
from rafterstay.core.sources import Source

if TYPE_CHECKING:
    from pathlib import Path

OURS = Source("A trial table", "2026", "page 3", "memory", 83)


def _written(folder: Path, text: str) -> Path:
    path = folder / "trial.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_cells_become_si_and_blanks_are_left_out(tmp_path: Path) -> None:
    path = _written(tmp_path, "size,load,gap\nin,kN,mm or blank\n4-1/2,0.75,\n3/8,6.9e1,11\n")
    first, second = tables.read_table(path, OURS)
    assert first.values == pytest.approx({"size": 0.1143, "load": 750.0})
    assert second.values == pytest.approx({"size": 0.009525, "load": 69e3, "gap": 0.011})
    assert first.printed["size"] == "4-1/2"
    assert first.units["gap"] == "mm"
    assert first.source == OURS


def test_a_percentage_is_the_nearest_number(tmp_path: Path) -> None:
    rows = tables.read_table(_written(tmp_path, "kept\n%\n95\n7\n"), OURS)
    assert [row.values["kept"] for row in rows] == [0.95, 0.07]


def test_a_row_may_say_it_is_less_sure_than_its_file(tmp_path: Path) -> None:
    path = _written(tmp_path, "load,obtained,confidence\nlbf,text,%\n7,read,71\n")
    (row,) = tables.read_table(path, OURS)
    assert (row.source.obtained, row.source.confidence) == ("read", 71)


def test_a_source_column_stands_in_for_the_file_entry(tmp_path: Path) -> None:
    path = _written(tmp_path, "load,source\nlbf,text\n7,Yard test of 3 May\n")
    (row,) = tables.read_table(path, None)
    assert row.source.title == "Yard test of 3 May"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("load\nlbf\n7\n", "DA-001"),
        ("load,source\nlbf,text\n7,\n", "DA-001"),
        ("load,source,obtained\nlbf,text,text\n7,Here,hearsay\n", "DA-001"),
    ],
    ids=["file without source", "row without source", "obtained unheard of"],
)
def test_no_source_is_refused(tmp_path: Path, text: str, code: str) -> None:
    with pytest.raises(DataError, match=code):
        tables.read_table(_written(tmp_path, text), None)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("load\n", r"DA-002 trial\.csv:1"),
        ("load,gap\nlbf\n7,8\n", r"DA-002 trial\.csv:1"),
        ("load,load\nlbf,lbf\n7,8\n", r"DA-002 trial\.csv:1"),
        ("load,gap\nlbf,in\n7\n", r"DA-002 trial\.csv:3: 1 cells"),
        ("load\nstone\n7\n", r"DA-003 trial\.csv:2: load in 'stone'"),
        ("load,gap\nlbf,in\n7,\n", r"DA-004 trial\.csv:3: gap is empty"),
        ("load\nlbf\nseven\n", r"DA-005 trial\.csv:3: load = 'seven'"),
        ("load\nlbf\n-7\n", "DA-005"),
        ("load\nlbf\nnan\n", "DA-005"),
        ("load\nlbf\ninf\n", "DA-005"),
        ("load\nlbf\n3/0\n", "DA-005"),
        ("load\nlbf\n1e999999999\n", "DA-005"),
    ],
)
def test_a_faulty_table_is_refused_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(DataError, match=said):
        tables.read_table(_written(tmp_path, text), OURS)


@pytest.mark.parametrize("entry", ['obtained = "read"', 'title = "T"\nobtained = "heard"'])
def test_an_entry_that_does_not_say_where_or_how_is_refused(tmp_path: Path, entry: str) -> None:
    path = tmp_path / "sources.toml"
    path.write_text(f"[trial]\n{entry}\nconfidence = 90\n", encoding="utf-8")
    with pytest.raises(DataError, match="DA-001"):
        tables.read_sources(path)
