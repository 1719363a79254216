"""Whatever is wrong with a job is told by code, place, bound and remedy, all at once."""

from __future__ import annotations

import pytest

from rafterstay import job
from rafterstay.core.errors import Finding, InputError
from rafterstay.job.examples import example

OCTAGON = example("octagon")


def findings(text: str | bytes) -> tuple[Finding, ...]:
    with pytest.raises(InputError) as caught:
        job.loads(text, file="shed/job.toml")
    for found in caught.value.findings:
        assert found.file == "shed/job.toml"
        assert found.bound
        assert found.remedy
    return caught.value.findings


def changed(old: str, new: str, text: str = OCTAGON) -> str:
    assert text.count(old) == 1, old
    return text.replace(old, new)


def only(text: str) -> tuple[str, str]:
    (found,) = findings(text)
    return found.code, found.key


@pytest.mark.parametrize(
    ("old", "new", "code", "key"),
    [
        ("sides = 8", "sides = 2", "IN-001", "roof.sides"),
        ("sides = 8", "sides = 65", "IN-001", "roof.sides"),
        ("sides = 8", "sides = 8.0", "IN-006", "roof.sides"),
        ("sides = 8", "sides = true", "IN-006", "roof.sides"),
        ("sides = 8", 'sides = "8"', "IN-006", "roof.sides"),
        ("sides = 8", f"sides = {10**400}", "IN-001", "roof.sides"),
        ('rise = "6 ft"', 'rise = "-2 ft"', "IN-001", "roof.rise"),
        ('rise = "6 ft"', 'rise = "0 ft"', "IN-001", "roof.rise"),
        ('rise = "6 ft"', 'rise = "61 ft"', "IN-001", "roof.rise"),
        ('rise = "6 ft"', 'rise = "6"', "IN-002", "roof.rise"),
        ('rise = "6 ft"', "rise = 6", "IN-002", "roof.rise"),
        ('rise = "6 ft"', "rise = 6.5", "IN-002", "roof.rise"),
        ('rise = "6 ft"', 'rise = "6 psf"', "IN-002", "roof.rise"),
        ('rise = "6 ft"', "rise = nan", "IN-003", "roof.rise"),
        ('rise = "6 ft"', "rise = -inf", "IN-003", "roof.rise"),
        ('rise = "6 ft"', "rise = 1e999", "IN-003", "roof.rise"),
        ('rise = "6 ft"', 'rise = "inf ft"', "IN-003", "roof.rise"),
        ('rise = "6 ft"', 'rise = "1e99999999999 ft"', "IN-003", "roof.rise"),
        ('rise = "6 ft"', 'rise = "six ft"', "IN-003", "roof.rise"),
        ('rise = "6 ft"', "rise = true", "IN-006", "roof.rise"),
        ('rise = "6 ft"', 'rise = ["6 ft"]', "IN-006", "roof.rise"),
        ('rise = "6 ft"', 'rise = { m = "6 ft" }', "IN-006", "roof.rise"),
        ('rise = "6 ft"', "rise = 1979-05-27", "IN-006", "roof.rise"),
        ('rise = "6 ft"', 'rize = "6 ft"\nrise = "6 ft"', "IN-004", "roof.rize"),
        ('rise = "6 ft"', 'dead = "6 psf"\nrise = "6 ft"', "IN-004", "roof.dead"),
        ("[site]", "[sight]\n[site]", "IN-004", "sight"),
        ('hub = "point"', 'hub = "pint"', "IN-007", "roof.hub"),
        ('hub = "point"', "hub = 1", "IN-006", "roof.hub"),
        ('show = "us"', 'show = "metric"', "IN-007", "job.show"),
        ("schema = 1", "schema = 2", "IN-011", "schema"),
        ("schema = 1", "schema = 0", "IN-011", "schema"),
        ("schema = 1", "schema = true", "IN-006", "schema"),
        ("schema = 1", "", "IN-005", "schema"),
        ('title = "Octagon"', 'title = ""', "IN-001", "job.title"),
        ('title = "Octagon"', 'title = "a\\u0007b"', "IN-001", "job.title"),
        ('title = "Octagon"', "title = 8", "IN-006", "job.title"),
        ('snow = { roof = "40 psf" }', 'snow = "40 psf"', "IN-006", "loads.snow"),
        ('snow = { roof = "40 psf" }', "", "IN-005", "loads.snow.roof"),
        ('dead = "0 psf"', "", "IN-005", "loads.dead"),
        ("eye_spacers = true", "eye_spacers = 1", "IN-006", "parts.eye_spacers"),
        ('gap = "1 1/2 in"', 'gap = "0 in"', "IN-001", "rafter.gap"),
        ('gap = "1 1/2 in"', 'gap = "-1 in"', "IN-001", "rafter.gap"),
        ("plies = 2", "plies = 1", "IN-009", "rafter.plies"),
        ("plies = 2", "plies = 3", "IN-009", "rafter.plies"),
        ('block_spacing = "2 ft"', 'block_spacing = "0 ft"', "IN-001", "rafter.block_spacing"),
        ('brace_spacing = "2 ft"', 'brace_spacing = "90 ft"', "IN-001", "rafter.brace_spacing"),
        ('height = "0"', 'height = "1"', "IN-001", "tie.height"),
        ('height = "0"', "height = 1", "IN-001", "tie.height"),
        ('height = "0"', f"height = {10**400}", "IN-001", "tie.height"),
        ('height = "0"', 'height = "-1/3"', "IN-001", "tie.height"),
        ('height = "0"', 'height = "-1 ft"', "IN-001", "tie.height"),
        ('height = "0"', "height = nan", "IN-003", "tie.height"),
        ('height = "0"', "height = true", "IN-006", "tie.height"),
        ('height = "0"', 'height = "low"', "IN-003", "tie.height"),
        ('height = "0"', 'height = "2 psf"', "IN-002", "tie.height"),
        ('height = "0"', 'height = "6 ft"', "IN-009", "tie.height"),
        ('height = "0"', 'height = "2 m"', "IN-009", "tie.height"),
        ('ring_radius = "6 in"', 'ring_radius = "0 in"', "IN-001", "tie.ring_radius"),
        ('hub_radius = "0 in"', 'hub_radius = "1 in"', "IN-009", "roof.hub_radius"),
        ('hub = "point"', 'hub = "disc"', "IN-009", "roof.hub_radius"),
        ('walls = "no help"', 'walls = "stiff"', "IN-009", "support.wall_stiffness"),
        ('"Douglas Fir-Larch"', '"Douglas Fir-Lurch"', "IN-010", "rafter.species"),
        ('"No. 2"', '"No 2"', "IN-010", "rafter.grade"),
        ('ply = "2x8"', 'ply = "2x9"', "IN-010", "rafter.ply"),
        (
            'rope = "7x19 galvanized 1/4 in"',
            'rope = "7x19 galvanised 1/4 in"',
            "IN-010",
            "parts.rope",
        ),
        ('"7x19 galvanized 5/16 in"', '"string"', "IN-010", "parts.ring_rope"),
        ('"jaw-jaw 1/2 in x 6 in"', '"jaw 1/2"', "IN-010", "parts.turnbuckle"),
        ('"A307 5/8 in"', '"M16"', "IN-010", "parts.bolt"),
        ('"heavy 1/4 in"', '"light"', "IN-010", "parts.thimble"),
        ('"copper oval 1/4 in"', '"tin"', "IN-010", "parts.sleeve"),
    ],
)
def test_one_fault_is_named(old: str, new: str, code: str, key: str) -> None:
    assert only(changed(old, new)) == (code, key)


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('currency = "USD"', 'currency = "USD"\nshackle = 1.25', "prices.shackle"),
    ],
)
def test_what_is_not_served_yet_is_refused_by_name(old: str, new: str, key: str) -> None:
    (found,) = findings(
        changed(f"\n{old}", f"\n{new}") if f"\n{old}" in OCTAGON else changed(old, new)
    )
    assert (found.code, found.key) == ("IN-008", key)
    assert "not served yet" in found.remedy


