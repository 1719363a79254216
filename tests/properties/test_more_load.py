"""In one combination, solved whole, more load never lowers how full a part is.

One combination at a time: over all of them the worst may change. Snow that lies on the whole
roof, and a part's strength: slackness, sag and hold-down ask for less where more lies on it.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay import design
from rafterstay.design import Design
from tests.statics.roofs import stated

STRENGTH = frozenset({
    "rope-strength", "rope-lifting", "ring-pull", "ring-bend", "turnbuckle-load", "bolt-yield",
    "bolt-steel", "shackle-load", "wood-splitting", "wood-net", "rafter-bending", "rafter-shear",
    "rafter-stability", "rafter-bearing", "hub-bearing", "hub-drop", "wall-spread",
})  # fmt: skip
ROOFS: dict[str, dict[str, str | bool | list[str]]] = {
    "octagon": {"tie__height": "0.21"},
    "reading-room": {"tie__ring": "rope-sliding"},
    "bandstand": {},
    "pavilion": {"loads__wind__uplift": "0 psf", "pretension__target": "0 lb"},
    "gable-workshop": {},
}


GROUND = {"bandstand", "gable-workshop"}  # their snow is stated as it lies on the ground


def under(name: str, snow: float) -> Design:
    """A roof under so much even snow, nothing else looked at. [psf]"""
    where = "ground" if name in GROUND else "roof"
    job = stated(name, **{f"loads__snow__{where}": f"{snow:.4f} psf"}, **ROOFS[name])
    return design.check(job, only={"D+S/balanced"})


@pytest.mark.parametrize("name", ROOFS)
@settings(max_examples=4)
@given(snow=st.floats(8.0, 45.0), more=st.floats(1.02, 1.8))
def test_more_snow_never_lowers_a_utilisation(name: str, snow: float, more: float) -> None:
    first, second = under(name, snow), under(name, snow * more)
    assert {state.case.id for state in first.forces.states} == {"D+S/balanced"}
    before = {check.id: check.utilisation for check in first.checks.checks}
    seen = 0
    for check in second.checks.checks:
        least = before.get(check.id)
        if check.id in STRENGTH and least is not None and check.utilisation is not None:
            seen += 1
            assert check.utilisation >= least * (1.0 - 1e-7), (check.id, snow, more)
    assert seen >= 6
