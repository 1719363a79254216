"""A form put into a job file, without a browser."""

from __future__ import annotations

import tomllib

import pytest

from rafterstay import job
from rafterstay.core.quantities import parse
from rafterstay.job.examples import example
from rafterstay.web.entry import changed, enter, set_aside
from rafterstay.web.fields import stated, written
from rafterstay.web.pencil import Pencil, marked, pencilled
from rafterstay.web.questions import QUESTIONS, fifteen_of, question_of, questions_of
from rafterstay.web.reading import layout_of, shape_of
from rafterstay.web.spoken import in_words

ROOM = example("reading-room")
OCTAGON = example("octagon")
GABLE = example("gable-workshop")
BAND = example("bandstand")
CROSS = example("pavilion")


def test_there_are_fifteen_questions_each_with_a_place_to_look() -> None:
    for shape in ("polygon", "gable"):
        assert len({question.name for question in fifteen_of(shape)}) == 15
    assert len({question.name for question in QUESTIONS}) == len(QUESTIONS)
    assert all(question.where.endswith(".") for question in QUESTIONS)


@pytest.mark.parametrize("text", [ROOM, OCTAGON, GABLE, BAND, CROSS])
@pytest.mark.parametrize("system", ["us", "si"])
def test_a_form_sent_back_unchanged_changes_nothing(text: str, system: str) -> None:
    shown = job.set_value(text, "job.show", system)
    tree = tomllib.loads(shown)
    form: dict[str, str] = {}
    for question in questions_of(shape_of(text), layout_of(text)):
        form |= written(question, tree, system)  # type: ignore[arg-type]
    assert changed(shown, form) == []
    assert enter(shown, form).text == shown


def test_comments_stay_and_only_the_answer_changes() -> None:
    done = enter(ROOM, {"rise": "7 ft 1 3/8 in", "snow": "30 psf"})
    assert done.accepted == ["rise"]
    before, after = ROOM.splitlines(), done.text.splitlines()
    differing = [pair for pair in zip(before, after, strict=True) if pair[0] != pair[1]]
    assert len(differing) == 1
    assert "foot's bearing centre up" in differing[0][1]
    assert job.loads(done.text).roof.rise == pytest.approx((7 * 12 + 1.375) * 0.0254)


@pytest.mark.parametrize("typed", ["23'-5 3/16\"", "7.141 m", "281 in", "23 1/2 ft"])
def test_across_corners_is_twice_the_radius_exactly(typed: str) -> None:
    found = job.loads(enter(ROOM, {"across": typed}).text)
    assert 2 * found.roof.plate_radius == pytest.approx(parse(typed, "length"), abs=1e-9)


def test_answers_that_only_fit_together_are_put_in_together() -> None:
    low = enter(OCTAGON, {"rise": "2 ft"}).text
    form = {"height": "3 ft", "rise": "7 ft"}
    done = enter(low, form)
    assert done.faults == {}
    assert sorted(done.accepted) == ["height", "rise"]
    refused = enter(low, {"height": "3 ft"})
    assert refused.text == low
    assert refused.faults["height"][0].code == "IN-009"


@pytest.mark.parametrize(
    ("form", "question", "code"),
    [
        ({"rise": "six"}, "rise", "IN-003"),
        ({"rise": "6"}, "rise", "IN-002"),
        ({"rise": "-2 ft"}, "rise", "IN-001"),
        ({"rise": ""}, "rise", "IN-005"),
        ({"sides": "2"}, "sides", "IN-001"),
        ({"sides": "8.5"}, "sides", "IN-006"),
        ({"across": "22"}, "across", "IN-002"),
        ({"snow": "30 lb"}, "snow", "IN-002"),
        ({"rope": "string"}, "rope", "IN-010"),
        ({"plies": "3"}, "plies", "IN-009"),
        ({"walls": "stiff"}, "walls", "IN-003"),
        ({"title": "a\x1bb"}, "title", "IN-001"),
    ],
)
def test_each_fault_is_told_at_its_question(form: dict[str, str], question: str, code: str) -> None:
    done = enter(ROOM, form)
    assert done.text == ROOM
    assert [found.code for found in done.faults[question]] == [code]


