"""Walls that help, a plate that holds today's thrust, legs cut for their pull: springs by hand."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sin

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.loads import Cases
from rafterstay.roof import Frame
from rafterstay.statics import Forces
from rafterstay.tie import Tie
from tests.statics.roofs import (
    FOOT,
    PLATE,
    POUND,
    PSF,
    Value,
    half_loaded,
    rigid,
    stated,
    weightless,
)

INCH = FOOT / 12
SIDES = 7
LEAST, MOST = 3e3 * POUND / INCH, 11e3 * POUND / INCH  # of the walls [N/m]
WALLS: dict[str, Value] = {
    "support__walls": "stiff",
    "support__wall_stiffness": ["3 kip/in", "11 kip/in"],
}


def tied_at_the_plate(**changes: Value) -> tuple[Frame, Tie, Forces]:
    """Seven rigid hips, tied at the feet, under 13 psf and then 34 psf; set under the first."""
    job = stated(tie__height="0", roof__sides=SIDES, loads__dead="9 psf", **changes)
    frame = rigid(roof.lay_out(job))
    rigged = weightless(tie.rig(job, frame))
    (light,) = half_loaded(frame, 13 * PSF, 0.0, other=1.0).cases
    light = replace(light, equation="D")
    heavy = replace(light, equation="D+S", hip_load=34 / 13 * light.hip_load)
    forces = statics.solve(
        frame,
        rigged,
        Cases((light, heavy), light, simplified_snow=False),
        walls=job.support.wall_stiffness,
        plate=roof.plate_sides(job, frame),
        standing=job.pretension.set_when == "standing",
    )
    return frame, rigged, forces


def thrust(psf: float) -> float:
    """Of a hip of 12 ft and 6 ft under even load: W R / (3 Hr). [N]"""
    return psf * PSF * sin(2 * pi / SIDES) * (12 * FOOT) ** 3 / 2 / (3 * 6 * FOOT)


def tie_rate(rigged: Tie, rope_factor: float) -> float:
    """Pull of a leg by outward movement of all bolts: rope, turnbuckle and ring in series. [N/m]

    A ring of rope opens by N r / EA, N = T / (2 sin(pi/n)): docs/theory/thermal.md eq. 1.
    """
    rope = (rigged.leg_lengths[0] - rigged.turnbuckle_set) / rigged.rope.stiffness
    ring = rigged.ring_radius / (2 * sin(pi / SIDES) * rigged.ring_rope.stiffness)
    return float(1 / ((rope + ring) / rope_factor + turnbuckle_give(rigged)))


def turnbuckle_give(rigged: Tie) -> float:
    """Steel of 200 GPa on three quarters of its thread's circle. [m/N]"""
    return rigged.turnbuckle_set / (200e9 * 0.75 * pi / 4 * rigged.turnbuckle.thread**2)


def test_the_worse_of_least_and_most_walls_with_soft_and_stiff_ropes() -> None:
    """Two springs side by side, k of the wall and k_l of the tie: T = H k_l / (k + k_l).

    EA x 0.75 and x 1.1 bound the ropes (docs/theory/plate-ring.md, beneath eq. 3); all four pairs
    are run, so that the most pull, the least pull and the most movement are among them: by hand
    least walls and stiff ropes, most walls and soft ropes, least walls and soft ropes.
    """
    _, rigged, forces = tied_at_the_plate(**WALLS)
    rows = [i for i, s in enumerate(forces.states) if s.id == "D+S/half-000/stated"]
    pairs = [(wall, factor) for wall in (LEAST, MOST) for factor in (0.75, 1.1)]
    rates = [tie_rate(rigged, factor) for _, factor in pairs]
    moved = [thrust(34) / (wall + k) for (wall, _), k in zip(pairs, rates, strict=True)]
    pulls = [x * k for x, k in zip(moved, rates, strict=True)]
    assert np.array(forces.first_order[rows, 3]) == pytest.approx(np.array(pulls), rel=1e-4)
    told = forces.leg_pull[rows]
    assert told.max() == pytest.approx(pulls[1], rel=0.01)
    assert told.min() == pytest.approx(pulls[2], rel=0.01)
    assert max(pulls) == pulls[1]
    assert min(pulls) == pulls[2]
    assert pulls[1] > 2.5 * pulls[2]
    # The feet count from the setting state: 13 psf lay on the roof, its hub on the prop.
    spread = forces.spread[rows] + forces.setting.spread
    assert spread.max() == pytest.approx(moved[0], rel=0.01)
    assert max(moved) == moved[0]


