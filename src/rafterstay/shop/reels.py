"""Which piece comes off which reel, in which order, and how near that is to the best there is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, gcd
from time import monotonic
from typing import Final, Literal

from rafterstay.core.errors import Finding, InputError
from rafterstay.shop.patterns import Column, choose_columns

__all__ = ["Cut", "Reel", "ReelPlan", "Stock", "plan_reels"]

Method = Literal["nothing bought", "first fit", "fullest reels", "patterns"]
_TIME: Final = 3.5  # [s] for the search after first fit
_MOST_BOUND: Final = 100_000  # units of length up to which reels are counted whole


@dataclass(frozen=True)
class Stock:
    """A length of rope that is sold or lies at hand, in steps.

    Attributes:
        length: Of the rope on it.
        spare: Taken off every reel opened: its ragged end and a test eye.
        loss: Taken off at every cut.
        at_hand: How many lie at hand and need not be bought; None for a length that is sold.
    """

    length: int
    spare: int = 0
    loss: int = 0
    at_hand: int | None = None

    @property
    def room(self) -> int:
        """For pieces, each with its loss."""
        return self.length - self.spare


@dataclass(frozen=True)
class Cut:
    """One piece on a reel, in steps from the reel's loose end."""

    piece: str
    start: int
    end: int


@dataclass(frozen=True)
class Reel:
    """What is cut from one reel, in order; the rest is waste, or the next job's rope."""

    stock: Stock
    cuts: tuple[Cut, ...]

    @property
    def left(self) -> int:
        """Rope that stays on the reel, in steps."""
        return self.stock.length - (self.cuts[-1].end + self.stock.loss if self.cuts else 0)


@dataclass(frozen=True)
class ReelPlan:
    """A cutting order for one kind of rope.

    Attributes:
        reels: In the order they are opened.
        bought: Length to buy, in steps.
        bound: No plan can buy less than this, in steps.
        method: How it was found.
        told: What stopped a better answer; empty where the plan is proved best.
    """

    reels: tuple[Reel, ...]
    bought: int
    bound: int
    method: Method
    told: str = ""

    @property
    def gap(self) -> float:
        """How much more is bought than the bound, over what is bought. [-]"""
        return (self.bought - self.bound) / self.bought if self.bought else 0.0


def plan_reels(
    pieces: Mapping[str, int], stocks: Sequence[Stock], *, time_limit: float = _TIME
) -> ReelPlan:
    """Cut every piece from as little bought rope as can be.

    First fit and reels filled to the brim are tried on every length; where neither meets the
    lower bound, patterns of cuts are searched with a mixed-integer solver.

    Args:
        pieces: Name and length in steps.
        stocks: Lengths sold, and reels at hand, which are used first.
        time_limit: For the search. [s]

    Returns:
        The plan, with a bound that proves how good it is.

    Raises:
        InputError: IN-068 a piece is longer than the longest rope.

    Source: P. C. Gilmore and R. E. Gomory (1961), A linear programming approach to the
        cutting stock problem; A. A. Farley (1990) for the bound

    >>> plan = plan_reels({"a": 60, "b": 50, "c": 40, "d": 50}, [Stock(100)])
    >>> plan.bought, plan.gap, plan.method
    (200, 0.0, 'first fit')
    """
    begun = monotonic()
    wanted = sorted(pieces, key=lambda name: (-pieces[name], name))
    _require_room(pieces, stocks)
    left, used = _use_at_hand(pieces, wanted, stocks)
    sold = sorted({s for s in stocks if s.at_hand is None}, key=lambda s: s.length)
    if not left:
        return ReelPlan(tuple(used), 0, 0, "nothing bought")
    unit = gcd(*(stock.length for stock in sold))
    reels, method = _greedy(pieces, left, sold)
    bound = _volume_bound(pieces, left, sold, unit)
    bought = sum(reel.stock.length for reel in reels)
    if bought == bound:
        return ReelPlan((*used, *reels), bought, bound, method, _at_hand(used))
    found = choose_columns(
        [pieces[name] for name in left],
        [(stock.length, stock.room, stock.loss) for stock in sold],
        start=[_column(reel, pieces, sold) for reel in reels],
        seconds=max(0.5, time_limit - (monotonic() - begun)),
    )
    bound = max(bound, ceil(found.bound / unit - 1e-6) * unit)
    better = _laid_out(found.columns, pieces, left, sold)
    spent = sum(reel.stock.length for reel in better)
    if better and spent < bought:
        told = found.told if spent > bound else ""
        return ReelPlan((*used, *better), spent, bound, "patterns", told or _at_hand(used))
    told = "" if bought == bound else found.told or "no better plan was found"
    return ReelPlan((*used, *reels), bought, bound, method, told or _at_hand(used))


def _at_hand(used: Sequence[Reel]) -> str:
    return "best for what is left after the rope at hand was used first" if used else ""


def _require_room(pieces: Mapping[str, int], stocks: Sequence[Stock]) -> None:
    sold = [stock for stock in stocks if stock.at_hand is None]
    most = max((stock.room - stock.loss for stock in sold), default=0)
    long = [name for name, length in pieces.items() if length > most]
    if long:
        raise InputError(
            Finding(
                "IN-068",
                key="a piece of rope",
                value=f"{long[0]}, {pieces[long[0]]} steps of the tape",
                bound=f"at most {max(most, 0)} steps, the longest rope sold less what it loses",
                remedy="Name a longer rope with --reel.",
            )
        )