GROUND = (
    'ground = "50 psf", exposure = "C sheltered", thermal = "unheated", importance = "III", '
    'slippery = false, level = "service"'
)


def test_ground_snow_is_read_with_all_that_goes_with_it() -> None:
    read = job.loads(changed('roof = "40 psf"', GROUND)).loads.snow
    assert read.roof is None
    assert read.ground == pytest.approx(50 * 47.88025898, rel=1e-9)
    assert (read.exposure, read.thermal, read.importance) == ("C sheltered", "unheated", "III")
    assert (read.slippery, read.level) == (False, "service")


@pytest.mark.parametrize(
    ("snow", "expected"),
    [
        (GROUND.replace("C sheltered", "sheltered"), [("IN-007", "loads.snow.exposure")]),
        (GROUND.replace('"unheated"', '"cold"'), [("IN-007", "loads.snow.thermal")]),
        (GROUND.replace('"III"', "3"), [("IN-006", "loads.snow.importance")]),
        (GROUND.replace("false", '"no"'), [("IN-006", "loads.snow.slippery")]),
        (GROUND.replace("50 psf", "50"), [("IN-002", "loads.snow.ground")]),
        (f'roof = "40 psf", {GROUND}', [("IN-009", "loads.snow.roof")]),
        (GROUND.replace("service", "strength"), [("IN-009", "loads.snow.importance")]),
        (
            'ground = "50 psf", level = "service"',
            [
                ("IN-005", f"loads.snow.{key}")
                for key in ("exposure", "thermal", "importance", "slippery")
            ],
        ),
        (
            'roof = "40 psf", exposure = "B sheltered", slippery = true',
            [("IN-009", "loads.snow.exposure"), ("IN-009", "loads.snow.slippery")],
        ),
    ],
)
def test_snow_is_stated_one_way_and_whole(snow: str, expected: list[tuple[str, str]]) -> None:
    found = findings(changed('roof = "40 psf"', snow))
    assert sorted((one.code, one.key) for one in found) == sorted(expected)


