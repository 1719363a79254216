"""Hub, pins, shackle and materials: bearing off the middle, growth of pulls, what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rafterstay import catalog, job
from rafterstay.checks.practice.materials import material_notes
from rafterstay.core.errors import InputError
from rafterstay.job.examples import example
from tests.checks.scene import INCH, LBF, N, forces, stated, the, verified, verified_with

PSI = LBF / INCH**2


class TestHubBearing:
    """Statics of a face that can only press; NDS 2018 3.10 for what the wood takes."""

    @staticmethod
    def pressed(moment: float, push: float = 900.0) -> dict[str, object]:
        moments = np.zeros((3, N))
        moments[2, 4] = moment * LBF * INCH
        pushes = np.full((3, N), 300.0 * LBF)
        pushes[2, 4] = push * LBF
        return {"head_moment": moments, "head_push": pushes}

    def test_within_the_middle_third_the_whole_face_bears(self) -> None:
        check = the(verified_with(self.pressed(900.0)), "hub-bearing")
        by_hand = 900.0 / (3.0 * 9.25) * (1.0 + 6.0 * 1.0 / 9.25)
        assert check.demand == pytest.approx(by_hand * PSI)
        assert check.capacity == pytest.approx(405.0 * PSI)

    def test_outside_it_a_part_bears(self) -> None:
        """E = 3 in of 4.625: contact 3 (d/2 - e) = 4.875 in, twice the mean at the edge."""
        check = the(verified_with(self.pressed(2700.0)), "hub-bearing")
        assert check.demand == pytest.approx(2.0 * 900.0 / (3.0 * 4.875) * PSI)

    def test_the_two_forms_meet_at_the_edge_of_the_third(self) -> None:
        inside = the(verified_with(self.pressed(900.0 * 9.25 / 6.0 - 1e-6)), "hub-bearing").demand
        outside = the(verified_with(self.pressed(900.0 * 9.25 / 6.0 + 1e-6)), "hub-bearing").demand
        assert inside == pytest.approx(outside, rel=1e-6)

    def test_off_the_face_the_head_rolls_off(self) -> None:
        check = the(verified_with(self.pressed(900.0 * 4.7)), "hub-bearing")
        assert (check.status, check.leg) == ("fails", 5)
        assert check.utilisation == pytest.approx(4.7 / 4.625)
        assert "roll off" in check.why

    def test_heads_that_pull_are_another_check(self) -> None:
        check = the(verified_with(self.pressed(900.0 * 4.7, push=-900.0)), "hub-bearing")
        assert check.demand == pytest.approx(300.0 / (3.0 * 9.25) * PSI)

    def test_a_shallow_angle_to_the_grain_takes_more_in_a_point(self) -> None:
        """Heads in a point press on one another at the hip's slope, by Hankinson's formula."""
        text = example("octagon")
        from rafterstay import design  # the whole map, for a hub that is a point

        checks = design.check(job.loads(text)).checks
        slope = math.atan(0.5)
        along, across = 1350.0 * 1.05 * 1.15, 625.0
        hankinson = along * across / (along * math.sin(slope) ** 2 + across * math.cos(slope) ** 2)
        assert the(checks, "hub-bearing").capacity == pytest.approx(hankinson * PSI)


def test_pulls_that_grow_over_a_tenth_fail() -> None:
    grown = np.array([1.02, 1.104, 1.06])
    check = the(verified_with({"amplification": grown}), "hub-drop")
    assert check.status == "fails"
    assert check.utilisation == pytest.approx(1.04)
    assert check.combination == "D+S/balanced"
    assert the(verified_with({"amplification": grown - 0.005}), "hub-drop").status == "passes"


class TestPins:
    def test_the_jaw_pin_is_the_thinnest(self) -> None:
        check = the(verified(), "eye-pin")
        assert check.capacity == pytest.approx(0.011)
        assert check.demand == pytest.approx(0.25 * INCH)

    def test_an_unknown_jaw_pin_is_referred(self) -> None:
        changes = {"turnbuckle": "jaw-jaw 3/8 in x 6 in"}
        assert the(verified(**changes), "eye-pin").status == "refer"

    def test_a_rope_thicker_than_a_pin_fails(self) -> None:
        check = the(verified(rope="7x19 galvanized 3/8 in", shackle="anchor 5/16 in"), "eye-pin")
        assert check.status == "fails"
        assert "shackle" in check.why


class TestShackle:
    def test_in_line(self) -> None:
        """A half-inch anchor shackle: 2 short tons; the legs lie in their hips' planes."""
        check = the(verified(shackle="anchor 1/2 in"), "shackle-load")
        assert check.capacity == pytest.approx(4000.0 * LBF)
        assert check.demand == pytest.approx(861.2 * LBF)

    def test_pulled_from_the_side(self) -> None:
        """0.1 sideways to 1 in line is 5.7 degrees: 0.7 at 45 takes 0.038 off."""
        _, frame, tie = stated()
        direction = forces(frame, tie).pull_direction + 0.1 * frame.sideways
        direction = direction / np.linalg.norm(direction, axis=-1, keepdims=True)
        changed = {"pull_direction": direction}
        check = the(verified_with(changed, shackle="anchor 1/2 in"), "shackle-load")
        assert check.capacity is not None
        kept = check.capacity / (4000.0 * LBF)
        assert kept == pytest.approx(1.0 - 0.3 * math.degrees(math.atan(0.1)) / 45.0, abs=2e-4)

    def test_its_bow_is_what_the_bolt_carries(self) -> None:
        """A wider bow leaves less clear beside it: the bolt bends less."""
        thin = the(verified(shackle="anchor 1/4 in", gap="1 in"), "bolt-yield").capacity
        thick = the(verified(shackle="anchor 5/8 in", gap="1 in"), "bolt-yield").capacity
        assert thin is not None
        assert thick is not None
        assert thick > thin

    def test_it_must_fit(self) -> None:
        """0.81 in between the jaws of a half-inch shackle, 0.41 in of thimble, 5/8 in bolt."""
        check = the(verified(shackle="anchor 1/2 in", gap="5/8 in"), "eye-fit")
        assert check.utilisation == pytest.approx(0.5 / 0.625)
        too_wide = the(verified(shackle="anchor 3/4 in", gap="5/8 in"), "eye-fit")
        assert too_wide.status == "fails"
        unknown = the(verified(shackle="anchor 7/16 in", gap="5/8 in"), "eye-fit")
        assert unknown.status == "refer"
        assert "shackle" in unknown.why


