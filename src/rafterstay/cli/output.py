"""How words and documents leave the program."""

from __future__ import annotations

import json
import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

import click

__all__ = ["emit", "prepare_streams", "slow", "to_json", "write_document"]

_PATIENCE: Final = 1.0  # [s] before a command says that it is still working


def prepare_streams() -> None:
    """Make sure that no character of a user's text can stop the output."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


def to_json(document: dict[str, Any]) -> str:
    """A document as text, ASCII, one key a line.

    Raises:
        ValueError: A figure is not finite.
    """
    return json.dumps(document, indent=1, allow_nan=False) + "\n"


def write_document(document: dict[str, Any]) -> None:
    """Write the one document of a command to standard output."""
    emit(to_json(document))


def emit(text: str) -> None:
    """Write text that ends in a line feed to standard output, down to the reader.

    A reader that has gone away (``| head``) is no fault of the command.
    """
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        # What is still buffered would be written again when Python ends.
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


@contextmanager
def slow(doing: str) -> Iterator[None]:
    """Say on standard error what is being done if it takes over a second."""
    notice = threading.Timer(_PATIENCE, click.echo, (f"{doing} ...",), {"err": True})
    notice.daemon = True
    notice.start()
    try:
        yield
    finally:
        notice.cancel()
