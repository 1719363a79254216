"""A roof of seven sides with pulls put in by hand: every leg, side and state unlike.

The roof and the tie are laid out from a job; the forces are our own invention, so a check is
tested on what it makes of them and on nothing the solver does.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rafterstay import job, roof, tie
from rafterstay.checks import Check, Checks, verify
from rafterstay.core.sources import Source
from rafterstay.job import Job
from rafterstay.loads.nouns import Case
from rafterstay.roof import Frame
from rafterstay.statics.nouns import Forces, Setting, State
from rafterstay.tie import Tie

LBF = 4.4482216152605
INCH = 0.0254
N = 7
CLAUSE = Source("ASCE/SEI 7", "2016", "2.4.1", "read", 96)

JOB = """
schema = 1
[job]
title = "Seven sides"
show = "{show}"
[roof]
shape = "polygon"
sides = 7
plate_radius = "11'-3 1/2\\""
hub = "disc"
hub_radius = "7 in"
rise = "6'-7\\""
bracing = "{bracing}"
hub_shear_allowable = "{hub_shear}"
hub_tension_allowable = "{hub_tension}"
[support]
holddown_allowable = "{holddown}"
[loads]
dead = "11 psf"
snow = {{ roof = "37 psf" }}
[rafter]
species = "{species}"
grade = "No. 2"
ply = "{ply}"
gap = "{gap}"
block_spacing = "{blocks}"
brace_spacing = "{braces}"
seat = "{seat}"
end_fixity = "{fixity}"
tail = "{tail}"
[tie]
height = "{height}"
ring_radius = "{ring_radius}"
[parts]
rope = "{rope}"
ring_rope = "{ring_rope}"
turnbuckle = "{turnbuckle}"
bolt = "{bolt}"
thimble = "{thimble}"
sleeve = "{sleeve}"
shackle = "{shackle}"
eye_spacers = {eye_spacers}
[pretension]
target = "{target}"
[site]
wet_service = {wet}
timber_treatment = "{treatment}"
"""
STATED = {
    "show": "us",
    "hub_shear": "900 lb",
    "hub_tension": "0 lb",
    "bracing": "deck",
    "holddown": "0 lb",
    "species": "Hem-Fir",
    "ply": "2x10",
    "blocks": "2 ft",
    "braces": "2 ft",
    "seat": "3 in",
    "fixity": "none",
    "shackle": "none",
    "wet": "false",
    "treatment": "none",
    "gap": "7/8 in",
    "tail": "14 in",
    "height": "3/11",
    "ring_radius": "6 1/2 in",
    "rope": "7x19 galvanized 1/4 in",
    "ring_rope": "7x19 galvanized 5/16 in",
    "turnbuckle": "jaw-jaw 1/2 in x 6 in",
    "bolt": "A307 5/8 in",
    "thimble": "heavy 1/4 in",
    "sleeve": "copper oval 1/4 in",
    "eye_spacers": "true",
    "target": "0 lb",
}


def stated(**changes: str) -> tuple[Job, Frame, Tie]:
    """The job, its frame and its tie, with some keys changed."""
    read = job.loads(JOB.format_map({**STATED, **changes}))
    frame = roof.lay_out(read)
    return read, frame, tie.rig(read, frame)


def state(equation: str, pattern: str, factor: float, direction: float | None = None) -> State:
    nothing = np.zeros((N, 2))
    case = Case(equation, pattern, direction, factor, 1.0, nothing, np.zeros(N), CLAUSE)
    return State(case)


STATES = (
    state("D", "dead", 0.9),
    state("D+S", "balanced", 1.15),
    state("D+S", "unbalanced", 1.15, 77.0),
)


def forces(frame: Frame, tie: Tie, scale: float = 1.0) -> Forces:
    """Unlike pulls in pounds; leg 5 pulls most under one-sided snow."""
    leg = (
        scale
        * LBF
        * np.array(
            [
                [213.0, 208.5, 221.0, 217.3, 211.9, 206.4, 219.8],
                [703.1, 698.2, 711.6, 707.4, 701.9, 696.3, 709.5],
                [402.7, 511.3, 655.1, 780.6, 861.2, 719.4, 466.6],
            ]
        )
    )
    ring = 1.15238 * (leg + np.roll(leg, -1, axis=1)) / 2.0
    toward = tie.ring_points - tie.bolt_points
    toward = toward + np.array([0.0, 0.0, -0.004]) * np.arange(1, N + 1)[:, None]
    direction = toward / np.linalg.norm(toward, axis=1, keepdims=True)
    spread = INCH * np.array([[0.021], [0.117], [0.149]]) * (1.0 + 0.03 * np.arange(N))
    shear = scale * LBF * np.array([[3.0], [12.0], [288.0]]) * (1.0 + 0.05 * np.arange(N))
    return Forces(
        states=STATES,
        setting=Setting(
            leg_pull=np.zeros(N),
            lowered_pull=leg[0],
            prop_force=1234.0,
            ring_centre=np.array([0.0, 0.0, tie.height]),
            leg_length=tie.leg_lengths - tie.turnbuckle_set + 0.001 * np.arange(N),
            ring_length=np.full(N, 0.14),
            spread=np.zeros(N),
        ),
        leg_pull=leg,
        first_order=leg * 0.97,
        amplification=np.array([1.01, 1.03, 1.03]),
        ring_pull=ring,
        slack=np.zeros((3, N), dtype=np.bool_),
        pull_direction=np.broadcast_to(direction, (3, N, 3)),
        eye_turn=np.full((3, N), 2.0 * np.pi / N),
        head_push=leg * 0.9,
        head_shear=shear,
        head_moment=np.zeros((3, N)),
        foot_reaction=leg * 0.5,
        hip_at=np.linspace(0.0, 1.0, 5),
        hip_axial=leg[..., None] * np.array([1.2, 1.1, 1.05, 1.0, 0.95]),
        hip_shear=leg[..., None] * np.array([0.3, 0.1, -0.2, -0.1, 0.05]),
        hip_moment=leg[..., None] * np.array([0.0, 0.11, 0.19, 0.08, 0.0]),
        hip_sideways=np.zeros((3, N)),
        spread=spread,
        hub_drop=np.array([0.001, 0.004, 0.004]),
        ring_shift=INCH * np.array([[0.01, -0.02], [0.03, 0.01], [0.21, -0.28]]),
        ring_sag=INCH * np.array([0.05, 0.12, 0.19]),
        force_error=np.full(3, 1e-5),
        residual=np.full(3, 1e-7),
    )


def verified(scale: float = 1.0, *, snow: bool = False, **changes: str) -> Checks:
    read, frame, rigged = stated(**changes)
    return verify(read, frame, rigged, forces(frame, rigged, scale), simplified_snow=snow)


def verified_with(changed: dict[str, object], **changes: str) -> Checks:
    """Checks with some of the forces replaced."""
    read, frame, rigged = stated(**changes)
    loads = replace(forces(frame, rigged), **changed)  # type: ignore[arg-type]
    return verify(read, frame, rigged, loads, simplified_snow=False)


def the(checks: Checks, check_id: str) -> Check:
    (found,) = [check for check in checks.checks if check.id == check_id]
    return found
