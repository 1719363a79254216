"""Every printed line of whole jobs gives its value, and its figures come from somewhere.

A line is worked anew by a pocket calculator that knows nothing of the checks. A figure that is
given stands in the job, in a catalogue row, in the frame or in the solver's answer, in the units
shown; or it is one of the few a clause fixes, listed here with its source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace

import numpy as np
import pytest

from rafterstay import catalog, design, job
from rafterstay.core.working import Line
from rafterstay.design import Design
from rafterstay.job.examples import example, examples
from rafterstay.statics import Forces
from tests.checks.calculator import figures
from tests.checks.test_properties import require_lines
from tests.properties.jobs import answered, drawn

LBF, INCH = 4.4482216152605, 0.0254  # exact by definition: NIST SP 811 (2008), appendix B
UNITS = {
    "lbf": LBF,
    "in": INCH,
    "in2": INCH**2,
    "in3": INCH**3,
    "in4": INCH**4,
    "psi": LBF / INCH**2,
    "lbf/in": LBF / INCH,
    "lbf in": LBF * INCH,
    "lbf in3": LBF * INCH**3,
    "in/lbf": INCH / LBF,
    "deg": math.pi / 180.0,
    "-": 1.0,
    "N": 1.0,
    "mm": 1e-3,
    "mm2": 1e-6,
    "mm3": 1e-9,
    "mm4": 1e-12,
    "MPa": 1e6,
    "N/mm": 1e3,
    "N mm": 1e-3,
    "N mm3": 1e-9,
    "mm/N": 1e-3,
}
# Figures a clause or a rule fixes, in SI, by the symbol they are printed with.
FIXED: dict[str, tuple[float, ...]] = {
    # ASCE/SEI 19-16 3.3; lifting practice; a pull that comes once: common practice, no source
    "F": (2.2, 5.0, 1.1),
    "k_p": (2.5,),  # ASTM F1145, proof load of jaw turnbuckles
    "k_s": (2.0,),  # Federal Specification RR-C-271, proof load of shackles, from memory, 85 %
    "F_em": (87000.0 * LBF / INCH**2,),  # NDS 2018 Tables 12B and 12G, notes: A36 steel
    "C_M": (0.7, 0.8, 0.85, 0.9, 0.97),  # NDS Supplement 2018 Table 4A; NDS 2018 Table 11.3.3
    "C_M_cp": (0.67,),  # NDS Supplement 2018 Table 4A
    "f": (0.17,),  # docs/theory/sliding-ring.md: common practice
    "C_i": (0.8, 0.95),  # NDS 2018 Table 4.3.8
    "C_F": (0.9, 1.0, 1.05, 1.1, 1.15, 1.2, 1.3, 1.4, 1.5),  # NDS Supplement 2018 Table 4A
    "k_most": (1.1,),  # a tenth more by second order: common practice, no source
    "k": (0.1,),  # slack to the hand: common practice, no source
    "m": (50.0, 80.0),  # NDS 2018 15.2.3
    "b_0": (0.63 * INCH,),  # AISC 360-16 D5.1
    "q": (180.0, 240.0, 360.0),  # IRC 2021 Table R301.7
    "a": (2.0 * INCH,),  # IRC 2021 R802.7.1
    "c": (INCH / 16.0,),  # NDS 2018 12.1.3.2
    "e_c": (0.01, 0.005),  # makers' pages; Wire Rope Users Manual, constructional stretch
    # Bending efficiency by D/d: makers' sheave pages after the Wire Rope Users Manual.
    "e_1": (0.5, 0.65, 0.75, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93, 0.95),
    "e_2": (0.5, 0.65, 0.75, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93, 0.95),
}
CLOSE = 2e-7  # eight digits are printed


def held(thing: object, seen: set[int]) -> Iterator[float]:
    """Every number inside job, rows, frame and forces."""
    if isinstance(thing, bool | str) or thing is None or id(thing) in seen:
        return
    if isinstance(thing, int | float | np.floating):
        yield abs(float(thing))
        return
    seen.add(id(thing))
    if isinstance(thing, np.ndarray):
        if thing.dtype.kind in "fi":
            yield from np.abs(thing).ravel().astype(float).tolist()
    elif is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            yield from held(getattr(thing, field.name), seen)
    elif isinstance(thing, tuple | list | set | frozenset):
        for each in thing:
            yield from held(each, seen)
    elif isinstance(thing, dict):
        for each in thing.values():
            yield from held(each, seen)


def known(done: Design) -> np.ndarray:
    """All numbers a line may start from, sorted."""
    read, frame = done.job, done.frame
    rows: list[object] = [read.catalogue.find("ply", read.rafter.ply)]
    if read.support.plate_ply:
        ply = read.catalogue.find("ply", read.support.plate_ply)
        rows += [ply, catalog.species(read.rafter.species, read.rafter.grade, ply.depth)]
    if read.roof.spacing:
        rows.append(read.roof.spacing * read.roof.tie_every)
    if read.parts.shackle != "none":
        rows.append(read.catalogue.find("shackle", read.parts.shackle))
    found = list(held((read, done.tie, done.forces, frame, done.cases, rows), set()))
    nodes = np.asarray(frame.nodes)
    feet, bolts, heads = (nodes[at] for at in (frame.feet, frame.bolts, frame.heads))
    whole = np.linalg.norm(heads - feet, axis=1)
    found += [*whole, *np.linalg.norm(bolts - feet, axis=1), *np.linalg.norm(heads - bolts, axis=1)]
    found += [*np.arcsin((heads - feet)[:, 2] / whole)]
    found += swung(done)
    for each in (done.forces, *(loss.after for loss in done.losses if loss.after is not None)):
        size = np.maximum(np.linalg.norm(each.ring_load, axis=-1), 1e-12)
        found += [*np.arcsin(np.abs(each.ring_load[..., 2]) / size).ravel()]
    found += angles(done, done.forces, (heads - feet) / whole[:, None])
    for loss in done.losses:
        if loss.after is not None:
            pull = loss.after.leg_pull
            far = np.maximum(pull, loss.before.leg_pull + 2.0 * (pull - loss.before.leg_pull))
            for pulls in (pull, far):
                after = replace(loss.after, leg_pull=pulls)
                found += angles(done, after, (heads - feet) / whole[:, None])
    return np.sort(np.array([each for each in found if math.isfinite(each)]))


SWINGING = (
    "hip_axial",
    "hip_shear",
    "hip_moment",
    "hip_sideways",
    "head_push",
    "head_moment",
    "head_shear",
    "foot_reaction",
    "leg_pull",
    "ring_pull",
)


def swung(done: Design) -> list[float]:
    """Forces at the far end of the swing after each loss: before + 2 (after - before)."""
    found: list[float] = []
    for loss in done.losses:
        if loss.after is not None:
            for name in SWINGING:
                before, after = getattr(loss.before, name), getattr(loss.after, name)
                found += [*after.ravel(), *(before + 2.0 * (after - before)).ravel()]
    return [abs(float(each)) for each in found]


def angles(done: Design, forces: Forces, along: np.ndarray) -> list[float]:
    """Of every pull on a bolt with its hip, and out of the hip's upright plane. [rad]"""
    pulls = np.nan_to_num(forces.pull_direction) * forces.leg_pull[..., None]
    legs = np.nan_to_num(forces.pull_direction)
    if done.tie.layout == "band":
        # Two legs meet at a bolt: one starts there; the other's far end pulls back level, and
        # hangs down as much as its start.
        pulls = pulls + np.roll(pulls * (-1.0, -1.0, 1.0), 1, axis=1)
    size = np.maximum(np.linalg.norm(pulls, axis=-1), 1e-12)
    cosine = np.einsum("skj,kj->sk", pulls, along[: pulls.shape[1]]) / size
    across = np.einsum("skj,kj->sk", legs, done.frame.sideways[: legs.shape[1]])
    found = [*np.arccos(np.clip(np.abs(cosine), 0.0, 1.0)).ravel()]
    return [*found, *np.arcsin(np.clip(np.abs(across), 0.0, 1.0)).ravel()]


