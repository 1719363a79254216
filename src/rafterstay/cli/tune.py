"""``rafterstay tune``: which turnbuckle, which way, how many turns?"""

from __future__ import annotations

from pathlib import Path

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document

__all__ = ["tune"]


@click.command()
@click.argument("job", metavar="JOB")
@click.argument("readings", metavar="READINGS")
@click.option("--survey", metavar="SURVEY", help="Readings of the frame as it stands.")
@click.option("--clocks", metavar="FILE", help="Draw the turns as clock faces, an SVG.")
@click.option("--force", is_flag=True, help="Overwrite the picture if it is there.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def tune(
    job: str,
    *,
    readings: str,
    survey: str | None,
    clocks: str | None,
    force: bool,
    as_json: bool,
) -> Exit:
    """One table of turns for all legs of JOB, from READINGS of the tie as it hangs.

    READINGS are lines what,where,value,sigma: pulls, the ring's corners, sides, offsets and
    levels, openings of turnbuckles, the temperature; any mix, docs/tune.md. Leaves with 1 while
    a reading is named that cannot be right, or no turns meet the limits.
    """
    from rafterstay.cli.tune_run import tuned

    with slow("Settling the readings"):
        done = tuned(job, Path(readings), Path(survey) if survey else None)
    if clocks is not None:
        from rafterstay.cli.files import write_all
        from rafterstay.cli.tune_clocks import clock_picture

        place = Path(clocks)
        write_all(place.parent, {place.name: clock_picture(done).encode()}, force=force)
    if as_json:
        from rafterstay.cli.tune_document import tune_document

        write_document(tune_document(done))
    else:
        from rafterstay.cli.tune_report import tune_report

        emit(tune_report(done))
    advice = done.advice
    stopped = advice.state.blunders or not advice.kept or not advice.safe
    return Exit.ATTENTION if stopped else Exit.PASSES
