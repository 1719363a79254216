"""The cut list's pieces, marks, turnbuckles and ring rope, in tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rafterstay.cli.cut_words import (
    chance_said,
    legs_said,
    length_said,
    merged,
    steps_said,
    titled,
    whole_said,
)
from rafterstay.cli.report import Align, table_text, wrapped
from rafterstay.shop.steps import closing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rafterstay.cli.cut_list import CutList
    from rafterstay.shop.nouns import Body, Mark, Piece
    from rafterstay.shop.take_up import TakeUp

__all__ = ["bodies", "marks", "pieces", "ring_rope", "ring_steel", "sums"]

_ABREAST: Final = 4  # pieces beside one another in the table of marks
_RUNS: Final = {
    "ring": "Outer: from the bolt to the turnbuckle. Inner: from the turnbuckle to the ring.",
    "band": (
        "First: from the bolt at the corner of the leg's number to the turnbuckle. Second: from "
        "there to the bolt at the next corner, clockwise seen from above."
    ),
    "cross": (
        "First: from the bolt of the leg's number to the turnbuckle. Second: from there to the "
        "bolt opposite."
    ),
}
_FROM: Final = {
    "ring": "hole of the bolt to the ring rope at the eye",
    "band": "hole of one bolt to hole of the next",
    "cross": "hole of one bolt to hole of the other",
    "welded": "hole of the bolt to the middle of the ring's bar at the eye",
    "plate": "hole of the bolt to the middle of the bow of the plate's shackle",
}
_TWICE: Final = (
    " Two ropes are cut so, each closed by itself. String both through every eye side by side; the "
    "second has its lap on the other side of the ring."
)
_INCH: Final = 0.0254  # [m]
_HEADS: Final = {
    "play": "Play",
    "link": "Shackle",
    "set": "Set",
    "gives": "Gives",
}


def pieces(done: CutList) -> str:
    """Cut and finished lengths.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    ends = list(dict.fromkeys(piece.end for piece in done.cutting.pieces))
    parts = _parts(done)
    # As they stand in the sums, so that one piece has one length on the list.
    finished = {
        body.leg: dict(zip(parts, _closed(done, body, parts), strict=False))
        for body in done.cutting.bodies
    }
    rows = [
        row
        for end, part in zip(ends, ("first", "second"), strict=True)
        for row in merged(
            (
                piece.leg,
                (
                    piece.end,
                    steps_said(done, piece.cut_steps),
                    steps_said(done, finished[piece.leg][part]),
                    length_said(done, piece.between_crowns),
                ),
            )
            for piece in done.cutting.pieces
            if piece.end == end
        )
    ]
    columns: list[tuple[str, Align]] = [
        ("Leg", "left"),
        ("Piece", "left"),
        ("Cut", "right"),
        ("Finished, pin to pin", "right"),
        ("Inside crown to inside crown", "right"),
    ]
    note = wrapped(
        f"{_RUNS[done.cutting.layout]} Hold the tape on the last column when a piece is made up: "
        "that is what it must read, the rope straight by hand."
    )
    return titled("Pieces", table_text(columns, rows), note)


def _alike(some: Sequence[Piece]) -> list[tuple[str, Piece]]:
    """Pieces under the names of the legs they serve, those cut alike together."""
    alike: dict[tuple[Mark, ...], list[Piece]] = {}
    for piece in some:
        alike.setdefault(piece.marks, []).append(piece)
    return [
        (f"{legs_said([piece.leg for piece in same])} {same[0].end}", same[0])
        for same in alike.values()
    ]


