"""A ring cut once: pulls of all legs and sides by a cone programme that knows no cut side.

``conic`` is PyNiteFEA with clarabel; docs/theory/referee.md says what it does. The tool makes a
cut side far longer than any reach, here it is left out. Forces round the open ring are added up
besides: statics of a chain that hangs free at both ends.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from rafterstay.statics import Losses
from tests.statics.roofs import stated

from . import conic
from .model import build, lay_load, read

ROOF = Path(__file__).parents[1] / "statics" / "reading-room.toml"


@pytest.fixture(scope="module")
def cut() -> Losses:
    """The batch that the checks use."""
    job = stated("reading-room")
    frame = roof.lay_out(job)
    rig, cases = tie.rig(job, frame), loads.gather(job, frame)
    forces = statics.solve(frame, rig, cases, walls=job.support.wall_stiffness)
    found = statics.lose_each(
        frame, rig, cases, forces, walls_help=job.support.wall_stiffness is not None
    )
    (sides,) = [each for each in found if each.of == "side"]
    return sides


def test_pulls_of_an_open_ring(cut: Losses) -> None:
    assert cut.after is not None
    (state,) = cut.after.states
    assert state.case.equation == "D+S"
    job = read(ROOF, {})
    model = build(job, wall=0.0, leg_extra=np.zeros(int(job["roof"]["sides"])))
    side = 3 * model.n + cut.numbers[0] - 1
    assert model.links[side].leg == -1
    links = model.links[:side] + model.links[side + 1 :]
    answer = conic.solve(replace(model, links=links), lay_load(job, towards=None))
    legs = answer.legs(model)
    assert cut.after.first_order[0] == pytest.approx(legs, abs=1e-6 * legs.max())
    # Or this says nothing of a cut: the two legs beside it draw hardest, their neighbours least.
    assert legs.max() > 1.5 * cut.before.first_order.max()
    assert legs.min() < 0.2 * cut.before.first_order.min()


def test_an_open_ring_adds_up_as_a_chain(cut: Losses) -> None:
    """The pull of a side is the sum of the legs between it and the cut; beyond the last, nil."""
    assert cut.after is not None
    pull = (cut.after.leg_pull[0][:, None] * cut.after.pull_direction[0])[:, :2]
    first = cut.numbers[0]  # the eye after the cut side, from 0
    chain = np.linalg.norm(np.cumsum(np.roll(pull, -first, axis=0), axis=0), axis=1)
    sides = np.roll(cut.after.ring_pull[0], -first)
    assert sides[-1] == 0
    # Upright parts, of the sag alone, are under a thousandth of it.
    assert sides == pytest.approx(chain, abs=1e-3 * chain.max())
