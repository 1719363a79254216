"""Bands, ties straight across and gables: made up in space, surveyed, and told apart from rings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from rafterstay import roof, shop
from rafterstay.core.errors import InputError
from rafterstay.roof.gable import tied_pairs
from rafterstay.shop.allowances import UNMEASURED
from rafterstay.shop.labels import sights
from rafterstay.shop.measured import as_drawn, as_surveyed
from rafterstay.shop.press_log import LEG_EYES, leg_eyes
from rafterstay.survey import AsBuilt, Reading, adjust
from rafterstay.tie import rig
from tests.shop.benches import INCH, LAYOUTS, designed, unequal
from tests.shop.made_up import reach_of
from tests.statics.roofs import stated

TENTH = 1e-4  # [m]
ACROSS = ("band", "cross", "gable")


# A plate has shackles whatever the rest: taped ones.
REACHES = [(name, inside) for name in LAYOUTS for inside in (0.0, 0.0371)]


@pytest.mark.parametrize(("name", "inside"), [one for one in REACHES if one != ("plate", 0.0)])
def test_a_leg_made_up_in_space_reaches_its_distance(name: str, inside: float) -> None:
    """From its crown marks, its set body and its shackles to the distance, within 0.1 mm."""
    done, legs = designed(name), unequal(name)
    # A bolt that goes into the bow of a 3/8 in shackle, whose pin is 7/16 in thick.
    job = replace(done.job, parts=replace(done.job.parts, shackle="anchor 3/8 in"))
    setting = done.forces.setting
    cutting = shop.cut(
        job if inside else done.job,
        done.tie,
        done.forces,
        legs=legs,
        shackle_inside=inside or None,
    )
    for k, distance in enumerate(legs.distances):
        row = legs.drawn_as(k)
        strain = float(setting.leg_pull[row]) / done.tie.rope.stiffness
        drawn = float(done.tie.leg_lengths[row])
        found = float(setting.leg_length[row]) * (1 + strain) + done.tie.turnbuckle_set
        reached = reach_of(cutting, done.tie, k + 1, strain=strain, inside=inside)
        assert abs(reached + (drawn - found) - distance) < TENTH


@pytest.mark.parametrize("name", ACROSS)
def test_a_tie_from_bolt_to_bolt_has_a_bolt_at_either_end(name: str) -> None:
    done = designed(name)
    cutting = shop.cut(done.job, done.tie, done.forces)
    bolt, jaw = done.tie.bolt.diameter, done.tie.turnbuckle.pin or done.tie.turnbuckle.thread
    assert (cutting.layout, cutting.ring) == (done.tie.layout, None)
    assert [piece.end for piece in cutting.pieces[:2]] == ["first", "second"]
    assert cutting.pieces[0].pins == (bolt, jaw)
    assert cutting.pieces[1].pins == (jaw, bolt)
    shares = [share.name for share in cutting.bodies[0].take_up.shares]
    assert "place on the ring" not in shares
    assert leg_eyes(done.tie.layout)[0] == "first bolt eye"
    assert leg_eyes("ring") == LEG_EYES


def test_turnbuckles_of_ties_that_cross_stand_off_the_middle() -> None:
    """From the bolt: a third of the rope, then the body; its end stays short of the middle."""
    done = designed("cross")
    cutting = shop.cut(done.job, done.tie, done.forces)
    for body in cutting.bodies:
        first, second = (p for p in cutting.pieces if p.leg == body.leg)
        assert first.finished / second.finished == pytest.approx(0.5, abs=0.002)
        assert first.finished + body.opening < body.distance / 2 - 0.1
    assert any("cross over the middle" in note for note in cutting.notes)
    one = designed("gable")
    alone = shop.cut(one.job, one.tie, one.forces)
    assert not any("cross over the middle" in note for note in alone.notes)
    assert alone.pieces[0].finished == pytest.approx(alone.pieces[1].finished, abs=0.002)


def test_tied_pairs_of_a_gable_by_hand() -> None:
    """25 ft with a tie every 4 ft: 6.25 bays, 6 between 7 ties; 36 ft: 9 bays, 10 ties."""
    assert tied_pairs(designed("gable").job.roof) == 7
    assert tied_pairs(stated("gable-workshop").roof) == 10
    assert tied_pairs(stated("gable-workshop", roof__length="5 ft").roof) == 2


def test_a_gable_is_cut_for_every_tied_pair() -> None:
    done = designed("gable")
    cutting = shop.cut(done.job, done.tie, done.forces)
    assert [body.leg for body in cutting.bodies] == list(range(1, 8))
    assert len(cutting.pieces) == 14
    assert len({piece.marks for piece in cutting.pieces if piece.end == "first"}) == 1
    assert any("leg 1 ties feet 1 and 14" in note for note in cutting.notes)


def walk(points: Mapping[str, tuple[float, ...]]) -> AsBuilt:
    """A survey without a single wrong reading: every distance and height."""
    names = list(points)
    readings = []
    for k, start in enumerate(names):
        for end in names[k + 1 :]:
            one, other = np.array(points[start]), np.array(points[end])
            level = float(np.hypot(*(other - one)[:2]))
            readings.append(Reading(start, end, "level", level))
            readings.append(Reading(start, end, "height", float(other[2] - one[2])))
    return adjust(readings, dict(points))


def gable_feet(spans: list[float]) -> dict[str, tuple[float, ...]]:
    """Feet of a gable's pairs, clockwise from the north end; each pair has its own span. [m]"""
    count = len(spans)
    points = {}
    for k, span in enumerate(spans, start=1):
        points[str(k)] = (span / 2, -1.2 * k, 0.0)
        points[str(2 * count + 1 - k)] = (-span / 2, -1.2 * k, 0.0)
    return dict(sorted(points.items(), key=lambda item: int(item[0])))


