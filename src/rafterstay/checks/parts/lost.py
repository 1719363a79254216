"""One leg gone, one side of the ring gone: does what is left hold, this once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from rafterstay.checks.aisc360_2016 import bars, pins
from rafterstay.checks.asce19_2016 import strength
from rafterstay.checks.judging import Asked, judged, largest
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.lifting import factor
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.bolt import bolt_steel, bolt_yield
from rafterstay.checks.parts.eye_pin import shackle_load
from rafterstay.checks.parts.hub import hub_bearing, hub_shear, hub_tension
from rafterstay.checks.parts.hubplate import hubplate_bearing, hubplate_net, hubplate_tearout
from rafterstay.checks.parts.rafter_bending import rafter_bending
from rafterstay.checks.parts.rafter_seat import holddown, rafter_bearing
from rafterstay.checks.parts.rafter_shear import rafter_shear, wood_net, wood_splitting
from rafterstay.checks.parts.ring import note_bend
from rafterstay.checks.parts.ring_alone import bar_alone, plate_alone
from rafterstay.checks.parts.ring_welded import ring_welded
from rafterstay.checks.parts.uncoded import NO_CODE, told
from rafterstay.checks.practice import loss
from rafterstay.rope import bending_efficiency, bending_source
from rafterstay.statics.lost import SUDDEN, sudden
from rafterstay.tie.nouns import HubPlate, RingBar

if TYPE_CHECKING:
    from rafterstay.core.sources import Source
    from rafterstay.core.working import Line
    from rafterstay.roof.frame import Floats
    from rafterstay.statics import Losses
    from rafterstay.statics.nouns import Forces

__all__ = ["leg_lost", "ring_lost"]

_OF_THE_ROOF: Final = (
    (bolt_yield, "the bolt in the timber"),
    (bolt_steel, "the bolt's steel"),
    (wood_splitting, "a hip against splitting at the bolt"),
    (wood_net, "a hip's net section at the bolt"),
    (rafter_bending, "a hip in bending"),
    (rafter_shear, "a hip in shear"),
    (rafter_bearing, "a hip's seat on the plate"),
    (holddown, "the hold-down of a foot"),
    (hub_bearing, "a head's bearing on the hub"),
    (hub_shear, "the joint of head and hub in shear"),
    (hub_tension, "the joint of head and hub pulled apart"),
)
_SIGNED: Final = (
    "hip_axial",
    "hip_shear",
    "hip_moment",
    "head_push",
    "foot_reaction",
)
_OF_A_STIFF_RING: Final = (
    (ring_welded, "the bar of the ring", bars.OMEGA),
    (hubplate_net, "the plate beside its holes", pins.YIELD),
    (hubplate_bearing, "a hole of the plate under its pin", pins.OMEGA),
    (hubplate_tearout, "the plate between a hole and its rim", pins.OMEGA),
)
_SIZES: Final = ("leg_pull", "ring_pull", "head_shear", "head_moment", "hip_sideways")


@dataclass(frozen=True)
class _Asking:
    """A part, what it is asked, what it may give, and where.

    Attributes:
        what: In words.
        ratio: Demand over capacity; None where nothing says what it can give.
        combination: Id of the state.
        lines: Its own working, where it is a check of its own.
    """

    what: str
    ratio: float | None
    combination: str
    sources: tuple[Source, ...]
    lines: tuple[Line, ...] = ()


def leg_lost(asked: Asked) -> Check | None:
    """Lose one leg at a time and set what is left against what it can give once."""
    if asked.tie.layout == "ring" and asked.tie.ring == "rope-sliding":
        return _of_sliding_eyes()
    found = next((each for each in asked.losses if each.of == "leg"), None)
    if found is None:
        return None
    if found.after is None:
        return _unheld(asked, found)
    left = _left(asked, found, found.after)
    ledger = Ledger(asked.job.show)
    askings = [
        *_of_ropes(left, found, ledger),
        *_of_fittings(left, ledger),
        *_of_stiff_ring(left, ledger),
        *_of_roof(left, found, ledger),
    ]
    known = [each for each in askings if each.ratio is not None]
    worst = max(known, key=lambda each: each.ratio or 0.0)
    ratio = worst.ratio or 0.0
    unknown = [each.what for each in askings if each.ratio is None]
    reasons = [f"nothing says what {' and '.join(unknown)} can take"] if unknown else []
    if ratio > 1.0:
        reasons = ["it is more than that can give", *reasons, NO_CODE]
    refer = "; ".join(reasons)
    number = found.numbers[_row(worst.combination, left)]
    return told(
        "leg-lost",
        ratio,
        why=(
            f"Fullest when a leg goes (leg {number} in {worst.combination}) is {worst.what}, "
            f"{ratio:.2f} of what it can give once. Heavier parts or a hub that holds its heads "
            "would help."
        ),
        sources=(loss.LOSS, *worst.sources),
        working=ledger.lines + worst.lines,
        refer=refer,
        combination=worst.combination,
        leg=number,
        decides=asked.frame.shape == "polygon",
    )


def _of_sliding_eyes() -> Check:
    return judged(
        "leg-lost",
        demand=0.0,
        capacity=None,
        unit="1",
        why="A sliding rope that loses a leg lets two eyes run together.",
        sources=(loss.LOSS,),
        working=(),
        refer="no pull can be told then: seize the eyes, or stop them on the ring",
    )


def _unheld(asked: Asked, found: Losses) -> Check:
    """Nothing holds the roof without one of its legs."""
    gable = asked.frame.shape == "gable"
    refer = (
        "the deck and the next tied pair may share it, which is not reckoned"
        if gable
        else f"without it {found.loose} move away; {NO_CODE}"
    )
    band = asked.tie.layout == "band"
    place = "its tie" if gable else "a piece of the band" if band else f"leg {found.unheld}"
    return replace(
        judged(
            "leg-lost",
            demand=0.0,
            capacity=None,
            unit="1",
            why=f"Nothing in this reckoning holds the roof once {place} is gone.",
            sources=(loss.LOSS,),
            working=(),
            refer=refer,
            decides=not gable,
        ),
        leg=found.unheld,
    )


def _left(asked: Asked, found: Losses, after: Forces) -> Asked:
    """Forces at rest without the leg, and at the far end of the swing; timber at C_D 1.6."""
    fields: dict[str, Any] = {}
    for name, value in vars(after).items():
        if not isinstance(value, np.ndarray) or name == "hip_at" or len(value) != len(after.states):
            continue
        swung = value
        if name in _SIGNED or name in _SIZES:
            before = getattr(found.before, name)
            swung = before + SUDDEN * (value - before)
        if name in _SIZES:
            swung = np.maximum(value, swung)
        fields[name] = np.concatenate([value, swung])
    if after.ring_load.size:
        fields["ring_load"] = np.concatenate(
            [after.ring_load, _swell(found, after)[:, None, None] * after.ring_load]
        )
    states = tuple(
        replace(state, case=replace(state.case, duration_factor=loss.DURATION))
        for state in found.before.states
    )
    forces: Forces = replace(after, states=states + states, **fields)
    return replace(asked, forces=forces)


def _swell(found: Losses, after: Forces) -> Floats:
    """How much more any leg pulls at the far end of the swing than at rest. [-] (n_states,)

    Pulls on a stiff ring balance all the while: all of them swell as the one that swells most.
    """
    rest = after.leg_pull
    swung = found.before.leg_pull + SUDDEN * (rest - found.before.leg_pull)
    counted = rest > 0.01 * rest.max(axis=1, keepdims=True)
    return np.asarray(np.where(counted, swung / np.where(counted, rest, 1.0), 1.0).max(axis=1))


def _row(combination: str, left: Asked) -> int:
    ids = [state.id for state in left.forces.states]
    return ids.index(combination)


def _of_ropes(left: Asked, found: Losses, ledger: Ledger) -> list[_Asking]:
    """Leg rope and ring rope to breaking strength / 1.1."""
    rope, ring, forces = left.tie.rope, left.tie.ring_rope, left.forces
    rows = len(found.numbers)
    worst = largest(forces.leg_pull[rows:], replace(forces, states=forces.states[rows:]))
    row, leg = worst.row, worst.leg - 1
    before, after = (float(each.leg_pull[row, leg]) for each in (found.before, forces))
    what = f"leg {worst.leg} in {worst.state.id}"
    ledger.given("T_0", f"pull of {what}, all legs in place", before, "force")
    ledger.given(
        "T_1", f"pull at rest without leg {found.numbers[row]} in {worst.state.id}", after, "force"
    )
    ledger.line(
        "T",
        "max(T_1, T_0 + 2 (T_1 - T_0))",
        "max({T_1}, {T_0} + 2 * ({T_1} - {T_0}))",
        worst.value,
        "force",
    )
    ledger.given("S", f"breaking strength of rope {rope.name}", rope.strength, "force")
    ledger.given("N_f", "pressed-sleeve eye on a thimble, untested", strength.FITTING, "-")
    ledger.given("F", "factor on breaking strength, once", loss.ROPE, "-")
    capacity = rope.strength * strength.FITTING / loss.ROPE
    ledger.line("T_once", "S N_f / F", "{S} * {N_f} / {F}", capacity, "force")
    ratio = worst.value / capacity
    ledger.line("u_rope", "T / T_once", "{T} / {T_once}", ratio, "-")
    sources = (strength.FITTING_SOURCE, rope.source)
    made = [_Asking(f"the rope of leg {worst.leg}", ratio, worst.state.id, sources)]
    if not forces.ring_pull.shape[1] or left.tie.ring not in {"rope-seized", "rope-sliding"}:
        return made
    most = largest(forces.ring_pull, forces, of="side")
    bend = _bend(left)
    ledger.given("T_r", f"ring rope, swung, {most.place}", most.value, "force")
    one = "" if left.tie.ring_ropes == 1 else ", one of two"
    ledger.given("S_r", f"breaking strength of ring rope {ring.name}{one}", ring.strength, "force")
    if not bend:
        return [*made, _Asking("the ring rope on its bend", None, most.state.id, (ring.source,))]
    _note_bend(left, ledger, bend)
    able = ring.strength * strength.FITTING * bend / loss.ROPE
    ledger.line("R_once", "S_r N_f N_d / F", "{S_r} * {N_f} * {N_d} / {F}", able, "force")
    ledger.line("u_ring", "T_r / R_once", "{T_r} / {R_once}", most.value / able, "-")
    return [*made, _Asking("the ring rope", most.value / able, most.state.id, (ring.source,))]


def _bend(asked: Asked) -> float:
    """What the bend over the eyes leaves of the ring rope; nil where no table says. [-]"""
    ratio = asked.tie.thimble.thickness / asked.tie.ring_rope.diameter
    return bending_efficiency(ratio) if ratio >= 1.0 else 0.0


def _note_bend(asked: Asked, ledger: Ledger, bend: float) -> None:
    """Note where ``N_d`` comes from."""
    thimble, rope = asked.tie.thimble, asked.tie.ring_rope
    ratio = thimble.thickness / rope.diameter
    ledger.given("D", f"across the lips of thimble {thimble.name}", thimble.thickness, "length")
    ledger.given("d", f"diameter of ring rope {rope.name}", rope.diameter, "length")
    ledger.line("D_d", "D / d", "{D} / {d}", ratio, "-")
    note_bend(ledger, ratio, bend)


def _of_fittings(left: Asked, ledger: Ledger) -> list[_Asking]:
    """Turnbuckle and shackle to their proof loads."""
    body = left.tie.turnbuckle
    worst = largest(left.forces.leg_pull, left.forces)
    proof = loss.TURNBUCKLE_PROOF * body.working_load
    ledger.given("WLL", f"working load limit of turnbuckle {body.name}", body.working_load, "force")
    ledger.given("k_p", "its proof load over that", loss.TURNBUCKLE_PROOF, "-")
    ledger.line("T_proof", "k_p WLL", "{k_p} * {WLL}", proof, "force")
    ledger.line("u_turnbuckle", "T / T_proof", "{T} / {T_proof}", worst.value / proof, "-")
    made = [
        _Asking(
            "the turnbuckle",
            worst.value / proof,
            worst.state.id,
            (body.source, loss.PROOF_SOURCE),
        )
    ]
    shackle = shackle_load(left)
    if shackle is not None and shackle.utilisation is not None:
        ratio = shackle.utilisation / loss.SHACKLE_PROOF
        of_limit = f"of the shackle's working load limit in {shackle.combination}"
        ledger.given("u_wll", of_limit, shackle.utilisation, "-")
        ledger.given("k_s", "its proof load over that", loss.SHACKLE_PROOF, "-")
        ledger.line("u_shackle", "u_wll / k_s", "{u_wll} / {k_s}", ratio, "-")
        made.append(_Asking("the shackle", ratio, shackle.combination, shackle.sources))
    return made


def _of_stiff_ring(left: Asked, ledger: Ledger) -> list[_Asking]:
    """A welded ring's bar or a plate to its nominal strength / 1.1."""
    made = []
    for asking, what, omega in _OF_A_STIFF_RING:
        check = asking(left)
        if check is None or check.utilisation is None:
            continue
        ratio = check.utilisation * loss.ROPE / omega
        symbol = check.id.replace("-", "_")
        ledger.given(
            f"u_{symbol}",
            f"of {what} in service, swung, in {_where(check, left)}",
            check.utilisation,
            "-",
        )
        ledger.given("F", "factor on its strength, once", loss.ROPE, "-")
        formula = f"u_{symbol} F / {omega:.2f}"
        ledger.line(f"o_{symbol}", formula, f"{{u_{symbol}}} * {{F}} / {omega:.2f}", ratio, "-")
        lines = tuple(
            replace(line, symbol="u_s") if line.symbol == "u" else line for line in check.working
        )
        made.append(_Asking(what, ratio, _where(check, left), check.sources, lines))
    return made


