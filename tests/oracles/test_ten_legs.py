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
from benchmarks.model import BEAMS, Model, build
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


def test_irregular_hips_and_sloping_legs() -> None:
    """A frame out of true by decimetres; a ring off its middle that hangs low under a load."""
    library = kratos.available()
    assert library is not None
    model = _out_of_true(build(9, 2))
    ours = pulls_of(solved(model)[1])
    outer = ours[:, :27:3]
    assert np.ptp(outer, axis=1).min() > 0.08 * ours.max()
    for state in range(2):
        _, theirs = kratos.analyse(library, model, "SparseLU", state)
        assert np.abs(theirs - ours[state]).max() < SAME * theirs.max()


def _out_of_true(model: Model) -> Model:
    """Every foot and head elsewhere, each hip straight between; legs cut to what they then span."""
    rng = np.random.default_rng(11)
    frame, links = model.frame, model.links
    n, along = frame.n, np.linspace(0.0, 1.0, BEAMS + 1)[:, None]
    ends = frame.nodes.reshape(n, BEAMS + 1, 3)[:, [0, -1]]
    ends = ends + np.array([0.25, 0.25, 0.15]) * rng.uniform(-1, 1, (n, 2, 3))
    nodes = (ends[:, :1] * (1.0 - along) + ends[:, 1:] * along).reshape(-1, 3)
    eyes = links.ring_at[0] + [0.12, -0.07, -0.25]
    span = np.linalg.norm(eyes - nodes[frame.bolts], axis=1)
    opened = links.leg_length[0, :, 1]
    piece = (span - opened) / 2 / (1.0 + rng.uniform(2e-4, 9e-4, n))
    length = np.stack([piece, opened, piece], axis=1)[None]
    rate = links.leg_rate * links.leg_length / length
    hung = {"end_weight": links.end_weight + 120.0, "leg_length": length, "leg_rate": rate}
    moved = replace(links, ring_at=eyes[None], **hung)
    return replace(model, frame=replace(frame, nodes=nodes), links=moved)
