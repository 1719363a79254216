"""A scene as a drawing inside a page: classes instead of colours, each part a link."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from rafterstay.sheets.literal import printable
from rafterstay.sheets.scene import Circle, Path, Scene, Text

__all__ = ["Link", "to_markup"]

# From the name of a part to where it leads and how it is read out; None where it leads nowhere.
Link = Callable[[str], tuple[str, str] | None]


def to_markup(scene: Scene, *, id: str, said: str, link: Link, chosen: str = "") -> str:  # noqa: A002
    """Write a scene as an ``svg`` element without any colour or style of its own.

    Args:
        scene: Any scene. [mm]
        id: Of the element.
        said: What a screen reader says of the whole.
        link: Where each part leads.
        chosen: Name of the part that is chosen.

    Returns:
        Markup; all text in it is escaped.
    """
    size = f"{_mm(scene.width)} {_mm(scene.height)}"
    lines = [
        f'<svg id={quoteattr(id)} viewBox="0 0 {size}" role="group" aria-label={quoteattr(said)}>'
    ]
    for part, shapes in groupby(scene.drawn(), key=lambda shape: shape.part):
        inner = "".join(_shape(shape, scene.height) for shape in shapes)
        lines.append(_part(part, inner, link(part) if part else None, chosen=part == chosen))
    return "\n".join([*lines, "</svg>"])


def _part(part: str, inner: str, led: tuple[str, str] | None, *, chosen: bool) -> str:
    """Shapes of one part; only the last run of a part is reached by the keyboard."""
    mark = f"part {part}" + (" chosen" if chosen else "")
    if led is None:
        return f'<g class={quoteattr(mark)} aria-hidden="true">{inner}</g>' if part else inner
    target, said = led
    if not said:
        return (
            f'<a href={quoteattr(target)} class={quoteattr(mark)} tabindex="-1" '
            f'aria-hidden="true">{inner}</a>'
        )
    current = ' aria-current="true"' if chosen else ""
    return (
        f"<a href={quoteattr(target)} class={quoteattr(mark)} "
        f"aria-label={quoteattr(said)}{current}>{inner}</a>"
    )


def _shape(shape: Path | Circle | Text, height: float) -> str:
    mark = " ".join(_classes(shape))
    if isinstance(shape, Text):
        return _text(shape, height, mark)
    if isinstance(shape, Circle):
        x, y = shape.centre
        return (
            f'<circle class="{mark}" cx="{_mm(x)}" cy="{_mm(height - y)}" r="{_mm(shape.radius)}"/>'
        )
    points = " ".join(f"{_mm(x)},{_mm(height - y)}" for x, y in shape.points)
    return f'<{"polygon" if shape.closed else "polyline"} class="{mark}" points="{points}"/>'


def _classes(shape: Path | Circle | Text) -> Iterator[str]:
    yield shape.layer.replace(" ", "-")
    if isinstance(shape, Text):
        yield "letters"
        if shape.bold:
            yield "bold"
    elif shape.fill != "none":
        yield f"{shape.fill}-fill"


def _text(text: Text, height: float, mark: str) -> str:
    x, y = _mm(text.at[0]), _mm(height - text.at[1])
    turn = f' transform="rotate({_mm(-text.angle)} {x} {y})"' if text.angle else ""
    return (
        f'<text class="{mark}" x="{x}" y="{y}" font-size="{_mm(text.size)}" '
        f'text-anchor="{text.anchor}" textLength="{_mm(text.width)}" '
        f'lengthAdjust="spacingAndGlyphs"{turn}>{escape(printable(text.text))}</text>'
    )


def _mm(value: float) -> str:
    said = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said