def _where(check: Check, left: Asked) -> str:
    return check.combination or left.forces.states[0].id


def _of_roof(left: Asked, found: Losses, ledger: Ledger) -> list[_Asking]:
    """Bolt, timber and joints, timber at C_D 1.6; the fullest with its own lines."""
    made: list[_Asking] = []
    rest = _pressing(left, found)
    for asking, what in _OF_THE_ROOF:
        check = asking(rest if asking is hub_bearing else left)
        made.append(
            _Asking(what, check.utilisation, check.combination, check.sources, check.working)
        )
        if check.utilisation is not None:
            ledger.given(
                f"u_{check.id}",
                f"of {what}, C_D 1.6, in {check.combination or left.forces.states[0].id}",
                check.utilisation,
                "-",
            )
    return made


def _pressing(left: Asked, found: Losses) -> Asked:
    """The states at rest, and of them the heads of hips that kept their legs.

    A hip without its leg stops pressing on the hub: its joint holds it, which hub-shear and
    hub-tension are asked, and there is no face left to bear on.
    """
    rest, n = _first(left.forces, len(found.numbers)), left.tie.n
    push = rest.head_push.copy()
    for row, number in enumerate(found.numbers):
        hips = {"ring": [number - 1], "band": [number - 1, number % n]}
        push[row, hips.get(left.tie.layout, [number - 1, number - 1 + n])] = 0.0
    return replace(left, forces=replace(rest, head_push=push))


