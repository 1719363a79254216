"""The forces on a roof close, and agree with statics done by hand."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from rafterstay import design
from rafterstay.packet.balance import balance_of, hand_lines, hardest_state
from tests.packet.paper import designed
from tests.statics.roofs import FOOT, POUND, row, stated

EXAMPLES = ["octagon", "reading-room", "round-house", "bandstand", "gable-workshop", "pavilion"]


def test_the_load_of_an_octagon_is_pressure_times_its_area_on_plan() -> None:
    """Area of a regular polygon, n R^2 sin(2 pi/n) / 2; geometry."""
    done = designed("octagon")
    balance = balance_of(done, row(done.forces, "D+S/balanced"))
    area = 8 * 12.0**2 * math.sin(2 * math.pi / 8) / 2
    assert balance.load.sum() / POUND == pytest.approx(40.0 * area, rel=1e-9)


def test_the_pull_by_hand_is_the_textbook_thrust() -> None:
    """Three hinges, slice load W at a third of the run: H = W L / (3 Hr); statics."""
    done = designed("octagon")
    balance = balance_of(done, row(done.forces, "D+S/balanced"))
    found = {line.symbol: line.value for line in hand_lines(done, balance)}
    w = 40.0 * 12.0**2 * math.sin(2 * math.pi / 8) / 2
    assert found["H"] == pytest.approx(w * 12.0 / (3 * 6.0), rel=1e-4)
    assert found["H"] == pytest.approx(found["H_1"], rel=1e-4)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_hardest_state_closes(name: str) -> None:
    done = designed(name)
    balance = balance_of(done, hardest_state(done))
    assert abs(balance.left_up) < 1e-5 * balance.load.sum()
    assert np.abs(balance.left_out).max() < 1e-3 * balance.pull.max()
    lines = hand_lines(done, balance)
    assert lines[-2].symbol == "H"
    assert lines[-2].value == pytest.approx(lines[-1].value, rel=1e-3)


def test_one_sided_snow_closes_through_the_hub() -> None:
    done = designed("reading-room")
    rows = [k for k, s in enumerate(done.forces.states) if "unbalanced" in s.case.pattern]
    for each in rows[:4]:
        balance = balance_of(done, each)
        assert abs(balance.left_up) < 1e-5 * balance.load.sum()
        assert np.abs(balance.left_out).max() < 1e-3 * balance.pull.max()
        lines = hand_lines(done, balance)
        assert lines[-2].value == pytest.approx(lines[-1].value, rel=2e-3)
        assert abs({line.symbol: line.value for line in lines}["V"]) > 5.0


def test_stiff_walls_take_their_part() -> None:
    done = design.check(
        stated("octagon", support__walls="stiff", support__wall_stiffness=["1 kip/in", "3 kip/in"])
    )
    stiff = [k for k, s in enumerate(done.forces.states) if s.wall_stiffness > 0]
    assert stiff
    balance = balance_of(done, stiff[0])
    assert balance.wall.min() > 0.05 * balance.pull.max()
    assert np.abs(balance.left_out).max() < 1e-3 * balance.push.max()
    lines = hand_lines(done, balance)
    assert lines[-2].value == pytest.approx(lines[-1].value, rel=5e-3)


def test_a_wrong_pull_does_not_close() -> None:
    done = designed("octagon")
    at = hardest_state(done)
    wrong = replace(done, forces=replace(done.forces, leg_pull=1.05 * done.forces.leg_pull))
    assert np.abs(balance_of(wrong, at).left_out).max() > 0.03 * balance_of(done, at).pull.max()


def test_wind_on_the_hips_is_left_to_the_table() -> None:
    done = designed("pavilion")
    windy = [k for k, s in enumerate(done.forces.states) if np.abs(s.case.hip_push).max() > 1.0]
    assert windy
    assert hand_lines(done, balance_of(done, windy[0])) == ()


@pytest.mark.parametrize("name", ["reading-room", "gable-workshop", "round-house"])
def test_every_line_comes_to_what_it_says(name: str) -> None:
    done = designed(name)
    lines = hand_lines(done, balance_of(done, hardest_state(done)))
    assert len(lines) > 10
    for line in lines:
        assert re.fullmatch(r"[-0-9.e+*/() ]+", line.numbers), line
        assert eval(line.numbers) == pytest.approx(line.value, rel=1e-9, abs=1e-9), line


def test_si_and_us_lines_are_the_same_roof() -> None:
    us = designed("octagon")
    si = replace(us, job=replace(us.job, show="si"))
    at = hardest_state(us)
    in_us = {line.symbol: line for line in hand_lines(us, balance_of(us, at))}
    in_si = {line.symbol: line for line in hand_lines(si, balance_of(si, at))}
    assert in_si["H"].value == pytest.approx(in_us["H"].value * POUND, rel=1e-4)
    assert in_si["L"].value == pytest.approx(in_us["L"].value * FOOT, rel=1e-5)
    assert (in_us["H"].unit, in_si["H"].unit) == ("lbf", "N")


def test_wind_on_a_gable_closes_at_every_foot() -> None:
    """What goes in comes out: wind square to the ridge leaves through all feet alike; statics."""
    done = design.check(
        stated(
            "gable-workshop",
            loads__dead="25 psf",
            loads__wind__height="14 ft",
            loads__wind__speed="115 mph",
            loads__wind__exposure="C",
            loads__wind__enclosure="enclosed",
            support__walls="stiff",
            support__wall_stiffness=["1 kip/in", "3 kip/in"],
        )
    )
    windy = [k for k, state in enumerate(done.forces.states) if "wind" in state.case.pattern]
    pushed = 0.0
    for each in windy[::7]:
        balance = balance_of(done, each)
        pushed = max(pushed, float(np.abs(balance.wind).max() / balance.pull.max()))
        assert abs(balance.left_up) < 1e-5 * balance.reaction.sum()
        assert np.abs(balance.left_out).max() < 5e-3 * balance.pull.max()
    assert pushed > 0.1
