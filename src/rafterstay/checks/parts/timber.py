"""One ply of a hip as timber: its section, its lengths, and what its stresses may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from rafterstay.checks.judging import Asked, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.adjustment import (
    BY_DEPTH,
    incising_factor,
    size_factor,
    wet_service_factor,
)
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = [
    "FACTORS",
    "Stress",
    "Timber",
    "at_bolt",
    "note_allowable",
    "note_section",
    "sources_of",
    "timber_of",
]

FACTORS: Final = Source("NDS", "2018", "Tables 4.3.1 and 4.3.8, factors on timber", "memory", 97)
SITE: Final = stated_in_job("site.wet_service, site.timber_treatment")

Stress = Literal["fb", "ft", "fv", "fc_perp", "fc", "e", "e_min"]
SAID: Final[dict[Stress, tuple[str, str]]] = {
    "fb": ("F_b", "bending"),
    "ft": ("F_t", "tension along the grain"),
    "fv": ("F_v", "shear along the grain"),
    "fc_perp": ("F_cp", "compression across the grain"),
    "fc": ("F_c", "compression along the grain"),
    "e": ("E", "modulus of elasticity"),
    "e_min": ("E_min", "modulus for buckling"),
}
LASTING: Final = ("fc_perp", "e", "e_min")
"""Stresses that take no load duration factor."""


@dataclass(frozen=True)
class Timber:
    """A ply, and its factors other than those for duration and buckling.

    Attributes:
        name: Species and grade.
        thickness: Of one ply. [m]
        depth: [m]
        plies: Plies of a hip, which share its load alike: blocks keep them side by side.
        length: Of the longest hip, foot to head along its axis. [m]
        held: Between points that hold a ply sideways: the braces under a deck, else the ends. [m]
        tabulated: Stress as printed. [Pa]
        factors: Symbol and value of every factor on it.
    """

    name: str
    thickness: float
    depth: float
    plies: int
    length: float
    held: float
    tabulated: Mapping[Stress, float]
    factors: Mapping[Stress, tuple[tuple[str, float], ...]]

    @property
    def area(self) -> float:
        """Of one ply. [m2]"""
        return self.thickness * self.depth

    @property
    def modulus(self) -> float:
        """Section modulus of one ply. [m3]"""
        return self.thickness * self.depth**2 / 6.0

    @property
    def weak_modulus(self) -> float:
        """Section modulus of one ply sideways. [m3]"""
        return self.depth * self.thickness**2 / 6.0

    def allowable(self, stress: Stress, duration: float = 1.0) -> float:
        """Stress with every factor but those for buckling.

        Args:
            stress: Which.
            duration: C_D; passed over for stresses that take none. [-]

        Returns:
            Allowable stress, or modulus. [Pa]
        """
        value = self.tabulated[stress] * (1.0 if stress in LASTING else duration)
        for _, factor in self.factors[stress]:
            value *= factor
        return value


def timber_of(asked: Asked) -> Timber:
    """Read a job's hips as timber.

    Args:
        asked: Job, frame and tie.

    Returns:
        One ply with its factors: C_M in wet service, C_t 1 below 100 degF, C_F by depth, C_i
        where treated timber is incised, C_r 1 because hips stand too far apart to share.

    Source: NDS 2018 Table 4.3.1
    """
    tie, frame, job = asked.tie, asked.frame, asked.job
    species, ply = tie.species, tie.ply
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    length = float(np.linalg.norm(axis, axis=1).max())
    by_depth = species.species in BY_DEPTH
    # Southern pine takes treatment without being cut; common practice, no source.
    incised = job.site.timber_treatment != "none" and not by_depth
    tabulated: dict[Stress, float] = {stress: getattr(species, stress) for stress in SAID}
    factors: dict[Stress, tuple[tuple[str, float], ...]] = {}
    for stress in SAID:
        size = 1.0
        if stress in ("fb", "ft", "fc") and not by_depth:
            size = size_factor(ply.depth, compression=stress == "fc")
        wet = wet_service_factor(stress, tabulated[stress] * size) if job.site.wet_service else 1.0
        cut = incising_factor(stress) if incised else 1.0
        own = [("C_M", wet), ("C_t", 1.0), ("C_i", cut)]
        own += [("C_F", size)] if stress in ("fb", "ft", "fc") else []
        own += [("C_r", 1.0)] if stress == "fb" else []
        factors[stress] = tuple(own)
    return Timber(
        name=f"{species.species} {species.grade}",
        thickness=ply.thickness,
        depth=ply.depth,
        plies=tie.plies,
        length=length,
        held=min(job.rafter.brace_spacing, length) if frame.deck else length,
        tabulated=tabulated,
        factors=factors,
    )


def sources_of(asked: Asked) -> tuple[Source, ...]:
    """Where the timber's stresses, sizes and factors come from."""
    return (FACTORS, asked.tie.species.source, asked.tie.ply.source, SITE)


