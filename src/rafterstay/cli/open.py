"""``rafterstay open``: the page at the kitchen table."""

from __future__ import annotations

from pathlib import Path

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit

__all__ = ["open_page"]


@click.command("open")
@click.argument("job", default=".", metavar="[JOB]")
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Serve at port N.")
@click.option("--no-browser", is_flag=True, help="Print the address; do not open the browser.")
def open_page(*, job: str, port: int | None, no_browser: bool) -> Exit:
    """Open JOB, or a folder of jobs, as a page in the browser.

    The page is served to this machine only and goes when the command is stopped with Ctrl-C.
    Every answer is saved as it is given.
    """
    from rafterstay.cli.open_papers import papers
    from rafterstay.web.serve import serve

    def told(address: str) -> None:
        emit(f"The page is at {address}\nStop it with Ctrl-C; every answer is saved.\n")

    serve(Path(job), port=port, browser=not no_browser, told=told, papers=papers())
    return Exit.PASSES
