"""The plate bent sideways, against simple beams worked here."""

from __future__ import annotations

from math import pi, sin

import pytest

from rafterstay import design
from rafterstay.checks.nouns import Check
from rafterstay.job import Job
from tests.statics.roofs import FOOT, POUND, PSF, Value, stated
from tests.statics.test_layouts import workshop

INCH = FOOT / 12


def plate_of(read: Job) -> Check | None:
    found = [each for each in design.check(read).checks.checks if each.id == "plate-bending"]
    return found[0] if found else None


def test_untied_pairs_bend_the_plate_as_an_even_push() -> None:
    """Even push q: q L^2 / 8, q = w L^2 / (8 h) a spacing; two plies 2x6 flat. Source: statics."""
    read = workshop(
        roof__overhang="0 in",
        loads__dead="0 psf",
        loads__snow__roof="17 psf",
        roof__tie_every=3,
        roof__spacing="20 in",
    )
    found = plate_of(read)
    assert found is not None
    thrust = 17 * PSF * 20 * INCH * (24 * FOOT) ** 2 / (8 * 4 * FOOT)
    moment = thrust / (20 * INCH) * (60 * INCH) ** 2 / 8
    modulus = 2 * 1.5 * 5.5**2 / 6 * INCH**3
    assert found.demand == pytest.approx(moment / modulus, rel=1e-6)
    assert found.combination == "D+S/balanced"
    assert found.status == ("passes" if found.demand <= (found.capacity or 0.0) else "fails")


def test_the_tail_of_an_untied_pair_counts_once() -> None:
    """With an eave the push of one pair is (a^2 - e^2) / (2 h) of the line. Source: statics."""
    read = workshop(loads__dead="0 psf", roof__tie_every=4, loads__snow__roof="9 psf")
    found = plate_of(read)
    assert found is not None
    line = 9 * PSF * 2 * FOOT
    push = line * (12 * FOOT) ** 2 / (2 * 4 * FOOT)  # bare eaves push harder
    moment = push / (2 * FOOT) * (8 * FOOT) ** 2 / 8
    assert found.demand == pytest.approx(moment / (2 * 1.5 * 5.5**2 / 6 * INCH**3), rel=1e-6)
    assert found.combination == "D+S/balanced-bare-eaves"


def test_a_plate_that_is_not_stated_is_referred() -> None:
    jacks: dict[str, Value] = {"roof__infill": "jacks", "loads__snow__roof": "12 psf"}
    found = plate_of(stated("octagon", **jacks))
    assert found is not None
    assert (found.status, found.capacity) == ("refer", None)
    # p d / (2 s) at the middle of a side, d = R cos(pi/8), s = 6 / d, over the side's length.
    deep = 12 * FOOT * (1 - sin(pi / 8) ** 2) ** 0.5
    push = 12 * PSF * deep / (2 * 6 * FOOT / deep)
    assert found.demand == pytest.approx(push * 24 * FOOT * sin(pi / 8), rel=1e-6)


def test_the_leaning_jack_bends_its_plate_by_a_twelfth() -> None:
    """A push that peaks in the middle: q L^2 / 12. Source: statics of a simple beam."""
    keys: dict[str, Value] = {"support__plate_ply": "2x8", "support__plate_plies": 1}
    read = stated("octagon", roof__infill="jacks", loads__snow__roof="12 psf", **keys)
    found = plate_of(read)
    assert found is not None
    deep = 12 * FOOT * (1 - sin(pi / 8) ** 2) ** 0.5
    push = 12 * PSF * deep**2 / (2 * 6 * FOOT)
    moment = push * (24 * FOOT * sin(pi / 8)) ** 2 / 12
    assert found.demand == pytest.approx(moment / (1.5 * 7.25**2 / 6 * INCH**3), rel=1e-6)


@pytest.mark.parametrize("changes", [{"roof__tie_every": 1}, {"roof__ridge": "beam"}])
def test_nothing_bends_the_plate_of(changes: dict[str, Value]) -> None:
    assert plate_of(workshop(**changes)) is None


def test_a_wider_spacing_of_ties_puts_a_gable_outside_the_tables() -> None:
    """IRC R802.5.2.2: wood rafter ties at most 24 in apart (2024 text read; 2021 alike, 85 %)."""
    close = design.check(workshop(roof__tie_every=1, roof__spacing="24 in")).checks
    apart = design.check(workshop(roof__tie_every=2, roof__spacing="16 in")).checks
    assert (close.prescriptive, apart.prescriptive) == ("within", "outside")


PLATE: dict[str, Value] = {
    "support__plate": "continuous",
    "support__plate_ply": "2x6",
    "support__plate_plies": 2,
    "support__joint_capacity": "900 lb",
    "support__joint_slip": ["1/32 in", "3/32 in"],
}


def joint_of(read: Job) -> Check | None:
    found = [each for each in design.check(read).checks.checks if each.id == "plate-joint"]
    return found[0] if found else None


def test_a_joint_is_asked_what_its_stiffness_draws() -> None:
    """Hips on rigid legs aside: k (2 x sin(pi/n)), worked from the feet's movement. Statics.

    The capacity follows the duration of snow, NDS 2018 Table 2.3.2, 1.15.
    """
    read = stated("octagon", tie__layout="band", rafter__ply="2x12", **PLATE)
    found = joint_of(read)
    assert found is not None
    assert found.combination == "D+S/balanced/stated"
    assert found.capacity == pytest.approx(1.15 * 900 * POUND, rel=1e-9)
    lines = {line.symbol: line.value for line in found.working}
    give = lines["L"] / (lines["E"] * lines["A"]) + 1 / 32 / 900
    assert lines["A"] == pytest.approx(2 * 1.5 * 5.5)
    assert lines["L"] == pytest.approx(2 * 144 * sin(pi / 8), rel=1e-7)
    assert lines["N"] == pytest.approx(lines["e"] / give, rel=1e-9)
    assert found.demand == pytest.approx(lines["N"] * POUND, rel=1e-9)
    # Both rings together hold the whole: H / (2 sin(pi/n)) of W R / (3 h).
    whole = 40 * PSF * sin(pi / 4) * (12 * FOOT) ** 3 / 2 / (3 * 6 * FOOT) / (2 * sin(pi / 8))
    assert 0.3 * whole < found.demand < whole
    assert "The band beside it holds" in found.why


def test_a_joint_weaker_than_its_share_fails_and_the_tie_stays_as_strong() -> None:
    weak = stated("octagon", rafter__ply="2x12", **PLATE | {"support__joint_capacity": "150 lb"})
    found = design.check(weak).checks
    (joint,) = (each for each in found.checks if each.id == "plate-joint")
    assert (joint.status, found.verdict) == ("fails", "fails")
    jointed = design.check(stated("octagon", rafter__ply="2x12")).checks
    ropes = [
        next(each.demand for each in one.checks if each.id == "rope-strength")
        for one in (found, jointed)
    ]
    assert ropes[0] == pytest.approx(ropes[1], rel=1e-9)


def test_a_jointed_plate_has_no_joint_to_judge() -> None:
    assert joint_of(stated("octagon", rafter__ply="2x12")) is None