def test_strength_level_snow_is_of_its_own_category() -> None:
    text = GROUND.replace("service", "strength").replace('"III"', '"II"')
    assert job.loads(changed('roof = "40 psf"', text)).loads.snow.level == "strength"


def test_roof_live_load_is_read() -> None:
    text = changed('roof_live = "0 psf"', 'roof_live = "20 psf"')
    assert job.loads(text).loads.roof_live == pytest.approx(20 * 47.88025898, rel=1e-9)


def test_a_wind_speed_is_for_gables() -> None:
    wind = 'speed = "115 mph", exposure = "C", enclosure = "enclosed", height = "14 ft"'
    (found,) = findings(changed('uplift = "0 psf"', wind))
    assert (found.code, found.key, found.value) == ("IN-015", "loads.wind.speed", "115 mph")
    assert "loads.wind.uplift" in found.remedy


def test_what_goes_with_a_wind_speed_needs_one() -> None:
    wind = 'exposure = "C", height = "14 ft"'
    found = findings(changed('uplift = "0 psf"', wind))
    assert {(one.code, one.key) for one in found} == {
        ("IN-009", "loads.wind.exposure"),
        ("IN-009", "loads.wind.height"),
    }


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('coldest = "60 degF"', 'coldest = "61 degF"', "loads.coldest"),
        ('warmest = "60 degF"', 'warmest = "10 degC"', "loads.warmest"),
    ],
)
def test_the_legs_are_set_between_coldest_and_warmest(old: str, new: str, key: str) -> None:
    assert ("IN-009", key) in {(one.code, one.key) for one in findings(changed(old, new))}


