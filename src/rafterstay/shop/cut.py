"""From the tie and its setting state to the cut list."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sin
from typing import TYPE_CHECKING, Final

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import show
from rafterstay.rope import expansion
from rafterstay.shop.allowances import PLAY_JAWS, making_of, take_up_of
from rafterstay.shop.bench import bench_factor
from rafterstay.shop.eye import eye_of
from rafterstay.shop.hung import hung, link_of, shackle_of
from rafterstay.shop.marks import cut_piece
from rafterstay.shop.measured import as_drawn
from rafterstay.shop.nouns import Body, Cutting, Piece, Term
from rafterstay.shop.ring_rope import cut_ring
from rafterstay.shop.ring_steel import hold_of, made_of_steel
from rafterstay.shop.steps import STEP
from rafterstay.shop.take_up import ring_chance, sampled_ring_chance
from rafterstay.tie.nouns import HubPlate, RingBar

if TYPE_CHECKING:
    from rafterstay.core.quantities import System
    from rafterstay.job import Job
    from rafterstay.shop.allowances import Making
    from rafterstay.shop.eye import Eye
    from rafterstay.shop.hung import Hold, Hung, Link
    from rafterstay.shop.nouns import Legs, RingRope
    from rafterstay.shop.take_up import TakeUp
    from rafterstay.statics.nouns import Forces, Setting
    from rafterstay.tie.nouns import Tie

__all__ = ["RINGS", "SEED", "cut", "jaw_pin", "shackle_in"]

RINGS: Final = 20_000
"""Whole ties drawn at random beside the closed form."""

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
    link: Link | None
    on_steel: Hold | None
    step: float
    factor: float  # reading on the bench over reading on the roof [-]
    drying: float
    legs: Legs


def shackle_in(job: Job, inside: float | None = None) -> Link | None:
    """The shackle that every eye on a bolt hangs on.

    Args:
        job: Its parts.
        inside: Inside of its bow to its pin, taped. [m]

    Returns:
        The shackle; None where eyes sit on their bolts.

    Raises:
        InputError: IN-070 its length is neither listed nor taped, or none is in the job.
    """
    shackle = shackle_of(job)
    if shackle is not None:
        return link_of(shackle, inside)
    if inside is None:
        return None
    raise InputError(
        Finding(
            "IN-070",
            key="--shackle-inside",
            value=f"{inside:.4f} m",
            bound='left out where parts.shackle = "none"',
            remedy="Name the shackle under [parts], or leave the option out.",
        )
    )


def cut(
    job: Job,
    tie: Tie,
    forces: Forces,
    *,
    legs: Legs | None = None,
    making: Making | None = None,
    prestretched: bool = False,
    bench: float | None = None,
    shackle_inside: float | None = None,
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
        shackle_inside: Inside of the shackle's bow to its pin, taped; as listed where left out.
            [m]

    Returns:
        The cut list.

    Raises:
        InputError: IN-065 a pin does not go through its thimble; IN-066 a piece is too short;
            IN-070 nothing is known of the shackle's length; IN-071 legs to a point.

    Source: docs/theory/cutting.md
    """
    _require_served(tie)
    legs = legs or as_drawn(tie, job.roof)
    step, setting = STEP[job.show], job.loads.set_temperature
    factor = bench_factor(
        expansion("stainless" if tie.rope.finish == "stainless" else "carbon"),
        survey=setting,
        bench=setting if bench is None else bench,
        setting=setting,
    )
    making = making or making_of(tie.rope, tie.sleeve, prestretched=prestretched)
    link = shackle_in(job, shackle_inside)
    on_steel = None if tie.body is None else hold_of(tie.body, shackle_inside)
    eye = eye_of(tie.rope, tie.thimble, tie.sleeve)
    shared = _Bench(
        tie, forces.setting, eye, making, link, on_steel, step, factor, job.loads.drying, legs
    )
    pieces: list[Piece] = []
    bodies = []
    for k in range(len(legs.distances)):
        both, body = _leg(shared, k)
        pieces += both
        bodies.append(body)
    drawn = [(body.take_up, *_from_set(tie, body.opening)) for body in bodies]
    ring = None
    if tie.layout == "ring" and tie.body is None:
        sides = [float(side) for side in forces.setting.ring_length]
        ring = cut_ring(tie, sides, step=step, catalogue=job.catalogue)
    return Cutting(
        step=step,
        measured=legs.measured,
        layout=tie.layout,
        pieces=tuple(pieces),
        bodies=tuple(bodies),
        ring=ring,
        eye=eye,
        making=making,
        target=tie.target,
        ring_runs_out=ring_chance([body.runs_out for body in bodies]),
        sampled=sampled_ring_chance(drawn, rings=RINGS, seed=SEED),
        rings=RINGS,
        notes=(*legs.notes, *_notes(tie, ring)),
        doubts=tuple(_doubts(ring, link, job.show)),
        steel=made_of_steel(tie),
    )


