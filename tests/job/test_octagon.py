"""The contract's example is a job, in SI, with what was assumed."""

from pathlib import Path

from rafterstay import job

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_octagon_is_read_in_si() -> None:
    octagon = job.load(EXAMPLES / "octagon.toml")
    assert octagon.title == "Octagon"
    assert octagon.roof.sides == 8
    assert abs(octagon.roof.plate_radius - 12 * 0.3048) < 1e-12
    assert abs(octagon.rafter.gap - 1.5 * 0.0254) < 1e-12
    assert octagon.tie.height == job.Height(0.0, is_fraction=True)
    assert octagon.tie_height == 0.0
    assert octagon.support.wall_stiffness is None


def test_reading_room_ties_at_a_third_of_the_rise() -> None:
    room = job.load(EXAMPLES / "reading-room.toml")
    assert abs(room.tie_height - 80 * 0.0254 / 3) < 1e-12
    assert room.roof.hub == "disc"