def test_a_hub_is_answered_whole() -> None:
    form = {"hub": "ring", "hub_radius": "10 in", "hub_width": "3 in", "hub_depth": "9 1/4 in"}
    ring = enter(OCTAGON, form)
    assert job.loads(ring.text).roof.hub == "ring"
    point = enter(ring.text, {"hub": "point"})
    assert job.loads(point.text).roof.hub_radius == 0.0
    assert "hub_width" not in point.text


def test_stiff_walls_are_stated_and_taken_back() -> None:
    form = {"walls": "stiff", "walls_least": "1 kip/in", "walls_most": "4 kip/in"}
    stiff = enter(OCTAGON, form)
    assert stiff.faults == {}
    assert job.loads(stiff.text).support.wall_stiffness is not None
    bare = enter(stiff.text, {"walls": "no help"})
    assert bare.faults == {}
    assert job.loads(bare.text).support.wall_stiffness is None


def test_snow_of_the_ground_brings_what_it_asks_for() -> None:
    asked = {"snow": "46 psf", "snow_on": "the ground"}
    assert enter(OCTAGON, asked).faults["snow"]
    more = {"exposure": "C partially exposed", "thermal": "unheated", "importance": "II"}
    done = enter(OCTAGON, asked | more | {"slippery": "no", "level": "service"})
    assert done.faults == {}
    snow = job.loads(done.text).loads.snow
    assert snow.ground == pytest.approx(parse("46 psf", "pressure"))
    assert (snow.roof, snow.slippery) == (None, False)
    back = job.loads(enter(done.text, {"snow": "35 psf", "snow_on": "the roof"}).text).loads.snow
    assert (back.ground, back.exposure) == (None, None)
    assert back.roof == pytest.approx(parse("35 psf", "pressure"))


def test_thimble_sleeve_and_ring_rope_follow_the_rope() -> None:
    found = job.loads(enter(OCTAGON, {"rope": "7x19 galvanized 5/16 in"}).text).parts
    assert (found.thimble, found.sleeve) == ("heavy 5/16 in", "copper oval 5/16 in")
    assert found.ring_rope == "7x19 galvanized 3/8 in"


def test_roofing_by_name_states_its_weight() -> None:
    found = job.loads(enter(OCTAGON, {"dead": "0 psf", "roofing": "slate, 1/4 in"}).text)
    assert found.loads.dead == pytest.approx(parse("17 psf", "pressure"))


def test_a_blank_sheet_is_all_pencil_and_an_answer_is_ink() -> None:
    text = marked(OCTAGON, Pencil.empty())
    assert len(pencilled(text).unanswered) == 15
    assert enter(text, {question.name: "" for question in fifteen_of("polygon")}).text == text
    done = enter(text, {"rise": "6 ft"})
    assert "rise" not in pencilled(done.text)
    put_off = set_aside(done.text, "snow")
    assert pencilled(put_off).unknown == {"snow"}
    assert job.loads(put_off) is not None
    assert set_aside(put_off, "ring_rope") == put_off
    assert set_aside(put_off, "nonsense") == put_off


def test_words_of_lengths() -> None:
    assert in_words(-0.0254 * 2.5, "us") == "minus two and a half inches"
    assert in_words(0.0254 * 12, "us") == "one foot"
    assert in_words(0.0254 * (36 + 1 / 16), "us") == "three feet one sixteenth of an inch"
    assert in_words(0.0, "us") == "zero inches"
    assert in_words(0.0254 * 1 / 3, "us") == "about five sixteenths of an inch"
    assert in_words(1.001, "si") == "one metre one millimetre"


def test_a_question_states_only_its_own_keys() -> None:
    for question in QUESTIONS:
        tree = tomllib.loads(ROOM)
        answer = stated(question, written(question, tree, "us"), "us")
        assert set(answer) <= set(question.keys)
        assert all(question_of(key) is question for key in question.keys)


def test_each_roof_is_asked_what_it_has() -> None:
    gable = {question.name for question in questions_of("gable", "cross")}
    assert {"span", "length", "spacing", "ridge"} <= gable
    assert not {"sides", "across", "hub", "ring_radius", "ring_rope", "layout"} & gable
    band = {question.name for question in questions_of("polygon", "band")}
    assert "ring_rope" not in band
    assert not {"span", "spacing"} & band
    text = marked(GABLE, Pencil.empty("gable"))
    assert pencilled(text).unanswered == {one.name for one in fifteen_of("gable")}
    assert set_aside(GABLE, "sides") == GABLE


