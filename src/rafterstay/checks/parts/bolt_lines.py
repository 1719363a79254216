"""The working of a bolt's value: bearing, each shear plane, the whole bolt."""

from __future__ import annotations

import re
from dataclasses import replace

from rafterstay.checks.judging import Asked
from rafterstay.checks.ledger import Kind, Ledger
from rafterstay.checks.nds_2018.bearing import (
    STEEL_BEARING,
    angle_factor,
    parallel_bearing,
    perpendicular_bearing,
)
from rafterstay.checks.nds_2018.dowel import lever_shares, reference_value, single_shear_loads
from rafterstay.checks.nds_2018.eye_bolt import EyeBolt, EyeBoltValue
from rafterstay.checks.parts.eye_pin import on_bolt

__all__ = ["note_bearing", "note_value"]


def note_bearing(
    ledger: Ledger, asked: Asked, bolt: EyeBolt, value: EyeBoltValue, angle: float
) -> None:
    """Note how hard the bolt may press on wood and steel, and its moment.

    Args:
        ledger: Takes the lines.
        asked: Names the parts.
        bolt: Sizes and materials.
        value: What was worked from them.
        angle: Between pull and grain. [rad]
    """
    tie, joint = asked.tie, value.joint
    psi, inches = ledger.from_psi, ledger.to_inches
    along = parallel_bearing(bolt.gravity)
    across = perpendicular_bearing(bolt.gravity, bolt.diameter)
    ledger.given("D", f"diameter of bolt {tie.bolt.name}", bolt.diameter, "length")
    ledger.given("F_yb", f"yield strength of bolt {tie.bolt.name}", bolt.yield_bending, "stress")
    ledger.given("G", f"specific gravity of {tie.species.species}", bolt.gravity, "-")
    ledger.given("t", f"thickness of ply {tie.ply.name}", bolt.ply, "length")
    ledger.given("w", on_bolt(asked)[1], bolt.eye, "length")
    ledger.given("s", "rafter.gap of the job, clear between plies", tie.gap, "length")
    ledger.given("theta", "angle between pull and grain", angle, "angle")
    ledger.given("F_em", "dowel bearing strength of steel", STEEL_BEARING, "stress")
    ledger.line("F_par", f"11200 G{psi}", f"11200 * {{G}}{psi}", along, "stress")
    ledger.line(
        "F_perp",
        f"6100 G**1.45 / sqrt(D{inches}){psi}",
        f"6100 * {{G}}**1.45 / sqrt({{D}}{inches}){psi}",
        across,
        "stress",
    )
    ledger.line(
        "F_es",
        "F_par F_perp / (F_par sin(theta)**2 + F_perp cos(theta)**2)",
        "{F_par} * {F_perp} / ({F_par} * sin_deg({theta})**2 + {F_perp} * cos_deg({theta})**2)",
        value.bearing,
        "stress",
    )
    ledger.line("q_s", "F_es D", "{F_es} * {D}", joint.side, "force per length")
    ledger.line("q_m", "F_em D", "{F_em} * {D}", joint.main, "force per length")
    ledger.line("M", "F_yb D**3 / 6", "{F_yb} * {D}**3 / 6", joint.moment, "moment")
    factor = angle_factor(angle)
    ledger.line("K", "1 + 0.25 theta / 90", "1 + 0.25 * {theta} / 90", factor, "-")


