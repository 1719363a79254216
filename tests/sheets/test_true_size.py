"""Templates are true to 0.1 mm in SVG, DXF and PDF, as other readers measure them."""

from __future__ import annotations

import io
import math
import re
import subprocess
from pathlib import Path as File
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from rafterstay import sheets, shop
from rafterstay.sheets.nouns import Sheet

from ..statics.roofs import stated
from .whole import designed

SVG = "{http://www.w3.org/2000/svg}"
DPI = 600
PIXEL = 25.4 / DPI  # [mm]
TRUE = 0.1  # [mm]


@pytest.fixture(scope="module", params=["letter", "a4"])
def drawn(request: pytest.FixtureRequest) -> tuple[Sheet, ...]:
    """The octagon of 12 ft with a ring of 2.4 in, which lies on one tile."""
    done = designed(stated("octagon", tie__ring_radius="2.4 in"))
    return sheets.draw(done, paper=request.param)


def named(drawn: tuple[Sheet, ...], word: str) -> Sheet:
    return next(sheet for sheet in drawn if word in sheet.name)


def in_svg(sheet: Sheet) -> tuple[list[NDArray[np.float64]], list[tuple[float, float, float]]]:
    """Lines and circles of the SVG, in mm from the lower left corner of the paper."""
    root = ElementTree.fromstring(sheets.svg(sheet))
    assert root.attrib["viewBox"].split()[2:] == [
        root.attrib[name].removesuffix("mm") for name in ("width", "height")
    ]
    high = float(root.attrib["height"].removesuffix("mm"))
    lines = [
        np.array([[float(x), high - float(y)] for x, y in (p.split(",") for p in points.split())])
        for kind in ("polyline", "polygon")
        for points in (one.attrib["points"] for one in root.iter(f"{SVG}{kind}"))
    ]
    circles = [
        (float(one.attrib["cx"]), high - float(one.attrib["cy"]), float(one.attrib["r"]))
        for one in root.iter(f"{SVG}circle")
    ]
    return lines, circles


def in_dxf(sheet: Sheet) -> tuple[list[NDArray[np.float64]], list[tuple[float, float, float]]]:
    doc = ezdxf.read(io.StringIO(sheets.dxf(sheet).decode()))
    assert doc.header["$INSUNITS"] == 4  # millimetres
    space = doc.modelspace()
    lines = [np.array([p[:2] for p in one.get_points()]) for one in space.query("LWPOLYLINE")]
    circles = [
        (one.dxf.center.x, one.dxf.center.y, one.dxf.radius) for one in space.query("CIRCLE")
    ]
    return lines, circles


def in_pdf(sheet: Sheet, tmp_path: File) -> NDArray[np.bool_]:
    """Ink on the page: row 0 at its lower edge."""
    path = tmp_path / "page.pdf"
    path.write_bytes(sheets.pdf(sheet))
    subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", path, tmp_path / "page"], check=True
    )
    with Image.open(tmp_path / "page.pgm") as page:
        ink = np.asarray(page)[::-1] < 128
    assert ink.shape[1] * PIXEL == pytest.approx(sheet.width_mm, abs=0.1)
    assert ink.shape[0] * PIXEL == pytest.approx(sheet.height_mm, abs=0.1)
    return ink


def ruler_ends(lines: list[NDArray[np.float64]]) -> tuple[NDArray[np.float64], ...]:
    """The base line of the millimetre ruler: the level line that is nearest to 100 mm long."""
    level = [
        line
        for line in lines
        if len(line) == 2
        and abs(line[0, 1] - line[1, 1]) < 1e-6
        and abs(abs(line[0, 0] - line[1, 0]) - 100.0) < 2.0
    ]
    line = min(level, key=lambda one: abs(abs(one[0, 0] - one[1, 0]) - 100.0))
    return line[0], line[1]


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
@pytest.mark.parametrize("word", ["template-ring", "template-rafter", "template-eye"])
def test_rulers_are_true(drawn: tuple[Sheet, ...], word: str, reader: object) -> None:
    lines, _ = reader(named(drawn, word))  # type: ignore[operator]
    start, end = ruler_ends(lines)
    assert math.dist(start, end) == pytest.approx(100.0, abs=TRUE)
    inches = [
        abs(line[1, 0] - line[0, 0])
        for line in lines
        if len(line) == 2 and -3.0 < line[0, 1] - start[1] < -0.5
    ]
    assert max(inches) == pytest.approx(4 * 25.4, abs=TRUE)


