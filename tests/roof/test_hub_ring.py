"""A hub ring of beams keeps an opening: past R cos(180 deg/n) inner faces meet in the middle."""

from __future__ import annotations

import math
from contextlib import nullcontext

import pytest
import shapely

from rafterstay import roof
from rafterstay.core.errors import InputError
from rafterstay.roof.lay_out import frame_between

from ..statics.roofs import stated

RING = {"roof__hub": "ring", "roof__hub_radius": "17 in", "roof__hub_depth": "8 3/8 in"}


@pytest.mark.parametrize(
    ("sides", "just", "over", "said"),
    [(3, "8 3/8 in", "8 1/2 in", '8 1/2"'), (5, "13 5/8 in", "13 7/8 in", "1'-1 7/8\"")],
)
def test_beams_leave_an_opening(sides: int, just: str, over: str, said: str) -> None:
    """17 in from the middle to a corner: 8.50 in to a side of three, 13.75 in to one of five."""
    assert roof.lay_out(stated(roof__sides=sides, roof__hub_width=just, **RING)).hub == "ring"
    with pytest.raises(InputError) as refused:
        roof.lay_out(stated(roof__sides=sides, roof__hub_width=over, **RING))
    (found,) = refused.value.findings
    assert (found.code, found.key) == ("IN-072", "roof.hub_width")
    assert found.value == said
    assert 'hub = "disc"' in found.remedy


def test_on_a_surveyed_roof_the_side_that_stands_nearest_counts() -> None:
    """One head stands 60 mm too near the middle: less room than drawn, measured by shapely."""
    widths = {"roof__hub_width": "13 in", **RING}
    drawn = roof.lay_out(stated(roof__sides=5, **widths))
    feet, heads = drawn.nodes[drawn.feet], drawn.nodes[drawn.heads].copy()
    heads[3, :2] *= 1.0 - 0.060 / math.hypot(*heads[3, :2])
    middle = shapely.Point(heads[:, :2].mean(axis=0))
    room = shapely.LinearRing(heads[:, :2]).distance(middle)
    for off, refused in ((-0.002, False), (0.002, True)):
        job = stated(roof__sides=5, **widths | {"roof__hub_width": f"{1000 * (room + off):.3f} mm"})
        with pytest.raises(InputError, match="IN-072") if refused else nullcontext():
            frame_between(job, feet, heads, outward=drawn.outward[:, :2], geometry="measured")
