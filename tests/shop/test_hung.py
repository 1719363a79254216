"""What a leg hangs on: shackles as lengths, measured or not, and what the two tables say."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from rafterstay import catalog, shop
from rafterstay.core.errors import InputError
from rafterstay.core.tables import table
from rafterstay.job import Job
from rafterstay.shop.effort import TABLES
from rafterstay.shop.hung import hung, link_of
from rafterstay.shop.proof import proof_pull
from rafterstay.statics.nouns import Forces
from rafterstay.tie import Tie
from tests.shop.benches import INCH, LBF, designed


def shackled(name: str, shackle: str) -> tuple[Job, Tie, Forces]:
    done = designed(name)
    parts = replace(done.job.parts, shackle=shackle)
    return replace(done.job, parts=parts), done.tie, done.forces


def test_pins_are_those_of_the_chart() -> None:
    """A sling shop's chart of anchor shackles, quenched and tempered; read."""
    chart = ("0.25", "0.31", "0.38", "0.44", "0.50", "0.63", "0.75", "0.88")
    assert tuple(row.printed["pin"] for row in table(TABLES, "shackle_pin")) == chart


def test_lengths_inside_are_longer_than_a_pin_and_in_proportion() -> None:
    """Makers' sheets, value from memory, 80 %: about 3 3/4 bars, 1.88 in for 1/2 in."""
    rows = {row.printed["bar"]: row.printed["inside"] for row in table(TABLES, "shackle_inside")}
    assert (rows["3/8"], rows["1/2"], rows["3/4"]) == ("1.44", "1.88", "2.81")
    for bar, inside in rows.items():
        assert 3.7 < float(inside) / float(Fraction(bar)) < 4.8


def test_a_taped_shackle_is_as_long_as_by_hand() -> None:
    """3/8 in shackle, 1-15/32 in inside, 5/8 in bolt: 1.46875 - 0.3125 + 0.22 = 1.376 in."""
    link = link_of(catalog.find("shackle", "anchor 3/8 in"), 1.46875 * INCH)
    assert link.measured
    assert link.length(0.625 * INCH) / INCH == pytest.approx(1.37625)


def test_an_untaped_shackle_is_as_doubtful_as_sheets_are() -> None:
    """Whether sheets measure to the pin's face or its axis: half a pin, 0.22 in, between them."""
    shackle = catalog.find("shackle", "anchor 3/8 in")
    link = link_of(shackle)
    assert not link.measured
    assert (link.inside - link.half, link.inside + link.half) == pytest.approx(
        ((1.44 - 0.22 - 1 / 32) * INCH, (1.44 + 1 / 32) * INCH)
    )


def test_a_leg_on_a_shackle_is_shorter_by_it_and_provisional_until_it_is_taped() -> None:
    job, tie, forces = shackled("seven", "anchor 1/2 in")
    bare = shop.cut(designed("seven").job, tie, forces)
    guessed = shop.cut(job, tie, forces)
    taped = shop.cut(job, tie, forces, shackle_inside=0.0479)
    assert [code for code, _ in guessed.doubts] == ["shackle-length"]
    assert taped.doubts == ()
    strain = 60 * LBF / tie.rope.stiffness
    long = (0.0479 - tie.bolt.diameter / 2 + 0.63 * INCH / 2) / (1 + strain)
    for leg in (0, 4):
        ropes = [sum(p.finished for p in c.pieces[2 * leg : 2 * leg + 2]) for c in (bare, taped)]
        assert ropes[0] - ropes[1] == pytest.approx(long, abs=1.1 * bare.step)
    # The eye hangs on the shackle's pin, not on the bolt.
    assert taped.pieces[0].pins[0] == pytest.approx(0.63 * INCH)
    assert bare.pieces[0].pins[0] == tie.bolt.diameter
    needs = [c.bodies[0].take_up.total for c in (bare, taped, guessed)]
    assert needs[0] < needs[1] < needs[2]


def test_a_tie_across_hangs_on_two_shackles() -> None:
    job, tie, forces = shackled("gable", "anchor 1/2 in")
    ends = hung(tie, 0, link_of(catalog.find("shackle", "anchor 1/2 in"), 0.05))
    assert ends.first == ends.last
    body = shop.cut(job, tie, forces, shackle_inside=0.05).bodies[0]
    (links,) = (term.length for term in body.terms if term.part == "link")
    assert links == pytest.approx(2 * (0.05 - tie.bolt.diameter / 2 + 0.63 * INCH / 2))


def test_a_shackle_of_unknown_length_is_refused() -> None:
    odd = replace(catalog.find("shackle", "anchor 3/8 in"), name="anchor 11 mm", bar=0.0111)
    with pytest.raises(InputError, match="IN-070 parts.shackle = anchor 11 mm"):
        link_of(odd)
    assert link_of(odd, 0.04).pin == odd.bar


def test_a_taped_shackle_in_a_job_without_one_is_refused() -> None:
    done = designed("octagon")
    with pytest.raises(InputError, match="IN-070 --shackle-inside"):
        shop.cut(done.job, done.tie, done.forces, shackle_inside=0.04)


def test_a_shackle_caps_the_proof_pull() -> None:
    """RR-C-271, value from memory, 85 %: proof load of twice the working load limit."""
    done = designed("gable")
    light = catalog.find("shackle", "anchor 1/4 in")
    found = proof_pull(done.tie, done.forces, done.checks, shackle=light)
    assert found.bench == pytest.approx(2 * light.working_load)
    assert any("shackle anchor 1/4 in" in cap.what for cap in found.caps)
