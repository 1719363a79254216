"""Pulls against statics a reviewer can redo: slices of a many-sided roof, thrust, rings."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.statics.problem import PROP
from tests.statics.roofs import FOOT, POUND, PSF, half_loaded, row, solved, stated

HEIGHTS = {"0": 1357.6, "1/3": 2036.5, "1/2": 2715.3, "2/3": 4072.9}


@pytest.mark.parametrize(("height", "pull"), HEIGHTS.items())
def test_the_octagon_pulls_as_a_slice_of_roof_does(height: str, pull: float) -> None:
    """Source: statics of one slice, T = W1 R / (3 (Hr - Hc)); docs/theory/thrust.md."""
    forces = solved(stated(tie__height=height))
    found = forces.first_order[row(forces, "D+S/balanced")] / POUND
    assert found == pytest.approx(pull, rel=0.005)


@pytest.mark.parametrize("sides", [3, 5, 10, 12, 17])
@pytest.mark.parametrize("fraction", [0.0, 0.2])
def test_other_roofs_pull_as_a_slice_does(sides: int, fraction: float) -> None:
    """Source: statics of one slice, with W1 the load on the slice; docs/theory/thrust.md."""
    forces = solved(
        stated(
            roof__sides=sides,
            roof__rise="7 ft",
            tie__height=str(fraction),
            rafter__ply="2x12",
            tie__ring_radius="11 in",
        )
    )
    radius, rise = 12 * FOOT, 7 * FOOT
    slice_load = 40 * PSF * sin(2 * pi / sides) * radius**2 / 2
    thrust = slice_load * radius / (3 * rise * (1 - fraction))
    found = forces.first_order[row(forces, "D+S/balanced")]
    assert found == pytest.approx(thrust, rel=0.005)


@pytest.mark.parametrize(("sides", "times"), [(8, 1.30656), (10, 1.61803), (12, 1.93185)])
def test_a_seized_ring_pulls_as_a_polygon_does(sides: int, times: float) -> None:
    """Source: statics of a regular polygon, 1 / (2 sin(pi/n)); docs/theory/thrust.md."""
    forces = solved(stated(roof__sides=sides))
    here = row(forces, "D+S/balanced")
    # The ring sags below its eyes' legs by little: the leg's level part makes the ring's pull.
    level = forces.leg_pull[here] * np.hypot(*forces.pull_direction[here].T[:2])
    assert forces.ring_pull[here] / level == pytest.approx(times, rel=1e-4)


@pytest.mark.parametrize("direction", [0.0, 22.5, 90.0, 247.5])
def test_snow_on_one_half_goes_through_the_hub(direction: float) -> None:
    """All legs pull alike; the difference passes between heads and hub as upright shear.

    Moments about a fully loaded foot: W1 R / 3 = N Hr + V R with N = 679 lb, V = 339 lb.
    Source: statics; docs/theory/hub.md.
    """
    job = stated()
    frame = roof.lay_out(job)
    forces = statics.solve(frame, tie.rig(job, frame), half_loaded(frame, 40 * PSF, direction))
    assert forces.first_order[0] / POUND == pytest.approx(679, rel=0.005)
    assert forces.head_shear[0].max() / POUND == pytest.approx(339, rel=0.01)


def test_vertical_load_puts_no_force_on_the_hold_against_racking() -> None:
    """Feet may slide outward; only their mean is held, and vertical load does not need it.

    Any push on that hold would show as an outward force on the feet that no leg balances.
    """
    job = stated(tie__height="0.15", roof__bracing="none")
    frame = roof.lay_out(job)
    found = solved(job)
    for state in ("D+S/balanced", "D+S/unbalanced-023"):
        here = row(found, state)
        # Level forces on a hip: leg pull inward at the bolt, hub push outward at the head.
        pull = -(found.pull_direction[here] * frame.outward).sum(-1) * found.leg_pull[here]
        # First order leaves nothing; the displaced roof leans by under a thousandth.
        assert found.head_push[here] == pytest.approx(pull, rel=1e-3)


def test_upright_reactions_carry_all_that_lies_on_the_roof() -> None:
    """Source: equilibrium."""
    job = stated("reading-room", tie__height="0.21")
    frame = roof.lay_out(job)
    forces = solved(job)
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    for here, state in enumerate(forces.states):
        line = state.case.hip_load.mean(axis=1) @ hips + state.case.head_load.sum()
        rig = tie.rig(job, frame)
        pieces = (rig.leg_lengths - rig.turnbuckle_set) * rig.rope.mass + rig.turnbuckle.mass
        ring = 2 * rig.ring_radius * sin(pi / frame.n) * rig.ring_rope.mass
        hung = 9.80665 * (pieces.sum() + frame.n * ring)
        assert forces.foot_reaction[here].sum() == pytest.approx(line + hung, rel=1e-6)


def test_bearing_heads_carry_shear_times_the_hub_radius() -> None:
    """Hips that bear on a hub act as if they met at its centre: M = V r (docs/theory/hub.md)."""
    job = stated("reading-room")
    forces = solved(job)
    here = row(forces, "D+S/unbalanced-072")
    moment = forces.head_shear[here] * job.roof.hub_radius
    # Second order: the head has tilted by under a hundredth, and pushes along that tilt.
    slack = 0.02 * forces.head_push[here] * job.roof.hub_radius
    assert (np.abs(forces.head_moment[here] - moment) < slack).all()


def test_second_order_of_rigid_hips_matches_the_displaced_triangle() -> None:
    """Stiff hips, soft legs: T = W a' / (Hr' - Hc'), each length on the displaced roof.

    The foot moves out as leg and ring stretch, the hub falls along a hip of fixed length.
    Solved by plain iteration here. Source: statics; docs/theory/second-order.md.
    """
    job = stated(roof__rise="3 ft", tie__height="1/3", loads__snow__roof="25 psf")
    frame = roof.lay_out(job)
    rigid = [vars(member) | {"e": 1e5 * member.e, "g": 1e5 * member.g} for member in frame.members]
    stiff = type(frame)(
        **(vars(frame) | {"members": tuple(type(frame.members[0])(**m) for m in rigid)})
    )
    rig = tie.rig(job, stiff)
    case = half_loaded(stiff, 25 * PSF, 0.0, other=1.0)
    forces = statics.solve(stiff, rig, case)
    radius, rise, n = 12 * FOOT, 3 * FOOT, 8
    load = 25 * PSF * sin(2 * pi / n) * radius**2 / 2
    hip = np.hypot(radius, rise)
    opened = rig.turnbuckle_set / (200e9 * 0.75 * pi / 4 * rig.turnbuckle.thread**2)
    rope = (rig.leg_lengths[0] - rig.turnbuckle_set) / rig.rope.stiffness
    ring = rig.ring_radius / (2 * sin(pi / n)) / rig.ring_rope.stiffness
    pull, out = 0.0, 0.0
    for _ in range(200):
        reach = radius + out
        tall = np.sqrt(hip**2 - reach**2)
        pull = load * (reach / 3) / (tall * (1 - 1 / 3))
        out = pull * (opened + rope + ring) / (1 - 1 / 3)
    drawn = load * radius / 3 / (rise * (1 - 1 / 3))
    assert pull / drawn > 1.02  # or the case shows nothing
    # Ropes and ring weigh a little and sag: 0.3 % of the pull, 2 % of its growth.
    assert forces.leg_pull[0] == pytest.approx(pull, rel=3e-3)
    assert forces.amplification[0] - 1 == pytest.approx(pull / drawn - 1, rel=0.02)


def test_walls_that_help_take_their_share() -> None:
    """Spring at each foot in parallel with the tie at the plate: pulls share as stiffness."""
    soft = solved(stated(tie__height="0"))
    helped = solved(
        stated(support__walls="stiff", support__wall_stiffness=["1 kip/in", "4 kip/in"])
    )
    assert {state.bound for state in helped.states} == {"bare", "stated"}
    bare = helped.leg_pull[row(helped, "D+S/balanced")]
    assert bare == pytest.approx(soft.leg_pull[row(soft, "D+S/balanced")], rel=1e-9)
    for here, state in enumerate(helped.states):
        if state.case.id == "D+S/balanced" and state.bound == "stated":
            walls = state.wall_stiffness * helped.spread[here]
            total = helped.leg_pull[here] + walls
            assert total == pytest.approx(bare, rel=0.02)


def test_the_target_is_met_on_the_prop() -> None:
    """The mean pull in the setting state is the target; lowering the prop only adds."""
    job = stated("reading-room", pretension__target="320 lb")
    setting = solved(job).setting
    assert setting.leg_pull.mean() == pytest.approx(320 * POUND, rel=2e-4)
    assert setting.lowered_pull.min() > setting.leg_pull.max()
    assert 0 < setting.prop_force < PROP


def test_sideways_pull_of_a_one_sided_ring_is_balanced() -> None:
    """Pulls of all legs on the ring close, as a polygon of forces does."""
    forces = solved(stated("reading-room", tie__height="0.4", rafter__ply="2x12"))
    here = row(forces, "D+S/unbalanced-018")
    closing = (forces.leg_pull[here][:, None] * forces.pull_direction[here]).sum(axis=0)
    assert np.abs(closing[:2]).max() < 1e-5 * forces.leg_pull[here].max()
    assert forces.ring_shift[here] @ [sin(radians(18)), cos(radians(18))] != 0


@pytest.mark.parametrize("target", [20, 80, 300])
def test_a_target_below_the_pull_of_snug_legs_lets_them_out(target: int) -> None:
    """On the prop the hips sag onto snug legs; legs let out pull less, and the target is met."""
    changes = {"loads__dead": "12 psf", "rafter__ply": "2x8"}
    snug = solved(stated(**changes)).setting
    assert snug.leg_pull.mean() > 80 * POUND
    setting = solved(stated(**changes, pretension__target=f"{target} lb")).setting
    assert setting.leg_pull.mean() == pytest.approx(target * POUND, rel=2e-4)
    longer = setting.leg_length > snug.leg_length
    assert longer.all() == (target * POUND < snug.leg_pull.mean())
