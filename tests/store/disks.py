"""Disks that are full and folders that cannot be written, made for a test."""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path


def can_mount() -> bool:
    """Whether a small disk of its own can be had, which only root can make."""
    if os.geteuid() != 0:
        return False
    with tempfile.TemporaryDirectory() as place:
        return _run("mount", "-t", "tmpfs", "-o", "size=64k", "none", place) and _run(
            "umount", place
        )


@contextmanager
def small_disk(place: Path, size: str) -> Iterator[Path]:
    """A disk of ``size`` in memory, mounted at ``place``."""
    place.mkdir(exist_ok=True)
    assert _run("mount", "-t", "tmpfs", "-o", f"size={size}", "none", str(place))
    try:
        yield place
    finally:
        assert _run("umount", str(place)), "the disk is still in use"


def make_read_only(place: Path) -> None:
    """Turn a mounted disk read-only."""
    assert _run("mount", "-o", "remount,ro", str(place))


def in_child(act: Callable[[], None]) -> int:
    """Run ``act`` in a forked child and give its exit code, or minus the signal that ended it."""
    child = os.fork()
    if child == 0:
        code = 70
        try:
            act()
            code = 0
        except BaseException as error:  # noqa: BLE001 - told to the parent by the code and text
            os.write(2, f"{type(error).__name__}: {error}\n".encode())
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _run(*words: str) -> bool:
    return subprocess.run(words, check=False, capture_output=True).returncode == 0