def marks(done: CutList) -> str:
    """Running marks, pieces side by side, under the eye they belong to.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    blocks = []
    for end in dict.fromkeys(piece.end for piece in done.cutting.pieces):
        groups = _alike([piece for piece in done.cutting.pieces if piece.end == end])
        for start in range(0, len(groups), _ABREAST):
            part = groups[start : start + _ABREAST]
            columns: list[tuple[str, Align]] = [("Mark", "left")]
            columns += [(name, "right") for name, _ in part]
            blocks.append(table_text(columns, _mark_rows(done, [one for _, one in part])) + "\n")
    note = wrapped(
        "All along the flat rope from its first end, 0. Bend the rope round the thimble with "
        "the crown mark on the crown; slide the sleeve between the far and near edge marks of both "
        "parts before pressing. "
        "Never set a piece out from the end of another: mistakes would add up."
    )
    return titled("Running marks", *blocks, note)


def _mark_rows(done: CutList, some: Sequence[Piece]) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    eye = ""
    for k, mark in enumerate(some[0].marks):
        belongs, colon, name = mark.name.partition(": ")
        if colon and belongs != eye:
            rows.append((belongs, *[""] * len(some)))
            eye = belongs
        said = f"  {name.removeprefix('sleeve ')}" if colon else "cut here"
        rows.append((said, *(steps_said(done, piece.marks[k].steps) for piece in some)))
    return rows


def sums(done: CutList) -> str:
    """What each distance is made of; the rounded figures of a row add up.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    ends = list(dict.fromkeys(piece.end for piece in done.cutting.pieces))
    heads = _HEADS | {"first": ends[0].capitalize(), "second": ends[1].capitalize()}
    parts = _parts(done)
    rows = merged(
        (body.leg, [steps_said(done, one) for one in _closed(done, body, parts)])
        for body in done.cutting.bodies
    )
    names = ["Leg", *(heads[part] for part in parts), "Distance"]
    note = wrapped(
        f"Distance: {_from(done)}. Play: of bolts and jaw pins. "
        + ("Shackle: from bolt to pin. " if "link" in parts else "")
        + "Gives: stretch of the rope at the setting pull, rope against tape from bench to roof, "
        "and what roof and ring give way by. Each row adds up as printed."
    )
    return titled("Why they fit", table_text([(name, "right") for name in names], rows), note)


def _parts(done: CutList) -> list[str]:
    """Headings of the sums, in the order of the leg; stretch goes with what gives way."""
    every = dict.fromkeys(term.part for term in done.cutting.bodies[0].terms)
    return [part for part in every if part != "stretch"]


def _closed(done: CutList, body: Body, parts: Sequence[str]) -> list[int]:
    """Steps of each part of a leg's sum, and of the sum."""
    lengths = dict.fromkeys(parts, 0.0)
    for term in body.terms:
        lengths["gives" if term.part == "stretch" else term.part] += term.length
    shown = list(lengths.values())
    steps, total = closing(shown, done.cutting.step, down=(parts.index("set"),))
    return [*steps, total]


