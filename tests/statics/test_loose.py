"""What does not hold is named, never given a number; what holds is found from any start."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module

import numpy as np
import pytest

from rafterstay import loads, roof, statics, tie
from rafterstay.core.errors import InternalError, Mechanism, NotConverged
from rafterstay.roof import Frame
from rafterstay.statics import sense, tangent
from rafterstay.statics.condense import skeleton
from rafterstay.statics.network import Pose
from rafterstay.statics.newton import settle
from tests.statics.roofs import PSF, Value, half_loaded, row, solved, stated
from tests.statics.states import problem_of

# The package's verb hides the module of the same name.
SOLVE = import_module("rafterstay.statics.solve")


def test_uplift_on_walls_that_give_no_help_is_refused() -> None:
    """A rope only pulls: net uplift draws the feet in and nothing pushes back (ST-002)."""
    job = stated()
    frame = roof.lay_out(job)
    down = half_loaded(frame, 8 * PSF, 0.0, other=1.0)
    up = replace(down.cases[0], hip_load=-down.cases[0].hip_load, pattern="uplift")
    with pytest.raises(Mechanism, match=r"ST-002.*ballast.*support\.walls.*Hold-downs") as caught:
        statics.solve(frame, tie.rig(job, frame), replace(down, cases=(up,)))
    assert caught.value.loose == "feet"


@pytest.mark.parametrize(("way", "remedy"), [(1.0, "ballast"), (-1.0, "Lower the tie, steepen")])
def test_a_roof_that_runs_away_is_told_by_the_way_it_goes(way: float, remedy: str) -> None:
    """Feet in and hub up is uplift; the other way it is the roof's own softness (ST-006)."""
    bones = skeleton(frame := roof.lay_out(stated()))
    step = np.zeros((len(frame.nodes), 6))
    step[frame.feet, :3] = -0.02 * way * frame.outward
    step[frame.heads, 2] = 0.03 * way
    told = SOLVE._growing(bones, step, "D+0.6W/uplift")
    assert told.findings[0].code == "ST-006"
    assert remedy in told.findings[0].remedy


def test_uplift_is_held_where_walls_help() -> None:
    """Springs at the feet push back, and every leg goes slack."""
    job = stated(support__walls="stiff", support__wall_stiffness=["5 kip/in", "9 kip/in"])
    frame = roof.lay_out(job)
    down = half_loaded(frame, 19 * PSF, 0.0, other=1.0)
    up = replace(down.cases[0], hip_load=-down.cases[0].hip_load, pattern="uplift")
    cases = replace(down, cases=(up,))
    rig = tie.rig(job, frame)
    walls = [v for v in SOLVE.variants(job.support.wall_stiffness) if v.bound == "stated"]
    for variant in walls:
        problem, start = problem_of(frame, rig, cases, walls=variant.walls)
        rest = settle(problem, start)
        assert rest.settled.all()
        # Slack: ends nearer than the leg is long; what pull is left hangs from its own weight.
        chord = np.linalg.norm(rest.pulls.ends - rest.pulls.starts, axis=-1)
        assert (chord < problem.links.leg_length.sum(axis=2)).all()


@pytest.mark.parametrize("direction", [0.0, 22.5])
def test_heads_pinned_round_a_disc_pass_no_one_sided_load(direction: float) -> None:
    """The hub's own equilibrium forbids it (docs/theory/hub.md); the remedy names it."""
    job = stated(roof__hub="disc", roof__hub_radius="9 in", roof__heads="pinned")
    frame = roof.lay_out(job)
    with pytest.raises(Mechanism, match="ST-00[123].*bear"):
        statics.solve(frame, tie.rig(job, frame), half_loaded(frame, 40 * PSF, direction))


def test_a_roof_that_tilts_is_not_said_to_be_lifted() -> None:
    """One-sided snow, heads pinned round a ring: some heads rise, but the cause is the pins."""
    ring = {
        "roof__hub_radius": "14 in",
        "roof__hub_width": "5 1/2 in",
        "roof__hub_depth": "11 1/4 in",
    }
    job = stated("reading-room", roof__hub="ring", roof__heads="pinned", **ring)
    with pytest.raises(Mechanism, match=r"ST-002 D\+S/unbalanced.*cut them to bear") as caught:
        solved(job)
    assert "plift" not in str(caught.value)


def test_a_hub_ring_of_pinned_bars_is_refused() -> None:
    """Built directly, since a job file that says so is refused before it gets here."""
    job = stated(
        roof__hub="ring", roof__hub_radius="14 in", roof__hub_width="4 in", roof__hub_depth="9 in"
    )
    frame = _with_pinned_ring(roof.lay_out(job))
    for other in (0.0, 1.0):
        with pytest.raises(Mechanism, match="ST-00[123] ") as caught:
            statics.solve(frame, tie.rig(job, frame), half_loaded(frame, 30 * PSF, 0.0, other))
        assert caught.value.loose


