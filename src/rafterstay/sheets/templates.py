"""Full-size templates: ring corners, drilling of the rafter, marks of an eye."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from rafterstay.checks.nds_2018.geometry import edge_distance, end_distance
from rafterstay.core.errors import InputError
from rafterstay.roof.frame import Floats
from rafterstay.sheets.desk import LETTER, Box, Desk
from rafterstay.sheets.eye_shape import EyeView, draw_eye
from rafterstay.sheets.middle import corner_angles
from rafterstay.sheets.request import Request
from rafterstay.sheets.scene import Angle, Circle, Dimension, Path, Point, Scene
from rafterstay.sheets.steel_shape import held_places, steel_shapes
from rafterstay.sheets.tiles import Template, tile_out, window
from rafterstay.shop.eye import Eye, eye_of
from rafterstay.shop.ring_steel import made_of_steel

__all__ = ["draw_drilling", "draw_eye_marks", "draw_ring_corners"]

_MOST_TILES: Final = 9  # of a whole ring; above, its corners alone are drawn
_MOST_STEEL: Final = 16  # of a ring of steel; above, its maker has the figures alone
_ARM: Final = 75.0  # of a corner drawn alone [mm]
_RAY: Final = 22.0  # of a leg, past its corner [mm]
_INCH: Final = 0.0254


def draw_ring_corners(asked: Request) -> list[Desk]:
    """Draw the ring full size, or its corners where it takes too many sheets.

    Args:
        asked: What to draw.

    Returns:
        Tiles; none where no ring is.
    """
    tie = asked.design.tie
    if tie.layout != "ring" or tie.ring == "point" or tie.n < 3:
        return []
    if tie.body is not None:
        return _steel_ring(asked)
    eyes = np.asarray(tie.ring_points)[:, :2]
    around = (eyes - eyes.mean(axis=0)) * 1000.0
    reach = float(np.abs(around).max()) + _RAY + 8.0
    whole = _whole_ring(asked, around, reach)
    room = window(asked.paper, upright=False)
    tiles = math.ceil(2 * reach / room.width) * math.ceil(2 * reach / room.height)
    if tiles <= _MOST_TILES:
        return tile_out(asked, whole)
    angles = corner_angles(around).round(1)
    chosen = [int(np.flatnonzero(angles == angle)[0]) for angle in np.unique(angles)][:12]
    return [desk for k in chosen for desk in tile_out(asked, _corner(asked, around, k, angles))]


def _steel_ring(asked: Request) -> list[Desk]:
    """A welded ring with the places of its eyes, or a hub plate to be drilled, full size."""
    tie = asked.design.tie
    steel = made_of_steel(tie)
    if steel is None:
        return []
    reach = steel.outside * 500.0 + 6.0
    bar = steel.kind == "bar"
    title = "WELDED RING, FULL SIZE" if bar else "HUB PLATE, FULL SIZE"
    template = Template(title, Box(-reach, -reach, reach, reach))
    room = window(asked.paper, upright=False)
    if math.ceil(2 * reach / room.width) * math.ceil(2 * reach / room.height) > _MOST_STEEL:
        return []
    shapes = steel_shapes(tie, 1000.0)
    template.shapes += [
        replace(shape, layer="outline") for shape in shapes if shape.layer == "ring"
    ]
    for k, (x, y) in enumerate(held_places(tie, 1000.0), start=1):
        template.anchors.append((x, y))
        way = math.atan2(y, x)
        arm = steel.size * 500.0 + 4.0 if bar else steel.hole * 500.0 + 4.0
        for turn in (0.0, math.pi / 2):
            ux, uy = arm * math.cos(way + turn), arm * math.sin(way + turn)
            template.shapes.append(Path("thin", ((x - ux, y - uy), (x + ux, y + uy))))
        far = arm + 3.0
        inward = [
            (x - (far + more) * math.cos(way), y - (far + more) * math.sin(way))
            for more in (4.0 + 8.0 * abs(math.cos(way)), 14.0, 22.0)
        ]
        template.label(f"{'eye' if bar else 'hole'} {k}", *inward)
    for way in (0.0, math.pi / 2):
        cross = (4.0 * math.cos(way), 4.0 * math.sin(way))
        template.shapes.append(Path("thin", ((-cross[0], -cross[1]), cross)))
    template.label("centre", (0.0, -8.0), (0.0, -14.0))
    if bar:
        said = f"bar {1000.0 * steel.size:.1f} mm, clear inside {1000.0 * steel.inside:.1f} mm"
    else:
        said = f"holes {1000.0 * steel.hole:.1f} mm on radius {1000.0 * steel.radius:.1f} mm"
    template.label(said, (0.0, 14.0), (0.0, 22.0))
    return tile_out(asked, template)


def _whole_ring(asked: Request, around: Floats, reach: float) -> Template:
    template = Template("RING CORNERS, FULL SIZE", Box(-reach, -reach, reach, reach))
    points = [(float(x), float(y)) for x, y in around]
    template.shapes.append(Path("outline", tuple(points), closed=True))
    angles = corner_angles(around)
    for k, point in enumerate(points):
        way = math.atan2(point[1], point[0])
        _eye_point(asked, template, point, way)
        inward = [
            (point[0] - far * math.cos(way), point[1] - far * math.sin(way))
            for far in (9.0 + 14.0 * abs(math.cos(way)), 20.0, 27.0)
        ]
        template.anchors.append(point)
        one = _inside_corner(points, k, f"{k + 1}: {angles[k]:.1f} deg")
        template.angles.append((one, inward))
    for way in (0.0, math.pi / 2):
        arm = (4.0 * math.cos(way), 4.0 * math.sin(way))
        template.shapes.append(Path("thin", ((-arm[0], -arm[1]), arm)))
    template.label("centre", (0.0, -8.0), (0.0, -14.0))
    radius = asked.said(asked.design.tie.ring_radius)
    template.label(f"{radius} to every eye's crown", (0.0, 14.0), (0.0, 22.0))
    first, second = points[0], points[1]
    side = math.dist(first, second)
    template.measures.append(
        Dimension("dimension", first, second, -30.0, asked.said(side / 1000.0), side, LETTER)
    )
    return template


def _inside_corner(points: list[Point], k: int, said: str) -> Angle:
    """The angle between the two sides of a ring that meet at a corner, numbered clockwise."""
    after, before = points[(k + 1) % len(points)], points[k - 1]
    radius = min(6.0, 0.6 * math.dist(points[k], after), 0.6 * math.dist(points[k], before))
    return Angle("dimension", points[k], before, after, radius, said, LETTER)


def _eye_point(asked: Request, template: Template, point: Point, way: float) -> None:
    """The crown of an eye: a cross, the ring's rope, and the way its leg leaves."""
    x, y = point
    for turn in (0.0, math.pi / 2):
        ux, uy = math.cos(way + turn), math.sin(way + turn)
        template.shapes.append(
            Path("thin", ((x - 5.0 * ux, y - 5.0 * uy), (x + 5.0 * ux, y + 5.0 * uy)))
        )
    radius = asked.design.tie.ring_rope.diameter * 500.0
    template.shapes.append(Circle("thin", point, radius))
    out = (x + _RAY * math.cos(way), y + _RAY * math.sin(way))
    near = (x + 7.0 * math.cos(way), y + 7.0 * math.sin(way))
    template.shapes.append(Path("centre", (near, out)))


