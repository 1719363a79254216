"""``rafterstay sheets``: drawings to build by and to be checked by, as SVG, DXF and PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document

if TYPE_CHECKING:
    from rafterstay.cli.sheet_set import SheetSet

__all__ = ["sheets"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("-o", "folder", required=True, metavar="DIR", help="Where to.")
@click.option("--survey", metavar="READINGS", help="Draw the frame as it stands.")
@click.option(
    "--paper",
    type=click.Choice(["letter", "a4"]),
    help="Of the sheets; letter for a job shown in US units, else A4.",
)
@click.option("--revision", default="", metavar="TEXT", help="Lettered in every title block.")
@click.option("--date", default="", metavar="TEXT", help="Lettered in every title block.")
@click.option("--force", is_flag=True, help="Overwrite the files of earlier sheets.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
def sheets(
    job: str,
    *,
    folder: str,
    survey: str | None,
    paper: str | None,
    revision: str,
    date: str,
    force: bool,
    as_json: bool,
) -> Exit:
    """Draw the sheets of JOB into DIR: each as SVG and DXF, all of them as sheets.pdf.

    Leaves with the exit code of the verdict, like `check`.
    """
    from rafterstay.cli.files import write_all
    from rafterstay.cli.sheet_set import drawn_files, sheet_set

    with slow("Checking all patterns"):
        done = sheet_set(
            job,
            survey=Path(survey) if survey else None,
            paper=paper,
            revision=revision,
            date=date,
        )
    with slow("Drawing the sheets"):
        files = drawn_files(done)
    written = write_all(Path(folder), files, force=force)
    if as_json:
        write_document(_document(done, written))
    else:
        emit(_report(done, written))
    return Exit.PASSES if done.design.checks.verdict == "passes" else Exit.ATTENTION


def _document(done: SheetSet, written: list[str]) -> dict[str, Any]:
    from rafterstay.cli.contract import envelope

    job = done.design.job
    return envelope(
        "sheets",
        job_sha256=job.sha256,
        geometry=done.design.frame.geometry,
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in job.assumed],
        warnings=[{"code": one.code, "text": one.text} for one in done.warnings],
        verdict=done.design.checks.verdict,
        sheets=[
            {
                "name": sheet.name,
                "title": sheet.title,
                "scale": sheet.scale,
                "width_mm": sheet.width_mm,
                "height_mm": sheet.height_mm,
                "shortened": list(sheet.shortened),
                "left_out": list(sheet.left_out),
            }
            for sheet in done.sheets
        ],
        written=written,
    )


def _report(done: SheetSet, written: list[str]) -> str:
    from rafterstay.cli.report import opening
    from rafterstay.sheets.literal import printable

    listed = "".join(f"  {sheet.name:20} {sheet.title}\n" for sheet in done.sheets)
    told = "".join(f"Note: {one.text}\n" for one in done.own)
    where = printable(str(Path(written[0]).parent))
    heading = f"Sheets in {where}, each as .svg and .dxf, all of them in sheets.pdf:"
    return f"{opening(done.design)}\n{heading}\n{listed}{told}"
