"""Hips that lean sideways at the tie bolt are refused where a strut's two chords say so.

Hips that no deck holds, rigid upright, meet in a point; legs meet in one too. Sideways each is a
beam between pins, 3 E I L/(a b)^2 at the bolt, a from the foot and b from the head; a leg that
points to the centre adds T/rho; compression takes N1/a + N2/b. So they stand while

    3 E I L/(a b)^2 > N1/a + N2/b - T/rho.

Source: beam between pins, any table of beams; kinked chord of a strut (Timoshenko and Gere, Theory
of Elastic Stability, rigid bars joined by springs); T and N by moments of one hip. No program.
"""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi, sin

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.core.errors import Mechanism
from rafterstay.statics import Forces
from tests.statics.roofs import FOOT, PSF, half_loaded, stated

SIDES, OUT, RISE = 8, 12 * FOOT, 6 * FOOT  # the octagon
SNOW = 37 * PSF


def _needed(part: float) -> float:
    """E I sideways at which hips tied at ``part`` of the rise just stand. [N m2]"""
    long = hypot(OUT, RISE)
    a, b = part * long, (1 - part) * long
    # A slice of roof is a triangle: W (1 - t)^2 of its load lies above the part t of a hip, whose
    # share along the hip presses there; N1 and N2 are the means of that over each chord.
    weight = SNOW * OUT**2 / 2 * sin(2 * pi / SIDES)
    pull = weight * OUT / (3 * RISE * (1 - part))
    lower = weight * RISE / long * (1 - (1 - part) ** 3) / (3 * part)
    upper = weight * RISE / long * (1 - part) ** 2 / 3 + pull * OUT / long
    taken = lower / a + upper / b - pull / (OUT * (1 - part))
    return taken * (a * b) ** 2 / (3 * long)


def _solved(part: float, share: float) -> Forces:
    """Hips with ``share`` of what they need sideways, rigid upright and in twist."""
    job = stated(roof__bracing="none", tie__height=str(part))
    frame = roof.lay_out(job)
    members = tuple(
        replace(
            hip,
            weak=share * _needed(part) / hip.e,
            strong=1e3 * hip.strong,
            torsion=1e3 * hip.torsion,
        )
        for hip in frame.members
    )
    frame = replace(frame, members=members)
    rig = tie.rig(job, frame)
    centre = rig.ring_points.mean(axis=0)
    rig = replace(
        rig,
        ring="point",
        ring_points=np.tile(centre, (SIDES, 1)),
        leg_lengths=np.linalg.norm(rig.bolt_points - centre, axis=1),
    )
    return statics.solve(frame, rig, half_loaded(frame, SNOW, 0.0, 1.0))


@pytest.mark.parametrize("part", [0.2, 0.3, 0.4])
def test_hips_a_twentieth_too_slender_are_refused(part: float) -> None:
    """Pulls stay as they are, pass after pass: only a push to the side tells."""
    with pytest.raises(Mechanism, match="ST-006.*carries tie bolt") as refused:
        _solved(part, 0.95)
    assert refused.value.loose.startswith("tie bolt")


@pytest.mark.parametrize("part", [0.2, 0.3, 0.4])
def test_hips_a_twentieth_stiffer_stand(part: float) -> None:
    pull = SNOW * OUT**2 / 2 * sin(2 * pi / SIDES) * OUT / (3 * RISE * (1 - part))
    assert _solved(part, 1.05).first_order[0] == pytest.approx(pull, rel=0.005)


@pytest.mark.parametrize("share", [0.6, 0.3])
def test_hips_far_too_slender_are_refused_as_well(share: float) -> None:
    with pytest.raises(Mechanism, match="ST-006"):
        _solved(0.3, share)
