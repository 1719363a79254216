"""A welded ring or a plate that has no second: five times its pull, or an engineer decides."""

from __future__ import annotations

from rafterstay.checks.aisc360_2016 import bars
from rafterstay.checks.judging import Asked, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.lifting import factor
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.hubplate import middle_pull, middle_width
from rafterstay.checks.parts.ring_welded import fullest, note_ring
from rafterstay.checks.parts.uncoded import NO_CODE, told
from rafterstay.checks.practice import loss
from rafterstay.tie.nouns import HubPlate, RingBar

__all__ = ["bar_alone", "plate_alone"]


def bar_alone(asked: Asked, body: RingBar) -> Check:
    """A welded ring cut once is a bow that only bends: it must have five times its strength.

    Args:
        asked: Forces.
        body: The ring.

    Returns:
        The check.
    """
    found, steel = fullest(asked, body), body.steel
    ledger = Ledger(asked.job.show)
    note_ring(asked, body, found, ledger=ledger, symbol="u_s")
    ledger.given("Fu", f"least tensile stress of {steel.name}", steel.tensile_strength, "stress")
    ledger.given("F", "factor where one ring holds all", factor.FACTOR, "-")
    ratio = found.ratio * factor.FACTOR / bars.OMEGA * steel.yield_strength / steel.tensile_strength
    ledger.line(
        "u",
        "of a fifth of what breaks it: u_s F Fy / (1.67 Fu)",
        "{u_s} * {F} * {Fy} / (1.67 * {Fu})",
        ratio,
        "-",
    )
    refer = (
        "nothing known holds the roof once the bar or its weld has parted: it must keep five "
        f"times its pull with its bending; {NO_CODE}"
    )
    return told(
        "ring-lost",
        min(ratio, 99.0),
        why=(
            "A welded ring that parts anywhere opens as a bow, which its bar cannot bend to. "
            f"Alone it is asked {ratio:.2f} of a fifth of what breaks it."
        ),
        sources=(loss.LOSS, factor.SOURCE, bars.SOURCE, steel.source),
        working=ledger.lines,
        refer=refer if ratio > 1.0 else "",
        combination=found.state.id,
    )


def plate_alone(asked: Asked, body: HubPlate) -> Check:
    """A plate that tears at a hole loses a leg; across its middle it must have five times.

    Args:
        asked: Forces.
        body: The plate.

    Returns:
        The check.
    """
    n, steel = asked.tie.n, body.steel
    worst = largest(asked.forces.leg_pull, asked.forces)
    half, width = middle_pull(worst.value, n), middle_width(body)
    capacity = steel.tensile_strength * width * body.thickness / factor.FACTOR
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest pull, {worst.place}", worst.value, "force")
    ledger.given("n", "number of legs", float(n), "-")
    ledger.given("rh", "centre of the plate to the centre of a hole", body.radius, "length")
    ledger.given("E", "centre of a hole to the rim", body.edge, "length")
    ledger.given("dh", "diameter of the holes", body.hole, "length")
    ledger.given("t", "thickness of the plate", body.thickness, "length")
    ledger.given("Fu", f"least tensile stress of {steel.name}", steel.tensile_strength, "stress")
    ledger.given("F", "factor where one plate holds all", factor.FACTOR, "-")
    ledger.line("H", "T / sin(180 / n)", "{T} / sin_deg(180 / {n})", half, "force")
    ledger.line("w_m", "2 (rh + E) - 2 dh", "2 * ({rh} + {E}) - 2 * {dh}", width, "length")
    ledger.line("H_alone", "Fu w_m t / F", "{Fu} * {w_m} * {t} / {F}", capacity, "force")
    ledger.line("u", "H / H_alone", "{H} / {H_alone}", half / capacity, "-")
    refer = (
        "nothing known holds the roof once the plate has parted across its middle: it must keep "
        f"five times what pulls across it; {NO_CODE}"
    )
    return told(
        "ring-lost",
        half / capacity,
        why=(
            "A plate that tears out at one hole loses that leg, which is leg-lost. Across its "
            f"middle legs pull with up to {ledger.said(half, 'force')}; a fifth of what breaks it "
            f"is {ledger.said(capacity, 'force')}."
        ),
        sources=(loss.LOSS, factor.SOURCE, steel.source),
        working=ledger.lines,
        refer=refer if half > capacity else "",
        combination=worst.state.id,
    )