def _use_at_hand(
    pieces: Mapping[str, int], wanted: Sequence[str], stocks: Sequence[Stock]
) -> tuple[list[str], list[Reel]]:
    """Fill what lies at hand, shortest first, with the longest pieces that fit."""
    left, used = list(wanted), []
    for stock in sorted((s for s in stocks if s.at_hand), key=lambda s: s.length):
        for _ in range(stock.at_hand or 0):
            taken, room = [], stock.room
            for name in left:
                if pieces[name] + stock.loss <= room:
                    taken.append(name)
                    room -= pieces[name] + stock.loss
            if taken:
                used.append(_reel(stock, taken, pieces))
                left = [name for name in left if name not in set(taken)]
    return left, used


def _greedy(
    pieces: Mapping[str, int], left: Sequence[str], sold: Sequence[Stock]
) -> tuple[list[Reel], Method]:
    """The cheaper of first fit on each length, and of filling reel after reel to the brim."""
    fitted = [_first_fit(pieces, left, stock) for stock in sold]
    plans: list[tuple[list[list[str]], Method]] = [
        (filled, "first fit") for filled in fitted if filled is not None
    ]
    plans += [(filled, "fullest reels") for filled in _fullest(pieces, left, sold)]
    laid = [
        ([_reel(_shortest(names, pieces, sold), names, pieces) for names in filled], method)
        for filled, method in plans
    ]
    # Of equal length fewer reels are better: every reel costs a test eye.
    return min(laid, key=lambda plan: (sum(r.stock.length for r in plan[0]), len(plan[0])))


def _first_fit(
    pieces: Mapping[str, int], left: Sequence[str], stock: Stock
) -> list[list[str]] | None:
    filled: list[list[str]] = []
    rooms: list[int] = []
    for name in left:
        need = pieces[name] + stock.loss
        if need > stock.room:
            return None
        k = next((k for k, room in enumerate(rooms) if need <= room), len(rooms))
        if k == len(rooms):
            filled.append([])
            rooms.append(stock.room)
        filled[k].append(name)
        rooms[k] -= need
    return filled


def _fullest(
    pieces: Mapping[str, int], left: Sequence[str], sold: Sequence[Stock]
) -> Iterator[list[list[str]]]:
    """Reels of one length, each filled as full as can be; then the rest on another length."""
    for main in sold:
        for rest in sold:
            whole, names = [], list(left)
            while names:
                need = sum(pieces[name] + rest.loss for name in names)
                stock = rest if need <= max(rest.room, main.length - 1) else main
                taken = _brim(pieces, names, stock)
                if not taken:
                    break
                whole.append(taken)
                names = [name for name in names if name not in set(taken)]
            if not names:
                yield whole


def _brim(pieces: Mapping[str, int], names: Sequence[str], stock: Stock) -> list[str]:
    """The longest piece and those that fill the reel best beside it: sums of subsets, as bits."""
    first = next((name for name in names if pieces[name] + stock.loss <= stock.room), None)
    if first is None:
        return []
    room = stock.room - pieces[first] - stock.loss
    others = [name for name in names if name != first and pieces[name] + stock.loss <= room]
    mask, reached = (1 << (room + 1)) - 1, [1]
    for name in others:
        reached.append((reached[-1] | reached[-1] << (pieces[name] + stock.loss)) & mask)
    taken, at = [first], reached[-1].bit_length() - 1
    for k in range(len(others) - 1, -1, -1):
        if not reached[k] >> at & 1:
            taken.append(others[k])
            at -= pieces[others[k]] + stock.loss
    return taken


def _shortest(names: Sequence[str], pieces: Mapping[str, int], sold: Sequence[Stock]) -> Stock:
    fits = (s for s in sold if sum(pieces[name] + s.loss for name in names) <= s.room)
    return min(fits, key=lambda stock: stock.length)


def _reel(stock: Stock, names: Sequence[str], pieces: Mapping[str, int]) -> Reel:
    at, cuts = stock.spare, []
    for name in names:
        cuts.append(Cut(name, at, at + pieces[name]))
        at += pieces[name] + stock.loss
    return Reel(stock, tuple(cuts))


def _volume_bound(
    pieces: Mapping[str, int], left: Sequence[str], sold: Sequence[Stock], unit: int
) -> int:
    """Least length of whole reels that could hold the pieces if they were poured in."""
    loss = min(stock.loss for stock in sold)
    need = sum(pieces[name] + loss for name in left)
    ratio = ceil(min(need * s.length / s.room for s in sold if s.room > 0) / unit - 1e-9)
    lengths = [(stock.length // unit, stock.room) for stock in sold]
    most = ratio + max(length for length, _ in lengths)
    if most > _MOST_BOUND:
        return ratio * unit
    room = [0] + [-1] * most
    for total in range(1, most + 1):
        held = [room[total - n] + r for n, r in lengths if n <= total and room[total - n] >= 0]
        room[total] = max(held, default=-1)
    return next((t for t in range(ratio, most + 1) if room[t] >= need), ratio) * unit


def _column(reel: Reel, pieces: Mapping[str, int], sold: Sequence[Stock]) -> Column:
    lengths: dict[int, int] = {}
    for piece in reel.cuts:
        length = pieces[piece.piece]
        lengths[length] = lengths.get(length, 0) + 1
    return Column(list(sold).index(reel.stock), tuple(sorted(lengths.items())))


def _laid_out(
    columns: Sequence[Column],
    pieces: Mapping[str, int],
    left: Sequence[str],
    sold: Sequence[Stock],
) -> list[Reel]:
    """Reels of the chosen columns; a piece that two columns hold is cut once."""
    waiting: dict[int, list[str]] = {}
    for name in left:
        waiting.setdefault(pieces[name], []).append(name)
    reels = []
    for column in columns:
        names = []
        for length, count in sorted(column.lengths, reverse=True):
            names += waiting[length][:count]
            waiting[length] = waiting[length][count:]
        if names:
            reels.append(_reel(_shortest(names, pieces, sold), names, pieces))
    return [] if any(waiting.values()) else reels
