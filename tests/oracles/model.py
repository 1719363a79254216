"""What the job file says, rebuilt for the referees by code that shares nothing with the tool.

Only the catalogue's rows come from the package. Geometry, tributary areas, loads, weights and
held directions are worked out here a second time and by other means: areas and the way they vary
along a hip are the area and centroid of polygons cut by shapely. docs/theory/referee.md states
the model.

Axes: x east, y north, z up from the plate. Legs count from 0 here, clockwise seen from above.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pint
import shapely
import shapely.ops
from numpy.typing import NDArray

from rafterstay import catalog

__all__ = [
    "Beam",
    "Hold",
    "Link",
    "Loads",
    "Model",
    "Strip",
    "build",
    "half_faces",
    "lay_load",
    "read",
]

Floats = NDArray[np.float64]
Job = dict[str, Any]
Hold = dict[tuple[str, int], float]  # (node, 0..2 moves x y z, 3..5 turns) -> factor; sum is 0

GRAVITY = 9.80665  # [m/s2] standard gravity, CGPM 1901
STEEL = 200e9  # [Pa] the turnbuckle's modulus
STRESS_AREA = 0.75  # of the thread's nominal circle
PROP = 2e7  # [N/m] the post under the hub
UP = np.array([0.0, 0.0, 1.0])

_UNITS = pint.UnitRegistry()
_NAMES = {"lb": "lbf", "psf": "lbf/ft**2", "psi": "lbf/in**2", "plf": "lbf/ft"}


@dataclass(frozen=True)
class Beam:
    """A straight timber from ``start`` to ``end``; ``across`` is horizontal and square to it."""

    start: str
    end: str
    across: Floats
    e: float  # [Pa]
    area: float  # [m2]
    strong: float  # bending in the vertical plane [m4]
    weak: float  # bending sideways [m4]
    torsion: float  # [m4]

    @property
    def g(self) -> float:
        """Shear modulus of wood taken as E/16. [Pa]"""
        return self.e / 16.0


@dataclass(frozen=True)
class Link:
    """A piece that only pulls: N = EA (L - L0)/L0, never below 0."""

    start: str
    end: str
    ea: float  # [N]
    unstretched: float  # [m]
    leg: int  # -1 for a side of the ring

    @property
    def stiffness(self) -> float:
        """EA/L0. [N/m]"""
        return self.ea / self.unstretched


@dataclass(frozen=True)
class Model:
    """Everything but the load."""

    n: int
    points: dict[str, Floats]
    hips: tuple[Beam, ...]  # foot to head
    hub_beams: tuple[Beam, ...]  # of a hub ring
    holds: tuple[Hold, ...]
    links: tuple[Link, ...]
    outward: Floats  # (n, 3)
    heads_bear: bool = False  # the hub resists the turn of a head in its upright plane
    wall: float = 0.0  # spring at each foot, outward [N/m]
    propped: bool = False
    weights: dict[str, float] = field(default_factory=dict)  # rope and turnbuckle shares [N]
    plates: tuple[Beam, ...] = ()  # pinned at both feet; the joint's slip is in the modulus


Strip = tuple[float, float, float, float]  # from and to along a timber [m], down, out [N/m]


@dataclass(frozen=True)
class Loads:
    """Downward: per metre of hip axis at foot and head, linear between, and on each head.

    Beside that, even strips of any timber, per metre of its axis, and outward on each foot.
    """

    hip: Floats  # [N/m] (n, 2)
    head: Floats  # [N] (n,)
    strips: tuple[tuple[Strip, ...], ...] = ()  # of every hip
    feet: tuple[float, ...] = ()  # [N] (n,)


def read(path: Path, changes: Mapping[str, object] | None = None) -> Job:
    """Read a job file and change some of its keys.

    Args:
        path: A job file.
        changes: New values by dotted key, for example ``{"tie.height": "1/3"}``.

    Returns:
        The tables of the file.
    """
    job = tomllib.loads(path.read_text(encoding="utf-8"))
    for key, value in (changes or {}).items():
        table, _, name = key.rpartition(".")
        job.setdefault(table, {})[name] = value
    return job


def si(text: str) -> float:
    """Give a quantity of the job file in SI.

    >>> round(si("12 ft"), 4), round(si("1 1/2 in"), 4), round(si("40 psf"), 1)
    (3.6576, 0.0381, 1915.2)
    """
    feet = re.fullmatch(r"(\d+)'-?(.*)\"", text)
    if feet:
        return 0.3048 * int(feet[1]) + 0.0254 * _number(feet[2] or "0")
    number, unit = re.fullmatch(r"\s*([-\d./ ]*\d)\s*([A-Za-z/]+)", text).groups()  # type: ignore[union-attr]
    named = re.sub(r"[A-Za-z]+", lambda word: f"({_NAMES.get(word[0], word[0])})", unit)
    return float(_UNITS.Quantity(_number(number), named).to_base_units().magnitude)


def _number(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))


def height(job: Job) -> float:
    """Tie bolts above the plate: a bare number is a fraction of the rise. [m]"""
    stated = job["tie"]["height"]
    try:
        return _number(stated) * si(job["roof"]["rise"])
    except ValueError:
        return si(stated)


def build(
    job: Job,
    *,
    wall: float = 0.0,
    propped: bool = False,
    tightening: float = 0.0,
    leg_extra: Floats | None = None,
    rope_factor: float = 1.0,
    slip: str = "",
) -> Model:
    """Build frame, ropes, weights and held directions.

    Args:
        job: Tables of the job file.
        wall: Spring at each foot, outward. [N/m]
        propped: Put a post under the hub that only pushes.
        tightening: Pull t by which ropes are cut short: leg pieces are as drawn/(1 + t/EA), ring
            sides as drawn/(1 + t_r/EA_r) with t_r = t/(2 sin(pi/n)). [N]
        leg_extra: Added to each leg's unstretched rope, half to each piece. [m] (n,)
        rope_factor: Multiplies EA of every rope, not of the turnbuckles. [-]
        slip: How far a joint of a continuous plate opens at its capacity; jointed if empty.

    Returns:
        The model without load.
    """
    roof = job["roof"]
    n = int(roof["sides"])
    azimuth = 2.0 * np.pi * np.arange(n) / n
    outward = np.column_stack([np.sin(azimuth), np.cos(azimuth), np.zeros(n)])
    across = np.column_stack([np.cos(azimuth), -np.sin(azimuth), np.zeros(n)])
    foot = si(roof["plate_radius"]) * outward
    head = si(roof.get("hub_radius", "0 in")) * outward + si(roof["rise"]) * UP
    up_hip = height(job) / si(roof["rise"])
    points: dict[str, Floats] = {}
    for k in range(n):
        points[f"foot {k}"] = foot[k]
        points[f"head {k}"] = head[k]
        if up_hip > 0.0:
            points[f"bolt {k}"] = foot[k] + up_hip * (head[k] - foot[k])
    points["hub"] = head.mean(axis=0)
    bear = roof["hub"] != "point" and roof.get("heads", "bearing") == "bearing"
    tip = "tip" if bear and roof["hub"] == "ring" else "head"
    points |= {f"{tip} {k}": head[k] for k in range(n)}
    hips = tuple(_hip(job, f"foot {k}", f"{tip} {k}", across[k]) for k in range(n))
    hub_beams = tuple(_hub_beams(job, head)) if roof["hub"] == "ring" else ()
    holds = _feet(n, across) + _hub(roof["hub"], head, across, bear) + _deck(job, across, up_hip)
    extra = np.zeros(n) if leg_extra is None else leg_extra
    links, weights = _ropes(job, points, outward, tightening=tightening, leg_extra=extra)
    if rope_factor != 1.0:
        bottles = set(range(1, 3 * n, 3))
        links = tuple(
            link if i in bottles else replace(link, ea=rope_factor * link.ea)
            for i, link in enumerate(links)
        )
    return Model(
        n=n,
        points=points,
        hips=hips,
        hub_beams=hub_beams,
        holds=tuple(holds),
        links=links,
        outward=outward,
        heads_bear=bear,
        wall=wall,
        propped=propped,
        weights=weights,
        plates=tuple(_plates(job, points, slip)) if slip else (),
    )


def _plates(job: Job, points: dict[str, Floats], slip: str) -> list[Beam]:
    """Pieces of plate, each softened by one joint: springs in series as one modulus."""
    support, n = job["support"], int(job["roof"]["sides"])
    e, _ = _section(job)
    ply = catalog.find("ply", support["plate_ply"])
    area = int(support["plate_plies"]) * ply.thickness * ply.depth
    joint = si(support["joint_capacity"]) / si(slip)
    beams = []
    for k in range(n):
        ends = f"foot {k}", f"foot {(k + 1) % n}"
        long = float(np.linalg.norm(points[ends[1]] - points[ends[0]]))
        soft = long / area / (long / (e * area) + 1.0 / joint)
        beams.append(Beam(*ends, UP, soft, area, 1e-6, 1e-6, 1e-6))
    return beams


def _section(job: Job) -> tuple[float, Any]:
    rafter = job["rafter"]
    ply = catalog.find("ply", rafter["ply"])
    wood = catalog.species(rafter["species"], rafter["grade"], ply.depth)
    return wood.e, ply


def _hip(job: Job, start: str, end: str, across: Floats) -> Beam:
    e, ply = _section(job)
    plies, b, d = int(job["rafter"]["plies"]), ply.thickness, ply.depth
    strong, weak = plies * b * d**3 / 12.0, plies * d * b**3 / 12.0
    return Beam(start, end, across, e, plies * b * d, strong, weak, strong + weak)


def _hub_beams(job: Job, head: Floats) -> list[Beam]:
    e, _ = _section(job)
    b, d = si(job["roof"]["hub_width"]), si(job["roof"]["hub_depth"])
    long, short = max(b, d), min(b, d)
    # Saint-Venant constant of a rectangle, Roark's formula for it.
    torsion = long * short**3 * (1 / 3 - 0.21 * short / long * (1 - (short / long) ** 4 / 12))
    beams = []
    for k in range(len(head)):
        along = head[(k + 1) % len(head)] - head[k]
        across = np.cross(UP, along / np.linalg.norm(along))
        ends = f"head {k}", f"head {(k + 1) % len(head)}"
        beams.append(Beam(*ends, across, e, b * d, b * d**3 / 12, d * b**3 / 12, torsion))
    return beams


def _feet(n: int, across: Floats) -> list[Hold]:
    """Feet are held up and down and along the wall; on the mean they stay where they are."""
    holds: list[Hold] = [{(f"foot {k}", 2): 1.0} for k in range(n)]
    holds += [{(f"foot {k}", i): across[k, i] for i in (0, 1)} for k in range(n)]
    holds += [{(f"foot {k}", i): 1.0 / n for k in range(n)} for i in (0, 1)]
    return holds


def _hub(kind: str, head: Floats, across: Floats, bear: bool) -> list[Hold]:
    """Tie each head to the hub; the post under the hub feels the heads' mean.

    Heads pinned round a disc follow the disc. A head that bears on it over its full depth can
    pass its push off centre: it is stiff up to the disc's axis, and turns there on its own.
    """
    n = len(head)
    if kind == "ring":
        mean = [
            {("hub", i): 1.0} | {(f"head {k}", i): -1.0 / n for k in range(n)} for i in range(3)
        ]
        return mean + (_on_a_ring(across) if bear else [])
    holds: list[Hold] = []
    for k in range(n):
        arm = head[k] - head.mean(axis=0)
        # head = hub + turn x arm, component by component
        turn = np.array([[0, arm[2], -arm[1]], [-arm[2], 0, arm[0]], [arm[1], -arm[0], 0]])
        for i in range(3):
            hold: Hold = {(f"head {k}", i): 1.0, ("hub", i): -1.0}
            if bear:  # only its turn in its upright plane, about ``across``
                plane = turn @ np.outer(across[k], across[k])
                hold |= {(f"head {k}", 3 + j): -plane[i, j] for j in (0, 1) if plane[i, j]}
            elif kind == "disc":
                hold |= {("hub", 3 + j): -turn[i, j] for j in range(3) if turn[i, j]}
            holds.append(hold)
    return holds


def _on_a_ring(across: Floats) -> list[Hold]:
    """Hips' tips go with the corners of the ring; all turn against it by the same angle."""
    holds: list[Hold] = []
    turns: list[Hold] = []
    for k, axis in enumerate(across):
        holds += [{(f"tip {k}", i): 1.0, (f"head {k}", i): -1.0} for i in range(3)]
        ends = ((f"tip {k}", 1.0), (f"head {k}", -1.0))
        turns.append({(at, 3 + i): f * axis[i] for at, f in ends for i in range(3)})
    first = {key: -factor for key, factor in turns[0].items()}
    return holds + [turn | first for turn in turns[1:]]