def bodies(done: CutList) -> str:
    """How every turnbuckle is set, why, and what thread is left to it.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    rows = merged(
        (
            body.leg,
            (
                length_said(done, body.opening, "down"),
                length_said(done, body.expected),
                length_said(done, body.shorten_left, "down"),
                length_said(done, body.lengthen_left, "down"),
                chance_said(body.runs_out).removeprefix("about "),
            ),
        )
        for body in done.cutting.bodies
    )
    names = ("Leg", "Set", "Comes to", "Shorten", "Lengthen", "Runs out")
    worst = max(done.cutting.bodies, key=lambda body: body.take_up.total)
    need = worst.take_up
    screw = done.design.tie.turnbuckle
    reason = wrapped(
        f"Set well open, because rope only grows: leg {worst.leg} may need "
        f"{length_said(done, need.shorten, 'up')} to shorten and "
        f"{length_said(done, need.lengthen, 'up')} to lengthen, "
        f"{length_said(done, need.total, 'up')} in all; turnbuckle {screw.name} has "
        f"{length_said(done, screw.take_up, 'down')}. Thread left counts from where it is expected "
        "to come to rest, to the open stop with one diameter of thread in the body at each end. "
        f"Of {done.cutting.rings:,} {whole_said(done)} drawn at random "
        f"{100 * done.cutting.sampled:.2g} in 100 ran out."
    )
    return titled(
        "Turnbuckles",
        table_text([(name, "right") for name in names], rows),
        reason + "\n\n",
        _allowances(done, worst.leg, need),
    )


def _allowances(done: CutList, leg: int, need: TakeUp) -> str:
    shares = [
        (
            share.name,
            length_said(done, share.mean) if share.mean else "",
            f"± {length_said(done, share.half, 'up')}" if share.half else "",
            length_said(done, share.sigma, "up") if share.sigma else "",
            share.why,
        )
        for share in need.shares
        if share.mean or share.half or share.sigma
    ]
    columns: list[tuple[str, Align]] = [
        (f"Leg {leg}", "left"),
        ("Longer by", "right"),
        ("At most", "right"),
        ("1 sigma", "right"),
        ("Why", "left"),
    ]
    return table_text(columns, shares)


def ring_rope(done: CutList) -> str:
    """The ring rope and its marks.

    Args:
        done: A finished cut list.

    Returns:
        A section; empty where there is no ring rope.
    """
    ring = done.cutting.ring
    if ring is None:
        return ""
    rows: list[tuple[str, ...]] = [(mark.name, steps_said(done, mark.steps)) for mark in ring.marks]
    columns: list[tuple[str, Align]] = [("Mark", "left"), ("At", "right")]
    if ring.second:
        rows = [
            (*row, mark.name, steps_said(done, mark.steps))
            for row, mark in zip(rows, ring.second, strict=True)
        ]
        columns += [("Second rope", "left"), ("At", "right")]
    held = "leave free" if done.design.tie.ring == "rope-sliding" else "seize"
    note = wrapped(
        f"{ring.rope}, cut {steps_said(done, ring.cut_steps)}: once round is "
        f"{length_said(done, ring.loop)}, its ends lap {length_said(done, ring.lap, 'up')} under "
        f"{ring.sleeves} sleeves ({ring.sleeve or 'none in the catalogue'}). String the eyes on "
        f"before the lap is pressed, middle on middle, and {held} each eye at its mark."
        f"{_TWICE if ring.second else ''}"
    )
    return titled("Ring rope", note, table_text(columns, rows))


def ring_steel(done: CutList) -> str:
    """The ring of steel, for whoever makes it.

    Args:
        done: A finished cut list.

    Returns:
        A section; empty where there is none.
    """
    steel = done.cutting.steel
    if steel is None:
        return ""
    us, n = done.design.job.show == "us", len(steel.turns_deg)

    def said(length: float) -> str:
        # Steel is turned and drilled closer than a tape is read.
        inches = f"{length / _INCH:.3f} in, " if us else ""
        return f"{inches}{1000.0 * length:.1f} mm"

    if steel.kind == "bar":
        weld = done.design.job.tie.ring_weld
        rows = [
            ("Bar", f"round {said(steel.size)}, {steel.steel}"),
            ("Clear inside", said(steel.inside)),
            ("Over all", said(steel.outside)),
            ("Once round, along its axis", said(steel.length)),
            ("Eye to eye, straight, axis to axis", said(steel.chord)),
            ("Weld", f"{weld}; midway between eye {n} and eye 1"),
        ]
        table = table_text(
            [("Mark, from the weld along the axis", "left"), ("At", "right")],
            [(f"eye {k}", said(at)) for k, at in enumerate(steel.along, start=1)],
        )
        note = (
            "Cut the bar for the bend and the weld as the maker works: the figures are of the "
            "finished ring. Dress the weld flush, and no eye may sit on it. Mark the eyes with a "
            "dab of paint, never with a punch or a weld."
        )
    else:
        rows = [
            ("Plate", f"{said(steel.size)}, {steel.steel}"),
            ("Across", said(steel.outside)),
            ("Circle of the holes, radius", said(steel.radius)),
            ("Holes", f"{n} of {said(steel.hole)}, drilled, not burnt"),
            ("Hole to hole, straight", said(steel.chord)),
        ]
        table = table_text(
            [("Hole", "left"), ("Turned from hole 1", "right")],
            [(str(k), f"{turn:.2f} deg") for k, turn in enumerate(steel.turns_deg, start=1)],
        )
        note = "Take the burr off both sides of every hole and round the rim."
    head = table_text([("Ring", "left"), ("Made to", "left")], rows)
    return titled("Ring of steel", wrapped(note) + "\n\n", head + "\n\n", table)


def _from(done: CutList) -> str:
    """What a leg's distance is taken between."""
    steel = done.cutting.steel
    kind = {"bar": "welded", "plate": "plate"}[steel.kind] if steel else done.cutting.layout
    return _FROM[kind]
