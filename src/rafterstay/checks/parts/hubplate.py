"""Hub plate: its net section, its holes under the shackles' pins, and its rim."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sin, sqrt

from rafterstay.checks.aisc360_2016 import pins
from rafterstay.checks.judging import Asked, Worst, judged, largest, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source
from rafterstay.tie.body import CLOSE
from rafterstay.tie.nouns import HubPlate

__all__ = ["hubplate_bearing", "hubplate_net", "hubplate_tearout", "middle_pull", "middle_width"]

MIDDLE = Source("balance of half a plate", "", "docs/theory/welded-ring.md", "computed", 99)


@dataclass(frozen=True)
class _Room:
    """Plate beside and beyond a hole. [m]"""

    between: float  # half the straight ligament between neighbouring holes
    rim: float  # from the hole square to the pull to the rim
    beyond: float  # from the hole along the pull to the rim
    edge: float  # what counts on each side


def hubplate_net(asked: Asked) -> Check | None:
    """Set the largest pull against the plate beside a hole; half the legs against its middle."""
    body = asked.tie.body
    if not isinstance(body, HubPlate):
        return None
    room, n, steel = _room(body, asked.tie.n), asked.tie.n, body.steel
    ledger, worst = _opened(asked, body, room)
    net = pins.allowable_net(steel.tensile_strength, body.thickness, room.edge)
    ledger.given("Fu", f"least tensile stress of {steel.name}", steel.tensile_strength, "stress")
    ledger.given("Fy", f"least yield stress of {steel.name}", steel.yield_strength, "stress")
    ledger.line("T_n", "Fu 2 t be / 2", "{Fu} * 2 * {t} * {be} / 2", net, "force")
    ledger.line("u_n", "T / T_n", "{T} / {T_n}", worst.value / net, "-")
    strip = 2.0 * min(room.between, room.rim) + body.hole
    gross = steel.yield_strength * strip * body.thickness / pins.YIELD
    ledger.line("w", "2 min(b_1, b_2) + dh", "2 * min({b_1}, {b_2}) + {dh}", strip, "length")
    ledger.line("T_g", "Fy w t / 1.67", "{Fy} * {w} * {t} / 1.67", gross, "force")
    ledger.line("u_g", "T / T_g", "{T} / {T_g}", worst.value / gross, "-")
    half, width = middle_pull(worst.value, n), middle_width(body)
    ledger.line(
        "H",
        "pull of half the legs across a line through the middle, at most T / sin(180 / n)",
        "{T} / sin_deg(180 / {n})",
        half,
        "force",
    )
    ledger.line(
        "w_m", "2 (rh + E) - 2 dh, two holes cut", "2 * ({rh} + {E}) - 2 * {dh}", width, "length"
    )
    across = min(steel.tensile_strength / pins.OMEGA, steel.yield_strength / pins.YIELD)
    across *= width * body.thickness
    ledger.line(
        "H_a",
        "min(Fu / 2, Fy / 1.67) w_m t",
        "min({Fu} / 2, {Fy} / 1.67) * {w_m} * {t}",
        across,
        "force",
    )
    ledger.line("u_m", "H / H_a", "{H} / {H_a}", half / across, "-")
    ratio = max(worst.value / net, worst.value / gross, half / across)
    ledger.line("u", "max(u_n, u_g, u_m)", "max({u_n}, {u_g}, {u_m})", ratio, "-")
    return judged(
        "hubplate-net",
        demand=ratio,
        capacity=1.0,
        unit="1",
        why=(
            f"Leg {worst.hanging} pulls {ledger.said(worst.value, 'force')}; beside its hole the "
            f"plate takes {ledger.said(min(net, gross), 'force')}, and across its middle it uses "
            f"{half / across:.2f} of what it may. A thicker plate, or a larger one with its "
            "holes further apart, would help."
        ),
        sources=(pins.SOURCE, MIDDLE, steel.source, stated_in_job("tie.plate_thickness")),
        working=ledger.lines,
        worst=worst,
    )


def hubplate_bearing(asked: Asked) -> Check | None:
    """Set the largest pull against the pressure of a shackle's pin in its hole."""
    body = asked.tie.body
    if not isinstance(body, HubPlate):
        return None
    ledger, worst = _asked(asked)
    fy = body.steel.yield_strength
    capacity = pins.allowable_bearing(fy, body.thickness, body.pin)
    ledger.given("dh", "diameter of the holes", body.hole, "length")
    ledger.given("dp", f"pin of shackle {body.shackle.name}", body.pin, "length")
    ledger.given("t", "thickness of the plate", body.thickness, "length")
    ledger.given("Fy", f"least yield stress of {body.steel.name}", fy, "stress")
    ledger.line("T_a", "1.8 Fy t dp / 2", "1.8 * {Fy} * {t} * {dp} / 2", capacity, "force")
    ledger.line("u", "T / T_a", "{T} / {T_a}", worst.value / capacity, "-")
    ledger.line("c", "dh - dp", "{dh} - {dp}", body.hole - body.pin, "length")
    wide = body.hole - body.pin > CLOSE * (1.0 + 1e-9)
    sources = [pins.BEARING_SOURCE, pins.SOURCE, body.steel.source]
    sources += [body.shackle.shape_source] if body.shackle.shape_source else []
    return judged(
        "hubplate-bearing",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Leg {worst.hanging} presses the pin of its shackle with "
            f"{ledger.said(worst.value, 'force')} into the plate; the hole takes "
            f"{ledger.said(capacity, 'force')}. A thicker plate or a larger shackle would help."
        ),
        sources=tuple(sources),
        working=ledger.lines,
        worst=worst,
        refer="a hole more than 1/32 in over its pin is outside D5.2" if wide else "",
    )


