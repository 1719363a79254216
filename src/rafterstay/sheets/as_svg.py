"""A scene as an SVG file: real text, a light ground, nothing fetched and nothing run."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from rafterstay.sheets.literal import printable
from rafterstay.sheets.scene import LAYERS, Circle, Path, Scene, Text

__all__ = ["to_svg"]

_PAPER = "#fdfcf8"
_FONTS = "'DejaVu Sans Mono', 'Liberation Mono', Menlo, Consolas, monospace"


def to_svg(scene: Scene, *, paper: str = _PAPER) -> str:
    """Write a scene.

    Args:
        scene: Any scene. [mm]
        paper: Colour of the ground.

    Returns:
        A whole SVG document, one shape a line; its view box counts mm.
    """
    title = escape(printable(scene.title))
    size = f"{_mm(scene.width)} {_mm(scene.height)}"
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" '
        f'width="{_mm(scene.width)}mm" height="{_mm(scene.height)}mm" role="img" '
        'aria-labelledby="sheet-title">'
    )
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        opening,
        f'<title id="sheet-title">{title}</title>',
        f'<rect width="{_mm(scene.width)}" height="{_mm(scene.height)}" fill="{paper}"/>',
        f'<g font-family="{_FONTS}" stroke-linejoin="round" stroke-linecap="butt">',
        *(_shape(shape, scene.height, paper) for shape in scene.drawn()),
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _mm(value: float) -> str:
    """A figure on paper, to the hundredth of a millimetre."""
    said = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said


def _shape(shape: Path | Circle | Text, height: float, paper: str) -> str:
    if isinstance(shape, Text):
        return _text(shape, height)
    fill = {"none": "none", "paper": paper, "ink": LAYERS[shape.layer].colour}[shape.fill]
    pen = f'class="{shape.layer.replace(" ", "-")}" fill="{fill}" {_pen(shape.layer)}'
    if isinstance(shape, Circle):
        x, y = shape.centre
        return f'<circle cx="{_mm(x)}" cy="{_mm(height - y)}" r="{_mm(shape.radius)}" {pen}/>'
    points = " ".join(f"{_mm(x)},{_mm(height - y)}" for x, y in shape.points)
    return f'<{"polygon" if shape.closed else "polyline"} points="{points}" {pen}/>'


def _pen(layer: str) -> str:
    pen = LAYERS[layer]
    if pen.width <= 0.0:
        return 'stroke="none"'
    dash = f' stroke-dasharray="{" ".join(map(_mm, pen.dash))}"' if pen.dash else ""
    return f'stroke="{pen.colour}" stroke-width="{_mm(pen.width)}"{dash}'


def _text(text: Text, height: float) -> str:
    x, y = _mm(text.at[0]), _mm(height - text.at[1])
    turn = f' transform="rotate({_mm(-text.angle)} {x} {y})"' if text.angle else ""
    weight = ' font-weight="bold"' if text.bold else ""
    return (
        f'<text class={quoteattr(text.layer)} x="{x}" y="{y}" font-size="{_mm(text.size)}" '
        f'text-anchor="{text.anchor}" textLength="{_mm(text.width)}" '
        f'lengthAdjust="spacingAndGlyphs" fill="{LAYERS[text.layer].colour}"{weight}{turn} '
        f'xml:space="preserve">{escape(printable(text.text))}</text>'
    )
