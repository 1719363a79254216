"""The SVG back end: a well-formed file that fetches and runs nothing."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from rafterstay.sheets.as_svg import to_svg
from rafterstay.sheets.plan import draw_plan
from rafterstay.sheets.scene import Circle, Path, Scene, Text

from .designs import built

SVG = "{http://www.w3.org/2000/svg}"


def test_view_box_counts_millimetres() -> None:
    root = ElementTree.fromstring(to_svg(Scene(279.4, 215.9, "sheet")))
    assert root.attrib["viewBox"] == "0 0 279.4 215.9"
    assert (root.attrib["width"], root.attrib["height"]) == ("279.4mm", "215.9mm")


def test_y_runs_up_on_paper() -> None:
    scene = Scene(100.0, 80.0, "sheet")
    scene.add(Circle("bolt", (10.0, 70.5), 2.0), Path("leg", ((0.0, 0.0), (3.0, 4.0))))
    root = ElementTree.fromstring(to_svg(scene))
    circle, line = root.find(f".//{SVG}circle"), root.find(f".//{SVG}polyline")
    assert (circle.attrib["cx"], circle.attrib["cy"]) == ("10", "9.5")
    assert line.attrib["points"] == "0,80 3,76"


@pytest.mark.parametrize(
    "title",
    ["<script>alert(1)</script>", "a & b", "\"quoted' & <b>", "bell \x07 \x00 \x1b[31m", "\ud800"],
)
def test_user_text_is_printed_literally(title: str) -> None:
    drawn = to_svg(draw_plan(built(8, title=title)))
    root = ElementTree.fromstring(drawn.encode())
    assert {child.tag.removeprefix(SVG) for child in root.iter()} <= {
        *("svg", "title", "rect", "g", "polygon", "polyline", "circle", "text")
    }
    words = "".join(child.text or "" for child in root.iter(f"{SVG}text"))
    shown = "".join(mark if mark.isprintable() else ascii(mark)[1:-1] for mark in title)
    assert shown.split(" ")[0][:20] in words


def test_nothing_is_fetched_or_run() -> None:
    drawn = to_svg(draw_plan(built(10)))
    assert re.findall(r"(?i)href|url\(|@import|<style|<script|<image|on\w+=", drawn) == []
    assert re.findall(r"https?://[^\s\"]+", drawn) == ["http://www.w3.org/2000/svg"]


def test_text_stays_text() -> None:
    scene = Scene(50.0, 50.0, "sheet")
    scene.add(Text("text", (5.0, 5.0), "1212 lb  0.88", 2.5, "middle", angle=30.0, bold=True))
    text = ElementTree.fromstring(to_svg(scene)).find(f".//{SVG}text")
    assert text.text == "1212 lb  0.88"
    assert text.attrib["transform"] == "rotate(-30 5 45)"


def test_the_same_design_gives_the_same_bytes() -> None:
    assert to_svg(draw_plan(built(12))) == to_svg(draw_plan(built(12)))
