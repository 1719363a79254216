"""A cut list in words and tables, 80 columns wide, for the bench."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from rafterstay import __version__
from rafterstay.cli.report import WIDTH, Align, printable_lines, table_text, wrapped
from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import show
from rafterstay.sheets.literal import printable
from rafterstay.sheets.words import GEOMETRY
from rafterstay.shop.labels import READ_FROM, letter_height
from rafterstay.shop.press_log import allowed_orders, pulled_name
from rafterstay.shop.steps import closing
from rafterstay.shop.trial import trial_eye

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rafterstay.cli.cut_list import CutList
    from rafterstay.core.quantities import Rounding
    from rafterstay.shop.buying import RopeOrder
    from rafterstay.shop.nouns import Piece

__all__ = ["cut_report"]

_ABREAST: Final = 4  # pieces beside one another in the table of marks
_WHERE: Final = {
    "roof": "Proof pull against the roof, or on a bench",
    "bench": (
        "No pull that proves a leg may be put on this roof: prove each eye by itself on a bench"
    ),
    "none": "No proof pull is possible: the parts are too light for the service pull",
}


def cut_report(done: CutList) -> str:
    """Everything `cut` says in words.

    Args:
        done: A finished cut list.

    Returns:
        Text of at most 80 columns a line.
    """
    sections = [
        _opening(done),
        _stops(done),
        _pieces(done),
        _marks(done),
        _sums(done),
        _bodies(done),
        _ring(done),
        _trial(done),
        _buying(done),
        *(_reels(done, order) for order in done.shopping.ropes),
        _pressing(done),
        _proof(done),
        _effort(done),
        _labels(done),
        _ready(done),
        _notes(done),
        _cautions(),
    ]
    return "\n".join(section for section in sections if section)


def _length(done: CutList, value: float, rounding: Rounding = "near") -> str:
    return show(value, "length", done.design.job.show, rounding=rounding)


def _steps(done: CutList, steps: int) -> str:
    return _length(done, steps * done.cutting.step)


def _force(done: CutList, value: float, rounding: Rounding = "near") -> str:
    return show(value, "force", done.design.job.show, rounding=rounding)


def _titled(title: str, *blocks: str) -> str:
    return "\n".join([title, "-" * len(title), *(block.rstrip("\n") for block in blocks)]) + "\n"


def _listed(lines: Iterable[str], *, first: str = "- ") -> str:
    rest = " " * len(first)
    return printable_lines(wrapped(line, first=first, rest=rest) for line in lines)


def _opening(done: CutList) -> str:
    cutting, job = done.cutting, done.design.job
    rows = [
        ("Geometry", GEOMETRY["measured" if cutting.measured else "designed"]),
        ("Cut for", f"{_setting_pull(done)} in the legs as they are set, hub on its prop"),
        ("Runs out", f"{_chance(cutting.ring_runs_out)} rings, any turnbuckle meeting a stop"),
        ("Job", f"{job.sha256[:16]}, rafterstay {__version__}"),
    ]
    lines = [wrapped(printable(said), first=f"{name:<14}", rest=" " * 14) for name, said in rows]
    title = wrapped(printable(f"Cut list: {job.title}"))
    return "\n".join(["=" * WIDTH, title, "-" * WIDTH, *lines, "=" * WIDTH]) + "\n"


def _setting_pull(done: CutList) -> str:
    """Least and largest pull of the setting state: dead load pulls snug legs too."""
    pulls = done.design.forces.setting.leg_pull
    least, most = (_force(done, float(pull)) for pull in (pulls.min(), pulls.max()))
    return least if least == most else f"{least} to {most}"


def _chance(chance: float) -> str:
    """A chance as a count of rings, which everybody can picture."""
    if chance < 1e-5:
        return "under 1 in 100,000"
    if chance < 0.01:
        return f"about 1 in {1 / chance:,.0f}"
    return f"about {100 * chance:.0f} in 100"


def _stops(done: CutList) -> str:
    if not done.faults:
        return ""
    return _titled("PROVISIONAL: do not cut yet", _listed(text for _, text in done.faults))


def _alike(pieces: Sequence[Piece]) -> list[tuple[str, Piece]]:
    """Pieces under the names of the legs they serve, those cut alike together."""
    found = []
    for end in ("outer", "inner"):
        some = [piece for piece in pieces if piece.end == end]
        for _, same in groupby(some, key=lambda piece: piece.marks):
            alike = list(same)
            legs = str(alike[0].leg)
            if len(alike) > 1:
                legs += f" to {alike[-1].leg}"
            found.append((f"{legs} {end}", alike[0]))
    return found


def _pieces(done: CutList) -> str:
    rows = [
        (
            str(piece.leg),
            piece.end,
            _steps(done, piece.cut_steps),
            _length(done, piece.finished),
            _length(done, piece.between_crowns),
        )
        for piece in done.cutting.pieces
    ]
    columns: list[tuple[str, Align]] = [
        ("Leg", "right"),
        ("Piece", "left"),
        ("Cut", "right"),
        ("Finished, pin to pin", "right"),
        ("Inside crown to inside crown", "right"),
    ]
    note = wrapped(
        "Outer: from the bolt to the turnbuckle. Inner: from the turnbuckle to the ring. Hold "
        "the tape on the last column when a piece is made up: that is what it must read, the "
        "rope straight by hand."
    )
    return _titled("Pieces", table_text(columns, rows), note)


def _marks(done: CutList) -> str:
    """Running marks, pieces side by side."""
    groups = _alike(done.cutting.pieces)
    blocks = []
    for end in ("outer", "inner"):
        some = [(name, piece) for name, piece in groups if piece.end == end]
        for start in range(0, len(some), _ABREAST):
            part = some[start : start + _ABREAST]
            columns: list[tuple[str, Align]] = [("Mark", "left")]
            columns += [(name, "right") for name, _ in part]
            names = [mark.name for mark in part[0][1].marks]
            rows = [
                (name, *(_steps(done, piece.marks[k].steps) for _, piece in part))
                for k, name in enumerate(names)
            ]
            blocks.append(table_text(columns, rows) + "\n")
    note = wrapped(
        "All along the flat rope from its first end, 0. Bend the rope round the thimble with "
        "the crown mark on the crown; slide the sleeve between its four marks before pressing. "
        "Never set a piece out from the end of another: mistakes would add up."
    )
    return _titled("Running marks", *blocks, note)


def _sums(done: CutList) -> str:
    """What each distance is made of; the rounded figures of a row add up."""
    rows = []
    for body in done.cutting.bodies:
        play, outer, opening, jaws, inner, warm, stretch, gives = (
            term.length for term in body.terms
        )
        shown = (play + jaws, outer, opening, inner, stretch + warm, gives)
        steps, total = closing(shown, done.cutting.step, down=(2,))
        rows.append((str(body.leg), *(_steps(done, one) for one in (*steps, total))))
    names = ("Leg", "Play", "Outer", "Set", "Inner", "Stretch", "Gives", "Distance")
    note = wrapped(
        "Distance: hole of the bolt to the ring rope at the eye. Play: of bolt and jaw pins. "
        "Stretch: of the rope at the setting pull, and of rope against tape from bench to roof. "
        "Gives: what roof and ring give way by. Each row adds up as printed."
    )
    return _titled("Why they fit", table_text([(name, "right") for name in names], rows), note)


def _bodies(done: CutList) -> str:
    rows = [
        (
            str(body.leg),
            _length(done, body.opening, "down"),
            _length(done, body.expected),
            _length(done, body.shorten_left, "down"),
            _length(done, body.lengthen_left, "down"),
            _chance(body.runs_out).removeprefix("about "),
        )
        for body in done.cutting.bodies
    ]
    names = ("Leg", "Set", "Expected later", "Shorten left", "Lengthen left", "Runs out")
    worst = max(done.cutting.bodies, key=lambda body: body.take_up.total)
    need = worst.take_up
    screw = done.design.tie.turnbuckle
    reason = wrapped(
        f"Set well open, because rope only grows: leg {worst.leg} may need "
        f"{_length(done, need.shorten, 'up')} to shorten and {_length(done, need.lengthen, 'up')} "
        f"to lengthen, {_length(done, need.total, 'up')} in all; turnbuckle {screw.name} has "
        f"{_length(done, screw.take_up, 'down')}. Thread left counts from where it is expected to "
        "come to rest, to the open stop with one diameter of thread in the body at each end. "
        f"Drawn at random, {done.cutting.rings:,} rings: {100 * done.cutting.sampled:.2g} in 100 "
        "ran out."
    )
    shares = [
        (
            share.name,
            _length(done, share.mean) if share.mean else "",
            f"± {_length(done, share.half, 'up')}" if share.half else "",
            _length(done, share.sigma, "up") if share.sigma else "",
            share.why,
        )
        for share in need.shares
        if share.mean or share.half or share.sigma
    ]
    columns: list[tuple[str, Align]] = [
        (f"Leg {worst.leg}", "left"),
        ("Longer by", "right"),
        ("At most", "right"),
        ("1 sigma", "right"),
        ("Why", "left"),
    ]
    return _titled(
        "Turnbuckles",
        table_text([(name, "right") for name in names], rows),
        reason,
        "",
        table_text(columns, shares),
    )


def _ring(done: CutList) -> str:
    ring = done.cutting.ring
    rows = [(mark.name, _steps(done, mark.steps)) for mark in ring.marks]
    held = "leave free" if done.design.tie.ring == "rope-sliding" else "seize"
    note = wrapped(
        f"{ring.rope}, cut {_steps(done, ring.cut_steps)}: once round is "
        f"{_length(done, ring.loop)}, its ends lap {_length(done, ring.lap, 'up')} under "
        f"{ring.sleeves} sleeves ({ring.sleeve or 'none in the catalogue'}). String the eyes on "
        f"before the lap is pressed, middle on middle, and {held} each eye at its mark."
    )
    return _titled("Ring rope", note, table_text([("Mark", "left"), ("At", "right")], rows))


def _trial(done: CutList) -> str:
    trial = trial_eye(done.cutting.eye, done.cutting.making)
    making = done.cutting.making
    known = (
        f"Taken from the {making.trial}: an eye grows {_length(done, making.creep)}."
        if making.trial
        else "Not made yet: common practice is taken for how an eye grows in pressing."
    )
    lines = [
        (
            "On the test piece of the first reel, mark the live part "
            f"{_length(done, trial.marked)} from the crown mark. Press the eye. Inside of the "
            f"crown to that mark should read {_length(done, trial.expected)}."
        ),
        (
            "Cut again with what it reads: --trial-eye READING. Or make up one piece and give what "
            "inside crown to inside crown reads: --trial-leg LEG outer READING."
        ),
        known,
    ]
    return _titled("Make one first", _listed(lines))


def _buying(done: CutList) -> str:
    bought = done.shopping
    rows = [
        (
            item.part,
            item.name,
            f"{item.count} + {item.spare}",
            item.standard,
            _money(item.cost, bought.currency),
        )
        for item in bought.items
    ]
    rows += [
        (
            "rope",
            order.rope,
            _length(done, order.bought, "up"),
            order.standard,
            _money(order.cost, bought.currency),
        )
        for order in bought.ropes
    ]
    columns: list[tuple[str, Align]] = [
        ("Part", "left"),
        ("Ask for", "left"),
        ("Count + spare", "right"),
        ("Must meet", "left"),
        ("Cost", "right"),
    ]
    asks = dict.fromkeys(
        f"{name}: {ask}."
        for name, ask in [
            *((item.part, item.ask) for item in bought.items),
            *((order.rope, order.ask) for order in bought.ropes),
        ]
    )
    total = (
        f"In all {_money(bought.total, bought.currency)}"
        + (f", without {', '.join(bought.unpriced)}." if bought.unpriced else ".")
        if bought.total is not None
        else "The job states no prices: see [prices]."
    )
    return _titled("To buy", table_text(columns, rows), _listed([*asks, total]))


def _money(cost: float | None, currency: str) -> str:
    return "--" if cost is None else f"{cost:,.2f} {currency}"


def _reels(done: CutList, order: RopeOrder) -> str:
    blocks = []
    for number, reel in enumerate(order.plan.reels, start=1):
        rows = [
            ("trial and test eye", _steps(done, start), _steps(done, end))
            for start, end in order.test_pieces(reel)
        ]
        rows += [(cut.piece, _steps(done, cut.start), _steps(done, cut.end)) for cut in reel.cuts]
        rows.append(("left on the reel", _steps(done, reel.stock.length - reel.left), ""))
        bought = "at hand" if reel.stock.at_hand is not None else "bought"
        head = f"{number}: {_steps(done, reel.stock.length)}, {bought}"
        columns: list[tuple[str, Align]] = [(head, "left"), ("From", "right"), ("To", "right")]
        blocks.append(table_text(columns, rows) + "\n")
    plan = order.plan
    best = "no less can do" if plan.gap == 0 else f"at most {100 * plan.gap:.1f} % could be saved"
    said = [
        (
            f"{_length(done, order.bought)} to buy, {_length(done, order.waste)} left over; {best} "
            f"(found by {plan.method}, bound {_steps(done, plan.bound)})."
        ),
        *([f"{plan.told[0].upper()}{plan.told[1:]}."] if plan.told else []),
        "Other lengths are sold? Name each with --reel; rope that lies at hand with --at-hand.",
        "Keep the tape on the rope from the reel's loose end; cut in this order.",
    ]
    return _titled(f"Cutting order, {order.rope}", *blocks, _listed(said))


def _pressing(done: CutList) -> str:
    sleeve, eye = done.design.tie.sleeve, done.cutting.eye
    orders = " or ".join(allowed_orders(sleeve.presses))
    lines = [
        (
            f"Sleeve {sleeve.name}: {sleeve.presses} presses, {orders}, counted from the thimble; "
            "never one press between two finished ones. The tool maker's table comes first."
        ),
        (
            f"It grows from {_length(done, sleeve.before)} to {_length(done, sleeve.after)}, half "
            f"each way. Rope past it: {_length(done, eye.tail_before)} before, "
            f"{_length(done, eye.diameter, 'up')} to {_length(done, 2 * eye.diameter, 'down')} "
            "after."
        ),
        (
            "Gauge every press. A leg is not ready while a sleeve of it is not gauged; one that "
            "fails is pressed again or cut off."
        ),
        (
            "Write down for each sleeve: leg, eye, reel, sleeve, tool, presses, order, tail "
            "before, tail after, gauge, who, when; then --press-log FILE."
        ),
        (
            "From each reel and with each tool pull one test eye until it breaks, guarded. It must "
            f"hold {_force(done, 0.9 * done.design.tie.rope.strength, 'up')}, 0.90 of the "
            f'rope. Log it as "{pulled_name("REEL", "TOOL")}".'
        ),
    ]
    return _titled("Pressing", _listed(lines))


def _proof(done: CutList) -> str:
    proof = done.proof
    most = proof.roof if proof.where == "roof" else proof.bench
    rows = [
        (
            cap.what,
            _force(done, cap.pull, "down"),
            "against the roof" if cap.against_roof else "always",
        )
        for cap in proof.caps
    ]
    columns: list[tuple[str, Align]] = [
        ("Never above", "left"),
        ("Pull", "right"),
        ("Counts", "left"),
    ]
    lines = [
        f"{_WHERE[proof.where]}.",
        f"Pull {_force(done, proof.least, 'up')}, 1.25 times the largest service pull of "
        f"{_force(done, proof.service, 'up')}"
        + (f", and never above {_force(done, most, 'down')}." if proof.where != "none" else "."),
        (
            "Hold it for a minute, guarded, everyone out of line; mark tails and sleeves before "
            "and look for slip after. Leg ___  scale ___  pull ___  held ___  slip ___  by ___  "
            "date ___"
        ),
    ]
    return _titled("Proof pull", _listed(lines), table_text(columns, rows))


def _effort(done: CutList) -> str:
    rows = [
        (
            one.tool.work,
            one.tool.name,
            f"{_force(done, one.handles[0])} to {_force(done, one.handles[1])}",
            _force(done, one.tool.limit),
            "risks the tool" if one.tool.risky else one.verdict,
        )
        for one in done.efforts
    ]
    columns: list[tuple[str, Align]] = [
        ("To", "left"),
        ("Tool", "left"),
        ("Asks at the handle", "right"),
        ("You give", "right"),
        ("", "left"),
    ]
    press = next(one for one in done.efforts if one.tool.work == "press")
    lines = [
        *(_easiest(done, work, said) for work, said in (("press", "To press"), ("cut", "To cut"))),
        (
            f"A press takes {_force(done, press.jaws[0])} to {_force(done, press.jaws[1])} at the "
            "jaws: flow of copper x area under the die. Common practice, no source: a range, not a "
            "promise. The tool maker's word comes first."
        ),
        (
            "Where it says perhaps or no: bench mount, hydraulic tool, or have a rigging shop make "
            "the legs. A pipe or a come-along on a handle can pass what the tool is made for."
        ),
    ]
    return _titled("Effort", table_text(columns, rows), _listed(lines))


def _easiest(done: CutList, work: str, said: str) -> str:
    """The first tool that closes by hand, and the first that perhaps does."""
    some = [one for one in done.efforts if one.tool.work == work and not one.tool.risky]
    sure = next((one.tool.name for one in some if one.verdict == "by hand"), "none listed")
    perhaps = next((one.tool.name for one in some if one.verdict == "perhaps"), "")
    return f"{said}: {sure} closes by hand" + (f"; {perhaps} perhaps." if perhaps else ".")


def _labels(done: CutList) -> str:
    high = letter_height(READ_FROM)
    legs = "; ".join(f"{label.lines[0]}, {', '.join(label.lines[1:])}" for label in done.labels[:1])
    lines = [
        (
            f"One tag a leg, letters {_length(done, high, 'up')} high to be read from "
            f"{_length(done, READ_FROM)} away, near the turnbuckle: {legs}. The others likewise."
        ),
        *(f"In year twenty, {one.eye}: {one.told}." for one in done.sights),
    ]
    return _titled("Labels and sight", _listed(lines))


def _ready(done: CutList) -> str:
    if done.readiness is None:
        return _titled("Ready", _listed(["No sleeve is logged yet: no leg is ready."]))
    lines = [
        f"Leg {one.leg}: " + ("ready." if one.ready else f"not ready; {'; '.join(one.missing)}.")
        for one in done.readiness
    ]
    if done.pressed:
        lines.append(f"{done.pressed} sleeves were added to the log.")
    return _titled("Ready", _listed(lines))


def _notes(done: CutList) -> str:
    return _titled("To know", _listed(done.cutting.notes)) if done.cutting.notes else ""


def _cautions() -> str:
    lines = [
        wrapped(one.text, first=f"{one.number:>2}. ", rest="    ") for one in cautions_for("make")
    ]
    return _titled("Cautions", printable_lines(lines))
