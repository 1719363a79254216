"""Bolt: yielding of bolt and wood under the pull of its leg, and the bolt's own steel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rafterstay.checks.aisc360_2016 import bolts as steel
from rafterstay.checks.judging import Asked, Worst, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nds_2018.adjustment import WET_CONNECTION
from rafterstay.checks.nds_2018.eye_bolt import EyeBolt, EyeBoltValue, eye_bolt_value
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.bolt_distances import bolt_ends
from rafterstay.checks.parts.bolt_lines import note_bearing, note_value
from rafterstay.checks.parts.eye_pin import on_bolt
from rafterstay.checks.parts.on_hips import leg_at_hip, pulls_on_hips
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats

__all__ = ["bolt_steel", "bolt_yield", "grain_angles"]

YIELD = Source("AWC TR12", "2015", "Table 1-1, general dowel equations with gap", "read", 97)
BEARING = Source("NDS", "2018", "12.3, Tables 12.3.1B and 12.3.3, eq. 12.3-11", "read", 98)
DURATION = Source("NDS", "2018", "Table 2.3.2", "read", 99)
CONNECTION = Source("NDS", "2018", "Table 11.3.3 and 11.3.6, C_M and C_g of bolts", "memory", 95)


def grain_angles(asked: Asked) -> Floats:
    """Angle between the pull on every bolt and its hip's axis; 0 where there is no pull.

    Args:
        asked: Frame and forces.

    Returns:
        0 to pi/2. [rad] (n_states, n_hips)
    """
    frame, pulls = asked.frame, pulls_on_hips(asked)
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    axis = axis / np.linalg.norm(axis, axis=1, keepdims=True)
    size = np.linalg.norm(pulls, axis=-1)
    along = np.abs(np.einsum("skj,kj->sk", pulls, axis)) / np.where(size > 0.0, size, 1.0)
    angles: Floats = np.where(size > 0.0, np.arccos(np.clip(along, 0.0, 1.0)), 0.0)
    return angles


def _on_bolts(asked: Asked) -> Floats:
    """Pull on every hip's bolt. [N] (n_states, n_hips)"""
    if asked.tie.layout == "ring":
        return asked.forces.leg_pull
    return np.asarray(np.linalg.norm(pulls_on_hips(asked), axis=-1))


def _turned(asked: Asked) -> str:
    """Reason to refer the bolts of a band, whose legs leave them sideways."""
    if asked.tie.layout != "band":
        return ""
    return (
        "the two legs of a band leave the bolt sideways, which plies beside the eyes do not "
        "allow: a fitting at the corner must turn their pull into the hip's upright plane"
    )


def _eye_bolt(asked: Asked, *, leaning: bool) -> EyeBolt:
    """The bolt of the tie, its eye central or against one ply."""
    tie = asked.tie
    width, _ = on_bolt(asked)
    clear = max(0.0, tie.gap - width)
    return EyeBolt(
        diameter=tie.bolt.diameter,
        yield_bending=tie.bolt.yield_bending,
        gravity=tie.species.gravity,
        ply=tie.ply.thickness,
        eye=width,
        near=0.0 if leaning else clear / 2.0,
        far=clear if leaning else clear / 2.0,
    )


def _bolt_value(asked: Asked, angle: float) -> tuple[EyeBolt, EyeBoltValue]:
    """Least value of the places the eye may take along the bolt."""
    central = _eye_bolt(asked, leaning=False)
    value = eye_bolt_value(central, angle)
    if asked.tie.eye_spacers:
        return central, value
    leaning = _eye_bolt(asked, leaning=True)
    leaned = eye_bolt_value(leaning, angle)
    return (leaning, leaned) if leaned.value < value.value else (central, value)


def _deciding(asked: Asked, angles: Floats) -> Worst:
    """State and leg with the largest pull over C_D and the bolt's value at its own angle.

    The value falls as the angle grows, so the value at the largest angle bounds every
    utilisation from above: legs are tried from the largest pull over C_D down, until none left
    can exceed the worst found.
    """
    forces = asked.forces
    on_bolts = _on_bolts(asked)
    pulls = on_bolts / asked.duration_factors
    least = _bolt_value(asked, float(angles.max()))[1].value
    found, at = -1.0, 0
    for flat in np.argsort(-pulls, axis=None, kind="stable"):
        pull = float(pulls.flat[flat])
        if pull / least <= found:
            break
        ratio = pull / _bolt_value(asked, float(angles.flat[flat]))[1].value
        if ratio > found:
            found, at = ratio, int(flat)
    row, column = divmod(at, on_bolts.shape[1])
    return Worst(float(on_bolts[row, column]), forces.states[row], row, column + 1)


