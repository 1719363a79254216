"""The user's own rows: merged, told, and refused by name whatever the bytes.

Expected figures are the printed ones converted with the exact inch, pound and standard gravity.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay import catalog
from rafterstay.catalog.bring import LARGEST, MOST_ROWS
from rafterstay.catalog.columns import COLUMNS, RATIOS, OwnKind, units_of
from rafterstay.core.errors import DataError, Finding

LBF = 4.4482216152605
INCH = 0.0254
HEAD = "lay,finish,size,strength,mass,label,source\n"
UNITS = "text,text,in,lbf,lb/1000 ft,text,text\n"
ROW = '7x19,galvanized,1/4,6400,111,valley,"Certificate 5512, valley wire"\n'

# One row of each kind, with every column, in units unlike those of the package's tables.
WHOLE: dict[OwnKind, tuple[str, str]] = {
    "rope": (
        "text,text,mm,kN,kg/100 m,kN,text,text,%",
        "1x19,stainless,7,47.5,24.7,3900,sea,Data sheet 12,88",
    ),
    "turnbuckle": (
        "text,mm,1/mm,mm,mm,kN,kg,mm,mm,text,text,%",
        "jaw-jaw,16,0.5,170,320,18.2,1.4,19,,,Data sheet 13,85",
    ),
    "thimble": (
        "text,mm,mm,mm,mm,mm,mm,mm,text,text,%",
        "heavy,7,42,24,58,40,12,7.6,,Data sheet 14,",
    ),
    "sleeve": ("text,mm,mm,mm,-,text,text,%", "zinc-plated copper,7,30,39,4,,Data sheet 15,"),
    "shackle": (
        "text,mm,tonne-force,mm,mm,mm,kg,text,text,%",
        "anchor,13,2,21,16,47,0.36,,Data sheet 16,",
    ),
    "bolt": ("text,mm,MPa,MPa,text,text,%", "8.8,16,640,400,,Data sheet 17,"),
}
NAMES = {
    "rope": "sea 1x19 stainless 7 mm",
    "turnbuckle": "jaw-jaw 16 mm x 170 mm",
    "thimble": "heavy 7 mm",
    "sleeve": "zinc-plated copper oval 7 mm",
    "shackle": "anchor 13 mm",
    "bolt": "8.8 16 mm",
}


def table(*rows: str, head: str = HEAD, units: str = UNITS) -> bytes:
    return (head + units + "".join(rows)).encode()


def faults(files: dict[OwnKind, bytes]) -> list[tuple[str, int | None, int | None]]:
    with pytest.raises(DataError) as caught:
        catalog.read_own(files)
    assert all(found.bound and found.remedy for found in caught.value.findings)
    return [(found.code, found.line, found.column) for found in caught.value.findings]


def told(kind: OwnKind, raw: bytes) -> tuple[Finding, ...]:
    """What is wrong with a file; nothing where its rows were taken."""
    try:
        catalog.read_own({kind: raw})
    except DataError as fault:
        return fault.findings
    return ()


def whole(kind: OwnKind) -> bytes:
    units, row = WHOLE[kind]
    return f"{','.join(column.name for column in COLUMNS[kind])}\n{units}\n{row}\n".encode()


def test_a_rope_of_your_own_stands_beside_the_package() -> None:
    shelves = catalog.read_own({"rope": table("# a remark, with a comma\n\n", ROW)})
    rope = shelves.find("rope", "valley 7x19 galvanized 1/4 in")
    assert rope.strength == pytest.approx(6400 * LBF)
    assert rope.mass == pytest.approx(111 * 0.45359237 / 304.8)
    # EA = D^2/G with the lay's factor 1.40e-5 % in2/lbf.
    assert rope.stiffness == pytest.approx(100 * 0.25**2 / 1.40e-5 * LBF)
    assert str(rope.source) == (
        "Certificate 5512, valley wire (your own row, catalogue/rope.csv line 5)"
    )
    assert rope.source.confidence == 80
    assert shelves.find("rope", "7x19 galvanized 1/4 in").strength == pytest.approx(7000 * LBF)
    assert shelves.names("rope") == (*catalog.names("rope"), rope.name)


@pytest.mark.parametrize("kind", get_args(OwnKind))
def test_every_kind_can_be_brought(kind: OwnKind) -> None:
    shelves = catalog.read_own({kind: whole(kind)})
    part = shelves.find(kind, NAMES[kind])
    (own,) = shelves.own
    assert (own.part, own.kind, own.line) == (part, kind, 3)
    assert own.file == f"catalogue/{kind}.csv"
    assert f"Data sheet 1{2 + get_args(OwnKind).index(kind)}" in str(part.source)


def test_figures_of_every_kind_come_in_si() -> None:
    shelves = catalog.read_own({kind: whole(kind) for kind in get_args(OwnKind)})
    rope = shelves.find("rope", NAMES["rope"])
    assert (rope.diameter, rope.strength, rope.mass) == pytest.approx((0.007, 47.5e3, 0.247))
    assert (rope.stiffness, rope.source.confidence) == pytest.approx((3.9e6, 88))
    body = shelves.find("turnbuckle", NAMES["turnbuckle"])
    assert (body.thread, body.threads_per_metre) == pytest.approx((0.016, 500.0))
    assert (body.take_up, body.closed, body.mass) == pytest.approx((0.170, 0.320, 1.4))
    assert body.jaw_opening == pytest.approx(0.019)
    assert body.pin is None
    thimble = shelves.find("thimble", NAMES["thimble"])
    assert (thimble.overall_width, thimble.thickness) == pytest.approx((0.040, 0.012))
    sleeve = shelves.find("sleeve", NAMES["sleeve"])
    assert (sleeve.material, sleeve.presses) == ("zinc-plated copper", 4)
    shackle = shelves.find("shackle", NAMES["shackle"])
    assert shackle.working_load == pytest.approx(2 * 9806.65)
    assert (shackle.pin, shackle.inside_length, shackle.mass) == (0.016, 0.047, 0.36)
    bolt = shelves.find("bolt", NAMES["bolt"])
    assert (bolt.yield_bending, bolt.shear, bolt.grade) == (6.4e8, 4.0e8, "8.8")


def test_the_fingerprint_follows_figures_and_units_not_the_place() -> None:
    moved = catalog.read_own({"rope": table("# one more line\n", ROW)}).own[0]
    first = catalog.read_own({"rope": table(ROW)}).own[0]
    other = catalog.read_own({"rope": table(ROW.replace("6400", "6401"))}).own[0]
    metric = catalog.read_own(
        {"rope": table(ROW.replace("1/4", "6"), units=UNITS.replace(",in,", ",mm,"))}
    ).own[0]
    assert moved.sha256 == first.sha256
    assert len({first.sha256, other.sha256, metric.sha256}) == 3


def test_a_missing_part_tells_near_names_of_your_own() -> None:
    shelves = catalog.read_own({"rope": table(ROW)})
    with pytest.raises(DataError, match="DA-010.*valley 7x19 galvanized 1/4 in"):
        shelves.find("rope", "vally 7x19 galvanized 1/4 in")


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        pytest.param(b"x" * (LARGEST + 1), [("DA-051", None, None)], id="too large"),
        pytest.param(
            table(*[ROW.replace("6400", f"{6000 + k}") for k in range(MOST_ROWS + 1)]),
            [("DA-051", None, None)],
            id="too many rows",
        ),
        pytest.param(b"lay\n\xff", [("DA-052", 2, 1)], id="no UTF-8"),
        pytest.param(b"lay\ntext\n7x\x0019", [("DA-052", 3, 1)], id="a NUL"),
        pytest.param(b"", [("DA-053", 1, 1)], id="empty"),
        pytest.param(HEAD.encode(), [("DA-053", 1, 1)], id="names only"),
        pytest.param(
            table(ROW, head=HEAD.replace("mass", "weight")),
            [("DA-053", 1, 5), ("DA-053", 1, 1)],
            id="unknown column",
        ),
        pytest.param(
            table(ROW, head=HEAD.replace("mass", "size")),
            [("DA-053", 1, 5), ("DA-053", 1, 1)],
            id="column twice",
        ),
        pytest.param(
            table(head=HEAD.replace(",source", ""), units=UNITS.replace(",text,text\n", ",text\n")),
            [("DA-053", 1, 1)],
            id="no source column",
        ),
        pytest.param(table(ROW, units="text,text\n"), [("DA-054", 2, 1)], id="units missing"),
        pytest.param(
            table(ROW, units=UNITS.replace("lbf", "in")), [("DA-054", 2, 4)], id="wrong unit"
        ),
        pytest.param(table('7x19,"galv\n'), [("DA-055", 3, 1)], id="open quote"),
        pytest.param(table("7x19,galvanized,1/4\n"), [("DA-055", 3, 1)], id="cells missing"),
        pytest.param(
            table(ROW.replace('"Certificate 5512, valley wire"', "")),
            [("DA-056", 3, 7)],
            id="no source",
        ),
        pytest.param(table(ROW.replace("6400", "")), [("DA-056", 3, 4)], id="no strength"),
        pytest.param(table(ROW.replace("6400", "6,4")), [("DA-055", 3, 1)], id="comma"),
        pytest.param(table(ROW.replace("6400", "nan")), [("DA-057", 3, 4)], id="not a number"),
        pytest.param(table(ROW.replace("6400", "-6400")), [("DA-057", 3, 4)], id="below 0"),
        pytest.param(table(ROW.replace("1/4", "250")), [("DA-057", 3, 3)], id="too thick"),
        pytest.param(table(ROW.replace("7x19", "7x91")), [("DA-057", 3, 1)], id="unknown lay"),
        pytest.param(
            table(ROW.replace("valley,", "stainless,")), [("DA-057", 3, 6)], id="telling label"
        ),
        pytest.param(
            table(ROW.replace("6400", "64000")), [("DA-058", 3, 4)], id="ten times as strong"
        ),
        pytest.param(
            table(ROW.replace("valley,", ",")), [("DA-059", 3, 1)], id="name of the package"
        ),
        pytest.param(table(ROW, ROW), [("DA-059", 4, 1)], id="name twice"),
    ],
)
def test_a_fault_is_named_with_its_place(
    raw: bytes, expected: list[tuple[str, int | None, int | None]]
) -> None:
    assert faults({"rope": raw}) == expected


def test_all_faults_are_told_at_once_over_all_files() -> None:
    bad = table(ROW.replace("1/4", "0"), ROW.replace("6400", "x"), ROW.replace("7x19", "8x8"))
    found = faults({"rope": bad, "bolt": b"grade\ntext\n"})
    assert found[:3] == [("DA-057", 3, 3), ("DA-057", 4, 4), ("DA-057", 5, 1)]
    assert {code for code, _, _ in found[3:]} == {"DA-053"}
    many = faults({"rope": table(*[f"7x7,gold,{k},1,1,a,b\n" for k in range(99)])})
    assert len(many) == 41


def test_a_count_is_whole_and_a_name_is_short() -> None:
    units, row = WHOLE["sleeve"]
    head = ",".join(column.name for column in COLUMNS["sleeve"])
    halves = f"{head}\n{units}\n{row.replace(',4,', ',4-1/2,')}\n".encode()
    assert faults({"sleeve": halves}) == [("DA-057", 3, 5)]
    words = ",".join(column.name for column in COLUMNS["bolt"])
    long = f"{words}\n{WHOLE['bolt'][0]}\n{WHOLE['bolt'][1].replace('8.8', 'x' * 31)}\n".encode()
    assert faults({"bolt": long}) == [("DA-057", 3, 1)]


def test_a_folder_is_read_whole_or_refused(tmp_path: Path) -> None:
    assert catalog.load_own(tmp_path) is catalog.STANDARD
    inside = tmp_path / "catalogue"
    inside.mkdir()
    assert catalog.load_own(tmp_path) is catalog.STANDARD
    (inside / "rope.csv").write_bytes(table(ROW))
    (inside / ".rope.csv.swp").write_bytes(b"\0")
    assert [own.part.name for own in catalog.load_own(tmp_path).own] == [
        "valley 7x19 galvanized 1/4 in"
    ]
    (inside / "ropes.csv").write_bytes(table(ROW))
    (inside / "bolt.csv").mkdir()
    os.mkfifo(inside / "sleeve.csv")
    with pytest.raises(DataError) as caught:
        catalog.load_own(tmp_path)
    assert [(one.code, one.file) for one in caught.value.findings] == [
        ("DA-050", "catalogue/bolt.csv"),
        ("DA-050", "catalogue/ropes.csv"),
        ("DA-050", "catalogue/sleeve.csv"),
    ]


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "catalogue").write_text("rope")
    with pytest.raises(DataError, match="DA-050"):
        catalog.load_own(tmp_path)
    (tmp_path / "catalogue").unlink()
    (tmp_path / "catalogue").symlink_to(tmp_path / "nowhere")
    with pytest.raises(DataError, match="DA-050"):
        catalog.load_own(tmp_path)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(get_args(OwnKind)), st.binary(max_size=300))
def test_any_bytes_give_rows_or_named_faults(kind: OwnKind, raw: bytes) -> None:
    assert all(one.code.startswith("DA-05") and one.bound for one in told(kind, raw))


CELLS = st.sampled_from(
    ["", "0", "1/0", "1/4", "6.35", "1e99", "7x19", "galvanized", "=1+1", '"', "é", "x" * 200, "-3"]
)


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(get_args(OwnKind)), st.lists(CELLS, min_size=12, max_size=12))
def test_any_cells_give_rows_or_named_faults(kind: OwnKind, cells: list[str]) -> None:
    columns = COLUMNS[kind]
    head = ",".join(column.name for column in columns)
    units = ",".join(units_of(column.quantity)[-1] for column in columns)
    body = ",".join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in cells[: len(columns)])
    found = told(kind, f"{head}\n{units}\n{body}\n".encode())
    assert all((one.line or 0) <= 3 and one.remedy for one in found)


@pytest.mark.parametrize("kind", get_args(OwnKind))
def test_bounds_and_ratios_let_every_row_of_the_package_pass(kind: OwnKind) -> None:
    """What the package read from standards and sheets lies within what a row may hold."""
    for name in catalog.names(kind):
        part = catalog.find(kind, name)
        for column in COLUMNS[kind]:
            field = {"size": "diameter", "pitch_count": "threads_per_metre"}.get(
                column.name, column.name
            )
            value = getattr(part, field, None)
            if isinstance(value, float):
                assert column.least <= value <= column.most, (name, column.name)
        for ratio in RATIOS[kind]:
            above, below = (
                getattr(part, "diameter" if of == "size" else of)
                for of in (ratio.above, ratio.below)
            )
            assert ratio.least <= above / below**ratio.power <= ratio.most, (name, ratio)
