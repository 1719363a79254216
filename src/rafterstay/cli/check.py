"""``rafterstay check``: is the tie enough, and what is its weakest part?"""

from __future__ import annotations

from pathlib import Path

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document

__all__ = ["check"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("--working", is_flag=True, help="Print every line of working.")
@click.option("--all", "every", is_flag=True, help="Print every combination.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
@click.option("--survey", metavar="READINGS", help="Check the frame as it stands.")
def check(job: str, *, working: bool, every: bool, as_json: bool, survey: str | None) -> Exit:
    """Check the tie of JOB, a job folder or its job.toml.

    Every pattern of load in every direction is solved; each part is set against its clause and
    the worst comes first. Leaves with 0 when the tie passes, 1 when a check fails, an engineer
    must decide or a reading cannot be right.
    """
    from rafterstay import design
    from rafterstay import job as jobs

    stated = jobs.load(job)
    built = None
    if survey is not None:
        from rafterstay import roof
        from rafterstay.cli.survey_frame import read_frame

        built = read_frame(stated, roof.lay_out(stated), Path(survey))
    with slow("Checking all patterns"):
        done = design.check(stated, built=built)
    if as_json:
        from rafterstay.cli.document import check_document

        write_document(check_document(done, done.band))
    else:
        from rafterstay.cli.report import check_report

        emit(check_report(done, working=working, every=every))
        if done.band is not None:
            from rafterstay.cli.band_report import band_text

            emit(f"\n{band_text(done.band, done.tie.target, stated.show)}")
    sound = done.checks.verdict == "passes" and not (built and built.blunders)
    return Exit.PASSES if sound else Exit.ATTENTION
