"""Eye: are the pins in it thick enough for the rope, and may the shackle be pulled so."""

from __future__ import annotations

import numpy as np

from rafterstay.catalog.rows import Shackle
from rafterstay.checks.judging import Asked, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.lifting.side_pull import ANGLES, side_factor
from rafterstay.checks.nouns import Check
from rafterstay.core.sources import Source
from rafterstay.roof.frame import Floats
from rafterstay.tie.nouns import HubPlate, RingBar

__all__ = ["eye_pin", "on_bolt", "shackle_load", "shackle_of"]

PIN = Source("a pin in an eye at least as thick as its rope", "", "", "common practice", 80)
SIDE = Source("Makers' charts of side loading of shackles", "undated", "45, 90 deg", "read", 95)

STRAIGHT = 1e-9
"""A pull nearer to its plane than this is in it. [rad]"""


def shackle_of(asked: Asked) -> Shackle | None:
    """Give the shackle of each leg; None where the eye sits straight on the bolt."""
    name = asked.job.parts.shackle
    return None if name == "none" else asked.job.catalogue.find("shackle", name)


def on_bolt(asked: Asked) -> tuple[float, str]:
    """Give the width along the bolt of what hangs on it, and what that is. [m]"""
    shackle, thimble = shackle_of(asked), asked.tie.thimble
    if shackle is not None:
        return shackle.bar, f"eye: bow of shackle {shackle.name}"
    return thimble.thickness, f"eye: thickness of thimble {thimble.name}"


def eye_pin(asked: Asked) -> Check:
    """Set the rope's diameter against the thinnest pin an eye of the leg bears on.

    A thimble that bears on a pin thinner than its rope is pulled out of shape at its crown.
    """
    tie = asked.tie
    pins = [(f"bolt {tie.bolt.name}", tie.bolt.diameter)]
    body = tie.turnbuckle
    if body.pin is not None:
        pins.append((f"jaw pin of turnbuckle {body.name}", body.pin))
    shackle = shackle_of(asked)
    if shackle is not None:
        # The pin of a shackle is never thinner than its bow's bar.
        pins[0] = (f"pin of shackle {shackle.name}, no thinner than its bow", shackle.bar)
    if isinstance(tie.body, RingBar):
        pins.append(("bar of the ring", tie.body.diameter))
    if isinstance(tie.body, HubPlate):
        pins.append((f"bow of shackle {tie.body.shackle.name} at the plate", tie.body.shackle.bar))
    name, thinnest = min(pins, key=lambda pin: pin[1])
    ledger = Ledger(asked.job.show)
    ledger.given("d", f"diameter of rope {tie.rope.name}", tie.rope.diameter, "length")
    ledger.given("D", f"thinnest pin in an eye: {name}", thinnest, "length")
    ledger.line("u", "d / D", "{d} / {D}", tie.rope.diameter / thinnest, "-")
    sources = [PIN, tie.rope.source, tie.bolt.source]
    sources += [body.jaw_source] if body.jaw_source else []
    sources += [shackle.source] if shackle else []
    return judged(
        "eye-pin",
        demand=tie.rope.diameter,
        capacity=thinnest,
        unit="m",
        why=(
            f"The thinnest pin in an eye is the {name}, "
            f"{ledger.said(thinnest, 'length')}; under the rope's own "
            f"{ledger.said(tie.rope.diameter, 'length')} it would pull the thimble out of "
            "shape. A larger turnbuckle would help."
        ),
        sources=tuple(sources),
        working=ledger.lines,
        refer=f"the jaw pin of turnbuckle {body.name} is not known" if body.pin is None else "",
    )


def _side_angles(asked: Asked) -> Floats:
    """Angle of every pull out of its shackle's plane, at a plate too. [rad] (n_states, n_legs)"""
    sideways = asked.frame.sideways[: asked.tie.n]
    across = np.einsum("skj,kj->sk", asked.forces.pull_direction, sideways)
    angles: Floats = np.arcsin(np.clip(np.abs(np.nan_to_num(across)), 0.0, 1.0))
    if isinstance(asked.tie.body, HubPlate):
        load = asked.forces.ring_load
        size = np.maximum(np.linalg.norm(load, axis=-1), 1e-12)
        angles = np.maximum(angles, np.arcsin(np.clip(np.abs(load[..., 2]) / size, 0.0, 1.0)))
    return np.where(angles < STRAIGHT, 0.0, angles)


def shackle_load(asked: Asked) -> Check | None:
    """Set each leg's pull against the shackle's working load limit, less for a pull from a side.

    The shackle's bow hangs on the bolt, so it swings in the hip's upright plane; a pull out of
    that plane is a side pull. At a plate its pin stands square to the plate: it swings in the
    plate's plane, and a pull up or down out of that is one.
    """
    shackle = shackle_of(asked)
    if shackle is None:
        return None
    angles = _side_angles(asked)
    factors = np.array([[side_factor(float(each)) for each in row] for row in angles])
    worst = largest(asked.forces.leg_pull, asked.forces, factors)
    angle = float(angles[worst.row, worst.leg - 1])
    factor = side_factor(angle)
    capacity = shackle.working_load * factor
    ledger = Ledger(asked.job.show)
    ledger.given("T", f"largest pull for its angle, {worst.place}", worst.value, "force")
    ledger.given(
        "WLL", f"working load limit of shackle {shackle.name}", shackle.working_load, "force"
    )
    ledger.given("beta", "angle of the pull out of the shackle's plane", angle, "angle")
    low, high = ("45", "0.7, 0.5") if angle > ANGLES[1] else ("0", "1, 0.7")
    first, second = high.split(", ")
    ledger.line(
        "k",
        f"side pull, {first} - ({first} - {second}) (beta - {low}) / 45",
        f"{first} - ({first} - {second}) * ({{beta}} - {low}) / 45",
        factor,
        "-",
    )
    ledger.line("T_allowed", "k WLL", "{k} * {WLL}", capacity, "force")
    ledger.line("u", "T / T_allowed", "{T} / {T_allowed}", worst.value / capacity, "-")
    return judged(
        "shackle-load",
        demand=worst.value,
        capacity=capacity,
        unit="N",
        why=(
            f"Leg {worst.leg} pulls {ledger.said(worst.value, 'force')}; the shackle may "
            f"take {ledger.said(capacity, 'force')} from that side. A larger shackle "
            "would help."
        ),
        sources=(shackle.source, SIDE),
        working=ledger.lines,
        worst=worst,
    )
