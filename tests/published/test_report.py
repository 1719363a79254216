"""The verification page: current, honest in its counts, and every erratum in use."""

from __future__ import annotations

from rafterstay.core.sources import Source
from tests.published.printed import Row, errata
from tests.published.report import PAGE, Module, _checks, _counted, modules, page


def test_the_page_is_written_from_the_rows() -> None:
    told = PAGE.read_text(encoding="utf-8")
    assert told == page(modules()), "run python -m tests.published.report"


# Ids of the checks as the contract lists them.
CHECKS = [
    "rope-strength", "rope-lifting", "eye-fit", "eye-pin", "ring-pull", "ring-bend",
    "ring-clearance", "ring-welded", "hubplate-net", "hubplate-bearing", "hubplate-tearout",
    "turnbuckle-load", "turnbuckle-thread", "shackle-load", "bolt-yield", "bolt-steel",
    "bolt-distances", "wood-splitting", "wood-net", "rafter-bending", "rafter-stability",
    "rafter-shear", "rafter-bearing", "rafter-deflection", "rafter-hole", "ply-buckling",
    "ply-blocks", "plate-bending", "plate-joint", "hub-bearing", "hub-shear", "hub-tension",
    "hub-drop", "holddown", "wall-spread", "ring-sag", "ring-shift", "leg-slack", "leg-lost",
    "ring-lost", "unbalanced-snow",
]  # fmt: skip


def test_every_check_is_told_with_its_figures_or_that_there_are_none() -> None:
    found = dict(_checks(modules()))
    assert sorted(found) == [f"`{check}`" for check in sorted(CHECKS)]
    assert all(
        told.isdigit() or told.startswith("no published value found") for told in found.values()
    )


def test_every_erratum_is_claimed_by_a_row_and_explained() -> None:
    claimed = {row.erratum for module in modules() for row in module.rows if row.erratum}
    assert claimed == set(errata())
    for entry in errata().values():
        assert set(entry) == {"source", "place", "printed", "ours", "reason"}


def test_no_row_stands_twice() -> None:
    told = [(module.source, str(row), row.serves) for module in modules() for row in module.rows]
    assert len(told) == len(set(told))


def test_a_module_with_remembered_rows_says_so_with_its_confidence() -> None:
    for module in modules():
        text = (PAGE.parents[1] / "tests" / "published" / f"{module.name}.py").read_text("utf-8")
        head = text.partition('"""')[2].partition('"""')[0].lower()
        how = {row.obtained or module.source.obtained for row in module.rows}
        assert "memory" not in how or ("memory" in head and "%" in head), module.name


def test_only_read_and_remembered_rows_count_and_eight_a_formula() -> None:
    source = Source("A book", "", "", "computed", 99)
    row = Row("q", "1", "-", serves="f", computed=lambda: 1.0)
    read = [Row(f"r{k}", "1", "-", serves="g", computed=float, obtained="read") for k in range(11)]
    counted = _counted((Module("test_book", source, (row, *read)),))
    assert [how for _, how in counted] == ["read"] * 8