def _leg(shared: _Bench, k: int) -> tuple[list[Piece], Body]:
    """Both pieces and the turnbuckle of leg k + 1."""
    tie, setting, legs = shared.tie, shared.setting, shared.legs
    row = legs.drawn_as(k)
    ends = hung(tie, row, shared.link, shared.on_steel)
    distance = legs.distances[k] - ends.last.over
    strain = float(setting.leg_pull[row]) / tie.rope.stiffness
    # What the roof and ring give way by: the drawing's distance less what the solver found.
    drawn = float(tie.leg_lengths[row])
    gives = drawn - tie.turnbuckle_set - float(setting.leg_length[row]) * (1 + strain)
    play = ends.first.play + ends.last.play
    links = ends.first.link + ends.last.link
    fixed = play + PLAY_JAWS + links + gives
    wanted = (distance - fixed - tie.turnbuckle_set) / (1 + strain) * shared.factor
    first, last = _pieces(shared, k + 1, ends, wanted)
    rope = first.finished + last.finished
    warmth = rope / shared.factor - rope
    stretch = (rope + warmth) * strain
    opening = distance - fixed - rope - warmth - stretch
    terms = (
        Term("bolts' play in their holes", play, "play"),
        *([Term("shackles, bolt to pin", links, "link")] if links else []),
        Term(f"{first.end} piece, pin to pin", first.finished, "first"),
        Term("turnbuckle as set, pin to pin", opening, "set"),
        Term("play of both jaw pins", PLAY_JAWS, "play"),
        Term(f"{last.end} piece, pin to pin", last.finished, "second"),
        Term("rope and tape, bench to roof", warmth, "stretch"),
        Term("elastic stretch at the setting pull", stretch, "stretch"),
        Term("roof and ring give way", gives, "gives"),
    )
    take_up = take_up_of(
        shared.making,
        rope_length=rope,
        stretch=stretch,
        drying=shared.drying,
        distance_sigma=legs.sigmas[k],
        measured=legs.measured and k + 1 not in legs.unread,
        bolt_play=ends.first.play_half + ends.last.play_half,
        links=ends.first.link_half + ends.last.link_half,
        on_ring=ends.on_ring,
    )
    return [first, last], _body(shared, k, distance, opening, terms=terms, take_up=take_up)


def _pieces(shared: _Bench, leg: int, ends: Hung, wanted: float) -> tuple[Piece, Piece]:
    """The first piece, and the second cut for what the rounded first one left."""
    jaw = jaw_pin(shared.tie)
    first = cut_piece(
        leg,
        ends.ends[0],
        wanted * ends.share,
        eye=shared.eye,
        making=shared.making,
        pins=(ends.first.pin, jaw),
        step=shared.step,
    )
    last = cut_piece(
        leg,
        ends.ends[1],
        wanted - first.finished,
        eye=shared.eye,
        making=shared.making,
        pins=(jaw, ends.last.pin),
        step=shared.step,
    )
    return first, last


def _body(
    shared: _Bench,
    k: int,
    distance: float,
    opening: float,
    *,
    terms: tuple[Term, ...],
    take_up: TakeUp,
) -> Body:
    shorten, lengthen = _from_set(shared.tie, opening)
    return Body(
        leg=k + 1,
        distance=distance,
        sigma=shared.legs.sigmas[k],
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


def _require_served(tie: Tie) -> None:
    """Legs with turnbuckles, between bolts or to a ring."""
    to_ring = tie.ring.startswith("rope") or tie.body is not None
    if tie.has_turnbuckles and (tie.layout != "ring" or to_ring):
        return
    raise InputError(
        Finding(
            "IN-071",
            key="tie.layout and tie.ring",
            value=f"{tie.layout}, {tie.ring}",
            bound="legs with turnbuckles between bolts or to a ring, where legs are cut",
            remedy="Legs to a point are not cut here: have a rigging shop measure and make them.",
        )
    )


def _doubts(ring: RingRope | None, link: Link | None, system: System) -> list[tuple[str, str]]:
    """Why pieces of this list are not to be cut yet."""
    found = []
    if ring is not None and ring.doubt:
        found.append(("ring-lap", ring.doubt))
    if link is not None and not link.measured:
        text = (
            f"The length inside shackle {link.name} is from one maker's sheet and may be "
            f"off by {show(link.half, 'length', system, rounding='up')}. Tape one, inside of the "
            "bow to the pin, and cut again with --shackle-inside LENGTH."
        )
        found.append(("shackle-length", text))
    return found


def _notes(tie: Tie, ring: RingRope | None) -> list[str]:
    notes = []
    if tie.turnbuckle.pin is None:
        notes.append(
            f"The pin of turnbuckle {tie.turnbuckle.name} is not in the catalogue; the thread's "
            "diameter is taken. Measure it: half of a difference goes into each eye on it."
        )
    if ring is not None:
        free = 2 * tie.ring_radius * sin(pi / tie.n) - tie.thimble.overall_width
        if ring.lap > free:
            notes.append(
                "The lap of the ring rope is longer than a side leaves free between two eyes: "
                "let it run on through the next eye, so that the rope lies double there, "
                "or have the ring closed by a shop."
            )
    if isinstance(tie.body, RingBar):
        notes.append(
            "The ring eye of every inner piece closes round the bar: have the ring welded and "
            "looked at first, spread each thimble sideways just enough to go over the bar, close "
            "it again, and press the ring eyes on the ring. A thimble that does not close is "
            "thrown away. Nothing is welded once a rope hangs there. Stop each eye on its mark by "
            "a seizing on either side: a free eye slides along the bar."
        )
    if isinstance(tie.body, HubPlate):
        notes.append(
            "At the plate the shackle's pin goes through the hole and its bow through the "
            "thimble. Wire every pin so that it cannot turn out."
        )
    if tie.layout == "cross" and tie.n > 1:
        notes.append(
            "All ties cross over the middle. Hang them above one another, each bolt a rope's "
            "thickness higher than the last, which shortens its tie: survey the holes as they are "
            "bored. Start every first piece at the bolt its tag names: the turnbuckles then stand "
            "off the middle."
        )
    if tie.layout == "band":
        notes.append(
            "Two eyes share each bolt, side by side. The legs leave it to either side: whatever "
            "fitting turns them there stays in sight, and an engineer decides on it."
        )
    return notes
