"""Proof pulls by their rule; what a tool asks of a person; what can be seen in year twenty."""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin

import numpy as np
import pytest

from rafterstay import catalog
from rafterstay.checks.nouns import Check
from rafterstay.design import Design
from rafterstay.shop.effort import bench_said, cutting_force, efforts, pressing_force, tools
from rafterstay.shop.eye import eye_of
from rafterstay.shop.labels import labels, letter_height, sights
from rafterstay.shop.proof import proof_pull
from tests.shop.benches import INCH, LBF, designed


def asked(done: Design, demand: float, capacity: float) -> Check:
    """The bolt, asked by leg 3 in the last state; pounds."""
    bolt = next(one for one in done.checks.checks if one.id == "bolt-yield")
    last = done.forces.states[-1].id
    return replace(bolt, demand=demand * LBF, capacity=capacity * LBF, leg=3, combination=last)


@pytest.mark.parametrize(
    ("service", "bolt", "where"),
    [
        (1200.0, 1536.0, "roof"),
        (1228.9, 1536.0, "bench"),
        (3359.0, 1536.0, "bench"),
        (3361.0, 1536.0, "none"),
    ],
)
def test_proof_pull_follows_its_rule(service: float, bolt: float, where: str) -> None:
    """1/4 in 7x19: 0.60 x 7000 = 4200 lb; 1/2 in body: 2.5 x 2200 = 5500 lb; bolt as stated."""
    done = designed("octagon")
    pull = np.full_like(done.forces.leg_pull, 0.3 * service * LBF)
    pull[-1, 2] = service * LBF
    checks = replace(done.checks, checks=(asked(done, service, bolt),))
    proof = proof_pull(done.tie, replace(done.forces, leg_pull=pull), checks)
    assert proof.least / LBF == pytest.approx(1.25 * service)
    assert proof.bench / LBF == pytest.approx(4200.0, rel=1e-6)
    assert proof.roof / LBF == pytest.approx(bolt)
    assert proof.where == where
    assert 2.5 * 2200 in {round(cap.pull / LBF) for cap in proof.caps}


def test_a_connection_that_is_referred_bears_no_proof_pull_against_the_roof() -> None:
    """The corner of a band is for an engineer; a bench proves each eye meanwhile."""
    done = designed("band")
    proof = proof_pull(done.tie, done.forces, done.checks)
    assert proof.least < proof.roof
    assert any(cap.referred and "bolt-yield" in cap.what for cap in proof.caps)
    assert (proof.where, proof.undecided) == ("bench", True)
    decided = replace(
        done.checks, checks=tuple(replace(one, status="passes") for one in done.checks.checks)
    )
    again = proof_pull(done.tie, done.forces, decided)
    assert (again.where, again.undecided) == ("roof", False)


def test_a_part_asked_a_share_of_the_pull_gives_its_share_more() -> None:
    """Asked 240 of a pull of 1200 lb and good for 375: used up at 375/240 x 1200 = 1875 lb."""
    done = designed("octagon")
    pull = np.full_like(done.forces.leg_pull, 300 * LBF)
    pull[-1, 2] = 1200 * LBF
    checks = replace(done.checks, checks=(asked(done, 240, 375),))
    proof = proof_pull(done.tie, replace(done.forces, leg_pull=pull), checks)
    assert proof.roof / LBF == pytest.approx(1875.0)


def test_pressing_force_is_area_times_flow() -> None:
    """1/4 in sleeve by hand: 2.2 x 6.35 mm x 28.575 / 3 mm = 133.07 mm2; 220 and 525 MPa."""
    sleeve = catalog.find("sleeve", "copper oval 1/4 in")
    low, high = pressing_force(0.25 * INCH, sleeve)
    assert low == pytest.approx(220 * 133.07, rel=1e-4)
    assert high == pytest.approx(525 * 133.07, rel=1e-4)


