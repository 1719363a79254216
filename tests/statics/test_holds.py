"""A plate that runs on, and a roof that stood before its tie, against statics by hand."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from math import pi, sin

import numpy as np
import pytest

from rafterstay import design, loads, roof, statics, tie
from rafterstay.core.errors import Finding, Mechanism
from rafterstay.job import Job
from rafterstay.loads import Cases
from rafterstay.statics import Forces
from rafterstay.statics.condense import Skeleton
from rafterstay.statics.network import Network
from rafterstay.statics.nouns import State
from rafterstay.statics.report import Answer
from tests.statics.roofs import FOOT, PLATE, POUND, PSF, Value, half_loaded, row, solved, stated

SOLVE = import_module("rafterstay.statics.solve")
INCH = FOOT / 12
STIFF: dict[str, Value] = {
    "support__walls": "stiff",
    "support__wall_stiffness": ["5 kip/in", "9 kip/in"],
}
STANDING: dict[str, Value] = {"pretension__set_when": "standing"}


def run(read: Job, cases: Cases) -> Forces:
    frame = roof.lay_out(read)
    return statics.solve(
        frame,
        tie.rig(read, frame),
        cases,
        walls=read.support.wall_stiffness,
        plate=roof.plate_sides(read, frame),
        standing=read.pretension.set_when == "standing",
    )


def side_rates(sides: int) -> tuple[float, float]:
    """Two 2x6 of Douglas Fir-Larch No. 2 flat, E 1.6e6 psi, and one joint. [N/m]"""
    long = 24 * FOOT * sin(pi / sides)
    timber = 1.6e6 * POUND / INCH**2 * 2 * 1.5 * 5.5 * INCH**2 / long
    joints = (1700 * POUND / (3 / 32 * INCH), 1700 * POUND / (1 / 32 * INCH))
    return tuple(1 / (1 / timber + 1 / joint) for joint in joints)  # type: ignore[return-value]


def thrust_of(sides: int, pressure: float) -> float:
    """Of a hip under even load on purlins: W R / (3 h), 12 ft and 6 ft. [N]"""
    return pressure * sin(2 * pi / sides) * (12 * FOOT) ** 3 / 2 / (3 * 6 * FOOT)


@pytest.mark.parametrize("sides", [3, 5, 8, 13])
def test_a_band_and_a_plate_share_as_their_stiffness(sides: int) -> None:
    """Both run round: k / (k + k_b) of H / (2 sin(pi/n)). docs/theory/plate-ring.md eq. 4."""
    read = stated(tie__layout="band", roof__sides=sides, rafter__ply="2x12", **PLATE)
    frame = roof.lay_out(read)
    rig = tie.rig(read, frame)
    (snow,) = half_loaded(frame, 7 * PSF, 0.0, other=1.0).cases
    snow = replace(snow, dead_factor=0.0)
    forces = run(read, Cases((snow,), replace(snow, hip_load=0 * snow.hip_load), False))
    opened = rig.turnbuckle_set / (200e9 * 0.75 * pi / 4 * rig.turnbuckle.thread**2)
    ring = thrust_of(sides, 7 * PSF) / (2 * sin(pi / sides))
    seen = []
    for k, state in enumerate(forces.states):
        if state.bound == "bare":
            assert (forces.plate_pull[k] == 0.0).all()
            continue
        rope = rig.leg_lengths[0] - rig.turnbuckle_set
        band = 1 / (rope / (rig.rope.stiffness * state.rope_factor) + opened)
        rate = side_rates(sides)["most" in state.variant]
        assert np.array(state.plate_stiffness) == pytest.approx(rate, rel=1e-9)
        joint = ring * rate / (rate + band)
        assert forces.plate_pull[k] == pytest.approx(joint, rel=2e-3)
        assert forces.first_order[k] == pytest.approx(ring - joint, rel=6e-3)
        seen.append(joint)
    assert len(seen) == 4
    assert max(seen) > 1.05 * min(seen)


def test_uneven_thrust_meets_the_sides_beside_it() -> None:
    """Balance of each foot: leg, walls and two sides of plate against the bare thrust's change.

    Sums over feet of what holds them equal the bare sum: 2 N sin(pi/n) a corner. Source: statics.
    """
    read = stated("reading-room", roof__sides=7, tie__height="0", **PLATE, **STIFF)
    frame = roof.lay_out(read)
    cases = half_loaded(frame, 13 * PSF, 20.0, other=0.4)
    forces = run(read, cases)
    bare = forces.first_order[0].sum()
    for k, state in enumerate(forces.states[1:], start=1):
        spread = forces.spread[k]
        grown = (spread + np.roll(spread, -1)) * sin(pi / 7)
        assert forces.plate_pull[k] == pytest.approx(
            grown * np.array(state.plate_stiffness), rel=0.02, abs=5.0
        )
        inward = (np.roll(forces.plate_pull[k], 1) + forces.plate_pull[k]) * sin(pi / 7)
        held = forces.leg_pull[k] + state.wall_stiffness * spread + inward
        assert held.sum() == pytest.approx(bare, rel=0.01)
        assert np.ptp(forces.plate_pull[k]) > 10.0


def test_no_bound_makes_the_tie_lighter() -> None:
    """The worse decides: rope and bolt are asked what they are with the plate jointed."""
    cases = half_loaded(roof.lay_out(stated()), 21 * PSF, 0.0, other=0.6)
    jointed = run(stated(tie__height="1/4", rafter__ply="2x12"), cases)
    runs_on = run(stated(tie__height="1/4", rafter__ply="2x12", **PLATE), cases)
    assert runs_on.leg_pull.max() == pytest.approx(jointed.leg_pull.max(), rel=1e-9)
    assert [state.bound for state in runs_on.states] == ["bare"] + 4 * ["stated"]


def dead_and_snow(read: Job) -> Cases:
    """Dead load, then dead load and even snow."""
    found = loads.gather(read, roof.lay_out(read))
    kept = tuple(one for one in found.cases if one.id in ("D/dead", "D+S/balanced"))
    return replace(found, cases=kept)


def test_a_standing_roof_holds_its_dead_load_without_the_tie() -> None:
    """Set to T on walls of k the feet come in by T (1 - h) / k. docs/theory/pretension.md eq. 4."""
    keys: dict[str, Value] = {
        "tie__height": "1/4",
        "loads__dead": "14 psf",
        "rafter__ply": "2x12",
        "pretension__target": "250 lb",
    }
    read = stated(**keys, **STIFF, **STANDING)
    forces = run(read, dead_and_snow(read))
    assert forces.setting.leg_pull == pytest.approx(250 * POUND, rel=1e-3)
    assert forces.setting.prop_force == 0.0
    held = [k for k, state in enumerate(forces.states) if state.held_thrust]
    assert len(held) == 8
    for k in held:
        state = forces.states[k]
        if state.case.id != "D/dead":
            continue
        # Nothing came on since setting: the legs pull as set, the feet stay.
        assert forces.leg_pull[k] == pytest.approx(250 * POUND, rel=4e-3)
        assert forces.spread[k] == pytest.approx(0.0, abs=2e-5)
        # The thrust that walls hold: that of the dead load, 14 psf square to a slope of 6 in A.
        deep = 12 * FOOT * np.cos(pi / 8)
        on_plan = 14 * PSF * np.hypot(1.0, 6 * FOOT / deep)
        assert np.array(state.held_thrust) == pytest.approx(thrust_of(8, on_plan), rel=1e-3)


def test_a_standing_roof_shares_only_what_comes_on_top() -> None:
    """The snow's share is alike with the dead load on the tie or left where it is (linear)."""
    read = stated(
        tie__height="0",
        loads__dead="14 psf",
        rafter__ply="2x12",
        pretension__target="300 lb",
        **STIFF,
        **STANDING,
    )
    forces = run(read, dead_and_snow(read))
    by_told: dict[str, list[float]] = {}
    for k, state in enumerate(forces.states):
        if state.bound == "stated":
            by_told.setdefault(state.variant, []).append(float(forces.first_order[k].mean()))
    for told, (dead, both) in by_told.items():
        if "today" in told:
            on_tie = by_told[told.removesuffix(", dead load on what holds it today")]
            assert both - dead == pytest.approx(on_tie[1] - on_tie[0], rel=0.02)
            assert dead == pytest.approx(300 * POUND, rel=0.01)
            assert on_tie[0] > 1.1 * dead
    assert len(by_told) == 8