@pytest.mark.parametrize("word", ["template-ring", "template-rafter", "template-eye"])
def test_the_pdf_ruler_is_true(drawn: tuple[Sheet, ...], word: str, tmp_path: File) -> None:
    """Ink of the base line of the ruler in the page's pixels."""
    sheet = named(drawn, word)
    start, _ = ruler_ends(in_svg(sheet)[0])
    ink = in_pdf(sheet, tmp_path)
    row = ink[round(start[1] / PIXEL) - 3 : round(start[1] / PIXEL) + 3].any(axis=0)
    first = round(start[0] / PIXEL)
    left = first - 40 + int(np.argmax(row[first - 40 : first + 40]))
    right = left
    while row[right : right + 4].any():
        right += 1
    # The ticks at both ends are 0.18 mm wide and stand half outside.
    assert (right - left) * PIXEL == pytest.approx(100.0 + 0.18, abs=TRUE)


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
def test_ring_corners_are_true(drawn: tuple[Sheet, ...], reader: object) -> None:
    """Eight corners 2.4 in from their middle, 45 degrees apart."""
    lines, circles = reader(named(drawn, "template-ring"))  # type: ignore[operator]
    (ring,) = [line for line in lines if len(line) == 8]
    middle = ring.mean(axis=0)
    assert np.linalg.norm(ring - middle, axis=1) == pytest.approx(2.4 * 25.4, abs=TRUE)
    sides = np.linalg.norm(ring - np.roll(ring, -1, axis=0), axis=1)
    assert sides == pytest.approx(2 * 2.4 * 25.4 * math.sin(math.pi / 8), abs=TRUE)
    centres = np.array([circle[:2] for circle in circles])
    for corner in ring:
        assert np.linalg.norm(centres - corner, axis=1).min() < TRUE


def test_ring_corners_of_the_pdf_are_true(drawn: tuple[Sheet, ...], tmp_path: File) -> None:
    """Along a side of the ring its ink is found where the corners say, square to the side."""
    sheet = named(drawn, "template-ring")
    (ring,) = [line for line in in_svg(sheet)[0] if len(line) == 8]
    ink = in_pdf(sheet, tmp_path)
    for start, end in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([-along[1], along[0]])
        offsets = np.arange(-1.0, 1.0, PIXEL / 2)
        found = []
        for part in (0.3, 0.5, 0.7):
            points = start + part * (end - start) + offsets[:, None] * across
            hit = ink[(points[:, 1] / PIXEL).astype(int), (points[:, 0] / PIXEL).astype(int)]
            found.append(float(offsets[hit].mean()))
        assert found == pytest.approx([0.0] * 3, abs=TRUE)


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
def test_the_drill_centre_is_true(drawn: tuple[Sheet, ...], reader: object) -> None:
    """A 5/8 in bolt midway between the edges of a 2x8, dressed 7 1/4 in deep (ALSC PS 20)."""
    lines, circles = reader(named(drawn, "template-rafter"))  # type: ignore[operator]
    bolt = 5 / 8 * 25.4
    (hole,) = [circle for circle in circles if abs(circle[2] - bolt / 2) < TRUE]
    longest = sorted(
        (line for line in lines if len(line) == 2),
        key=lambda line: -float(np.linalg.norm(line[1] - line[0])),
    )
    for axis in (0, 1):
        edges = [
            float(line[0, axis])
            for line in longest
            if abs(line[0, axis] - line[1, axis]) < 1e-6
            and abs(abs(line[0, axis] - hole[axis]) - 7.25 * 12.7) < 1.0
            and np.linalg.norm(line[1] - line[0]) > 120.0
        ]
        if len(edges) == 2:
            assert sorted(edge - hole[axis] for edge in edges) == pytest.approx(
                [-7.25 * 12.7, 7.25 * 12.7], abs=TRUE
            )
            return
    raise AssertionError("no pair of edges beside the hole")


