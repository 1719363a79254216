"""A hub ring takes no thrust off the tie: heads roll on it under even load.

By hand: moments about the head of one hip, W_k the load on it with its lever to the head, W_h what
the hub hands to its head. The foot bears all; the leg pulls at Hc below the hub:
T (Hr - Hc) = sum of W_k a_k + W_h (R - r), a_k from the foot. No ring, stiff or soft, is in it.
"""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from tests.statics.roofs import PSF, Value, half_loaded, row, solved, stated

RING: dict[str, Value] = {"roof__hub": "ring", "roof__hub_radius": "14 in"}
SECTIONS = {
    "soft": ("2 in", "4 in"),
    "usual": ("4 in", "9 in"),
    "past all reason": ("8 in", "20 in"),
}


@pytest.mark.parametrize("section", SECTIONS)
@pytest.mark.parametrize(("sides", "height"), [(7, 0.5), (10, 1 / 3)])
def test_even_load_is_the_ties_alone(section: str, sides: int, height: float) -> None:
    width, depth = SECTIONS[section]
    job = stated(
        "reading-room",
        roof__sides=sides,
        roof__hub_width=width,
        roof__hub_depth=depth,
        tie__height=f"{height:.6f}",
        parts__rope="7x19 galvanized 3/16 in",
        **RING,
    )
    frame = roof.lay_out(job)
    forces = solved(job)
    case = next(one for one in loads.gather(job, frame).cases if one.id == "D+S/balanced")
    run = job.roof.plate_radius - job.roof.hub_radius
    long = hypot(run, job.roof.rise)
    foot, head = np.asarray(case.hip_load)[0]
    # A line that falls from foot to head: its moment about the foot, on plan.
    levelled = (foot / 6 + head / 3) * long * run + float(case.head_load[0]) * run
    by_hand = levelled / (job.roof.rise * (1 - height))
    at = row(forces, "D+S/balanced")
    # Ropes, turnbuckles and ring weigh besides: half a per cent.
    assert forces.first_order[at] == pytest.approx(by_hand, rel=0.006)
    assert np.abs(forces.head_moment[at]).max() < 0.02 * by_hand * 0.01


def test_one_sided_load_still_passes_through_the_ring() -> None:
    """First harmonic: sum of M_k cos is r times that of V_k cos, docs/theory/hub.md eq. 5."""
    job = stated("reading-room", roof__hub_width="4 in", roof__hub_depth="9 in", **RING)
    forces = solved(job)
    at = row(forces, "D+S/unbalanced-000")
    assert forces.head_moment[at].max() > 50.0
    assert np.ptp(forces.leg_pull[at]) < 0.5 * forces.leg_pull[at].max()


def test_a_hub_ring_holds_no_more_without_the_ring_of_the_tie_than_a_disc() -> None:
    """Cut once, legs pull as under a disc; a hub that held the heads would leave them slack."""
    pulls = {}
    for hub, section in (
        ("ring", {"roof__hub_width": "4 in", "roof__hub_depth": "9 in"}),
        ("disc", {}),
    ):
        job = stated("reading-room", roof__hub=hub, roof__hub_radius="14 in", **section)
        frame = roof.lay_out(job)
        loss = statics.lose_side(
            frame, tie.rig(job, frame), half_loaded(frame, 22 * PSF, 0.0, 1.0), 2
        )
        assert loss.after is not None
        pulls[hub] = loss.after.leg_pull.max()
    assert pulls["ring"] == pytest.approx(pulls["disc"], rel=0.02)
