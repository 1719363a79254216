"""When was a rope plucked in a recording, and which tones did each pluck leave?"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from rafterstay.gauge.nouns import Floats, Sound

__all__ = ["Tones", "band_power", "onsets", "tones"]

FRAME: Final = 0.02  # [s]
APART: Final = 0.5  # plucks closer than this are one [s]
JUMP: Final = 4.0  # a pluck raises the power of the sound by at least this [-]
LOUD: Final = 8.0  # and above the quiet tenth of it by this [-]
ATTACK: Final = (110.0, 1200.0)  # where a pluck stands out from hum and hiss [Hz]
LATE: Final = 0.03  # left out after the onset: the finger's own noise [s]
LONGEST: Final = 2.0  # of the ringing that is looked at [s]
SHORTEST: Final = 0.35  # [s]
WINDOWS: Final = (0.12, 0.3, 0.8)  # [s]
LOWEST: Final = 12.0  # [Hz]
HIGHEST: Final = 1500.0  # [Hz]
FLOOR: Final = 90.0  # [Hz]
MOST: Final = 24  # tones kept
ABOVE: Final = 4.0  # a tone stands above the floor by this factor of amplitude [-]
HUM_SHARE: Final = 0.5  # a tone that was this strong before the pluck is not the rope's [-]


@dataclass(frozen=True)
class Tones:
    """Tones of one pluck, strongest first.

    Attributes:
        frequency: [Hz] (n,)
        amplitude: Above the floor. [-] (n,)
        width: Of one line of the spectrum. [Hz]
    """

    frequency: Floats
    amplitude: Floats
    width: float


def onsets(sound: Sound) -> list[tuple[float, float]]:
    """Find where each pluck starts and where the next begins or the recording ends.

    Args:
        sound: The recording.

    Returns:
        Start and end of every pluck. [s]
    """
    size = int(FRAME * sound.rate)
    samples = _between(sound, ATTACK)
    frames = len(samples) // size
    if frames < 4:
        return []
    power = (samples[: frames * size].reshape(frames, size) ** 2).mean(axis=1)
    floor = float(np.quantile(power, 0.1)) + 1e-12
    loud = float(power.max())
    starts: list[int] = []
    for k in range(1, frames):
        before = power[max(0, k - 4) : k].mean()
        jumps = power[k] > JUMP * before and power[k] > max(LOUD * floor, 0.01 * loud)
        if jumps and (not starts or (k - starts[-1]) * FRAME > APART):
            starts.append(k)
    if not starts and power[:3].mean() > LOUD * floor:
        starts = [0]
    edges = [*starts, frames]
    return [(a * FRAME, b * FRAME) for a, b in pairwise(edges)]


def tones(sound: Sound, start: float, end: float, *, quiet: tuple[float, float] | None) -> Tones:
    """Tones of the ringing between two times, hum left out.

    High tones die first and low ones need time to be told apart, so that the ringing is looked
    at through several windows; each tone is taken from the one in which it stands out most.

    Args:
        sound: The recording.
        start: Onset. [s]
        end: Of the ringing. [s]
        quiet: A time in which nothing rings: what sounds there is hum. [s]

    Returns:
        Its tones.
    """
    begin = start + LATE
    most = min(end - 0.02 - begin, LONGEST)
    seen = [_window(sound, begin, length, quiet=quiet) for length in WINDOWS if length < 0.8 * most]
    seen.append(_window(sound, begin, most, quiet=quiet))
    frequency, amplitude, width = (np.concatenate(x) for x in zip(*seen, strict=True))
    kept: list[int] = []
    for k in np.argsort(-amplitude):
        # The same tone in another window, or a side line of a stronger one, is no tone.
        apart = (abs(frequency[k] - frequency[j]) > 2.0 * max(width[k], width[j]) for j in kept)
        if all(apart):
            kept.append(int(k))
    rows = np.array(kept[:MOST], dtype=int)
    return Tones(frequency[rows], amplitude[rows], 1.0 / most)


def _window(
    sound: Sound, begin: float, length: float, *, quiet: tuple[float, float] | None
) -> tuple[Floats, Floats, Floats]:
    """Tones of one window: frequency, amplitude above the floor, and the width of a line."""
    spectrum, width = _spectrum(sound, begin, length)
    frequencies = np.arange(len(spectrum)) * width
    hum = np.zeros_like(spectrum)
    if quiet is not None:
        least = min(length, quiet[1] - quiet[0])
        # The same time before the pluck, so that a steady tone stands as high in both.
        before, step = _spectrum(sound, quiet[1] - least, least)
        hum = np.interp(frequencies, np.arange(len(before)) * step, before)
    band = (frequencies > max(LOWEST, 3.0 / length)) & (frequencies < HIGHEST)
    floor = _floor(spectrum, width)
    inner = np.arange(1, len(spectrum) - 1)
    top = (spectrum[1:-1] > spectrum[:-2]) & (spectrum[1:-1] >= spectrum[2:])
    picked = inner[top & band[1:-1] & (spectrum[1:-1] > ABOVE * floor[1:-1])]
    reach = max(1, int(1.0 / width))
    loud = [hum[max(0, k - reach) : k + reach + 1].max() for k in picked]
    picked = picked[np.array(loud) < HUM_SHARE * spectrum[picked]] if picked.size else picked
    picked = picked[np.argsort(-spectrum[picked])][:MOST]
    left, mid, right = (np.log(spectrum[picked + d] + 1e-30) for d in (-1, 0, 1))
    bend = left - 2.0 * mid + right
    shift = np.where(bend < 0.0, 0.5 * (left - right) / np.where(bend < 0.0, bend, -1.0), 0.0)
    above = spectrum[picked] / floor[picked]
    return np.asarray((picked + shift) * width), above, np.repeat(1.0 / length, picked.size)


def band_power(sound: Sound, start: float, end: float) -> float:
    """Power between two times in the band in which plucks stand out.

    Args:
        sound: The recording.
        start: [s]
        end: [s]

    Returns:
        Mean square. [-]
    """
    part = sound.samples[int(start * sound.rate) : int(end * sound.rate)]
    return float((_between(Sound(part, sound.rate), ATTACK) ** 2).mean())


def _spectrum(sound: Sound, start: float, length: float) -> tuple[Floats, float]:
    """Amplitudes under a window of unit sum, and the distance of their lines. [-], [Hz]"""
    first = int(start * sound.rate)
    part = sound.samples[first : first + int(length * sound.rate)]
    window = np.hanning(len(part) + 2)[1:-1]
    size = 1 << (int(8 * len(part)) - 1).bit_length()
    lines = np.abs(np.fft.rfft((part - part.mean()) * window / window.sum(), size))
    return lines, sound.rate / size


def _floor(spectrum: Floats, width: float) -> Floats:
    """Median amplitude round every line, within 90 Hz either way."""
    reach = max(8, int(FLOOR / width))
    step = max(1, reach // 4)
    at = np.arange(0, len(spectrum), step)
    medians = [float(np.median(spectrum[max(0, k - reach) : k + reach])) for k in at]
    return np.asarray(np.interp(np.arange(len(spectrum)), at, medians)) + 1e-9


def _between(sound: Sound, band: tuple[float, float]) -> Floats:
    """The sound between two frequencies."""
    lines = np.fft.rfft(sound.samples)
    at = np.fft.rfftfreq(len(sound.samples), 1.0 / sound.rate)
    lines[(at < band[0]) | (at > band[1])] = 0.0
    return np.asarray(np.fft.irfft(lines, len(sound.samples)))
