"""Ropes that slide, rings that turn, legs that share a point, bands and ties straight across."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sin

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.core.errors import NotConverged
from rafterstay.roof import Frame
from rafterstay.statics import Forces
from rafterstay.tie import Tie
from tests.statics.roofs import FOOT, PSF, half_loaded, solved, stated
from tests.tie.rings import welded


def _rigged(**changes: object) -> tuple[Frame, Tie]:
    job = stated(tie__height="0.2")
    frame = roof.lay_out(job)
    return frame, replace(tie.rig(job, frame), **changes)


def _shared(tie_drawn: Tie) -> Tie:
    """The same legs, all to the ring's centre."""
    centre = tie_drawn.ring_points.mean(axis=0)
    return replace(
        tie_drawn,
        ring="point",
        ring_points=np.tile(centre, (tie_drawn.n, 1)),
        leg_lengths=np.linalg.norm(tie_drawn.bolt_points - centre, axis=1),
    )


def _one_sided(frame: Frame, rig: Tie, extra: np.ndarray | None = None) -> Forces:
    return statics.solve(frame, rig, half_loaded(frame, 31 * PSF, 22.5, 0.3), leg_extra=extra)


@pytest.mark.parametrize("ring", ["rope-seized", "rope-sliding", "welded", "plate", "point"])
def test_every_ring_pulls_a_fan_of_even_load_alike(ring: str) -> None:
    """T = W1 R / (3 (Hr - Hc)) whatever the legs meet in; docs/theory/thrust.md eq. 3."""
    frame, rig = _rigged(ring=ring, ring_mass=2.0)
    rig = _shared(rig) if ring == "point" else rig
    forces = statics.solve(frame, rig, half_loaded(frame, 31 * PSF, 0.0, 1.0))
    slice_load = 31 * PSF * sin(pi / 4) * (12 * FOOT) ** 2 / 2
    thrust = slice_load * 12 / (3 * 6 * 0.8)
    assert forces.first_order[0] == pytest.approx(thrust, rel=0.005)
    assert forces.force_error[0] <= 1e-6 * thrust


def test_a_ring_turned_by_uneven_legs_is_in_balance() -> None:
    """Force and moment of all legs on the welded ring, from what the solver gives alone."""
    frame, rig = _rigged(ring="welded", ring_mass=0.0)
    extra = np.array([0.002, 0.0, -0.001, 0.0005, 0.0, 0.001, 0.0, -0.0003])
    forces = _one_sided(frame, rig, extra)
    level = forces.leg_pull[0][:, None] * forces.pull_direction[0]
    assert np.abs(level.sum(axis=0)[:2]).max() < 1e-4 * forces.leg_pull.max()
    assert np.ptp(forces.leg_pull[0]) > 0.2 * forces.leg_pull.max()
    assert forces.residual[0] < 1e-8 * forces.leg_pull.max()


@pytest.mark.parametrize("bar", ["9/16 in", "5/8 in", "3/4 in"])
def test_many_states_of_a_stiff_ring_come_to_rest_together(bar: str) -> None:
    """Eighty and more, light ones among them: each is at its own rounding in a pass of its own."""
    of_the_ring = {"tie__layout": "ring", "tie__ring_radius": "6 in", "tie__ring_bar": bar}
    job = welded("pavilion", **of_the_ring, parts__bolt="A307 3/8 in")
    forces = solved(job)
    assert len(forces.states) > 80
    assert (forces.residual <= 1e-8 * np.maximum(forces.leg_pull.max(axis=1), 1.0)).all()


def test_a_ring_that_wants_to_turn_far_is_refused() -> None:
    """Legs drawn as chords all one way round spin the ring till they point at its centre."""
    frame, rig = _rigged(ring="plate", ring_radius=0.6)
    turn = np.radians(25.0)
    spin = np.array([[np.cos(turn), np.sin(turn), 0], [-np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    centre = rig.ring_points.mean(axis=0)
    points = centre + 4 * (rig.ring_points - centre) @ spin.T
    lengths = np.linalg.norm(points - rig.bolt_points, axis=1)
    rig = replace(rig, ring_points=points, leg_lengths=lengths)
    with pytest.raises(NotConverged, match="ST-008 .*turns by .* degrees") as caught:
        _one_sided(frame, rig)
    assert caught.value.worst_node == "ring"


def test_a_band_holds_as_a_polygon_of_bars_does() -> None:
    """Thrust of a foot over a side's pull is 2 sin(pi/n), n = 8: statics of a polygon."""
    job = stated(tie__height="0")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    side = np.linalg.norm(np.roll(rig.bolt_points, -1, axis=0) - rig.bolt_points, axis=1)
    for turnbuckles in (True, False):
        band = replace(rig, layout="band", leg_lengths=side, has_turnbuckles=turnbuckles)
        forces = statics.solve(frame, band, half_loaded(frame, 31 * PSF, 0.0, 1.0))
        slice_load = 31 * PSF * sin(pi / 4) * (12 * FOOT) ** 2 / 2
        pull = slice_load * 12 / (3 * 6) / (2 * sin(pi / 8))
        assert forces.first_order[0] == pytest.approx(pull, rel=0.005)
        assert forces.force_error[0] <= 1e-6 * pull
        hips = np.hypot(12 * FOOT, 6 * FOOT)
        on_roof = forces.states[0].case.hip_load.mean(axis=1).sum() * hips
        ropes = 9.80665 * 8 * (rig.rope.mass * side[0])
        assert forces.foot_reaction[0].sum() == pytest.approx(on_roof + ropes, rel=0.02)


def test_ties_straight_across_pull_as_two_hips_thrust() -> None:
    """Four ties between opposite bolts of an octagon, each holding two hips."""
    frame, rig = _rigged()
    across = np.linalg.norm(rig.bolt_points[:4] - rig.bolt_points[4:], axis=1)
    cross = replace(
        rig,
        layout="cross",
        n=4,
        leg_lengths=across,
        bolt_points=rig.bolt_points[:4],
        ring_points=rig.ring_points[:4],
    )
    forces = statics.solve(frame, cross, half_loaded(frame, 31 * PSF, 0.0, 1.0))
    slice_load = 31 * PSF * sin(pi / 4) * (12 * FOOT) ** 2 / 2
    assert forces.first_order.shape == (1, 4)
    assert forces.first_order[0] == pytest.approx(slice_load * 12 / (3 * 6 * 0.8), rel=0.005)


def test_two_ring_ropes_are_as_stiff_and_as_heavy_as_one_of_twice_the_rope() -> None:
    frame, rig = _rigged()
    thick = replace(
        rig.ring_rope, stiffness=2 * rig.ring_rope.stiffness, mass=2 * rig.ring_rope.mass
    )
    two = _one_sided(frame, replace(rig, ring_ropes=2))
    one = _one_sided(frame, replace(rig, ring_rope=thick))
    np.testing.assert_allclose(two.ring_pull, one.ring_pull, rtol=1e-12)
    np.testing.assert_allclose(two.leg_pull, one.leg_pull, rtol=1e-12)
    assert np.abs(two.spread - _one_sided(frame, rig).spread).max() > 1e-5