def test_strength_never_reads_a_dead_load_left_on_the_walls() -> None:
    forces = run(
        read := stated("reading-room", tie__height="0", **STIFF, **STANDING), dead_and_snow(read)
    )
    assert not any(state.held_thrust for state in forces.for_strength().states)
    kinds = {(state.bound, bool(state.held_thrust)) for state in forces.for_spread().states}
    assert kinds == {("bare", False), ("stated", True)}
    propped = run(stated("reading-room", tie__height="0", **STIFF), dead_and_snow(read))
    assert forces.leg_pull.max() == pytest.approx(propped.leg_pull.max(), rel=2e-3)


def test_a_standing_roof_without_help_takes_no_more_than_its_dead_load() -> None:
    """The pull once the tie alone holds the roof is that of statics, whatever was set."""
    keys: dict[str, Value] = {"tie__height": "1/4", "loads__dead": "14 psf", "rafter__ply": "2x12"}
    pulls = []
    for pounds in (0, 300):
        read = stated(**keys, **STANDING, pretension__target=f"{pounds} lb")
        forces = run(read, dead_and_snow(read))
        assert forces.setting.spread == pytest.approx(0.0, abs=1e-5)
        pulls.append(forces.setting.lowered_pull)
    assert pulls[0] == pytest.approx(pulls[1], rel=1e-4)
    deep = 12 * FOOT * np.cos(pi / 8)
    dead = thrust_of(8, 14 * PSF * np.hypot(1.0, 6 * FOOT / deep)) / 0.75
    assert pulls[0] == pytest.approx(dead, rel=0.02)  # and the ropes' own weight
    with pytest.raises(Mechanism, match=r"ST-005.*draws the walls in") as caught:
        run(read := stated(**keys, **STANDING, pretension__target="1 kip"), dead_and_snow(read))
    assert caught.value.loose == "feet"


