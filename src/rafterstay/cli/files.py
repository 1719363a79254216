"""How a command writes its files: all of them or none, and never over another by accident."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from rafterstay.core.errors import Finding, InputError
from rafterstay.store.faults import named
from rafterstay.store.files import publish, swap_in, write_beside

__all__ = ["write_all"]


def write_all(folder: Path, files: Mapping[str, bytes], *, force: bool) -> list[str]:
    """Write files into a folder, which is made where it is missing.

    Every file is complete under a temporary name before the first gets its own.

    Args:
        folder: Where to.
        files: Names and contents.
        force: Replace files that are there.

    Returns:
        Paths of the files, in the order given.

    Raises:
        InputError: CL-004 a file is there already and ``force`` is not set.
        StoreError: The folder cannot be written.
    """
    targets = {folder / name: body for name, body in files.items()}
    taken = [path for path in targets if os.path.lexists(path)]
    if taken and not force:
        raise InputError(_taken(path) for path in taken)
    with named(folder):
        made = _make(folder)
        waiting: dict[Path, Path] = {}
        try:
            for path, body in targets.items():
                waiting[path] = write_beside(path, body)
            for path in targets:
                (swap_in if force else publish)(waiting[path], path)
                del waiting[path]
        except BaseException:
            _clear([*waiting.values()], made)
            raise
    return [str(path) for path in targets]


def _make(folder: Path) -> list[Path]:
    """Make a folder and those above it; the ones that were made come back, innermost first."""
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return missing


def _clear(temporary: list[Path], made: list[Path]) -> None:
    """Leave nothing behind of a write that failed."""
    for path in temporary:
        with suppress(OSError):
            path.unlink()
    for folder in made:
        with suppress(OSError):
            folder.rmdir()


def _taken(path: Path) -> Finding:
    return Finding(
        "CL-004",
        file=str(path),
        bound="there is a file of that name already",
        remedy="Give another folder with -o, or --force to overwrite it.",
    )
