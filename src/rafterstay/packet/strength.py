"""What every leg pulls, what every part is asked and gives, and the lines that say so."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from rafterstay.core.quantities import System, parse, show
from rafterstay.packet.balance import balance_of, hand_lines, hardest_state
from rafterstay.packet.hip_figure import hip_figure
from rafterstay.packet.nouns import (
    Block,
    Bound,
    Column,
    Page,
    figure,
    heading,
    listed,
    pairs,
    para,
    ruled,
    value_of,
)
from rafterstay.sheets.summary import (
    Designed,
    asks_and_gives,
    first_largest,
    leg_pulls,
    ring_pull,
    share,
)
from rafterstay.sheets.words import DISPLACED, proof_words, status_words

if TYPE_CHECKING:
    from rafterstay.checks.nouns import Check
    from rafterstay.core.working import Line
    from rafterstay.packet.balance import Balance
    from rafterstay.roof.frame import Floats
    from rafterstay.sheets.summary import LegPull

__all__ = [
    "check_block",
    "check_pages",
    "free_body_blocks",
    "free_body_page",
    "pulls_page",
    "pulls_table",
    "ranking_page",
    "ranking_table",
    "working_rows",
]


def free_body_page(design: Designed) -> Page:
    """Thrust, reactions and hold-downs, in sums that close."""
    return Page((para("Free body: thrust, reactions, hold-downs", "title"), *_free_body(design)))


def free_body_blocks(design: Designed) -> list[Block]:
    """The figure and its sums in short."""
    balance = balance_of(design, hardest_state(design))
    return [_drawn(design, balance, width=62.0), _whole_roof(design, balance)]


def _free_body(design: Designed) -> list[Block]:
    balance = balance_of(design, hardest_state(design))
    blocks = [
        para(
            f"Combination {balance.state}, the one in which a leg pulls hardest. Each figure below "
            "is the program's, on the roof as it stands displaced; the sums are for the reader "
            "to redo."
        ),
        _drawn(design, balance, width=66.0),
        heading("The whole roof, upright"),
        _whole_roof(design, balance),
        heading("Every hip, level"),
        _levels(design, balance),
        *_lifting(design),
    ]
    lines = hand_lines(design, balance)
    if lines:
        blocks += [
            heading("The pull of the hardest leg by hand"),
            para(
                "Moments about the foot of the hip, before the roof sinks. The last two lines must "
                "agree; of a frame as measured to about a hundredth, because crooked hips lean on "
                "one another. How far the pull grows as the roof sinks is the check hub-drop."
            ),
            {"kind": "working", "lines": working_rows(lines)},
        ]
    return blocks


def _drawn(design: Designed, balance: Balance, *, width: float) -> Block:
    svg, said = hip_figure(design, balance)
    return figure(svg, said, width=width)


def _whole_roof(design: Designed, balance: Balance) -> Block:
    system = design.job.show

    def total(values: Floats) -> str:
        return show(float(np.sum(values)), "force", system)

    return pairs(
        [
            ("Loads on all hips", f"{total(balance.load)} down"),
            ("Ropes, ring, bodies", f"{total(balance.steel)} down"),
            ("All feet", f"{total(balance.reaction)} up"),
            ("Left over", _left(balance.left_up, system)),
        ]
    )


def _levels(design: Designed, balance: Balance) -> Block:
    system = design.job.show

    def force(value: float) -> str:
        return show(value if abs(value) > 1e-6 else 0.0, "force", system)

    rows = []
    for k in range(design.frame.n):
        up = float(balance.reaction[k])
        rows.append(
            (
                force(float(balance.load[k] + balance.steel[k])),
                force(max(up, 0.0)),
                force(max(-up, 0.0)),
                force(float(balance.pull[k])),
                force(float(balance.wall[k] - balance.wind[k] - balance.beside[k])),
                force(float(balance.push[k])),
                _left(float(balance.left_out[k]), system),
            )
        )
    columns = [
        Column("Hip", "right"),
        Column("Load", "right", 1),
        Column("Foot up", "right", 1),
        Column("Hold-down", "right", 1),
        Column("Tie inwards", "right", 1),
        Column("Wall less loads", "right", 1),
        Column("Hub outwards", "right", 1),
        Column("Left over", "right", 1),
    ]
    return ruled(columns, alike_rows(rows))


def _left(value: float, system: System) -> str:
    """What a sum leaves over, to the hundredth.

    >>> _left(0.0004, "si"), _left(-4.448, "us")
    ('0.00 N', '1.00 lb')
    """
    return f"{abs(value) / parse('1 lb', 'force') if system == 'us' else abs(value):.2f} " + (
        "lb" if system == "us" else "N"
    )


def alike_rows(rows: Sequence[tuple[str, ...]], first: int = 1) -> list[list[str]]:
    """Rows under their numbers, those that read alike together: ``1 to 10``.

    >>> alike_rows([("a",), ("a",), ("b",)])
    [['1 to 2', 'a'], ['3', 'b']]
    """
    found, at = [], first
    for row, same in groupby(rows):
        count = len(list(same))
        name = str(at) if count == 1 else f"{at} to {at + count - 1}"
        found.append([name, *row])
        at += count
    return found


def _lifting(design: Designed) -> list[Block]:
    """Hold-downs over all states."""
    reactions = np.asarray(design.forces.foot_reaction)
    lows = reactions.min(axis=0)
    if not (lows < -0.5).any():
        return [para("In no combination does a foot lift: no hold-down is asked for by the roof.")]
    rows = []
    for foot, low in enumerate(lows):
        row = first_largest(-reactions[:, foot])
        said = show(max(-float(low), 0.0), "force", design.job.show)
        rows.append((said, design.forces.states[row].id if low < -0.5 else ""))
    columns = [Column("Foot", "right"), Column("Hold-down", "right"), Column("in", width=1)]
    return [heading("Hold-downs over all combinations"), ruled(columns, alike_rows(rows))]


def pulls_page(design: Bound) -> Page:
    """Pull of every leg over all combinations."""
    forces, system = design.forces, design.job.show
    blocks: list[Block] = [
        para("Pull of each leg", "title"),
        para(
            "Over every combination, pattern and direction. Azimuth in degrees, clockwise from leg "
            "1 as seen from above."
        ),
        pulls_table(leg_pulls(design), design),
    ]
    facts = []
    ring = ring_pull(design)
    if ring is not None:
        facts.append(("Ring", f"{show(ring, 'force', system)} in a side, the largest"))
    grown = float(np.nanmax(forces.amplification))
    facts += [
        ("Prop under the hub", f"{show(forces.setting.prop_force, 'force', system)} while set"),
        ("Second order", f"pulls at most {grown:.3f} times those on the roof as drawn"),
        ("Displaced roof", DISPLACED),
        ("Proved", proof_words(design.tie, forces)),
        ("Combinations", f"{len(forces.states)} solved"),
    ]
    blocks += [pairs(facts), *_band(design)]
    blocks += [heading("The hardest state of every equation"), _states(design)]
    return Page(tuple(blocks))


def _band(design: Bound) -> list[Block]:
    """Between which pulls the legs may be set, where the job asks for a pull."""
    band, system = design.band, design.job.show
    if band is None:
        return []
    least = "none is too little" if band.low is None else show(band.low, "force", system)
    most = "none is too much" if band.high is None else show(band.high, "force", system)
    rows = [
        ("Set to", f"{show(design.tie.target, 'force', system)}, the mean of all legs"),
        ("Least", f"{least}: {band.low_why}"),
        ("Most", f"{most}: {band.high_why}"),
    ]
    if band.status == "none":
        rows.append(("Band", "NONE: the two cross"))
    return [heading("Between which pulls the legs may be set"), pairs(rows), listed(band.told)]


def pulls_table(pulls: Sequence[LegPull], design: Designed) -> Block:
    """Largest and least pull of every leg."""
    system = design.job.show
    rows = [
        (
            str(leg.leg),
            f"{round(leg.azimuth_deg, 1) % 360:05.1f}",
            show(leg.most, "force", system),
            leg.most_in,
            show(leg.least, "force", system),
            leg.least_in,
        )
        for leg in pulls
    ]
    columns = [
        Column("Leg", "right"),
        Column("Azimuth", "right"),
        Column("Largest", "right"),
        Column("in", width=1),
        Column("Least", "right"),
        Column("in", width=1),
    ]
    return ruled(columns, rows)


def _states(design: Designed) -> Block:
    """Of every equation and pattern the state that pulls hardest."""
    forces, system = design.forces, design.job.show
    best: dict[tuple[str, str], int] = {}
    for row, state in enumerate(forces.states):
        key = (state.case.equation, state.case.pattern)
        if key not in best or forces.leg_pull[row].max() > forces.leg_pull[best[key]].max():
            best[key] = row
    rows = [
        (
            forces.states[row].id,
            show(float(forces.leg_pull[row].max()), "force", system),
            show(float(forces.leg_pull[row].min()), "force", system),
            show(float(forces.head_shear[row].max()), "force", system),
            show(float(forces.spread[row].max()), "length", system),
            str(forces.states[row].case.source),
        )
        for row in best.values()
    ]
    columns = [
        Column("Combination", width=1.3),
        Column("Largest", "right"),
        Column("Least", "right"),
        Column("Hub shear", "right"),
        Column("Spread", "right"),
        Column("Clause", width=1.2),
    ]
    return ruled(columns, rows, size=0.84)


def ranking_page(design: Designed) -> Page:
    """The weakest-part list."""
    return Page(
        (
            para("Weakest part first", "title"),
            para(
                "Used is what a part is asked over what it gives; above 1 it does not pass. Advice "
                "stands beside the verdict and does not decide. The number is that of the working."
            ),
            ranking_table(design),
            *_settle(design),
        )
    )


def _settle(design: Designed) -> list[Block]:
    told = [check for check in design.checks.checks if check.status != "passes"]
    if not told:
        return []
    said = [f"{check.id}{'' if check.decides else ' (advice)'}: {check.why}" for check in told]
    return [heading("What must be settled"), listed(said)]


def ranking_table(design: Designed, most: int | None = None) -> Block:
    """Parts, worst first; ``most`` limits how many."""
    rows = []
    for number, check in enumerate(design.checks.checks[:most], start=1):
        asked, given = asks_and_gives(check, design.job.show)
        used = "" if check.utilisation is None else share(check.utilisation)
        where = check.part + (f", leg {check.leg}" if check.leg is not None else "")
        status = status_words(check.status, design.job) if check.decides else "advice"
        rows.append((str(number), where, check.id, asked, given, used, status, check.combination))
    columns = [
        Column("No.", "right"),
        Column("Part"),
        Column("Check"),
        Column("Asks", "right"),
        Column("Gives", "right"),
        Column("Used", "right"),
        Column("Status"),
        Column("in", width=1),
    ]
    return ruled(columns, rows, size=0.86)


def check_pages(design: Designed) -> Page:
    """Every check with its working."""
    blocks = [
        para("Every check, with its working", "title"),
        para(
            "In each line: a symbol, what it is, the same in numbers, and what it comes to. Every "
            "number stands in the job, in a catalogue row or in a line above. * is times, ** is to "
            "the power of; sin_deg, cos_deg and tan_deg take degrees; sqrt, min and max are what "
            "they say."
        ),
    ]
    blocks += [
        check_block(check, number, design)
        for number, check in enumerate(design.checks.checks, start=1)
    ]
    return Page(tuple(blocks))


def check_block(check: Check, number: int, design: Designed) -> Block:
    """One check: facts, why, working, clauses."""
    asked, given = asks_and_gives(check, design.job.show)
    used = "-" if check.utilisation is None else share(check.utilisation)
    status = status_words(check.status, design.job) + ("" if check.decides else " (advice)")
    leg = f", leg {check.leg}" if check.leg is not None else ""
    return {
        "kind": "check",
        "title": f"{number}  {check.id}: {check.part}{leg}",
        "facts": [["Asks", asked], ["Gives", given], ["Used", used], ["Status", status]],
        "state": f"In {check.combination}." if check.combination else "",
        "why": check.why,
        "lines": working_rows(check.working),
        "clauses": f"Clauses: {'; '.join(map(str, check.sources))}.",
    }


def working_rows(lines: Sequence[Line]) -> list[dict[str, str]]:
    """Lines of working as they are printed; a figure only looked up is not told twice."""
    return [
        {
            "symbol": line.symbol,
            "formula": line.formula,
            "numbers": "" if line.numbers == f"{line.value:.6g}" else line.numbers,
            "value": value_of(line),
        }
        for line in lines
    ]