def _corner(asked: Request, around: Floats, k: int, angles: Floats) -> Template:
    """One corner with the beginning of both its sides."""
    alike = [str(j + 1) for j in np.flatnonzero(angles == angles[k])]
    n = len(around)
    apex = around[k]
    box = Box(-_ARM - 8.0, -_ARM - 8.0, _ARM + 8.0, _RAY + 10.0)
    template = Template(f"RING CORNER {k + 1}, FULL SIZE", box)
    way = math.atan2(float(apex[1]), float(apex[0]))
    turn = math.pi / 2 - way  # the leg leaves upwards on paper

    def laid(vector: Floats) -> Point:
        x, y = float(vector[0]), float(vector[1])
        cos, sin = math.cos(turn), math.sin(turn)
        return (x * cos - y * sin, x * sin + y * cos)

    ends = []
    for j in ((k + 1) % n, (k - 1) % n):
        side = around[j] - apex
        long = float(np.linalg.norm(side))
        ends.append(laid(side * (min(_ARM, long) / long)))
        template.shapes.append(Path("outline", ((0.0, 0.0), ends[-1])))
    said = f"inside corner {angles[k]:.1f} deg"
    one = Angle("dimension", (0.0, 0.0), ends[1], ends[0], 16.0, said, LETTER)
    template.angles.append((one, [(0.0, -30.0), (0.0, -36.0)]))
    _eye_point(asked, template, (0.0, 0.0), math.pi / 2)
    legs = f"legs {', '.join(alike[:12])}" + (" ..." if len(alike) > 12 else "")
    template.label(legs if len(alike) < n else "all corners alike", (0.0, -42.0), (0.0, -48.0))
    side = float(np.linalg.norm(around[k] - around[(k + 1) % n])) / 1000.0
    template.label(f"to the next eye {asked.said(side)}", (0.0, -54.0), (0.0, -60.0))
    return template


