"""``rafterstay gauge``: how hard does a rope pull?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rafterstay.cli.contract import Exit
from rafterstay.cli.output import emit, slow, write_document
from rafterstay.cli.parts import brought

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope
    from rafterstay.core.quantities import System
    from rafterstay.gauge import Gauged

__all__ = ["gauge"]

_UNITS = click.option(
    "--show", type=click.Choice(["us", "si"]), default="us", help="Units of the answer."
)
_JOB = click.option(
    "--job", metavar="JOB", help="Takes the rope from the job folder's own catalogue too."
)
_JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")


@click.group()
def gauge() -> None:
    """How hard a rope pulls, each way with its ±: by its sound, aside, by stretch, by corners.

    Leaves with 1 where a reading is refused or where readings disagree.
    """


@gauge.command()
@click.argument("recording", metavar="FILE")
@click.option("--span", required=True, metavar="LENGTH", help="Between the two bridges.")
@click.option("--rope", required=True, metavar="NAME", help="As listed by `parts rope`.")
@click.option("--weight", metavar="FORCE", help="This hangs on the rope: calibrate.")
@click.option("--factor", type=float, default=1.0, help="Of an earlier calibration.")
@_JOB
@_UNITS
@_JSON
def pluck(
    recording: str,
    *,
    span: str,
    rope: str,
    weight: str | None,
    factor: float,
    job: str | None,
    show: System,
    as_json: bool,
) -> Exit:
    """Pull from FILE, a recording of plucks between two bridges."""
    from rafterstay.core.quantities import parse
    from rafterstay.gauge import by_pluck, load

    row = _rope(rope, job)
    length = parse(span, "length")
    hung = None if weight is None else parse(weight, "force")
    with slow("Listening"):
        sound = load(Path(recording))
        done = by_pluck(
            sound,
            span=length,
            mass=row.mass,
            diameter=row.diameter,
            strength=row.strength,
            weight=hung,
            factor=factor,
        )
    return _tell(done, show=show, as_json=as_json)


@gauge.command()
@click.option("--length", required=True, metavar="LENGTH", help="Bolt to ring.")
@click.option("--at", "place", required=True, metavar="LENGTH", help="Hook from one end.")
@click.option("--side-pull", required=True, metavar="FORCE", help="On the luggage scale.")
@click.option("--deflection", required=True, metavar="LENGTH", help="How far it moves aside.")
@click.option("--rope", metavar="NAME", help="Takes off what holding it aside adds.")
@_JOB
@_UNITS
@_JSON
def pull(
    *,
    length: str,
    place: str,
    side_pull: str,
    deflection: str,
    rope: str | None,
    job: str | None,
    show: System,
    as_json: bool,
) -> Exit:
    """Pull from a luggage scale hooked to the leg, pulled square to it."""
    from rafterstay.core.quantities import parse
    from rafterstay.gauge import by_side_pull

    done = by_side_pull(
        parse(length, "length"),
        parse(place, "length"),
        side_pull=parse(side_pull, "force"),
        deflection=parse(deflection, "length"),
        stiffness=None if rope is None else _rope(rope, job).stiffness,
    )
    return _tell(done, show=show, as_json=as_json)


@gauge.command()
@click.option("--mark", required=True, metavar="LENGTH", help="Between marks, hand straight.")
@click.option("--change", required=True, metavar="LENGTH", help="How much it has grown.")
@click.option("--rope", required=True, metavar="NAME", help="As listed by `parts rope`.")
@_JOB
@_UNITS
@_JSON
def stretch(
    *, mark: str, change: str, rope: str, job: str | None, show: System, as_json: bool
) -> Exit:
    """Pull from how much a marked length has grown."""
    from rafterstay.core.quantities import parse
    from rafterstay.gauge import by_stretch

    done = by_stretch(
        parse(mark, "length"), parse(change, "length"), stiffness=_rope(rope, job).stiffness
    )
    return _tell(done, show=show, as_json=as_json)


@gauge.command()
@click.option(
    "--reading",
    "readings",
    type=(str, str),
    multiple=True,
    metavar="PULL SIGMA",
    help="A pull and its standard deviation; twice or more.",
)
@_UNITS
@_JSON
def combine(*, readings: tuple[tuple[str, str], ...], show: System, as_json: bool) -> Exit:
    """Weigh readings of one leg by their ±; tell whether they agree."""
    from rafterstay.core.quantities import parse
    from rafterstay.gauge import combine as weigh

    pairs = [(parse(pull, "force"), parse(sigma, "force")) for pull, sigma in readings]
    return _tell(weigh(pairs), show=show, as_json=as_json)


@gauge.command()
@click.option("--corner", "corners", multiple=True, metavar="ANGLE", help="At each eye, in order.")
@_JSON
def ring(*, corners: tuple[str, ...], as_json: bool) -> Exit:
    """Every leg's share of the mean pull from the inside corners of a sliding rope ring."""
    from rafterstay.cli.contract import envelope
    from rafterstay.core.quantities import parse
    from rafterstay.gauge import by_corners

    found = by_corners([parse(corner, "angle") for corner in corners])
    rows = list(zip(found.share, found.sigma, strict=True))
    if as_json:
        legs = [
            {"id": k, "share_of_mean": float(share), "sigma_share": float(sigma)}
            for k, (share, sigma) in enumerate(rows, start=1)
        ]
        write_document(envelope("gauge", legs=legs, method="corners", refused=None))
    else:
        lines = [
            f"leg {k}: {100 * share:.0f} % of the mean pull, ± {200 * sigma:.0f} %"
            for k, (share, sigma) in enumerate(rows, start=1)
        ]
        emit("\n".join(lines) + "\n")
    return Exit.PASSES


def _rope(name: str, job: str | None) -> Rope:
    """The rope of that name, from the tables or from the job folder's own catalogue."""
    from rafterstay.catalog import STANDARD

    return (brought(job) or STANDARD).find("rope", name)


def _tell(done: Gauged, *, show: System, as_json: bool) -> Exit:
    """Print a pull, or why there is none."""
    if as_json:
        from rafterstay.cli.contract import envelope

        write_document(
            envelope(
                "gauge",
                warnings=[{"code": "gauge-note", "text": text} for text in done.told],
                pull_N=done.pull,
                sigma_N=done.sigma,
                method=done.method,
                refused=done.refused,
                factor=done.factor,
                plucks=[
                    {
                        "at_s": one.at,
                        "fundamental_Hz": one.fundamental,
                        "pull_N": one.pull,
                        "sigma_N": one.sigma,
                        "partials_Hz": [tone for _, tone in one.partials],
                    }
                    for one in done.plucks
                ],
            )
        )
    else:
        emit(_words(done, show))
    return Exit.ATTENTION if done.refused or done.disagree else Exit.PASSES


def _words(done: Gauged, system: System) -> str:
    from rafterstay.core.quantities import show

    if done.pull is None or done.sigma is None:
        lines = [f"Refused: {done.refused}."]
    elif done.factor is not None:
        lines = [
            f"Calibrated: the recording reads {1 / done.factor:.3f} of the hung weight.",
            f"Take the leg's recording with --factor {done.factor:.4f}.",
        ]
    else:
        pull, spread = show(done.pull, "force", system), show(2 * done.sigma, "force", system)
        lines = [f"{pull} ± {spread} (two standard deviations), by {done.method}."]
    return "\n".join([*lines, *done.told]) + "\n"
