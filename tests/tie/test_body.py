"""Shape and weight of a welded ring and of a hub plate, and where legs pull on them."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from rafterstay import catalog, roof, tie
from rafterstay.core.errors import InputError
from rafterstay.job import Job
from rafterstay.statics.network import chains
from rafterstay.tie import HubPlate, RingBar, Tie
from tests.statics.roofs import solved, stated
from tests.tie.rings import plated, welded

INCH = 0.0254
POUND = 0.45359237


def _rigged(job: Job) -> Tie:
    return tie.rig(job, roof.lay_out(job))


def test_the_bar_lies_outside_the_crowns_and_weighs_what_bar_weighs() -> None:
    """Round bar of 1/2 in weighs 0.668 lb/ft: AISC Manual, weights of bars, from memory, 95 %."""
    rig = _rigged(welded())
    assert isinstance(rig.body, RingBar)
    assert rig.body.radius == pytest.approx(6.25 * INCH)
    feet = 2 * pi * 6.25 / 12
    assert rig.ring_mass / POUND == pytest.approx(0.668 * feet, rel=0.003)
    out = np.linalg.norm(rig.held_points - rig.held_points.mean(axis=0), axis=1)
    assert out == pytest.approx(np.full(8, rig.body.radius))
    crowns = np.linalg.norm(rig.ring_points - rig.held_points.mean(axis=0), axis=1)
    assert crowns == pytest.approx(np.full(8, 6 * INCH))


def test_the_holes_lie_a_shackle_inside_the_crowns() -> None:
    """Plate of 3/8 in weighs 15.3 lb/ft2: AISC Manual, weights of plate, from memory, 95 %."""
    rig = _rigged(plated())
    assert isinstance(rig.body, HubPlate)
    assert rig.body.hole == pytest.approx((7 / 16 + 1 / 32) * INCH)
    assert rig.body.radius == pytest.approx(6 * INCH - 0.036 - rig.body.hole / 2)
    square_feet = (pi * rig.body.rim**2 - 8 * pi / 4 * rig.body.hole**2) / (12 * INCH) ** 2
    plate = rig.ring_mass - 8 * 0.14
    assert plate / POUND == pytest.approx(15.3 * square_feet, rel=0.003)
    out = np.linalg.norm(rig.held_points - rig.held_points.mean(axis=0), axis=1)
    assert out == pytest.approx(np.full(8, rig.body.radius))


@pytest.mark.parametrize("job", [welded(), plated()], ids=["welded", "plate"])
def test_links_span_from_bolt_to_where_the_ring_is_held(job: Job) -> None:
    """Straight and unstretched as drawn, and no softer for what joins eye and ring."""
    rig = _rigged(job)
    links = chains(rig, strain=0.0, rope_factor=1.0)
    apart = np.linalg.norm(rig.bolt_points - links.ring_at[0], axis=1)
    assert links.leg_length[0].sum(axis=1) == pytest.approx(apart, rel=1e-12)
    rope = _rigged(stated())
    rods = links.leg_rate[0, :, 1] * rig.turnbuckle_set
    assert rods == pytest.approx(
        chains(rope, strain=0.0, rope_factor=1.0).leg_rate[0, :, 1] * rope.turnbuckle_set
    )
    assert links.ring_weight[0] == pytest.approx(9.80665 * rig.ring_mass)


@pytest.mark.parametrize("job", [welded(), plated()], ids=["welded", "plate"])
def test_a_stated_ring_is_solved(job: Job) -> None:
    """Even load pulls every leg of a floating ring as it does with a rope ring, within 1 %."""
    forces, rope = solved(job), solved(stated())
    even = [state.id for state in forces.states].index("D+S/balanced")
    assert forces.leg_pull[even] == pytest.approx(rope.leg_pull[even], rel=0.01)
    assert forces.residual.max() < 1e-8 * forces.leg_pull.max()


def test_pulls_on_the_ring_balance_in_its_own_directions() -> None:
    """Nothing pulls it off, nothing turns it, and legs and ring hang from the pulls across."""
    job = welded(roof__hub="disc", roof__hub_radius="8 in", tie__height="0.2")
    rig, forces = _rigged(job), solved(job)
    at = np.arange(8) * pi / 4
    out, along, across = np.moveaxis(forces.ring_load, -1, 0)
    most = forces.leg_pull.max()
    off = out[..., None] * np.stack([np.sin(at), np.cos(at)], axis=1)
    off += along[..., None] * np.stack([np.cos(at), -np.sin(at)], axis=1)
    assert np.abs(off.sum(axis=1)).max() < 1e-4 * most
    assert np.abs(along.sum(axis=1)).max() < 1e-6 * most
    weight = 9.80665 * rig.ring_mass
    hung = 9.80665 * rig.rope.mass * rig.leg_lengths.sum() / 2
    assert (across.sum(axis=1) > weight).all()
    assert (across.sum(axis=1) < weight + hung).all()
    assert np.ptp(out, axis=1).max() > 0.02 * most


@pytest.mark.parametrize(
    ("job", "code"),
    [
        (welded(tie__ring_bar="1 in", tie__ring_radius="1 in"), "IN-062"),
        (plated(tie__plate_hole="1/4 in"), "IN-064"),
        (plated(tie__ring_radius="2 in"), "IN-064"),
    ],
)
def test_what_cannot_be_made_is_refused(job: Job, code: str) -> None:
    with pytest.raises(InputError, match=code):
        _rigged(job)


def test_a_shackle_without_its_sizes_is_named() -> None:
    row = "style,bar,working_load,inside_width,label,source\ntext,in,lbf,in,text,text\n"
    row += "anchor,3/8,2000,0.66,own,our own sheet\n"
    own = catalog.read_own({"shackle": row.encode()})
    job = replace(plated(), catalogue=own)
    job = replace(job, parts=replace(job.parts, shackle="own anchor 3/8 in"))
    with pytest.raises(InputError, match=r"IN-063 parts.shackle = own anchor 3/8 in.*pin"):
        _rigged(job)
