"""The cut list's buying, cutting order, pressing, proof, effort and labels."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rafterstay.cli.cut_words import (
    force_said,
    length_said,
    listed,
    merged,
    steps_said,
    titled,
)
from rafterstay.cli.report import Align, table_text
from rafterstay.shop.effort import bench_said
from rafterstay.shop.labels import READ_FROM, letter_height
from rafterstay.shop.press_log import TEST_SHARE, allowed_orders

if TYPE_CHECKING:
    from rafterstay.cli.cut_list import CutList
    from rafterstay.shop.buying import RopeOrder
    from rafterstay.shop.proof import Cap

__all__ = ["buying", "effort", "labels", "pressing", "proof", "reels"]

_WHERE: Final = {
    "roof": "Proof pull against the roof, or on a bench",
    "bench": (
        "No pull that proves a leg may be put on this roof: prove each eye by itself on a bench"
    ),
    "undecided": (
        "Before an engineer has decided on the connection no pull may be put on this roof: prove "
        "each eye by itself on a bench"
    ),
    "none": "No proof pull is possible: the parts are too light for the service pull",
}


def buying(done: CutList) -> str:
    """The shopping list.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    bought = done.shopping
    rows = [
        (item.part, item.name, f"{item.count} + {item.spare}", item.standard, item.cost)
        for item in bought.items
    ]
    rows += [
        ("rope", order.rope, length_said(done, order.bought, "up"), order.standard, order.cost)
        for order in bought.ropes
    ]
    columns: list[tuple[str, Align]] = [
        ("Part", "left"),
        ("Ask for", "left"),
        ("Count + spare", "right"),
        ("Must meet", "left"),
    ]
    priced = bought.total is not None
    if priced:
        columns.append(("Cost", "right"))
    cells = [(*row[:4], *([_money(row[4], bought.currency)] if priced else [])) for row in rows]
    asks: dict[str, list[str]] = {}
    for name, ask in [
        *((item.part, item.ask) for item in bought.items),
        *((order.rope, order.ask) for order in bought.ropes),
    ]:
        asks.setdefault(ask, []).append(name)
    total = "The job states no prices: see [prices]."
    if bought.total is not None:
        without = f", without {', '.join(bought.unpriced)}" if bought.unpriced else ""
        total = f"In all {_money(bought.total, bought.currency)}{without}."
    said = [f"{', '.join(names)}: {ask}." for ask, names in asks.items()]
    spares = "Spares are for one spare leg and for the trial and test eyes."
    return titled("To buy", table_text(columns, cells), listed([*said, spares, total]))


def _money(cost: float | None, currency: str) -> str:
    return "--" if cost is None else f"{cost:,.2f} {currency}"


def reels(done: CutList, order: RopeOrder) -> str:
    """The cutting order of one rope.

    Args:
        done: A finished cut list.
        order: The rope.

    Returns:
        A section.
    """
    blocks = []
    for number, reel in enumerate(order.plan.reels, start=1):
        rows = [
            ("trial and test eye", steps_said(done, start), steps_said(done, end))
            for start, end in order.test_pieces(reel)
        ]
        rows += [
            (cut.piece, steps_said(done, cut.start), steps_said(done, cut.end)) for cut in reel.cuts
        ]
        rows.append(("left on the reel", steps_said(done, reel.stock.length - reel.left), ""))
        bought = "at hand" if reel.stock.at_hand is not None else "bought"
        head = f"{number}: {steps_said(done, reel.stock.length)}, {bought}"
        columns: list[tuple[str, Align]] = [(head, "left"), ("From", "right"), ("To", "right")]
        blocks.append(table_text(columns, rows) + "\n")
    plan = order.plan
    best = "no less can do" if plan.gap == 0 else f"at most {100 * plan.gap:.1f} % could be saved"
    left = length_said(done, order.waste)
    said = [
        (
            "Keep the tape on the rope from the reel's loose end, and cut in this order, the "
            "longest first: a piece cut short by mistake may still make a later one."
        ),
        (
            f"{length_said(done, order.bought)} to buy, {left} left over; {best} (found by "
            f"{plan.method}, bound {steps_said(done, plan.bound)})."
        ),
        *([f"{plan.told[0].upper()}{plan.told[1:]}."] if plan.told else []),
        "Other lengths are sold? Name each with --reel; rope that lies at hand with --at-hand.",
    ]
    return titled(f"Cutting order, {order.rope}", *blocks, listed(said))


