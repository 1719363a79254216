"""Keys that go with some rings only: a welded ring's bar, a plate's holes, a rope ring's rope."""

from __future__ import annotations

import re

import pytest

from rafterstay import job
from rafterstay.core.errors import InputError
from rafterstay.job.examples import example

BAR = 'ring_bar = "1/2 in"'
PLATE = 'plate_thickness = "3/8 in"\nplate_edge = "1 1/4 in"'


def text_of(ring: str, more: str, *, rope: bool = False, shackle: str = "none") -> str:
    """The octagon with another ring."""
    text = example("octagon").replace('ring = "rope-seized"', f'{more}\nring = "{ring}"')
    text = text.replace('shackle = "none"', f'shackle = "{shackle}"')
    return text if rope else re.sub(r"ring_rope = .*\n", "", text)


def test_a_welded_ring_states_its_bar_and_assumes_the_rest() -> None:
    stated = job.loads(text_of("welded", BAR))
    assert stated.tie.ring_bar == pytest.approx(0.0127)
    assert (stated.tie.ring_steel, stated.tie.ring_weld) == ("ASTM A36", "not stated")
    assumed = {one.key for one in stated.assumed}
    assert {"tie.ring_steel", "tie.ring_weld"} <= assumed
    assert stated.parts.ring_rope is None


def test_a_plate_states_its_thickness_and_edge() -> None:
    stated = job.loads(text_of("plate", PLATE, shackle="anchor 3/8 in"))
    assert stated.tie.plate_edge == pytest.approx(1.25 * 0.0254)
    assert stated.tie.plate_hole == "close"
    assert "tie.plate_hole" in {one.key for one in stated.assumed}


def test_a_rope_ring_assumes_nothing_of_other_rings() -> None:
    stated = job.loads(example("octagon"))
    named = {one.key for one in stated.assumed}
    assert not named & {"tie.ring_steel", "tie.ring_weld", "tie.plate_hole"}
    assert stated.tie.ring_steel is None


@pytest.mark.parametrize(
    ("text", "code", "key"),
    [
        (text_of("welded", ""), "IN-005", "tie.ring_bar"),
        (text_of("plate", "", shackle="anchor 3/8 in"), "IN-005", "tie.plate_thickness"),
        (text_of("plate", PLATE), "IN-009", "parts.shackle"),
        (text_of("welded", BAR, rope=True), "IN-009", "parts.ring_rope"),
        (text_of("rope-seized", ""), "IN-005", "parts.ring_rope"),
        (text_of("rope-seized", BAR, rope=True), "IN-009", "tie.ring_bar"),
        (text_of("welded", f"{BAR}\n{PLATE}"), "IN-009", "tie.plate_edge"),
        (text_of("welded", f'{BAR}\nring_steel = "butter"'), "IN-010", "tie.ring_steel"),
        (text_of("welded", 'ring_bar = "1/2"'), "IN-002", "tie.ring_bar"),
        (text_of("welded", 'ring_bar = "4 in"'), "IN-001", "tie.ring_bar"),
        (text_of("welded", f'{BAR}\nring_weld = "good"'), "IN-007", "tie.ring_weld"),
        (text_of("wire", BAR), "IN-007", "tie.ring"),
    ],
)
def test_what_does_not_go_together_is_refused(text: str, code: str, key: str) -> None:
    with pytest.raises(InputError) as caught:
        job.loads(text)
    assert (code, key) in {(found.code, found.key) for found in caught.value.findings}


def test_keys_of_a_ring_are_not_asked_of_a_band() -> None:
    text = text_of("welded", BAR).replace('layout = "ring"', 'layout = "band"')
    assert job.loads(text).tie.layout == "band"
