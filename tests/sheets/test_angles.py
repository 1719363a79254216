"""Angles on paper: drawn as arcs, and real angular dimensions in DXF, measured by its reader."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from ezdxf.document import Drawing

from rafterstay import design, sheets
from rafterstay.job import Job
from rafterstay.sheets.as_dxf import to_dxf
from rafterstay.sheets.nouns import Sheet
from rafterstay.sheets.scene import Angle, Scene

from ..statics.roofs import stated
from .test_every import crossed, judge
from .test_hub import ringed
from .test_measured import MOVED, _surveyed
from .test_outputs import read
from .test_true_size import in_dxf, named
from .whole import designed

THREE_POINTS = 5  # dimtype of an angular dimension through three points (DXF group code 70)


def angles(doc: Drawing) -> list[Any]:
    return [one for one in doc.modelspace().query("DIMENSION") if one.dimtype == THREE_POINTS]  # type: ignore[attr-defined]


def angles_of(sheet: Sheet) -> list[tuple[float, str]]:
    """Measured, and as lettered."""
    return [(one.get_measurement(), one.dxf.text) for one in angles(read(sheets.dxf(sheet)))]


def drawn(job: Job, name: str) -> list[Sheet]:
    return [sheet for sheet in sheets.draw(designed(job)) if name in sheet.name]


@pytest.mark.parametrize("scale", [1.0, 37.0])
@pytest.mark.parametrize(("first", "last"), [(10.0, 47.5), (-30.0, 200.0), (170.0, 191.0)])
def test_an_angle_measures_from_its_first_line_to_its_second(
    first: float, last: float, scale: float
) -> None:
    scene = Scene(200.0, 200.0, "sheet")
    ends = [
        (100.0 + 31.0 * math.cos(math.radians(a)), 90.0 + 31.0 * math.sin(math.radians(a)))
        for a in (first, last)
    ]
    scene.add(Angle("dimension", (100.0, 90.0), ends[0], ends[1], 19.0, "x deg", 3.5))
    (one,) = angles(read(to_dxf(scene, scale=scale)))
    assert one.get_measurement() == pytest.approx(last - first, abs=1e-6)
    # What is drawn lies on the arc, between the lines.
    arc = np.array(max((p.points for p in scene.shapes[0].lines()), key=len))  # type: ignore[union-attr]
    assert np.linalg.norm(arc - (100.0, 90.0), axis=1) == pytest.approx(19.0)
    turns = np.degrees(np.unwrap(np.arctan2(arc[:, 1] - 90.0, arc[:, 0] - 100.0)))
    assert turns[-1] - turns[0] == pytest.approx(last - first)


def test_the_slope_of_a_hip_is_measured_at_the_hub() -> None:
    """Rise 6 ft from 12 ft to 17 in from the middle."""
    (sheet,) = drawn(ringed(), "-hub")
    slope = math.degrees(math.atan2(72.0, 144.0 - 17.0))
    ((measured, words),) = angles_of(sheet)
    assert measured == pytest.approx(slope, abs=0.01)
    assert words == f"{slope:.1f} deg"


def test_the_section_measures_the_hip_at_its_foot() -> None:
    """Rise 6 ft from 12 ft to the middle, the tie at a third: the wedge under the hip is free."""
    (sheet,) = drawn(stated("octagon", tie__height="1/3"), "-section")
    ((measured, words),) = angles_of(sheet)
    assert measured == pytest.approx(math.degrees(math.atan(0.5)), abs=0.01)
    assert words == "26.6 deg"


@pytest.mark.parametrize("sides", [3, 5, 8, 11])
def test_corners_of_a_small_ring_are_measured_on_its_template(sides: int) -> None:
    """180 - 360/n at every eye whose arc is not cut by a seam."""
    height = "0.1" if sides == 3 else "0"
    job = stated("octagon", roof__sides=sides, tie__ring_radius="2.4 in", tie__height=height)
    found = [one for sheet in drawn(job, "template-ring") for one in angles_of(sheet)]
    assert len(found) == sides
    for measured, words in found:
        assert measured == pytest.approx(180.0 - 360.0 / sides, abs=1e-3)
        assert words.endswith(f": {180.0 - 360.0 / sides:.1f} deg")


def test_a_corner_drawn_alone_is_measured() -> None:
    job = stated("octagon", roof__sides=20, tie__ring_radius="28 in")
    ((measured, words),) = [
        one for sheet in drawn(job, "template-ring") for one in angles_of(sheet)
    ]
    assert measured == pytest.approx(162.0, abs=1e-3)
    assert words == "inside corner 162.0 deg"


def test_an_arc_lies_inside_the_ring_and_starts_on_its_sides() -> None:
    (sheet,) = drawn(stated("octagon", tie__ring_radius="2.4 in"), "template-ring")
    lines, _ = in_dxf(sheet)
    (ring,) = [line for line in lines if len(line) == 8]
    for one in angles(read(sheets.dxf(sheet))):
        corner = np.array(one.dxf.defpoint4)[:2]
        ends = [np.array(point)[:2] for point in (one.dxf.defpoint2, one.dxf.defpoint3)]
        assert np.linalg.norm(ring - corner, axis=1).min() < 0.01
        for end in ends:
            assert np.linalg.norm(ring - end, axis=1).min() < 0.01
        on_arc = np.array(one.dxf.defpoint)[:2]
        middle = ring.mean(axis=0)
        assert np.linalg.norm(on_arc - middle) < np.linalg.norm(corner - middle)


def test_the_ring_sheet_measures_one_corner() -> None:
    (sheet,) = drawn(stated("octagon", tie__ring_radius="9 in"), "06-ring")
    ((measured, words),) = angles_of(sheet)
    assert measured == pytest.approx(135.0, abs=0.01)
    assert words == "135.0 deg"


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("radius", ["2.4 in", "6 in", "13 in", "30 in"])
@pytest.mark.parametrize("sides", [4, 7, 16])
def test_arcs_and_their_figures_keep_clear(sides: int, radius: str, paper: sheets.Paper) -> None:
    job = stated("octagon", roof__sides=sides, tie__ring_radius=radius, tie__height="0.2")
    made = sheets.draw(designed(job), paper=paper)
    judge(made)
    for sheet in made:
        assert sheet.left_out == (), sheet.name
    for name in ("-section", "-hub"):
        assert crossed(named(made, name)) == []


def test_corners_of_a_crooked_roof_are_those_lettered() -> None:
    job = stated("octagon", tie__height="0.3", tie__ring_radius="2.4 in")
    done = design.check(job, built=_surveyed(job, MOVED))
    made = sheets.draw(done)
    judge(made)
    for sheet in made:
        for measured, words in angles_of(sheet):
            assert f"{measured:.1f} deg" in words, sheet.name