def test_cold_warmth_and_drying_are_served() -> None:
    text = changed('coldest = "60 degF"', 'coldest = "-10 degF"')
    text = changed('drying = "0 in"', 'drying = "1/8 in"', text)
    read = job.loads(changed('warmest = "60 degF"', 'warmest = "30 degC"', text)).loads
    assert read.set_temperature - read.coldest == pytest.approx(70 / 1.8)
    assert read.warmest == pytest.approx(303.15)
    assert read.drying == pytest.approx(0.003175)


def test_a_setting_temperature_of_its_own_is_served() -> None:
    text = changed('set_temperature = "60 degF"', 'set_temperature = "45 degF"')
    text = changed('coldest = "60 degF"\n', "", changed('warmest = "60 degF"\n', "", text))
    read = job.loads(text)
    assert read.loads.coldest == read.loads.warmest == read.loads.set_temperature
    assert {(found.key, found.value) for found in read.assumed} >= {
        ("loads.coldest", "45 degF"),
        ("loads.warmest", "45 degF"),
    }


GABLE = """shape = "gable"
span = "20 ft"
length = "30 ft"
spacing = "2 ft"
tie_every = 2
ridge = "board"
"""


def without(key: str, text: str = OCTAGON) -> str:
    """The text without the one line that states a key."""
    (line,) = (each for each in text.splitlines(keepends=True) if each.startswith(f"{key} = "))
    return text.replace(line, "", 1)


def as_gable() -> str:
    """The octagon's job with a gable in its place."""
    text = changed("[roof]\n", f"[roof]\n{GABLE}", without("shape"))
    for key in ("sides", "plate_radius", "hub", "bracing"):
        text = without(key, text)
    return changed('layout = "ring"', 'layout = "cross"', text)


def test_a_gable_is_asked_for_its_own_sizes_alone() -> None:
    read = job.loads(as_gable())
    assert (read.roof.shape, read.roof.ridge, read.roof.tie_every) == ("gable", "board", 2)
    assert (read.roof.sides, read.roof.hub) == (None, None)
    assert read.roof.span == pytest.approx(20 * 0.3048, rel=1e-15)


@pytest.mark.parametrize(
    ("old", "new", "code", "key"),
    [
        ('span = "20 ft"\n', "", "IN-005", "roof.span"),
        ("tie_every = 2\n", "", "IN-005", "roof.tie_every"),
        ('ridge = "board"\n', "", "IN-005", "roof.ridge"),
        ("[loads]\n", "plate_plies = 2\n[loads]\n", "IN-009", "support.plate_plies"),
        ("[loads]\n", 'plate_ply = "2x6"\n[loads]\n', "IN-005", "support.plate_plies"),
        ('\nspacing = "2 ft"', '\nspacing = "13 ft"', "IN-001", "roof.spacing"),
        ('ridge = "board"', 'ridge = "beam"\nsides = 6', "IN-009", "roof.sides"),
        ('ridge = "board"', 'ridge = "board"\nhub = "point"', "IN-009", "roof.hub"),
        ('ridge = "board"', 'ridge = "board"\nbracing = "none"', "IN-009", "roof.bracing"),
        ('hub_radius = "0 in"', 'hub_radius = "2 in"', "IN-009", "roof.hub_radius"),
        ('infill = "purlins"', 'infill = "jacks"', "IN-009", "roof.infill"),
        ('layout = "cross"', 'layout = "ring"', "IN-009", "tie.layout"),
        ('layout = "cross"', 'layout = "band"', "IN-009", "tie.layout"),
    ],
)
def test_what_does_not_fit_a_gable(old: str, new: str, code: str, key: str) -> None:
    assert only(changed(old, new, as_gable())) == (code, key)


