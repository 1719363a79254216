"""``rafterstay check``: is the tie enough, and what is its weakest part?"""

from __future__ import annotations

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document
from rafterstay.core.errors import Finding, InputError

__all__ = ["check"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("--working", is_flag=True, help="Print every line of working.")
@click.option("--all", "every", is_flag=True, help="Print every combination.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
@click.option("--survey", metavar="READINGS", hidden=True, help="Still to come.")
def check(job: str, *, working: bool, every: bool, as_json: bool, survey: str | None) -> Exit:
    """Check the tie of JOB, a job folder or its job.toml.

    Every pattern of load in every direction is solved; each part is set against its clause and
    the worst comes first. Leaves with 0 when the tie passes, 1 when a check fails or an engineer
    must decide.
    """
    from rafterstay import design
    from rafterstay import job as jobs

    if survey is not None:
        raise InputError(
            Finding(
                "CL-003",
                key="the option --survey of `check`",
                bound="left out: this version checks the frame as designed only",
                remedy="Measured geometry is still to come.",
            )
        )
    with slow("Checking all patterns"):
        done = design.check(jobs.load(job))
    if as_json:
        from rafterstay.cli.document import check_document

        write_document(check_document(done))
    else:
        from rafterstay.cli.report import check_report

        emit(check_report(done, working=working, every=every))
    return Exit.PASSES if done.checks.verdict == "passes" else Exit.ATTENTION
