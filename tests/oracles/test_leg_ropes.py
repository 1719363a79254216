"""Legs of different rope: PyNiteFEA and clarabel (``conic.py``) beside the tool, leg by leg.

Two legs of another size among eight or ten, one stiffer and one softer, as after a repair; their
weight is left that of the others, so that only stiffness differs from the referee's own model.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rafterstay import catalog, job, loads, roof, statics, tie

from . import conic
from .model import build, lay_load, read

EXAMPLES = Path(__file__).parents[2] / "examples"
STIFFER, SOFTER = "7x19 galvanized 3/8 in", "7x19 galvanized 3/16 in"


@pytest.mark.parametrize(("name", "height"), [("octagon", "1/3"), ("reading-room", "0.27")])
def test_every_leg_pulls_by_its_own_rope(name: str, height: str) -> None:
    changes: dict[str, str | bool | int | list[str]] = {"tie.height": height, "loads.dead": "9 psf"}
    path = EXAMPLES / f"{name}.toml"
    text = path.read_text(encoding="utf-8")
    for key, value in changes.items():
        text = job.set_value(text, key, value)
    stated = job.loads(text)
    frame = roof.lay_out(stated)
    rig = replace(tie.rig(stated, frame), target=0.0)
    ropes = [rig.rope] * rig.n
    for leg, size in ((2, STIFFER), (5, SOFTER)):
        ropes[leg] = replace(catalog.find("rope", size), mass=rig.rope.mass)
    every = loads.gather(stated, frame)
    snow = tuple(one for one in every.cases if one.id == "D+S/unbalanced-000")
    mixed = replace(rig, leg_ropes=tuple(ropes))
    ours = statics.solve(frame, mixed, replace(every, cases=snow)).first_order[0]
    plain = statics.solve(frame, rig, replace(every, cases=snow)).first_order[0]
    model = build(read(path, changes))
    links = tuple(
        replace(link, ea=ropes[link.leg].stiffness)
        if link.leg in {2, 5} and link.ea == rig.rope.stiffness
        else link
        for link in model.links
    )
    model = replace(model, links=links)
    theirs = conic.solve(model, lay_load(read(path, changes), towards=0.0)).legs(model)
    assert np.abs(ours - theirs).max() <= 1e-6 * theirs.max()
    # The stiffer leg takes more, the softer less than where all are alike.
    assert ours[2] > plain[2] * 1.001
    assert ours[5] < plain[5] * 0.999
