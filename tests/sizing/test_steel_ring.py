"""Bar of a welded ring and thickness of a hub plate: the smallest that pass with all the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rafterstay import design, sizing
from rafterstay.checks import Check
from rafterstay.core.errors import RafterstayError
from rafterstay.core.quantities import parse
from rafterstay.job import Job
from rafterstay.sizing.reads import share_of
from rafterstay.sizing.stock import Steel, part_of, stock
from tests.sizing.test_size import LIGHT
from tests.statics.roofs import Value
from tests.tie.rings import plated, welded

SOUND: dict[str, Value] = {"tie__ring_weld": "complete-penetration"}
LOAD: dict[str, Value] = {
    **{key: value for key, value in LIGHT.items() if isinstance(value, str)},
    "loads__snow__roof": "13 psf",
}
# Holes so near the rim that the plate beside them decides.
NARROW: dict[str, Value] = {**LOAD, "rafter__gap": "2 in", "tie__plate_edge": "11/32 in"}
# A summer roof whose every part can be held by sizes, tied to a ring.
PAVILION: dict[str, Value] = {
    **SOUND,
    "tie__layout": "ring",
    "tie__ring_radius": "4 in",
    "limits__ring_sag": "2 in",
    "pretension__target": "120 lb",
}
# The heavier bar that one more factor asks for sinks the ring past its limit.
SINKING: dict[str, Value] = {**LOAD, **SOUND, "tie__ring_radius": "1 ft"}

JOBS: dict[str, Job] = {
    "bar": welded(**LOAD, **SOUND),
    "bar, mm": welded(**{**LOAD, **SOUND, "job__show": "si", "tie__ring_bar": "12 mm"}),
    "bar, no weld": welded(**LOAD),
    "bar, all passes": welded("pavilion", **PAVILION),
    "bar, sinking": welded(**SINKING),
    "plate": plated(**NARROW),
    "plate, mm": plated(**{**NARROW, "job__show": "si", "tie__plate_thickness": "20 mm"}),
}


def steel_of(job: Job) -> Steel:
    part = part_of(job)
    assert part is not None
    return part


def cut_to(job: Job, name: str) -> Job:
    """The job with another bar or plate, all else held."""
    size = parse(name, "length")
    if steel_of(job) == "ring_bar":
        return replace(job, tie=replace(job.tie, ring_bar=size))
    return replace(job, tie=replace(job.tie, plate_thickness=size))


def worse(before: dict[str, Check], after: dict[str, Check]) -> set[str]:
    """Deciding checks that passed, or were full to no more than they may be, and are not now."""

    def over(check: Check) -> bool:
        return check.status == "fails" or (check.status == "refer" and (share_of(check) or 0) > 1)

    return {key for key, check in after.items() if over(check) and not over(before[key])}


def deciding(job: Job) -> dict[str, Check]:
    return {check.id: check for check in design.check(job).checks.checks if check.decides}


@pytest.fixture(scope="module", params=JOBS)
def sized(request: pytest.FixtureRequest) -> sizing.Sizes:
    return design.size(JOBS[request.param])


def test_it_is_checked_whole_and_no_thinner_one_does(sized: sizing.Sizes) -> None:
    part = steel_of(sized.job)
    names = stock(sized.job, part)
    name = sizing.parts_of(sized.job)[part]
    down = next(one for one in sized.downs if one.part == part)
    whole = deciding(sized.job)
    assert {key: (c.status, c.utilisation) for key, c in whole.items()} == {
        c.id: (c.status, c.utilisation) for c in sized.found.checks.checks if c.decides
    }
    place = names.index(name)
    assert place > 0
    assert down.name == names[place - 1]
    for thinner in names[:place]:
        found = worse(whole, deciding(cut_to(sized.job, thinner)))
        assert found, thinner
        if thinner == down.name:
            assert down.check in found


def test_all_other_parts_are_the_smallest_beside_it(sized: sizing.Sizes) -> None:
    whole = deciding(sized.job)
    for down in sized.downs:
        if down.name is None or down.part == steel_of(sized.job):
            continue
        smaller = replace(sized.job, parts=replace(sized.job.parts, **{down.part: down.name}))
        after = deciding(smaller)[down.check]
        assert whole[down.check].status == "passes"
        assert after.status == ("refer" if down.refers else "fails"), down


@pytest.mark.parametrize("stated", ["3/8 in", "1 in", "11/16 in", "1-1/2 in"])
def test_it_does_not_depend_on_the_size_stated(stated: str) -> None:
    first, other = (
        design.size(welded(tie__ring_bar=b, **LOAD, **SOUND)) for b in (stated, "1/2 in")
    )
    assert sizing.parts_of(first.job) == sizing.parts_of(other.job)


def test_a_bar_too_thick_for_its_eyes_takes_a_larger_rope_with_it() -> None:
    """1 in does not go through the thimble of a 1/4 in rope, 0.88 in wide; 7/8 in is too weak."""
    heavy = {**LOAD, **SOUND, "loads__snow__roof": "30 psf", "tie__ring_radius": "8 in"}
    limits: dict[str, Value] = {"limits__ring_sag": "2 in", "limits__spread": "2 in"}
    found = design.size(welded(**{**heavy, **limits}))
    parts = sizing.parts_of(found.job)
    assert (parts["rope"], parts["ring_bar"]) == ("7x19 galvanized 5/16 in", "1 in")
    thin: dict[str, str] = {
        "rope": "7x19 galvanized 1/4 in",
        "thimble": "heavy 1/4 in",
        "sleeve": "copper oval 1/4 in",
    }
    with_thin = replace(found.job, parts=replace(found.job.parts, **thin))  # type: ignore[arg-type]
    after = deciding(with_thin)
    assert after["eye-fit"].status == "fails"
    assert "ring's bar in the thimble" in after["eye-fit"].why
    assert deciding(cut_to(with_thin, "7/8 in"))["ring-lost"].status == "refer"


def test_a_heavier_bar_that_sinks_the_ring_is_not_taken() -> None:
    """What no code asks (five times its pull, once cut) is left to an engineer before a failure."""
    found = design.size(JOBS["bar, sinking"])
    assert sizing.parts_of(found.job)["ring_bar"] == "3/4 in"
    assert found.found.checks.verdict == "refer"
    heavier = deciding(cut_to(found.job, "7/8 in"))
    assert deciding(found.job)["ring-sag"].status == "passes"
    assert heavier["ring-sag"].status == "fails"
    assert heavier["ring-lost"].status == "passes"
    unmet = {one.check: one for one in found.unmet}
    assert set(unmet) == {"ring-lost", "leg-lost"}
    assert unmet["ring-lost"].utilisation <= 1.0
    assert not unmet["ring-lost"].alone


def test_a_heavier_plate_is_lightened_until_it_sags_no_more_than_it_may() -> None:
    heavy = plated(**{**NARROW, "tie__plate_thickness": "1/2 in"})
    assert deciding(heavy)["ring-sag"].status == "fails"
    assert deciding(design.size(heavy).job)["ring-sag"].status == "passes"


def test_every_part_passes_where_sizes_can_make_it() -> None:
    """With one leg gone too: a ring of steel is bent hardest then."""
    found = design.size(JOBS["bar, all passes"])
    assert found.found.checks.verdict == "passes"
    assert found.unmet == ()
    down = next(one for one in found.downs if one.part == "ring_bar")
    assert (down.check, down.refers) == ("leg-lost", True)


def test_a_ring_too_small_for_any_bar_says_so() -> None:
    job = welded(**{**LOAD, **SOUND, "loads__snow__roof": "30 psf", "tie__ring_radius": "2 in"})
    found = design.size(job)
    unmet = {one.check: one for one in found.unmet}
    assert found.found.checks.verdict == "fails"
    assert unmet["ring-welded"].alone
    assert unmet["ring-welded"].parts == {"ring_bar": stock(job, "ring_bar")[-1]}
    assert unmet["ring-welded"].utilisation > 1.0
    assert "larger ring" in sizing.remedy(found, unmet["ring-welded"])
    thickest = deciding(cut_to(found.job, stock(job, "ring_bar")[-1]))
    assert thickest["ring-welded"].status == "fails"


def test_a_shackle_too_large_for_its_plate_is_no_fault_of_the_rope() -> None:
    """Holes of 1/2 in take the pins of shackles up to 7/16 in; larger ones are not tried."""
    found = design.size(plated(**{**LOAD, "rafter__gap": "2 in", "tie__plate_hole": "1/2 in"}))
    assert found.found.checks.verdict == "refer"
    assert sizing.parts_of(found.job)["rope"] == "7x19 galvanized 1/4 in"
    for shackle in ("anchor 1/2 in", "anchor 3/4 in"):
        with pytest.raises(RafterstayError, match="IN-064"):
            design.check(replace(found.job, parts=replace(found.job.parts, shackle=shackle)))


def test_what_was_given_up_is_asked_again() -> None:
    """Only the sag cannot be had: jaws of unknown pins are not taken for it."""
    job = plated("round-house", parts__shackle="anchor 5/8 in", tie__ring_radius="9 in")
    found = design.size(job)
    statuses = {check.id: check.status for check in found.found.checks.checks}
    assert [one.check for one in found.unmet] == ["ring-sag"]
    assert (statuses["eye-fit"], statuses["eye-pin"]) == ("passes", "passes")


def test_a_thin_plate_is_told_to_want_washers() -> None:
    found = design.size(JOBS["plate"])
    assert 'its shackles open 11/16"' in sizing.washers(found)
    assert sizing.washers(design.size(JOBS["bar"])) == ""


def test_a_ring_of_steel_is_compared_with_the_other_ways() -> None:
    for job in (welded(), plated()):
        ring = next(one for one in design.compare(job) if one.layout == "ring")
        assert ring.cannot == ""
        assert ring.verdict == design.check(job).checks.verdict
