"""From the tie and its setting state to the cut list."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sin
from typing import TYPE_CHECKING, Final

from rafterstay.core.errors import Finding, InputError
from rafterstay.rope import expansion
from rafterstay.shop.allowances import PLAY_BOLT, PLAY_JAWS, making_of, take_up_of
from rafterstay.shop.bench import bench_factor
from rafterstay.shop.eye import eye_of
from rafterstay.shop.marks import cut_piece
from rafterstay.shop.measured import as_drawn
from rafterstay.shop.nouns import Body, Cutting, Piece, Term
from rafterstay.shop.ring_rope import cut_ring
from rafterstay.shop.steps import STEP
from rafterstay.shop.take_up import ring_chance, sampled_ring_chance

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.shop.allowances import Making
    from rafterstay.shop.eye import Eye
    from rafterstay.shop.nouns import Legs
    from rafterstay.shop.take_up import TakeUp
    from rafterstay.statics.nouns import Forces, Setting
    from rafterstay.tie.nouns import Tie

__all__ = ["RINGS", "SEED", "cut", "jaw_pin"]

RINGS: Final = 20_000
"""Rings drawn at random beside the closed form."""

SEED: Final = 20261125


def jaw_pin(tie: Tie) -> float:
    """Diameter of the turnbuckle's jaw pin.

    Args:
        tie: Its turnbuckle.

    Returns:
        As listed; where it is not, that of the thread: common practice, no source. [m]
    """
    return tie.turnbuckle.pin or tie.turnbuckle.thread


@dataclass(frozen=True)
class _Bench:
    """What all pieces share."""

    tie: Tie
    setting: Setting
    eye: Eye
    making: Making
    step: float
    factor: float  # reading on the bench over reading on the roof [-]
    drying: float
    measured: bool


def cut(
    job: Job,
    tie: Tie,
    forces: Forces,
    *,
    legs: Legs | None = None,
    making: Making | None = None,
    prestretched: bool = False,
    bench: float | None = None,
) -> Cutting:
    """Cut every piece so that the leg spans its distance at the setting pull.

    Args:
        job: Its units, temperatures and drying.
        tie: Parts, and distances as drawn.
        forces: The setting state.
        legs: Distances as surveyed; as drawn where left out.
        making: What a trial showed of eyes; common practice where left out.
        prestretched: The rope was stretched before it is cut.
        bench: Temperature of rope and tape when it is cut; the setting's where left out. [K]

    Returns:
        The cut list.

    Raises:
        InputError: IN-065 a pin does not go through its thimble; IN-066 a piece is too short;
            IN-070 the leg hangs on a shackle; IN-071 no rope ring.

    Source: docs/theory/cutting.md
    """
    legs = legs or as_drawn(tie)
    step = STEP[job.show]
    _require_served(job, tie)
    setting = job.loads.set_temperature
    factor = bench_factor(
        expansion("stainless" if tie.rope.finish == "stainless" else "carbon"),
        survey=setting,
        bench=setting if bench is None else bench,
        setting=setting,
    )
    making = making or making_of(tie.rope, tie.sleeve, prestretched=prestretched)
    shared = _Bench(
        tie,
        forces.setting,
        eye_of(tie.rope, tie.thimble, tie.sleeve),
        making,
        step,
        factor,
        job.loads.drying,
        legs.measured,
    )
    pieces: list[Piece] = []
    bodies = []
    for k in range(tie.n):
        both, body = _leg(shared, k, legs.distances[k], legs.sigmas[k])
        pieces += both
        bodies.append(body)
    drawn = [(body.take_up, *_from_set(shared.tie, body.opening)) for body in bodies]
    sides = [float(side) for side in forces.setting.ring_length]
    ring = cut_ring(tie, sides, step=step, catalogue=job.catalogue)
    return Cutting(
        step=step,
        measured=legs.measured,
        pieces=tuple(pieces),
        bodies=tuple(bodies),
        ring=ring,
        eye=shared.eye,
        making=making,
        target=tie.target,
        ring_runs_out=ring_chance([body.runs_out for body in bodies]),
        sampled=sampled_ring_chance(drawn, rings=RINGS, seed=SEED),
        rings=RINGS,
        notes=(*legs.notes, *_notes(tie, ring.lap), *([ring.doubt] if ring.doubt else [])),
    )


def _leg(shared: _Bench, k: int, distance: float, sigma: float) -> tuple[list[Piece], Body]:
    """Both pieces and the turnbuckle of leg k + 1."""
    tie, setting = shared.tie, shared.setting
    pull, stiffness = float(setting.leg_pull[k]), tie.rope.stiffness
    strain = pull / stiffness
    # What the roof and ring give way by: the drawing's distance less what the solver found.
    drawn = float(tie.leg_lengths[k])
    gives = drawn - tie.turnbuckle_set - float(setting.leg_length[k]) * (1 + strain)
    play = PLAY_BOLT + PLAY_JAWS
    unstretched = (distance - gives - tie.turnbuckle_set - play) / (1 + strain)
    wanted = unstretched * shared.factor
    pins = {
        "outer": (tie.bolt.diameter, jaw_pin(tie)),
        "inner": (jaw_pin(tie), tie.ring_rope.diameter),
    }
    outer = cut_piece(
        k + 1,
        "outer",
        wanted / 2,
        eye=shared.eye,
        making=shared.making,
        pins=pins["outer"],
        step=shared.step,
    )
    inner = cut_piece(
        k + 1,
        "inner",
        wanted - outer.finished,
        eye=shared.eye,
        making=shared.making,
        pins=pins["inner"],
        step=shared.step,
    )
    rope = outer.finished + inner.finished
    warmth = rope / shared.factor - rope
    stretch = (rope + warmth) * strain
    opening = distance - gives - play - rope - warmth - stretch
    terms = (
        Term("bolt's play in its hole", PLAY_BOLT),
        Term("outer piece, pin to pin", outer.finished),
        Term("turnbuckle as set, pin to pin", opening),
        Term("play of both jaw pins", PLAY_JAWS),
        Term("inner piece, pin to pin", inner.finished),
        Term("rope and tape, bench to roof", warmth),
        Term("elastic stretch at the setting pull", stretch),
        Term("roof and ring give way", gives),
    )
    take_up = take_up_of(
        shared.making,
        rope_length=rope,
        stretch=stretch,
        drying=shared.drying,
        distance_sigma=sigma,
        measured=shared.measured,
    )
    return [outer, inner], _body(tie, k, distance, sigma=sigma, terms=terms, take_up=take_up)


def _body(
    tie: Tie, k: int, distance: float, *, sigma: float, terms: tuple[Term, ...], take_up: TakeUp
) -> Body:
    opening = terms[2].length
    shorten, lengthen = _from_set(tie, opening)
    return Body(
        leg=k + 1,
        distance=distance,
        sigma=sigma,
        terms=terms,
        opening=opening,
        expected=opening - take_up.mean,
        shorten_left=shorten - take_up.mean,
        lengthen_left=lengthen + take_up.mean,
        take_up=take_up,
        runs_out=take_up.runs_out(shorten, lengthen),
    )


def _from_set(tie: Tie, opening: float) -> tuple[float, float]:
    """Thread from an opening to the closed stop and to the open stop. [m]"""
    body = tie.turnbuckle
    return opening - body.closed, body.closed + body.take_up - opening


def _require_served(job: Job, tie: Tie) -> None:
    """Legs to a rope ring, each with a turnbuckle, hung on their bolts without a shackle."""
    if tie.layout != "ring" or not tie.ring.startswith("rope") or not tie.has_turnbuckles:
        raise InputError(
            Finding(
                "IN-071",
                key="tie.layout and tie.ring",
                value=f"{tie.layout}, {tie.ring}",
                bound="legs with turnbuckles to a ring of rope, where legs are cut",
                remedy="Bands, straight ties and rings of steel are not served by `cut` yet.",
            )
        )
    shackle = str(job.parts.shackle)
    if shackle != "none":
        raise InputError(
            Finding(
                "IN-070",
                key="parts.shackle",
                value=shackle,
                bound='"none" where legs are cut',
                remedy="No length inside its bow is listed, so no leg on it can be cut.",
            )
        )


def _notes(tie: Tie, lap: float) -> list[str]:
    notes = []
    if tie.turnbuckle.pin is None:
        notes.append(
            f"The pin of turnbuckle {tie.turnbuckle.name} is not in the catalogue; the thread's "
            "diameter is taken. Measure it: half of a difference goes into each eye on it."
        )
    free = 2 * tie.ring_radius * sin(pi / tie.n) - tie.thimble.overall_width
    if lap > free:
        notes.append(
            "The lap of the ring rope is longer than a side leaves free between two eyes: "
            "let it run on through the next eye, so that the rope lies double there, "
            "or have the ring closed by a shop."
        )
    return notes
