"""Everything that `cut` answers, carried from the job through its stages."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rafterstay import design, roof, shop
from rafterstay import job as jobs
from rafterstay.cli.survey_frame import read_frame
from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import parse, show
from rafterstay.shop.allowances import making_of
from rafterstay.shop.buying import shopping
from rafterstay.shop.effort import efforts
from rafterstay.shop.eye import eye_of
from rafterstay.shop.labels import labels, sights
from rafterstay.shop.measured import as_drawn, as_surveyed
from rafterstay.shop.press_file import read_presses
from rafterstay.shop.press_log import EyePulled, Pressed, from_log, pulled_in, readiness, to_log
from rafterstay.shop.proof import proof_pull
from rafterstay.shop.trial import learn_from_eye, learn_from_piece

if TYPE_CHECKING:
    from rafterstay.core.quantities import Dimension
    from rafterstay.design import Design
    from rafterstay.shop.allowances import Making
    from rafterstay.shop.buying import Shopping
    from rafterstay.shop.effort import Effort
    from rafterstay.shop.labels import Label, Sight
    from rafterstay.shop.nouns import Cutting, Legs, Piece
    from rafterstay.shop.press_log import Readiness
    from rafterstay.shop.proof import ProofPull
    from rafterstay.survey import AsBuilt

__all__ = ["LIKELY", "CutList", "Wishes", "cut_list"]

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
        pressed: How many sleeves were added to the log.
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
    pressed: int
    faults: tuple[tuple[str, str], ...]

    @property
    def provisional(self) -> bool:
        """Something stands against cutting now."""
        return bool(self.faults)


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
    fresh = read_presses(wishes.press_log) if wishes.press_log else ()
    built = read_frame(job, roof.lay_out(job), wishes.survey) if wishes.survey else None
    done = design.check(job, built=built)
    legs = as_surveyed(done.frame, done.tie, built) if built else as_drawn(done.tie)
    cutting = _cut(done, legs, wishes, bench)
    log, tested, added = _log(place, fresh)
    eye = cutting.eye
    bought = shopping(job, done.tie, cutting, sold=sold, at_hand=at_hand, tools=wishes.tools)
    said = tuple(show(body.opening, "length", job.show) for body in cutting.bodies)
    slope = done.frame.rise / (job.roof.plate_radius - job.roof.hub_radius)
    ready = readiness(log, done.tie, eye, system=job.show, tested=tested) if log else None
    return CutList(
        design=done,
        cutting=cutting,
        built=built,
        shopping=bought,
        proof=proof_pull(done.tie, done.forces, done.checks),
        efforts=efforts(done.tie.rope, done.tie.sleeve),
        labels=labels(said),
        sights=sights(done.tie, eye, slope=slope),
        readiness=ready,
        pressed=added,
        faults=tuple(_faults(cutting, built)),
    )


def _cut(done: Design, legs: Legs, wishes: Wishes, bench: float | None) -> Cutting:
    """The cut list, with what a trial showed."""
    job, tie = done.job, done.tie
    making = making_of(tie.rope, tie.sleeve, prestretched=wishes.prestretched)

    def again(known: Making) -> Cutting:
        return shop.cut(job, tie, done.forces, legs=legs, making=known, bench=bench)

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
    raise InputError(
        Finding(
            "CL-008",
            key="the leg of --trial-leg",
            value=str(leg),
            bound=f"between 1 and {len(cutting.bodies)}",
            remedy="Give the number on the cut list.",
        )
    )


def _faults(cutting: Cutting, built: AsBuilt | None) -> list[tuple[str, str]]:
    found = []
    if not cutting.measured:
        text = (
            "As designed, not measured: every length is provisional. Survey the frame, then "
            "cut with --survey."
        )
        found.append(("not-measured", text))
    if built is not None and built.blunders:
        said = "; ".join(
            f"{one.start} to {one.end}{f', {one.likely_slip}' if one.likely_slip else ''}"
            for one in built.blunders
        )
        found.append(("blunder", f"These readings cannot be right; read them again: {said}."))
    if cutting.ring_runs_out > LIKELY:
        text = (
            f"About {100 * cutting.ring_runs_out:.2g} of 100 such rings run out of thread. Take "
            "turnbuckles with more take-up, or prestretched rope (--prestretched)."
        )
        found.append(("runs-out", text))
    if cutting.ring.doubt:
        found.append(("ring-lap", cutting.ring.doubt))
    return found


def _log(
    place: str, fresh: tuple[Pressed, ...]
) -> tuple[list[Pressed], list[EyePulled] | None, int]:
    """Sleeves and test eyes of the job's log, and how many sleeves were added to it."""
    from rafterstay.store.folder import JOB_FILE, open_folder
    from rafterstay.store.schema import DATABASE

    given = Path(place)
    folder = given.parent if given.name == JOB_FILE else given
    if not fresh and not (folder.is_dir() and (folder / DATABASE).exists()):
        return [], None, 0
    with open_folder(place) as opened:
        known = [
            from_log(entry.values, who=entry.who, when=entry.taken)
            for entry in opened.entries("press_log")
        ]
        added = [one for one in fresh if one not in known]
        for one in added:
            opened.append("press_log", to_log(one), who=one.who, taken=one.when)
        pulls = [
            pulled_in(
                str(entry.values["part"]),
                pull=float(entry.values["pull_N"] or 0.0),
                held=entry.values["result"] == "held",
            )
            for entry in opened.entries("proof_pulls")
        ]
    tested = [one for one in pulls if one is not None]
    return [*known, *added], tested, len(added)


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
