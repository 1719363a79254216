"""The cut list: taped again on a made-up leg in space, sums closed, nothing cut short."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sin

import numpy as np
import pytest

from rafterstay import catalog, shop
from rafterstay.core.errors import InputError
from rafterstay.shop.allowances import PLAY_BOLT, PLAY_JAWS, making_of
from rafterstay.shop.bench import TAPE, bench_factor
from rafterstay.shop.cut import jaw_pin, shackle_in
from rafterstay.shop.eye import LEAST_TAIL, MOST_TAIL, eye_of, loop_length
from rafterstay.shop.marks import EYE_NAMES
from rafterstay.shop.nouns import Cutting
from rafterstay.shop.ring_rope import loop_of_sides
from rafterstay.shop.steps import STEP
from rafterstay.shop.trial import learn_from_eye, learn_from_piece, trial_eye
from tests.shop.benches import INCH, LAYOUTS, designed, unequal, uneven
from tests.shop.made_up import taped

TENTH = 1e-4  # [m]


@pytest.fixture(scope="module", params=LAYOUTS)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def cutting(name: str) -> Cutting:
    done = designed(name)
    return shop.cut(done.job, done.tie, done.forces, legs=unequal(name))


def test_marks_are_where_a_leg_made_up_in_space_has_them(name: str, cutting: Cutting) -> None:
    """Every piece taped again by an independent model: within 0.1 mm."""
    tie = designed(name).tie
    step, making = cutting.step, cutting.making
    assert len({piece.cut_steps for piece in cutting.pieces}) > len(cutting.bodies)
    for piece in cutting.pieces:
        made = taped(
            tie.rope,
            tie.thimble,
            pins=piece.pins,
            apart=piece.finished,
            creep=making.creep,
        )
        first, second = (piece.at(f"{eye}: crown") for eye in EYE_NAMES[piece.end])
        assert abs((second - first) * step - made.between_crowns) < TENTH
        tails = (first * step, (piece.cut_steps - second) * step)
        for tail in tails:
            past = tail - made.mouth - tie.sleeve.after
            assert LEAST_TAIL * tie.rope.diameter < past < MOST_TAIL * tie.rope.diameter


def test_sleeves_sit_so_that_they_grow_to_the_mouth(name: str, cutting: Cutting) -> None:
    """Before pressing a sleeve stands half its growth off the thimble, on both parts alike."""
    tie, step = designed(name).tie, cutting.step
    made = taped(tie.rope, tie.thimble, pins=(0.0, 0.0), apart=2.0, creep=0.0)
    half = (tie.sleeve.after - tie.sleeve.before) / 2
    for piece in cutting.pieces:
        for eye in EYE_NAMES[piece.end]:
            crown = piece.at(f"{eye}: crown")
            for part in ("live", "dead end"):
                near = abs(piece.at(f"{eye}: sleeve near edge, {part}") - crown) * step
                far = abs(piece.at(f"{eye}: sleeve far edge, {part}") - crown) * step
                assert near == pytest.approx(made.mouth + half, abs=0.51 * step)
                assert far == pytest.approx(near + tie.sleeve.before, abs=1.01 * step)
        places = [mark.steps for mark in piece.marks]
        assert places == sorted(set(places))
        assert places[0] > 0


def test_every_leg_adds_up_to_its_distance(name: str, cutting: Cutting) -> None:
    done, legs = designed(name), unequal(name)
    bolts = {"octagon": 1.0, "seven": 1.0, "reading-room": 1.0, "sliding": 1.0, "band": 1.0}
    bolts |= {"welded": 1.0, "plate": 1.0}
    # From the crown of an eye on a bar of 17 mm, or on a bow of 3/8 in, to its axis. On the
    # plate's roof shackles of 3/8 in hang on bolts of 5/8 in.
    over = {"welded": 0.0085, "plate": 3 / 16 * INCH}.get(name, 0.0)
    link = shackle_in(done.job)
    shackles = link.length(5 / 8 * INCH) if link else 0.0
    for k, (body, crown) in enumerate(zip(cutting.bodies, legs.distances, strict=True)):
        distance = crown - over
        assert body.distance == pytest.approx(distance, abs=1e-12)
        assert sum(term.length for term in body.terms) == pytest.approx(distance, abs=1e-12)
        outer, inner = (p for p in cutting.pieces if p.leg == body.leg)
        row = legs.drawn_as(k)
        pull = float(done.forces.setting.leg_pull[row])
        rope = outer.finished + inner.finished
        stretched = rope * (1 + pull / done.tie.rope.stiffness)
        drawn = float(done.tie.leg_lengths[row])
        fitted = float(done.forces.setting.leg_length[row])
        gives = drawn - done.tie.turnbuckle_set - fitted * (1 + pull / done.tie.rope.stiffness)
        # A bolt at either end of a tie across; of a band of six two, each half along the leg.
        again = bolts.get(name, 2.0) * PLAY_BOLT + PLAY_JAWS + stretched + body.opening + gives
        assert again + shackles == pytest.approx(distance, abs=1e-9)


def test_a_body_is_never_set_wider_than_its_rule(name: str, cutting: Cutting) -> None:
    """Rounding makes pieces longer and bodies closer: thread engaged is never given away."""
    done = designed(name)
    for body in cutting.bodies:
        assert 0 <= done.tie.turnbuckle_set - body.opening < 1.01 * cutting.step
        screw = done.tie.turnbuckle
        assert body.shorten_left + body.lengthen_left == pytest.approx(screw.take_up)
        assert body.expected == pytest.approx(screw.closed + body.shorten_left)
        assert body.expected < body.opening


def test_a_longer_distance_gives_a_longer_rope(name: str) -> None:
    done = designed(name)
    legs = unequal(name)
    longer = replace(legs, distances=tuple(d + 0.1 for d in legs.distances))
    short, long = (shop.cut(done.job, done.tie, done.forces, legs=one) for one in (legs, longer))
    for k in range(len(legs.distances)):
        grown = sum(p.finished for p in long.pieces[2 * k : 2 * k + 2]) - sum(
            p.finished for p in short.pieces[2 * k : 2 * k + 2]
        )
        pull = float(done.forces.setting.leg_pull[legs.drawn_as(k)])
        wanted = 0.1 / (1 + pull / done.tie.rope.stiffness)
        assert grown == pytest.approx(wanted, abs=1.01 * short.step)


def test_steps_are_those_of_the_job() -> None:
    assert STEP["us"] == INCH / 16
    assert shop.cut(*_parts("octagon")).step == INCH / 16
    assert shop.cut(*_parts("seven")).step == 0.001


def test_ring_rope_goes_once_round_the_eyes() -> None:
    """Once round by walking arcs and straights between them, point by point."""
    n, radius, bend = 7, 0.184, 0.011
    middle = radius - bend
    points = []
    for k in range(n):
        about = 2 * pi * k / n
        turn = np.linspace(about - pi / n, about + pi / n, 4000)
        centre = middle * np.array([np.sin(about), np.cos(about)])
        points.append(centre + bend * np.column_stack([np.sin(turn), np.cos(turn)]))
    path = np.concatenate([*points, points[0][:1]])
    walked = float(np.linalg.norm(np.diff(path, axis=0), axis=1).sum())
    sides = [2 * radius * sin(pi / n)] * n
    assert abs(loop_of_sides(sides, bend) - walked) < 1e-6


@pytest.mark.parametrize("name", ["octagon", "reading-room", "sliding"])
def test_ring_marks_run_in_order_and_hold_loop_and_lap(name: str) -> None:
    cutting = shop.cut(*_parts(name))
    ring, step = cutting.ring, cutting.step
    assert ring is not None
    places = [mark.steps for mark in ring.marks]
    assert places == sorted(places)
    names = {mark.name: mark.steps for mark in ring.marks}
    once = (names["middle of the lap again"] - names["middle of the lap"]) * step
    assert 0 <= once - ring.loop < step
    assert ring.lap + ring.loop <= ring.cut_steps * step < ring.lap + ring.loop + 3 * step


def test_of_two_ring_ropes_the_second_begins_half_round() -> None:
    """Every eye lies at its own place of both ropes: the same way round, other sides first."""
    job, tie, forces = _parts("seven")
    sides = forces.setting.ring_length * (1 + 0.04 * np.arange(7))
    uneven_ring = replace(forces, setting=replace(forces.setting, ring_length=sides))
    cutting = shop.cut(job, replace(tie, ring_ropes=2), uneven_ring)
    ring, step = cutting.ring, cutting.step
    assert ring is not None
    assert (ring.ropes, len(ring.second)) == (2, len(ring.marks))
    one = {mark.name: mark.steps * step for mark in ring.marks}
    two = {mark.name: mark.steps * step for mark in ring.second}
    assert one["cut"] == two["cut"]
    shift = {round((two[f"eye {k}"] - one[f"eye {k}"]) % ring.loop, 2) for k in range(1, 8)}
    assert max(shift) - min(shift) <= 0.011
    # Its lap lies in the middle of the side before the eye it begins with: eye 4.
    first = min((name for name in two if name.startswith("eye")), key=lambda name: two[name])
    share = ring.loop / sides.sum()
    assert first == "eye 4"
    assert two[first] - two["middle of the lap"] == pytest.approx(share * sides[2] / 2, abs=step)


def test_ring_rope_without_a_sleeve_is_told() -> None:
    """A 9/16 in ring rope: the finding names the very row that is missing, and what there is."""
    job, tie, forces = _parts("octagon")
    thick = catalog.find("rope", "6x19 IWRC bright 9/16 in")
    found = shop.cut(job, replace(tie, ring_rope=thick), forces)
    assert found.ring is not None
    assert 'no row "copper oval 9/16 in"' in found.ring.doubt
    assert "copper oval 5/16 in" in found.ring.doubt
    assert "sleeve.csv" in found.ring.doubt
    assert [code for code, _ in found.doubts] == ["ring-lap"]
    plain = shop.cut(job, tie, forces)
    assert plain.ring is not None
    assert (plain.ring.doubt, plain.ring.sleeve, plain.doubts) == ("", "copper oval 5/16 in", ())


def test_temperature_of_the_bench_matters_to_stainless_only() -> None:
    """16 - 12 = 4 millionths a degree, 30 degrees colder on the bench: 0.12 mm in a metre."""
    warm, cold = 288.71, 258.71
    steel = bench_factor(TAPE, survey=warm, bench=cold, setting=warm)
    assert steel == pytest.approx(1.0, abs=1e-15)
    factor = bench_factor(16e-6, survey=warm, bench=cold, setting=warm)
    assert (1 - factor) * 1000 == pytest.approx(0.120, abs=1e-6)
    done = designed("octagon")
    stainless = replace(done.tie, rope=replace(done.tie.rope, finish="stainless"))
    for tie, grows in ((done.tie, 0.0), (stainless, 3.06 * 0.12e-3)):
        body = shop.cut(done.job, tie, done.forces, bench=done.job.loads.set_temperature - 30)
        warmth = next(t.length for t in body.bodies[0].terms if "bench" in t.name)
        assert warmth == pytest.approx(grows, abs=1e-6)


def test_a_trial_eye_changes_every_piece_by_what_it_showed() -> None:
    done = designed("octagon")
    eye = eye_of(done.tie.rope, done.tie.thimble, done.tie.sleeve)
    making = making_of(done.tie.rope, done.tie.sleeve, prestretched=False)
    before = shop.cut(done.job, done.tie, done.forces)
    read = trial_eye(eye, making).expected + 0.004
    learnt = learn_from_eye(eye, making, read, system="us")
    assert learnt.creep == pytest.approx(making.creep + 0.004)
    after = shop.cut(done.job, done.tie, done.forces, making=learnt)
    for old, new in zip(_by_leg(before), _by_leg(after), strict=True):
        # Each of four eyes is 4 mm longer by itself, so the leg has 16 mm less rope in it.
        assert old[0] - new[0] == pytest.approx(0.016, abs=1.01 * before.step)
        assert new[1] == pytest.approx(old[1], abs=1.01 * before.step)
    assert after.bodies[0].take_up.shorten < before.bodies[0].take_up.shorten


def test_a_trial_piece_says_the_same_as_a_trial_eye() -> None:
    done = designed("seven")
    eye = eye_of(done.tie.rope, done.tie.thimble, done.tie.sleeve)
    making = making_of(done.tie.rope, done.tie.sleeve, prestretched=True)
    piece = shop.cut(done.job, done.tie, done.forces, making=making).pieces[5]
    by_piece = learn_from_piece(piece, making, piece.between_crowns + 0.005, system="si")
    by_eye = learn_from_eye(eye, making, trial_eye(eye, making).expected + 0.0025, system="si")
    assert by_piece.creep == pytest.approx(by_eye.creep)
    assert by_piece.creep_half == pytest.approx(by_eye.creep_half / 2)
    assert "leg 3 inner" in by_piece.trial


def test_a_trial_far_from_its_drawing_is_refused() -> None:
    done = designed("octagon")
    eye = eye_of(done.tie.rope, done.tie.thimble, done.tie.sleeve)
    making = making_of(done.tie.rope, done.tie.sleeve, prestretched=False)
    with pytest.raises(InputError, match=r"IN-067 the trial eye = 2'-0\""):
        learn_from_eye(eye, making, 0.6096, system="us")
    piece = shop.cut(done.job, done.tie, done.forces).pieces[0]
    with pytest.raises(InputError, match="IN-067"):
        learn_from_piece(piece, making, piece.between_crowns - 0.05, system="us")


def test_prestretched_rope_needs_less_thread() -> None:
    job, tie, forces = _parts("octagon")
    fresh, drawn = (shop.cut(job, tie, forces, prestretched=flag) for flag in (False, True))
    assert drawn.bodies[0].take_up.shorten < fresh.bodies[0].take_up.shorten - 0.025
    assert drawn.bodies[0].expected > fresh.bodies[0].expected


def test_a_pin_too_thick_for_its_thimble_is_refused() -> None:
    job, tie, forces = _parts("octagon")
    thick = replace(tie, bolt=replace(tie.bolt, diameter=0.0254))
    with pytest.raises(InputError, match=r"IN-065 the pin in an eye = 25\.4 mm"):
        shop.cut(job, thick, forces)


def test_a_piece_without_room_for_two_sleeves_is_refused() -> None:
    job, tie, forces = _parts("octagon")
    legs = replace(uneven(8, 0.85), sigmas=(0.001,) * 8)
    with pytest.raises(InputError, match=r"IN-066 the outer piece of leg 2"):
        shop.cut(job, tie, forces, legs=legs)


@pytest.mark.parametrize("changes", [{"ring": "point"}, {"has_turnbuckles": False}])
def test_a_tie_without_ring_or_turnbuckles_is_refused(changes: dict[str, object]) -> None:
    job, tie, forces = _parts("octagon")
    with pytest.raises(InputError, match="IN-071 tie.layout and tie.ring"):
        shop.cut(job, replace(tie, **changes), forces)  # type: ignore[arg-type]


def test_a_jaw_pin_that_is_not_listed_is_the_thread_and_told() -> None:
    job, tie, forces = _parts("octagon")
    bare = replace(tie, turnbuckle=replace(tie.turnbuckle, pin=None))
    assert (jaw_pin(tie), jaw_pin(bare)) == (0.011, tie.turnbuckle.thread)
    assert any("not in the catalogue" in note for note in shop.cut(job, bare, forces).notes)


def test_loop_of_a_long_eye_is_nearly_two_straights_and_a_half_circle() -> None:
    """Far from the crown the rope runs on straight: 2 x reach + pi x radius, a little more."""
    long = loop_length(0.016, 3.0, 0.006)
    assert long == pytest.approx(2 * 3.0 + pi * 0.016, rel=1e-4)


def _by_leg(cutting: Cutting) -> list[tuple[float, float]]:
    """Rope cut and finished length of both pieces of each leg. [m]"""
    outer, inner = cutting.pieces[::2], cutting.pieces[1::2]
    return [
        ((a.cut_steps + b.cut_steps) * cutting.step, a.finished + b.finished)
        for a, b in zip(outer, inner, strict=True)
    ]


def _parts(name: str) -> tuple:  # type: ignore[type-arg]
    done = designed(name)
    return done.job, done.tie, done.forces
