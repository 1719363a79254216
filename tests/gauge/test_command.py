"""The command `gauge`, as typed."""

from __future__ import annotations

import json

import numpy as np
import pytest
from click.testing import CliRunner

from rafterstay.cli.program import program
from tests.gauge.stiff_rope import recording
from tests.gauge.test_recording import written

POUND = 4.4482216152605
ROPE = "7x19 galvanized 1/4 in"


def typed(*words):
    done = CliRunner().invoke(program, ["gauge", *map(str, words)])
    return done.exit_code, done.output


def document(*words):
    # Standard output alone: a slow machine says on standard error that it is still listening.
    done = CliRunner().invoke(program, ["gauge", *map(str, words), "--json"])
    return done.exit_code, json.loads(done.stdout)


def test_a_pluck_in_words_and_as_a_document(tmp_path):
    rng = np.random.default_rng(3)
    sound = recording(rng, pull=2215.0, mass=0.1637, bending=0.6, span=0.9144, noise=0.005)
    path = written(tmp_path / "leg 3.m4a", sound, "m4a")
    words = ("pluck", path, "--span", "3 ft", "--rope", ROPE)
    code, found = document(*words)
    assert code == 0
    assert found["pull_N"] == pytest.approx(2215.0, rel=0.03)
    assert found["method"] == "pluck"
    assert found["refused"] is None
    assert "± " in typed(*words)[1]
    code, found = document(*words, "--weight", "520 lb")
    assert found["factor"] == pytest.approx(520 * POUND / 2215.0, rel=0.03)
    (tmp_path / "none.wav").write_bytes(b"RIFF")
    code, found = document("pluck", tmp_path / "none.wav", "--span", "3 ft", "--rope", ROPE)
    assert (code, found["errors"][0]["code"]) == (2, "GA-003")


def test_side_pull_stretch_ring_and_combine():
    words = ("pull", "--length", "36 in", "--at", "18 in", "--side-pull", "10 lb")
    code, found = document(*words, "--deflection", "0.09 in")
    assert (code, found["pull_N"]) == (0, pytest.approx(1000 * POUND, rel=1e-3))
    code, found = document("stretch", "--mark", "8 ft", "--change", "1/16 in", "--rope", ROPE)
    assert found["method"] == "stretch"
    code, found = document("combine", "--reading", "210 lb", "5 lb", "--reading", "260 lb", "5 lb")
    assert code == 1
    assert found["warnings"]
    corners = [word for angle in (120, 130, 110) * 2 for word in ("--corner", f"{angle} deg")]
    code, found = document("ring", *corners)
    assert [leg["id"] for leg in found["legs"]] == [1, 2, 3, 4, 5, 6]
    assert "% of the mean pull" in typed("ring", *corners)[1]