def hubplate_tearout(asked: Asked) -> Check | None:
    """Set the largest pull against the plate between a hole and the rim."""
    body = asked.tie.body
    if not isinstance(body, HubPlate):
        return None
    room = _room(body, asked.tie.n)
    ledger, worst = _asked(asked)
    fu = body.steel.tensile_strength
    capacity = pins.allowable_tearout(fu, body.thickness, room.beyond, body.pin)
    ledger.given("E", "centre of a hole to the rim", body.edge, "length")
    ledger.given("dh", "diameter of the holes", body.hole, "length")
    ledger.given("dp", f"pin of shackle {body.shackle.name}", body.pin, "length")
    ledger.given("t", "thickness of the plate", body.thickness, "length")
    ledger.given("Fu", f"least tensile stress of {body.steel.name}", fu, "stress")
    ledger.line("a", "E - dh / 2", "{E} - {dh} / 2", room.beyond, "length")
    ledger.line(
        "T_a",
        "0.6 Fu 2 t (a + dp / 2) / 2",
        "0.6 * {Fu} * 2 * {t} * ({a} + {dp} / 2) / 2",
        capacity,
        "force",
    )
    ledger.line("u", "T / T_a", "{T} / {T_a}", worst.value / capacity, "-")
    return judged(
        "hubplate-tearout",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Leg {worst.hanging} pulls {ledger.said(worst.value, 'force')} towards the rim; the "
            f"plate beyond the hole takes {ledger.said(capacity, 'force')}. Holes further from "
            "the rim (tie.plate_edge), or a thicker plate, would help."
        ),
        sources=(pins.SOURCE, body.steel.source, stated_in_job("tie.plate_edge")),
        working=ledger.lines,
        worst=worst,
    )


def middle_pull(pull: float, n_legs: int) -> float:
    """Most that half the legs can pull across any line through the middle of a plate.

    Args:
        pull: Largest of a leg. [N]
        n_legs: Number of legs, >= 3. [-]

    Returns:
        Pull. [N]

    Source: docs/theory/welded-ring.md section 7

    >>> round(middle_pull(1000.0, 4))
    1414
    """
    return pull / sin(pi / n_legs)


def middle_width(body: HubPlate) -> float:
    """Plate on a line through its middle that cuts two holes. [m]"""
    return 2.0 * body.rim - 2.0 * body.hole


def _room(body: HubPlate, n_legs: int) -> _Room:
    between = body.radius * sin(pi / n_legs) - body.hole / 2.0
    rim = sqrt(body.rim**2 - body.radius**2) - body.hole / 2.0
    beyond = body.edge - body.hole / 2.0
    edge = pins.effective_edge(body.thickness, min(between, rim), beyond)
    return _Room(between, rim, beyond, edge)


def _asked(asked: Asked) -> tuple[Ledger, Worst]:
    """Open a ledger with the largest pull."""
    worst = largest(asked.forces.leg_pull, asked.forces)
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest pull, {worst.place}", worst.value, "force")
    return ledger, worst


def _opened(asked: Asked, body: HubPlate, room: _Room) -> tuple[Ledger, Worst]:
    """Open a ledger with the largest pull and the room about a hole."""
    ledger, worst = _asked(asked)
    ledger.given("n", "number of legs", float(asked.tie.n), "-")
    ledger.given("rh", "centre of the plate to the centre of a hole", body.radius, "length")
    ledger.given("E", "centre of a hole to the rim", body.edge, "length")
    ledger.given("dh", "diameter of the holes", body.hole, "length")
    ledger.given("t", "thickness of the plate", body.thickness, "length")
    ledger.line(
        "b_1",
        "half the ligament between holes: rh sin(180/n) - dh / 2",
        "{rh} * sin_deg(180 / {n}) - {dh} / 2",
        room.between,
        "length",
    )
    ledger.line(
        "b_2",
        "square to the pull to the rim: sqrt((rh + E)**2 - rh**2) - dh / 2",
        "sqrt(({rh} + {E})**2 - {rh}**2) - {dh} / 2",
        room.rim,
        "length",
    )
    ledger.line("a", "E - dh / 2", "{E} - {dh} / 2", room.beyond, "length")
    ledger.given("b_0", "what D5.1 adds to twice the thickness", pins.ADDED, "length")
    ledger.line(
        "be",
        "min(2 t + b_0, b_1, b_2, a / 1.33)",
        "min(2 * {t} + {b_0}, {b_1}, {b_2}, {a} / 1.33)",
        room.edge,
        "length",
    )
    return ledger, worst