def test_a_hub_ring_of_stiff_beams_holds() -> None:
    """The same ring with rigid joints passes one-sided load by bending and twist."""
    job = stated(
        roof__hub="ring", roof__hub_radius="14 in", roof__hub_width="4 in", roof__hub_depth="9 in"
    )
    frame = roof.lay_out(job)
    forces = statics.solve(frame, tie.rig(job, frame), half_loaded(frame, 30 * PSF, 22.5))
    assert forces.force_error[0] < 1e-3


def test_a_disc_that_nothing_keeps_from_spinning_is_named() -> None:
    """Bare hips pinned at both ends round a disc turn like spokes (ST-001)."""
    job = stated(
        roof__hub="disc", roof__hub_radius="9 in", roof__heads="pinned", roof__bracing="none"
    )
    with pytest.raises(Mechanism, match="ST-001 h") as caught:
        solved(job)
    assert caught.value.loose.startswith(("hub", "head"))


def test_no_dead_load_leaves_the_drawing_as_setting_state() -> None:
    """Nothing would hold the legs' own weight: pulls of nil, nothing said of a lowered prop."""
    setting = solved(stated(tie__height="1/2", rafter__ply="2x12")).setting
    assert (setting.leg_pull == 0).all()
    assert np.isnan(setting.lowered_pull).all()


def test_too_small_a_target_is_told_as_that() -> None:
    """One pound: ropes, turnbuckles and ring weigh more, and would hang far below the drawing."""
    with pytest.raises(
        Mechanism, match=r"ST-005 pretension\.target = 4 N \(1 lb\).*own weight.*a larger"
    ):
        solved(stated("reading-room", pretension__target="1 lb"))


def test_a_target_that_lifts_the_hub_is_refused_with_the_most() -> None:
    """Walls give no help, so the dead load limits the pull (ST-005)."""
    with pytest.raises(
        Mechanism, match=r"ST-005 pretension\.target = 4 kN \(900 lb\).*below 2\.\d+ kN"
    ):
        solved(stated("reading-room", pretension__target="900 lb"))


@pytest.mark.parametrize("extra", [0.004, 0.02, 0.05])
def test_legs_cut_too_long_are_found_slack_or_tight_from_a_slack_start(extra: float) -> None:
    """Every rope slack at the start and the feet free: the roof comes down until they hold."""
    job = stated(rafter__ply="2x12")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    forces = statics.solve(
        frame,
        rig,
        half_loaded(frame, 25 * PSF, 45.0, other=0.4),
        leg_extra=np.full(8, extra),
    )
    assert (forces.leg_pull > 0).all()
    assert forces.spread.min() > extra
    assert (forces.force_error <= 1e-6 * forces.leg_pull.max(axis=1)).all()


def test_one_leg_cut_too_long_hangs_slack() -> None:
    """The others carry on; the ring's place is not given."""
    job = stated("reading-room", rafter__ply="2x12")
    frame = roof.lay_out(job)
    extra = np.zeros(10)
    extra[3] = 0.12
    cases = loads.gather(job, frame)
    forces = statics.solve(frame, tie.rig(job, frame), cases, leg_extra=extra)
    here = row(forces, "D/dead")
    assert forces.slack[here].tolist() == [k == 3 for k in range(10)]
    assert np.isnan(forces.ring_shift[here]).all()
    assert np.isnan(forces.ring_sag[here])


@pytest.mark.parametrize("seed", range(12))
def test_random_roofs_converge_or_name_the_loose_part(seed: int) -> None:
    """Awkward shapes, soft and stiff, pitched low and high, ties low and high."""
    rng = np.random.default_rng(seed)
    hub = ("point", "disc", "ring")[seed % 3]
    changes: dict[str, Value] = {
        "roof__sides": int(rng.integers(3, 17)),
        "roof__plate_radius": f"{rng.uniform(8, 20):.2f} ft",
        "roof__rise": f"{rng.uniform(2, 12):.2f} ft",
        "roof__hub": hub,
        "roof__hub_radius": "0 in" if hub == "point" else f"{rng.uniform(5, 24):.1f} in",
        "roof__bracing": ("deck", "none")[int(rng.integers(2))],
        "tie__height": f"{rng.uniform(0, 0.6):.3f}",
        "loads__snow__roof": f"{rng.uniform(5, 40):.1f} psf",
        "loads__dead": f"{rng.uniform(0, 20):.1f} psf",
        "rafter__ply": ("2x8", "2x12")[int(rng.integers(2))],
    }
    if hub == "ring":
        changes |= {"roof__hub_width": "2 1/2 in", "roof__hub_depth": "9 in"}
    try:
        forces = solved(stated(**changes))
    except Mechanism as found:
        loose = found.loose
    else:
        loose = ""
        assert (forces.force_error <= 1e-6 * np.maximum(forces.leg_pull.max(axis=1), 1.0)).all()
    named = loose.startswith(("feet", "foot", "head", "hub", "ring", "tie bolt"))
    assert named or not loose


