"""Sag, shift, drop and shear at the hub as they are told, against statics and geometry by hand."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi, sin, sqrt

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.roof import Frame
from rafterstay.statics import Forces
from rafterstay.tie import Tie
from tests.statics.roofs import FOOT, POUND, PSF, half_loaded, rigid, stated, weightless

INCH = FOOT / 12
GRAVITY = 9.80665  # [m/s2] standard gravity, CGPM 1901


def to_a_steel_ring(frame: Frame, rigged: Tie, mass: float) -> Tie:
    """Plain rope from bolt to a welded ring of a stated mass. [kg]"""
    return replace(rigged, ring="welded", has_turnbuckles=False, ring_mass=mass)


def octagon(height: str, ring: float, *, radius: float) -> tuple[Frame, Tie]:
    """Rigid hips of 6 ft rise on a plate radius [ft], legs to a steel ring of a weight [lb]."""
    job = stated(tie__height=height, roof__plate_radius=f"{radius} ft")
    frame = rigid(roof.lay_out(job))
    return frame, to_a_steel_ring(frame, tie.rig(job, frame), ring * POUND / GRAVITY)


def under_snow(frame: Frame, rigged: Tie, load: float, *, already: float) -> Forces:
    """Even load that gives every hip ``load`` [N] in all; a share lies there at setting."""
    foot = frame.nodes[frame.feet[0]]
    area = sin(2 * pi / frame.n) * float(foot @ foot) / 2
    cases = half_loaded(frame, load / area, 0.0, other=1.0)
    (case,) = cases.cases
    cases = replace(cases, setting=replace(case, hip_load=already * case.hip_load))
    return statics.solve(frame, rigged, cases)


def test_a_ring_of_twenty_pounds_on_legs_at_two_hundred_sags_an_inch_and_a_half() -> None:
    """W L / (8 T) = 20 x 120 / (8 x 200) = 1.50 in: a joint of eight ropes under a weight.

    W R / (3 Hr) = 200 lb of load is what the roof asks; the ropes weigh nothing. Source: statics.
    """
    frame, rigged = octagon("0", 20.0, radius=10.5)
    rigged = weightless(rigged)
    assert rigged.leg_lengths == pytest.approx(10 * FOOT, rel=1e-12)
    forces = under_snow(frame, rigged, 200 * POUND * 3 * 6 / 10.5, already=0.3)
    assert forces.leg_pull[0] == pytest.approx(200 * POUND, rel=3e-3)
    assert forces.ring_sag[0] == pytest.approx(1.50 * INCH, rel=3e-3)


def test_a_sag_counts_from_the_bolts_where_they_are() -> None:
    """(W / n + w L / 2) L / T, ropes of w a metre, wherever the ring hung at setting.

    By moments of a hip about its head the weight hung on a bolt asks a leg for
    (W / n + w L) Hc R / ((Hr - Hc) Hr) more. Counted from the setting state the ring has not sunk
    at all, counted from the drawing by more: its bolts sink with the hub. Source: statics of a
    hanging rope, flat.
    """
    frame, rigged = octagon("1/4", 31.0, radius=10.5)
    load, rise = 350 * POUND * 3 * 6 * 0.75 / 10.5, 6 * FOOT
    forces = under_snow(frame, rigged, load, already=0.45)
    leg = float(rigged.leg_lengths[0])
    ring, rope = 31 * POUND / 8, GRAVITY * rigged.rope.mass * leg
    pull = 350 * POUND + (ring + rope) * 0.25 / 0.75 * 10.5 * FOOT / rise
    sag = (ring + rope / 2) * leg / pull
    assert forces.ring_sag[0] == pytest.approx(sag, rel=5e-3)
    at_setting = 0.25 * rise - float(forces.setting.ring_centre[2])
    below_drawing = sag + 0.25 * float(forces.hub_drop[0])
    assert at_setting > sag
    assert below_drawing > 1.03 * sag


LONGER = {2: 0.0017, 5: -0.0006}  # legs cut too long, by index [m]


@pytest.mark.parametrize("already", [0.0, 0.6])
def test_a_shift_counts_from_the_setting_state(already: float) -> None:
    """Legs too long by d_k put a ring -2/n sum d_k e_k off the middle, at setting and ever after.

    Even load asks the same of all hips, so pulls that differ as cos of the azimuth would have
    nothing to hold them: what one leg gives way the ring makes good. Without load at setting the
    ring is counted from the drawing, with it from where it then hung. Source: statics.
    """
    job = stated(roof__sides=7, tie__height="0", roof__plate_radius="11 ft")
    frame = roof.lay_out(job)
    rigged = to_a_steel_ring(frame, tie.rig(job, frame), 3.0)
    if already:
        rigged = replace(rigged, target=300 * POUND)
    extra = np.array([LONGER.get(k, 0.0) for k in range(7)])
    cases = half_loaded(frame, 30 * PSF, 0.0, other=1.0)
    (case,) = cases.cases
    cases = replace(cases, setting=replace(case, hip_load=already * case.hip_load))
    forces = statics.solve(frame, rigged, cases, leg_extra=extra)
    azimuth = 2 * pi * np.arange(7) / 7
    off = -2 / 7 * np.array([extra @ np.sin(azimuth), extra @ np.cos(azimuth)])
    at_setting, since = (off, 0 * off) if already else (0 * off, off)
    assert forces.setting.ring_centre[:2] == pytest.approx(at_setting, abs=4e-6)
    assert forces.ring_shift[0] == pytest.approx(since, abs=4e-6)
    assert hypot(*off) > 6e-4


def test_a_hub_comes_down_as_rigid_hips_slide_out() -> None:
    """Hr - sqrt(L^2 - (R + x)^2), downward above 0, x what the ropes give: geometry, statics."""
    job = stated(tie__height="1/4", roof__rise="4 ft")
    frame = rigid(roof.lay_out(job))
    rigged = to_a_steel_ring(frame, tie.rig(job, frame), 0.0)
    rigged = weightless(rigged)
    forces = statics.solve(frame, rigged, half_loaded(frame, 30 * PSF, 0.0, other=1.0))
    radius, rise = 12 * FOOT, 4 * FOOT
    load, hip = 30 * PSF * sin(pi / 4) * radius**2 / 2, hypot(radius, rise)
    give, reach = rigged.leg_lengths[0] / rigged.rope.stiffness, radius
    for _ in range(100):
        pull = load * reach / 3 / (sqrt(hip**2 - reach**2) * 0.75)
        reach = radius + pull * give / 0.75
    assert forces.spread[0] == pytest.approx(reach - radius, rel=2e-3)
    down = rise - sqrt(hip**2 - reach**2)
    assert down > 0.05  # or the case shows nothing
    assert forces.hub_drop[0] == pytest.approx(down, rel=2e-3)


def test_a_push_across_the_hips_is_half_at_the_head_and_adds_as_a_vector() -> None:
    """Sideways p L / 2, a simple beam from foot to head; upright 339 lb: hypot of the two.

    40 psf on half of the octagon: W1 R / 3 = N Hr + V R with N = 679 lb, V = 339 lb (docs/theory/
    hub.md). All hips are pushed clockwise alike, so the hub feels no more than it hands on.
    Source: statics.
    """
    job = stated(tie__height="0", roof__bracing="none", rafter__ply="2x12")
    frame = roof.lay_out(job)
    cases = half_loaded(frame, 40 * PSF, 22.5)
    (case,) = cases.cases
    clockwise = 250.0 * np.repeat(frame.sideways[:, None, :2], 2, axis=1)
    pushed = replace(cases, cases=(case, replace(case, hip_push=clockwise)))
    forces = statics.solve(frame, tie.rig(job, frame), pushed)
    across = 250.0 / 2 * hypot(12, 6) * FOOT
    assert across > 0.3 * 339 * POUND
    assert forces.head_shear[0] / POUND == pytest.approx(339.4, rel=2e-3)
    assert forces.head_shear[1] / POUND == pytest.approx(hypot(339.4, across / POUND), rel=2e-3)


@pytest.mark.parametrize("height", ["0", "1/4"])
def test_what_lies_on_the_hub_goes_down_through_every_head(height: str) -> None:
    """P upright on each head, T = (W R / 3 + P R) / (Hr - Hc), and hub and head press with T.

    A push on the hub outward beside every head is the hub's own affair: it changes neither.
    Source: moments of a hip about its head; balance of its level forces.
    """
    job = stated(tie__height=height, rafter__ply="2x12")
    frame = rigid(roof.lay_out(job))
    rigged = to_a_steel_ring(frame, tie.rig(job, frame), 0.0)
    rigged = weightless(rigged)
    cases = half_loaded(frame, 3 * PSF, 0.0, other=1.0)
    (case,) = cases.cases
    on_hub = replace(case, head_load=np.full(8, 310.0), head_push=170.0 * frame.outward[:, :2])
    forces = statics.solve(frame, rigged, replace(cases, cases=(case, on_hub)))
    slices = 3 * PSF * sin(pi / 4) * (12 * FOOT) ** 2 / 2
    share = {"0": 1.0, "1/4": 0.75}[height]
    for row, load in ((0, 0.0), (1, 310.0)):
        pull = (slices / 3 + load) * 12 / (6 * share)
        assert forces.first_order[row] == pytest.approx(pull, rel=2e-3)
        assert forces.head_push[row] == pytest.approx(pull, rel=0.01)
        assert forces.head_shear[row] == pytest.approx(load, abs=0.2)


@pytest.mark.parametrize("layout", ["band", "cross"])
def test_feet_carry_a_tie_without_a_ring_too(layout: str) -> None:
    """Reactions are load and weight, by equilibrium: hips, ropes and turnbuckles."""
    job = stated(tie__layout=layout, tie__height="0", roof__sides=6)
    frame = roof.lay_out(job)
    rigged = tie.rig(job, frame)
    cases = half_loaded(frame, 19 * PSF, 40.0, other=0.45)
    forces = statics.solve(frame, rigged, cases)
    (case,) = cases.cases
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    rope = (rigged.leg_lengths - rigged.turnbuckle_set).sum() * rigged.rope.mass
    hung = GRAVITY * (rope + rigged.n * rigged.turnbuckle.mass)
    load = float(case.hip_load.mean(axis=1) @ hips + case.head_load.sum())
    assert hung > 5e-4 * load  # or the tie's weight shows nothing
    assert forces.foot_reaction[0].sum() == pytest.approx(load + hung, rel=1e-6)


def test_a_ring_turns_at_each_eye_as_its_triangle_of_forces_closes() -> None:
    """T^2 = N^2 + N'^2 - 2 N N' cos(turn) at each eye, between the sides that meet there."""
    job = stated("reading-room", roof__sides=7, tie__height="0.2")
    frame = roof.lay_out(job)
    extra = np.array([0.004, -0.003, 0.0, 0.006, 0.001, -0.005, 0.002])
    cases = half_loaded(frame, 30 * PSF, 50.0, other=0.3)
    forces = statics.solve(frame, tie.rig(job, frame), cases, leg_extra=extra)
    after = forces.ring_pull[0]
    before = np.roll(after, 1)
    # Weights of eyes and ropes leave the pulls a ten-thousandth of them out of their plane.
    cosine = (before**2 + after**2 - forces.leg_pull[0] ** 2) / (2 * before * after)
    assert np.cos(forces.eye_turn[0]) == pytest.approx(cosine, abs=1e-3)
    assert np.degrees(np.abs(np.diff(forces.eye_turn[0])).min()) > 0.3  # or all eyes are alike


def test_a_ring_beside_a_slack_leg_has_no_place_of_its_own() -> None:
    """One leg of eight cut too long by far: where the ring hangs is not told, nor how deep."""
    job = stated("reading-room", roof__sides=8, tie__height="0.2")
    frame = roof.lay_out(job)
    cases = half_loaded(frame, 30 * PSF, 0.0, other=1.0)
    extra = 0.09 * np.eye(8)[3]
    forces = statics.solve(frame, tie.rig(job, frame), cases, leg_extra=extra)
    assert forces.slack[0].tolist() == [k == 3 for k in range(8)]
    assert np.isnan(forces.ring_shift[0]).all()
    assert np.isnan(forces.ring_sag[0])


def test_two_ropes_side_by_side_let_a_ring_open_half_as_far() -> None:
    """N r / EA of one rope, half of that of two, N = T / (2 sin(pi/n)): Hooke's law."""
    job = stated(tie__height="0", roof__sides=5, tie__ring_radius="14 in")
    frame = rigid(roof.lay_out(job))
    cases = half_loaded(frame, 12 * PSF, 0.0, other=1.0)
    rigged = weightless(tie.rig(job, frame))
    one, two = (statics.solve(frame, replace(rigged, ring_ropes=ropes), cases) for ropes in (1, 2))
    pull = 12 * PSF * sin(2 * pi / 5) * (12 * FOOT) ** 3 / 2 / (3 * 6 * FOOT)
    opens = pull / (2 * sin(pi / 5)) * rigged.ring_radius / rigged.ring_rope.stiffness
    assert one.spread[0] - two.spread[0] == pytest.approx(opens / 2, rel=0.02)