def _deck(job: Job, across: Floats, up_hip: float) -> list[Hold]:
    """A deck keeps each hip straight sideways and the hub from spinning."""
    n, kind = len(across), job["roof"]["hub"]
    if job["roof"]["bracing"] != "deck":
        return []
    holds: list[Hold] = []
    for k in range(n if up_hip > 0.0 else 0):
        parts = (("bolt", 1.0), ("foot", up_hip - 1.0), ("head", -up_hip))
        holds.append({(f"{at} {k}", i): f * across[k, i] for at, f in parts for i in (0, 1)})
    if kind == "disc":
        holds.append({("hub", 5): 1.0})
    if kind == "ring":
        holds.append({(f"head {k}", i): across[k, i] / n for k in range(n) for i in (0, 1)})
    return holds


def _ropes(
    job: Job, points: dict[str, Floats], outward: Floats, *, tightening: float, leg_extra: Floats
) -> tuple[tuple[Link, ...], dict[str, float]]:
    """Lay legs and ring as drawn, add their nodes to ``points`` and weigh them.

    A band's legs run from foot to foot, ties straight across from bolt to opposite bolt.
    """
    n, parts = len(outward), job["parts"]
    layout = job["tie"].get("layout", "ring")
    at = "bolt" if "bolt 0" in points else "foot"
    rope, ring = (
        catalog.find("rope", parts["rope"]),
        catalog.find("rope", parts.get("ring_rope", parts["rope"])),
    )
    bottle = catalog.find("turnbuckle", parts["turnbuckle"])
    set_length = bottle.closed + 0.75 * bottle.take_up
    bottle_ea = STEEL * STRESS_AREA * np.pi / 4.0 * bottle.thread**2
    radius, level = si(job["tie"].get("ring_radius", "0 in")), height(job) * UP
    links, weights = [], {}
    for k in range(n // 2 if layout == "cross" else n):
        bolt = f"{at} {k}"
        ends = {"band": f"{at} {(k + 1) % n}", "cross": f"{at} {k + n // 2}"}
        names = [bolt, f"outer {k}", f"inner {k}", ends.get(layout, f"eye {k}")]
        if layout == "ring":
            points[names[3]] = radius * outward[k] + level
        piece = (np.linalg.norm(points[bolt] - points[names[3]]) - set_length) / 2.0
        along = (points[names[3]] - points[bolt]) / (2.0 * piece + set_length)
        points[names[1]] = points[bolt] + piece * along
        points[names[2]] = points[bolt] + (piece + set_length) * along
        cut = piece / (1.0 + tightening / rope.stiffness) + leg_extra[k] / 2.0
        links.append(Link(names[0], names[1], rope.stiffness, cut, k))
        links.append(Link(names[1], names[2], bottle_ea, set_length, k))
        links.append(Link(names[2], names[3], rope.stiffness, cut, k))
        _share(weights, names[0:2], rope.mass * cut)
        _share(weights, names[1:3], bottle.mass)
        _share(weights, names[2:4], rope.mass * cut)
    ring_pull = tightening / (2.0 * np.sin(np.pi / n))
    for k in range(n if layout == "ring" else 0):
        names = [f"eye {k}", f"eye {(k + 1) % n}"]
        chord = float(np.linalg.norm(points[names[1]] - points[names[0]]))
        cut = chord / (1.0 + ring_pull / ring.stiffness)
        links.append(Link(names[0], names[1], ring.stiffness, cut, -1))
        _share(weights, names, ring.mass * cut)
    return tuple(links), weights


def _share(weights: dict[str, float], names: list[str], mass: float) -> None:
    for name in names:
        weights[name] = weights.get(name, 0.0) + mass * GRAVITY / 2.0


def half_faces(job: Job) -> list[list[tuple[shapely.Polygon, Floats]]]:
    """Cut every face by the line joining the middles of its plate and hub sides.

    Returns:
        For each hip the two pieces nearer to it, on plan, each with the unit vector square to
        its plate side, inwards.
    """
    n = int(job["roof"]["sides"])
    foot, head = _corners(job)
    pieces: list[list[tuple[shapely.Polygon, Floats]]] = [[] for _ in range(n)]
    for k in range(n):
        m = (k + 1) % n
        face = shapely.Polygon([foot[k], foot[m], head[m], head[k]]).buffer(0)
        middle, top = (foot[k] + foot[m]) / 2.0, (head[k] + head[m]) / 2.0
        reach = middle - top
        knife = shapely.LineString([top - reach, middle + reach])
        for part in shapely.ops.split(face, knife).geoms:
            near = min((k, m), key=lambda j: part.distance(shapely.Point(foot[j])))
            pieces[near].append((part, -reach / np.linalg.norm(reach)))
    return pieces


def _corners(job: Job) -> tuple[Floats, Floats]:
    n = int(job["roof"]["sides"])
    azimuth = 2.0 * np.pi * np.arange(n) / n
    plan = np.column_stack([np.sin(azimuth), np.cos(azimuth)])
    return si(job["roof"]["plate_radius"]) * plan, si(job["roof"].get("hub_radius", "0 in")) * plan


def lay_load(
    job: Job,
    *,
    dead: bool = True,
    snow: float = 1.0,
    towards: float | None = None,
    rest: float = 0.3,
) -> Loads:
    """Lay dead load and snow on the plan and bring them to hips and heads.

    Args:
        job: Tables of the job file.
        dead: Dead load is on.
        snow: Factor on the roof snow.
        towards: Direction of one-sided snow, degrees clockwise from leg 1; None is balanced.
        rest: Share of the snow on the other half. [-]

    Returns:
        Downward loads.
    """
    n = int(job["roof"]["sides"])
    foot, head = _corners(job)
    apothem = np.cos(np.pi / n)
    run = float(np.linalg.norm(foot[0] - head[0])) * apothem
    slope = si(job["roof"]["rise"]) / run
    # On plan: over the faces, and over the hub, which lies level.
    levels = [float(dead) * si(job["loads"]["dead"]), snow * si(job["loads"]["snow"]["roof"])]
    pressures = [levels[0] * np.hypot(1.0, slope), levels[1]]
    halves = [None, None if towards is None else _half_plane(towards, 9.0 * float(foot.max()))]
    axis = float(np.hypot(np.linalg.norm(foot[0] - head[0]), si(job["roof"]["rise"])))
    hip, on_head = np.zeros((n, 2)), np.zeros(n)
    faces = half_faces(job)
    hub = [_hub_pieces(head, k) for k in range(n)]
    for k in range(n):
        for pressure, level, half in zip(pressures, levels, halves, strict=True):
            for piece, normal in faces[k]:
                for share, part in _shares(piece, half, rest):
                    hip[k] += pressure * share * _linear(part, foot[k], normal, run) / axis
            for piece in hub[k]:
                on_head[k] += level * sum(s * p.area for s, p in _shares(piece, half, rest))
    return Loads(hip, on_head)


def _half_plane(towards: float, reach: float) -> shapely.Polygon:
    angle = np.radians(towards)
    ahead = reach * np.array([np.sin(angle), np.cos(angle)])
    right = np.array([ahead[1], -ahead[0]])
    return shapely.Polygon([-right, right, right + ahead, ahead - right])


def _shares(
    piece: shapely.Polygon, half: shapely.Polygon | None, rest: float
) -> list[tuple[float, shapely.Polygon]]:
    """Give the piece as (share of full load, polygon)."""
    if half is None:
        return [(1.0, piece)]
    return [(1.0, piece.intersection(half)), (rest, piece.difference(half))]


def _linear(part: shapely.Polygon, foot: Floats, normal: Floats, run: float) -> Floats:
    """Area per unit of way foot to head, linear, with the part's area and centroid. [m2] (2,)"""
    if part.is_empty:
        return np.zeros(2)
    at = (np.array([part.centroid.x, part.centroid.y]) - foot) @ normal / run
    # (q0 + q1)/2 = area and q0/6 + q1/3 = area * at
    return np.asarray(part.area * np.array([4.0 - 6.0 * at, 6.0 * at - 2.0]))


def _hub_pieces(head: Floats, k: int) -> list[shapely.Polygon]:
    pieces = []
    for side in (-1, 1):
        middle = (head[k] + head[(k + side) % len(head)]) / 2.0
        pieces.append(shapely.Polygon([(0.0, 0.0), middle, head[k]]))
    return pieces
