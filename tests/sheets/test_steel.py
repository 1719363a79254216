"""Rings of steel on paper: holes and bars true to 0.1 mm, lettering apart, nothing off it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rafterstay import sheets
from rafterstay.job import Job
from rafterstay.sheets.nouns import Sheet

from ..statics.roofs import Value
from ..tie.rings import plated, welded
from .test_every import cutting, judge
from .test_true_size import TRUE, in_dxf, in_svg, named
from .whole import designed

INCH = 25.4  # [mm]
SMALL: dict[str, Value] = {"tie__ring_radius": "3.4 in", "tie__plate_edge": "3/4 in"}
MADE = {
    "welded": welded(),
    "welded, 3 legs": welded(roof__sides=3, tie__height="0.1"),
    "welded, 40 legs": welded(roof__sides=40, tie__ring_radius="20 in"),
    "plate": plated(),
    "plate, mm": plated(job__show="si", tie__ring_radius="183 mm", tie__plate_thickness="9 mm"),
    "plate, 3 legs": plated(roof__sides=3, tie__height="0.1"),
    "plate, 64 legs": plated(roof__sides=64, tie__ring_radius="30 in"),
}


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", MADE)
def test_nothing_lies_on_anything(name: str, paper: sheets.Paper) -> None:
    done = designed(MADE[name])
    judge(sheets.draw(done, paper=paper, cut=cutting(done)))


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
def test_the_holes_of_a_plate_are_true(reader: object) -> None:
    """Crown 3.4 in, shackle 36 mm inside, pin 7/16 in and 1/32 in more: eight holes, 45 deg."""
    sheet = _template(plated(**SMALL))
    _, circles = reader(sheet)  # type: ignore[operator]
    bore = (7 / 16 + 1 / 32) * INCH
    rim = max(circles, key=lambda circle: circle[2])
    holes = np.array([c for c in circles if abs(c[2] - bore / 2) < TRUE])
    assert len(holes) == 8
    around = holes[:, :2] - np.array(rim[:2])
    radius = 3.4 * INCH - 36.0 - bore / 2
    assert np.linalg.norm(around, axis=1) == pytest.approx(radius, abs=TRUE)
    assert rim[2] == pytest.approx(radius + 0.75 * INCH, abs=TRUE)
    # Leg 1 up the sheet, the others clockwise.
    turns = np.degrees(np.arctan2(around[:, 0], around[:, 1])) % 360.0
    far = np.abs((np.sort(turns + 1e-6) - 45.0 * np.arange(8) + 180.0) % 360.0 - 180.0)
    assert (far * math.pi / 180.0 * radius).max() < TRUE


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
def test_a_welded_ring_is_true(reader: object) -> None:
    """Clear inside to the crowns, 1/2 in bar outside them; the weld between eyes 8 and 1."""
    sheet = _template(welded(tie__ring_radius="2.3 in"))
    lines, circles = reader(sheet)  # type: ignore[operator]
    sizes = sorted(circle[2] for circle in circles)[-2:]
    assert sizes == pytest.approx([2.3 * INCH, 2.8 * INCH], abs=TRUE)
    middle = np.array(max(circles, key=lambda circle: circle[2])[:2])
    found = []
    for line in lines:
        if len(line) == 2:
            ends = np.linalg.norm(line - middle, axis=1)
            if ends.min() < 2.3 * INCH and ends.max() > 2.8 * INCH:
                out = line.mean(axis=0) - middle
                found.append(math.degrees(math.atan2(out[0], out[1])) % 360.0)
    assert any(abs(turn - 337.5) < 0.1 for turn in found)


def test_words_of_a_ring_of_steel_are_its_makers() -> None:
    bar, plate = (" ".join(_said(job)) for job in (welded(), plated()))
    assert "Round bar 0.500 in, 12.7 mm, ASTM A36." in bar
    # Round the axis, 6.25 in from the middle: 39.270 in.
    assert "39.270 in, 997.5 mm" in bar
    assert "between eyes 8 and 1" in bar
    assert "8 holes of 0.469 in, 11.9 mm" in plate
    for said in (bar, plate):
        assert "Ring rope" not in said


def _template(job: Job) -> Sheet:
    return named(sheets.draw(designed(job)), "template-ring")


def _said(job: Job) -> list[str]:
    sheet = named(sheets.draw(designed(job)), "06-ring")
    return [text.text for text in sheet.scene.texts()]