def at_bolt(asked: Asked) -> list[int]:
    """Stations of a hip at its bolt: before and after the pull."""
    frame, forces = asked.frame, asked.forces
    foot, head, bolt = (frame.nodes[row[0]] for row in (frame.feet, frame.heads, frame.bolts))
    share = np.linalg.norm(bolt - foot) / np.linalg.norm(head - foot)
    away: Floats = np.abs(forces.hip_at - share)
    return [int(k) for k in np.flatnonzero(away <= away.min() + 1e-9)]


def note_section(ledger: Ledger, asked: Asked, wood: Timber) -> None:
    """Note the size of a ply, its area and its section modulus."""
    ledger.given("t", f"thickness of ply {asked.tie.ply.name}", wood.thickness, "length")
    ledger.given("d", f"depth of ply {asked.tie.ply.name}", wood.depth, "length")
    ledger.given("n_p", "rafter.plies of the job, which share alike", wood.plies, "-")
    ledger.line("A", "t d", "{t} * {d}", wood.area, "area")
    ledger.line("S", "t d**2 / 6", "{t} * {d}**2 / 6", wood.modulus, "section modulus")


def note_allowable(
    ledger: Ledger, wood: Timber, stress: Stress, *, duration: float | None = None
) -> str:
    """Note a tabulated stress, its factors and what they leave.

    Args:
        ledger: Takes the lines; holds ``C_D`` where ``duration`` is given.
        wood: The timber.
        stress: Which.
        duration: C_D of the deciding state; None for stresses that take none. [-]

    Returns:
        The symbol of the result.
    """
    symbol, said = SAID[stress]
    ledger.given(symbol, f"{said} of {wood.name}, as printed", wood.tabulated[stress], "stress")
    ones = [name for name, factor in wood.factors[stress] if factor == 1.0]
    formula, numbers = [symbol], [f"{{{symbol}}}"]
    if duration is not None:
        formula.append("C_D")
        numbers.append("{C_D}")
    for name, factor in wood.factors[stress]:
        if factor != 1.0:
            mark = f"{name}_{symbol.removeprefix('F_')}"
            ledger.given(mark, f"{_WORDS[name]}, on {symbol}", factor, "-")
            formula.append(mark)
            numbers.append(f"{{{mark}}}")
    result = f"{symbol}_star" if stress not in LASTING else f"{symbol}_adj"
    said_ones = f"; {', '.join(ones)} are 1" if ones else ""
    value = wood.allowable(stress, 1.0 if duration is None else duration)
    ledger.line(result, " ".join(formula) + said_ones, " * ".join(numbers), value, "stress")
    return result


_WORDS: Final = {
    "C_M": "wet in service",
    "C_t": "temperature",
    "C_F": "size factor",
    "C_i": "incised to take its treatment",
    "C_r": "repetitive members",
}
