"""How far each stripe goes, as clock faces to take up the ladder."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING, Final
from xml.sax.saxutils import escape

from rafterstay.cli.tune_words import fraction, hand, way

if TYPE_CHECKING:
    from rafterstay.design import Tuned
    from rafterstay.tuning import Step

__all__ = ["clock_picture"]

_ABREAST: Final = 4
_CELL: Final = (180.0, 214.0)  # width and height of one visit [px]
_RADIUS: Final = 56.0  # [px]
_HEAD: Final = 76.0  # [px]
_HOW: Final = (
    "The stripe starts at 12; grey is how far it goes after whole times round. Look along the",
    "leg from the end from which tightening (rod ends come closer) carries it on, 12 to 3.",
)


def clock_picture(done: Tuned) -> str:
    """A clock face for every visit, in order.

    Args:
        done: A tie as read, and what to turn.

    Returns:
        An SVG document.
    """
    steps = done.advice.steps
    rows = -(-max(len(steps), 1) // _ABREAST)
    width, height = _ABREAST * _CELL[0], _HEAD + rows * _CELL[1]
    title = escape(f"Turns: {done.job.title}")
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'font-family="sans-serif" font-size="14" role="img" aria-label="{title}">'
    )
    parts = [
        opening,
        f'<rect width="{width:g}" height="{height:g}" fill="white"/>',
        f'<text x="12" y="24" font-size="16" font-weight="bold">{title}</text>',
        *(f'<text x="12" y="{44 + 18 * k}">{line}</text>' for k, line in enumerate(_HOW)),
    ]
    for k, step in enumerate(steps):
        across, down = k % _ABREAST, k // _ABREAST
        parts += _clock(step, k + 1, across * _CELL[0], _HEAD + down * _CELL[1])
    return "\n".join([*parts, "</svg>"]) + "\n"


def _clock(step: Step, visit: int, left: float, top: float) -> list[str]:
    x, y = left + _CELL[0] / 2, top + 74.0
    part = (abs(step.turns) % 1.0) * (1 if step.turns > 0 else -1)
    drawn = [
        f'<circle cx="{x:g}" cy="{y:g}" r="{_RADIUS:g}" fill="white" stroke="black"/>',
        _swept(x, y, part),
        *(_tick(x, y, hour) for hour in range(12)),
        _pointer(x, y, 0.0, 1.5),
        _pointer(x, y, part, 4.0),
    ]
    said = f"{way(step.turns)} {fraction(step.turns)}"
    return [
        *drawn,
        _text(x, y + _RADIUS + 22, f"Leg {step.leg}", 16, bold=True),
        _text(x, y + _RADIUS + 42, said, 15),
        _text(x, y + _RADIUS + 60, f"visit {visit}: {hand(step.turns)}", 11),
    ]


def _at(x: float, y: float, turn: float, radius: float) -> str:
    angle = 2 * pi * turn
    return f"{x + radius * sin(angle):.2f} {y - radius * cos(angle):.2f}"


def _swept(x: float, y: float, part: float) -> str:
    if abs(part) < 1e-9:
        return ""
    large, onwards = int(abs(part) > 0.5), int(part > 0)
    start, end = _at(x, y, 0.0, _RADIUS), _at(x, y, part, _RADIUS)
    return (
        f'<path d="M {x:.2f} {y:.2f} L {start} '
        f'A {_RADIUS:g} {_RADIUS:g} 0 {large} {onwards} {end} Z" fill="#d0d0d0"/>'
    )


def _tick(x: float, y: float, hour: int) -> str:
    inner = _RADIUS - (10 if hour % 3 == 0 else 5)
    outer = _at(x, y, hour / 12, _RADIUS)
    return f'<path d="M {_at(x, y, hour / 12, inner)} L {outer}" stroke="black"/>'


def _pointer(x: float, y: float, turn: float, width: float) -> str:
    end = _at(x, y, turn, _RADIUS - 12)
    return f'<path d="M {x:.2f} {y:.2f} L {end}" stroke="black" stroke-width="{width:g}"/>'


def _text(x: float, y: float, said: str, size: int, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="middle" font-size="{size}"{weight}>'
        f"{escape(said)}</text>"
    )
