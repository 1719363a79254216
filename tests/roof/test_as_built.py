"""A surveyed frame carried into the statics."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rafterstay import design, roof, survey
from rafterstay.cli.survey_frame import stated_points
from rafterstay.core.errors import InputError
from rafterstay.job import Job
from rafterstay.roof.as_built import widest_pair
from rafterstay.survey import AsBuilt, Reading
from tests.statics.roofs import stated


def _readings(shape: dict[str, np.ndarray], stated_job: Job) -> list[Reading]:
    """The readings that the plan asks, as a faultless tape would give them on this shape."""
    drawn = stated_points(stated_job, roof.lay_out(stated_job))
    layout = "pairs" if stated_job.roof.shape == "gable" else "ring"
    found = []
    for one in survey.plan(drawn, layout=layout).readings:  # type: ignore[arg-type]
        step = shape[one.end] - shape[one.start]
        value = {
            "level": np.hypot(step[0], step[1]),
            "slope": np.linalg.norm(step),
            "height": step[2],
        }[one.kind]
        found.append(Reading(one.start, one.end, one.kind, float(value)))
    return found


def _surveyed(stated_job: Job, moved: dict[str, tuple[float, float, float]]) -> AsBuilt:
    drawn = stated_points(stated_job, roof.lay_out(stated_job))
    shape = {name: np.array(at) + moved.get(name, (0, 0, 0)) for name, at in drawn.items()}
    return survey.adjust(_readings(shape, stated_job), drawn)


@pytest.mark.parametrize("height", ["0", "0.3"])
def test_a_frame_that_stands_as_drawn_pulls_as_drawn(height: str) -> None:
    """The survey adds nothing of its own."""
    job = stated("reading-room", roof__sides=7, tie__height=height)
    built = _surveyed(job, {})
    measured, drawn = design.check(job, built=built), design.check(job)
    assert measured.frame.geometry == "measured"
    assert measured.frame.nodes == pytest.approx(drawn.frame.nodes, abs=1e-6)
    assert measured.tie.leg_lengths == pytest.approx(drawn.tie.leg_lengths, abs=1e-6)
    assert measured.forces.leg_pull == pytest.approx(drawn.forces.leg_pull, rel=1e-4)


def test_a_foot_that_stands_out_makes_its_leg_longer_and_its_pull_its_own() -> None:
    """Foot 3 stands 40 mm out and 15 mm low: the ring hangs nearer to it, the legs differ."""
    job = stated("reading-room", roof__sides=8, tie__height="0.3")
    drawn = stated_points(job, roof.lay_out(job))
    out = np.array(drawn["3"]) / np.linalg.norm(drawn["3"])
    move = 0.04 * out + [0, 0, -0.015]
    shape = {"3": tuple(move), "t3": tuple(0.7 * move)}
    measured = design.check(job, built=_surveyed(job, shape))  # type: ignore[arg-type]
    pulls = measured.forces.leg_pull[0]
    assert int(measured.tie.leg_lengths.argmax()) == 2
    assert np.ptp(pulls) > 0.002 * pulls.max()
    closing = (pulls[:, None] * measured.forces.pull_direction[0])[:, :2].sum(axis=0)
    assert np.abs(closing).max() < 1e-4 * pulls.max()


def test_the_ring_hangs_where_legs_are_most_equal() -> None:
    """A hub that stands 60 mm off the middle of the bolts does not draw the ring with it."""
    job = stated("reading-room", roof__sides=9, tie__height="0.25")
    frame = roof.stand(job, _surveyed(job, {"hub": (0.06, -0.02, 0.01)}))
    assert frame.centre == pytest.approx([0.06, -0.02], abs=2e-3)
    assert frame.ring_centre is not None
    assert np.abs(frame.ring_centre[:2]).max() < 2e-3


def test_a_foot_without_readings_is_refused() -> None:
    """SV-042 names it."""
    job = stated("reading-room", roof__sides=6, tie__height="0")
    drawn = stated_points(job, roof.lay_out(job))
    shape = {name: np.array(at) for name, at in drawn.items()}
    kept = [r for r in _readings(shape, job) if "4" not in (r.start, r.end)]
    rest = {name: at for name, at in drawn.items() if name != "4"}
    with pytest.raises(InputError, match="SV-042 .*none to 4"):
        roof.stand(job, survey.adjust(kept, rest))


def test_a_gable_is_checked_at_its_widest_pair() -> None:
    """Foot k faces foot n + 1 - k."""
    readings = survey.read(Path("examples/readings/gable.csv"), [str(k) for k in range(1, 13)])
    built = survey.adjust(readings)
    across = [np.hypot(*(built.at(str(k)) - built.at(str(13 - k)))[:2]) for k in range(1, 7)]
    assert widest_pair(built, 6) == pytest.approx(max(across))


def test_a_gable_pair_of_one_surveyed_foot_is_passed_over() -> None:
    """Foot 1 was not reached: feet 2 and 11 still face one another, and nothing faces foot 12."""
    names = [str(k) for k in range(1, 13)]
    whole = survey.read(Path("examples/readings/gable.csv"), names)
    built = survey.adjust([r for r in whole if "1" not in (r.start, r.end)])
    across = [np.hypot(*(built.at(str(k)) - built.at(str(13 - k)))[:2]) for k in range(2, 7)]
    assert widest_pair(built, 6) == pytest.approx(max(across))
    east = [r for r in whole if max(int(r.start), int(r.end)) < 7]
    with pytest.raises(InputError, match="SV-042 .*none to 12"):
        widest_pair(survey.adjust(east), 6)
