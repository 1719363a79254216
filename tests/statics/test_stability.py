"""A roof in balance that a small push would carry away is refused, and no other."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from rafterstay.core.errors import Mechanism
from rafterstay.job import Job
from rafterstay.roof.frame import Floats
from tests.statics.roofs import solved, stated

# The package's own name for what it does; the module has it too.
STABILITY = import_module("rafterstay.statics.stability")


def undecked(sides: int, **changes: str) -> Job:
    keys = {"roof__bracing": "none", "roof__hub_width": "4 in", "roof__hub_depth": "9 in"}
    keys |= {"roof__hub": "ring", "roof__hub_radius": "12 in"}
    return stated("reading-room", roof__sides=sides, **keys | changes)


@pytest.mark.parametrize("sides", [3, 6, 8, 12])
def test_a_roof_that_turns_down_about_its_own_axis_is_refused(sides: int) -> None:
    """Hips free to lean sideways round a ring: it turns and comes down, whatever the ropes do."""
    with pytest.raises(Mechanism, match="ST-006.*carries head") as refused:
        solved(undecked(sides))
    assert "deck" in refused.value.findings[0].remedy


@pytest.mark.parametrize("sides", [3, 8])
def test_a_deck_keeps_it_from_turning(sides: int) -> None:
    assert (solved(undecked(sides, roof__bracing="deck")).leg_pull > 0).any()


def test_how_hard_it_turns_down_is_that_of_struts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rigid struts from fixed feet to a ring that turns by phi, by the geometry of a triangle.

    A strut of length L from radius R to radius r stands h = sqrt(L2 - R2 - r2 + 2 R r cos phi)
    high, so load V carried to the heads loses V R r / h a radian squared; the bolt at part k
    comes nearer the middle by k (1 - k) R r / rho, where the leg's level pull T is too little to
    stop it. Source: virtual work; no program. Hips bend, legs hold a little by their tension:
    3 %.
    """
    found: list[tuple[float, Floats]] = []

    def softest(*given: object, **more: object) -> tuple[float, Floats]:
        found.append(real(*given, **more))
        return found[-1]

    real = STABILITY._softest
    monkeypatch.setattr(STABILITY, "_softest", softest)
    stiff = {"roof__hub_width": "6 in", "roof__hub_depth": "16 in"}
    job = undecked(8, **stiff)
    frame = roof.lay_out(job)
    rig, cases = tie.rig(job, frame), loads.gather(job, frame)
    with pytest.raises(Mechanism):
        statics.solve(frame, rig, cases)
    least, way = found[-1]
    # The same even load on the same roof under a deck: what each leg pulls.
    decked = statics.solve(roof.lay_out(undecked(8, roof__bracing="deck", **stiff)), rig, cases)
    assert decked.states[0].case.id == "D/dead"
    pull = float(decked.leg_pull[0].mean())
    feet, heads, bolts = (frame.nodes[k] for k in (frame.feet, frame.heads, frame.bolts))
    outer, inner, rho = (float(np.linalg.norm(x[0, :2])) for x in (feet, heads, bolts))
    tall = float(heads[0, 2] - feet[0, 2])
    part = float((bolts[0, 2] - feet[0, 2]) / tall)
    # Moments about a foot that nothing holds outward: load carried to the head against the pull.
    carried = pull * (1 - part) * tall / (outer - inner)
    lost = 8 * outer * inner * (carried / tall + pull * part * (1 - part) / rho)
    turn = float((way[frame.heads, :3] * frame.sideways).sum(axis=1).mean()) / inner
    assert least / turn**2 == pytest.approx(-lost, rel=0.03)


def test_a_roof_that_is_only_soft_is_answered() -> None:
    """Undecked hips on a disc, 100 N/m left of 3,500: judged by soft directions alone it falls."""
    job = stated(
        roof__sides=5,
        roof__plate_radius="16.45 ft",
        roof__rise="16.05 ft",
        roof__hub="disc",
        roof__hub_radius="7.8 in",
        roof__bracing="none",
        tie__height="0.279",
        tie__ring_radius="6.2 in",
        loads__snow__roof="34 psf",
        loads__dead="13.7 psf",
        rafter__ply="2x12",
        parts__rope="7x19 galvanized 3/8 in",
        parts__ring_rope="7x19 galvanized 3/8 in",
    )
    frame = roof.lay_out(job)
    every = loads.gather(job, frame)
    one = tuple(case for case in every.cases if case.id == "D+S/unbalanced-036")
    assert statics.solve(frame, tie.rig(job, frame), replace(every, cases=one)).leg_pull.min() > 0