def pressing(done: CutList) -> str:
    """How a sleeve is pressed, gauged and written down, and what a test eye must hold.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    sleeve, eye, tie = done.design.tie.sleeve, done.cutting.eye, done.design.tie
    orders = " or ".join(allowed_orders(sleeve.presses))
    lines = [
        (
            f"Sleeve {sleeve.name}: {sleeve.presses} presses, {orders}, counted from the thimble; "
            "never one press between two finished ones. The tool maker's table comes first."
        ),
        bench_said(tie, done.design.job.show),
        (
            f"It grows from {length_said(done, sleeve.before)} to "
            f"{length_said(done, sleeve.after)}, half each way. Rope past it: "
            f"{length_said(done, eye.tail_before)} before, "
            f"{length_said(done, eye.diameter, 'up')} to "
            f"{length_said(done, 2 * eye.diameter, 'down')} after."
        ),
        (
            "Gauge every press. A leg is not ready while a sleeve of it is not gauged; one that "
            "fails is pressed again or cut off."
        ),
        (
            "The test piece of each reel has an eye at either end, both pressed with one tool: "
            "pull it between two pins until it breaks, guarded. It must reach "
            f"{force_said(done, TEST_SHARE * tie.rope.strength, 'up')}, {TEST_SHARE:.2f} of "
            "the rope, and its sleeve must not slip."
        ),
        (
            "Write both down: --sheets DIR writes press-log.csv and pull-log.csv with a line for "
            "every sleeve and every pull; filled in, add them with --press-log FILE and "
            "--pull-log FILE."
        ),
    ]
    return titled("Pressing", listed(lines))


def proof(done: CutList) -> str:
    """How hard a leg is pulled to prove it, and the sheet to write it on.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    found = done.proof
    most = found.roof if found.where == "roof" else found.bench
    rows = [
        (
            cap.what,
            force_said(done, cap.pull, "down"),
            _counts(cap),
        )
        for cap in found.caps
    ]
    columns: list[tuple[str, Align]] = [
        ("Never above", "left"),
        ("Pull", "right"),
        ("Counts", "left"),
    ]
    upper = f", and never above {force_said(done, most, 'down')}" if found.where != "none" else ""
    lines = [
        f"{_WHERE['undecided' if found.undecided else found.where]}.",
        (
            f"Pull {force_said(done, found.least, 'up')}, 1.25 times the largest service pull of "
            f"{force_said(done, found.service, 'up')}{upper}."
        ),
        (
            "Hold it for a minute, guarded, everyone out of line; mark tails and sleeves before "
            "and look for slip after."
        ),
    ]
    if found.where == "none":
        return titled("Proof pull", listed(lines), table_text(columns, rows))
    names = ("Leg", "Scale", "Pull", "Held", "Slip", "By", "Date")
    blank = ["_" * 9] * 6
    sheet = [(str(body.leg), *blank) for body in done.cutting.bodies]
    return titled(
        "Proof pull",
        listed(lines),
        table_text(columns, rows) + "\n",
        table_text([(name, "left") for name in names], sheet),
    )


def _counts(cap: Cap) -> str:
    if not cap.against_roof:
        return "always"
    return "against the roof, if an engineer agrees" if cap.referred else "against the roof"


def effort(done: CutList) -> str:
    """Which tool closes by hand.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    rows = [
        (
            one.tool.work,
            one.tool.name,
            f"{force_said(done, one.handles[0])} to {force_said(done, one.handles[1])}",
            f"{force_said(done, one.tool.limit)}, {one.tool.how}",
            "risks the tool" if one.tool.risky else one.verdict,
        )
        for one in done.efforts
    ]
    columns: list[tuple[str, Align]] = [
        ("To", "left"),
        ("Tool", "left"),
        ("Asks at the handle", "right"),
        ("There is", "left"),
        ("Closes", "left"),
    ]
    press = next(one for one in done.efforts if one.tool.work == "press")
    lines = [
        *(_easiest(done, work, said) for work, said in (("press", "To press"), ("cut", "To cut"))),
        (
            f"A press takes {force_said(done, press.jaws[0])} to {force_said(done, press.jaws[1])} "
            "at the jaws: flow of copper x area under the die. Common practice, no source: a "
            "range, not a promise. The tool maker's word comes first."
        ),
        (
            "Where it says perhaps or no: bench mount, hydraulic tool, or have a rigging shop make "
            "the legs. A pipe or a come-along on a handle can pass what the tool is made for."
        ),
    ]
    cautions: dict[str, list[str]] = {}
    for one in done.efforts:
        cautions.setdefault(one.tool.caution, []).append(one.tool.name)
    minded = [f"{'; '.join(names)}: {caution}." for caution, names in cautions.items()]
    return titled(
        "Effort", listed(lines[:2]), table_text(columns, rows), listed([*lines[2:], *minded])
    )


def _easiest(done: CutList, work: str, said: str) -> str:
    """The first tool that closes by hand, and the first that perhaps does."""
    some = [one for one in done.efforts if one.tool.work == work and not one.tool.risky]
    sure = next((one.tool.name for one in some if one.verdict == "by hand"), "none listed")
    perhaps = next((one.tool.name for one in some if one.verdict == "perhaps"), "")
    return f"{said}: {sure} closes by hand" + (f"; {perhaps} perhaps." if perhaps else ".")


def labels(done: CutList) -> str:
    """What each tag says, how large, and how each eye stays in sight.

    Args:
        done: A finished cut list.

    Returns:
        A section.
    """
    high = letter_height(READ_FROM)
    rows = merged((label.leg, ["; ".join(label.lines[1:])]) for label in done.labels)
    columns: list[tuple[str, Align]] = [("LEG", "left"), ("and under its number", "left")]
    lines = [
        (
            f"One tag a leg, near the turnbuckle, letters {length_said(done, high, 'up')} high to "
            f"be read from {length_said(done, READ_FROM)} away."
        ),
    ]
    seen = [f"In year twenty, {one.eye}: {one.told}." for one in done.sights]
    return titled("Labels and sight", listed(lines), table_text(columns, rows), listed(seen))
