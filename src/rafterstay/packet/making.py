"""Parts with their standards, and the records of how the legs were made and proved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Final

from rafterstay.core.quantities import show
from rafterstay.packet.nouns import (
    Block,
    Column,
    Page,
    Shop,
    Site,
    blanks,
    form,
    heading,
    listed,
    para,
    ruled,
)
from rafterstay.roof.gable import tied_pairs
from rafterstay.sheets.summary import Designed
from rafterstay.shop.buying import RING_ASK, standard_of
from rafterstay.shop.effort import bench_said
from rafterstay.shop.press_log import TEST_SHARE, allowed_orders, leg_eyes, ring_sleeves

if TYPE_CHECKING:
    from rafterstay.core.sources import Source
    from rafterstay.packet.literal import Words
    from rafterstay.shop.nouns import RingRope, RingSteel
    from rafterstay.shop.press_log import Pressed

__all__ = ["cut_page", "parts_page", "press_pages", "proof_page"]

_WHERE: Final = {
    "roof": "A leg may be proved against the roof, or on a bench.",
    "bench": "No pull that proves a leg may be put on this roof: prove each eye on a bench.",
    "none": "No proof pull is possible: the parts are too light for the service pull.",
}


def parts_page(design: Designed, shop: Shop | None) -> Page:
    """Every part, what it must be made to, and where its figures stand."""
    blocks: list[Block] = [
        para("Parts and the standards they must meet", "title"),
        para(
            "A part is accepted when it is marked, or its maker's certificate says, that it meets "
            "the standard beside it. An unmarked part is refused."
        ),
        ruled(
            [
                Column("Part"),
                Column("Name", width=1),
                Column("Count + spare"),
                Column("Must meet", width=0.8),
                Column("Ask for", width=1.5),
            ],
            _parts(design, shop),
            size=0.88,
        ),
        heading("Where their figures stand"),
        ruled(
            [Column("Part"), Column("Figure", width=1), Column("Source", width=2)],
            _figures(design),
            size=0.86,
        ),
    ]
    if shop is None:
        blocks.append(
            para(
                "Counts of eyes and lengths of rope belong to a cut list, which is not made for "
                "this layout yet.",
                "small",
            )
        )
    return Page(tuple(blocks))


def _parts(design: Designed, shop: Shop | None) -> list[tuple[str, ...]]:
    if shop is not None:
        system = design.job.show
        rows: list[tuple[str, ...]] = [
            (i.part, i.name, f"{i.count} + {i.spare}", i.standard, i.ask)
            for i in shop.shopping.items
        ]
        rows += [
            ("rope", r.rope, show(r.bought, "length", system, rounding="up"), r.standard, r.ask)
            for r in shop.shopping.ropes
        ]
        return rows
    tie = design.tie
    named = [
        ("rope", tie.rope.name, "as laid out"),
        ("bolt", tie.bolt.name, str(len(tie.bolt_points))),
        ("thimble", tie.thimble.name, "one an eye"),
        ("sleeve", tie.sleeve.name, "one an eye"),
    ]
    if tie.has_turnbuckles:
        named.insert(1, ("turnbuckle", tie.turnbuckle.name, str(tie.n)))
    if design.forces.ring_pull.size:
        named.insert(1, ("ring rope", tie.ring_rope.name, str(tie.ring_ropes)))
    rows = [
        (part, name, count, *standard_of("rope" if part == "ring rope" else part, name))
        for part, name, count in named
    ]
    if tie.body is not None:
        rows.append(("ring", tie.ring_said, "1", tie.body.steel.name, RING_ASK))
    return rows


def _figures(design: Designed) -> list[tuple[str, str, str]]:
    tie, system = design.tie, design.job.show

    def row(part: str, name: str, said: str, source: Source) -> tuple[str, str, str]:
        return part, f"{name}: {said}", str(source)

    def breaks(strength: float) -> str:
        return f"breaks at {show(strength, 'force', system)} at the least"

    rows = [row("rope", tie.rope.name, breaks(tie.rope.strength), tie.rope.source)]
    if design.forces.ring_pull.size:
        ring = tie.ring_rope
        rows.append(row("ring rope", ring.name, breaks(ring.strength), ring.source))
    if tie.body is not None:
        steel = tie.body.steel
        said = (
            f"yields at {show(steel.yield_strength, 'stress', system)}, breaks at "
            f"{show(steel.tensile_strength, 'stress', system)} at the least"
        )
        rows.append(row("ring", tie.ring_said, said, steel.source))
    if tie.has_turnbuckles:
        screw = tie.turnbuckle
        said = f"working load {show(screw.working_load, 'force', system)}"
        rows.append(row("turnbuckle", screw.name, said, screw.source))
    bolt, timber = tie.bolt, tie.species
    bending = f"bends at {show(bolt.yield_bending, 'stress', system)}"
    rows += [
        row("bolt", bolt.name, bending, bolt.source),
        row(
            "thimble",
            tie.thimble.name,
            f"for rope {show(tie.thimble.rope, 'length', system)}",
            tie.thimble.source,
        ),
        row("sleeve", tie.sleeve.name, f"{tie.sleeve.presses} presses", tie.sleeve.source),
        row(
            "timber",
            f"{timber.species} {timber.grade}, {tie.plies} x {tie.ply.name}",
            f"bending {show(timber.fb, 'stress', system)}",
            timber.source,
        ),
    ]
    return rows


def cut_page(design: Designed, shop: Shop) -> Page:
    """Lengths and marks of every piece, and the setting of every turnbuckle."""
    system, cutting = design.job.show, shop.cutting

    def length(value: float) -> str:
        return show(value, "length", system)

    waiting = {body.leg: body for body in cutting.bodies}
    rows = []
    for piece in cutting.pieces:
        body = waiting.pop(piece.leg, None)
        rows.append(
            (
                str(piece.leg),
                piece.end,
                length(piece.cut_steps * cutting.step),
                length(piece.between_crowns),
                "" if body is None else show(body.opening, "length", system, rounding="down"),
                "" if body is None else length(body.expected),
            )
        )
    columns = [
        Column("Leg", "right"),
        Column("Piece"),
        Column("Cut", "right", 1),
        Column("Crown to crown, made up", "right", 1.3),
        Column("Turnbuckle set", "right", 1),
        Column("expected later", "right", 1),
    ]
    blocks: list[Block] = [para("Cut list", "title")]
    if not cutting.measured:
        blocks.append(
            {
                "kind": "note",
                "text": "Provisional: as designed, not measured. Do not cut from this page before "
                "the frame is surveyed.",
            }
        )
    blocks += [
        ruled(columns, rows, size=0.86),
        *_ring(cutting.ring, length),
        *_steel(cutting.steel),
    ]
    blocks.append(
        para(
            "The running marks of every piece and the cutting order off the reels are given by the "
            "cut list itself."
        )
    )
    return Page(tuple(blocks))


def _ring(ring: RingRope | None, length: Callable[[float], str]) -> Iterable[Block]:
    """The closed rope of the ring, where there is one."""
    if ring is None:
        return
    sleeves = f"under {ring.sleeves} sleeves ({ring.sleeve or 'none in the catalogue'})"
    yield heading("Ring rope")
    yield para(
        f"{'Two alike, ' if ring.ropes > 1 else ''}{ring.rope}: once round {length(ring.loop)}, "
        f"lap {length(ring.lap)} {sleeves}{' each' if ring.ropes > 1 else ''}. "
        f"{ring.doubt}"
    )


def _steel(steel: RingSteel | None) -> Iterable[Block]:
    """The ring of steel, where there is one, as its maker measures it."""
    if steel is None:
        return
    size, over = (f"{1000.0 * each:.1f} mm" for each in (steel.size, steel.outside))
    chord, n = f"{1000.0 * steel.chord:.1f} mm", len(steel.turns_deg)
    yield heading("Ring of steel")
    if steel.kind == "bar":
        yield para(
            f"Round bar {size}, {steel.steel}: clear inside {1000.0 * steel.inside:.1f} mm, over "
            f"all {over}, once round along its axis {1000.0 * steel.length:.1f} mm; {n} eyes "
            f"{chord} apart from axis to axis; weld midway between eyes {n} and 1."
        )
    else:
        yield para(
            f"Plate {size}, {steel.steel}, {over} across: {n} holes of "
            f"{1000.0 * steel.hole:.1f} mm, drilled, on a radius of "
            f"{1000.0 * steel.radius:.1f} mm, {chord} from hole to hole."
        )


def press_pages(design: Designed, site: Site, words: Words) -> Page:
    """Press log, mill certificates and test eyes: as logged, else to be filled in."""
    tie = design.tie
    orders = " or ".join(allowed_orders(tie.sleeve.presses))
    blocks: list[Block] = [
        para("Press log, mill certificates and test eyes", "title"),
        para(
            f"Every sleeve: {tie.sleeve.name}, {tie.sleeve.presses} presses in the order {orders}, "
            "counted from the thimble; tail showing; every press gauged. One no: cut it off and "
            "make another."
        ),
        para(bench_said(tie, design.job.show), "small"),
        heading("Mill certificates"),
        form(
            [
                Column("Rope", width=1.4),
                Column("Reel", width=0.8),
                Column("Certificate no.", width=1),
                Column("Breaks at, certified", width=1),
                Column("Must break at least at", width=1),
                Column("Seen by, date", width=1.2),
            ],
            _certificates(design),
        ),
        heading("Test eyes"),
        form(
            [
                Column("Reel, tool and die", width=2),
                Column("Pulled with, read on", width=1.2),
                Column("Pulled to", width=0.8),
                Column("Result", width=0.7),
                Column("By, date", width=1.2),
            ],
            _test_eyes(design, site, words),
        ),
        para(
            f"A test eye of each reel and tool must hold "
            f"{show(TEST_SHARE * tie.rope.strength, 'force', design.job.show, rounding='up')}, "
            f"{TEST_SHARE:.2f} of the rope.",
            "small",
        ),
        heading("Press log"),
    ]
    logged = bool(site.presses)
    blocks.append(
        para(
            f"{len(site.presses)} sleeves are logged in the job folder."
            if logged
            else "No sleeve is logged in the job folder: to be filled in at the bench."
        )
    )
    columns = [
        Column("Leg", "right"),
        Column("Eye", width=1.5),
        Column("Reel", width=0.8),
        Column("Tool", width=1.2),
        Column("Presses", width=0.7),
        Column("Order", width=0.7),
        Column("Tail", width=0.8),
        Column("Gauge", width=0.8),
        Column("By, date", width=1.4),
    ]
    filled = [_pressed(one, design, words) for one in site.presses]
    known = {("" if one.leg is None else str(one.leg), one.eye) for one in site.presses}
    legs = _made(design)
    eyes = [(str(leg), eye) for leg in range(1, legs + 1) for eye in leg_eyes(tie.layout)]
    if design.forces.ring_pull.size:
        eyes += [("", sleeve) for sleeve in ring_sleeves(tie.ring_ropes)]
    empty = [(*eye, "", "", "", "", "", "", "") for eye in eyes if eye not in known]
    blocks.append(form(columns, [*filled, *empty], height=6.2, size=0.8))
    return Page(tuple(blocks))


def _made(design: Designed) -> int:
    """How many legs are made: of a gable one for every tied pair."""
    roof = design.job.roof
    return tied_pairs(roof) if roof.shape == "gable" else design.tie.n


def _certificates(design: Designed) -> Iterable[tuple[str, ...]]:
    tie, system = design.tie, design.job.show
    ropes = {tie.rope.name: tie.rope.strength}
    if design.forces.ring_pull.size:
        ropes[tie.ring_rope.name] = tie.ring_rope.strength
    for name, strength in ropes.items():
        yield name, "", "", "", show(strength, "force", system), ""
    yield "", "", "", "", "", ""


def _test_eyes(design: Designed, site: Site, words: Words) -> list[tuple[str, ...]]:
    """Test eyes as logged: by their part, which names reel and tool."""
    rows: list[tuple[str, ...]] = [
        (
            words.literal(one.part, "test eye: part"),
            words.literal(one.scale, "test eye: scale"),
            show(one.pull, "force", design.job.show),
            one.result,
            words.literal(f"{one.who}, {one.when}", "test eye: who"),
        )
        for one in site.pulls
        if one.leg is None
    ]
    return rows + [("", "", "", "", "")] * max(2, 3 - len(rows))


def _pressed(one: Pressed, design: Designed, words: Words) -> tuple[str, ...]:
    tail = "" if one.tail_after is None else show(one.tail_after, "length", design.job.show)
    return (
        "" if one.leg is None else str(one.leg),
        words.literal(one.eye, "press log: eye"),
        words.literal(one.reel, "press log: reel"),
        words.literal(one.tool, "press log: tool"),
        str(one.presses),
        words.literal(one.order, "press log: order"),
        tail,
        words.literal(one.gauge, "press log: gauge"),
        words.literal(f"{one.who}, {one.when}", "press log: who"),
    )


def proof_page(design: Designed, shop: Shop | None, site: Site, words: Words) -> Page:
    """Range of the proof pull, and its record."""
    system = design.job.show
    blocks: list[Block] = [para("Proof pull", "title")]
    if shop is None:
        blocks.append(
            para(
                "The range of a proof pull is worked out for legs to a ring. For this layout it "
                "is to be set by whoever takes responsibility for it: least ______________  most "
                "______________  set by ____________________"
            )
        )
    else:
        proof = shop.proof
        most = proof.roof if proof.where == "roof" else proof.bench
        blocks += [
            para(_WHERE[proof.where]),
            para(
                f"Pull {show(proof.least, 'force', system, rounding='up')}, 1.25 times the largest "
                f"service pull of {show(proof.service, 'force', system)}, and never above "
                f"{show(most, 'force', system, rounding='down')}. Hold it for a minute, guarded, "
                "everyone out of line; mark tails and sleeves before and look for slip after."
            ),
            ruled(
                [Column("Never above", width=1), Column("Pull", "right"), Column("Counts")],
                [
                    (
                        cap.what,
                        show(cap.pull, "force", system, rounding="down"),
                        "against the roof" if cap.against_roof else "always",
                    )
                    for cap in proof.caps
                ],
            ),
        ]
    columns = [
        Column("What was pulled", width=1.6),
        Column("Scale, its date of check", width=1.4),
        Column("Pull", width=0.9),
        Column("Held for", width=0.8),
        Column("Slip, result", width=1.1),
        Column("By, date", width=1.2),
    ]
    filled = [
        (
            words.literal(one.part, "proof pull: part"),
            words.literal(one.scale, "proof pull: scale"),
            show(one.pull, "force", system),
            f"{one.held:.0f} s",
            one.result,
            words.literal(f"{one.who}, {one.when}", "proof pull: who"),
        )
        for one in site.pulls
        if one.leg is not None
    ]
    empty = [(f"leg {leg}", "", "", "", "", "") for leg in range(1, _made(design) + 1)]
    blocks += [
        heading("Record"),
        form(columns, [*filled, *empty]),
        blanks(["Pulled by", "Signature", "Seen by", "Date"]),
    ]
    if shop is not None and shop.readiness is not None:
        missing = [
            f"leg {one.leg}: {'; '.join(one.missing)}" for one in shop.readiness if not one.ready
        ]
        ready = [str(one.leg) for one in shop.readiness if one.ready]
        blocks += [
            heading("Which legs may go up"),
            para(f"Ready: {', '.join(ready) or 'none'}."),
            *([para(f"Ring: {'; '.join(lacks)}.")] if (lacks := shop.ring_missing) else []),
            listed((words.literal(said, "press log", longest=400) for said in missing), size=0.9),
        ]
    return Page(tuple(blocks))
