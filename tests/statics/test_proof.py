"""The error bound: never below the true error, and small where the solver has done its work."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from rafterstay.statics.bound import energy_gap, force_error
from rafterstay.statics.network import Pose
from rafterstay.statics.newton import settle
from rafterstay.statics.problem import Problem, held_in
from tests.statics.roofs import stated
from tests.statics.states import problem_of


def _problem() -> tuple[Problem, Pose]:
    job = stated("reading-room", tie__height="0.27", roof__sides=7)
    frame = roof.lay_out(job)
    return problem_of(frame, tie.rig(job, frame), loads.gather(job, frame))


def test_the_bound_is_small_at_rest() -> None:
    """A millionth of the largest pull is asked; rounding gives far better."""
    problem, start = _problem()
    rest = settle(problem, start)
    bound = force_error(problem, rest.pose, rest.pulls)
    assert (bound < 1e-8 * rest.pulls.leg_pull.max(axis=(1, 2))).all()


def test_a_frame_far_stiffer_than_its_legs_is_proved_as_well() -> None:
    """23 legs, hub disc and snug welded ring: rounding is judged by what is out of balance."""
    job = stated(
        roof__sides=23,
        roof__plate_radius="10.02 ft",
        roof__rise="5.77 ft",
        roof__hub="disc",
        roof__hub_radius="12.5 in",
        rafter__ply="2x10",
        tie__height="0.002",
        tie__ring_radius="10 in",
        loads__snow__roof="21.5 psf",
        loads__dead="11.2 psf",
        parts__rope="7x19 galvanized 3/16 in",
    )
    frame = roof.lay_out(job)
    rig = replace(tie.rig(job, frame), ring="welded", ring_mass=1.82)
    forces = statics.solve(frame, rig, loads.gather(job, frame))
    assert (forces.force_error < 1e-7 * forces.leg_pull.max(axis=1)).all()


def test_what_rounding_leaves_of_a_loose_movement_carries_nothing() -> None:
    """22 legs almost level under a stiff disc: turning it takes 1e-3 N/m of rounding, not of wood.

    The dead load alone, the least that presses on them.
    """
    job = stated(
        roof__sides=22,
        roof__plate_radius="7.28 ft",
        roof__rise="5.02 ft",
        roof__hub="disc",
        roof__hub_radius="9.5 in",
        rafter__ply="2x6",
        tie__height="0.001",
        tie__ring_radius="7.9 in",
        loads__snow__roof="23.2 psf",
        loads__dead="7.0 psf",
        parts__rope="7x19 galvanized 5/16 in",
        parts__ring_rope="7x19 galvanized 5/16 in",
    )
    frame = roof.lay_out(job)
    every = loads.gather(job, frame)
    dead = replace(every, cases=tuple(case for case in every.cases if case.id == "D/dead"))
    forces = statics.solve(frame, tie.rig(job, frame), dead)
    assert (forces.force_error < 1e-7 * forces.leg_pull.max(axis=1)).all()


def test_a_leg_that_is_gone_is_proved_as_well() -> None:
    """Three legs, one gone: next to no pull, and 1e-16 N would count over what it is short of."""
    job = stated(
        roof__sides=3,
        roof__hub="ring",
        roof__hub_radius="19 in",
        roof__hub_width="2 3/4 in",
        roof__hub_depth="8 3/8 in",
        tie__height="0.1",
    )
    frame = roof.lay_out(job)
    rig, cases = tie.rig(job, frame), loads.gather(job, frame)
    lost = statics.lose_each(frame, rig, cases, statics.solve(frame, rig, cases))
    assert lost


@pytest.mark.parametrize("size", [1e-7, 1e-5, 1e-3, 3e-2])
def test_the_true_error_is_never_above_the_bound(size: float) -> None:
    """Poses off the rest by a known, random amount; truth is the rest itself, known to 1e-8."""
    problem, start = _problem()
    rest = settle(problem, start)
    truth = rest.pulls.leg_pull
    rng = np.random.default_rng(20)
    tried = 0
    for _ in range(10):
        pose = Pose(
            rest.pose.kept + rng.normal(0, size, rest.pose.kept.shape),
            rest.pose.ring + rng.normal(0, size, rest.pose.ring.shape),
            rest.pose.joints + rng.normal(0, size, rest.pose.joints.shape),
        )
        held = held_in(problem, pose)
        bound = force_error(problem, pose, held)
        error = np.abs(held.leg_pull - truth)[:, :, [0, 2]].max(axis=(1, 2))
        assert (error <= bound * (1 + 1e-9) + 1e-6).all()
        tried += len(error)
    assert tried >= 290


def test_the_gap_is_the_energy_above_the_minimum_or_more() -> None:
    """Energies worked out here from the definition, docs/theory/convexity.md eq. 1."""
    problem, start = _problem()
    rest = settle(problem, start)
    rng = np.random.default_rng(3)
    pose = Pose(
        rest.pose.kept + rng.normal(0, 2e-4, rest.pose.kept.shape),
        rest.pose.ring + rng.normal(0, 2e-4, rest.pose.ring.shape),
        rest.pose.joints + rng.normal(0, 2e-4, rest.pose.joints.shape),
    )
    held = held_in(problem, pose)
    above = _energy(problem, pose) - _energy(problem, rest.pose)
    gap = energy_gap(problem, pose, held)
    assert (above > 0).all()
    assert (above <= gap * (1 + 1e-9)).all()


def _energy(problem: Problem, pose: Pose) -> np.ndarray:
    held = held_in(problem, pose)
    links = problem.links
    stretched = (held.leg_pull**2 / (2 * links.leg_rate)).sum(axis=(1, 2))
    stretched += (held.side_pull**2 / (2 * links.side_rate)).sum(axis=1)
    bent = 0.5 * np.einsum("bi,ij,bj->b", pose.kept, problem.frame.stiffness[0], pose.kept)
    lowered = (links.joint_weight * pose.joints[..., 2]).sum(axis=(1, 2)) * problem.weight
    lowered += (links.end_weight * held.ends[..., 2]).sum(axis=1) * problem.weight
    return stretched + bent + lowered - (problem.frame.push * pose.kept).sum(axis=1)
