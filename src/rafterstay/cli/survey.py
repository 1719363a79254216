"""``rafterstay survey``: what to tape, and what the readings say of the frame."""

from __future__ import annotations

from pathlib import Path

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document

__all__ = ["survey"]


@click.command()
@click.argument("job", metavar="JOB")
@click.argument("readings", metavar="[READINGS]", required=False)
@click.option("--form", metavar="FILE", help="Write the list as a file to fill in.")
@click.option("--force", is_flag=True, help="Overwrite the form if it is there.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def survey(job: str, *, readings: str | None, form: str | None, force: bool, as_json: bool) -> Exit:
    """Readings to take of JOB's frame, or what READINGS say of it.

    Without READINGS: the list in walking order, with spares enough to find a slip. With them:
    the frame as it stands, each point with its ±, and any reading that cannot be right. Leaves
    with 1 while a reading is named.
    """
    from rafterstay.cli.survey_frame import planned, surveyed

    if readings is None:
        listed = planned(job)
        if form is not None:
            from rafterstay.cli.files import write_all
            from rafterstay.survey import form as form_of

            place = Path(form)
            text = form_of(listed.plan).encode()
            write_all(place.parent, {place.name: text}, force=force)
        if as_json:
            from rafterstay.cli.survey_document import plan_document

            write_document(plan_document(listed))
        else:
            from rafterstay.cli.survey_report import plan_report

            emit(plan_report(listed))
        return Exit.PASSES
    with slow("Settling the readings"):
        found = surveyed(job, Path(readings))
    if as_json:
        from rafterstay.cli.survey_document import survey_document

        write_document(survey_document(found))
    else:
        from rafterstay.cli.survey_report import survey_report

        emit(survey_report(found))
    return Exit.ATTENTION if found.built.blunders else Exit.PASSES
