"""Every example is checked, and leaves with the verdict that is recorded here."""

from __future__ import annotations

from typing import Any

import pytest

from rafterstay.job.examples import examples
from tests.cli.run import EXAMPLES, document, run

# Verdict, worst deciding check, whether there is a ring, number of legs, exit code.
RECORDED = {
    "bandstand": ("refer", "rafter-bearing", False, 6, 1),
    "gable-workshop": ("passes", "wall-spread", False, 1, 0),
    "pavilion": ("passes", "leg-slack", False, 4, 0),
    "round-house": ("refer", "ring-sag", True, 16, 1),
}


def checked(name: str) -> tuple[int, dict[str, Any]]:
    result = run("check", str(EXAMPLES / f"{name}.toml"), "--json")
    return result.exit_code, document(result)


@pytest.mark.parametrize("name", sorted(RECORDED))
def test_an_example_leaves_with_its_verdict(name: str) -> None:
    code, found = checked(name)
    verdict, weakest, ring, legs, exit_code = RECORDED[name]
    assert (found["verdict"], found["weakest"]) == (verdict, weakest)
    assert len(found["legs"]) == legs
    assert (found["ring"] is not None) is ring
    assert code == exit_code


@pytest.mark.parametrize("name", sorted(RECORDED))
def test_only_a_ring_has_a_pull_and_a_place(name: str) -> None:
    _, found = checked(name)
    _, _, ring, legs, _ = RECORDED[name]
    for one in found["combinations"]:
        assert len(one["legs_N"]) == len(one["first_order_N"]) == legs
        assert (one["ring_N"] is None) is not ring
        if not ring:
            assert (one["ring_shift_m"], one["ring_sag_m"]) == (None, None)
    told = {check["id"].partition("-")[0] for check in found["checks"]}
    assert ("ring" in told) is ring


def test_uplift_governs_the_pavilion() -> None:
    _, found = checked("pavilion")
    (slack,) = (check for check in found["checks"] if check["id"] == "leg-slack")
    assert slack["combination"] == "0.6D+0.6W/uplift"
    assert slack["decides"]


def test_the_corner_of_a_band_is_for_an_engineer() -> None:
    _, found = checked("bandstand")
    referred = {check["id"] for check in found["checks"] if check["status"] == "refer"}
    assert referred == {"bolt-yield", "bolt-steel", "leg-lost"}
    (yielding,) = (check for check in found["checks"] if check["id"] == "bolt-yield")
    assert "a fitting at the corner must turn their pull" in yielding["why"]


def test_every_example_beside_the_first_two_is_recorded() -> None:
    assert set(RECORDED) == set(examples()) - {"octagon", "reading-room"}
