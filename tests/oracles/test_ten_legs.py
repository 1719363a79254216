"""Ten legs on hips of eight beams, pull for pull, beside a general finite-element library.

The model is the one the speed is measured on (``benchmarks/model.py``): plate and hub rings, a
turnbuckle in every leg, a seized rope ring, snow that differs from face to face. The library is
KratosMultiphysics, whose cables are refitted to our law before each of its steps
(``benchmarks/kratos.py``); its beams are linear ones, as ours are in first order.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from benchmarks import kratos
from benchmarks.model import Model, build
from benchmarks.statics import pulls_of, solved

SAME = 1e-9  # of the largest pull


@pytest.mark.parametrize("legs", [7, 10])
def test_every_pull_is_the_librarys(legs: int) -> None:
    library = kratos.available()
    assert library is not None
    model = _cut_unequal(build(legs, 3))
    ours = pulls_of(solved(model)[1])
    assert np.ptp(ours[:, : 3 * legs], axis=1).min() > 0.05 * ours.max()
    for state in range(3):
        _, theirs = kratos.analyse(library, model, kratos.SOLVERS[state % 2], state)
        assert np.abs(theirs - ours[state]).max() < SAME * theirs.max()


def _cut_unequal(model: Model) -> Model:
    """One leg cut 4 mm short, another 3 mm long: stiff rings would else even out the snow."""
    length = model.links.leg_length.copy()
    length[0, 2, 0] -= 0.004
    length[0, 5, 2] += 0.003
    rate = model.links.leg_rate * model.links.leg_length / length
    return replace(model, links=replace(model.links, leg_length=length, leg_rate=rate))
