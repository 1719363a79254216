"""Jacks that end on a hub of some size, against statics by hand."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin

import numpy as np
import pytest

from rafterstay import design, loads, roof, statics, tie
from rafterstay.core.errors import Mechanism
from rafterstay.job import Job
from rafterstay.loads.laid import Plan
from rafterstay.loads.spread import even, halves
from rafterstay.statics.newton import settle
from tests.statics.roofs import FOOT, PSF, Value, half_loaded, row, stated
from tests.statics.states import problem_of
from tests.statics.test_layouts import weightless

HUBS: dict[str, dict[str, Value]] = {
    "disc": {"roof__hub": "disc", "roof__hub_radius": "2 ft"},
    "ring": {
        "roof__hub": "ring",
        "roof__hub_radius": "2 ft",
        "roof__hub_width": "5 1/2 in",
        "roof__hub_depth": "11 1/4 in",
    },
}


def roofed(hub: str, infill: str = "jacks", **changes: Value) -> Job:
    keys: dict[str, Value] = {
        "roof__sides": 7,
        "tie__height": "0.2",
        "rafter__ply": "2x12",
        "loads__snow__roof": "3 psf",
    }
    return stated("octagon", roof__infill=infill, **keys | HUBS[hub] | changes)


@pytest.mark.parametrize("state", ["D+S/balanced", "D+S/unbalanced-129"])
def test_the_thrust_is_that_of_purlins(state: str) -> None:
    """Share times place of every jack is its load's way up. docs/theory/jacks.md section 3."""
    found = [weightless(roofed("disc", infill)) for infill in ("purlins", "jacks")]
    purlins, jacks = (each.first_order[row(each, state)] for each in found)
    assert jacks == pytest.approx(purlins, rel=2e-3)


def test_pinned_to_a_ring_of_beams_it_is_too() -> None:
    """Even load; a head that bears on the ring would be turned by it besides.

    First order: such a roof balances even load and nothing else, and is refused for that.
    """
    pulls = []
    for infill in ("purlins", "jacks"):
        read = roofed("ring", infill, roof__heads="pinned")
        frame = roof.lay_out(read)
        cases = half_loaded(frame, 3 * PSF, 0.0, other=1.0)
        rig = tie.rig(read, frame)
        pulls.append(settle(*problem_of(frame, rig, cases)).pulls.leg_pull[0, :, 0])
        with pytest.raises(Mechanism, match="ST-006"):
            statics.solve(frame, rig, cases)
    assert pulls[1] == pytest.approx(pulls[0], rel=2e-3)


def test_the_plate_takes_half_of_the_face() -> None:
    """Feet lift half of the faces' load and all of the hub's own. Source: statics."""
    forces = weightless(roofed("disc"))
    whole = 3 * PSF * sin(2 * pi / 7) * (12 * FOOT) ** 2 / 2
    own = 3 * PSF * sin(2 * pi / 7) * (2 * FOOT) ** 2 / 2
    lift = forces.foot_reaction[row(forces, "D+S/balanced")]
    assert lift == pytest.approx((whole - own) / 2 + own, rel=1e-6)
    # The hub gets the middle strips' half, p A c' a head, through the heads' joints.
    shear = forces.head_shear[row(forces, "D+S/balanced")]
    deep, half = 10 * FOOT * cos(pi / 7), 2 * FOOT * sin(pi / 7)
    assert forces.states[0].case.head_load == pytest.approx(3 * PSF * deep * half + own, rel=1e-9)
    assert (shear > 0).all()


