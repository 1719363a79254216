"""The referees and their loads against closed forms worked by hand.

Source: statics of three-hinged rafters round a hub. A hip that carries W1, shared so that its
resultant lies a third of the way in from the foot, thrusts W1 R/(3 Hr) at its foot; a tie at Hc
pulls W1 R/(3 (Hr - Hc)).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from . import conic, large
from .model import build, half_faces, lay_load, read, si

OCTAGON = Path(__file__).parents[2] / "examples" / "octagon.toml"
POUND = 4.4482216152605  # [N]
CLOSE = 0.005  # the ropes' own weight and stretch are not in the closed forms


@pytest.mark.parametrize("sides", [8, 10, 12])
@pytest.mark.parametrize("height", ["0", "1/3", "1/2", "2/3"])
def test_balanced_leg_pull(sides: int, height: str) -> None:
    job = read(OCTAGON, {"tie.height": height, "roof.sides": sides})
    radius, rise = 12.0, 6.0  # [ft]
    area = radius**2 * np.sin(2.0 * np.pi / sides) / 2.0
    up = {"0": 0.0, "1/3": 1 / 3, "1/2": 0.5, "2/3": 2 / 3}[height]
    expected = 40.0 * area * radius / (3.0 * rise * (1.0 - up))
    if sides == 8:
        printed = {"0": 1357.6, "1/3": 2036.5, "1/2": 2715.3, "2/3": 4072.9}[height]
        assert expected == pytest.approx(printed, abs=0.05)
    model, loads = build(job), lay_load(job)
    answer = conic.solve(model, loads)
    assert answer.legs(model) / POUND == pytest.approx(expected, rel=CLOSE)
    # A regular ring: side = leg/(2 sin(pi/n)).
    ring = {8: 1.30656, 10: 1.61803, 12: 1.93185}[sides]
    assert answer.ring(model) / answer.legs(model) == pytest.approx(ring, rel=1e-4)
    pulls = large.solve(model, loads, answer.moves)
    assert np.abs(pulls - answer.pulls).max() <= 1e-6 * pulls.max()


def test_half_the_roof_loaded_pulls_all_legs_alike() -> None:
    """A floating ring cannot hold a one-sided thrust: the hub hands it round as shear.

    All legs get half of the full pull, 1357.6/2 lb; heads of hips with the whole load are held
    up, those without are pushed down, by 678.8 x 6/12 = 339.4 lb.
    """
    job = read(OCTAGON)
    model = build(job)
    answer = conic.solve(model, lay_load(job, towards=22.5, rest=0.0))
    assert answer.legs(model) / POUND == pytest.approx(678.8, rel=CLOSE)
    shear = answer.head_shear / POUND
    assert np.sort(np.abs(shear)) == pytest.approx(339.4, rel=CLOSE)
    assert sorted(np.flatnonzero(shear > 0.0)) == [0, 1, 2, 7]


def test_walls_as_springs_share_the_thrust() -> None:
    """Stiffer walls leave less for the legs, down to what their own weight pulls."""
    job = read(OCTAGON)
    loads = lay_load(job)
    pulls = []
    for wall in (0.0, 1e5, 1e6, 1e9):
        model = build(job, wall=wall)
        pulls.append(conic.solve(model, loads).legs(model).mean())
    assert sorted(pulls, reverse=True) == pulls
    assert pulls[-1] < 0.1 * pulls[0]


@pytest.mark.parametrize("hub_radius", ["0 in", "13 in"])
def test_half_faces_tile_the_roof(hub_radius: str) -> None:
    changes = {"roof.hub": "disc", "roof.hub_radius": hub_radius, "roof.sides": 7}
    job = read(OCTAGON, changes)
    turn = 2.0 * np.pi * np.arange(7) / 7
    corners = np.column_stack([np.sin(turn), np.cos(turn)])
    radius, hub = si("12 ft"), si(hub_radius)
    roof = shapely.Polygon(radius * corners)
    if hub:
        roof = roof.difference(shapely.Polygon(hub * corners))
    pieces = [piece for pair in half_faces(job) for piece, _ in pair]
    assert [len(pair) for pair in half_faces(job)] == [2] * 7
    assert shapely.union_all(pieces).symmetric_difference(roof).area < 1e-9
    assert sum(piece.area for piece in pieces) == pytest.approx(roof.area, rel=1e-12)


@pytest.mark.parametrize("towards", [None, 0.0, 11.0, 36.0])
def test_load_is_all_there_and_on_the_right_side(towards: float | None) -> None:
    """Total and first moment about the centre, against polygons cut whole."""
    changes = {"roof.hub": "disc", "roof.hub_radius": "13 in", "roof.sides": 9}
    job = read(OCTAGON, changes)
    loads = lay_load(job, towards=towards, rest=0.3)
    turn = 2.0 * np.pi * np.arange(9) / 9
    corners = np.column_stack([np.sin(turn), np.cos(turn)])
    radius, hub, rise = si("12 ft"), si("13 in"), si("6 ft")
    axis = np.hypot(radius - hub, rise)
    roof = shapely.Polygon(radius * corners)
    whole = si("40 psf") * roof.area
    if towards is not None:
        angle = np.radians(towards)
        ahead = 20.0 * np.array([np.sin(angle), np.cos(angle)])
        right = np.array([ahead[1], -ahead[0]])
        half = shapely.Polygon([-right, right, right + ahead, ahead - right])
        whole *= 0.3 + 0.7 * roof.intersection(half).area / roof.area
    on_hips = loads.hip.sum(axis=1) / 2.0 * axis
    assert (on_hips + loads.head).sum() == pytest.approx(whole, rel=1e-9)
    if towards is None:
        assert on_hips == pytest.approx(on_hips[0], rel=1e-9)
        # Along the plate a strip is half a side long on each side of the hip.
        strip = radius * np.sin(np.pi / 9) * 2.0 * (radius - hub) * np.cos(np.pi / 9) / axis
        assert loads.hip[:, 0] == pytest.approx(si("40 psf") * strip, rel=1e-9)
        assert loads.hip[:, 1] == pytest.approx(si("40 psf") * strip * hub / radius, rel=1e-9)
