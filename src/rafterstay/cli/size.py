"""``rafterstay size``: which parts are the smallest that pass, and how high may the tie sit?"""

from __future__ import annotations

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document

__all__ = ["size"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("--ply", "with_ply", is_flag=True, help="Size the rafters' plies too.")
@click.option("--height", is_flag=True, help="Sweep the height of the tie as well.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def size(job: str, *, with_ply: bool, height: bool, as_json: bool) -> Exit:
    """Find the smallest standard parts that pass for JOB, a job folder or its job.toml.

    Lay, finish, style and grade stay as stated; sizes go up until every check passes. The bar of
    a welded ring and the thickness of a hub plate are sized from what steel yards keep. The parts
    that are told were checked whole, and so was each of them one size down. Leaves with 1 where
    a check fails whatever the sizes, or an engineer must decide.
    """
    from dataclasses import replace

    from rafterstay import design
    from rafterstay import job as jobs

    stated = jobs.load(job)
    with slow("Trying sizes"):
        sizes = design.size(stated, with_ply=with_ply)
        held = replace(sizes.job, pretension=sizes.found.job.pretension)
        rows = design.heights(held) if height else ()
    if as_json:
        from rafterstay.cli.size_report import size_document

        write_document(size_document(sizes, rows))
    else:
        from rafterstay.cli.size_report import size_report

        emit(size_report(sizes, rows, with_ply=with_ply))
    return Exit.PASSES if sizes.found.checks.verdict == "passes" else Exit.ATTENTION