def test_a_lowered_prop_hands_over_the_dead_load() -> None:
    """docs/theory/pretension.md eq. 1: T0 / (1 - h), and the prop carries what is missing."""
    read = stated(tie__height="1/4", loads__dead="14 psf", rafter__ply="2x12")
    forces = run(read, dead_and_snow(read))
    deep = 12 * FOOT * np.cos(pi / 8)
    dead = thrust_of(8, 14 * PSF * np.hypot(1.0, 6 * FOOT / deep)) / 0.75
    assert forces.setting.lowered_pull == pytest.approx(dead, rel=0.02)
    assert forces.setting.leg_pull.max() < 0.2 * dead
    assert forces.setting.prop_force > 0.0


def test_the_band_of_a_standing_roof_is_drawn_in_by_all_of_its_pull() -> None:
    """Most pull: limits.spread k / (1 - h), eq. 4, where nothing else forbids it."""
    read = stated(
        "reading-room",
        limits__spread="1/32 in",
        pretension__target="auto",
        **STANDING,
        **STIFF,
    )
    band = design.pretension(read)
    assert read.support.wall_stiffness is not None
    most = INCH / 32 * read.support.wall_stiffness[0] / 0.7
    assert band.high_because == "walls-drawn-in"
    assert band.high == pytest.approx(most, rel=0.06)


def test_a_jointed_plate_has_no_sides() -> None:
    read = stated("reading-room")
    assert roof.plate_sides(read, roof.lay_out(read)) is None


LIFTED: dict[str, Value] = {"loads__wind__uplift": "30 psf", "loads__dead": "8 psf"}


def test_net_uplift_without_help_is_a_mechanism() -> None:
    """Nothing stated keeps the feet apart and a rope only pulls: no answer, exit 3 (ST-002)."""
    with pytest.raises(Mechanism, match=r"ST-002 0\.6D\+0\.6W/uplift.*support\.walls") as caught:
        design.check(stated("pavilion", **LIFTED))
    assert caught.value.loose == "feet"


@pytest.mark.parametrize("help_", [STIFF, PLATE])
def test_net_uplift_stands_by_the_help_alone_and_is_referred(help_: dict[str, Value]) -> None:
    """Feet drawn in against springs; upward forces balance; an engineer must decide."""
    done = design.check(stated("pavilion", **LIFTED, **help_))
    forces = done.forces
    ids = {state.id for state in forces.states}
    assert "0.6D+0.6W/uplift" in forces.left_out
    assert not set(forces.left_out) & ids
    assert {f"{each}/stated" for each in forces.left_out} <= ids
    here = row(forces, "0.6D+0.6W/uplift/stated")
    assert forces.spread[here].max() < 0.0
    case, frame = forces.states[here].case, done.frame
    hips = np.linalg.norm(frame.nodes[frame.heads] - frame.nodes[frame.feet], axis=1)
    on = case.hip_load.mean(axis=1) @ hips
    assert on < 0.0
    assert forces.foot_reaction[here].sum() == pytest.approx(on, rel=0.05)  # and the ropes
    (holddown,) = (each for each in done.checks.checks if each.id == "holddown")
    assert (holddown.status, done.checks.verdict) == ("refer", "refer")
    assert "draws the feet in" in holddown.why


def test_uplift_that_the_roof_outweighs_leaves_nothing_out() -> None:
    done = design.check(stated("pavilion", **STIFF))
    assert done.forces.left_out == ()


def test_a_ridge_held_up_keeps_its_bare_states_beside_stiff_walls() -> None:
    """Nothing pushes the feet out, and nothing but rounding draws them in."""
    walls: dict[str, Value] = {
        "support__walls": "stiff",
        "support__wall_stiffness": ["1 kip/in", "4 kip/in"],
    }
    forces = solved(stated("gable-workshop", roof__ridge="beam", **walls))
    assert forces.left_out == ()
    assert {state.bound for state in forces.states} == {"bare", "stated"}


@pytest.mark.parametrize("equation", ["D+0.75(0.6W)+0.75S", "D+S"])
def test_a_runaway_that_no_wind_lifts_is_not_left_to_the_walls(
    monkeypatch: pytest.MonkeyPatch, equation: str
) -> None:
    """Wind in the equation is not enough: the load of that very state must be upward."""
    job = stated("reading-room", loads__wind__uplift="3 psf", **STIFF)
    solve_batch = SOLVE.solve_batch

    def falls(bones: Skeleton, links: Network, states: list[State]) -> Answer:
        for state in states:
            if state.case.equation == equation and state.bound == "bare":
                found = Finding("ST-006", key=state.id, bound="stable", remedy="Brace the hips.")
                raise Mechanism(found, loose="head 1")
        return solve_batch(bones, links, states)

    monkeypatch.setattr(SOLVE, "solve_batch", falls)
    with pytest.raises(Mechanism, match="ST-006"):
        solved(job)