def bolt_yield(asked: Asked) -> Check:
    """Set each leg's pull against the bolt's value at that pull's own angle and duration."""
    tie = asked.tie
    angles = grain_angles(asked)
    worst = _deciding(asked, angles)
    angle = float(angles[worst.row, worst.leg - 1])
    worst = replace(worst, leg=leg_at_hip(asked, worst.leg))
    bolt, value = _bolt_value(asked, angle)
    ends = bolt_ends(asked)
    duration = worst.state.case.duration_factor
    wet = WET_CONNECTION if asked.job.site.wet_service else 1.0
    capacity = value.value * duration * wet * ends.factor
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest for its duration and angle, {worst.place}", worst.value, "force")
    note_bearing(ledger, asked, bolt, value, angle)
    note_value(ledger, bolt, value, angle)
    ledger.given("C_D", f"load duration in {worst.state.id}", duration, "-")
    ledger.given("C_delta", f"end distance: {ends.why_factor}", ends.factor, "-")
    ledger.given("C_M", "wet in service, site.wet_service of the job", wet, "-")
    ledger.given("C_g", "group action: one bolt stands alone", 1.0, "-")
    ledger.line(
        "Z_allowed",
        "Z C_D C_M C_g C_delta",
        "{Z} * {C_D} * {C_M} * {C_g} * {C_delta}",
        capacity,
        "force",
    )
    ledger.line("u", "T / Z_allowed", "{T} / {Z_allowed}", worst.value / capacity, "-")
    clear = ledger.said(bolt.far, "length")
    return judged(
        "bolt-yield",
        demand=worst.value,
        capacity=capacity if tie.plies >= 2 else None,
        unit="N",
        why=(
            f"Leg {worst.leg} pulls {ledger.said(worst.value, 'force')} on its bolt; with "
            f"up to {clear} clear beside the eye the bolt and the wood take "
            f"{ledger.said(capacity, 'force')}. Plies closer to the eye help most, then "
            "a thicker bolt."
        ),
        sources=(
            YIELD,
            BEARING,
            DURATION,
            CONNECTION,
            tie.bolt.source,
            tie.species.source,
            tie.ply.source,
            tie.thimble.source,
        ),
        working=ledger.lines,
        worst=worst,
        refer=_turned(asked)
        or ("" if tie.plies == 2 else f"the equations are for two plies, not {tie.plies}"),
    )


def bolt_steel(asked: Asked) -> Check:
    """Set the largest pull against the shear of the bolt's steel in two planes.

    Bending of the bolt is what bolt-yield answers: its yield equations hold the bolt's moment.
    """
    tie = asked.tie
    bolt = tie.bolt
    worst = largest(_on_bolts(asked), asked.forces)
    worst = replace(worst, leg=leg_at_hip(asked, worst.leg))
    grip = 2.0 * tie.ply.thickness + tie.gap
    reduction = steel.grip_factor(grip, bolt.diameter)
    capacity = steel.allowable_shear(bolt.shear, bolt.diameter) * reduction
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest pull, {worst.place}", worst.value, "force")
    ledger.given("D", f"diameter of bolt {bolt.name}", bolt.diameter, "length")
    ledger.given("F_nv", f"nominal shear stress of bolt {bolt.name}", bolt.shear, "stress")
    ledger.given("t", f"thickness of ply {tie.ply.name}", tie.ply.thickness, "length")
    ledger.given("s", "rafter.gap of the job, clear between plies", tie.gap, "length")
    ledger.line("G", "grip, 2 t + s", "2 * {t} + {s}", grip, "length")
    sixteenth = "0.0625" if asked.job.show == "us" else "1.5875"
    ledger.line(
        "k",
        f"1 % less for each 1/16 in of grip over 5 D: 1 - 0.01 max(0, G - 5 D) / {sixteenth}",
        f"max(0, 1 - 0.01 * max(0, {{G}} - 5 * {{D}}) / {sixteenth})",
        reduction,
        "-",
    )
    ledger.line(
        "V",
        "two planes over 2.0: k F_nv (3.14159265 D**2 / 4) 2 / 2.0",
        "{k} * {F_nv} * (3.14159265 * {D}**2 / 4) * 2 / 2.0",
        capacity,
        "force",
    )
    ledger.line("u", "T / V", "{T} / {V}", worst.value / capacity, "-")
    return judged(
        "bolt-steel",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Leg {worst.leg} pulls {ledger.said(worst.value, 'force')}; the bolt's steel "
            f"takes {ledger.said(capacity, 'force')} in shear (its bending is in "
            "bolt-yield). A thicker bolt would help."
        ),
        sources=(steel.SOURCE, steel.GRIP_SOURCE, bolt.shear_source),
        working=ledger.lines,
        worst=worst,
        refer=_turned(asked),
    )