@pytest.mark.parametrize("walls", [False, True])
def test_a_plate_keeps_the_thrust_it_has_held_all_along(walls: bool) -> None:
    """The dead load's H k_p / (k_p + k), less what setting T takes, and its share of the rest.

    k_p = 4 sin^2(pi/n) of a side's rate is what the plate's ring gives a foot, k the wall, k_l
    the tie: with the roof left standing x = -T / (k_p + k) + (H' - H) / (k_p + k + k_l), and a
    side pulls (H k_p / (k_p + k) + k_p x) / (2 sin(pi/n)). Source: springs side by side; joint of
    a regular polygon.
    """
    changes: dict[str, Value] = {"pretension__target": "300 lb", **PLATE}
    changes["pretension__set_when"] = "standing"
    _, rigged, forces = tied_at_the_plate(**changes, **(WALLS if walls else {}))
    corner, target, seen = 2 * sin(pi / SIDES), 300 * POUND, 0
    long = 24 * FOOT * sin(pi / SIDES)  # Two 2x6 of 1.6e6 psi, and one joint in series.
    timber = 1.6e6 * POUND / INCH**2 * 2 * 1.5 * 5.5 * INCH**2 / long
    for k, state in enumerate(forces.states):
        if not state.held_thrust:
            continue
        most = "most" in state.variant
        slip = (1 / 32 if most else 3 / 32) * INCH
        firm = corner**2 / (1 / timber + slip / (1700 * POUND))
        wall = (MOST if most else LEAST) if walls else 0.0
        rope = tie_rate(rigged, 0.75 if "0.75" in state.variant else 1.1)
        more = thrust(34) - thrust(13) if state.case.equation == "D+S" else 0.0
        today = thrust(13) * firm / (firm + wall)
        out = -target / (firm + wall) + more / (firm + wall + rope)
        assert forces.plate_pull[k] == pytest.approx((today + firm * out) / corner, rel=4e-3)
        assert today > 1.5 * firm * target / (firm + wall)
        seen += 1
    assert seen == 8


def test_ring_and_legs_are_cut_for_the_pull_they_are_set_to() -> None:
    """Set on feet that stand still, the ring hangs as large as drawn, its sides stretched.

    A side of 2 r sin(pi/n) under N = T / (2 sin(pi/n)) was cut shorter by N / EA of it; leg,
    turnbuckle and ring as stretched reach from bolt to centre. Source: Hooke's law; joint of a
    regular polygon.
    """
    changes: dict[str, Value] = {"pretension__set_when": "standing"}
    _, rigged, forces = tied_at_the_plate(pretension__target="400 lb", **changes)
    setting, pull, corner = forces.setting, 400 * POUND, 2 * sin(pi / SIDES)
    assert setting.leg_pull == pytest.approx(pull, rel=2e-4)
    around = 1 + pull / corner / rigged.ring_rope.stiffness
    chord = corner * rigged.ring_radius
    # Turnbuckles are not cut: ropes make up for their stretch, which is a fiftieth of the whole.
    assert 1 - setting.ring_length / chord == pytest.approx(1 - 1 / around, rel=0.02)
    reach = setting.leg_length * (1 + pull / rigged.rope.stiffness)
    reach += rigged.turnbuckle_set + pull * turnbuckle_give(rigged)
    assert reach + setting.ring_length * around / corner == pytest.approx(12 * FOOT, abs=2e-6)
    cut = (rigged.leg_lengths - rigged.turnbuckle_set) / setting.leg_length - 1
    assert cut == pytest.approx(pull / rigged.rope.stiffness, rel=0.02)