def test_a_quarter_inch_sleeve_cannot_be_closed_by_arm_alone() -> None:
    """Field fact: at this size the tool goes on the bench. Common practice, no source."""
    rope, sleeve = (
        catalog.find("rope", "7x19 galvanized 1/4 in"),
        catalog.find("sleeve", "copper oval 1/4 in"),
    )
    by_name = {one.tool.name: one.verdict for one in efforts(rope, sleeve)}
    assert by_name["36 in hand tool, both handles"] == "no"
    assert by_name["36 in tool, one handle bolted to the bench"] == "perhaps"
    assert by_name["hydraulic hand tool, 12 tons"] == "by hand"
    small = efforts(
        catalog.find("rope", "7x19 galvanized 1/8 in"),
        catalog.find("sleeve", "copper oval 1/8 in"),
    )
    assert {one.tool.name: one.verdict for one in small}[
        "36 in hand tool, both handles"
    ] == "by hand"


def test_ranges_hold_their_order_and_say_where_they_come_from() -> None:
    rope = catalog.find("rope", "7x19 stainless 5/16 in")
    low, high = cutting_force(rope)
    assert 0 < low < high < rope.strength
    for one in efforts(rope, catalog.find("sleeve", "zinc-plated copper oval 5/16 in")):
        assert one.handles[0] < one.handles[1]
        assert one.handles[0] * one.tool.leverage[1] == pytest.approx(one.jaws[0])
        assert one.handles[1] * one.tool.leverage[0] == pytest.approx(one.jaws[1])
    assert {tool.source.obtained for tool in tools()} == {"common practice"}
    risky = [tool.name for tool in tools() if tool.risky]
    assert len(risky) == 2
    assert all("pipe" in name or "come-along" in name for name in risky)


def test_letters_grow_with_the_distance() -> None:
    """One inch of letter for 25 ft: common practice, no source."""
    assert letter_height(50 * 12 * INCH) == pytest.approx(2 * INCH)
    first, *_ = labels(("1'-5\"", "1'-6\""))
    assert first.lines == ("LEG 1", "set 1'-5\" pin to pin", "DO NOT LOOSEN")


def test_a_sleeve_between_the_plies_is_told() -> None:
    """2x8 at 26.57 deg: the leg leaves the plies 8.11 in from the bolt; 2x6 at 63.4: 3.07 in."""
    tie = designed("octagon").tie
    eye = eye_of(tie.rope, tie.thimble, tie.sleeve)
    far = (eye.pin_to_mouth(tie.bolt.diameter) + eye.dead) / INCH
    assert 2.75 / sin(radians(63.435)) < far < 3.625 / sin(radians(26.565))
    hidden = sights(tie, eye, slope=0.5)[0]
    assert "between the plies" in hidden.told
    assert not hidden.open
    shallow = replace(tie, ply=catalog.find("ply", "2x6"))
    assert sights(shallow, eye, slope=2.0)[0].open


def test_sleeves_from_three_eighths_up_are_not_for_a_hand_swager() -> None:
    """Common practice, no source; so soft that an arm could close it, and still refused."""
    rope = catalog.find("rope", "7x19 galvanized 3/8 in")
    soft = replace(
        catalog.find("sleeve", "copper oval 5/16 in"), rope=rope.diameter, before=0.001, presses=9
    )
    verdicts = {one.tool.name: one.verdict for one in efforts(rope, soft)}
    assert verdicts["24 in hand tool, both handles"] == "no"
    assert verdicts["36 in hand tool, both handles"] == "no"
    assert verdicts["36 in tool, one handle bolted to the bench"] == "by hand"
    smaller = catalog.find("rope", "7x19 galvanized 5/16 in")
    verdicts = {one.tool.name: one.verdict for one in efforts(smaller, soft)}
    assert verdicts["24 in hand tool, both handles"] == "by hand"


def test_what_is_said_of_the_bench_names_the_ropes_it_means() -> None:
    done = designed("octagon")
    large = catalog.find("rope", "7x19 galvanized 3/8 in")
    assert "common practice, no source" in bench_said(done.tie, "us")
    assert bench_said(done.tie, "us").endswith("None here is.")
    assert '3/8"' in bench_said(done.tie, "us")
    ring = replace(done.tie, ring_rope=large)
    assert bench_said(ring, "si").endswith("Those of the ring are.")
    assert bench_said(replace(ring, rope=large), "si").endswith("of the legs and of the ring are.")
    assert bench_said(replace(ring, layout="cross"), "si").endswith("None here is.")
