"""Welded ring: pull and bending of its bar under the pulls that the legs really have."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from rafterstay.checks.aisc360_2016 import bars
from rafterstay.checks.judging import Asked, judged, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats
from rafterstay.statics.nouns import State
from rafterstay.statics.ring_bar import InBar, bending_share, in_bar, twist_share
from rafterstay.tie.nouns import RingBar

__all__ = ["InRing", "fullest", "note_ring", "ring_welded"]

THEORY: Final = Source(
    "statics of a closed thin ring", "", "docs/theory/welded-ring.md", "computed", 99
)
ALONG: Final = np.append(np.arange(16) / 16.0, 1.0 - 1e-7)
"""Stations along each side, from just beyond an eye to just before the next. [-]"""

LEAST_RATIO: Final = 5.0
"""Radius over bar under which a ring is no thin ring. [-]"""

MOST_TWIST: Final = 0.2
"""Share of its twist up to which AISC 360-16 H3 lets twist be left out. [-]"""

MOST_PRESSED: Final = 0.02
"""Share of a bar's pull that may press it: past that it may buckle, which is not looked at. [-]"""

_TURN: Final = "(2 * 3.14159265)"


@dataclass(frozen=True)
class InRing:
    """The fullest place of a ring.

    Attributes:
        state, row: Where it is.
        station: Angle from leg 1's eye, clockwise. [rad]
        inside: Forces there.
        ratio: Utilisation.
        twist: Largest share of twist anywhere. [-]
        pressed: Largest share of pull that presses the bar anywhere. [-]
    """

    state: State
    row: int
    station: float
    inside: InBar
    ratio: float
    twist: float
    pressed: float


def ring_welded(asked: Asked) -> Check | None:
    """Set pull and bending at the fullest place of the bar against what both may be at once."""
    body = asked.tie.body
    if not isinstance(body, RingBar):
        return None
    found = fullest(asked, body)
    ledger = Ledger(asked.job.show)
    note_ring(asked, body, found, ledger=ledger)
    place = _place(found.station, asked.tie.n)
    reasons = []
    if body.weld == "not stated":
        reasons.append(
            "nobody has said how the bar's ends are joined, and only a weld through the whole bar "
            "(tie.ring_weld) carries what the bar does"
        )
    if body.radius / body.diameter < LEAST_RATIO:
        reasons.append(f"a bar thicker than 1/{LEAST_RATIO:g} of its ring's radius is no thin ring")
    if found.twist > MOST_TWIST:
        reasons.append("pulls out of its plane twist the bar, which is not looked at")
    if found.pressed > MOST_PRESSED:
        reasons.append("a piece of it is pressed and may buckle, which is not looked at")
    bent = np.hypot(found.inside.bending, found.inside.bending_across).item()
    stress = bars.curved(body.radius, body.diameter) * 32.0 * bent / (pi * body.diameter**3)
    weld = (bars.WELD_SOURCE, stated_in_job("tie.ring_weld"))
    return judged(
        "ring-welded",
        demand=found.ratio,
        capacity=1.0,
        unit="1",
        why=(
            f"The bar is fullest {place} in {found.state.id}: it pulls "
            f"{ledger.said(found.inside.pull.item(), 'force')} and is bent to a stress of "
            f"{ledger.said(stress, 'stress')}: {found.ratio:.2f} of what it may take of both at "
            "once. A thicker bar or a smaller ring would help."
        ),
        sources=(bars.SOURCE, THEORY, body.steel.source, *weld),
        working=ledger.lines,
        refer="; ".join(reasons),
    )


def fullest(asked: Asked, body: RingBar) -> InRing:
    """Find the state and the place where the bar is fullest.

    Args:
        asked: Forces.
        body: The ring.

    Returns:
        The place, its forces and its utilisation.
    """
    n, forces = asked.tie.n, asked.forces
    at = eye_angles(asked)
    stations = at[:, None] + ALONG * (2.0 * pi / n)
    inside = in_bar(forces.ring_load, at, stations.ravel(), body.radius)
    fy, d = body.steel.yield_strength, body.diameter
    pull = inside.pull / bars.allowable_tension(fy, d)
    bent = np.hypot(inside.bending, inside.bending_across) * bars.curved(body.radius, d)
    shear = np.abs(inside.shear) / bars.allowable_shear(fy, d)
    both = bars.together(np.abs(pull), bent / bars.allowable_bending(fy, d))
    full = np.maximum(both, shear)
    # Places that mirror one another differ by rounding: the first is named.
    first = int(np.argmax(full >= full.max() * (1.0 - 1e-9)))
    row, station = (int(each) for each in np.unravel_index(first, full.shape))
    here = {name: value[row, station : station + 1] for name, value in vars(inside).items()}
    return InRing(
        state=forces.states[row],
        row=row,
        station=float(stations.ravel()[station]),
        inside=InBar(**here),
        ratio=float(full[row, station]),
        twist=float(np.abs(inside.twist).max() / bars.allowable_twist(fy, d)),
        pressed=float(max(0.0, -pull.min())),
    )