def draw_drilling(asked: Request) -> list[Desk]:
    """Draw the side of a ply about its tie bolt, full size, grain and distances marked.

    Args:
        asked: What to draw.

    Returns:
        Tiles.
    """
    tie = asked.design.tie
    deep = tie.ply.depth * 1000.0
    flat = window(asked.paper, upright=False)
    stands = window(asked.paper, upright=True)
    if deep + 12.0 <= stands.height:
        return tile_out(asked, _drilling(asked, stands.width - 2.0, along_x=True))
    if deep + 12.0 <= flat.width:
        return tile_out(asked, _drilling(asked, flat.height - 2.0, along_x=False))
    return tile_out(asked, _drilling(asked, stands.width - 2.0, along_x=True))


def _drilling(asked: Request, long: float, *, along_x: bool) -> Template:
    """The ply with its grain across or up the sheet; the head lies to the right or up."""
    design = asked.design
    tie, frame = design.tie, design.frame
    half, reach = tie.ply.depth * 500.0, long / 2 - 4.0

    def at(along: float, aside: float) -> Point:
        return (along, aside) if along_x else (-aside, along)

    low, high = at(-long / 2, -half - 5.0), at(long / 2, half + 5.0)
    xs, ys = sorted((low[0], high[0])), sorted((low[1], high[1]))
    box = Box(xs[0], ys[0], xs[1], ys[1])
    template = Template("RAFTER DRILLING, FULL SIZE", box, anchors=[(0.0, 0.0)])
    lines = template.shapes
    for aside in (-half, half):
        lines.append(Path("wood", (at(-reach, aside), at(reach, aside))))
    for k in range(-5, 6):
        aside = half * k / 6
        for end in (-reach, reach):
            lines.append(Path("grain", (at(0.93 * end, aside), at(end, aside))))
    bolt = tie.bolt.diameter * 1000.0
    lines.append(Circle("outline", (0.0, 0.0), bolt / 2))
    for arm in (at(1.0, 0.0), at(0.0, 1.0)):
        far = bolt / 2 + 6.0
        lines.append(Path("thin", ((-far * arm[0], -far * arm[1]), (far * arm[0], far * arm[1]))))
    foot, head = frame.nodes[frame.feet[0]], frame.nodes[frame.heads[0]]
    slope = math.atan2(float(head[2] - foot[2]), math.dist(foot[:2], head[:2]))
    # Seen from the side on which the head lies to the right: level falls below the axis.
    for name, turn in (("level", -slope), ("plumb", math.pi / 2 - slope)):
        far = 0.42 * min(reach, half)
        ends = [at(s * far * math.cos(turn), s * far * math.sin(turn)) for s in (-1.0, 1.0)]
        lines.append(Path("centre", (ends[0], ends[1])))
        tip = at(1.12 * far * math.cos(turn), 1.12 * far * math.sin(turn))
        template.label(name, tip, (tip[0], tip[1] - 6.0))
    _pull(asked, template, at, slope=slope, far=0.42 * min(reach, half), bolt=bolt)
    edge = half - (4.0 if along_x else 13.0)
    template.label("TOP", at(0.0, edge), bold=True)
    template.label("UNDERSIDE", at(0.0, -edge), bold=True)
    across = 0.62 if along_x else 0.82
    head_at, foot_at = at(across * reach, 0.82 * half), at(-across * reach, -0.82 * half)
    template.label("TO THE HEAD", head_at, bold=True)
    template.label("TO THE FOOT", foot_at, bold=True)
    _distances(asked, template, at, half=half, reach=reach)
    words = [f"{tie.bolt.name} bolt: hole 1/32 to 1/16 in over it"]
    if design.job.show == "si":
        words = [f"{tie.bolt.name} bolt: hole 0.8 to 1.6 mm over it"]
    words += _up_the_axis(asked)
    words.append(f"{tie.ply.name}, axis at mid depth; both plies alike")
    for count, line in enumerate(words):
        spot = at(0.0, -half * 0.5) if along_x else (0.0, -reach * 0.48)
        template.label(line, (spot[0], spot[1] - 5.2 * count))
    return template


