"""Which sound does a recording hold? Decoded in a child process of limited time and memory."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Final

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.gauge.nouns import Sound

__all__ = ["LARGEST_FILE", "LONGEST", "load"]

LARGEST_FILE: Final = 50_000_000  # [bytes]
LONGEST: Final = 600.0  # [s]
PATIENCE: Final = 60.0  # [s]
CHILD: Final = "from rafterstay.gauge.decode import main; main()"


def load(path: Path, *, patience: float = PATIENCE) -> Sound:
    """Decode a recording, whatever a telephone writes.

    Args:
        path: A file: wav, m4a, ogg, webm, mp3, 3gp.
        patience: Time the decoding may take. [s]

    Returns:
        One channel.

    Raises:
        InputError: GA-001 unreadable, GA-002 too large, GA-003 no sound in it, GA-004 too long,
            GA-005 more time or memory than allowed.

    Limits: 50 MB, 10 minutes.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as fault:
        said = getattr(fault, "strerror", None) or "not a file"
        raise _refuse("GA-001", path, said, "a file that can be read", "Give the recording.") from (
            fault
        )
    if len(data) > LARGEST_FILE:
        bound = f"{LARGEST_FILE // 1_000_000} MB or less"
        raise _refuse("GA-002", path, "larger", bound, "Half a minute of plucks is enough.")
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and module
            [sys.executable, "-I", "-c", _child(), str(int(patience) + 1), str(LONGEST)],
            input=data,
            capture_output=True,
            timeout=patience,
            check=False,
        )
    except subprocess.TimeoutExpired as fault:
        raise _spent(path) from fault
    head, _, body = done.stdout.partition(b"\n")
    try:
        told = json.loads(head)
    except ValueError as fault:
        raise _spent(path) from fault
    if told.get("fault") == "long":
        bound = f"{LONGEST / 60:.0f} minutes or less"
        raise _refuse("GA-004", path, "longer", bound, "Half a minute of plucks is enough.")
    if told.get("fault") == "memory":
        raise _spent(path)
    samples = np.frombuffer(body[: len(body) // 4 * 4], dtype="<f4").astype(float)
    if "fault" in told or not samples.size:
        said = str(told.get("fault", "no sound"))[:80]
        bound = "a whole recording with sound in it"
        remedy = "Record it anew as wav, m4a, ogg, webm, mp3 or 3gp, and send the whole file."
        raise _refuse("GA-003", path, said, bound, remedy)
    samples = np.clip(np.nan_to_num(samples), -1.0, 1.0)
    return Sound(samples, float(told["rate"]), float(told["clipped"]))


def _child() -> str:
    """Program of the child: it sees this package and nothing of its surroundings."""
    root = str(Path(__file__).resolve().parents[2])
    return f"import sys; sys.path.insert(0, {root!r}); {CHILD}"


def _refuse(code: str, path: Path, value: str, bound: str, remedy: str) -> InputError:
    return InputError(
        Finding(code, file=path.name, key="recording", value=value, bound=bound, remedy=remedy)
    )


def _spent(path: Path) -> InputError:
    return _refuse(
        "GA-005",
        path,
        "more work than a recording is",
        f"decoded within {PATIENCE:.0f} s and 1 GB",
        "Record it anew.",
    )
