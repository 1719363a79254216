"""The two drawings of the page: the plan with its parts to touch, and the section."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

import numpy as np

from rafterstay.core.quantities import show
from rafterstay.sheets.plan import draw_figure, figure_scale
from rafterstay.sheets.scene import ADVANCE, Circle, Path, Scene, Text
from rafterstay.sheets.summary import Designed, drawn_state, share, weakest_leg_part
from rafterstay.web.ink import to_markup

__all__ = [
    "MOST_LETTERED",
    "kind_of_roof",
    "legs_in_words",
    "plan_markup",
    "section_markup",
    "thumbnail_markup",
]

MOST_LETTERED: Final = 16  # legs; above this a list beside the plan is lettered instead
_SIZE: Final = 100.0  # side of the plan, in units of its view box
_MARGIN: Final = 14.2
_BUBBLE: Final = 3.6
_TOUCH: Final = 7.2  # half of the ground a thumb may touch
_NEAR: Final = (3.4, 3.2, 3.0, 2.8)  # lettering on a narrow screen
_FAR: Final = (3.0, 2.8, 2.6, 2.4, 2.2, 2.0, 1.8)  # lettering on a wide one


def plan_markup(design: Designed, *, here: str, chosen: str = "") -> str:
    """The plan as a drawing whose parts are links.

    Args:
        design: A finished design, or a first look.
        here: Address of the job's page.
        chosen: Name of the chosen part.

    Returns:
        An ``svg`` element.
    """
    scene = _plan_scene(design)
    reached = {f"leg-{leg + 1}": said for leg, said in enumerate(legs_in_words(design))}
    parts = _PARTS | ({"hub": "Ridge"} if design.frame.shape == "gable" else {})

    def link(part: str) -> tuple[str, str] | None:
        if part.startswith("touch-"):
            part = part.removeprefix("touch-")
            said = reached.get(part) or parts.get(part, "")
            return f"{here}?at={part}#at", said
        if part in reached or part in parts:
            return f"{here}?at={part}#at", ""
        return None

    said = "Plan seen from above; its parts are links"
    return to_markup(scene, id="plan", said=said, link=link, chosen=chosen)


_PARTS: Final = {
    "wall": "Walls",
    "hub": "Hub",
    "ring": "Ring",
    "rafter": "Rafters",
    "roof": "Weight on the roof",
}


def _plan_scene(design: Designed) -> Scene:
    """The figure lettered twice, for narrow and wide screens, with ground to touch."""
    options = {"size": _SIZE, "margin": _MARGIN, "bubble": _BUBBLE}
    lettered = design.frame.n <= MOST_LETTERED
    scene = draw_figure(design, **options, letters=_FAR if lettered else ())
    near = draw_figure(design, **options, letters=_NEAR).shapes if lettered else []
    for number, shape in enumerate(scene.shapes):
        if shape.part == "labels":
            scene.shapes[number] = replace(shape, part="far")
    scene.shapes += [replace(shape, part="near") for shape in near if shape.part == "labels"]
    _touch_legs(scene, design)
    _draw_tags(scene, design)
    labels = [shape for shape in scene.shapes if shape.part in ("far", "near")]
    scene.shapes = [shape for shape in scene.shapes if shape.part not in ("far", "near")] + labels
    return scene


def _touch_legs(scene: Scene, design: Designed) -> None:
    """Unseen ground over every leg and over its number, large enough for a thumb."""
    feet, bolts, eyes = _points(design)
    per, middle, n = _per_metre(design), _centre(scene), design.frame.n
    numbers = per * feet + _MARGIN / 2 * feet / np.linalg.norm(feet, axis=1)[:, None]
    layout = design.tie.layout
    for leg in range(design.tie.n):
        scene.part = f"touch-leg-{leg + 1}"
        first, last = per * eyes[leg], numbers[leg]
        thumbs = [numbers[leg]]
        if layout == "band":
            first, last = per * bolts[leg], per * eyes[leg]
            thumbs = [(first + last) / 2]
        elif layout == "cross":
            first = numbers[(leg + n // 2) % n]
            thumbs.append(first)
        scene.add(Path("touch", (_pair(middle + first), _pair(middle + last))))
        if n <= MOST_LETTERED:
            for thumb in thumbs:
                scene.add(Circle("ground", _pair(middle + thumb), _TOUCH))
    scene.part = ""


def _per_metre(design: Designed) -> float:
    """Units of the view box to a metre of the roof."""
    return 1000.0 / figure_scale(design, size=_SIZE, margin=_MARGIN)


def _centre(scene: Scene) -> np.ndarray:
    """Middle of the roof on the drawing: the hub or ring drawn in it."""
    plate = next(shape for shape in scene.shapes if isinstance(shape, Path) and shape.closed)
    return np.asarray(np.mean(np.array(plate.points), axis=0))


def _points(design: Designed) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Feet, bolts and eyes on plan, counted from the middle. [m]"""
    feet = np.asarray(design.frame.nodes)[design.frame.feet][:, :2]
    middle = feet.mean(axis=0)
    return (
        feet - middle,
        np.asarray(design.tie.bolt_points)[:, :2] - middle,
        np.asarray(design.tie.ring_points)[:, :2] - middle,
    )