def is_given(line: Line) -> bool:
    """A figure that stands as it is, not worked from others."""
    return line.numbers.strip("()").lstrip("-") in figures(line.numbers)


def is_traced(line: Line, numbers: np.ndarray, states: set[str]) -> bool:
    """Whether a given figure stands somewhere, or is worked from a state's forces that it names."""
    value = abs(line.value) * UNITS[line.unit]
    at = int(np.searchsorted(numbers, value * (1.0 - CLOSE) - 1e-12))
    if at < len(numbers) and numbers[at] <= value * (1.0 + CLOSE) + 1e-12:
        return True
    fixed = next((FIXED[key] for key in (line.symbol, line.symbol[:3]) if key in FIXED), ())
    if any(abs(value - each) <= CLOSE * each for each in fixed):
        return True
    return any(state in line.formula for state in states)


def untraced(done: Design) -> list[str]:
    """Given figures of a design that stand nowhere."""
    numbers = known(done)
    states = {f" in {state.id}" for state in done.forces.states}
    found = []
    for check in done.checks.checks:
        earlier: set[float] = set()
        for line in check.working:
            lost = is_given(line) and line.value not in earlier
            if lost and not is_traced(line, numbers, states):
                said = f"{line.symbol} = {line.numbers} {line.unit}, {line.formula}"
                found.append(f"{check.id}: {said}")
            earlier.add(line.value)
    return found


@pytest.mark.parametrize("name", examples())
def test_every_figure_of_the_examples_comes_from_somewhere(name: str) -> None:
    assert untraced(design.check(job.loads(example(name)))) == []


@pytest.mark.parametrize("seed", range(4))
def test_every_line_of_whole_jobs(seed: int) -> None:
    """Twelve jobs a seed, two of each example's shape and layout."""
    found = 0
    for base, changes in drawn(7300 + seed, 12):
        done = answered(base, changes)
        if done is None:
            continue
        found += 1
        for check in done.checks.checks:
            require_lines(check)
        assert untraced(done) == [], (base, changes)
    assert found >= 6
