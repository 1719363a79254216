"""What to buy: every part with its standard and spares, rope by the reel, and what it costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from rafterstay.core.quantities import show
from rafterstay.core.tables import table
from rafterstay.shop.allowances import EYES
from rafterstay.shop.effort import TABLES
from rafterstay.shop.reels import Reel, ReelPlan, Stock, plan_reels
from rafterstay.shop.steps import above, below
from rafterstay.shop.trial import REFERENCE

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope
    from rafterstay.core.quantities import System
    from rafterstay.job import Job
    from rafterstay.shop.nouns import Cutting, RingSteel
    from rafterstay.tie.nouns import Tie

__all__ = ["RING_ASK", "SOLD", "Item", "RopeOrder", "Shopping", "shopping", "standard_of"]

SOLD: Final = {
    "us": tuple(feet * 0.3048 for feet in (50, 100, 250, 500, 1000)),
    "si": (25.0, 50.0, 100.0, 200.0, 300.0),
}
"""Lengths that rope is sold in where none are named: common practice, no source. [m]"""

_FOOT: Final = 0.3048  # [m]
_BY: Final = {"us": "ft", "si": "m"}
_RAGGED: Final = 0.0508  # [m] cut off the loose end of a reel: common practice
_PARTING: Final = 0.003  # [m] lost at every cut: common practice
_ABOUT_PIN: Final = 20.0  # [-] rope diameters of an eye about a pin of 4 to 5: common practice
RING_ASK: Final = "mill certificate of the steel; the sheet of the ring goes with the order"
SPARE: Final = 1  # of each part, for the spare leg


@dataclass(frozen=True)
class Item:
    """One line of the shopping list.

    Attributes:
        part: What kind of part.
        name: Of the catalogue.
        count: For the legs.
        spare: For the spare leg and the test eyes.
        standard: What it must be made to.
        ask: What to ask for besides.
        price: Of one; None where the job states none.
    """

    part: str
    name: str
    count: int
    spare: int
    standard: str
    ask: str
    price: float | None

    @property
    def cost(self) -> float | None:
        """Of all, spares too.

        Returns:
            None where no price is stated. [currency of the job]
        """
        return None if self.price is None else self.price * (self.count + self.spare)


@dataclass(frozen=True)
class RopeOrder:
    """One kind of rope: its cutting order.

    Attributes:
        rope: Its name.
        plan: Which piece comes off which reel.
        test_steps: Length of the test piece that every reel gives, in steps.
        tests: How many test pieces each reel gives: one for every tool.
        standard: What it must be made to.
        ask: What to ask for besides.
        price: Of a metre; None where the job states none.
        step: Of the tape. [m]
    """

    rope: str
    plan: ReelPlan
    test_steps: int
    tests: int
    standard: str
    ask: str
    price: float | None
    step: float

    @property
    def bought(self) -> float:
        """Length to buy. [m]"""
        return self.plan.bought * self.step

    @property
    def waste(self) -> float:
        """What stays on the reels. [m]"""
        return sum(reel.left for reel in self.plan.reels) * self.step

    def test_pieces(self, reel: Reel) -> tuple[tuple[int, int], ...]:
        """Where the test pieces of a reel start and end, in steps: before all others."""
        start = above(_RAGGED, self.step)
        each = self.test_steps + reel.stock.loss
        return tuple(
            (start + k * each, start + k * each + self.test_steps) for k in range(self.tests)
        )

    @property
    def cost(self) -> float | None:
        """Of what is bought.

        Returns:
            None where no price is stated. [currency of the job]
        """
        return None if self.price is None else self.price * self.bought


@dataclass(frozen=True)
class Shopping:
    """The shopping list.

    Attributes:
        items: Parts.
        ropes: Ropes.
        currency: Of the prices.
        unpriced: Parts the job states no price for.
        total: Of what is priced; None where nothing is.
    """

    items: tuple[Item, ...]
    ropes: tuple[RopeOrder, ...]
    currency: str
    unpriced: tuple[str, ...]
    total: float | None


def shopping(
    job: Job,
    tie: Tie,
    cutting: Cutting,
    *,
    sold: Sequence[float] = (),
    at_hand: Sequence[float] = (),
    tools: int = 1,
) -> Shopping:
    """The shopping list of a cut list.

    Args:
        job: Its prices and units.
        tie: Its parts.
        cutting: Its pieces.
        sold: Lengths the rope is sold in; common lengths where empty. [m]
        at_hand: Leg rope that lies at hand. [m]
        tools: How many pressing tools are used: each is tested on every reel.

    Returns:
        Parts and ropes.

    Raises:
        InputError: IN-068 a piece is longer than the longest rope sold.
    """
    ropes = _ropes(job, tie, cutting, sold=sold, at_hand=at_hand, tools=tools)
    tests = {order.rope: len(order.plan.reels) * order.tests for order in ropes}
    items = _items(job, tie, cutting, tests)
    costs = {item.part: item.cost for item in items} | {r.rope: r.cost for r in ropes}
    known = [cost for cost in costs.values() if cost is not None]
    return Shopping(
        items,
        ropes,
        job.prices.currency,
        tuple(part for part, cost in costs.items() if cost is None),
        sum(known) if known else None,
    )


def _ropes(
    job: Job,
    tie: Tie,
    cutting: Cutting,
    *,
    sold: Sequence[float],
    at_hand: Sequence[float],
    tools: int,
) -> tuple[RopeOrder, ...]:
    """One order a rope; the ring's rope may be the legs' too."""
    legs = {f"leg {piece.leg} {piece.end}": piece.cut_steps for piece in cutting.pieces}
    for end in dict.fromkeys(piece.end for piece in cutting.pieces):
        longest = max(p.cut_steps for p in cutting.pieces if p.end == end)
        legs[f"spare {end}"] = longest
    ring = {}
    if cutting.ring is not None:
        named = ("ring", "second ring")[: cutting.ring.ropes]
        ring = dict.fromkeys(named, cutting.ring.cut_steps)
    lengths = sold or SOLD[job.show]
    prices = job.prices
    unit = _FOOT if (prices.rope_by or _BY[job.show]) == "ft" else 1.0
    alike = tie.ring_rope.name == tie.rope.name
    if alike:
        legs |= ring
    stock = _Stock(cutting, tuple(lengths), tuple(at_hand), tools)
    orders = [_order(tie.rope, legs, stock, _per_metre(prices.rope, unit))]
    if ring and not alike:
        alone = _Stock(cutting, tuple(lengths), (), tools)
        orders.append(_order(tie.ring_rope, ring, alone, _per_metre(prices.ring_rope, unit)))
    return tuple(orders)


def _per_metre(price: float | None, unit: float) -> float | None:
    return None if price is None else price / unit


@dataclass(frozen=True)
class _Stock:
    cutting: Cutting
    sold: tuple[float, ...]
    at_hand: tuple[float, ...]
    tools: int


def _order(rope: Rope, pieces: dict[str, int], stock: _Stock, price: float | None) -> RopeOrder:
    step, tools = stock.cutting.step, stock.tools
    test = above(_test_length(stock.cutting, rope), step) if tools else 0
    loss = above(_PARTING, step)
    spare = above(_RAGGED, step) + tools * (test + loss)
    lying = Counter(below(length, step) for length in stock.at_hand)
    stocks = [Stock(below(length, step), spare, loss) for length in stock.sold]
    stocks += [Stock(length, spare, loss, at_hand=count) for length, count in lying.items()]
    plan = plan_reels(pieces, stocks)
    standard, ask = standard_of("rope", rope.name)
    return RopeOrder(rope.name, plan, test, tools, standard, ask, price, step)


def _test_length(cutting: Cutting, rope: Rope) -> float:
    """Rope of a test piece: an eye at either end, of a ring's rope about a pin. [m]"""
    eye, ring = cutting.eye, cutting.ring
    if ring is None or ring.rope != rope.name or rope.diameter == eye.diameter:
        return 2 * (eye.dead + eye.loop) + REFERENCE
    return 2 * (ring.lap / 2 + _ABOUT_PIN * rope.diameter) + REFERENCE