def _pair(point: np.ndarray) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _draw_tags(scene: Scene, design: Designed) -> None:
    """A name with a leader in each corner of the drawing, for parts too small to touch."""
    feet, _, eyes = _points(design)
    middle, per = _centre(scene), _per_metre(design)
    if design.frame.shape == "gable":
        _draw_gable_tags(scene, design, per)
        return
    for part, corner in (("ring", 315.0), ("hub", 45.0), ("wall", 225.0), ("rafter", 135.0)):
        if part == "ring" and design.tie.layout != "ring":
            continue
        side, way = _gap_near(corner, design.frame.n)
        along = np.array([math.sin(way), math.cos(way)])
        target = {
            "ring": per * (eyes[side % len(eyes)] + eyes[(side + 1) % len(eyes)]) / 2,
            "hub": np.zeros(2),
            "wall": per * (feet[side] + feet[(side + 1) % design.frame.n]) / 2,
            "rafter": 0.86 * per * feet[side],
        }[part]
        knee = middle + along * (_SIZE / 2 - _MARGIN / 2 + 1.5)
        turn = math.radians(corner)
        _tag(scene, part, (round(math.sin(turn)), round(math.cos(turn))), knee)
        scene.part = f"leader-{part}"
        scene.add(Path("leader", (_pair(knee), _pair(middle + target))))
        scene.add(Circle("leader", _pair(middle + target), 0.5, fill="ink"))
    scene.part = ""


def _draw_gable_tags(scene: Scene, design: Designed, per: float) -> None:
    """Ridge, walls and rafters of a gable, each with a leader from its corner."""
    roof, middle = design.job.roof, _centre(scene)
    aside = roof.spacing * max(1, int(0.36 * roof.length / roof.spacing))
    for part, corner, target in (
        ("hub", (1, 1), (aside + roof.spacing / 2, 0.0)),
        ("wall", (-1, -1), (-aside, -roof.span / 2)),
        ("rafter", (1, -1), (aside, -0.36 * roof.span)),
    ):
        to = _pair(middle + per * np.array(target))
        knee = np.array([to[0] + 2.0 * corner[0], _SIZE / 2 + corner[1] * (_SIZE / 2 - 9.0)])
        _tag(scene, part, corner, knee, word="RIDGE" if part == "hub" else "")
        scene.part = f"leader-{part}"
        scene.add(Path("leader", (_pair(knee), to)), Circle("leader", to, 0.5, fill="ink"))
    scene.part = ""


def _gap_near(azimuth: float, n: int) -> tuple[int, float]:
    """The side between two legs through which a leader from a corner passes, and its middle.

    Of the sides towards the top or the foot of the drawing, the one nearest the corner; so a
    leader runs on from its shelf. A triangle has none there.

    Returns:
        Number of the side, from 0, and its direction. [rad]
    """
    ways = [(k + 0.5) * 360.0 / n for k in range(n)]
    steep = [k for k in range(n) if abs(math.cos(math.radians(ways[k]))) >= math.sqrt(0.5) - 1e-9]
    near = [k for k in steep if abs(math.remainder(ways[k] - azimuth, 360.0)) < 46.0]
    side = min(near or range(n), key=lambda k: abs(math.remainder(ways[k] - azimuth, 360.0)))
    return side, math.radians(ways[side])


def _tag(
    scene: Scene, part: str, corner: tuple[int, int], knee: np.ndarray, *, word: str = ""
) -> None:
    """The name on a shelf along the edge of the drawing, and ground for a thumb around it."""
    word = word or {"ring": "RING", "hub": "HUB", "wall": "WALLS", "rafter": "RAFTERS"}[part]
    size, height = 3.2, 14.2
    width = max(14.2, len(word) * size * ADVANCE)
    left = 0.4 if corner[0] < 0 else _SIZE - width - 0.4
    base = 2.0 if corner[1] < 0 else _SIZE - 4.2
    shelf = base - 1.0
    inner = left + width if corner[0] < 0 else left
    scene.part = f"leader-{part}"
    edge = left if corner[0] < 0 else left + width
    scene.add(Path("leader", ((edge, shelf), (inner, shelf), _pair(knee))))
    scene.part = f"touch-{part}"
    low = 0.0 if corner[1] < 0 else _SIZE - height
    ground = ((left, low), (left + width, low), (left + width, low + height), (left, low + height))
    scene.add(Path("ground", ground, closed=True))
    at = (edge, base)
    scene.add(Text("tag", at, word, size, "start" if corner[0] < 0 else "end"))


def legs_in_words(design: Designed) -> list[str]:
    """Every leg as it is read out: its pull and its share in the drawn state."""
    row, part = drawn_state(design), weakest_leg_part(design)
    said = []
    for leg, pull in enumerate(np.asarray(design.forces.leg_pull)[row]):
        if design.forces.slack[row, leg]:
            said.append(f"Leg {leg + 1}: slack")
            continue
        words = f"Leg {leg + 1}: {show(float(pull), 'force', design.job.show)}"
        used = f", {share(float(pull) / part.full_pull)} of what it can take" if part else ""
        said.append(words + used)
    return said