def changed(**keys: object) -> str:
    text = example("octagon")
    for key, value in keys.items():
        text = job.set_value(text, key.replace("__", "."), value)  # type: ignore[arg-type]
    return text


class TestRefused:
    @pytest.mark.parametrize(
        ("key", "name", "said"),
        [
            ("parts__sleeve", "U-bolt clip 1/4 in", "trial"),
            ("parts__sleeve", "wire rope clips", "trial"),
            ("parts__sleeve", "aluminium oval 1/4 in", "stainless"),
            ("parts__sleeve", "aluminum oval 1/4 in", "overhead"),
            ("parts__turnbuckle", "hook-eye 1/2 in x 6 in", "slack"),
            ("parts__turnbuckle", "open eye 1/2 in x 6 in", "straightens"),
        ],
    )
    def test_no_place_in_a_permanent_leg(self, key: str, name: str, said: str) -> None:
        with pytest.raises(InputError, match="IN-018") as caught:
            job.loads(changed(**{key: name}))
        (found,) = caught.value.findings
        assert found.key == key.replace("__", ".")
        assert said in found.remedy

    def test_no_stainless_over_a_pool(self) -> None:
        with pytest.raises(InputError, match="IN-019") as caught:
            job.loads(changed(site__pool=True, parts__rope="7x19 stainless 1/4 in"))
        assert [found.key for found in caught.value.findings] == ["parts.rope"]

    def test_galvanized_over_a_pool_is_told(self) -> None:
        notes = dict(material_notes(job.loads(changed(site__pool=True))))
        assert set(notes) == {"pool"}


@pytest.mark.parametrize(
    ("keys", "codes"),
    [
        ({}, set()),
        ({"site__timber_treatment": "copper"}, {"copper-timber"}),
        ({"site__timber_treatment": "other"}, {"treated-timber"}),
        ({"parts__ring_rope": "7x19 stainless 5/16 in"}, {"mixed-metals"}),
        (
            {"parts__rope": "7x19 stainless 1/4 in"},
            {"mixed-metals", "sleeve-metal"},
        ),
        (
            {
                "parts__rope": "7x19 stainless 1/4 in",
                "parts__ring_rope": "7x19 stainless 5/16 in",
                "parts__sleeve": "zinc-plated copper oval 1/4 in",
            },
            set(),
        ),
        ({"parts__sleeve": "zinc-plated copper oval 1/4 in"}, {"sleeve-metal"}),
        ({"parts__ring_rope": "6x19 IWRC bright 5/16 in"}, {"bright-rope"}),
    ],
)
def test_materials_that_wear_one_another_out(keys: dict[str, object], codes: set[str]) -> None:
    assert set(dict(material_notes(job.loads(changed(**keys))))) == codes


def test_a_sleeve_of_your_own_counts_by_its_metal() -> None:
    head = "material,rope,before,after,presses,label,source\ntext,in,in,in,-,text,text\n"
    own = catalog.read_own(
        {"sleeve": f"{head}zinc-plated copper,1/4,1-1/8,1-1/2,3,quay,Sheet 8\n".encode()}
    )
    text = changed(
        parts__rope="7x19 stainless 1/4 in",
        parts__ring_rope="7x19 stainless 5/16 in",
        parts__sleeve="quay zinc-plated copper oval 1/4 in",
    )
    assert material_notes(job.loads(text, catalogue=own)) == ()


def test_every_shackle_of_the_catalogue_is_served() -> None:
    for name in catalog.names("shackle"):
        assert job.loads(changed(parts__shackle=name)).parts.shackle == name
    with pytest.raises(InputError, match="IN-010"):
        job.loads(changed(parts__shackle="anchor 9 in"))
