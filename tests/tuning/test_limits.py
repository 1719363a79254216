"""What no leg may exceed while it is tuned: the least of everything from the ring to the wood."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay import design, loads, roof, statics, tie, tuning
from rafterstay.job import Job
from tests.statics.roofs import Value, stated

LB = 4.4482216152605
PLATE: dict[str, Value] = {
    "support__plate": "continuous",
    "support__plate_ply": "2x6",
    "support__plate_plies": 2,
    "support__joint_capacity": "2 kip",
    "support__joint_slip": ["1/32 in", "1/8 in"],
}


def _model(job: Job) -> tuning.Model:
    frame = roof.lay_out(job)
    return tuning.model_of(
        frame,
        tie.rig(job, frame),
        loads.gather(job, frame),
        walls=job.support.wall_stiffness,
        set_temperature=job.loads.set_temperature,
        plate=roof.plate_sides(job, frame),
        standing=job.pretension.set_when == "standing",
    )


def _checked(job: Job) -> design.Design:
    return design.check(job)


def test_the_weakest_part_of_the_chain_limits_a_leg() -> None:
    """Service pull over utilisation, part by part, worked here from what was checked."""
    job = stated("reading-room")
    done = _checked(job)
    goal = tuning.goal_of(_model(done.job), checked=(done.forces, done.checks))
    by_id = {check.id: check for check in done.checks.checks}
    service = float(done.forces.leg_pull.max())
    # The hip's own net section at the bolt is fullest, and at the fullest leg.
    assert goal.most == pytest.approx(service / by_id["wood-net"].utilisation, rel=1e-6)
    assert goal.most_by == "the hip at the bolt's hole"
    bare = tuning.goal_of(_model(done.job))
    # A fifth of the 9800 lb of 5/16 in rope, under the 2200 lb of a turnbuckle of 1/2 in.
    assert bare.most == pytest.approx(9800 / 5 * LB, rel=1e-6)
    assert bare.most_by == "the rope"


def test_a_lighter_shackle_limits_it_further() -> None:
    """A shackle rated 1/3 ton stands in the chain of every leg."""
    job = stated("reading-room")
    done = _checked(job)
    light = [
        replace(check, id="shackle-load", demand=6000.0, capacity=2964.0)
        if check.id == "bolt-steel"
        else check
        for check in done.checks.checks
    ]
    checks = replace(done.checks, checks=tuple(light))
    goal = tuning.goal_of(_model(done.job), checked=(done.forces, checks))
    rows = [k for k, one in enumerate(done.forces.states) if one.id == light[0].combination]
    assert rows
    assert goal.most_by == "the shackle"
    assert goal.most < 0.5 * float(done.forces.leg_pull.max())


@pytest.mark.parametrize(
    "changes",
    [{}, PLATE, {"pretension__set_when": "standing"}, PLATE | {"pretension__set_when": "standing"}],
    ids=["propped", "plate", "standing", "standing on its plate"],
)
def test_a_tie_as_drawn_hangs_as_it_was_set(changes: dict[str, Value]) -> None:
    """Feet and pulls beside the setting state of the statics, solved there on its own."""
    job = stated("reading-room", pretension__target="150 lb", **changes)
    model = _model(job)
    stand = model.stand(np.zeros(model.layout.size))
    assert stand.pull.mean() == pytest.approx(150 * LB, rel=2e-4)
    frame = roof.lay_out(job)
    solved = statics.solve(
        frame,
        tie.rig(job, frame),
        loads.gather(job, frame),
        plate=roof.plate_sides(job, frame),
        standing=job.pretension.set_when == "standing",
    )
    spread = solved.setting.spread
    if "support__plate" not in changes:
        # Bare walls there as here.
        assert stand.outward == pytest.approx(spread, abs=1e-7)
    elif "pretension__set_when" in changes:
        assert stand.outward.max() < -1e-5  # legs draw the feet in against the plate
    else:
        assert 0.0 < stand.outward.max() < 0.8 * spread.max()


def test_a_plate_that_runs_on_is_an_unknown_of_its_own() -> None:
    """Its stiffness is believed within what the joints are stated to open."""
    job = stated("reading-room", pretension__target="150 lb", **PLATE)
    model = _model(job)
    assert model.layout.walls == 1
    prior = tuning.prior_of(job, model)
    assert prior.walls_sigma == pytest.approx(np.log(4.0) / 12**0.5)
    causes = np.zeros(model.layout.size)
    causes[model.layout.wall] = 3.0
    firm = model.stand(causes).outward
    causes[model.layout.wall] = 0.0
    causes[0] = -2e-3
    soft = model.stand(causes)
    causes[model.layout.wall] = 3.0
    stiff = model.stand(causes)
    # The drawing's own rest is kept; what a turn then does to the feet is less.
    assert firm == pytest.approx(model.stand(np.zeros(model.layout.size)).outward, abs=1e-7)
    assert np.abs(stiff.outward - firm).max() < 0.7 * np.abs(soft.outward - firm).max()
