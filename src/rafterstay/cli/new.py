"""``rafterstay new``: a job folder to start from."""

from __future__ import annotations

import hashlib
from pathlib import Path

import click

from rafterstay.cli.contract import Exit, envelope
from rafterstay.cli.output import emit, write_document
from rafterstay.sheets.literal import printable

__all__ = ["new"]


@click.command()
@click.argument("example", default="octagon", metavar="[EXAMPLE]")
@click.option(
    "-o", "folder", metavar="DIR", help="The job folder; named after EXAMPLE if not given."
)
@click.option("--force", is_flag=True, help="Overwrite a job.toml that is there.")
@click.option("--list", "listing", is_flag=True, help="List the examples and stop.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
def new(example: str, *, folder: str | None, force: bool, listing: bool, as_json: bool) -> Exit:
    """Start a job from EXAMPLE: write DIR/job.toml, to be edited by hand."""
    from rafterstay.cli.files import write_all
    from rafterstay.job.examples import example as example_text
    from rafterstay.job.examples import examples

    if listing:
        names = list(examples())
        if as_json:
            write_document(envelope("new", examples=names))
        else:
            emit("".join(f"{name}\n" for name in names))
        return Exit.PASSES
    text = example_text(example).encode()
    target = Path(folder or example)
    written = write_all(target, {"job.toml": text}, force=force)
    if as_json:
        sha = hashlib.sha256(text).hexdigest()
        write_document(envelope("new", job_sha256=sha, example=example, written=written))
    else:
        place = printable(str(target))
        emit(f"Wrote {printable(written[0])}. Edit it, then: rafterstay check {place}\n")
    return Exit.PASSES