CONTINUOUS = (
    'plate = "continuous"\nplate_ply = "2x6"\nplate_plies = 2\njoint_capacity = "2 kip"\n'
    'joint_slip = ["1/32 in", "1/8 in"]'
)


def test_a_plate_that_runs_on_is_read() -> None:
    support = job.loads(changed('plate = "jointed"', CONTINUOUS)).support
    assert support.help_stated
    assert support.joint_capacity == pytest.approx(8896.443, rel=1e-6)
    assert support.joint_slip == pytest.approx((0.00079375, 0.003175), rel=1e-9)


@pytest.mark.parametrize(
    ("left_out", "key"),
    [
        ('plate_ply = "2x6"\nplate_plies = 2\n', "support.plate_ply"),
        ('joint_capacity = "2 kip"\n', "support.joint_capacity"),
        ('\njoint_slip = ["1/32 in", "1/8 in"]', "support.joint_slip"),
    ],
)
def test_a_plate_that_runs_on_says_what_it_is(left_out: str, key: str) -> None:
    text = changed('plate = "jointed"', CONTINUOUS.replace(left_out, ""))
    assert only(text) == ("IN-005", key)


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ('joint_capacity = "2 kip"', "support.joint_capacity"),
        ('joint_slip = ["1/32 in", "1/8 in"]', "support.joint_slip"),
    ],
)
def test_a_jointed_plate_has_no_joints_to_state(line: str, key: str) -> None:
    assert only(changed("[loads]", f"{line}\n[loads]")) == ("IN-009", key)


def test_the_plates_of_a_gable_do_not_meet() -> None:
    text = changed('plate = "jointed"', 'plate = "continuous"', as_gable())
    assert only(text) == ("IN-009", "support.plate")


@pytest.mark.parametrize("key", ["roof.sides", "roof.plate_radius", "roof.hub", "roof.bracing"])
def test_a_polygon_is_asked_for_its_own_sizes(key: str) -> None:
    assert only(without(key.partition(".")[2])) == ("IN-005", key)


@pytest.mark.parametrize("key", ["tie.ring_radius", "parts.ring_rope"])
def test_a_ring_is_asked_for(key: str) -> None:
    text = without(key.partition(".")[2])
    assert only(text) == ("IN-005", key)
    assert job.loads(changed('layout = "ring"', 'layout = "band"', text)).tie.layout == "band"


@pytest.mark.parametrize(
    "line",
    ['span = "20 ft"', 'length = "30 ft"', 'spacing = "2 ft"', "tie_every = 2", 'ridge = "beam"'],
)
def test_a_polygon_has_nothing_of_a_gable(line: str) -> None:
    text = changed("[support]", f"{line}\n[support]")
    assert only(text) == ("IN-009", f"roof.{line.split()[0]}")


def test_ties_across_need_a_hip_opposite() -> None:
    text = changed("sides = 8", "sides = 7", changed('layout = "ring"', 'layout = "cross"'))
    assert only(text) == ("IN-009", "tie.layout")


def test_a_band_lies_on_the_plate() -> None:
    text = changed('height = "0"', 'height = "1/3"', changed('layout = "ring"', 'layout = "band"'))
    assert only(text) == ("IN-009", "tie.height")


def test_jacks_may_end_on_a_hub_of_some_size() -> None:
    text = changed('infill = "purlins"', 'infill = "jacks"')
    assert job.loads(text).roof.infill == "jacks"
    text = changed(
        'hub_radius = "0 in"', 'hub_radius = "5 in"', changed('hub = "point"', 'hub = "disc"', text)
    )
    assert job.loads(text).roof.hub == "disc"