def _first(forces: Forces, count: int) -> Forces:
    """The first so many states."""
    kept: dict[str, Any] = {
        name: value[:count]
        for name, value in vars(forces).items()
        if isinstance(value, np.ndarray) and name != "hip_at" and len(value) == len(forces.states)
    }
    return replace(forces, states=forces.states[:count], **kept)


def ring_lost(asked: Asked) -> Check | None:
    """Cut the ring once: one of rope has no second way, so it must have strength to spare."""
    tie = asked.tie
    if isinstance(tie.body, RingBar):
        return bar_alone(asked, tie.body)
    if isinstance(tie.body, HubPlate):
        return plate_alone(asked, tie.body)
    if tie.layout != "ring" or tie.ring not in {"rope-seized", "rope-sliding"}:
        return None
    if tie.ring_ropes > 1:
        return _second_rope(asked)
    rope, forces = tie.ring_rope, asked.forces
    worst = largest(forces.ring_pull, forces, of="side")
    bend = _bend(asked)
    ledger = Ledger(asked.job.show)
    ledger.given("T_r", f"largest ring pull, {worst.place}", worst.value, "force")
    ledger.given("S", f"breaking strength of ring rope {rope.name}", rope.strength, "force")
    ledger.given("N_f", "pressed-sleeve joint of the ring, untested", strength.FITTING, "-")
    ledger.given("F", "factor where one rope holds all", factor.FACTOR, "-")
    capacity = rope.strength * strength.FITTING * bend / factor.FACTOR
    ratio = worst.value / capacity if capacity else np.inf
    if capacity:
        _note_bend(asked, ledger, bend)
        ledger.line("T_alone", "S N_f N_d / F", "{S} * {N_f} * {N_d} / {F}", capacity, "force")
        ledger.line("u", "T_r / T_alone", "{T_r} / {T_alone}", ratio, "-")
    happens = _if_seizings_hold(asked, ledger)
    sources = [loss.LOSS, factor.SOURCE, strength.FITTING_SOURCE, rope.source]
    sources += [bending_source(tie.thimble.thickness / rope.diameter)] if bend else []
    refer = (
        "the ring is one rope, and nothing known holds the roof once it is cut: it must keep "
        "five times its pull with its bend, or be two independent ropes (tie.ring_ropes = 2); "
        f"{NO_CODE}"
    )
    return told(
        "ring-lost",
        min(ratio, 99.0),
        why=(
            f"A ring of one rope cannot lose a side: {happens}. Alone, with its bend, it may be "
            f"pulled {ledger.said(capacity, 'force')} (a fifth of what breaks it); it "
            f"pulls {ledger.said(worst.value, 'force')}."
        ),
        sources=tuple(sources),
        working=ledger.lines,
        refer=refer if ratio > 1.0 else "",
        combination=worst.state.id,
    )


