"""Pull in a rope from the sound of its plucks between two bridges."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from rafterstay.gauge.arguments import require_between
from rafterstay.gauge.nouns import Gauged, Pluck, Sound
from rafterstay.gauge.partials import Fit, Span, fit
from rafterstay.gauge.spectrum import SHORTEST, Tones, band_power, onsets, tones

__all__ = ["by_pluck"]

CLIPPED: Final = 2e-4  # share of samples at the end of scale [-]
SILENT: Final = 2e-4  # largest sample of a recording with nothing in it [-]
AGREE: Final = 0.05  # plucks of one rope, of their pull [-]
STEADY: Final = 0.012  # of the pull, between the first and the second half of a ringing [-]
MASS: Final = 0.01  # mass per length of rope from a table, common practice [-]
TAPE: Final = 0.0254 / 16  # bridges, common practice [m]
HUNG: Final = 0.01  # a weight that was weighed, common practice [-]


def by_pluck(
    sound: Sound,
    *,
    span: float,
    mass: float,
    diameter: float,
    strength: float,
    weight: float | None = None,
    factor: float = 1.0,
) -> Gauged:
    """Pull in a rope from a recording of one or several plucks.

    Args:
        sound: The recording.
        span: Between the bridges. [m]
        mass: Of the rope, per length. [kg/m]
        diameter: Of the rope. [m]
        strength: Its breaking strength. [N]
        weight: What hangs on the rope in this recording: the answer then has its ``factor``.
            [N]
        factor: Of an earlier recording under a hung weight. [-]

    Returns:
        The pull, or why there is none.

    Raises:
        InputError: GA-010.

    Limits: l/L below 0.12, that is a span of about 20 diameters of a slack rope and 60 and more
        of a taut one; docs/theory/gauge.md.
    """
    require_between("span", span, (0.3, 3.0), "m")
    require_between("factor", factor, (0.7, 1.4), "")
    if weight is not None:
        require_between("weight", weight, (20.0, 20_000.0), "N")
    refused = _unfit(sound)
    if refused:
        return Gauged("pluck", None, None, refused)
    held = Span(span, mass, diameter, strength)
    plucks, tried, why = _plucks(held, sound)
    good = _agreeing(plucks, tried)
    if not good:
        apart = "its plucks do not agree with one another: one rope, the same bridges, again"
        return Gauged("pluck", None, None, apart if len(plucks) > 1 else why)
    raw = float(np.median([one.pull for one in good]))
    scatter = float(np.std([one.pull for one in good]) / math.sqrt(len(good)))
    sigma = math.hypot(scatter, float(np.median([one.sigma for one in good])))
    told = [f"{len(good)} of {tried} plucks were used."] if len(good) < tried else []
    if len(good) == 1:
        told.append("One pluck only: record three, so that one can check another.")
    if weight is not None:
        found = weight / raw
        return Gauged(
            "pluck", weight, HUNG * weight, told=tuple(told), plucks=tuple(good), factor=found
        )
    if factor == 1.0:
        sigma = math.hypot(sigma, raw * math.hypot(MASS, 2.0 * TAPE / span))
        told.append("Not calibrated: hang a known weight on the same rope and record it.")
    else:
        sigma = math.hypot(sigma / 2.0, raw * HUNG)
    return Gauged("pluck", raw * factor, sigma * factor, told=tuple(told), plucks=tuple(good))


def _unfit(sound: Sound) -> str:
    """Why nothing can be read from a recording, as a whole; empty where it may be."""
    length = len(sound.samples) / sound.rate
    if length < SHORTEST + 0.2:
        return f"it is {length:.2f} s long: record half a second before, and two after, each pluck"
    if float(np.abs(sound.samples).max()) < SILENT:
        return "it is silent: hold the telephone within a hand of the rope"
    if sound.clipped > CLIPPED:
        return "it is cut off at the top of its scale: move away or pluck more softly"
    return ""


def _plucks(held: Span, sound: Sound) -> tuple[list[Pluck], int, str]:
    """Every pluck that gives a pull, how many rang, and what is wrong with the last that fails."""
    rings = onsets(sound)
    if not rings:
        return [], 0, "no pluck stands out from its noise: pluck harder, away from fans and talk"
    found = []
    why, tried = "it gives no pull", 0
    quiet = (0.0, rings[0][0] - 0.03) if rings[0][0] > 0.25 else None
    for start, end in rings:
        if end - start < SHORTEST + 0.08:
            why = "a pluck does not ring on for half a second before the recording ends"
            continue
        tried += 1
        heard = tones(sound, start, end, quiet=quiet)
        done = fit(held, heard)
        if done is None:
            why = "its tones are not those of a rope between bridges of that span"
            continue
        if not _is_steady(sound, (start, end), done, quiet=quiet, alone=len(rings) == 1):
            why = "its tone glides or does not die away: that is speech or a machine, not a rope"
            continue
        string = math.sqrt(done.pull / held.mass) / (2.0 * held.length)
        found.append(Pluck(start, string, done.bend, done.pull, done.sigma, done.partials))
    return found, tried, why


def _is_steady(
    sound: Sound,
    ring: tuple[float, float],
    whole: Fit,
    *,
    quiet: tuple[float, float] | None,
    alone: bool,
) -> bool:
    """Does the same tone ring on, and die away, through the time that was looked at?"""
    start, end = ring
    stop = min(end, start + 2.0)
    middle = start + 0.45 * (stop - start)
    parts = [tones(sound, a, b, quiet=quiet) for a, b in ((start, middle), (middle, stop))]
    early, late = (_same(part, whole) for part in parts)
    shared = set(early) & set(late)
    if len(early) < 2 or (alone and not shared):
        return False
    gliding = [abs(early[n] / late[n] - 1.0) for n in shared]
    if gliding and float(np.median(gliding)) > STEADY / 2.0:
        return False
    # Hum does not die away: the band in which plucks are found tells.
    power = [band_power(sound, a, a + 0.1) for a in (start + 0.03, max(start + 0.1, stop - 0.12))]
    return power[1] < 0.9 * power[0]


def _same(part: Tones, whole: Fit) -> dict[int, float]:
    """Frequencies of a part of the ringing at the partials of the whole."""
    near = {}
    for order, tone in whole.partials:
        close = np.flatnonzero(np.abs(part.frequency / tone - 1.0) < 0.03)
        if close.size:
            near[order] = float(part.frequency[close[0]])
    return near


def _agreeing(plucks: list[Pluck], tried: int) -> list[Pluck]:
    """The largest set of plucks whose pulls agree; none where it is less than half of all.

    Of several rings one alone proves nothing: speech now and then sounds like a rope, once.
    """
    best: list[Pluck] = []
    for one in plucks:
        near = [two for two in plucks if abs(two.pull / one.pull - 1.0) < AGREE]
        if len(near) > len(best):
            best = near
    enough = 2 * len(best) > tried and len(best) >= min(2, tried)
    return best if enough else []
