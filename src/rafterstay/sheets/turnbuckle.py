"""The turnbuckle: its stops, how it is set, and where it is expected to end."""

from __future__ import annotations

from typing import Final

from rafterstay.sheets.desk import LETTER, TABLE, Box, Desk
from rafterstay.sheets.request import Request
from rafterstay.sheets.scales import scale_for
from rafterstay.sheets.scene import Circle, Dimension, Path, Point
from rafterstay.sheets.table import Column, rows_that_fit, tabulate
from rafterstay.shop.cut import jaw_pin

__all__ = ["draw_turnbuckles"]

_NOTES: Final = 92.0
_TITLE: Final = "TURNBUCKLE: SET AND EXPECTED OPENING"


def draw_turnbuckles(asked: Request) -> list[Desk]:
    """Draw the turnbuckle as it is set, and list every leg's opening.

    Args:
        asked: What to draw.

    Returns:
        One sheet, and more where the legs do not fit on it; none without turnbuckles.
    """
    tie = asked.design.tie
    if not tie.has_turnbuckles:
        return []
    body = tie.turnbuckle
    most = (body.closed + body.take_up) * 1000.0
    blank = asked.desk(_TITLE, None, cautions=(7, 15)).body
    room = Box(blank.left + 10, blank.low + 8, blank.right - _NOTES - 8, blank.high - 8)
    pins = 3 * jaw_pin(tie) * 1000.0
    scale = scale_for(((most + pins, room.width - 24.0),))
    desk = asked.desk(_TITLE, scale, cautions=(7, 15))
    box = desk.column(_NOTES)
    left = room.left + (room.width - most / scale) / 2
    level = desk.body.high - 24.0
    _draw_body(desk, asked, (left, level), scale)
    _draw_stops(desk, asked, (left, level - 48.0), scale)
    under = desk.notes(box, _words(asked), heading="EVERY LEG")
    rows = _rows(asked)
    if not rows:
        return [desk]
    table = Box(box.left, box.low, box.right, under - 2.0)
    if rows_that_fit(table) >= len(rows):
        tabulate(desk, table, _COLUMNS, rows)
        return [desk]
    # Under the drawing, two tables side by side; what is left over goes to more sheets.
    room = Box(desk.body.left + 4.0, desk.body.low + 2.0, box.left - 6.0, level - 72.0)
    rows = _fill(desk, room, rows, across=2)
    desks = [desk]
    while rows:
        page = asked.desk(_TITLE, None, cautions=(7, 15), scale_words=TABLE)
        rows = _fill(page, page.body.inset(4.0), rows, across=3)
        desks.append(page)
    return desks


def _fill(
    desk: Desk, room: Box, rows: list[tuple[str, str, str]], *, across: int
) -> list[tuple[str, str, str]]:
    """Tables side by side; the rows that found no room come back."""
    wide = (room.width - 8.0 * (across - 1)) / across
    for k in range(across):
        left = room.left + k * (wide + 8.0)
        column = Box(left, room.low, left + wide, room.high)
        count = rows_that_fit(column)
        if rows and room.height > 20.0:
            tabulate(desk, column, _COLUMNS, rows[:count])
            rows = rows[count:]
    return rows


_COLUMNS: Final = (
    Column("Leg", right=True),
    Column("Set to", right=True),
    Column("Expected", right=True),
)


def _rows(asked: Request) -> list[tuple[str, str, str]]:
    """Every leg's opening, pin to pin, as set and as expected."""
    if asked.cut is None:
        return []
    return [
        (str(body.leg), asked.said(body.opening, rounding="down"), asked.said(body.expected))
        for body in asked.cut.bodies
    ]


