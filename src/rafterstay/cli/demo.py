"""``rafterstay demo``: the ten-sided reading room, from job to plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, to_json, write_document

if TYPE_CHECKING:
    from rafterstay.design import Design

__all__ = ["demo", "demo_plan"]


@click.command()
@click.option(
    "-o", "folder", default="demo-out", metavar="DIR", help="Where to; demo-out if not given."
)
@click.option("--force", is_flag=True, help="Overwrite the files of an earlier demo.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
def demo(*, folder: str, force: bool, as_json: bool) -> Exit:
    """Check a ten-sided reading room and write job, results and plan into DIR.

    Leaves with the exit code of its verdict, like `check`.
    """
    from rafterstay.cli.document import check_document
    from rafterstay.cli.files import write_all
    from rafterstay.cli.report import check_report, opening
    from rafterstay.sheets.literal import printable

    text, done = _reading_room()
    document = check_document(done)
    files = {
        "job.toml": text,
        "check.txt": check_report(done, working=True, every=True),
        "check.json": to_json(document),
        "plan.svg": _plan(done),
    }
    encoded = {name: body.encode("utf-8", "backslashreplace") for name, body in files.items()}
    written = write_all(Path(folder), encoded, force=force)
    if as_json:
        write_document(document | {"command": "demo", "written": written})
    else:
        listed = "".join(f"  {printable(path)}\n" for path in written)
        emit(f"{opening(done)}\nWrote:\n{listed}")
    return Exit.PASSES if done.checks.verdict == "passes" else Exit.ATTENTION


def demo_plan() -> str:
    """The plan of the reading room as an SVG document."""
    return _plan(_reading_room()[1])


def _reading_room() -> tuple[str, Design]:
    from rafterstay import design
    from rafterstay import job as jobs
    from rafterstay.job.examples import DEMO, example

    text = example(DEMO)
    with slow("Checking all patterns"):
        return text, design.check(jobs.loads(text))


def _plan(done: Design) -> str:
    from rafterstay.sheets.as_svg import to_svg
    from rafterstay.sheets.plan import draw_plan

    return to_svg(draw_plan(done))
