"""The examples are jobs, in SI, and each states every key that is served."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from rafterstay import job
from rafterstay.core.errors import InputError
from rafterstay.job.examples import DEMO, example, examples

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_octagon_is_read_in_si() -> None:
    octagon = job.load(EXAMPLES / "octagon.toml")
    assert octagon.title == "Octagon"
    assert octagon.roof.sides == 8
    assert octagon.roof.plate_radius == pytest.approx(12 * 0.3048, rel=1e-15)
    assert octagon.rafter.gap == pytest.approx(1.5 * 0.0254, rel=1e-15)
    # 40 psf: 1 lbf = 4.4482216152605 N over 1 ft2 = 0.09290304 m2 (NIST SP 811).
    assert octagon.loads.snow.roof == pytest.approx(40 * 4.4482216152605 / 0.09290304, rel=1e-14)
    assert octagon.loads.set_temperature == pytest.approx((60 + 459.67) * 5 / 9, rel=1e-14)
    assert octagon.tie.height == job.Height(0.0, is_fraction=True)
    assert octagon.tie_height == 0.0
    assert octagon.support.wall_stiffness is None
    assert octagon.parts.eye_spacers is True


def test_reading_room_ties_below_a_third_of_the_rise() -> None:
    room = job.load(EXAMPLES / f"{DEMO}.toml")
    assert room.tie_height == pytest.approx(80 * 0.0254 * 0.3, rel=1e-15)
    assert room.roof.hub == "disc"
    assert room.roof.sides == 10


@pytest.mark.parametrize("name", ["octagon", DEMO])
def test_examples_leave_only_the_spare_keys_out(name: str) -> None:
    assert {found.key for found in job.loads(example(name)).assumed} <= {
        "roof.heads",
        "roof.hub_joints",
        "roof.hub_shear_allowable",
        "roof.hub_tension_allowable",
        "rafter.tail",
        "rafter.seat",
        "rafter.end_fixity",
        "support.holddown_allowable",
        "tie.ring_ropes",
    }


def test_octagon_states_what_the_contract_prints() -> None:
    stated = tomllib.loads(example("octagon"))
    assert [*stated] == [
        "schema",
        *("job", "roof", "support", "loads", "rafter", "tie", "parts", "pretension"),
        *("limits", "site", "prices"),
    ]
    assert stated["roof"] == {
        "shape": "polygon",
        "sides": 8,
        "plate_radius": "12 ft",
        "hub": "point",
        "hub_radius": "0 in",
        "rise": "6 ft",
        "infill": "purlins",
        "bracing": "deck",
        "overhang": "0 in",
    }
    assert stated["parts"]["ring_rope"] == "7x19 galvanized 5/16 in"


def test_an_example_that_does_not_exist() -> None:
    assert examples() == (
        "bandstand",
        "gable-workshop",
        "octagon",
        "pavilion",
        "reading-room",
        "round-house",
    )
    with pytest.raises(InputError, match=r"IN-014 .*Did you mean octagon\?"):
        example("octogon")
