"""``rafterstay packet``: what is handed to the official, in one PDF."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document
from rafterstay.core.errors import Finding, InputError

if TYPE_CHECKING:
    from rafterstay.design import Design
    from rafterstay.packet import Packet

__all__ = ["packet"]


@click.command()
@click.argument("job", metavar="JOB")
@click.option("--brief", is_flag=True, help="Four pages for the counter.")
@click.option("--survey", metavar="READINGS", help="Bind for the frame as it stands.")
@click.option(
    "--paper", type=click.Choice(["letter", "a4"]), default="letter", help="Of its pages."
)
@click.option("--show", type=click.Choice(["us", "si"]), help="Units; the job's if not given.")
@click.option("-o", "file", required=True, metavar="FILE", help="The PDF to write.")
@click.option("--force", is_flag=True, help="Overwrite FILE.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
def packet(
    job: str,
    *,
    brief: bool,
    survey: str | None,
    paper: Literal["letter", "a4"],
    show: Literal["us", "si"] | None,
    file: str,
    force: bool,
    as_json: bool,
) -> Exit:
    """Bind the packet of JOB for the building official into FILE.

    Duty, criteria, free body, every check with its working, sheets, parts, records and
    cautions. Leaves with the exit code of the verdict, like `check`.
    """
    from rafterstay import job as jobs
    from rafterstay.cli.files import write_all
    from rafterstay.cli.packet_parts import bound, carried

    target = Path(file)
    if target.suffix.lower() != ".pdf":
        raise InputError(
            Finding(
                "CL-012",
                key="-o",
                value=file,
                bound="a name that ends in .pdf",
                remedy="Give the PDF a name of its own.",
            )
        )
    stated = jobs.load(job)
    stated = replace(stated, show=show) if show else stated
    with slow("Checking all patterns"):
        done = carried(stated, Path(survey) if survey else None)
    with slow("Binding the pages"):
        made = bound(done, place=job, paper=paper, brief=brief)
    written = write_all(target.parent, {target.name: made.pdf}, force=force)
    if as_json:
        write_document(_document(done, made, written, {"brief": brief, "paper": paper}))
    else:
        emit(_report(done, made, written))
    sound = done.checks.verdict == "passes" and not (done.built and done.built.blunders)
    return Exit.PASSES if sound else Exit.ATTENTION


def _document(
    done: Design, made: Packet, written: list[str], asked: dict[str, object]
) -> dict[str, object]:
    from hashlib import sha256

    from rafterstay.cli.contract import envelope
    from rafterstay.cli.warnings import warnings_of

    told = [(one.code, one.text) for one in warnings_of(done)]
    told += [(one.code, one.text) for one in made.told]
    return envelope(
        "packet",
        job_sha256=done.job.sha256,
        geometry=done.frame.geometry,
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in done.job.assumed],
        warnings=[{"code": code, "text": text} for code, text in told],
        verdict=done.checks.verdict,
        weakest=done.checks.weakest,
        show=done.job.show,
        **asked,
        written=written,
        pages=made.pages,
        sha256=sha256(made.pdf).hexdigest(),
        bytes=len(made.pdf),
    )


def _report(done: Design, made: Packet, written: list[str]) -> str:
    from rafterstay.cli.report import opening, wrapped
    from rafterstay.sheets.literal import printable

    told = "".join(f"{wrapped(f'{one.code}: {one.text}')}\n" for one in made.told)
    wrote = f"  {printable(written[0])}, {made.pages} pages\n"
    return f"{opening(done)}\nWrote:\n{wrote}{told}"