def test_a_gable_is_answered() -> None:
    form = {"span": "19'-7 1/4\"", "length": "37 ft", "spacing": "2'-4\"", "tie_every": "3"}
    done = enter(GABLE, form | {"ridge": "beam"})
    assert done.faults == {}
    roof = job.loads(done.text).roof
    assert (roof.tie_every, roof.ridge) == (3, "beam")
    assert [roof.span, roof.length, roof.spacing] == pytest.approx(
        [(19 * 12 + 7.25) * 0.0254, 37 * 12 * 0.0254, 28 * 0.0254]
    )


def test_a_tie_is_laid_otherwise_and_back() -> None:
    """A band lies on the plate; ties across leave the ring's own answers where they were."""
    band = enter(ROOM, {"layout": "band"})
    assert band.faults == {}
    assert job.loads(band.text).tie_height == 0.0
    ring = enter(CROSS, {"layout": "ring"})
    assert ring.faults == {}
    found = job.loads(ring.text)
    assert found.tie.ring_radius == pytest.approx(6 * 0.0254)
    assert found.parts.ring_rope == "7x19 galvanized 5/16 in"
    across = enter(ROOM, {"layout": "cross"}).text
    back = job.loads(enter(across, {"layout": "ring"}).text)
    assert back.tie == job.loads(ROOM).tie
    assert back.parts == job.loads(ROOM).parts
    odd = enter(ROOM, {"layout": "cross", "sides": "9"})
    assert len(odd.faults) == 1


def test_an_answer_that_may_be_left_out_is_left_out_where_it_is_emptied() -> None:
    stated_one = enter(ROOM, {"overhang": "14 in"}).text
    assert job.loads(stated_one).roof.overhang == pytest.approx(14 * 0.0254)
    emptied = enter(stated_one, {"overhang": ""})
    assert (emptied.faults, job.loads(emptied.text).roof.overhang) == ({}, 0.0)
    assert enter(ROOM, {"rise": ""}).faults["rise"][0].code == "IN-005"


def test_what_is_left_out_shows_what_is_taken() -> None:
    """Spacers that are not stated are none: a form must not show yes."""
    bare = job.drop_value(ROOM, "parts.eye_spacers")
    question = question_of("parts.eye_spacers")
    assert question is not None
    assert written(question, tomllib.loads(bare), "us") == {"spacers": "no"}


def test_another_ring_takes_its_own_keys_along() -> None:
    """Rope, bar, plate and back: each file is whole, and nothing of the last ring is left in it."""
    bar = enter(ROOM, {"ring": "welded"}).text
    found = job.loads(bar)
    assert found.tie.ring_bar == pytest.approx(0.75 * 0.0254)
    assert found.parts.ring_rope is None
    thicker = job.loads(
        enter(bar, {"ring_bar": "7/8 in", "ring_weld": "complete-penetration"}).text
    )
    assert thicker.tie.ring_bar == pytest.approx(0.875 * 0.0254)
    assert thicker.tie.ring_weld == "complete-penetration"
    plate = enter(bar, {"ring": "plate"}).text
    flat = job.loads(plate)
    assert (flat.tie.ring_bar, flat.parts.shackle) == (None, "anchor 3/8 in")
    assert flat.tie.plate_edge == pytest.approx(1.25 * 0.0254)
    rope = enter(plate, {"ring": "rope-sliding"}).text
    again = job.loads(rope)
    assert (again.tie.ring, again.tie.plate_thickness) == ("rope-sliding", None)
    assert again.parts.ring_rope == "7x19 galvanized 3/8 in"
    asked = {
        ring: {one.name for one in questions_of("polygon", "ring", ring)}
        for ring in ("rope-seized", "welded", "plate")
    }
    assert "ring_ropes" in asked["rope-seized"] - asked["welded"] - asked["plate"]
    assert "ring_bar" in asked["welded"] - asked["plate"]
    assert "plate_edge" in asked["plate"] - asked["welded"]


def test_a_second_ring_rope_is_stated_and_taken_back() -> None:
    two = enter(ROOM, {"ring_ropes": "2"}).text
    assert job.loads(two).tie.ring_ropes == 2
    assert job.loads(enter(two, {"ring_ropes": ""}).text).tie.ring_ropes == 1
    assert enter(ROOM, {"ring_ropes": "3"}).faults["ring_ropes"][0].code == "IN-001"
