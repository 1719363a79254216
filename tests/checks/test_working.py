"""Every printed line can be redone by hand, and every number in it comes from somewhere."""

from __future__ import annotations

import math

import pytest

from rafterstay import catalog
from rafterstay.checks import Check
from tests.checks.calculator import FIGURE, figures, worked
from tests.checks.scene import INCH, LBF, STATED, the, verified

PSI = LBF / INCH**2
VARIANTS: dict[str, dict[str, str]] = {
    "as stated": {},
    "SI": {"show": "si"},
    "leaning eye": {"eye_spacers": "false", "gap": "1 1/8 in"},
    "leaning eye in SI": {"eye_spacers": "false", "show": "si"},
    "no tail": {"tail": "0 in", "height": "0"},
    "pretensioned": {"target": "310 lb"},
    "wet and incised": {"wet": "true", "treatment": "copper"},
    "southern pine": {"species": "Southern Pine", "treatment": "copper", "show": "si"},
    "no bracing": {"bracing": "none", "fixity": "a"},
    "shackle": {"shackle": "anchor 5/8 in", "eye_spacers": "false"},
    "hold-down stated": {"holddown": "1.5 kip", "hub_tension": "2 kip"},
    "metric gap": {"gap": "41 mm", "show": "si", "eye_spacers": "false"},
}


def every_check() -> list[object]:
    return [
        pytest.param(check, id=f"{name}, {check.id}")
        for name, changes in VARIANTS.items()
        for check in verified(**changes).checks
    ]


@pytest.mark.parametrize("check", every_check())
class TestLines:
    def test_numbers_give_the_value(self, check: Check) -> None:
        for line in check.working:
            answer, doubt = worked(line.numbers), rounding(line.numbers)
            assert answer == pytest.approx(line.value, rel=0.0, abs=doubt), line
            assert doubt <= 1e-5 * abs(line.value) + 1e-12, line

    def test_every_number_is_in_the_formula_or_an_earlier_line(self, check: Check) -> None:
        earlier: set[str] = set()
        for line in check.working:
            if line.numbers not in figures(line.numbers):  # not a figure given as it stands
                unknown = figures(line.numbers) - figures(line.formula) - earlier
                assert not unknown, line
            earlier |= {shown(line.value)}

    def test_the_last_ratio_is_the_utilisation(self, check: Check) -> None:
        used = [line for line in check.working if line.symbol == "u"]
        for line in used:
            assert line.value == pytest.approx(check.utilisation, rel=1e-12)


def rounding(numbers: str) -> float:
    """How far the result may be off because every figure is printed with eight digits."""
    exact, off = worked(numbers), 1e-12
    for place in FIGURE.finditer(numbers):
        nudged = f"{float(place[0]) * (1.0 + 5e-8):.17f}"
        off += abs(worked(numbers[: place.start()] + nudged + numbers[place.end() :]) - exact)
    return off


def shown(value: float) -> str:
    """Eight digits, no exponent, written here a second time."""
    if value == 0.0:
        return "0"
    places = 7 - math.floor(math.log10(abs(value)))
    text = f"{round(abs(value), places):.{max(0, places)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def given(check: Check) -> dict[str, float]:
    """The figures a check starts from, as printed, by symbol."""
    return {
        line.symbol: float(line.numbers)
        for line in check.working
        if line.numbers in figures(line.numbers)
    }


def test_figures_of_the_bolt_come_from_job_and_catalogue() -> None:
    check = the(verified(), "bolt-yield")
    bolt = catalog.find("bolt", STATED["bolt"])
    ply = catalog.find("ply", "2x10")
    wood = catalog.species("Hem-Fir", "No. 2", ply.depth)
    thimble = catalog.find("thimble", STATED["thimble"])
    found = given(check)
    assert found == pytest.approx(
        {
            "T": 861.2,
            "D": bolt.diameter / INCH,
            "F_yb": bolt.yield_bending / PSI,
            "G": wood.gravity,
            "t": ply.thickness / INCH,
            "w": thimble.thickness / INCH,
            "s": 0.875,
            "theta": found["theta"],
            "F_em": 87000.0,
            "C_D": 1.15,
            "C_M": 1.0,
            "C_g": 1.0,
            "C_delta": 1.0,
        },
        rel=1e-5,
    )
    # Seven sides, rise 79 in over 135.5 - 7 in: the hip stands at 31.6 degrees; leg 5 drops a
    # little towards the ring, so its pull stands at a little more to the grain.
    hip = math.degrees(math.atan(79.0 / (135.5 - 7.0)))
    assert hip < found["theta"] < hip + 1.0


def test_figures_of_rope_and_ring_come_from_job_and_catalogue() -> None:
    checks = verified()
    rope = catalog.find("rope", STATED["rope"])
    ring_rope = catalog.find("rope", STATED["ring_rope"])
    thimble = catalog.find("thimble", STATED["thimble"])
    assert given(the(checks, "rope-strength")) == pytest.approx(
        {"T": 861.2, "S": rope.strength / LBF, "N_f": 0.9, "N_d": 1.0, "F": 2.2}, rel=1e-5
    )
    bend = given(the(checks, "ring-bend"))
    assert bend == pytest.approx(
        {
            "T_r": 1.15238 * (780.6 + 861.2) / 2.0,
            "S": ring_rope.strength / LBF,
            "N_f": 0.9,
            "F": 2.2,
            "D": thimble.thickness / INCH,
            "d": 0.3125,
            "r_1": 1.0,
            "e_1": 0.5,
            "r_2": 2.0,
            "e_2": 0.65,
        },
        rel=1e-5,
    )