def section_markup(design: Designed, *, here: str, chosen: str = "") -> str:
    """The section through two hips: rise and height of the tie as dimensions.

    Args:
        design: A finished design, or a first look.
        here: Address of the job's page.
        chosen: Name of the chosen part.

    Returns:
        An ``svg`` element.
    """
    scene = _section_scene(design)
    links = {"hub": "Hub", "leg-1": "Legs", "rafter": "Rafters"}

    def link(part: str) -> tuple[str, str] | None:
        return (f"{here}?at={part}#at", "") if part in links else None

    system = design.job.show
    said = (
        f"Section: rise Hr {show(design.frame.rise, 'length', system)}, "
        f"tie Hc {show(design.tie.height, 'length', system)} above the plate"
    )
    return to_markup(scene, id="section", said=said, link=link, chosen=chosen)


def _section_scene(design: Designed) -> Scene:
    half = float(np.linalg.norm(_points(design)[0], axis=1).max())
    head = float(np.linalg.norm(_heads(design), axis=1).mean())
    rise, height = design.frame.rise, design.tie.height
    width, left = 100.0, 20.0
    per = min((width - left - 4.0) / (2 * half), 34.0 / rise)
    tall = rise * per + 13.0
    middle, floor = left + (width - left - 2.0) / 2, 6.0
    scene = Scene(width, tall, "Section")

    def at(x: float, z: float) -> tuple[float, float]:
        return (middle + x * per, floor + z * per)

    scene.part = "rafter"
    for side in (-1, 1):
        scene.add(Path("hip", (at(side * half, 0), at(side * head, rise))))
    scene.part = "wall"
    for side in (-1, 1):
        x, y = at(side * half, 0)
        scene.add(Path("plate", ((x, y), (x, 0.8))))
    scene.part = "hub"
    scene.add(Path("plate", (at(-max(head, 0.03 * half), rise), at(max(head, 0.03 * half), rise))))
    bolt = half - (half - head) * height / rise
    ring = design.tie.ring_radius  # nil where ties run straight across
    scene.part = "leg-1"
    if ring == 0.0:  # one rope from bolt to bolt
        scene.add(Path("leg", (at(-bolt, height), at(bolt, height))))
    for side in (-1, 1):
        if ring > 0.0:
            scene.add(Path("leg", (at(side * bolt, height), at(side * ring, height))))
        scene.add(Circle("bolt", at(side * bolt, height), 0.8, fill="paper"))
    if ring > 0.0:
        scene.add(Path("ring", (at(-ring, height), at(ring, height))))
    scene.part = ""
    _upright(scene, 5.5, (at(0, 0)[1], at(0, rise)[1]), at(-head, rise)[0], "Hr")
    if height > 0.0:
        _upright(scene, 13.5, (at(0, 0)[1], at(0, height)[1]), at(-bolt, height)[0], "Hc")
    else:
        scene.add(Text("dimension", (13.5, at(0, 0)[1] - 4.2), "Hc 0", 3.0, "middle"))
    scene.line("dimension", (3.5, at(0, 0)[1]), (at(-half, 0)[0] - 2.0, at(0, 0)[1]))
    return scene


def _heads(design: Designed) -> np.ndarray:
    feet = np.asarray(design.frame.nodes)[design.frame.feet][:, :2]
    heads = np.asarray(design.frame.nodes)[design.frame.heads][:, :2]
    return np.asarray(heads - feet.mean(axis=0))


def _upright(scene: Scene, x: float, ends: tuple[float, float], to: float, name: str) -> None:
    """A dimension line with its name beside it, between two heights."""
    low, high = ends
    scene.line("dimension", (x, low), (x, high))
    for y in ends:
        scene.line("dimension", (x - 0.9, y - 0.9), (x + 0.9, y + 0.9))
    scene.line("dimension", (x - 2.0, high), (to - 1.5, high))
    scene.add(Text("dimension", (x - 1.0, (low + high) / 2), name, 3.4, "middle", angle=90.0))


def kind_of_roof(design: Designed) -> str:
    """Roof and tie in a few words."""
    if design.frame.shape == "gable":
        return "a gable, tied straight across"
    tied = {
        "ring": "legs to a ring",
        "band": "a band round the plate",
        "cross": "ties straight across",
    }[design.tie.layout]
    return f"a roof with {design.frame.n} sides, {tied}"


def thumbnail_markup(design: Designed, *, id: str) -> str:  # noqa: A002
    """A small plan without lettering, for the first page.

    Args:
        design: A finished design.
        id: Of the element.

    Returns:
        An ``svg`` element.
    """
    scene = draw_figure(design, size=60.0, margin=5.0, bubble=1.6, letters=())
    keep = [shape for shape in scene.shapes if shape.layer != "number"]
    scene.shapes[:] = keep
    said = f"Plan of {kind_of_roof(design)}"
    return to_markup(scene, id=id, said=said, link=lambda _: None)
