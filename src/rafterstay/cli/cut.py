"""``rafterstay cut``: how long is each piece of rope, and how is it bought, pressed and proved?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document

if TYPE_CHECKING:
    from rafterstay.cli.cut_list import CutList

__all__ = ["cut"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("--survey", metavar="READINGS", help="Cut for the frame as it stands.")
@click.option(
    "--trial-eye",
    metavar="LENGTH",
    help="A trial eye was made: inside of its crown to its reference mark.",
)
@click.option(
    "--trial-leg",
    type=(int, click.Choice(["outer", "inner", "first", "second"]), str),
    metavar="LEG PIECE LENGTH",
    help="A piece was made, outer or inner (first or second): inside of one crown to inside of "
    "the other.",
)
@click.option(
    "--shackle-inside",
    metavar="LENGTH",
    help="A shackle was taped: inside of its bow to its pin.",
)
@click.option("--prestretched", is_flag=True, help="The rope was stretched before it is cut.")
@click.option("--bench", metavar="TEMPERATURE", help="Of rope and tape when it is cut.")
@click.option(
    "--reel", "sold", multiple=True, metavar="LENGTH", help="A length the rope is sold in."
)
@click.option("--at-hand", multiple=True, metavar="LENGTH", help="Leg rope that lies at hand.")
@click.option(
    "--tools", type=click.IntRange(1, 9), default=1, metavar="N", help="How many pressing tools."
)
@click.option("--press-log", metavar="FILE", help="Sleeves pressed, to be added to JOB's log.")
@click.option("--pull-log", metavar="FILE", help="Legs proved and test eyes pulled, likewise.")
@click.option(
    "--sheets", metavar="DIR", help="Write blank press and pull logs for this cut list into DIR."
)
@click.option("--force", is_flag=True, help="Overwrite sheets that are there.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def cut(
    job: str,
    *,
    survey: str | None,
    trial_eye: str | None,
    trial_leg: tuple[int, str, str] | None,
    prestretched: bool,
    bench: str | None,
    sold: tuple[str, ...],
    at_hand: tuple[str, ...],
    tools: int,
    press_log: str | None,
    pull_log: str | None,
    shackle_inside: str | None,
    sheets: str | None,
    force: bool,
    as_json: bool,
) -> Exit:
    """Cut list of JOB: pieces with running marks, turnbuckles, ring, rope to buy, proof, log.

    Leaves with 1 while a length is provisional: the frame not surveyed, a reading wrong, a
    turnbuckle likely to run out, the ring rope without a sleeve in the catalogue, or a
    shackle not taped.
    """
    from rafterstay.cli.cut_list import Wishes, bench_sheets, cut_list
    from rafterstay.cli.files import write_all

    wishes = Wishes(
        survey=Path(survey) if survey else None,
        trial_eye=trial_eye,
        trial_leg=trial_leg,
        prestretched=prestretched,
        bench=bench,
        sold=sold,
        at_hand=at_hand,
        tools=tools,
        press_log=Path(press_log) if press_log else None,
        pull_log=Path(pull_log) if pull_log else None,
        shackle_inside=shackle_inside,
    )
    with slow("Cutting every piece"):
        done = cut_list(job, wishes)
    written: list[str] = []
    if sheets is not None:
        written = write_all(Path(sheets), bench_sheets(done), force=force)
    _tell(done, written, as_json=as_json)
    return Exit.ATTENTION if done.provisional else Exit.PASSES


def _tell(done: CutList, written: list[str], *, as_json: bool) -> None:
    if as_json:
        from rafterstay.cli.cut_document import cut_document

        write_document(cut_document(done, written))
        return
    from rafterstay.cli.cut_report import cut_report

    emit(cut_report(done, written))