def test_giving_up_is_said_with_the_worst_place(monkeypatch: pytest.MonkeyPatch) -> None:
    """ST-004, forced by allowing no steps."""
    job = stated()
    frame = roof.lay_out(job)
    problem, start = problem_of(frame, tie.rig(job, frame), loads.gather(job, frame))
    monkeypatch.setattr("rafterstay.statics.newton.MOST_STEPS", 1)
    monkeypatch.setattr("rafterstay.statics.newton.FIRST_STEPS", 1)
    rest = settle(problem, start)
    with pytest.raises(NotConverged, match="ST-004 .*out of balance") as caught:
        sense.require_sense(problem, rest, ["here"] * len(rest.settled))
    assert caught.value.residual > 0
    assert caught.value.worst_node


def test_an_answer_that_cannot_be_proved_is_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    """ST-007, forced by asking for more than rounding allows."""
    monkeypatch.setattr(SOLVE, "PROVED", 1e-18)
    with pytest.raises(InternalError, match="ST-007"):
        solved(stated())


def test_a_roof_that_never_settles_second_order_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """ST-006, forced by allowing one pass."""
    monkeypatch.setattr(SOLVE, "MOST_PASSES", 1)
    with pytest.raises(Mechanism, match="ST-006"):
        solved(stated())


def test_a_start_from_nonsense_comes_to_the_same_rest() -> None:
    """The energy is convex: forces do not depend on where the search begins."""
    job = stated("reading-room", tie__height="0.4", rafter__ply="2x12")
    frame = roof.lay_out(job)
    problem, start = problem_of(frame, tie.rig(job, frame), loads.gather(job, frame))
    rng = np.random.default_rng(5)
    elsewhere = Pose(
        start.kept + rng.normal(0, 0.05, start.kept.shape),
        start.ring + rng.normal(0, 0.2, start.ring.shape),
        start.joints + rng.normal(0, 0.2, start.joints.shape),
    )
    near, far = settle(problem, start), settle(problem, elsewhere)
    assert near.settled.all()
    assert far.settled.all()
    assert far.pulls.leg_pull == pytest.approx(near.pulls.leg_pull, rel=1e-7)


def _with_pinned_ring(frame: Frame) -> Frame:
    members = tuple(
        replace(member, pinned=(True, True), loose=(True, True))
        if member.name.startswith("hub ring")
        else member
        for member in frame.members
    )
    return replace(frame, members=members)


@pytest.mark.parametrize(
    ("ring", "changes"),
    [
        (
            "welded",
            {
                "roof__sides": 6,
                "roof__plate_radius": "15.3 ft",
                "roof__rise": "15.27 ft",
                "roof__hub_radius": "12.1 in",
                "tie__height": "0.274",
                "tie__ring_radius": "10.9 in",
                "loads__snow__roof": "33 psf",
                "loads__dead": "10.9 psf",
                "parts__rope": "7x19 galvanized 1/4 in",
            },
        ),
        (
            "rope-sliding",
            {
                "roof__sides": 18,
                "roof__plate_radius": "17 ft",
                "roof__rise": "14.99 ft",
                "roof__hub_radius": "16.4 in",
                "tie__height": "0.292",
                "tie__ring_radius": "8.1 in",
                "loads__snow__roof": "36.2 psf",
                "loads__dead": "14.9 psf",
                "parts__rope": "7x19 galvanized 1/4 in",
            },
        ),
    ],
)
def test_hips_that_nothing_braces_run_away_and_are_blamed(
    ring: str, changes: dict[str, Value]
) -> None:
    """The stiff ring that turns with them is not, nor a stiffness past all reason."""
    job = stated(
        roof__hub="ring",
        roof__hub_width="4 in",
        roof__hub_depth="9 in",
        roof__bracing="none",
        rafter__ply="2x12",
        **changes,
    )
    frame = roof.lay_out(job)
    rig = replace(tie.rig(job, frame), ring=ring)
    with pytest.raises(Mechanism, match=r"ST-006.*Brace the hips sideways"):
        statics.solve(frame, rig, loads.gather(job, frame))


def test_a_singular_stiffness_has_no_step() -> None:
    """And spoils no other state's."""
    singular = np.zeros((2, 2, 2))
    singular[1] = [[2.0, 0.0], [0.0, 4.0]]
    found = tangent._solved(singular, np.array([[1.0, 1.0], [1.0, 1.0]]))
    assert np.isnan(found[0]).all()
    assert found[1].tolist() == [0.5, 0.25]