def _second_rope(asked: Asked) -> Check:
    """One of two ropes is cut: the other, which may have hung slack, takes all at once."""
    tie, rope = asked.tie, asked.tie.ring_rope
    worst = largest(asked.forces.ring_pull, asked.forces, of="side")
    bend = _bend(asked)
    ledger = Ledger(asked.job.show)
    ledger.given("T_r", f"largest ring pull, {worst.place}", worst.value, "force")
    ledger.given("k", "of a pull that comes at once on a rope that hung slack", SUDDEN, "-")
    ledger.line("T", "k T_r", "{k} * {T_r}", SUDDEN * worst.value, "force")
    ledger.given("S", f"breaking strength of ring rope {rope.name}, one", rope.strength, "force")
    ledger.given("N_f", "pressed-sleeve joint of the ring, untested", strength.FITTING, "-")
    ledger.given("F", "factor on breaking strength, once", loss.ROPE, "-")
    capacity = rope.strength * strength.FITTING * bend / loss.ROPE
    ratio = SUDDEN * worst.value / capacity if capacity else np.inf
    if capacity:
        _note_bend(asked, ledger, bend)
        ledger.line("T_once", "S N_f N_d / F", "{S} * {N_f} * {N_d} / {F}", capacity, "force")
        ledger.line("u", "T / T_once", "{T} / {T_once}", ratio, "-")
    sources = [loss.LOSS, strength.FITTING_SOURCE, rope.source]
    sources += [bending_source(tie.thimble.thickness / rope.diameter)] if bend else []
    return told(
        "ring-lost",
        min(ratio, 99.0),
        why=(
            "The ring is two ropes. One cut, the other is asked up to "
            f"{ledger.said(SUDDEN * worst.value, 'force')} at once; with its bend it gives "
            f"{ledger.said(capacity, 'force')} once."
        ),
        sources=tuple(sources),
        working=ledger.lines,
        refer=f"the second rope is too weak to take over; {NO_CODE}" if ratio > 1.0 else "",
        combination=worst.state.id,
    )


def _if_seizings_hold(asked: Asked, ledger: Ledger) -> str:
    """What happens at the cut, in words; the pull of the bow that is left, where one is."""
    found = next((each for each in asked.losses if each.of == "side"), None)
    if asked.tie.ring == "rope-sliding":
        return "cut anywhere, the rope runs out through the eyes"
    seizings = "the seizings alone keep the eyes in their places"
    if found is None:
        return f"cut once, {seizings}, and nothing is known of their strength"
    if found.after is None:
        return "cut once, nothing holds the roof even if every seizing does"
    most = float(sudden(found.before.leg_pull, found.after.leg_pull).max())
    place = f"largest leg pull, swung, if every seizing held, in {found.before.states[0].id}"
    ledger.given("T_bow", place, most, "force")
    return (
        f"cut once, {seizings} (legs would then pull up to "
        f"{ledger.said(most, 'force')}), and nothing is known of their strength"
    )