def _items(job: Job, tie: Tie, cutting: Cutting, tests: Mapping[str, int]) -> tuple[Item, ...]:
    n, prices = len(cutting.bodies), job.prices
    eyes, spare_eyes = EYES * n, EYES * SPARE + 2 * tests[tie.rope.name]
    # The legs of a band share their bolts; a tie straight across has one at either end.
    bolts, hung = (2 * n if tie.layout == "cross" else n), (n if tie.layout == "ring" else 2 * n)
    rows = [
        ("turnbuckle", tie.turnbuckle.name, n, SPARE, prices.turnbuckle),
        ("bolt", tie.bolt.name, bolts, SPARE, prices.bolt),
        ("thimble", tie.thimble.name, eyes, spare_eyes, prices.thimble),
        ("sleeve", tie.sleeve.name, eyes, spare_eyes, prices.sleeve),
    ]
    if tie.ring == "plate" and tie.layout == "ring":
        hung *= 2
    if job.parts.shackle != "none":
        rows.insert(2, ("shackle", str(job.parts.shackle), hung, SPARE, None))
    items = [
        Item(part, name, count, spare, *standard_of(part, name), price)
        for part, name, count, spare, price in rows
    ]
    ring = cutting.ring
    if cutting.steel is not None:
        items.append(_ring_of_steel(cutting.steel, job.show))
    if ring is None:
        return tuple(items)
    laps = ring.ropes * ring.sleeves
    if ring.sleeve == tie.sleeve.name:
        joint = items[-1]
        items[-1] = replace(joint, count=joint.count + laps)
        return tuple(items)
    said = ring.sleeve or f"{tie.sleeve.material} oval for rope {ring.rope}"
    standard, ask = standard_of("sleeve", tie.sleeve.name)
    if not ring.sleeve:
        ask += "; not in the catalogue: take the rope maker's own"
    spare = ring.sleeves + 2 * tests.get(ring.rope, 0)
    items.append(Item("ring sleeve", said, laps, spare, standard, ask, None))
    return tuple(items)


def _ring_of_steel(steel: RingSteel, system: System) -> Item:
    size, over = (show(each, "length", system) for each in (steel.size, steel.outside))
    if steel.kind == "bar":
        name = f"welded of round bar {size}, {steel.steel}, {over} over all"
    else:
        name = f"plate {size}, {steel.steel}, {over} across, {len(steel.turns_deg)} holes"
    return Item("ring", name, 1, 0, steel.steel, RING_ASK, None)


def standard_of(part: str, name: str) -> tuple[str, str]:
    """Standard and what to ask for; of a part the table does not know, its maker's sheet."""
    for row in table(TABLES, "standards"):
        if row.printed["part"] == part and name.startswith(row.printed["mark"]):
            return row.printed["standard"], row.printed["ask"]
    return "its maker's data sheet", "a sheet that states its working load"
