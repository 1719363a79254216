"""What a leg hangs on: shackles as lengths, measured or not, and what the catalogue lists."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rafterstay import catalog, roof, shop
from rafterstay.core.errors import InputError
from rafterstay.job import Job
from rafterstay.shop.hung import hung, link_of
from rafterstay.shop.proof import proof_pull
from rafterstay.statics.nouns import Forces
from rafterstay.tie import Tie, rig
from rafterstay.tie.nouns import HubPlate
from tests.shop.benches import INCH, LBF, designed
from tests.tie.rings import plated


def shackled(name: str, shackle: str) -> tuple[Job, Tie, Forces]:
    done = designed(name)
    parts = replace(done.job.parts, shackle=shackle)
    return replace(done.job, parts=parts), done.tie, done.forces


def test_pins_are_those_of_the_chart() -> None:
    """A sling shop's chart of anchor shackles, quenched and tempered; read."""
    chart = ("0.25", "0.31", "0.38", "0.44", "0.50", "0.63", "0.75", "0.88")
    sizes = ("3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "5/8", "3/4")
    for size, printed in zip(sizes, chart, strict=True):
        link = link_of(catalog.find("shackle", f"anchor {size} in"))
        assert link.pin / INCH == pytest.approx(float(printed), abs=0.0051)


def test_makers_sheets_in_inches_lie_within_what_an_untaped_shackle_may_be_off() -> None:
    """Makers' sheets to RR-C-271, inside of the bow to the pin, value from memory, 80 %."""
    in_inches = {"1/4": 1.13, "3/8": 1.44, "1/2": 1.88, "5/8": 2.38, "3/4": 2.81}
    for size, inside in in_inches.items():
        link = link_of(catalog.find("shackle", f"anchor {size} in"))
        # The middle is a quarter of the pin under what is listed.
        assert abs(inside * INCH - link.pin / 4 - link.inside) <= link.half


def test_a_leg_and_a_plate_take_one_length_of_a_shackle() -> None:
    """What the holes are drilled to is what the leg is cut to."""
    shackle = catalog.find("shackle", "anchor 7/16 in")
    link = link_of(shackle)
    job = plated(parts__shackle=shackle.name)
    drawn = rig(job, roof.lay_out(job)).body
    assert isinstance(drawn, HubPlate)
    assert drawn.link - drawn.hole / 2 == pytest.approx(link.inside + link.pin / 4)


def test_a_taped_shackle_is_as_long_as_by_hand() -> None:
    """3/8 in shackle, 1-15/32 in inside, 5/8 in bolt: 1.46875 - 0.3125 + 0.21875 = 1.375 in."""
    link = link_of(catalog.find("shackle", "anchor 3/8 in"), 1.46875 * INCH)
    assert link.measured
    assert link.length(0.625 * INCH) / INCH == pytest.approx(1.375)


def test_an_untaped_shackle_is_as_doubtful_as_sheets_are() -> None:
    """36 mm listed; to the pin's face or its axis: half a pin of 7/16 in between them."""
    shackle = catalog.find("shackle", "anchor 3/8 in")
    link = link_of(shackle)
    assert not link.measured
    assert (link.inside - link.half, link.inside + link.half) == pytest.approx(
        (0.036 - (7 / 32 + 1 / 32) * INCH, 0.036 + INCH / 32)
    )


def test_a_leg_on_a_shackle_is_shorter_by_it_and_provisional_until_it_is_taped() -> None:
    job, tie, forces = shackled("seven", "anchor 1/2 in")
    bare = shop.cut(designed("seven").job, tie, forces)
    guessed = shop.cut(job, tie, forces)
    taped = shop.cut(job, tie, forces, shackle_inside=0.0479)
    assert [code for code, _ in guessed.doubts] == ["shackle-length"]
    assert taped.doubts == ()
    strain = 60 * LBF / tie.rope.stiffness
    long = (0.0479 - tie.bolt.diameter / 2 + 0.625 * INCH / 2) / (1 + strain)
    for leg in (0, 4):
        ropes = [sum(p.finished for p in c.pieces[2 * leg : 2 * leg + 2]) for c in (bare, taped)]
        assert ropes[0] - ropes[1] == pytest.approx(long, abs=1.1 * bare.step)
    # The eye hangs on the shackle's pin, not on the bolt.
    assert taped.pieces[0].pins[0] == pytest.approx(0.625 * INCH)
    assert bare.pieces[0].pins[0] == tie.bolt.diameter
    needs = [c.bodies[0].take_up.total for c in (bare, taped, guessed)]
    assert needs[0] < needs[1] < needs[2]


def test_a_tie_across_hangs_on_two_shackles() -> None:
    job, tie, forces = shackled("gable", "anchor 1/2 in")
    ends = hung(tie, 0, link_of(catalog.find("shackle", "anchor 1/2 in"), 0.05))
    assert ends.first == ends.last
    body = shop.cut(job, tie, forces, shackle_inside=0.05).bodies[0]
    (links,) = (term.length for term in body.terms if term.part == "link")
    assert links == pytest.approx(2 * (0.05 - tie.bolt.diameter / 2 + 0.625 * INCH / 2))


def test_a_shackle_of_unknown_length_is_refused() -> None:
    odd = replace(
        catalog.find("shackle", "anchor 3/8 in"),
        name="anchor 11 mm",
        bar=0.0111,
        pin=None,
        inside_length=None,
    )
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