@pytest.mark.parametrize("hub", ["disc", "ring"])
def test_every_load_keeps_its_moment_about_the_plate(hub: str) -> None:
    """Hip lines and heads together have the moment of purlins about each plate side, exactly."""
    purlins, jacks = (
        Plan.of(roof.lay_out(roofed(hub, each)), 0.0) for each in ("purlins", "jacks")
    )
    lays = [
        lambda plan: even(plan, 410.0),
        lambda plan: even(plan, -300.0, square=True),
        lambda plan: halves(plan, 33.0, 700.0, 90.0, square=True),
    ]
    hip = np.linalg.norm(purlins.frame.nodes[7:14] - purlins.frame.nodes[:7], axis=1)
    for lay in lays:
        sums = []
        for plan in (purlins, jacks):
            lines = lay(plan)
            # About the foot, as share of the way up: a/6 + b/3 of a line, the whole at the head.
            down = hip * (lines.hips[:, 0] / 6 + lines.hips[:, 1] / 3) + lines.heads
            level = hip[:, None] * (lines.push[:, 0] / 6 + lines.push[:, 1] / 3)
            sums.append(np.column_stack([down, level + lines.head_push]))
        assert sums[1] == pytest.approx(sums[0], rel=1e-10, abs=1e-9)


def test_uplift_pushes_level_on_the_hub_and_still_adds_up() -> None:
    """Up and level forces of feet, hub and loads balance. Source: equilibrium."""
    read = roofed("disc", loads__dead="30 psf", loads__wind__uplift="20 psf", tie__height="0")
    frame = roof.lay_out(read)
    lifted = [one for one in loads.gather(read, frame).cases if "uplift" in one.pattern]
    assert any(np.abs(one.head_push).max() > 1.0 for one in lifted)
    forces = weightless(read)
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    for k, state in enumerate(forces.states):
        case = state.case
        on = case.hip_load.mean(axis=1) @ hips + case.head_load.sum()
        assert forces.foot_reaction[k].sum() == pytest.approx(on, rel=1e-7)
        # Level: what loads push outwards, legs and hub hold; hub and legs sum to nil over all.
        push = (hips[:, None] * case.hip_push.mean(axis=1) * frame.outward[:, :2]).sum()
        pull = (forces.leg_pull[k][:, None] * forces.pull_direction[k] * frame.outward).sum()
        assert forces.head_push[k].sum() + push + pull == pytest.approx(0.0, abs=0.02 * abs(pull))


def test_the_hub_ring_says_that_its_beams_are_not_checked() -> None:
    told = [loads.gather(read := roofed(hub), roof.lay_out(read)).told for hub in HUBS]
    assert not any("Middle jacks" in each for each in told[0])
    assert any("Middle jacks" in each for each in told[1])


def test_the_plate_bends_between_its_ramps() -> None:
    """Even push over 2 c', ramps c - c': moments of a simple beam by summing strips. Statics."""
    keys: dict[str, Value] = {"support__plate_ply": "2x8", "support__plate_plies": 1}
    found = design.check(roofed("disc", loads__snow__roof="12 psf", **keys)).checks.checks
    (bending,) = (each for each in found if each.id == "plate-bending")
    half, inner = 12 * FOOT * sin(pi / 7), 2 * FOOT * sin(pi / 7)
    deep = 10 * FOOT * cos(pi / 7)
    most = 12 * PSF * deep / (2 * 6 * FOOT / deep)
    at = (np.arange(20000) + 0.5) / 20000 * 2 * half
    load = most * np.minimum(1.0, np.minimum(at, 2 * half - at) / (half - inner))
    step = half / 10000
    moment = load.sum() * step / 2 * half - (load * (half - at))[at < half].sum() * step
    modulus = 1.5 * 7.25**2 / 6 * (FOOT / 12) ** 3
    assert bending.demand == pytest.approx(moment / modulus, rel=1e-6)


def test_a_crooked_face_is_parted_below_its_head() -> None:
    """Jacks run square to the plate whatever way the hip runs. Source: plane geometry."""
    frame = roof.lay_out(roofed("disc"))
    moved = frame.wedges.copy()
    moved[2, 1, 3] += (0.11, -0.07)
    beside, middle = roof.area.jack_strips(moved)
    along = moved[2, 1, 1] - moved[2, 1, 0]
    assert (beside[2, 1, 1] - moved[2, 1, 3]) @ along == pytest.approx(0.0, abs=1e-12)
    whole = roof.area.polygon_area(beside) + roof.area.polygon_area(middle)
    assert whole == pytest.approx(roof.area.polygon_area(moved), rel=1e-12)
    assert replace(frame, wedges=moved).wedges is moved
