"""Everything that `cut` answers, carried from the job through its stages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay import design, roof, shop
from rafterstay import job as jobs
from rafterstay.cli.survey_frame import read_frame
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse, show
from rafterstay.shop.allowances import making_of
from rafterstay.shop.buying import shopping
from rafterstay.shop.effort import efforts
from rafterstay.shop.eye import eye_of
from rafterstay.shop.hung import shackle_of
from rafterstay.shop.labels import labels, sights
from rafterstay.shop.measured import legs_of
from rafterstay.shop.press_file import blank_presses, read_presses
from rafterstay.shop.press_log import (
    EyePulled,
    Pressed,
    from_log,
    pulled_in,
    readiness,
    ring_missing,
    to_log,
)
from rafterstay.shop.proof import proof_pull
from rafterstay.shop.pull_file import Pulled, blank_pulls, pull_from_log, pull_to_log, read_pulls
from rafterstay.shop.ring_rope import ring_sleeve
from rafterstay.shop.trial import learn_from_eye, learn_from_piece

if TYPE_CHECKING:
    from rafterstay.core.quantities import Dimension
    from rafterstay.design import Design
    from rafterstay.roof import Frame
    from rafterstay.shop.allowances import Making
    from rafterstay.shop.buying import Shopping
    from rafterstay.shop.effort import Effort
    from rafterstay.shop.labels import Label, Sight
    from rafterstay.shop.nouns import Cutting, Legs, Piece
    from rafterstay.shop.press_log import Readiness
    from rafterstay.shop.proof import ProofPull
    from rafterstay.survey import AsBuilt

__all__ = ["LIKELY", "CutList", "Log", "Wishes", "bench_sheets", "cut_list"]

LIKELY: Final = 0.005  # [-] of rings that may run out before it is told as a fault
_LONGEST: Final = 1000.0  # [m]


@dataclass(frozen=True)
class Wishes:
    """What was typed besides the job."""

    survey: Path | None = None
    trial_eye: str | None = None
    trial_leg: tuple[int, str, str] | None = None
    prestretched: bool = False
    bench: str | None = None
    sold: tuple[str, ...] = ()
    at_hand: tuple[str, ...] = ()
    tools: int = 1
    press_log: Path | None = None
    pull_log: Path | None = None
    shackle_inside: str | None = None


@dataclass(frozen=True)
class Log:
    """What the job folder keeps of the bench.

    Attributes:
        pressed: Sleeves, in order.
        pulled: Legs proved and test eyes pulled, in order.
        new_presses: How many sleeves were added just now.
        new_pulls: How many pulls were.
    """

    pressed: tuple[Pressed, ...] = ()
    pulled: tuple[Pulled, ...] = ()
    new_presses: int = 0
    new_pulls: int = 0

    @property
    def test_eyes(self) -> list[EyePulled]:
        """Test eyes among the pulls."""
        found = (
            pulled_in(one.part, pull=one.pull, held=one.result != "slipped") for one in self.pulled
        )
        return [one for one in found if one is not None]


@dataclass(frozen=True)
class CutList:
    """Everything that `cut` answers.

    Attributes:
        design: The job, checked as designed.
        cutting: The cut list.
        built: The survey; None where the frame was not measured.
        shopping: What to buy.
        proof: How hard a leg is pulled to prove it.
        efforts: What each tool asks of a person.
        labels: Tags.
        sights: Which eyes hide.
        readiness: Which legs are ready; None where nothing was logged.
        ring_missing: What the ring rope's lap lacks; None where nothing was logged or no ring is.
        log: What the job folder keeps of the bench.
        faults: Why the lengths are not to be cut yet, code and sentence.
    """

    design: Design
    cutting: Cutting
    built: AsBuilt | None
    shopping: Shopping
    proof: ProofPull
    efforts: tuple[Effort, ...]
    labels: tuple[Label, ...]
    sights: tuple[Sight, ...]
    readiness: tuple[Readiness, ...] | None
    ring_missing: tuple[str, ...] | None
    log: Log
    faults: tuple[tuple[str, str], ...]

    @property
    def provisional(self) -> bool:
        """Something stands against cutting now."""
        return bool(self.faults)

    def proved(self, leg: int) -> Pulled | None:
        """The last pull that proved a leg.

        Args:
            leg: Its number.

        Returns:
            The pull: it held, and reached what proves it; None where none did.
        """
        good = (
            one
            for one in reversed(self.log.pulled)
            if one.leg == leg and one.result == "held" and one.pull >= self.proof.least
        )
        return next(good, None)


def cut_list(place: str, wishes: Wishes) -> CutList:
    """Carry a job to its cut list.

    Args:
        place: A job folder or file.
        wishes: What was typed besides.

    Returns:
        The answer.

    Raises:
        InputError: The job, the readings, a trial or the press log cannot be used.
    """
    job = jobs.load(place)
    sold = _lengths(wishes.sold, "--reel")
    at_hand = _lengths(wishes.at_hand, "--at-hand")
    bench = _typed(wishes.bench, "temperature", "--bench") if wishes.bench else None
    presses = read_presses(wishes.press_log) if wishes.press_log else ()
    pulls = read_pulls(wishes.pull_log) if wishes.pull_log else ()
    built = read_frame(job, roof.lay_out(job), wishes.survey) if wishes.survey else None
    done = design.check(job, built=built)
    tie = done.tie
    legs = legs_of(job, done.frame, tie, built)
    cutting = _cut(done, legs, wishes, bench)
    _require_legs(len(cutting.bodies), presses, pulls)
    log = _log(place, presses, pulls)
    eye = cutting.eye
    bought = shopping(job, tie, cutting, sold=sold, at_hand=at_hand, tools=wishes.tools)
    said = tuple(show(b.opening, "length", job.show, rounding="down") for b in cutting.bodies)
    ready, joint = None, None
    if log.pressed and cutting.ring is not None:
        sleeve = ring_sleeve(tie, job.catalogue)
        joint = ring_missing(log.pressed, tie, sleeve, system=job.show, tested=log.test_eyes)
    if log.pressed:
        ready = readiness(
            log.pressed,
            tie,
            eye,
            system=job.show,
            tested=log.test_eyes,
            legs=len(cutting.bodies),
        )
    return CutList(
        design=done,
        cutting=cutting,
        built=built,
        shopping=bought,
        proof=proof_pull(tie, done.forces, done.checks, shackle=shackle_of(job)),
        efforts=efforts(tie.rope, tie.sleeve),
        labels=labels(said),
        sights=sights(tie, eye, slope=_slope(done.frame)),
        readiness=ready,
        ring_missing=joint,
        log=log,
        faults=tuple(_faults(cutting, legs, built)),
    )


def bench_sheets(done: CutList) -> dict[str, bytes]:
    """Blank sheets to log on, known cells filled in: read back with --press-log and --pull-log.

    Args:
        done: A finished cut list.

    Returns:
        Contents by file name.
    """
    tie, cutting = done.design.tie, done.cutting
    reels = sum(len(order.plan.reels) * order.tests for order in done.shopping.ropes)
    return {
        "press-log.csv": blank_presses(tie, cutting).encode(),
        "pull-log.csv": blank_pulls(cutting, reels).encode(),
    }


def _slope(frame: Frame) -> float:
    """Rise over run of the rafters, foot to head. [-]"""
    foot, head = frame.nodes[frame.feet[0]], frame.nodes[frame.heads[0]]
    run = float(np.linalg.norm((head - foot)[:2]))
    return float(head[2] - foot[2]) / run


def _cut(done: Design, legs: Legs, wishes: Wishes, bench: float | None) -> Cutting:
    """The cut list, with what a trial showed."""
    job, tie = done.job, done.tie
    making = making_of(tie.rope, tie.sleeve, prestretched=wishes.prestretched)
    inside = None
    if wishes.shackle_inside is not None:
        inside = _typed(wishes.shackle_inside, "length", "--shackle-inside")

    def again(known: Making) -> Cutting:
        return shop.cut(
            job,
            tie,
            done.forces,
            legs=legs,
            making=known,
            bench=bench,
            shackle_inside=inside,
        )

    if wishes.trial_eye is not None:
        eye = eye_of(tie.rope, tie.thimble, tie.sleeve)
        read = _typed(wishes.trial_eye, "length", "--trial-eye")
        making = learn_from_eye(eye, making, read, system=job.show)
    if wishes.trial_leg is not None:
        leg, end, said = wishes.trial_leg
        piece = _piece(again(making), leg, end)
        read = _typed(said, "length", "--trial-leg")
        making = learn_from_piece(piece, making, read, system=job.show)
    return again(making)


def _piece(cutting: Cutting, leg: int, end: str) -> Piece:
    for piece in cutting.pieces:
        if (piece.leg, piece.end) == (leg, end):
            return piece
    ends = " or ".join(dict.fromkeys(piece.end for piece in cutting.pieces))
    raise InputError(
        Finding(
            "CL-008",
            key="the piece of --trial-leg",
            value=f"{leg} {end}",
            bound=f"between 1 and {len(cutting.bodies)}, {ends}",
            remedy="Give the number and the piece on the cut list.",
        )
    )


def _require_legs(count: int, presses: Sequence[Pressed], pulls: Sequence[Pulled]) -> None:
    """Nothing is logged of a leg that is not there."""
    legs = [*(one.leg for one in presses), *(one.leg for one in pulls)]
    over = {leg for leg in legs if leg is not None and leg > count}
    if over:
        raise InputError(
            Finding(
                "CL-008",
                key="the leg of a log",
                value=", ".join(map(str, sorted(over)[:8])),
                bound=f"between 1 and {count}",
                remedy="Mend the file; nothing of it was stored.",
            )
        )


def _faults(cutting: Cutting, legs: Legs, built: AsBuilt | None) -> list[tuple[str, str]]:
    found = []
    if not cutting.measured:
        text = (
            "As designed, not measured: every length is provisional. Survey the frame, then "
            "cut with --survey."
        )
        found.append(("not-measured", text))
    if legs.unread:
        text = (
            f"Not in the survey, so cut as designed: leg {', '.join(map(str, legs.unread))}. Take "
            "the readings to their feet before they are cut."
        )
        found.append(("not-measured", text))
    if built is not None and built.blunders:
        said = "; ".join(
            f"{one.start} to {one.end}{f', {one.likely_slip}' if one.likely_slip else ''}"
            for one in built.blunders
        )
        found.append(("blunder", f"These readings cannot be right; read them again: {said}."))
    if cutting.ring_runs_out > LIKELY:
        whole = "rings" if cutting.layout == "ring" else "sets of legs"
        text = (
            f"About {100 * cutting.ring_runs_out:.2g} of 100 such {whole} run out of thread. Take "
            "turnbuckles with more take-up, or prestretched rope (--prestretched)."
        )
        found.append(("runs-out", text))
    return [*found, *cutting.doubts]


def _log(place: str, presses: tuple[Pressed, ...], pulls: tuple[Pulled, ...]) -> Log:
    """Sleeves and pulls of the job's log, with the new ones added to it."""
    from rafterstay.store.folder import JOB_FILE, open_folder
    from rafterstay.store.schema import DATABASE

    given = Path(place)
    folder = given.parent if given.name == JOB_FILE else given
    if not (presses or pulls) and not (folder.is_dir() and (folder / DATABASE).exists()):
        return Log()
    with open_folder(place) as opened:
        pressed = [
            from_log(entry.values, who=entry.who, when=entry.taken)
            for entry in opened.entries("press_log")
        ]
        pulled = [
            pull_from_log(entry.values, who=entry.who, when=entry.taken)
            for entry in opened.entries("proof_pulls")
        ]
        new_presses = [one for one in presses if one not in pressed]
        for sleeve in new_presses:
            opened.append("press_log", to_log(sleeve), who=sleeve.who, taken=sleeve.when)
        new_pulls = [one for one in pulls if one not in pulled]
        for pull in new_pulls:
            opened.append("proof_pulls", pull_to_log(pull), who=pull.who, taken=pull.when)
    return Log((*pressed, *new_presses), (*pulled, *new_pulls), len(new_presses), len(new_pulls))


def _lengths(typed: tuple[str, ...], option: str) -> list[float]:
    return [_typed(text, "length", option) for text in typed]


def _typed(text: str, dimension: Dimension, option: str) -> float:
    """A quantity from the command line; a length must be one that rope can have."""
    value = parse(text, dimension)
    if dimension == "length" and not 0 < value <= _LONGEST:
        raise InputError(
            Finding("CL-008", key=option, value=text, bound="above 0 and at most 1000 m")
        )
    return value
