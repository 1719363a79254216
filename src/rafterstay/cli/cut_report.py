"""A cut list in words and tables, 80 columns wide, for the bench: in the order of the work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay import __version__
from rafterstay.cli.cut_bench import buying, effort, labels, pressing, proof, reels
from rafterstay.cli.cut_pieces import bodies, marks, pieces, ring_rope, ring_steel, sums
from rafterstay.cli.cut_words import (
    chance_said,
    force_said,
    length_said,
    listed,
    titled,
    whole_said,
)
from rafterstay.cli.report import WIDTH, printable_lines, wrapped
from rafterstay.core.cautions import cautions_for
from rafterstay.sheets.literal import printable
from rafterstay.sheets.words import GEOMETRY
from rafterstay.shop.trial import trial_eye

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rafterstay.cli.cut_list import CutList

__all__ = ["cut_report"]


def cut_report(done: CutList, written: Sequence[str] = ()) -> str:
    """Everything `cut` says in words.

    Args:
        done: A finished cut list.
        written: Paths of the sheets that were written.

    Returns:
        Text of at most 80 columns a line.
    """
    sections = [
        _opening(done),
        _stops(done),
        _notes(done),
        buying(done),
        effort(done),
        _trial(done),
        *(reels(done, order) for order in done.shopping.ropes),
        pieces(done),
        marks(done),
        pressing(done),
        ring_rope(done),
        ring_steel(done),
        bodies(done),
        sums(done),
        proof(done),
        labels(done),
        _ready(done),
        titled("Written", listed(written)) if written else "",
        _cautions(),
    ]
    return "\n".join(section for section in sections if section)


def _opening(done: CutList) -> str:
    cutting, job = done.cutting, done.design.job
    stands = "hub on its prop"
    if job.pretension.set_when == "standing":
        stands = "the roof as it stands"
    rows = [
        ("Geometry", GEOMETRY["measured" if cutting.measured else "designed"]),
        ("Cut for", f"{_setting_pull(done)} in the legs as they are set, {stands}"),
        ("Runs out", f"{chance_said(cutting.ring_runs_out)} {whole_said(done)}, a body at a stop"),
        ("Job", f"{job.sha256[:16]}, rafterstay {__version__}"),
    ]
    lines = [wrapped(printable(said), first=f"{name:<14}", rest=" " * 14) for name, said in rows]
    title = wrapped(printable(f"Cut list: {job.title}"))
    return "\n".join(["=" * WIDTH, title, "-" * WIDTH, *lines, "=" * WIDTH]) + "\n"


def _setting_pull(done: CutList) -> str:
    """Least and largest pull of the setting state: dead load pulls snug legs too."""
    pulls = done.design.forces.setting.leg_pull
    least, most = (force_said(done, float(pull)) for pull in (pulls.min(), pulls.max()))
    return least if least == most else f"{least} to {most}"


def _stops(done: CutList) -> str:
    if not done.faults:
        return ""
    return titled("PROVISIONAL: do not cut yet", listed(text for _, text in done.faults))


def _trial(done: CutList) -> str:
    trial = trial_eye(done.cutting.eye, done.cutting.making)
    making = done.cutting.making
    known = (
        f"Taken from the {making.trial}: an eye grows {length_said(done, making.creep)}."
        if making.trial
        else "Not made yet: common practice is taken for how an eye grows in pressing."
    )
    end = done.cutting.pieces[0].end
    lines = [
        (
            "On the test piece of the first reel, mark the live part "
            f"{length_said(done, trial.marked)} from the crown mark. Press the eye. Inside of the "
            f"crown to that mark should read {length_said(done, trial.expected)}."
        ),
        (
            "Cut again with what it reads: --trial-eye READING. Or make up one piece and give what "
            f"inside crown to inside crown reads: --trial-leg LEG {end} READING."
        ),
        known,
    ]
    return titled("Make one first", listed(lines))


def _ready(done: CutList) -> str:
    lines = ["No sleeve is logged yet: no leg is ready."]
    if done.readiness is not None:
        lines = [
            f"Leg {one.leg}: " + ("ready" if one.ready else f"not ready; {'; '.join(one.missing)}")
            for one in done.readiness
        ]
        for k, one in enumerate(done.readiness):
            pull = done.proved(one.leg)
            lines[k] += (
                f". Proved at {force_said(done, pull.pull)}, {pull.when}."
                if pull
                else ". Not proved yet."
            )
    if done.ring_missing is not None:
        said = "; ".join(done.ring_missing)
        lines.append(f"Ring: not ready; {said}." if said else "Ring: ready.")
    added = [(done.log.new_presses, "sleeves"), (done.log.new_pulls, "pulls")]
    lines += [f"{count} {what} were added to the log." for count, what in added if count]
    return titled("Ready", listed(lines))


def _notes(done: CutList) -> str:
    return titled("To know", listed(done.cutting.notes)) if done.cutting.notes else ""


def _cautions() -> str:
    lines = [
        wrapped(one.text, first=f"{one.number:>2}. ", rest="    ") for one in cautions_for("make")
    ]
    return titled("Cautions", printable_lines(lines))
