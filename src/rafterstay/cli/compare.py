"""``rafterstay compare``: legs to a ring, a band round the plate, or ties straight across?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from rafterstay.cli.contract import Exit, envelope
from rafterstay.cli.output import emit, slow, write_document

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rafterstay.job import Job
    from rafterstay.sizing import Scheme

__all__ = ["compare"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def compare(job: str, *, as_json: bool) -> Exit:
    """Tie JOB's roof by a ring, a band and straight across, side by side.

    All three have the parts the job states; a band stands at the plate. Leaves with 1 where none
    of them passes every check.
    """
    from rafterstay import design
    from rafterstay import job as jobs

    stated = jobs.load(job)
    with slow("Tying it three ways"):
        schemes = design.compare(stated)
    if as_json:
        write_document(compare_document(stated, schemes))
    else:
        emit(compare_report(stated, schemes))
    passes = any(one.verdict == "passes" for one in schemes)
    return Exit.PASSES if passes else Exit.ATTENTION


def compare_document(job: Job, schemes: Sequence[Scheme]) -> dict[str, Any]:
    """Everything `compare` answers.

    Args:
        job: As stated.
        schemes: The ways to tie it.

    Returns:
        The document of the contract; ``cannot`` says why a scheme has no figures.
    """
    from rafterstay.cli.warnings import own_rows, stand_ins

    warned = (*own_rows(job), *stand_ins(job))
    return envelope(
        "compare",
        job_sha256=job.sha256,
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in job.assumed],
        warnings=[{"code": one.code, "text": one.text} for one in warned],
        currency=job.prices.currency,
        schemes=[
            {
                "layout": one.layout,
                "cannot": one.cannot or None,
                "max_pull_N": one.pull,
                "steel_kg": one.steel,
                "eyes": one.eyes,
                "turnbuckles": one.turnbuckles,
                "headroom_m": one.headroom,
                "worst_utilisation": one.utilisation,
                "worst_check": one.weakest or None,
                "verdict": one.verdict or None,
                "joints": one.joints,
                "cost": one.cost,
            }
            for one in schemes
        ],
    )


def compare_report(job: Job, schemes: Sequence[Scheme]) -> str:
    """Everything `compare` says in words.

    Args:
        job: As stated.
        schemes: The ways to tie it.

    Returns:
        Text of at most 80 columns a line.
    """
    from rafterstay.cli.report import WIDTH, printable_lines, table_text, wrapped
    from rafterstay.core.quantities import show
    from rafterstay.sheets.literal import printable
    from rafterstay.sheets.summary import share

    can = [one for one in schemes if not one.cannot]
    rows = [
        (
            one.layout,
            show(one.pull or 0.0, "force", job.show),
            _mass(one.steel or 0.0, job),
            str(one.eyes),
            str(one.turnbuckles),
            show(max(0.0, one.headroom or 0.0), "length", job.show),
            f"{share(one.utilisation) if one.utilisation is not None else '--'} {one.weakest}",
            "--" if one.cost is None else f"{one.cost:.0f} {job.prices.currency}",
        )
        for one in can
    ]
    table = table_text(
        [
            ("Scheme", "left"),
            ("Pull", "right"),
            ("Steel", "right"),
            ("Eyes", "right"),
            ("Turnb.", "right"),
            ("Head-room", "right"),
            ("Worst", "left"),
            ("Cost", "right"),
        ],
        rows,
    )
    notes = [f"{one.layout} cannot be had: {one.cannot}" for one in schemes if one.cannot]
    notes += [f"{one.layout} needs: {one.joints}." for one in can]
    notes.append(
        "Every scheme has the parts the job states, and ropes at net length. Steel is ropes, "
        "turnbuckles and a ring of bar or plate. Head-room is above the plate in the middle of "
        "the room; under a band it reaches the hub."
    )
    if job.tie.ring in {"welded", "plate"} and any(one.cost is not None for one in can):
        notes.append("Cost is without the ring of bar or plate: ask who makes it.")
    if can and any(one.cost is None for one in can):
        notes.append("Cost needs every price it uses under [prices].")
    head = ["=" * WIDTH, wrapped(printable(job.title)), "=" * WIDTH]
    said = [wrapped(note, first="- ", rest="  ") for note in notes]
    return "\n".join([*head, "", table]) + "\n" + printable_lines(said)


def _mass(kilogram: float, job: Job) -> str:
    return f"{kilogram / 0.45359237:.0f} lb" if job.show == "us" else f"{kilogram:.1f} kg"
