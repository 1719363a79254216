"""The child that decodes a recording: bytes in, one channel of numbers out, within limits.

First a line of JSON, then samples as little-endian 32-bit floats.
"""

from __future__ import annotations

import io
import json
import sys
from contextlib import suppress
from typing import Any, BinaryIO, Final

import numpy as np

__all__ = ["RATE", "decoded", "main"]

RATE: Final = 8000  # partials of a rope lie below 2 kHz [1/s]
MEMORY: Final = 1_000_000_000  # [bytes]
FULL: Final = 0.985  # of the end of scale: a sample this high is taken as cut off [-]
_UNSCALED: Final = {"s16": 2.0**15, "s32": 2.0**31, "u8": 2.0**7, "flt": 1.0, "dbl": 1.0}


def main() -> None:
    """Limit this process, decode standard input, and write what it holds."""
    seconds, longest = int(sys.argv[1]), float(sys.argv[2])
    _limit(seconds)
    told: dict[str, Any]
    try:
        samples, clipped = decoded(io.BytesIO(sys.stdin.buffer.read()), longest)
        told = {"rate": RATE, "clipped": clipped}
    except MemoryError:
        samples, told = np.zeros(0, dtype="<f4"), {"fault": "memory"}
    except OverflowError:
        samples, told = np.zeros(0, dtype="<f4"), {"fault": "long"}
    except Exception as fault:  # noqa: BLE001 - any bytes must end in a named fault
        samples, told = np.zeros(0, dtype="<f4"), {"fault": str(fault) or type(fault).__name__}
    sys.stdout.buffer.write(json.dumps(told).encode() + b"\n" + samples.tobytes())


def decoded(file: BinaryIO, longest: float) -> tuple[Any, float]:
    """Samples of the first sound in a file.

    Args:
        file: Its bytes.
        longest: Time beyond which it is refused. [s]

    Returns:
        Samples at `RATE` and the share of all samples that stand at the end of scale. [-]

    Raises:
        OverflowError: Longer than that.
        ValueError: No sound in it.
    """
    import av

    pieces: list[Any] = []
    total = count = full = 0
    with av.open(file, "r") as container:
        if not container.streams.audio:
            raise ValueError("no sound in it")
        stream = container.streams.audio[0]
        to_float = av.AudioResampler(format="flt", layout="mono", rate=RATE)
        for frame in container.decode(stream):
            high, here = _at_end_of_scale(frame)
            full, count = full + high, count + here
            for part in to_float.resample(frame):
                pieces.append(part.to_ndarray().reshape(-1).astype("<f4"))
                total += pieces[-1].size
            if total > longest * RATE:
                raise OverflowError
        pieces += [part.to_ndarray().reshape(-1).astype("<f4") for part in to_float.resample(None)]
    samples = np.concatenate(pieces) if pieces else np.zeros(0, dtype="<f4")
    return samples, full / max(count, 1)


def _at_end_of_scale(frame: Any) -> tuple[int, int]:
    """How many samples of a frame stand at the end of scale next to one another, and of how many.

    A single sample may well reach it; a row of them is cut off.
    """
    values = np.atleast_2d(frame.to_ndarray())
    kind = frame.format.name.removesuffix("p")
    size = np.abs(values.astype(float) - (128.0 if kind == "u8" else 0.0))
    high = size >= FULL * _UNSCALED.get(kind, 1.0)
    step = 1 if frame.format.is_planar else frame.layout.nb_channels
    row = high[:, step:] & high[:, :-step]
    return int(row.sum()), int(high.size)


def _limit(seconds: int) -> None:
    """Bound time and memory where the system can."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        resource.setrlimit(resource.RLIMIT_FSIZE, (MEMORY, MEMORY))