def eye_angles(asked: Asked) -> Floats:
    """Angle of every eye round the ring, clockwise from leg 1's. [rad] (n,)"""
    points = asked.tie.held_points
    arm = points - points.mean(axis=0)
    angle = np.arctan2(arm[:, 0], arm[:, 1])
    return np.asarray(np.mod(angle - angle[0] + 1e-12, 2.0 * pi) - 1e-12)


def note_ring(
    asked: Asked, body: RingBar, found: InRing, *, ledger: Ledger, symbol: str = "u"
) -> None:
    """Note how the forces at a place of the ring are made of the pulls, and what they use.

    Args:
        asked: Forces.
        body: The ring.
        found: The place.
        ledger: Takes the lines.
        symbol: Of the utilisation.
    """
    _note_pulls(asked, body, found, ledger)
    fy, d, inside = body.steel.yield_strength, body.diameter, found.inside
    ledger.given("d", "diameter of the ring's bar", d, "length")
    ledger.given("Fy", f"least yield stress of {body.steel.name}", fy, "stress")
    area, elastic, plastic = pi / 4.0 * d**2, pi * d**3 / 32.0, d**3 / 6.0
    ledger.line("A", "3.14159265 d**2 / 4", "3.14159265 * {d}**2 / 4", area, "area")
    said = "3.14159265 d**3 / 32"
    ledger.line("S", said, "3.14159265 * {d}**3 / 32", elastic, "section modulus")
    ledger.line("Z", "d**3 / 6", "{d}**3 / 6", plastic, "section modulus")
    allowed = bars.allowable_tension(fy, d)
    ledger.line("N_a", "Fy A / 1.67", "{Fy} * {A} / 1.67", allowed, "force")
    ledger.line(
        "M_a",
        "min(Fy Z, 1.6 Fy S) / 1.67",
        "min({Fy} * {Z}, 1.6 * {Fy} * {S}) / 1.67",
        bars.allowable_bending(fy, d),
        "moment",
    )
    half = d / 2.0
    off = (body.radius - (body.radius**2 - half**2) ** 0.5) / 2.0
    ledger.line("e", "(r - sqrt(r**2 - (d/2)**2)) / 2", _off(), off, "length")
    factor = bars.curved(body.radius, d)
    ledger.line(
        "k_i",
        "curved bar, inner side: (d/2) (d/2 - e) / (4 e (r - d/2))",
        "({d} / 2) * ({d} / 2 - {e}) / (4 * {e} * ({r} - {d} / 2))",
        factor,
        "-",
    )
    used = abs(inside.pull.item()) / allowed
    sign = "-" if inside.pull.item() < 0.0 else ""
    ledger.line("u_N", "N / N_a, either way", f"{sign}{{N}} / {{N_a}}", used, "-")
    bent = float(np.hypot(inside.bending, inside.bending_across).item())
    share = factor * bent / bars.allowable_bending(fy, d)
    ledger.line(
        "u_M",
        "k_i sqrt(M M + M_w M_w) / M_a",
        "{k_i} * sqrt({M} * {M} + {M_w} * {M_w}) / {M_a}",
        share,
        "-",
    )
    much = used >= 0.2
    ledger.line(
        "u_b",
        "u_N + 8 u_M / 9, u_N being 0.2 or more" if much else "u_N / 2 + u_M, u_N under 0.2",
        "{u_N} + 8 * {u_M} / 9" if much else "{u_N} / 2 + {u_M}",
        float(bars.together(used, share)),
        "-",
    )
    shear = bars.allowable_shear(fy, d)
    ledger.line("V_a", "0.6 Fy 0.75 A / 1.67", "0.6 * {Fy} * 0.75 * {A} / 1.67", shear, "force")
    across = abs(inside.shear.item()) / shear
    sign = "-" if inside.shear.item() < 0.0 else ""
    ledger.line("u_V", "V / V_a, either way", f"{sign}{{V}} / {{V_a}}", across, "-")
    ledger.line(symbol, "max(u_b, u_V)", "max({u_b}, {u_V})", found.ratio, "-")


