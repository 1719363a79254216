"""The sizes that are told: on their ladders, checked whole, and none smaller does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rafterstay import catalog, design, sizing
from rafterstay.job import Job
from rafterstay.sizing.ladder import ladders
from rafterstay.sizing.reads import ORDER, reads
from tests.statics.roofs import stated

KIND = {"ring_rope": "rope"}
# A roof that sizes can satisfy: light, well braced, its hub's joints stated.
LIGHT = {
    "loads__dead": "9 psf",
    "loads__snow": {"roof": "13 psf"},
    "rafter__ply": "2x12",
    "rafter__tail": "7 in",
    "roof__hub_shear_allowable": "2 kip",
    "tie__height": "0.3",
    "limits__spread": "3/4 in",
}


def light(**changes: object) -> Job:
    """The octagon under a small load, so that parts and not the timber decide."""
    told = {key: value for key, value in LIGHT.items() if key != "loads__snow"} | changes
    return stated("octagon", loads__snow__roof="13 psf", **told)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def sized() -> sizing.Sizes:
    return design.size(light())


def test_ladders_keep_the_make_and_go_up() -> None:
    found = ladders(stated("octagon"), with_ply=True)
    for part, names in found.rungs.items():
        rows = [catalog.find(KIND.get(part, part), name) for name in names]  # type: ignore[call-overload]
        if part in ("rope", "ring_rope"):
            assert {(row.lay, row.finish) for row in rows} == {("7x19", "galvanized")}
            assert all(name.endswith(" in") for name in names)
            strengths = [row.strength for row in rows]
            assert strengths == sorted(strengths)
        size = {"turnbuckle": "thread", "ply": "depth"}.get(part, "diameter")
        sizes = [getattr(row, size) for row in rows]
        assert sizes == sorted(sizes)
    assert set(found.rungs) == {"ply", "rope", "ring_rope", "turnbuckle", "bolt"}


def test_every_leg_rope_has_a_thimble_and_a_sleeve_of_its_size() -> None:
    found = ladders(stated("octagon"))
    for rope in found.rungs["rope"]:
        size = catalog.find("rope", rope).diameter
        assert catalog.find("thimble", found.thimbles[rope]).rope == pytest.approx(size)
        assert catalog.find("sleeve", found.sleeves[rope]).rope == pytest.approx(size)


def test_what_is_told_is_what_was_checked(sized: sizing.Sizes) -> None:
    whole = design.check(sized.job)
    assert [(c.id, c.status, c.utilisation) for c in whole.checks.checks] == [
        (c.id, c.status, c.utilisation) for c in sized.found.checks.checks
    ]
    assert sized.found.checks.verdict != "fails"
    assert len(whole.forces.states) == len(sized.found.forces.states)


def test_one_size_down_does_not_pass(sized: sizing.Sizes) -> None:
    before = {check.id: check.status for check in sized.found.checks.checks if check.decides}
    for down in sized.downs:
        if down.name is None:
            continue
        smaller = replace(sized.job, parts=replace(sized.job.parts, **{down.part: down.name}))
        after = {check.id: check for check in design.check(smaller).checks.checks}
        assert after[down.check].status == ("refer" if down.refers else "fails")
        assert before[down.check] == "passes"


def test_every_part_is_told_once(sized: sizing.Sizes) -> None:
    assert [down.part for down in sized.downs] == [*sized.sized, "thimble", "sleeve"]
    told = sizing.parts_of(sized.job)
    assert set(told) == {*ORDER, "thimble", "sleeve"} - {"shackle", "ring_bar", "plate_thickness"}


def test_sizes_do_not_depend_on_the_sizes_stated(sized: sizing.Sizes) -> None:
    other = design.size(
        light(
            parts__rope="7x19 galvanized 5/16 in",
            parts__thimble="heavy 5/16 in",
            parts__sleeve="copper oval 5/16 in",
            parts__ring_rope="7x19 galvanized 1/4 in",
            parts__bolt="A307 1 in",
        )
    )
    assert sizing.parts_of(other.job) == sizing.parts_of(sized.job)


def test_more_snow_never_asks_for_a_smaller_turnbuckle(sized: sizing.Sizes) -> None:
    more = design.size(light(loads__dead="14 psf"))
    ladder = ladders(sized.job).rungs["turnbuckle"]
    assert ladder.index(more.job.parts.turnbuckle) >= ladder.index(sized.job.parts.turnbuckle)


def test_what_no_size_meets_is_told_with_its_best() -> None:
    found = design.size(stated("octagon", limits__spread="3/16 in"))
    unmet = {one.check: one for one in found.unmet}
    assert "wall-spread" in unmet
    assert all(one.utilisation > 1.0 for one in unmet.values())
    assert "ring-lost" in unmet
    short = {each.id for each in found.found.checks.checks if (each.utilisation or 0.0) > 1.0}
    assert set(unmet) <= short
    for check_id in short - set(unmet):
        assert not reads(check_id) & set(found.sized)


def test_the_ply_is_sized_only_where_asked() -> None:
    job = light(rafter__ply="2x6")
    assert design.size(job).job.rafter.ply == "2x6"
    found = design.size(job, with_ply=True)
    assert "ply" in found.sized
    assert found.job.rafter.ply != "2x6"


def test_a_shackle_is_sized_where_one_is_stated() -> None:
    found = design.size(light(parts__shackle="anchor 3/4 in", rafter__gap="2 in"))
    down = next(one for one in found.downs if one.part == "shackle")
    assert found.job.parts.shackle.startswith("anchor ")
    assert down.name is None or down.name.startswith("anchor ")


def test_no_leg_room_for_any_turnbuckle_is_told_as_the_job_s_fault() -> None:
    from rafterstay.core.errors import InputError

    with pytest.raises(InputError, match="IN-060"):
        design.size(stated("octagon", roof__plate_radius="1 ft 4 in", roof__rise="8 in"))


def test_every_check_of_the_contract_reads_known_parts() -> None:
    for check in design.check(stated("octagon")).checks.checks:
        assert reads(check.id) <= set(ORDER)
    assert reads("rafter-shear") == {"ply"}
    assert reads("not-a-check") == set(ORDER)


def test_a_long_turnbuckle_is_tried_before_the_spread_is_given_up() -> None:
    """It stretches less than the rope in its place; thicker ropes alone are 1 % short."""
    found = design.size(stated("octagon"))
    down = next(one for one in found.downs if one.part == "turnbuckle")
    assert "wall-spread" not in {one.check for one in found.unmet}
    assert down.check == "wall-spread"
    for rope in ladders(found.job).rungs["ring_rope"]:
        parts = replace(found.job.parts, turnbuckle="jaw-jaw 1/2 in x 6 in", ring_rope=rope)
        whole = design.check(replace(found.job, parts=parts))
        failing = {check.id for check in whole.checks.checks if check.status == "fails"}
        assert failing & {"wall-spread", "ring-bend", "eye-fit"}, rope