def test_the_drill_centre_of_the_pdf_is_true(drawn: tuple[Sheet, ...], tmp_path: File) -> None:
    """The cross through the hole is ink, and its middle lies in the hole's middle."""
    sheet = named(drawn, "template-rafter")
    bolt = 5 / 8 * 25.4
    x, y, r = next(c for c in in_svg(sheet)[1] if abs(c[2] - bolt / 2) < TRUE)
    ink = in_pdf(sheet, tmp_path)

    def middle(line: NDArray[np.bool_], around: float) -> float:
        low = int((around - 1.0) / PIXEL)
        hit = np.flatnonzero(line[low : low + int(2.0 / PIXEL)]) + low
        return float((hit + 0.5).mean() * PIXEL)

    for turn in (45.0, 135.0, 225.0, 315.0):
        # The circle's line, met radially, away from the cross.
        far = np.arange(r - 1.0, r + 1.0, PIXEL / 2)
        px = x + far * math.cos(math.radians(turn + 9.0))
        py = y + far * math.sin(math.radians(turn + 9.0))
        hit = ink[(py / PIXEL).astype(int), (px / PIXEL).astype(int)]
        assert float(far[hit].mean()) == pytest.approx(r, abs=TRUE)
    row = ink[round((y + r + 3.0) / PIXEL)]
    assert middle(row, x) == pytest.approx(x, abs=TRUE)
    column = ink[:, round((x + r + 3.0) / PIXEL)]
    assert middle(column, y) == pytest.approx(y, abs=TRUE)


def test_marks_of_the_eye_are_those_of_the_cut_list() -> None:
    done = designed(stated("octagon"))
    cut = shop.cut(done.job, done.tie, done.forces)
    sheet = named(sheets.draw(done, cut=cut), "template-eye")
    lines, _ = in_svg(sheet)
    (end,) = [line for line in lines if len(line) == 2 and _is_rope_end(line)]
    known = [
        mark.steps * cut.step * 1000.0
        for mark in cut.pieces[0].marks
        if mark.name.startswith("bolt eye")
    ]
    for far in known:
        near = [line for line in lines if len(line) == 2 and abs(line[0, 0] - line[1, 0]) < 1e-6]
        assert min(abs(line[0, 0] - end[0, 0] - far) for line in near) < TRUE


def _is_rope_end(line: NDArray[np.float64]) -> bool:
    """The upright line as long as the 1/4 in rope is thick, leftmost of its kind."""
    return bool(
        abs(line[0, 0] - line[1, 0]) < 1e-6 and abs(abs(line[0, 1] - line[1, 1]) - 6.35) < 1e-2
    )


def test_tiles_join() -> None:
    """A ring too large for one sheet: what leaves a tile enters its neighbour at the same place."""
    done = designed(stated("octagon", tie__ring_radius="7 in"))
    tiles = [s for s in sheets.draw(done) if "template-ring" in s.name]
    assert len(tiles) > 1
    words = [" ".join(text.text for text in tile.scene.texts()) for tile in tiles]
    assert all(re.search(r"TILE [A-C][1-3] OF [A-C][1-3]", said) for said in words)
    total = sum(
        float(np.linalg.norm(line[1] - line[0]))
        for tile in tiles
        for line in in_svg(tile)[0]
        if len(line) == 2
        for shape in [line]
        if _on_ring(shape, 7 * 25.4 * math.cos(math.pi / 8))
    )
    assert total == pytest.approx(8 * 2 * 7 * 25.4 * math.sin(math.pi / 8), rel=0.02)


def _on_ring(line: NDArray[np.float64], apothem: float) -> bool:
    """A piece of a side: longer than 9 mm, in one of the eight ways a side runs."""
    step = line[1] - line[0]
    long = float(np.linalg.norm(step))
    way = math.degrees(math.atan2(step[1], step[0])) % 45.0
    return 9.0 < long < apothem and abs(way - 22.5) < 0.5
