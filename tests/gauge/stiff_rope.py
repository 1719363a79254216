"""A stiff damped rope over two springy bridges by finite differences, independent of the gauge.

Points along the rope carry its mass; pull and bending act between them by central differences;
the rope runs on beyond both bridges to clamped ends; each bridge is a spring under the rope.
The movement is the sum of the model's own vibrations, each with air and internal damping.
"""

from __future__ import annotations

import numpy as np

RATE = 8000


def vibrations(pull, mass, bending, *, span, beyond, bridge, points=24):
    """Frequencies [rad/s] and shapes of a rope, and the positions inside the span."""
    h = span / (points * 4)
    n_span, n_beyond = points * 4, round(beyond / h)
    n = n_span + 2 * n_beyond + 1
    second = (np.eye(n, k=1) - 2 * np.eye(n) + np.eye(n, k=-1)) / h**2
    stiff = -pull * second + bending * second @ second
    for k in (n_beyond, n_beyond + n_span):
        stiff[k, k] += bridge / h
    inner = slice(2, n - 2)  # clamped: two points at either end stand still
    values, shapes = np.linalg.eigh(stiff[inner, inner] / mass)
    at = np.arange(n)[inner] - n_beyond
    return np.sqrt(np.maximum(values, 0.0)), shapes, at / n_span


def recording(
    rng,
    *,
    pull,
    mass,
    bending,
    span,
    beyond=1.1,
    bridge=2e6,
    plucks=3,
    noise=0.01,
    hum=(),
    weak=1.0,
    low_cut=0.0,
    gap=2.2,
):
    """Samples of several plucks with a quiet second before."""
    omega, shapes, at = vibrations(pull, mass, bending, span=span, beyond=beyond, bridge=bridge)
    keep = omega < 2 * np.pi * 1400
    omega, shapes = omega[keep], shapes[:, keep]
    time = np.arange(int(gap * RATE)) / RATE
    whole = [np.zeros(int(1.0 * RATE))]
    for _ in range(plucks):
        where = rng.uniform(0.12, 0.35)
        start = np.interp(at, [0.0, where, 1.0], [0.0, 1.0, 0.0], left=0.0, right=0.0)
        ear = int(np.argmin(np.abs(at - rng.uniform(0.55, 0.8))))
        size = shapes.T @ start
        # Air, and a share of critical damping, 0.1 to 0.5 %: common practice, no source.
        damping = 0.8 + rng.uniform(0.001, 0.005) * omega
        part = np.zeros_like(time)
        for k in range(len(omega)):
            loud = size[k] * shapes[ear, k] * omega[k] ** 0.7
            if omega[k] < 1.35 * omega_first(omega, pull, mass, span):
                loud *= weak
            loud /= 1.0 + (low_cut * 2 * np.pi / omega[k]) ** 2
            part += loud * np.exp(-damping[k] * time) * np.cos(omega[k] * time)
        whole.append(part)
    sound = np.concatenate(whole)
    sound = 0.5 * sound / np.abs(sound).max()
    clock = np.arange(len(sound)) / RATE
    for frequency, loud in hum:
        sound = sound + loud * np.sin(2 * np.pi * frequency * clock + rng.uniform(0, 6.28))
    return sound + noise * rng.standard_normal(len(sound))


def omega_first(omega, pull, mass, span):
    """The string's own first frequency of the span. [rad/s]"""
    return np.pi / span * np.sqrt(pull / mass)
