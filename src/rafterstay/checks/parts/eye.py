"""Eye: does the bolt go through, does it fit the gap and the jaw, are the sizes alike."""

from __future__ import annotations

from rafterstay.checks.judging import Asked, judged, stated_in_job
from rafterstay.checks.ledger import Ledger
from rafterstay.checks.nouns import Check
from rafterstay.checks.parts.eye_pin import shackle_of
from rafterstay.checks.practice.fit import Comparison, match, passes_through
from rafterstay.core.sources import Source
from rafterstay.tie.nouns import HubPlate, RingBar

__all__ = ["eye_fit"]

PRACTICE = Source("", "", "", "common practice", 80)


def _at_bolt(asked: Asked) -> list[Comparison]:
    """What hangs on the bolt: the eye, or the bow of a shackle whose pin holds the eye."""
    tie, shackle = asked.tie, shackle_of(asked)
    thimble, bolt = tie.thimble, tie.bolt.diameter
    if shackle is None:
        return [
            passes_through("bolt in the thimble's inside width", bolt, thimble.inside_width),
            passes_through("eye in the gap between the plies", thimble.thickness, tie.gap),
        ]
    inside = thimble.inside_width
    made = [
        passes_through("shackle's pin in the thimble's inside width", shackle.bar, inside),
        passes_through("shackle's bow in the gap between the plies", shackle.bar, tie.gap),
    ]
    if shackle.inside_width is not None:
        room = shackle.inside_width
        # An anchor shackle's bow is no narrower than its opening at the pin.
        made.append(passes_through("bolt in the shackle's bow", bolt, room))
        made.append(passes_through("eye in the shackle's opening", thimble.thickness, room))
    return made


def _on_ring(asked: Asked) -> list[Comparison]:
    """What the legs' eyes hang on at the ring: its rope, its bar, or a shackle on a plate."""
    tie = asked.tie
    inside = tie.thimble.inside_width
    if isinstance(tie.body, RingBar):
        return [
            passes_through("ring's bar in the thimble's inside width", tie.body.diameter, inside)
        ]
    if isinstance(tie.body, HubPlate):
        shackle = tie.body.shackle
        bow = passes_through("bow of the plate's shackle in the thimble", shackle.bar, inside)
        if shackle.inside_width is None:
            return [bow]
        room = shackle.inside_width
        return [bow, passes_through("plate in the shackle's opening", tie.body.thickness, room)]
    if tie.layout != "ring" or not tie.ring.startswith("rope"):
        return []
    ropes = "ring rope" if tie.ring_ropes == 1 else "both ring ropes side by side"
    across = tie.ring_ropes * tie.ring_rope.diameter
    return [
        passes_through(f"{ropes} in the thimble's inside width", across, tie.thimble.inside_width)
    ]


def _comparisons(asked: Asked) -> tuple[list[Comparison], list[str]]:
    """Every comparison that can be made, and the dimensions no row gives."""
    tie = asked.tie
    thimble, body = tie.thimble, tie.turnbuckle
    made = [
        *_at_bolt(asked),
        *_on_ring(asked),
        match("leg rope in the thimble's size", tie.rope.diameter, thimble.rope),
        match("leg rope in the sleeve's size", tie.rope.diameter, tie.sleeve.rope),
    ]
    unknown = []
    shackle = shackle_of(asked)
    if shackle is not None and shackle.inside_width is None:
        unknown.append("shackle's opening")
    if body.pin is None:
        unknown.append("jaw pin")
    else:
        made.append(
            passes_through("jaw pin in the thimble's inside width", body.pin, thimble.inside_width)
        )
    if body.jaw_opening is None:
        unknown.append("jaw opening")
    else:
        made.append(passes_through("eye in the jaw's opening", thimble.thickness, body.jaw_opening))
    return made, unknown


def eye_fit(asked: Asked) -> Check:
    """Set every part of an eye against the room it has; the fullest is the check."""
    tie = asked.tie
    made, unknown = _comparisons(asked)
    # Sizes that are alike are as they should be, not the tightest fit.
    open_to_doubt = [each for each in made if not (each.matches and each.ratio == 1.0)]
    worst = max(open_to_doubt, key=lambda comparison: comparison.ratio)
    ledger = Ledger(asked.job.show)
    for number, each in enumerate(made, start=1):
        part, room, alike = f"a_{number}", f"b_{number}", each.matches
        ledger.given(part, f"{each.what}: part", each.part, "length")
        ledger.given(room, f"{each.what}: room", each.room, "length")
        formula = f"max({part} / {room}, {room} / {part})" if alike else f"{part} / {room}"
        numbers = formula.replace(part, f"{{{part}}}").replace(room, f"{{{room}}}")
        ledger.line(f"u_{number}", formula, numbers, each.ratio, "-")
    remedy = "The sizes must be alike." if worst.matches else "A smaller part or more room helps."
    sources = [PRACTICE, stated_in_job("rafter.gap"), tie.bolt.source, tie.thimble.source]
    sources += [
        tie.sleeve.source,
        *([tie.turnbuckle.jaw_source] if tie.turnbuckle.jaw_source else []),
    ]
    return judged(
        "eye-fit",
        demand=worst.ratio,
        capacity=1.0,
        unit="1",
        why=(
            f"Tightest is {worst.what}: {ledger.said(worst.part, 'length')} where there is "
            f"{ledger.said(worst.room, 'length')}. {remedy}"
        ),
        sources=tuple(sources),
        working=ledger.lines,
        refer=(
            f"{' and '.join(unknown)} not known: {_named(asked)}; try the parts together"
            if unknown
            else ""
        ),
    )


def _named(asked: Asked) -> str:
    shackle = shackle_of(asked)
    said = f"turnbuckle {asked.tie.turnbuckle.name}"
    return said if shackle is None else f"{said}, shackle {shackle.name}"