def _up_the_axis(asked: Request) -> list[str]:
    """How far from the foot the bolt is drilled; of a frame as measured leg 1 is drawn."""
    frame, said = asked.design.frame, asked.said
    along = np.linalg.norm(frame.nodes[frame.bolts] - frame.nodes[frame.feet], axis=1)
    words = [f"{said(float(along[0]))} up the axis from the foot's bearing centre"]
    if asked.is_measured and asked.range(along) != said(float(along[0])):
        words.append(f"at leg 1, drawn; {asked.range(along)} by leg")
    return words


def _pull(
    asked: Request,
    template: Template,
    place: Callable[[float, float], Point],
    *,
    slope: float,
    far: float,
    bolt: float,
) -> None:
    """An arrow the way the leg pulls, where it pulls in the plane of the ply."""
    tie = asked.design.tie
    if tie.layout == "band":
        return
    lift = 0.0
    if tie.layout == "ring":
        leg = np.asarray(tie.ring_points)[0] - np.asarray(tie.bolt_points)[0]
        lift = math.atan2(float(leg[2]), math.hypot(float(leg[0]), float(leg[1])))
    turn = lift - slope
    cos, sin = math.cos(turn), math.sin(turn)

    def on(along: float, aside: float) -> Point:
        return place(along * cos - aside * sin, along * sin + aside * cos)

    first, tip = bolt / 2 + 8.0, max(far, bolt / 2 + 16.0)
    template.shapes.append(Path("outline", (on(first, 0.0), on(tip, 0.0))))
    head = (on(tip - 4.0, 1.3), on(tip, 0.0), on(tip - 4.0, -1.3))
    template.shapes.append(Path("outline", head, closed=True, fill="ink"))
    spot = on(0.5 * (first + tip), -7.0)
    template.label("pull", spot, on(0.5 * (first + tip), 7.0))


