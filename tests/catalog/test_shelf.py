"""The shelves: names found, names missed, rows joined from their tables.

Expected figures are the printed ones converted with the exact inch, pound and standard gravity.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rafterstay import catalog
from rafterstay.catalog import shelf
from rafterstay.core.errors import DataError
from rafterstay.core.tables import read_sources, table
from rafterstay.rope.stretch import TABLES as ROPE_TABLES

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope

LBF = 4.4482216152605
INCH = 0.0254


def test_a_rope_joins_strength_mass_and_stretch() -> None:
    rope = catalog.find("rope", "7x19 stainless 3/16 in")
    assert rope.diameter == pytest.approx(3 / 16 * INCH)
    assert rope.strength == pytest.approx(3700 * LBF)
    assert rope.mass == pytest.approx(65 * 0.45359237 / 304.8)
    assert rope.stiffness == pytest.approx(100 * (3 / 16) ** 2 / 1.62e-5 * LBF)
    assert rope.stiffness_source.confidence == 98


def test_a_metric_rope_has_the_stretch_of_its_lay() -> None:
    rope = catalog.find("rope", "7x19 galvanized 6 mm")
    assert rope.diameter == pytest.approx(0.006)
    assert (rope.strength, rope.mass) == pytest.approx((25.0e3, 0.137))
    assert rope.stiffness == pytest.approx(100 * (6 / 25.4) ** 2 / 1.40e-5 * LBF)


def test_a_turnbuckle_joins_thread_length_load_and_jaws() -> None:
    body = catalog.find("turnbuckle", "jaw-jaw 1/2 in x 6 in")
    assert body.threads_per_metre == pytest.approx(13 / INCH)
    assert body.closed == pytest.approx(0.330)
    assert body.closed + body.take_up == pytest.approx(0.482, abs=0.5e-3)
    assert body.working_load == pytest.approx(2200 * LBF)
    assert body.mass == pytest.approx(1.8 * 0.45359237)  # from memory, 60 %; only its weight
    assert (body.jaw_opening, body.pin) == pytest.approx((0.016, 0.011))
    assert body.jaw_source is not None
    assert body.jaw_source.confidence == 80


@pytest.mark.parametrize("sheet", ["turnbuckle_length_inch", "turnbuckle_length_metric"])
def test_open_less_closed_is_the_take_up_of_the_name(sheet: str) -> None:
    for row in table(shelf.TABLES, sheet):
        travel = row.values["open"] - row.values["closed"]
        assert travel == pytest.approx(row.values["take_up"], abs=0.5e-3)


@pytest.mark.parametrize("take_up", [9, 12])
def test_a_body_of_more_take_up_is_longer_by_the_difference(take_up: int) -> None:
    short = catalog.find("turnbuckle", "jaw-jaw 1/2 in x 6 in")
    body = catalog.find("turnbuckle", f"jaw-jaw 1/2 in x {take_up} in")
    assert body.closed - short.closed == pytest.approx((take_up - 6) * INCH, abs=0.1e-3)
    assert (body.length_source.obtained, body.length_source.confidence) == ("computed", 85)
    assert (body.working_load, body.pin) == (short.working_load, short.pin)


def test_what_the_sheet_does_not_say_stays_out() -> None:
    assert catalog.find("turnbuckle", "jaw-jaw 3/8 in x 6 in").pin is None
    assert catalog.find("shackle", "anchor 7/16 in").inside_width is None


@pytest.mark.parametrize("kind", list(catalog.KINDS))
def test_every_name_is_found_and_has_its_sources(kind: shelf.Kind) -> None:
    assert catalog.names(kind)
    for name in catalog.names(kind):
        part = catalog.find(kind, name)
        assert part.name == name
        assert part.source.title
        assert 0 < part.source.confidence <= 100


@pytest.mark.parametrize("text", ["7x19 galvanised 1/4 in", "7x19 galvanized 1/4in"])
def test_a_misspelt_rope_hears_its_near_match_and_a_remedy(text: str) -> None:
    with pytest.raises(DataError, match=r"DA-010 rope = .*7x19 galvanized 1/4 in.*parts rope"):
        catalog.find("rope", text)


def test_an_unknown_kind_is_told_the_kinds() -> None:
    with pytest.raises(DataError, match=r"DA-011 .*'turnbuckel'.*turnbuckle"):
        catalog.names("turnbuckel")  # type: ignore[arg-type]


def test_species_go_by_depth_where_the_table_does() -> None:
    deep = catalog.species("Southern Pine", "No. 1", 11.25 * INCH)
    shallow = catalog.species("Southern Pine", "No. 1", 5.5 * INCH)
    assert (deep.fb, shallow.fb) == pytest.approx((1000 * LBF / INCH**2, 1350 * LBF / INCH**2))
    fir = catalog.species("Douglas Fir-Larch", "No. 2", 7.25 * INCH)
    assert fir.gravity == 0.50
    assert fir.e_min == pytest.approx(580e3 * LBF / INCH**2)


def test_timbers_are_listed_once() -> None:
    listed = catalog.timbers()
    assert len(listed) == len(set(listed)) == 8
    assert "Southern Pine No. 2" in listed


def test_a_misspelt_species_and_an_unlisted_depth_are_refused() -> None:
    with pytest.raises(DataError, match=r"DA-012 .*Douglas Fir-Larch No\. 2"):
        catalog.species("Douglas Fir Larch", "No. 2", 7.25 * INCH)
    with pytest.raises(DataError, match=r"DA-013 .*7\.5 in.*7\.25 in"):
        catalog.species("Southern Pine", "No. 2", 7.5 * INCH)


def test_a_name_in_two_tables_is_refused() -> None:
    rope: Rope = catalog.find("rope", "7x7 galvanized 3/16 in")
    with pytest.raises(DataError, match="DA-006 rope '7x7 galvanized 3/16 in' stands twice"):
        shelf._by_name("rope", [rope, rope])


def test_every_file_has_its_entry_and_every_entry_its_file() -> None:
    files = {path.stem for path in shelf.TABLES.glob("*.csv")}
    assert files == set(read_sources(shelf.TABLES / "sources.toml"))


@pytest.mark.parametrize("folder", [shelf.TABLES, ROPE_TABLES], ids=["catalog", "rope"])
def test_every_source_names_the_module_that_checks_it(folder: Path) -> None:
    root = Path(__file__).parents[2]
    entries = tomllib.loads((folder / "sources.toml").read_text("utf-8"))
    missing = [name for name, entry in entries.items() if not (root / entry["test"]).is_file()]
    assert missing == []