def note_value(ledger: Ledger, bolt: EyeBolt, value: EyeBoltValue, angle: float) -> None:
    """Note the value of each plane and of the whole bolt.

    Args:
        ledger: Takes the lines; holds those of `note_bearing`.
        bolt: Sizes and materials.
        value: What was worked from them.
        angle: Between pull and grain. [rad]
    """
    ledger.line("Z_Im", "q_m w / (4 K)", "{q_m} * {w} / (4 * {K})", value.eye, "force")
    if bolt.near == bolt.far:
        ledger.line("g", "max(0, s - w) / 2", "max(0, {s} - {w}) / 2", bolt.near, "length")
        _note_plane(ledger, bolt, value, angle, gap=bolt.near, tag="")
        least = "min({Z_Im}, 2 * {Z_p})"
        ledger.line("Z", "min(Z_Im, 2 Z_p)", least, value.value, "force")
        return
    ledger.given("g_n", "clear to the near ply: the eye leans on it", bolt.near, "length")
    ledger.line("g_f", "max(0, s - w)", "max(0, {s} - {w})", bolt.far, "length")
    near, far = lever_shares(bolt.ply, bolt.eye, bolt.near, bolt.far)
    share = "({t} / 2 + {g_f} + {w} / 2) / ({t} + {g_f} + {w})"
    said = "share of near ply, (t / 2 + g_f + w / 2) / (t + g_f + w)"
    ledger.line("k_n", said, share, near, "-")
    ledger.line("k_f", "1 - k_n", "1 - {k_n}", far, "-")
    _note_plane(ledger, bolt, value, angle, gap=bolt.near, tag="_n")
    _note_plane(ledger, bolt, value, angle, gap=bolt.far, tag="_f")
    least = "min({Z_Im}, {Z_p_n} / {k_n}, {Z_p_f} / {k_f})"
    ledger.line("Z", "min(Z_Im, Z_p_n / k_n, Z_p_f / k_f)", least, value.value, "force")


def _note_plane(
    ledger: Ledger, bolt: EyeBolt, value: EyeBoltValue, angle: float, *, gap: float, tag: str
) -> None:
    """Note the three modes of one shear plane; ``tag`` marks near or far."""
    joint = replace(value.joint, gap=gap)
    loads = single_shear_loads(joint)
    reduced = {
        mode: reference_value({mode: load}, bolt.diameter, angle).value
        for mode, load in loads.items()
    }
    q_s, q_m, t, moment = joint.side, joint.main, joint.side_length, joint.moment

    def line(symbol: str, formula: str, numbers: str, value: float, kind: Kind) -> None:
        said = re.sub(r"\b(g|A_3|B_3|C_3|A_4|Z_Is|Z_III|Z_IV)\b", rf"\1{tag}", formula)
        figures = re.sub(r"{(g|A_3|B_3|C_3|A_4|Z_Is|Z_III|Z_IV)}", rf"{{\1{tag}}}", numbers)
        ledger.line(symbol + tag, said, figures, value, kind)

    line("Z_Is", "q_s t / (4 K)", "{q_s} * {t} / (4 * {K})", reduced["Is"], "force")
    a_3 = 0.25 / q_s + 0.5 / q_m
    line(
        "A_3", "1 / (4 q_s) + 1 / (2 q_m)", "1 / (4 * {q_s}) + 1 / (2 * {q_m})", a_3, "flexibility"
    )
    line("B_3", "t / 2 + g", "{t} / 2 + {g}", t / 2.0 + gap, "length")
    c_3 = q_s * t**2 / 4.0 + moment
    line("C_3", "q_s t**2 / 4 + M", "{q_s} * {t}**2 / 4 + {M}", c_3, "moment")
    line(
        "Z_III",
        "(sqrt(B_3**2 + 4 A_3 C_3) - B_3) / (2 A_3) / (3.2 K)",
        "(sqrt({B_3}**2 + 4 * {A_3} * {C_3}) - {B_3}) / (2 * {A_3}) / (3.2 * {K})",
        reduced["IIIs"],
        "force",
    )
    a_4 = 0.5 / q_s + 0.5 / q_m
    line(
        "A_4", "1 / (2 q_s) + 1 / (2 q_m)", "1 / (2 * {q_s}) + 1 / (2 * {q_m})", a_4, "flexibility"
    )
    line(
        "Z_IV",
        "(sqrt(g**2 + 8 A_4 M) - g) / (2 A_4) / (3.2 K)",
        "(sqrt({g}**2 + 8 * {A_4} * {M}) - {g}) / (2 * {A_4}) / (3.2 * {K})",
        reduced["IV"],
        "force",
    )
    least = min(reduced[mode] for mode in ("Is", "IIIs", "IV"))
    line("Z_p", "min(Z_Is, Z_III, Z_IV)", "min({Z_Is}, {Z_III}, {Z_IV})", least, "force")
