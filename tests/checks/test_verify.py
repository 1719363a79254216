"""What the checks come to: verdict, weakest, order, duty, units."""

from __future__ import annotations

import pytest

from tests.checks.scene import the, verified, verified_with

IDS = {
    "rope-strength", "rope-lifting", "eye-fit", "ring-pull", "ring-bend", "ring-clearance",
    "turnbuckle-load", "turnbuckle-thread", "bolt-yield", "bolt-steel", "bolt-distances",
    "hub-shear", "hub-tension", "wall-spread", "ring-sag", "ring-shift", "leg-slack",
    "eye-pin", "wood-splitting", "wood-net", "rafter-bending", "rafter-stability", "rafter-shear",
    "rafter-bearing", "rafter-deflection", "rafter-hole", "ply-buckling", "ply-blocks",
    "hub-bearing", "hub-drop", "holddown", "ring-lost",
}  # fmt: skip


def test_every_id_once() -> None:
    found = [check.id for check in verified().checks]
    assert len(found) == len(set(found))
    assert set(found) == IDS
    assert {check.id for check in verified(snow=True).checks} == IDS | {"unbalanced-snow"}
    with_shackle = verified(shackle="anchor 1/2 in")
    assert {check.id for check in with_shackle.checks} == IDS | {"shackle-load"}


def test_all_within_passes() -> None:
    checks = verified()
    assert {check.id for check in checks.checks if check.status != "passes"} == set()
    assert checks.verdict == "passes"


def test_one_referral_refers_and_one_failure_fails() -> None:
    assert verified(snow=True).verdict == "refer"
    assert the(verified(snow=True), "unbalanced-snow").status == "refer"
    assert verified(snow=True, gap="3/8 in").verdict == "fails"


def test_advice_never_changes_the_verdict() -> None:
    checks = verified(scale=1500.0 / 861.2, hub_shear="4 kip", bolt="A307 3/4 in", gap="1/2 in")
    assert {each.id: each.status for each in checks.checks if each.status != "passes"} == {
        "rope-lifting": "fails",
        "ring-lost": "refer",
    }
    assert checks.verdict == "refer"


def test_worst_first() -> None:
    checks = verified(scale=3.7, hub_shear="0 lb").checks
    rank = {"fails": 0, "refer": 1, "passes": 2}
    order = [rank[check.status] for check in checks]
    assert order == sorted(order)
    assert {0, 1, 2} == set(order)
    for status in rank:
        used = [c.utilisation for c in checks if c.status == status and c.utilisation is not None]
        assert used == sorted(used, reverse=True)


def test_weakest_is_the_fullest_part_that_decides() -> None:
    checks = verified(scale=1.9)
    fullest = max(
        (
            check
            for check in checks.checks
            if check.decides and check.utilisation is not None and check.id != "ring-lost"
        ),
        key=lambda check: check.utilisation or 0.0,
    )
    assert checks.weakest == fullest.id
    assert checks.weakest == "bolt-yield"


@pytest.mark.parametrize(
    ("height", "duty"),
    [("0", "rafter tie"), ("1/3", "rafter tie"), ("1/2", "neither"),
     ("5/7", "collar tie")],
)  # fmt: skip
def test_duty(height: str, duty: str) -> None:
    checks = verified(height=height)
    assert (checks.duty, checks.prescriptive) == (duty, "outside")


def test_units_of_the_answers_change_no_answer() -> None:
    """Lines and sentences follow the user's units; demand and capacity are SI."""
    us, si = verified(), verified(show="si")
    for here, there in zip(us.checks, si.checks, strict=True):
        assert here.id == there.id
        assert here.demand == there.demand
        assert here.capacity == there.capacity
        assert here.why != there.why or " lb" not in here.why
    assert the(us, "rope-strength").working[0].unit == "lbf"
    assert the(si, "rope-strength").working[0].unit == "N"
    assert " lb" in the(us, "rope-strength").why
    assert "kN" in the(si, "rope-strength").why


def test_doubling_every_pull_doubles_every_utilisation_of_strength() -> None:
    once, twice = verified(scale=0.7), verified(scale=1.4)
    for check_id in ("rope-strength", "ring-pull", "ring-bend", "turnbuckle-load", "bolt-yield",
                     "bolt-steel", "hub-shear"):  # fmt: skip
        before, after = the(once, check_id).utilisation, the(twice, check_id).utilisation
        assert before is not None
        assert after == pytest.approx(2.0 * before)


def test_every_check_says_why_and_names_its_sources() -> None:
    for check in (*verified(snow=True).checks, *verified_with({}, show="si").checks):
        assert check.why.endswith(".")
        assert check.sources
        word = check.id.split("-")[0]
        assert check.part == {"ply": "rafter", "wood": "rafter"}.get(word, word)


def test_a_hub_that_holds_its_heads_does_both_duties() -> None:
    assert verified(hub_tension="300 lb").duty == "both"
    assert "hub" in verified(hub_tension="300 lb").duty_why
    assert "third" in verified().duty_why
    assert "7 sides" in verified().prescriptive_why