def _draw_body(desk: Desk, asked: Request, start: Point, scale: float) -> None:
    """Two jaws on their threads in an open body, pin to pin as set."""
    tie = asked.design.tie
    body, scene = tie.turnbuckle, desk.scene
    per = 1000.0 / scale
    opening = _opening(asked)
    long, thread, pin = opening * per, body.thread * per, jaw_pin(tie) * per
    x, y = start
    inner = min((body.closed - 2 * body.thread) * per, 0.8 * long)
    left, right = x + (long - inner) / 2, x + (long + inner) / 2
    high = 1.1 * thread
    outline = ((left, y - high), (right, y - high), (right, y + high), (left, y + high))
    scene.add(Path("outline", outline, closed=True, fill="paper"))
    window = (
        (left + 1.2 * thread, y - 0.6 * thread),
        (right - 1.2 * thread, y - 0.6 * thread),
        (right - 1.2 * thread, y + 0.6 * thread),
        (left + 1.2 * thread, y + 0.6 * thread),
    )
    scene.add(Path("thin", window, closed=True, fill="paper"))
    for at, way, edge in ((x, 1.0, left), (x + long, -1.0, right)):
        tip = edge + way * 2.2 * thread
        root = at + way * 1.4 * pin
        for aside in (-0.5, 0.5):
            scene.line("thin", (root, y + aside * thread), (tip, y + aside * thread))
        scene.line("thin", (tip, y - 0.5 * thread), (tip, y + 0.5 * thread))
        jaw = 1.0 * pin
        fork = (
            (root, y - jaw),
            (at - way * 1.0 * pin, y - jaw),
            (at - way * 1.0 * pin, y + jaw),
            (root, y + jaw),
        )
        scene.add(Path("outline", fork, closed=True, fill="paper"))
        scene.add(Circle("outline", (at, y), pin / 2, fill="paper"))
    low = y - high
    desk.measure(
        Dimension(
            "dimension",
            (x, low),
            (x + long, low),
            -9.0,
            f"set {asked.said(opening, rounding='down')}",
            opening * 1000.0,
            LETTER,
        )
    )


def _opening(asked: Request) -> float:
    """Pin to pin as set: of leg 1 in the cut list, else as drawn. [m]"""
    return asked.cut.bodies[0].opening if asked.cut else asked.design.tie.turnbuckle_set


def _draw_stops(desk: Desk, asked: Request, start: Point, scale: float) -> None:
    """A rule of openings, pin to pin: closed stop, expected, set, open stop."""
    tie = asked.design.tie
    body = tie.turnbuckle
    per = 1000.0 / scale
    x, y = start
    closed, opened = body.closed, body.closed + body.take_up
    scene = desk.scene
    scene.line("outline", (x + closed * per, y), (x + opened * per, y))
    marks = [("closed stop", closed), ("open stop", opened)]
    if asked.cut:
        marks.append(("expected", asked.cut.bodies[0].expected))
    marks.append(("set", _opening(asked)))
    for name, value in sorted(marks, key=lambda mark: mark[1]):
        at = x + value * per
        tall = 3.5 if "stop" in name else 2.2
        scene.line("outline" if "stop" in name else "thin", (at, y - tall), (at, y + tall))
        words = f"{name} {asked.said(value, rounding='down' if name == 'set' else 'near')}"
        way = 1.0 if "stop" in name else -1.0
        places = [
            (at + side * 4.0, y + way * (9.0 + 5.5 * k)) for k in range(6) for side in (-1, 1)
        ]
        desk.point_out((at, y + way * tall), words, places)


def _words(asked: Request) -> list[str]:
    tie, said = asked.design.tie, asked.said
    body = tie.turnbuckle
    words = [
        f"{body.name}. Openings are pin to pin.",
        f"Take-up {said(body.take_up)}: open stop at one thread diameter engaged at each end.",
        f"One turn of the body changes the leg by {said(2.0 / body.threads_per_metre)}.",
    ]
    if body.pin is None:
        words.append("Jaw pin not listed: the thread's diameter is drawn.")
    if asked.cut is None:
        words.append(
            "No cut list for this tie: the setting is that of the drawing. Lock every body."
        )
    else:
        words.append("Lock every body when its leg is set. Leg 1 is drawn.")
        if not asked.cut.measured:
            words.append("Lengths are provisional: the frame was not measured.")
    return words