def _off() -> str:
    return "({r} - sqrt({r}**2 - ({d} / 2)**2)) / 2"


def _note_pulls(asked: Asked, body: RingBar, found: InRing, ledger: Ledger) -> None:
    """Note every leg's pull and share at the station, and what they sum up to."""
    n, where = asked.tie.n, f"in {found.state.id}"
    load = asked.forces.ring_load[found.row]
    turn = np.mod(found.station - eye_angles(asked), 2.0 * pi)
    turn = np.where(turn > 2.0 * pi - 1e-9, 0.0, turn)
    ledger.given("r", "radius of the bar's axis", body.radius, "length")
    for k in range(n):
        leg = k + 1
        angle = f"angle round the ring from leg {leg} to the place, {where}"
        ledger.given(f"P_{leg}", f"leg {leg} outward, {where}", float(load[k, 0]), "force")
        ledger.given(f"Q_{leg}", f"leg {leg} along the ring, {where}", float(load[k, 1]), "force")
        ledger.given(f"W_{leg}", f"leg {leg} across the ring, {where}", float(load[k, 2]), "force")
        ledger.given(f"a_{leg}", angle, float(turn[k]), "angle")
        sine, cosine = f"sin_deg({{a_{leg}}})", f"cos_deg({{a_{leg}}})"
        ledger.line(
            f"m_{leg}",
            f"share: (1 + cos(a_{leg}) / 2) / {_TURN} - (180 - a_{leg}) sin(a_{leg}) / 360",
            f"(1 + {cosine} / 2) / {_TURN} - (180 - {{a_{leg}}}) * {sine} / 360",
            float(bending_share(turn[k])),
            "-",
        )
        ledger.line(
            f"t_{leg}",
            f"share: 1.5 sin(a_{leg}) / {_TURN} - (180 - a_{leg}) (1 - cos(a_{leg})) / 360",
            f"1.5 * {sine} / {_TURN} - (180 - {{a_{leg}}}) * (1 - {cosine}) / 360",
            float(twist_share(turn[k])),
            "-",
        )
    _note_sums(n, found, ledger)


def _note_sums(n: int, found: InRing, ledger: Ledger) -> None:
    inside = found.inside
    each = range(1, n + 1)
    pull = " + ".join(
        f"{{P_{k}}} * (1 / {_TURN} - {{m_{k}}}) + {{Q_{k}}} * ({{a_{k}}} / 360 - 0.5 - {{t_{k}}})"
        for k in each
    )
    bend = " + ".join(f"{{P_{k}}} * {{m_{k}}} + {{Q_{k}}} * {{t_{k}}}" for k in each)
    across = " + ".join(f"{{W_{k}}} * {{m_{k}}}" for k in each)
    shear = " + ".join(
        f"{{P_{k}}} * (0.5 * sin_deg({{a_{k}}}) / {_TURN}"
        f" - (180 - {{a_{k}}}) * cos_deg({{a_{k}}}) / 360) + {{Q_{k}}} * {{m_{k}}}"
        for k in each
    )
    ledger.line(
        "N",
        "pull there: sum of P (1 / (2 * 3.14159265) - m) + Q (a / 360 - 0.5 - t)",
        pull,
        inside.pull.item(),
        "force",
    )
    ledger.line(
        "V",
        "shear there: sum of P (0.5 sin(a) / (2 * 3.14159265) - (180 - a) cos(a) / 360) + Q m",
        shear,
        inside.shear.item(),
        "force",
    )
    ledger.line(
        "M", "r times the sum of P m + Q t", f"{{r}} * ({bend})", inside.bending.item(), "moment"
    )
    ledger.line(
        "M_w",
        "r times the sum of W m",
        f"{{r}} * ({across})",
        inside.bending_across.item(),
        "moment",
    )


def _place(station: float, n: int) -> str:
    side = station * n / (2.0 * pi) + 1e-6
    leg, along = int(side) % n + 1, side % 1.0
    if along < 1e-3:
        return f"at the eye of leg {leg}"
    return f"{along:.2f} of the way from leg {leg} to leg {leg % n + 1}"
