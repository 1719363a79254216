"""A gable's tie against a general finite-element library, every pattern of an even load."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from rafterstay.job.examples import example

from . import conic
from .model import read
from .pair import build_pair, lay_pair
from .tool import told

Changes = dict[str, str | bool | int | list[str]]
ALIKE = 1e-8  # of the pull
EVEN: Changes = {"loads.wind.uplift": "11 psf", "loads.dead": "14 psf"}
WANTED = re.compile(
    r"(?P<equation>D|D\+S|D\+0\.6W|0\.6D\+0\.6W)/"
    r"(?P<pattern>dead|balanced|unbalanced|uplift|uplift-one-sided)"
    r"(?P<bare>-bare-eaves)?(-(?P<towards>\d{3}))?"
)
FACTORS = {"D": (1.0, 0.0, 0.0), "D+S": (1.0, 1.0, 0.0), "D+0.6W": (1.0, 0.0, 0.6),
           "0.6D+0.6W": (0.6, 0.0, 0.6)}  # fmt: skip


def workshop(folder: Path) -> Path:
    """The gable example with its snow stated as it lies on the roof."""
    text = example("gable-workshop")
    (line,) = (each for each in text.splitlines() if each.startswith("snow = "))
    path = folder / "job.toml"
    path.write_text(text.replace(line, 'snow = { roof = "23 psf" }'), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "changes",
    [
        EVEN,
        EVEN | {"tie.height": "0.21", "roof.tie_every": 1, "roof.overhang": "0 in"},
        EVEN | {"tie.height": "0.4", "roof.tie_every": 3, "roof.overhang": "29 in"},
        EVEN | {"tie.height": "0", "roof.span": "17 ft", "roof.rise": "7'-3\""},
    ],
)
def test_the_tie_of_a_gable(changes: Changes, tmp_path: Path) -> None:
    """Leg pulls on the frame as drawn; tails here are timbers, there a weight and a moment."""
    path = workshop(tmp_path)
    job = read(path, {key: value for key, value in changes.items() if "wind" not in key})
    job["loads"]["wind"] = {"uplift": changes["loads.wind.uplift"]}
    seen = {}
    for state in told(path, changes):
        said = WANTED.fullmatch(state.id)
        if not said:
            continue
        dead, snow, wind = FACTORS[said["equation"]]
        on = np.ones(2)
        if said["towards"]:
            full = int(said["towards"]) // 180
            on[1 - full] = 0.3 if snow else 0.0
        loads = lay_pair(
            job,
            dead=dead,
            snow=tuple(snow * on),
            uplift=tuple(wind * on),
            bare_eaves=bool(said["bare"]),
        )
        model = build_pair(job, weight=dead)
        (pull,) = conic.solve(model, loads).legs(model)
        seen[state.id] = abs(pull - state.legs[0]) / pull
    assert len(seen) >= 7
    assert max(seen.values()) <= ALIKE, seen