def test_all_findings_at_once_in_the_order_of_the_file() -> None:
    text = changed("sides = 8", "sides = 2")
    text = changed('rise = "6 ft"', 'rise = "6 ft"\nrize = 7', text)
    text = changed('dead = "0 psf"', "dead = 15", text)
    text = changed('"No. 2"', '"No. 9"', text)
    text = changed('height = "0"', 'height = "7 ft"', text)
    text = changed("wet_service = false", "wet_service = 0", text)
    assert [(found.code, found.key) for found in findings(text)] == [
        ("IN-001", "roof.sides"),
        ("IN-004", "roof.rize"),
        ("IN-002", "loads.dead"),
        ("IN-010", "rafter.grade"),
        ("IN-009", "tie.height"),
        ("IN-006", "site.wet_service"),
    ]


def test_place_value_bound_remedy() -> None:
    lines = changed('rise = "6 ft"', '  rise   = "-2 ft"').splitlines()
    (found,) = findings("\n".join(lines))
    line = next(number for number, text in enumerate(lines, 1) if "rise " in text)
    assert (found.line, found.column) == (line, 12)
    assert found.value == "-2 ft"
    assert found.bound == "above 0 in and at most 60 ft"
    assert str(found).startswith(f"IN-001 shed/job.toml:{line}:12: roof.rise = -2 ft, but it must")


def test_places_inside_inline_tables_and_quoted_keys() -> None:
    (found,) = findings(changed('snow = { roof = "40 psf" }', '"snow" = { "r\\u006fof" = 40 }'))
    assert (found.key, found.value, found.column) == ("loads.snow.roof", "40", 26)


def test_a_missing_key_stands_where_its_table_does() -> None:
    (found,) = findings(changed('height = "0"', ""))
    assert found.line == OCTAGON.splitlines().index("[tie]") + 1
    assert "stated" in found.bound


@pytest.mark.parametrize(
    ("old", "new", "offered"),
    [
        ("sides = 8", "sydes = 8\nsides = 8", "sides"),
        ('"Douglas Fir-Larch"', '"Douglas Fur-Larch"', "Douglas Fir-Larch No. 2"),
        ('"A307 5/8 in"', '"A307 5/8in"', "A307 5/8 in"),
        ('hub = "point"', 'hub = "Point"', '"point"'),
        ("[limits]", "[limit]", "limits"),
        ("[limits]", 'rise = "1 ft"\n[limits]', "[roof]"),
        ("[limits]", 'spread = "1 in"\n[limits]', "[limits]"),
    ],
)
def test_near_names_are_offered(old: str, new: str, offered: str) -> None:
    told = [found for found in findings(changed(old, new)) if offered in found.remedy]
    assert told


def test_a_price_without_quotes_is_offered_in_quotes() -> None:
    (found,) = findings(changed('currency = "USD"', 'currency = "USD"\nturnbuckle = 14.5'))
    assert (found.code, found.bound) == ("IN-002", "text")
    assert found.remedy == 'Put it in quotes: "14.5".'
    job.loads(changed('currency = "USD"', 'currency = "USD"\nturnbuckle = "14.5"'))


def test_legs_that_pull_need_a_roof_that_weighs() -> None:
    (found,) = findings(changed('target = "0 lb"', 'target = "120 lb"'))
    assert (found.code, found.key) == ("IN-009", "pretension.target")
    assert "roof's own weight" in found.remedy


def test_a_hub_ring_states_its_section() -> None:
    ring = changed('hub = "point"', 'hub = "ring"')
    ring = changed('hub_radius = "0 in"', 'hub_radius = "14 in"', ring)
    assert [found.key for found in findings(ring)] == ["roof.hub_width", "roof.hub_depth"]
    whole = changed('"14 in"', '"14 in"\nhub_width = "5 1/2 in"\nhub_depth = "7 1/4 in"', ring)
    assert job.loads(whole).roof.hub_depth == pytest.approx(7.25 * 0.0254, rel=1e-15)
    assert only(changed('hub_radius = "0 in"', 'hub_radius = "0 in"\nhub_depth = "7 in"')) == (
        "IN-009",
        "roof.hub_depth",
    )
    (found,) = findings(changed('"14 in"', '"14 in"\nhub_joints = "pinned"', whole))
    assert (found.code, found.key) == ("IN-013", "roof.hub_joints")
    assert "ring of pinned bars cannot hold heads that are pushed unequally" in found.remedy


