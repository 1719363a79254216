"""A closed ring under unequal pulls against PyNiteFEA: the ring whole, as a fine polygon of beams.

Pulls are invented and made to balance: outward, along the ring and across its plane, none alike,
at unequal angles.
"""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from Pynite import FEModel3D

from rafterstay.statics.ring_bar import in_bar
from rafterstay.statics.welded import (
    moment_at_eye,
    moment_between_eyes,
    pull_at_eye,
    pull_between_eyes,
)

RADIUS, BAR = 0.1651, 0.0127
PER_TURN = 720


def balanced(n: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Angles on the mesh, and pulls in balance with a uniform weight across the plane."""
    rng = np.random.default_rng(seed)
    step = PER_TURN // n
    nodes = np.arange(n) * step + rng.integers(-step // 5, step // 5 + 1, n)
    nodes[0] = 0
    at = nodes * (2 * pi / PER_TURN)
    load = rng.uniform([3e3, -60.0, -90.0], [7e3, 60.0, 90.0], (n, 3))
    # In its plane: no resultant east, north, nor about the middle.
    east = np.stack([np.sin(at), np.cos(at)], axis=1).ravel()
    north = np.stack([np.cos(at), -np.sin(at)], axis=1).ravel()
    about = np.stack([np.zeros(n), np.ones(n)], axis=1).ravel()
    rows = np.stack([east, north, about])
    flat = load[:, :2].ravel()
    flat -= np.linalg.pinv(rows) @ (rows @ flat)
    load[:, :2] = flat.reshape(n, 2)
    # Across it: a uniform weight takes the sum, nothing tips.
    tips = np.stack([np.sin(at), np.cos(at)])
    load[:, 2] -= np.linalg.pinv(tips) @ (tips @ load[:, 2])
    return nodes, load


def meshed(nodes: np.ndarray, load: np.ndarray) -> FEModel3D:
    frame = FEModel3D()
    frame.add_material("steel", 200e9, 200e9 / 2.6, 0.3, 0.0)
    area, second = pi / 4 * BAR**2, pi / 64 * BAR**4
    frame.add_section("bar", area, second, second, 2 * second)
    angles = np.arange(PER_TURN) * 2 * pi / PER_TURN
    for k, angle in enumerate(angles):
        frame.add_node(str(k), RADIUS * np.sin(angle), RADIUS * np.cos(angle), 0.0)
        weight = -load[:, 2].sum() / PER_TURN
        frame.add_node_load(str(k), "FZ", weight)
    for k in range(PER_TURN):
        frame.add_member(f"m{k}", str(k), str((k + 1) % PER_TURN), "steel", "bar")
    for node, (out, along, across) in zip(nodes, load, strict=True):
        sine, cosine = np.sin(angles[node]), np.cos(angles[node])
        name = str(node)
        frame.add_node_load(name, "FX", out * sine + along * cosine)
        frame.add_node_load(name, "FY", out * cosine - along * sine)
        frame.add_node_load(name, "FZ", across)
    frame.def_support(str(PER_TURN // 3), True, True, True, True, True, True)
    frame.analyze(check_statics=False)
    return frame


@pytest.mark.parametrize(("n", "seed"), [(3, 7), (5, 11), (8, 5), (10, 2)])
def test_unequal_pulls(n: int, seed: int) -> None:
    nodes, load = balanced(n, seed)
    frame = meshed(nodes, load)
    turn = 2 * pi / PER_TURN
    ours = in_bar(load, nodes * turn, (np.arange(PER_TURN) + 0.5) * turn, RADIUS)
    ends = np.array([frame.members[f"m{k}"].f("Combo 1").ravel() for k in range(PER_TURN)])
    pull = -ends[:, 0]
    # The library turns its members' own axes about where they run westward.
    upright = np.array([frame.members[f"m{k}"].T()[2, 2] for k in range(PER_TURN)])
    bent = upright * (ends[:, 5] - ends[:, 11]) / 2
    beyond = np.abs(ends[:, 4] - ends[:, 10]) / 2
    scale = np.abs(ours.pull).max()
    assert pull == pytest.approx(ours.pull, abs=3e-3 * scale)
    sign = np.sign(bent @ ours.bending)
    assert sign * bent == pytest.approx(ours.bending, abs=5e-3 * np.abs(ours.bending).max())
    most = np.abs(ours.bending_across).max()
    assert beyond == pytest.approx(np.abs(ours.bending_across), abs=1e-2 * most)
    twist = np.abs(ends[:, 3])
    assert twist == pytest.approx(np.abs(ours.twist), abs=3e-2 * np.abs(ours.twist).max())


@pytest.mark.parametrize("n", range(3, 13))
def test_equal_pulls_give_the_closed_forms(n: int) -> None:
    """N_eye = T / (2 tan(pi/n)), M_eye = (T r / 2)(n/pi - cot(pi/n)), and midway."""
    load = np.array([[3170.0, 0.0, 0.0]] * n)
    at = 2 * pi / n * np.arange(n)
    inside = in_bar(load, at, np.array([at[1], at[1] + pi / n]), RADIUS)
    expected = pull_at_eye(3170.0, n), pull_between_eyes(3170.0, n)
    assert inside.pull == pytest.approx(expected, rel=1e-12)
    bent = moment_at_eye(3170.0, RADIUS, n), -moment_between_eyes(3170.0, RADIUS, n)
    assert inside.bending == pytest.approx(bent, rel=1e-9)
