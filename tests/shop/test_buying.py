"""What is bought: counts by hand, standards, spares, rope and prices."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rafterstay import shop
from rafterstay.core.errors import InputError
from rafterstay.core.tables import table
from rafterstay.shop.buying import shopping
from rafterstay.shop.effort import TABLES
from tests.shop.benches import designed, unequal
from tests.statics.roofs import stated


def bought(name: str, **more: object):  # type: ignore[no-untyped-def]
    done = designed(name)
    cutting = shop.cut(done.job, done.tie, done.forces, legs=unequal(name))
    return cutting, shopping(done.job, done.tie, cutting, **more)  # type: ignore[arg-type]


def test_counts_are_those_of_the_legs_a_spare_leg_and_the_test_eyes() -> None:
    """Seven legs of four eyes; spare leg four; two eyes on the test piece of every reel."""
    cutting, list_ = bought("seven", sold=(25.0,), tools=2)
    (rope,) = list_.ropes
    reels = len(rope.plan.reels)
    assert reels >= 2
    by_part = {item.part: (item.count, item.spare) for item in list_.items}
    assert by_part == {
        "turnbuckle": (7, 1),
        "bolt": (7, 1),
        "thimble": (28, 4 + 2 * 2 * reels),
        "sleeve": (28 + 2, 4 + 2 * 2 * reels),  # two close the ring, of the same rope
    }
    assert len(cutting.pieces) == 14


def test_every_piece_the_spare_leg_and_the_ring_are_cut() -> None:
    cutting, list_ = bought("seven")
    (rope,) = list_.ropes
    lengths = {cut.piece: cut.end - cut.start for reel in rope.plan.reels for cut in reel.cuts}
    wanted = {f"leg {piece.leg} {piece.end}": piece.cut_steps for piece in cutting.pieces}
    for end in ("outer", "inner"):
        wanted[f"spare {end}"] = max(p.cut_steps for p in cutting.pieces if p.end == end)
    assert lengths == wanted | {"ring": cutting.ring.cut_steps}


def test_every_reel_of_the_legs_gives_its_test_pieces_first() -> None:
    cutting, list_ = bought("octagon", sold=(15.24,), tools=3)
    legs, ring = list_.ropes
    for reel in legs.plan.reels:
        ends = legs.test_pieces(reel)
        assert len(ends) == 3
        assert ends[0][0] * legs.step == pytest.approx(2 * 0.0254)
        assert all(end - start == legs.test_steps for start, end in ends)
        assert ends[-1][1] + reel.stock.loss == reel.cuts[0].start
    assert legs.test_steps * legs.step > 2 * (cutting.eye.loop + cutting.eye.dead)
    # The ring's own rope is another reel, so its lap and tool are tested too.
    assert len(ring.test_pieces(ring.plan.reels[0])) == 3


@pytest.mark.parametrize(
    ("name", "legs", "bolts", "shackles"),
    [("seven", 7, 7, 7), ("band", 6, 6, 12), ("cross", 4, 8, 8), ("gable", 7, 14, 14)],
)
def test_parts_are_counted_for_every_layout(
    name: str, legs: int, bolts: int, shackles: int
) -> None:
    """By hand: legs of a band share bolts, a tie straight across has one at either end."""
    done = designed(name)
    job = replace(done.job, parts=replace(done.job.parts, shackle="anchor 1/2 in"))
    cutting = shop.cut(job, done.tie, done.forces)
    items = {item.part: item for item in shopping(job, done.tie, cutting).items}
    counts = {part: items[part].count for part in ("turnbuckle", "bolt", "shackle", "thimble")}
    assert counts == {
        "turnbuckle": legs,
        "bolt": bolts,
        "shackle": shackles,
        "thimble": 4 * legs,
    }
    assert items["shackle"].standard.startswith("RR-C-271")


def test_without_a_ring_no_ring_rope_is_bought() -> None:
    for name in ("band", "cross", "gable"):
        cutting, list_ = bought(name)
        assert cutting.ring is None
        assert [order.rope for order in list_.ropes] == [designed(name).tie.rope.name]
        assert "ring sleeve" not in [item.part for item in list_.items]
        cuts = [cut.piece for reel in list_.ropes[0].plan.reels for cut in reel.cuts]
        assert len(cuts) == len(set(cuts)) == 2 * len(cutting.bodies) + 2
        assert {"leg 1 first", "leg 1 second", "spare first", "spare second"} <= set(cuts)


def test_two_ring_ropes_are_bought_with_four_sleeves() -> None:
    done = designed("octagon")
    tie = replace(done.tie, ring_ropes=2)
    cutting = shop.cut(done.job, tie, done.forces, legs=unequal("octagon"))
    list_ = shopping(done.job, tie, cutting)
    (ring,) = [order for order in list_.ropes if order.rope == tie.ring_rope.name]
    cuts = [cut.piece for reel in ring.plan.reels for cut in reel.cuts]
    assert sorted(cuts) == ["ring", "second ring"]
    assert [item.count for item in list_.items if item.part == "ring sleeve"] == [4]


def test_every_part_has_a_standard() -> None:
    for name in ("octagon", "seven", "reading-room", "band", "cross", "gable"):
        _, list_ = bought(name)
        told = [item.standard for item in list_.items] + [rope.standard for rope in list_.ropes]
        assert all(word != "its maker's data sheet" for word in told)
    marks = [(row.printed["part"], row.printed["standard"]) for row in table(TABLES, "standards")]
    # Value from memory, 75 %: numbers of the standards that such parts are sold to.
    assert ("turnbuckle", "ASTM F1145 type 1") in marks
    assert ("bolt", "ASTM A307") in marks
    assert ("thimble", "FF-T-276 type III") in marks


PRICES = {
    "prices__rope": "1.37",
    "prices__ring_rope": "2.03",
    "prices__turnbuckle": "18.65",
    "prices__bolt": "4.10",
    "prices__thimble": "0.92",
    "prices__sleeve": "0.43",
}


def test_cost_by_hand_with_rope_by_the_foot() -> None:
    """Octagon: 9 bodies, 9 bolts, 32 + 4 + 2 thimbles and sleeves on one reel of 250 ft."""
    done = designed("octagon")
    job = replace(done.job, prices=stated("octagon", **PRICES).prices)
    cutting = shop.cut(job, done.tie, done.forces)
    list_ = shopping(job, done.tie, cutting, sold=(250 * 0.3048,))
    parts = 9 * 18.65 + 9 * 4.10 + 38 * 0.92 + 38 * 0.43
    assert list_.total == pytest.approx(parts + 250 * 1.37 + 250 * 2.03)
    assert list_.unpriced == ("ring sleeve",)
    by_metre = replace(job, prices=replace(job.prices, rope_by="m"))
    metres = shopping(by_metre, done.tie, cutting, sold=(250 * 0.3048,))
    assert metres.total == pytest.approx(parts + 76.2 * (1.37 + 2.03))


def test_without_prices_nothing_is_summed() -> None:
    _, list_ = bought("octagon")
    assert list_.total is None
    assert {"turnbuckle", "7x19 galvanized 1/4 in"} <= set(list_.unpriced)


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("prices__rope", "1.37 USD", "IN-002"),
        ("prices__bolt", "-4", "IN-001"),
        ("prices__rope_by", "yd", "IN-007"),
    ],
)
def test_a_price_that_cannot_be_read_is_refused(key: str, value: str, code: str) -> None:
    with pytest.raises(InputError, match=code):
        stated("octagon", **{key: value})


def test_a_price_left_out_is_not_assumed() -> None:
    job = stated("octagon")
    assert (job.prices.rope, job.prices.rope_by) == (None, None)
    assert not any("prices.rope" in one.key for one in job.assumed)


def test_a_piece_longer_than_the_rope_sold_is_refused() -> None:
    with pytest.raises(InputError, match="IN-068"):
        bought("octagon", sold=(1.5,))