def _distances(
    asked: Request,
    template: Template,
    place: Callable[[float, float], Point],
    *,
    half: float,
    reach: float,
) -> None:
    """Edge distances as drawn, and the least that the standard asks for."""
    tie, said = asked.design.tie, asked.said
    for aside in (-half, half):
        x = -0.78 * reach
        start, end = place(x, 0.0), place(x, aside)
        template.measures.append(
            Dimension(
                "dimension",
                start,
                end,
                0.0,
                said(half / 1000.0),
                half,
                LETTER,
            )
        )
    d = tie.bolt.diameter
    least = f"least to the edges {said(edge_distance('loaded', d))} loaded, "
    least += f"{said(edge_distance('unloaded', d))} unloaded"
    full = f"to the end below: {said(end_distance('away from end', d).full)} for full strength"
    top = place(0.0, 0.6 * half) if place(1.0, 0.0)[0] else (0.0, 0.65 * reach)
    template.label(least, (top[0], top[1]))
    template.label(full, (top[0], top[1] - 5.2))


def draw_eye_marks(asked: Request) -> list[Desk]:
    """Draw the flat rope with the marks of an eye, and the finished eye under it, full size.

    Args:
        asked: What to draw.

    Returns:
        Tiles; none where the parts make no eye.
    """
    tie = asked.design.tie
    try:
        eye = eye_of(tie.rope, tie.thimble, tie.sleeve)
        marks = _marks(asked, eye)
    except (InputError, ValueError):
        return []
    long = max(far for _, far in marks) + 5.0
    finished = (eye.crown + eye.diameter / 2 + eye.reach + eye.dead) * 1000.0 + 20.0
    wide = max(long, finished) + 2.0
    outer = (eye.crown + eye.diameter / 2) * 1000.0
    box = Box(-2.0, -2 * outer - 34.0, wide, 52.0)
    template = Template("MARKS OF AN EYE, FULL SIZE", box)
    d = eye.diameter * 1000.0
    for y in (-d / 2, d / 2):
        template.shapes.append(Path("rope", ((0.0, y), (long, y))))
    template.shapes.append(Path("rope", ((0.0, -d / 2), (0.0, d / 2))))
    crown = next(far for name, far in marks if name == "crown")
    # No mark's line runs through the words of another: they step down to the crown's left, with
    # words to the right of each line, and up to its right, with words to the left.
    left = 0
    for count, (name, far) in enumerate(sorted(marks, key=lambda mark: mark[1])):
        past = far > crown
        tall = 6.0 + 6.4 * (left if past else len(marks) - 1 - count)
        left += past
        template.shapes.append(Path("thin", ((far, -d / 2 - 2.0), (far, tall + 1.5))))
        words = f"{name} {asked.said(far / 1000.0)}"
        half = 0.5 * len(words) * LETTER * 0.602
        template.label(words, (far - half - 1.5 if past else far + half + 1.5, tall))
    template.label("marks from the rope's first end", (62.0, -d / 2 - 6.0))
    centre = ((eye.crown + eye.diameter / 2) * 1000.0 + 2.0, -outer - d - 16.0)
    drawn = Scene(1.0, 1.0, "")
    draw_eye(drawn, eye, EyeView(centre, 0.0, 1.0), live=0.015)
    template.shapes += [shape for shape in drawn.shapes if isinstance(shape, Path | Circle)]
    under = centre[1] - outer - 5.0
    template.label("finished eye", (centre[0] + 30.0, under), (centre[0] + 60.0, under))
    return [*tile_out(asked, template)]


def _marks(asked: Request, eye: Eye) -> list[tuple[str, float]]:
    """Marks of the first eye from the rope's end. [mm]"""
    if asked.cut is not None and asked.cut.pieces:
        piece = asked.cut.pieces[0]
        step = asked.cut.step * 1000.0
        first = piece.marks[0].name.split(":")[0]
        return [
            (mark.name.split(": ")[-1].replace("sleeve ", ""), mark.steps * step)
            for mark in piece.marks
            if mark.name.startswith(f"{first}:")
        ]
    crown = (eye.dead + eye.loop / 2) * 1000.0
    found = [("crown", crown)]
    mouth = (eye.loop / 2 + eye.growth / 2) * 1000.0
    for edge, away in (("near", mouth), ("far", mouth + eye.before * 1000.0)):
        found.append((f"{edge} edge, dead end", crown - away))
        found.append((f"{edge} edge, live", crown + away))
    return found