def test_every_pair_of_a_gable_is_cut_for_its_own_span() -> None:
    """Tie 0.29 of the rise up: it is 0.71 of the span of its own pair, whatever the others are."""
    done = designed("gable")
    span = done.job.roof.span
    spans = [span + off for off in (0.013, -0.021, 0.0, 0.032, -0.004, 0.019, -0.011)]
    built = walk(gable_feet(spans))
    frame = roof.stand(done.job, built)
    tie = rig(done.job, frame)
    legs = as_surveyed(frame, tie, built, done.job.roof)
    assert legs.distances == pytest.approx([0.71 * own for own in spans], abs=1e-6)
    assert (legs.typical, legs.unread) == (True, ())
    # Two holes drilled 1/8 in off along a slope of 6 ft on 10.3125 ft are 0.153 in along the tie.
    drilled = 2**0.5 * INCH / 8 * 10.3125 / np.hypot(6.0, 10.3125)
    assert all(drilled < sigma < drilled + 0.001 for sigma in legs.sigmas)
    cutting = shop.cut(done.job, tie, done.forces, legs=legs)
    ropes = [sum(p.finished for p in cutting.pieces if p.leg == leg) for leg in range(1, 8)]
    wanted = [0.71 * (own - spans[0]) for own in spans]
    assert np.array(ropes) - ropes[0] == pytest.approx(wanted, abs=2 * cutting.step)


def test_pairs_left_out_of_the_survey_are_cut_as_drawn_and_named() -> None:
    done = designed("gable")
    points = gable_feet([done.job.roof.span + 0.02] * 7)
    for name in ("3", "12"):
        del points[name]
    built = walk(points)
    frame = roof.stand(done.job, built)
    legs = as_surveyed(frame, rig(done.job, frame), built, done.job.roof)
    assert legs.unread == (3,)
    assert legs.sigmas[2] == UNMEASURED
    cutting = shop.cut(done.job, done.tie, done.forces, legs=legs)
    why = [next(s.why for s in b.take_up.shares if s.name == "distance") for b in cutting.bodies]
    assert why == ["survey", "survey", "common practice", *["survey"] * 4]


@pytest.mark.parametrize("name", ["band", "cross"])
def test_surveyed_bolts_give_distances_from_bolt_to_bolt(name: str) -> None:
    """Every bolt moved its own way; distances by coordinates."""
    done = designed(name)
    bolts = done.frame.nodes[done.frame.bolts] + np.random.default_rng(4).normal(
        0, 0.02, (done.frame.n, 3)
    )
    mark = "" if name == "band" else "t"
    built = walk({f"{mark}{k + 1}": tuple(map(float, at)) for k, at in enumerate(bolts)})
    legs = as_surveyed(done.frame, done.tie, built, done.job.roof)
    other = np.roll(bolts, -1, axis=0) if name == "band" else bolts[4:]
    wanted = np.linalg.norm(other - bolts[: len(other)], axis=1)
    assert legs.distances == pytest.approx(tuple(wanted), abs=1e-6)
    assert all(0 < sigma < 0.003 for sigma in legs.sigmas)
    assert as_drawn(done.tie).typical is False


def test_a_bolt_of_a_band_that_was_not_surveyed_is_named() -> None:
    done = designed("band")
    points = {str(k): (float(k), float(k * k), 0.0) for k in range(1, 6)}
    with pytest.raises(InputError, match="SV-040 tie bolts surveyed = all but 6"):
        as_surveyed(done.frame, done.tie, walk(points))


def test_every_eye_is_told_how_it_stays_in_sight() -> None:
    for name, kinds in (("seven", 3), ("band", 2), ("cross", 2), ("gable", 2)):
        done = designed(name)
        cutting = shop.cut(done.job, done.tie, done.forces)
        told = sights(done.tie, cutting.eye, slope=0.5)
        assert len(told) == kinds
        assert all(one.told for one in told)


@pytest.mark.parametrize("name", ["seven", "band", "cross", "gable"])
def test_closed_form_and_sampling_agree_for_every_layout(name: str) -> None:
    """Distances read so badly that a visible share runs out; 20,000 ties drawn, seeded."""
    done, legs = designed(name), unequal(name)
    bad = replace(legs, sigmas=tuple(0.020 + 0.001 * k for k in range(len(legs.sigmas))))
    cutting = shop.cut(done.job, done.tie, done.forces, legs=bad)
    chance = cutting.ring_runs_out
    assert 0.005 < chance < 0.6
    spread = (chance * (1 - chance) / cutting.rings) ** 0.5
    assert abs(cutting.sampled - chance) < 4 * spread
