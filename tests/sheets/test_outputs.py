"""One scene, three outputs: SVG, DXF and PDF say the same, measured by other readers."""

from __future__ import annotations

import io
import math
import subprocess
from pathlib import Path as File

import ezdxf
import pytest
from ezdxf.document import Drawing

from rafterstay import sheets
from rafterstay.sheets.as_dxf import to_dxf
from rafterstay.sheets.nouns import Sheet
from rafterstay.sheets.scene import Circle, Dimension, Path, Scene, Text

from ..statics.roofs import stated
from .whole import designed


def read(drawn: bytes) -> Drawing:
    """The drawing as another library reads it, which must find nothing to complain of."""
    doc = ezdxf.read(io.StringIO(drawn.decode("utf-8")))
    audit = doc.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    return doc


def words_of(pdf: bytes, tmp_path: File) -> str:
    path = tmp_path / "sheets.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(["pdftotext", "-layout", path, "-"], check=True, capture_output=True)
    return done.stdout.decode()


@pytest.mark.parametrize("scale", [1.0, 37.0])
def test_a_dimension_measures_the_real_thing(scale: float) -> None:
    scene = Scene(200.0, 100.0, "sheet")
    start, end = (20.0, 20.0), (20.0 + 300.0 / scale, 20.0 + 400.0 / scale)
    scene.add(Dimension("dimension", start, end, 9.0, "19 5/8 in", 500.0, 3.5))
    scene.add(Dimension("dimension", start, end, 9.0, "300", 300.0, 3.5, angle=0.0))
    doc = read(to_dxf(scene, scale=scale))
    measured = [one.get_measurement() for one in doc.modelspace().query("DIMENSION")]
    assert measured == pytest.approx([500.0, 300.0], abs=1e-6)


def test_a_view_of_its_own_scale_still_states_the_real_length() -> None:
    scene = Scene(200.0, 100.0, "sheet")
    scene.add(Dimension("dimension", (10.0, 10.0), (60.0, 10.0), 5.0, "2 m", 2000.0, 3.5))
    (one,) = read(to_dxf(scene, scale=10.0)).modelspace().query("DIMENSION")
    factor = one.override().get("dimlfac")
    assert one.get_measurement() * factor == pytest.approx(2000.0, abs=1e-6)


@pytest.mark.parametrize("text", ["50%% open", "a^b", "%%c", r"\P {x} \~", "“x” ½ Жук שלום"])
def test_codes_of_the_format_stay_letters(text: str) -> None:
    scene = Scene(100.0, 50.0, "sheet")
    scene.add(Text("text", (5.0, 5.0), text, 3.5))
    (one,) = read(to_dxf(scene)).modelspace().query("TEXT")
    assert one.plain_text() == text


def test_every_pen_is_a_layer_of_its_width() -> None:
    scene = Scene(100.0, 50.0, "sheet")
    scene.add(
        Path("outline", ((1.0, 2.0), (4.0, 6.0), (7.0, 1.0)), closed=True, fill="ink"),
        Circle("leg fine", (3.0, 4.0), 1.5),
    )
    doc = read(to_dxf(scene, scale=20.0))
    line = doc.modelspace().query("LWPOLYLINE").first
    assert line.closed
    assert [tuple(point[:2]) for point in line.get_points()] == [(20, 40), (80, 120), (140, 20)]
    assert doc.layers.get(line.dxf.layer).dxf.lineweight == 50
    circle = doc.modelspace().query("CIRCLE").first
    assert (circle.dxf.layer, circle.dxf.radius) == ("LEG-FINE", 30.0)


@pytest.fixture(scope="module")
def drawn() -> tuple[Sheet, ...]:
    return sheets.draw(designed(stated("octagon")), revision="B", date="2 March")


def test_dimensions_of_the_plan_are_the_jobs(drawn: tuple[Sheet, ...]) -> None:
    """Eight sides of 12 ft: across corners twice that, a side 2 R sin(22.5 deg)."""
    doc = read(sheets.dxf(drawn[0]))
    measured = [one.get_measurement() for one in doc.modelspace().query("DIMENSION")]
    radius = 12 * 304.8
    side = 2 * radius * math.sin(math.radians(22.5))
    assert sorted(measured) == pytest.approx([side, 2 * radius], abs=0.05)


def test_all_three_letter_the_title_block(drawn: tuple[Sheet, ...], tmp_path: File) -> None:
    plan = drawn[0]
    letters = [one.plain_text() for one in read(sheets.dxf(plan)).modelspace().query("TEXT")]
    pdf = words_of(sheets.pdf(plan), tmp_path)
    for words in ("Octagon", "as designed, not measured", "2 March", "B", plan.title):
        assert words in pdf
        assert words in letters
        assert f">{words}</text>" in sheets.svg(plan)


def test_the_same_design_gives_the_same_bytes(drawn: tuple[Sheet, ...]) -> None:
    again = sheets.draw(designed(stated("octagon")), revision="B", date="2 March")
    assert [sheets.svg(sheet) for sheet in again] == [sheets.svg(sheet) for sheet in drawn]
    assert sheets.dxf(again[0]) == sheets.dxf(drawn[0])
    assert sheets.pdf(again) == sheets.pdf(drawn)


def test_a_page_of_the_pdf_is_the_paper(drawn: tuple[Sheet, ...], tmp_path: File) -> None:
    path = tmp_path / "sheets.pdf"
    path.write_bytes(sheets.pdf(drawn))
    said = subprocess.run(["pdfinfo", path], check=True, capture_output=True).stdout.decode()
    pages = next(line for line in said.splitlines() if line.startswith("Pages"))
    assert int(pages.split()[1]) == len(drawn)
    size = next(line for line in said.splitlines() if line.startswith("Page size"))
    assert [float(part) for part in size.split()[2:5:2]] == pytest.approx([792, 612], abs=0.1)
