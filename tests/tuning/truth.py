"""Ties that are not the program's model: other springs, friction, backlash, slips of the reader.

Written anew on plain arrays. Only the frame's stiffness at its bolts is the program's, and that
is scaled. Legs are single springs, a sliding ring rope is held by friction at every eye, a welded
ring is a mesh of stiff bars, bodies have backlash. All builds of a batch are solved together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.tuning import Model

INCH = 0.0254
GRAVITY = 9.80665
PROP = 2e7  # the post under the hub, as in the program [N/m]
BARS = 5e7  # of the mesh that stands for a welded ring [N/m]
SHARP = 2e-6  # slip within which friction is not yet full [m]


@dataclass
class Builds:
    """A batch of b ties with n legs.

    Attributes:
        ring: ``rope-seized``, ``rope-sliding`` or ``welded``.
        frame: Stiffness on the movements that move bolts. [N/m] (b, m, m)
        reach: Bolts' displacement by them. (n, 3, m)
        bolts, eyes: As drawn. [m] (n, 3)
        leg, side: Unstretched lengths. [m] (b, n)
        leg_ea, side_ea: [N] (b,)
        weight: Hung on each eye. [N] (b, n)
        friction: Coefficient at an eye. (b,)
        backlash: Of each body. [turns] (b, n)
        leant: Which way each body was turned last, +1 tightened. (b, n)
        travel: Of one turn. [m]
        q, x: Where frame and eyes are. [m] (b, m) and (b, n, 3)
        slip: Ring rope moved across each eye, from the side before to the side after. [m] (b, n)
    """

    ring: str
    frame: Floats
    reach: Floats
    bolts: Floats
    eyes: Floats
    leg: Floats
    side: Floats
    leg_ea: Floats
    side_ea: Floats
    weight: Floats
    friction: Floats
    backlash: Floats
    leant: Floats
    travel: float
    q: Floats
    x: Floats
    slip: Floats

    @property
    def n(self) -> int:
        return len(self.bolts)

    def pulls(self) -> Floats:
        """[N] (b, n)"""
        return self._legs()[2]

    def centre(self) -> Floats:
        """Of the ring from where it is to hang, on plan. [m] (b, 2)"""
        return (self.x - self.eyes).mean(axis=1)[:, :2]

    def level(self) -> Floats:
        """[m] (b, n)"""
        return self.x[..., 2] - self.x[..., 2].mean(axis=1, keepdims=True)

    def rows(self, rows: Floats) -> Builds:
        """Some of the batch, copied."""
        each = {
            name: np.array(value[rows])
            for name, value in vars(self).items()
            if isinstance(value, np.ndarray) and name not in {"reach", "bolts", "eyes"}
        }
        return Builds(**{**vars(self), **each})

    def turn(self, turns: Floats) -> None:
        """Turn bodies, backlash first, and let everything come to rest with friction."""
        way = np.sign(turns)
        lost = np.where(way * self.leant < 0, np.minimum(self.backlash, np.abs(turns)), 0.0)
        self.leg = self.leg - self.travel * (turns - way * lost)
        self.leant = np.where(way != 0, way, self.leant)
        self.settle()

    def settle(self, *, free: bool = False, steps: int = 60) -> None:
        """Newton steps to the least energy; friction holds slips back unless ``free``."""
        before = self.slip.copy()
        sliding = self.ring == "rope-sliding"
        for _ in range(steps):
            grip = np.zeros_like(self.slip) if free or not sliding else self._grip()
            slope, stiff = self._assembled(before, grip)
            step = -np.linalg.solve(stiff, slope[..., None])[..., 0]
            longest = np.abs(step).max(axis=1, keepdims=True)
            step *= np.minimum(1.0, 0.01 / np.maximum(longest, 1e-12))
            share = self._share(step, before, grip)
            step *= share[:, None]
            self._move(step)
            if np.abs(step).max() < 1e-8:
                break

    def _move(self, step: Floats) -> None:
        m, n = self.q.shape[1], self.n
        self.q = self.q + step[:, :m]
        self.x = self.x + step[:, m : m + 3 * n].reshape(-1, n, 3)
        if self.ring == "rope-sliding":
            self.slip = self.slip + step[:, m + 3 * n :]

    def _share(self, step: Floats, before: Floats, grip: Floats) -> Floats:
        """Half the step, and half again, wherever the energy would rise."""
        here = self._energy(before, grip)
        share = np.ones(len(step))
        kept = (self.q, self.x, self.slip)
        for _ in range(12):
            self.q, self.x, self.slip = kept
            self._move(step * share[:, None])
            rises = self._energy(before, grip) > here + 1e-9 * (1 + np.abs(here))
            if not rises.any():
                break
            share = np.where(rises, share / 2, share)
        self.q, self.x, self.slip = kept
        return share

    def _legs(self) -> tuple[Floats, Floats, Floats]:
        at = self.bolts + np.einsum("nkm,bm->bnk", self.reach, self.q)
        line = self.x - at
        long = np.linalg.norm(line, axis=-1)
        pull = self.leg_ea[:, None] * np.maximum(long / self.leg - 1.0, 0.0)
        return line / long[..., None], long, pull

    def _sides(self) -> tuple[Floats, Floats, Floats, Floats]:
        line = np.roll(self.x, -1, axis=1) - self.x
        long = np.linalg.norm(line, axis=-1)
        own = self.side + self.slip - np.roll(self.slip, -1, axis=1)
        pull = self.side_ea[:, None] / self.side * np.maximum(long - own, 0.0)
        return line / long[..., None], long, pull, own

    def _bars(self) -> tuple[Floats, Floats, Floats, Floats]:
        i, j = np.triu_indices(self.n, 1)
        line = self.x[:, j] - self.x[:, i]
        long = np.linalg.norm(line, axis=-1)
        drawn = np.linalg.norm(self.eyes[j] - self.eyes[i], axis=-1)
        return line / long[..., None], long, BARS * (long - drawn), drawn

    def _grip(self) -> Floats:
        """Most that friction holds at each eye: coefficient times turn times pull. [N]"""
        unit, _, pull, _ = self._sides()
        before = np.roll(unit, 1, axis=1)
        turn = np.arccos(np.clip((before * unit).sum(axis=-1), -1.0, 1.0))
        mean = (pull + np.roll(pull, 1, axis=1)) / 2
        return self.friction[:, None] * turn * mean

    def _energy(self, before: Floats, grip: Floats) -> Floats:
        _, _, pull = self._legs()
        energy = 0.5 * np.einsum("bi,bij,bj->b", self.q, self.frame, self.q)
        energy += 0.5 * (pull**2 * self.leg).sum(axis=1) / self.leg_ea
        energy += (self.weight * self.x[..., 2]).sum(axis=1)
        if self.ring == "welded":
            _, _, bars, _ = self._bars()
            energy += 0.5 * (bars**2).sum(axis=1) / BARS
        else:
            _, _, side, _ = self._sides()
            energy += 0.5 * (side**2 * self.side).sum(axis=1) / self.side_ea
        energy += (grip * np.sqrt((self.slip - before) ** 2 + SHARP**2)).sum(axis=1)
        return np.asarray(energy)

    def _assembled(self, before: Floats, grip: Floats) -> tuple[Floats, Floats]:
        b, m, n = len(self.q), self.q.shape[1], self.n
        size = m + 3 * n + (n if self.ring == "rope-sliding" else 0)
        slope, stiff = np.zeros((b, size)), np.zeros((b, size, size))
        slope[:, :m] = np.einsum("bij,bj->bi", self.frame, self.q)
        stiff[:, :m, :m] = self.frame
        unit, long, pull = self._legs()
        force = unit * pull[..., None]
        block = _spring(unit, np.where(pull > 0, self.leg_ea[:, None] / self.leg, 1.0), pull / long)
        slope[:, :m] -= np.einsum("bnk,nkm->bm", force, self.reach)
        half = np.einsum("bnkl,nlm->bnkm", block, self.reach)
        stiff[:, :m, :m] += np.einsum("nkm,bnkp->bmp", self.reach, half)
        eyes = np.zeros((b, n, 3))
        eyes += force
        eyes[..., 2] += self.weight
        grid = np.zeros((b, n, 3, n, 3))
        here = np.arange(n)
        grid[:, here, :, here] += np.moveaxis(block, 1, 0)
        cross = -half.reshape(b, 3 * n, m)
        stiff[:, m : m + 3 * n, :m] += cross
        stiff[:, :m, m : m + 3 * n] += np.swapaxes(cross, 1, 2)
        if self.ring == "welded":
            self._add(*self._bars()[:3], np.triu_indices(n, 1), np.full((b, 1), BARS), eyes, grid)
        else:
            side, far, taut, _ = self._sides()
            rate = np.where(taut > 0, self.side_ea[:, None] / self.side, 1.0)
            ends = (here, np.roll(here, -1))
            self._add(side, far, taut, ends, rate, eyes, grid)
            if self.ring == "rope-sliding":
                self._add_slip(slope, stiff, before=before, grip=grip, rate=rate)
        slope[:, m : m + 3 * n] += eyes.reshape(b, -1)
        stiff[:, m : m + 3 * n, m : m + 3 * n] += grid.reshape(b, 3 * n, 3 * n)
        index = np.arange(size)
        stiff[:, index, index] += 1e-3
        return slope, stiff

    def _add(self, unit, long, pull, ends, rate, eyes, grid):  # type: ignore[no-untyped-def]
        start, stop = ends
        force = unit * pull[..., None]
        block = _spring(unit, np.broadcast_to(rate, pull.shape), np.maximum(pull, 0.0) / long)
        for k, (i, j) in enumerate(zip(start, stop, strict=True)):
            eyes[:, i] -= force[:, k]
            eyes[:, j] += force[:, k]
            grid[:, i, :, i] += block[:, k]
            grid[:, j, :, j] += block[:, k]
            grid[:, i, :, j] -= block[:, k]
            grid[:, j, :, i] -= block[:, k]

    def _add_slip(self, slope, stiff, *, before, grip, rate):  # type: ignore[no-untyped-def]
        """Slips s_k lengthen side k and shorten the side before it."""
        m, n = self.q.shape[1], self.n
        first = m + 3 * n
        unit, _, pull, _ = self._sides()
        moved = self.slip - before
        round_ = np.sqrt(moved**2 + SHARP**2)
        slope[:, first:] += -pull + np.roll(pull, 1, axis=1) + grip * moved / round_
        here = np.arange(n)
        ahead = np.roll(here, -1)
        stiff[:, first + here, first + here] += (
            rate + np.roll(rate, 1, axis=1) + grip * SHARP**2 / round_**3
        )
        stiff[:, first + here, first + ahead] -= rate
        stiff[:, first + ahead, first + here] -= rate
        for k in range(n):
            # Side k is stretched by the eyes and eased by its slips.
            along = rate[:, k, None] * unit[:, k]
            for slip_at, sign in ((k, -1.0), (ahead[k], 1.0)):
                for eye, way in ((k, -1.0), (ahead[k], 1.0)):
                    rows = slice(m + 3 * eye, m + 3 * eye + 3)
                    stiff[:, rows, first + slip_at] += sign * way * along
                    stiff[:, first + slip_at, rows] += sign * way * along


def _spring(unit: Floats, along: Floats, across: Floats) -> Floats:
    return (along - across)[..., None, None] * unit[..., :, None] * unit[..., None, :] + across[
        ..., None, None
    ] * np.eye(3)


def builds(model: Model, count: int, *, seed: int, matched: bool = False) -> Builds:
    """Ties as hung and snugged by hand, their truth drawn at random.

    Args:
        model: The tie as drawn: the frame's stiffness and the parts are taken from it.
        count: How many.
        seed: Of the first; build k is the same whatever the count.
        matched: Only lengths and sides are off: stiffness as drawn, no friction, no backlash.

    Returns:
        The builds at rest.
    """
    tie, n = model.tie, model.tie.n
    drawn = [_drawn(model, np.random.default_rng([seed, k]), matched) for k in range(count)]
    each = {name: np.array([one[name] for one in drawn]) for name in drawn[0]}
    wanted, shift = each.pop("wanted"), each.pop("shift")
    m = model.bones.reach.shape[2]
    found = Builds(
        ring=tie.ring,
        reach=model.bones.reach[model.links.web.starts],
        bolts=tie.bolt_points,
        eyes=tie.ring_points,
        travel=2.0 / tie.turnbuckle.threads_per_metre,
        q=np.zeros((count, m)),
        x=np.tile(tie.ring_points, (count, 1, 1)),
        slip=np.zeros((count, n)),
        **each,
    )
    if tie.ring == "welded":
        _hung_stiff(found, wanted, shift)
    else:
        _hung_rope(found, wanted.mean(axis=1))
    return found


def _drawn(model: Model, random: np.random.Generator, matched: bool) -> dict[str, Floats]:
    """The truth of one build."""
    tie, n = model.tie, model.tie.n
    loose = 0.0 if matched else 1.0
    frame, walls = np.exp(loose * np.log(2.0) * random.uniform(-1, 1, 2))
    bones = model.bones
    at = np.zeros(model.layout.size)
    at[model.layout.frame], at[model.layout.wall] = np.log(frame), np.log(walls)
    stiffness = model._stiffness(at) + PROP * np.outer(bones.prop, bones.prop)
    ropes = 1 + loose * random.uniform(-0.25, 0.25, 2)
    links = model.links
    hung = links.end_weight[0] + links.joint_weight[0].sum(axis=1) / 2
    hung = hung + links.ring_weight[0] / n
    rope = tie.ring != "welded"
    chord = np.linalg.norm(np.roll(tie.ring_points, -1, axis=0) - tie.ring_points, axis=1)
    return {
        "frame": stiffness,
        "leg": tie.leg_lengths + (3 / 16 * INCH * random.standard_normal(n) if rope else 0.0),
        "side": chord + INCH / 16 * random.standard_normal(n),
        "leg_ea": ropes[0] * tie.rope.stiffness,
        "side_ea": ropes[1] * tie.ring_rope.stiffness,
        "weight": hung,
        "friction": loose * random.uniform(0.1, 0.2),
        "backlash": loose * random.uniform(0.0, 1 / 24, n),
        # Snugged by hand, so tightened last.
        "leant": np.ones(n),
        "wanted": tie.target * random.uniform(0.75, 1.15) * (1 + random.uniform(-0.25, 0.25, n)),
        "shift": INCH * 3 / 8 * random.uniform(-1, 1, 2) / np.sqrt(2),
    }


def _hung_stiff(found: Builds, wanted: Floats, shift: Floats) -> None:
    """Legs as long as the pulls wanted ask for round a ring that hangs off its place."""
    eyes = found.eyes + np.concatenate([shift, np.zeros((len(shift), 1))], axis=1)[:, None]
    long = np.linalg.norm(eyes - found.bolts, axis=-1)
    found.x = eyes
    for _ in range(4):
        found.leg = long / (1 + wanted / found.leg_ea[:, None])
        found.settle(free=True)
        # The bolts have given: as much is taken up by hand.
        off = wanted - found.pulls()
        long = long - 0.7 * off.mean(axis=1, keepdims=True) / found.leg_ea[:, None] * found.leg


def _hung_rope(found: Builds, wanted: Floats) -> None:
    """All bodies taken up alike until the mean pull is what hands call snug."""
    low, high = np.full(len(wanted), -0.05), np.full(len(wanted), 0.05)
    legs = found.leg
    for _ in range(14):
        middle = (low + high) / 2
        found.leg = legs + middle[:, None]
        found.settle(free=True)
        tight = found.pulls().mean(axis=1) > wanted
        low, high = np.where(tight, middle, low), np.where(tight, high, middle)


def best(found: Builds, target: float) -> tuple[Floats, Floats]:
    """Centre and levels at the best that any turns do, by differences on the truth itself.

    Args:
        found: Builds.
        target: Pull of every leg. [N]

    Returns:
        Centre (b, 2) and levels (b, n). [m]
    """
    there = found.rows(np.arange(len(found.q)))
    n = there.n
    for _ in range(5):
        there.settle(free=True)
        off = _off(there, target)
        table = np.zeros((len(off), off.shape[1], n))
        for k in range(n):
            other = there.rows(np.arange(len(there.q)))
            other.leg[:, k] -= 1e-4
            other.settle(free=True)
            table[:, :, k] = (_off(other, target) - off) / 1e-4
        normal = np.swapaxes(table, 1, 2) @ table + 1.0 * np.eye(n)
        step = -np.linalg.solve(normal, (np.swapaxes(table, 1, 2) @ off[..., None]))[..., 0]
        there.leg = there.leg - np.clip(step, -0.01, 0.01)
    there.settle(free=True)
    return there.centre(), there.level()


def _off(there: Builds, target: float) -> Floats:
    near = INCH / 4
    parts = (there.pulls() / target - 1.0) / 0.1, there.centre() / near, there.level() / near
    return np.concatenate(parts, axis=1)
