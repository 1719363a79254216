"""The page on this machine's own address, for one run."""

from __future__ import annotations

import gc
import secrets
import socket
import threading
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Final

from rafterstay.core.errors import Finding, InputError
from rafterstay.sheets.literal import printable
from rafterstay.web.app import make_app
from rafterstay.web.desk import Desk
from rafterstay.web.papers import Papers

__all__ = ["PORT", "serve"]

PORT: Final = 8414  # tried first, so that a page left open finds the next run again
_BACKLOG: Final = 32


def serve(
    folder: Path,
    *,
    port: int | None,
    browser: bool,
    told: Callable[[str], None],
    papers: Papers | None = None,
) -> None:
    """Serve a folder until interrupted.

    Args:
        folder: A job folder, or a folder of job folders.
        port: Where; left out: ``PORT``, or any that is free.
        browser: Open the browser.
        told: Is given the address to open.
        papers: What can be made of a job, by its word in addresses.

    Raises:
        InputError: CL-042 there is no such folder; CL-043 the port is taken.
    """
    import uvicorn

    root = folder.parent if folder.name == "job.toml" else folder
    if not root.is_dir():
        raise InputError(
            Finding(
                "CL-042",
                file=printable(str(folder)),
                bound="a folder of jobs, or a job folder",
                remedy="Make the folder first, or start a job with `rafterstay new`.",
            )
        )
    listening = _bind(port)
    taken = listening.getsockname()[1]
    token = secrets.token_urlsafe(24)
    desk = Desk(root)
    address = f"http://127.0.0.1:{taken}/?key={token}"
    config = uvicorn.Config(
        make_app(desk, port=taken, token=token, papers=papers),
        log_level="warning",
        lifespan="off",
        ws="none",
        server_header=False,
        limit_concurrency=64,
        timeout_graceful_shutdown=2,
    )
    # What was read so far stays: the collector need not look through it after every answer.
    gc.collect()
    gc.freeze()
    told(address)
    if browser:
        threading.Timer(0.5, webbrowser.open, (address,)).start()
    try:
        with suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listening])
    finally:
        desk.close()
        listening.close()


def _bind(port: int | None) -> socket.socket:
    """A socket of this machine's own address; of any free port where the usual one is taken."""
    for wanted in (PORT, 0) if port is None else (port,):
        # Named as TCP, so that asyncio sends every answer at once instead of gathering packets.
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind(("127.0.0.1", wanted))
            listening.listen(_BACKLOG)
        except OSError:
            listening.close()
        else:
            return listening
    raise InputError(
        Finding(
            "CL-043",
            key="--port",
            value=str(port),
            bound="a port that is free",
            remedy="Leave it out, and one is found.",
        )
    )
