"""Heat, drying and bedding-in; loads that push sideways; tails beyond the feet."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sin

import numpy as np
import pytest

from rafterstay import catalog, roof, statics, tie
from rafterstay.loads import Cases
from rafterstay.loads.nouns import SET, Climate
from rafterstay.roof import Frame
from rafterstay.statics import Forces
from rafterstay.tie.rig import turnbuckle_set
from tests.statics.roofs import FOOT, PSF, half_loaded, stated

COLD = Climate("cold", -31.0, 0.0, bedded=False, with_snow=True, answers="strength")
DRY = Climate("dry", 23.0, 0.004, bedded=True, with_snow=True, answers="least pull")


def _run(cases: Cases, **changes: str | list[str]) -> tuple[Frame, Forces]:
    job = stated(rafter__ply="2x12", **changes)
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    return frame, statics.solve(frame, rig, cases, walls=job.support.wall_stiffness)


def _snow(other: float = 1.0) -> Cases:
    return half_loaded(roof.lay_out(stated()), 27 * PSF, 0.0, other=other)


def _in(*weather: Climate) -> Cases:
    return replace(_snow(), climates=(SET, *weather))


def test_bare_walls_let_heat_move_the_feet_and_nothing_else() -> None:
    """docs/theory/thermal.md eq. 3 with k = 0, and the change of eq. 4."""
    frame, forces = _run(_in(COLD, DRY), tie__height="1/4")
    assert [state.id for state in forces.states] == [
        "S/half-000",
        "S/half-000/cold",
        "S/half-000/dry",
    ]
    # Ropes' own weight keeps the pulls from being the same to the last digit.
    assert forces.first_order == pytest.approx(forces.first_order[0, 0], rel=2e-5)
    bolts = np.linalg.norm(frame.nodes[frame.bolts, :2], axis=1)[0]
    bedding = {"cold": 0.0, "dry": 0.01}
    for row, weather in ((1, COLD), (2, DRY)):
        # Turnbuckles do not bed in.
        rope = bolts - turnbuckle_set(catalog.find("turnbuckle", "jaw-jaw 1/2 in x 6 in"))
        longer = 12e-6 * weather.warming * bolts + bedding[weather.name] * rope + weather.drying
        moved = forces.spread[row] - forces.spread[0]
        assert moved == pytest.approx(longer / 0.75, rel=0.02)


def test_stiff_walls_turn_heat_into_pull() -> None:
    """docs/theory/thermal.md eq. 3: a change of a_r warming R_b + d takes k / (1 + k f), h = 0."""
    stiff = {"support__walls": "stiff", "support__wall_stiffness": ["1 kip/in", "4 kip/in"]}
    weather = replace(DRY, bedded=False, drying=0.0004)
    frame, forces = _run(_in(COLD, weather), tie__height="0", **stiff)
    job = stated(tie__height="0")
    rig = tie.rig(job, roof.lay_out(job))
    assert forces.first_order.min() > 0
    bolts = np.linalg.norm(frame.nodes[frame.bolts, :2], axis=1)[0]
    rows = [i for i, state in enumerate(forces.states) if state.bound == "stated"]
    assert len(rows) == 12
    for base in range(rows[0], rows[-1], 3):
        state = forces.states[base]
        opened = rig.turnbuckle_set / (200e9 * 0.75 * pi / 4 * rig.turnbuckle.thread**2)
        rope = (rig.leg_lengths[0] - rig.turnbuckle_set) / (rig.rope.stiffness * state.rope_factor)
        ring = rig.ring_radius / (2 * sin(pi / 8) * rig.ring_rope.stiffness * state.rope_factor)
        give = opened + rope + ring
        per = state.wall_stiffness / (1 + state.wall_stiffness * give)
        for row, one in ((base + 1, COLD), (base + 2, weather)):
            lost = per * (12e-6 * one.warming * bolts + one.drying)
            found = forces.first_order[row] - forces.first_order[base]
            # Hips shorten a little, which the closed form leaves out.
            assert found == pytest.approx(-lost, rel=0.03)


def test_net_uplift_draws_the_feet_in_against_the_walls_and_slackens_the_legs() -> None:
    """docs/theory/thermal.md section 4: x = T0 / k, T0 below 0; the legs hang by their weight."""
    stiff = {"support__walls": "stiff", "support__wall_stiffness": ["2 kip/in", "7 kip/in"]}
    down = _snow()
    (case,) = down.cases
    up = replace(case, hip_load=-0.4 * case.hip_load, pattern="uplift", dead_factor=0.0)
    _, forces = _run(replace(down, cases=(up,)), tie__height="0", **stiff)
    assert forces.left_out == (up.id,)
    slice_load = 0.4 * 27 * PSF * sin(2 * pi / 8) * (12 * FOOT) ** 2 / 2
    thrust = slice_load * 12 / (3 * 6)
    for row, state in enumerate(forces.states):
        assert state.bound == "stated"
        drawn_in = -thrust / state.wall_stiffness
        assert forces.spread[row] == pytest.approx(drawn_in, rel=0.02)
        assert forces.slack[row].all()
        assert forces.leg_pull[row].max() < 0.01 * thrust


def test_a_tail_beyond_the_foot_relieves_the_tie() -> None:
    """Moments of a hip about its foot: the tie loses m / (Hr - Hc); the foot carries the tail."""
    plain = _snow()
    case = plain.cases[0]
    load, moment = np.full(8, 410.0), np.full(8, 190.0)
    tails = replace(case, tail_load=load, tail_moment=moment, tail_push=np.zeros((8, 2)))
    _, forces = _run(replace(plain, cases=(case, tails)), tie__height="1/4")
    relieved = forces.first_order[0] - forces.first_order[1]
    assert relieved == pytest.approx(190.0 / (6 * FOOT * 0.75), rel=1e-3)
    assert forces.foot_reaction[1] - forces.foot_reaction[0] == pytest.approx(410.0, rel=1e-3)
    assert forces.hip_moment[1, :, 0] == pytest.approx(-190.0, rel=1e-6)
    assert forces.hip_moment[0, :, 0] == pytest.approx(0.0, abs=1e-6)
    head = forces.hip_moment[:, :, -1]
    assert np.abs(head).max() < 1e-3 * np.abs(forces.hip_moment).max()


def test_a_push_outward_along_the_hips_adds_to_the_tie() -> None:
    """Moments of a hip about its head: p L Hr/2 at mid height over Hr - Hc."""
    plain = _snow()
    case, frame = plain.cases[0], roof.lay_out(stated(tie__height="1/4"))
    push = 55.0 * np.repeat(frame.outward[:, None, :2], 2, axis=1)
    pushed = replace(case, hip_push=push)
    frame, forces = _run(replace(plain, cases=(case, pushed)), tie__height="1/4")
    hip, rise = np.hypot(12, 6) * FOOT, 6 * FOOT
    added = 55.0 * hip / 2 / 0.75
    assert forces.first_order[1] - forces.first_order[0] == pytest.approx(added, rel=2e-3)
    total = 55.0 * hip
    pull = (forces.leg_pull[1] * (forces.pull_direction[1] * frame.outward).sum(-1)).mean()
    # All level forces on a hip: push out, pull in, hub's push out.
    assert forces.head_push[1].mean() + total + pull == pytest.approx(0.0, abs=0.02 * total)
    assert rise > 0


def test_a_push_on_the_tails_goes_to_the_tie() -> None:
    """At the foot's height and the tie at the foot: all of it, and nothing else changes."""
    plain = _snow()
    frame = roof.lay_out(stated())
    pushed = replace(plain.cases[0], tail_push=120.0 * frame.outward[:, :2])
    _, forces = _run(replace(plain, cases=(plain.cases[0], pushed)), tie__height="0")
    assert forces.first_order[1] - forces.first_order[0] == pytest.approx(120.0, rel=2e-3)
