"""Roofs to solve: the octagon of the contract with some keys changed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from rafterstay import job, loads, roof, statics, tie
from rafterstay.job import Job
from rafterstay.job.examples import example
from rafterstay.loads import Cases
from rafterstay.loads.gather import combine
from rafterstay.loads.laid import Plan
from rafterstay.loads.spread import dead_lines, halves
from rafterstay.roof import Frame
from rafterstay.statics import Forces
from rafterstay.tie import Tie

POUND = 4.4482216152605  # [N], exact by definition
FOOT = 0.3048
PSF = POUND / FOOT**2

Value = str | bool | int | list[str]

# A plate that runs on: two 2x6 flat, joined at every corner.
PLATE: dict[str, Value] = {
    "support__plate": "continuous",
    "support__plate_ply": "2x6",
    "support__plate_plies": 2,
    "support__joint_capacity": "1700 lb",
    "support__joint_slip": ["1/32 in", "3/32 in"],
}


def text_of(name: str) -> str:
    """A roof kept beside the tests, whose figures they pin, else an example."""
    kept = Path(__file__).with_name(f"{name}.toml")
    return kept.read_text(encoding="utf-8") if kept.exists() else example(name)


def stated(name: str = "octagon", /, **changes: Value) -> Job:
    """A roof with keys changed: ``roof__sides=10`` sets ``roof.sides``."""
    text = text_of(name)
    for key, value in changes.items():
        text = job.set_value(text, key.replace("__", "."), value)
    return job.loads(text)


def solved(stated_job: Job) -> Forces:
    """Forces of a job, every case."""
    frame = roof.lay_out(stated_job)
    return statics.solve(
        frame,
        tie.rig(stated_job, frame),
        loads.gather(stated_job, frame),
        walls=stated_job.support.wall_stiffness,
    )


def half_loaded(frame: Frame, pressure: float, direction_deg: float, other: float = 0.0) -> Cases:
    """Snow on one half of the roof only, given to the cases directly."""
    plan = Plan.of(frame, 0.0)
    nothing = dead_lines(plan, 0.0)
    snow = halves(plan, direction_deg, pressure, other * pressure)
    case = combine("S", nothing, snow, 1.0, pattern="half", direction=direction_deg)
    return Cases((case,), combine("D", nothing, None, 0.0, pattern="dead"), simplified_snow=True)


def row(forces: Forces, state_id: str) -> int:
    """Index of a state by its id, the first where several share it."""
    return [state.id for state in forces.states].index(state_id)


def rigid(frame: Frame) -> Frame:
    """The same roof of timber a thousand times as stiff."""
    stiff = tuple(replace(each, e=1e3 * each.e, g=1e3 * each.g) for each in frame.members)
    return replace(frame, members=stiff)


def weightless(rigged: Tie) -> Tie:
    """The same ropes and turnbuckles without their weight."""
    return replace(
        rigged,
        rope=replace(rigged.rope, mass=1e-9),
        ring_rope=replace(rigged.ring_rope, mass=1e-9),
        turnbuckle=replace(rigged.turnbuckle, mass=1e-9),
    )