def test_a_hub_stands_inside_the_plate() -> None:
    text = changed('hub = "point"', 'hub = "disc"')
    assert only(changed('hub_radius = "0 in"', 'hub_radius = "12 ft"', text)) == (
        "IN-009",
        "roof.hub_radius",
    )


@pytest.mark.parametrize(("height", "fits"), [("0", True), ("1/2", True), ("0.8", False)])
def test_the_ring_lies_inside_the_bolts_at_its_height(height: str, fits: bool) -> None:
    # A straight hip from 12 ft out at the foot to 0 at the head: at a share h it is 12 (1 - h) ft.
    text = changed('height = "0"', f'height = "{height}"')
    text = changed('ring_radius = "6 in"', 'ring_radius = "5 ft"', text)
    if fits:
        assert job.loads(text).tie.ring_radius == pytest.approx(5 * 0.3048, rel=1e-15)
    else:
        assert only(text) == ("IN-009", "tie.ring_radius")


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ('["4 kip/in", "1 kip/in"]', "IN-009"),
        ('["1 kip/in"]', "IN-006"),
        ('"1 kip/in"', "IN-006"),
        ('["1 kip/in", 4]', "IN-002"),
        ('["0 kip/in", "4 kip/in"]', "IN-001"),
        ('["1 kip/in", "4 kip"]', "IN-002"),
    ],
)
def test_stiff_walls_state_a_range(stated: str, code: str) -> None:
    text = changed('walls = "no help"', f'walls = "stiff"\nwall_stiffness = {stated}')
    assert only(text) == (code, "support.wall_stiffness")


def test_a_range_for_walls_that_give_no_help_is_refused() -> None:
    text = changed(
        'walls = "no help"', 'walls = "no help"\nwall_stiffness = ["1 kip/in", "2 kip/in"]'
    )
    assert only(text) == ("IN-009", "support.wall_stiffness")


def test_a_table_given_as_a_value_or_list() -> None:
    start = "schema = 1\nlimits = 3\n"
    rest = OCTAGON.replace("schema = 1", "", 1).replace("[limits]", "[lost]", 1)
    assert ("IN-006", "limits") in {(found.code, found.key) for found in findings(start + rest)}
    assert only(OCTAGON.replace("[site]", "[[site]]")) == ("IN-006", "site")


def test_many_faults_are_counted_not_listed() -> None:
    text = changed("[site]", "[site]\n" + "".join(f"k{number} = 1\n" for number in range(5000)))
    found = findings(text)
    assert len(found) == 61
    assert found[-1].code == "IN-012"
    assert found[-1].bound == "4940 more findings are not shown"


def test_a_key_is_quoted_harmlessly() -> None:
    (found,) = findings(changed("[site]", '[site]\n"\\u001b[31m\\n' + "x" * 500 + '" = 1'))
    assert found.key.isprintable()
    assert len(found.key) < 80


def test_defaults_are_taken_and_listed() -> None:
    text = OCTAGON[: OCTAGON.index("[limits]")]
    read = job.loads(text)
    assert read.limits.spread == pytest.approx(0.00635)
    told = {found.key: found for found in read.assumed}
    assert told["limits.spread"].value == "1/4 in"
    assert told["limits.spread"].why == "common practice, no source"
    assert told["site.pool"].value == "false"
    assert told["prices.currency"].value == "USD"


def test_a_height_may_be_a_length_a_fraction_or_a_number() -> None:
    for stated, expected in [('"1/3"', 0.6096), ('"2 ft"', 0.6096), ("0.25", 0.4572), ("0", 0.0)]:
        read = job.loads(changed('height = "0"', f"height = {stated}"))
        assert read.tie_height == pytest.approx(expected, rel=1e-14)
