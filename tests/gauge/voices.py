"""Sounds that are no rope: syllables with gliding pitch and moving formants."""

from __future__ import annotations

import numpy as np

from tests.gauge.stiff_rope import RATE


def speech(rng):
    """Eight syllables of a voice, half a second of quiet before. (n_samples,)"""
    parts = [np.zeros(RATE // 2)]
    for _ in range(8):
        n = int(rng.uniform(0.15, 0.5) * RATE)
        clock = np.arange(n) / RATE
        glide = 1 + rng.uniform(-0.25, 0.25) * clock / clock[-1]
        pitch = rng.uniform(90, 220) * (glide + 0.02 * np.sin(2 * np.pi * 5 * clock))
        phase = 2 * np.pi * np.cumsum(pitch) / RATE
        formants = rng.uniform([300, 800, 2200], [800, 1800, 3000])
        voice = np.zeros(n)
        for k in range(1, 25):
            near = 1.0 / (1.0 + ((k * pitch.mean() - formants) / 90.0) ** 2)
            voice += (near.sum() / k**0.5 + 0.02) * np.sin(k * phase)
        parts += [voice * np.hanning(n) ** 0.5, np.zeros(int(rng.uniform(0.05, 0.4) * RATE))]
    whole = np.concatenate(parts)
    return 0.6 * whole / np.abs(whole).max() + 0.003 * rng.standard_normal(len(whole))
