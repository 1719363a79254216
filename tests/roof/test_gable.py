"""The tied pair of a gable as a frame."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay import roof
from rafterstay.roof.area import polygon_area
from tests.statics.roofs import FOOT, stated


def test_a_pair_stands_across_the_span() -> None:
    """Feet opposite, heads in one point over the middle. Source: geometry."""
    frame = roof.lay_out(stated("gable-workshop", roof__span="23 ft", roof__rise="5.5 ft"))
    assert (frame.n, frame.shape, frame.hub, frame.deck) == (2, "gable", "point", True)
    assert frame.nodes[frame.feet] == pytest.approx(
        FOOT * np.array([[0.0, 11.5, 0.0], [0.0, -11.5, 0.0]])
    )
    assert frame.nodes[frame.heads] == pytest.approx(FOOT * np.array([[0.0, 0.0, 5.5]] * 2))
    assert frame.outward[0] @ frame.outward[1] == -1.0
    assert frame.plane_slope == pytest.approx([5.5 / 11.5] * 2)
    assert frame.span == pytest.approx(23 * FOOT)
    assert not frame.heads_bear


def test_a_pair_carries_half_a_spacing_to_either_side() -> None:
    """Source: geometry; its strips are as wide as the spacing, whatever is tied."""
    job = stated("gable-workshop", roof__span="23 ft", roof__spacing="19 in", roof__tie_every=3)
    frame = roof.lay_out(job)
    expected = 11.5 * FOOT * 19 / 12 * FOOT
    assert frame.tributary == pytest.approx([expected] * 2)
    assert polygon_area(frame.wedges).sum(axis=1) == pytest.approx([expected] * 2)


@pytest.mark.parametrize(("ridge", "held"), [("board", False), ("beam", True)])
def test_only_a_beam_holds_the_ridge(ridge: str, held: bool) -> None:
    assert roof.lay_out(stated("gable-workshop", roof__ridge=ridge)).ridge_beam is held
