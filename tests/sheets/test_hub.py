"""The hub on paper: a ring of beams is cut as two beams, and measures what the job states."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from rafterstay import sheets
from rafterstay.job import Job
from rafterstay.sheets.nouns import Sheet

from ..statics.roofs import stated
from .test_every import cutting, judge
from .test_outputs import read
from .test_true_size import in_dxf, in_svg, named
from .whole import designed

INCH = 25.4  # [mm]
SIDES = (5, 8, 11)
Outline = NDArray[np.float64]


def ringed(sides: int = 8, **changes: str) -> Job:
    ring = {
        "roof__hub": "ring",
        "roof__hub_radius": "17 in",
        "roof__hub_width": "2 3/4 in",
        "roof__hub_depth": "8 3/8 in",
    }
    return stated("octagon", roof__sides=sides, **{**ring, **changes})


def hub_sheet(job: Job) -> Sheet:
    return named(sheets.draw(designed(job)), "-hub")


def as_made(sheet: Sheet, reader: object) -> list[Outline]:
    """Outlines of the sheet in inches of the real thing. DXF is drawn at true size."""
    lines, _ = reader(sheet)  # type: ignore[operator]
    scale = (sheet.scale or 1.0) if reader is in_svg else 1.0
    return [line * scale / INCH for line in lines]


def upright(lines: list[Outline], wide: float, deep: float) -> list[Outline]:
    """Rectangles of that size whose sides are level and plumb."""
    return [
        line
        for line in lines
        if len(line) in (4, 5)
        and np.ptp(line[:, 0]) == pytest.approx(wide, abs=0.02)
        and np.ptp(line[:, 1]) == pytest.approx(deep, abs=0.02)
    ]


@pytest.mark.parametrize("sides", SIDES)
@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
def test_a_ring_is_cut_as_two_beams(reader: object, sides: int) -> None:
    """Two sections of 2 3/4 x 8 3/8 in, one on each side of the middle, and none across it."""
    job = ringed(sides)
    radius = job.roof.hub_radius / 0.0254
    lines = as_made(hub_sheet(job), reader)
    found = upright(lines, 2.75, 8.375)
    assert len(found) == 2
    left, right = sorted(found, key=lambda line: float(line[:, 0].min()))
    outer = float(right[:, 0].max() - left[:, 0].min())
    assert outer == pytest.approx(2 * radius, abs=0.02)
    assert not upright(lines, outer, 8.375)


@pytest.mark.parametrize("sides", SIDES)
@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
def test_a_ring_is_as_wide_from_above(reader: object, sides: int) -> None:
    """Square to a side, its inner edge lies 2 3/4 in inside its outer edge."""
    job = ringed(sides)
    radius = job.roof.hub_radius / 0.0254
    rings = [line for line in as_made(hub_sheet(job), reader) if len(line) == sides]
    middle = [
        np.linalg.norm(ring - ring.mean(axis=0), axis=1)
        for ring in rings
        if np.ptp(ring[:, 0]) > radius
    ]
    corners = sorted(float(far.mean()) for far in middle if np.ptp(far) < 0.03)
    turn = math.cos(math.pi / sides)
    assert corners == pytest.approx([radius - 2.75 / turn, radius], abs=0.02)


@pytest.mark.parametrize("sides", SIDES)
def test_dimensions_are_the_jobs(sides: int) -> None:
    job = ringed(sides)
    sheet = hub_sheet(job)
    doc = read(sheets.dxf(sheet))
    lengths = [one for one in doc.modelspace().query("DIMENSION") if one.dimtype < 2]
    measured = sorted(one.get_measurement() / INCH for one in lengths)
    radius = job.roof.hub_radius / 0.0254
    assert measured == pytest.approx(sorted([2.75, 8.375, radius]), abs=0.005)
    words = {text.text for text in sheet.scene.texts()}
    assert {'2 3/4"', '8 3/8"'} <= words
    assert not sheet.left_out


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("sides", SIDES)
def test_nothing_lies_on_anything(sides: int, paper: sheets.Paper) -> None:
    done = designed(ringed(sides))
    judge(sheets.draw(done, paper=paper, cut=cutting(done)))


def test_the_section_of_the_roof_cuts_the_ring_too() -> None:
    sheet = named(sheets.draw(designed(ringed())), "-section")
    for reader in (in_svg, in_dxf):
        lines = as_made(sheet, reader)
        assert len(upright(lines, 2.75, 8.375)) == 2
        assert not upright(lines, 34.0, 8.375)


def test_a_disc_is_one_piece() -> None:
    job = stated("octagon", roof__hub="disc", roof__hub_radius="9 in")
    lines = as_made(hub_sheet(job), in_svg)
    blocks = [line for line in lines if np.ptp(line[:, 0]) == pytest.approx(18.0, abs=0.02)]
    assert len(blocks) == 1
