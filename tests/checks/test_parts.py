"""Every other part: passes, fails and refers where it should, and by how much.

Capacities are worked here from the catalogue's printed figures. ASCE/SEI 19-16 ch. 3 (factor
2.2) and EN 13411-3 (0.9) for ropes; the rest is geometry and common practice.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from rafterstay.checks import Checks, verify
from rafterstay.statics.nouns import Forces
from rafterstay.tie import Tie
from tests.checks.scene import INCH, LBF, N, forces, stated, the, verified, verified_with


def with_tie(**changed: object) -> Checks:
    """Checks of the same job with rows of the tie replaced."""
    read, frame, tie = stated()
    other: Tie = replace(tie, **changed)  # type: ignore[arg-type]
    return verify(read, frame, other, forces(frame, other), simplified_snow=False)


def loads() -> Forces:
    _, frame, tie = stated()
    return forces(frame, tie)


class TestRope:
    def test_building_rule_decides(self) -> None:
        check = the(verified(), "rope-strength")
        assert check.demand == pytest.approx(861.2 * LBF)
        assert check.capacity == pytest.approx(7000.0 * 0.9 / 2.2 * LBF)
        assert (check.combination, check.leg) == ("D+S/unbalanced-077", 5)
        assert (check.status, check.decides) == ("passes", True)

    def test_lifting_practice_is_advice_and_never_multiplied(self) -> None:
        """1500 lb is over a fifth of 7000 lb, but under 7000 x 0.9 / 2.2."""
        checks = verified(scale=1500.0 / 861.2)
        advice = the(checks, "rope-lifting")
        assert advice.capacity == pytest.approx(1400.0 * LBF)
        assert (advice.status, advice.decides) == ("fails", False)
        assert the(checks, "rope-strength").status == "passes"
        assert checks.weakest != "rope-lifting"

    def test_too_much_fails(self) -> None:
        assert the(verified(scale=4.0), "rope-strength").status == "fails"


class TestRing:
    def test_pull_without_the_bend(self) -> None:
        check = the(verified(), "ring-pull")
        assert check.demand == pytest.approx(1.15238 * (780.6 + 861.2) / 2.0 * LBF)
        assert check.capacity == pytest.approx(9800.0 * 0.9 / 2.2 * LBF)
        assert check.leg == 4
        by_hand = next(line.value for line in check.working if line.symbol == "T_equal")
        assert by_hand == pytest.approx(861.2 / (2.0 * math.sin(math.pi / 7)))

    def test_bend_over_the_thimble(self) -> None:
        """D/d = 0.41 / 0.3125 = 1.312, between 0.50 at 1 and 0.65 at 2."""
        check = the(verified(), "ring-bend")
        bend = 0.50 + 0.15 * (0.41 / 0.3125 - 1.0)
        assert check.capacity == pytest.approx(9800.0 * 0.9 * bend / 2.2 * LBF)

    def test_a_bend_sharper_than_the_rope_fails_with_its_reason(self) -> None:
        checks = verified(ring_rope="7x19 galvanized 3/8 in", thimble="heavy 1/4 in")
        assert the(checks, "ring-bend").status == "passes"
        _, _, tie = stated()
        thin = with_tie(thimble=replace(tie.thimble, thickness=0.3 * INCH))
        check = the(thin, "ring-bend")
        assert (check.status, check.capacity, check.utilisation) == ("fails", 0.0, None)
        assert "0.96 of its own diameter" in check.why
        assert thin.weakest == "ring-bend"
        assert thin.checks[0].id == "ring-bend"

    def test_room_for_the_eyes(self) -> None:
        check = the(verified(), "ring-clearance")
        assert check.capacity == pytest.approx(2.0 * 6.5 * INCH * math.sin(math.pi / 7))
        assert check.demand == pytest.approx(1.5 * INCH)
        tight = the(verified(ring_radius="1 5/8 in"), "ring-clearance")
        assert tight.status == "fails"

    def test_rope_wider_than_its_thimble_counts(self) -> None:
        _, _, tie = stated()
        check = the(with_tie(thimble=replace(tie.thimble, overall_width=INCH)), "ring-clearance")
        assert check.demand == pytest.approx((0.88 + 2.0 * 0.25) * INCH)


class TestTurnbuckle:
    def test_working_load_limit(self) -> None:
        assert the(verified(), "turnbuckle-load").capacity == pytest.approx(2200.0 * LBF)
        assert the(verified(scale=3.0), "turnbuckle-load").status == "fails"

    def test_thread_for_bedding_in_and_stretch(self) -> None:
        _, _, tie = stated()
        length = float((tie.leg_lengths - tie.turnbuckle_set + 0.001 * np.arange(N)).max())
        check = the(verified(), "turnbuckle-thread")
        grown = 0.01 * length + 221.0 * LBF * length / tie.rope.stiffness
        assert check.demand == pytest.approx(grown)
        assert check.capacity == pytest.approx(tie.turnbuckle_set - tie.turnbuckle.closed)
        assert check.status == "passes"

    def test_a_larger_target_counts_instead_of_dead_load(self) -> None:
        _, _, tie = stated()
        more = the(verified(target="950 lb"), "turnbuckle-thread").demand
        length = float((tie.leg_lengths - tie.turnbuckle_set + 0.001 * np.arange(N)).max())
        assert more == pytest.approx(length * (0.01 + 950.0 * LBF / tie.rope.stiffness))

    def test_almost_closed_runs_out(self) -> None:
        _, _, tie = stated()
        closed = tie.turnbuckle.closed + 0.25 * INCH
        assert the(with_tie(turnbuckle_set=closed), "turnbuckle-thread").status == "fails"

    def test_past_the_full_open_stop_may_not_be_loaded(self) -> None:
        _, _, tie = stated()
        stop = tie.turnbuckle.closed + tie.turnbuckle.take_up
        check = the(with_tie(turnbuckle_set=stop + 0.01 * INCH), "turnbuckle-thread")
        assert (check.status, check.capacity) == ("fails", 0.0)
        at_stop = the(with_tie(turnbuckle_set=stop), "turnbuckle-thread")
        assert at_stop.status == "passes"


class TestEye:
    def test_tightest_is_told(self) -> None:
        """0.625 in bolt in 0.88 in; sizes that are alike are no tight fit."""
        check = the(verified(), "eye-fit")
        assert check.status == "passes"
        assert check.utilisation == pytest.approx(0.625 / 0.88)
        assert [line.value for line in check.working if line.symbol in ("u_4", "u_5")] == [1.0, 1.0]

    @pytest.mark.parametrize(
        ("changes", "said"),
        [
            ({"bolt": "A307 1 in"}, "bolt in the thimble's inside width"),
            ({"gap": "3/8 in"}, "eye in the gap"),
            ({"thimble": "heavy 5/16 in"}, "leg rope in the thimble's size"),
            ({"sleeve": "copper oval 5/16 in"}, "leg rope in the sleeve's size"),
        ],
    )
    def test_what_does_not_fit_fails(self, changes: dict[str, str], said: str) -> None:
        check = the(verified(**changes), "eye-fit")
        assert check.status == "fails"
        assert said in check.why

    def test_a_jaw_too_narrow_fails(self) -> None:
        _, _, tie = stated()
        narrow = replace(tie.turnbuckle, jaw_opening=0.4 * INCH)
        check = the(with_tie(turnbuckle=narrow), "eye-fit")
        assert check.status == "fails"
        assert "jaw's opening" in check.why

    @pytest.mark.parametrize("missing", ["pin", "jaw_opening"])
    def test_an_unknown_dimension_is_referred(self, missing: str) -> None:
        _, _, tie = stated()
        body = replace(tie.turnbuckle, **{missing: None})
        check = the(with_tie(turnbuckle=body), "eye-fit")
        assert check.status == "refer"
        assert "not known" in check.why

    def test_a_doubtful_row_is_referred(self) -> None:
        _, _, tie = stated()
        assert tie.turnbuckle.jaw_source is not None
        doubtful = replace(tie.turnbuckle.jaw_source, confidence=79)
        body = replace(tie.turnbuckle, jaw_source=doubtful)
        check = the(with_tie(turnbuckle=body), "eye-fit")
        assert check.status == "refer"
        assert "79 %" in check.why


class TestHub:
    def test_shear_against_the_stated_joint(self) -> None:
        """288 lb x 1.3 at leg 7 under snow against 900 lb x 1.15."""
        check = the(verified(), "hub-shear")
        assert check.demand == pytest.approx(288.0 * 1.3 * LBF)
        assert check.capacity == pytest.approx(900.0 * 1.15 * LBF)
        assert (check.status, check.leg) == ("passes", 7)
        assert the(verified(hub_shear="300 lb"), "hub-shear").status == "fails"

    def test_a_joint_nothing_is_said_of_is_referred(self) -> None:
        check = the(verified(hub_shear="0 lb"), "hub-shear")
        assert (check.status, check.capacity, check.utilisation) == ("refer", None, None)
        assert "roof.hub_shear_allowable" in check.why

    def test_heads_pressed_together_need_no_tension_joint(self) -> None:
        check = the(verified(), "hub-tension")
        assert (check.status, check.demand) == ("passes", 0.0)

    def test_a_head_pulled_out_needs_one(self) -> None:
        push = loads().head_push.copy()
        push[1, 3] = -151.0 * LBF
        assert the(verified_with({"head_push": push}), "hub-tension").status == "refer"
        held = the(verified_with({"head_push": push}, hub_tension="140 lb"), "hub-tension")
        assert held.demand == pytest.approx(151.0 * LBF)
        assert held.utilisation == pytest.approx(151.0 / (140.0 * 1.15))
        assert held.leg == 4

    def test_duration_can_decide(self) -> None:
        """250 lb for ever asks more of a joint than 300 lb of snow."""
        shear = np.full((3, N), 10.0 * LBF)
        shear[0, 1], shear[1, 5] = 250.0 * LBF, 300.0 * LBF
        check = the(verified_with({"head_shear": shear}), "hub-shear")
        assert (check.leg, check.combination) == (2, "D/dead")


class TestMovement:
    def test_spread_of_the_worst_foot(self) -> None:
        check = the(verified(), "wall-spread")
        assert check.demand == pytest.approx(0.149 * 1.18 * INCH)
        assert check.utilisation == pytest.approx(0.149 * 1.18 / 0.25)
        assert check.leg == 7

    def test_walls_pulled_in_do_not_count_as_spread(self) -> None:
        check = the(verified_with({"spread": np.full((3, N), -0.01)}), "wall-spread")
        assert (check.demand, check.status) == (0.0, "passes")

    def test_ring_of_the_states_that_have_one(self) -> None:
        shift = INCH * np.array([[np.nan, np.nan], [0.3, -0.42], [0.1, 0.1]])
        checks = verified_with({"ring_shift": shift, "ring_sag": np.array([np.nan, 0.02, 0.01])})
        assert the(checks, "ring-shift").demand == pytest.approx(math.hypot(0.3, 0.42) * INCH)
        assert the(checks, "ring-shift").status == "fails"
        assert the(checks, "ring-shift").leg is None
        assert the(checks, "ring-sag").status == "fails"

    def test_a_ring_that_is_nowhere_taut_is_referred(self) -> None:
        nowhere = np.full(3, np.nan)
        checks = verified_with({"ring_sag": nowhere, "ring_shift": np.full((3, 2), np.nan)})
        assert the(checks, "ring-sag").status == "refer"
        assert the(checks, "ring-shift").status == "refer"

    @pytest.mark.parametrize(
        ("least", "status"), [(32.0, "passes"), (30.0, "fails"), (0.0, "fails")]
    )
    def test_a_leg_under_a_tenth_of_its_target_is_slack(self, least: float, status: str) -> None:
        pulls = loads().leg_pull.copy()
        pulls[2, 1] = least * LBF
        check = the(verified_with({"leg_pull": pulls}, target="310 lb"), "leg-slack")
        assert (check.status, check.decides, check.leg) == (status, True, 2)
        assert check.utilisation == pytest.approx((310.0 - least) / (0.9 * 310.0))

    def test_snug_legs_are_advice(self) -> None:
        check = the(verified(), "leg-slack")
        assert not check.decides

    def test_snug_legs_that_carry_nothing_have_nothing_to_lose(self) -> None:
        setting = replace(loads().setting, lowered_pull=np.zeros(N))
        check = the(verified_with({"setting": setting}), "leg-slack")
        assert (check.demand, check.status, check.decides) == (0.0, "passes", False)
