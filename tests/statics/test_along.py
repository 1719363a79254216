"""Forces inside a hip against statics of its parts."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay import roof
from tests.statics.roofs import FOOT, PSF, row, solved, stated


def test_the_moment_at_a_raised_tie_is_the_handbook_one() -> None:
    """Foot reaction times its lever less the load between, on plan.

    V x - (a x2 / 2 - (a / L) x3 / 6) with the slice's line of load a falling to nil at the
    hub. Source: statics; docs/theory/thrust.md section 5 has the gable's case.
    """
    job = stated(tie__height="0.3", rafter__ply="2x12", loads__snow__roof="20 psf")
    forces = solved(job)
    here = row(forces, "D+S/balanced")
    radius = 12 * FOOT
    most = 20 * PSF * radius * np.sin(2 * np.pi / 8)  # per metre of plan at the foot
    out = 0.3 * radius
    whole = most * radius / 2
    moment = whole * out - (most * out**2 / 2 - most / radius * out**3 / 6)
    at_bolt = int(np.flatnonzero(np.isclose(forces.hip_at, 0.3))[0])
    assert forces.hip_moment[here, :, at_bolt] == pytest.approx(moment, rel=0.015)
    assert forces.hip_moment[here, :, at_bolt + 1] == pytest.approx(moment, rel=0.015)
    assert forces.hip_moment[here].max() == pytest.approx(
        forces.hip_moment[here, :, at_bolt].max(), rel=0.02
    )


def test_forces_at_foot_and_head_are_those_of_the_joints() -> None:
    """The foot gives its reaction, the head what the hub gives back; both ends are joints."""
    job = stated("reading-room", tie__height="0.25")
    frame = roof.lay_out(job)
    forces = solved(job)
    here = row(forces, "D+S/unbalanced-054")
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    slope = axis[:, 2] / np.linalg.norm(axis, axis=1)
    assert np.abs(forces.hip_moment[here, :, 0]).max() < 1.0
    # Displaced by under a hundredth: angles, and so components, differ by as much.
    assert forces.hip_axial[here, :, 0] == pytest.approx(
        forces.foot_reaction[here] * slope, rel=0.02
    )
    push = np.hypot(forces.head_push[here], forces.head_shear[here])
    inside = np.hypot(forces.hip_axial[here, :, -1], forces.hip_shear[here, :, -1])
    assert inside == pytest.approx(push, rel=0.01)
    assert np.abs(forces.hip_moment[here, :, -1]) == pytest.approx(
        forces.head_moment[here], rel=1e-6
    )


def test_shear_is_the_slope_of_the_moment() -> None:
    """Between the bolt and the head, by differences. Source: equilibrium of a slice."""
    job = stated("reading-room", tie__height="0.25")
    frame = roof.lay_out(job)
    forces = solved(job)
    here = row(forces, "D+S/unbalanced-018")
    hip = np.linalg.norm(frame.nodes[frame.heads[0]] - frame.nodes[frame.feet[0]])
    upper = slice(17, 34)
    at = forces.hip_at[upper] * hip
    slope = np.gradient(forces.hip_moment[here][:, upper], at, axis=1)[:, 1:-1]
    shear = forces.hip_shear[here][:, upper][:, 1:-1]
    assert slope == pytest.approx(shear, rel=0.01, abs=0.005 * np.abs(shear).max())
