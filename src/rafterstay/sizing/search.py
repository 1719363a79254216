"""The smallest parts that pass together: what to try next, and what every trial teaches.

Whoever checks the trials asks for the next and tells what was found; nothing is checked here.
A check that does not pass rules out every choice with the same sizes of the parts it reads.
docs/sizing.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Final

from rafterstay.checks.verify import OF_A_LOSS
from rafterstay.core.errors import (
    Finding,
    InputError,
    InternalError,
    Mechanism,
    RafterstayError,
)
from rafterstay.core.quantities import parse
from rafterstay.sizing.ladder import dressed, ladders
from rafterstay.sizing.nouns import Down, Sizes, Unmet
from rafterstay.sizing.reads import BESIDES, FOLLOW, reads, share_of, status_of, thicker_is_worse
from rafterstay.sizing.stock import STEEL

if TYPE_CHECKING:
    from rafterstay.checks import Checks
    from rafterstay.checks.nouns import Check
    from rafterstay.job import Job
    from rafterstay.sizing.nouns import Carried

__all__ = ["Search"]

Choice = dict[str, str]
Lesson = frozenset[tuple[str, str]]  # parts with sizes that do not pass together
_Key = tuple[str, str]  # a check and what it gave
_ByParts = dict[tuple[str, ...], set[tuple[str, ...]]]

PASS, REFER, ANY = 0, 1, 2
"""What is asked of a check: to pass, not to fail, nothing."""

_FAULT: Final = "fault"  # a choice that cannot be rigged or does not stand
_STATUSES: Final = ("passes", "refer", "fails")
_MANY: Final = 10**6
_SHORT_LEG: Final = frozenset({"rope", "turnbuckle"})
_AT_PLATE: Final = {
    # Its shackles take of the length of the legs too.
    "IN-060": _SHORT_LEG | {"shackle"},
    "IN-063": frozenset({"shackle"}),
    "IN-064": frozenset({"shackle"}),
}
"""Which parts a fault of a job with a hub plate comes from, by its code."""

_LOOSE: Final = frozenset({"rope", "ring_rope", "ply"})


class Search:
    """Search of the ladders, from the smallest sizes up.

    Args:
        job: As stated.
        with_ply: The ply is sized too.
    """

    def __init__(self, job: Job, *, with_ply: bool = False) -> None:
        self.job = job
        self.ladders = ladders(job, with_ply=with_ply)
        self._ring = job.tie.ring if job.tie.layout == "ring" else ""
        self.fault: RafterstayError | None = None
        self._asked: dict[str, int] = {}
        self._lessons: dict[_Key, set[Lesson]] = {}
        self._known: _ByParts | None = None  # the lessons, to look up; None once they change
        self._best: dict[str, Unmet] = {}
        self._met: dict[str, int] = {}
        self._tried: list[Checks] = []
        self._ahead: Iterator[Choice] = self._choices()
        self._now: Choice = {}
        self._given_up: list[_Key] = []
        self._closer: frozenset[str] = frozenset()  # checks that are laid to more parts
        self._held: tuple[Choice, Carried, dict[str, int]] | None = None  # while more is asked
        self._taken: Choice | None = None
        self._found: Carried | None = None
        self._down: list[tuple[str, str | None]] = []
        self._downs: dict[str, Down] = {}

    def propose(self) -> Job | None:
        """The job to check next; None when the answer stands, or there is none."""
        while self._taken is None or self._ask_again():
            for choice in self._ahead:
                if not self._ruled_out(choice):
                    self._now = choice
                    return dressed(self.job, choice, self.ladders)
            if self._held is not None:
                self._take_back()
            elif not self._ask_less():
                return None
            self._ahead = self._choices()
        while self._down:
            part, name = self._down[0]
            if name is not None:
                self._now = self._taken | {part: name}
                return dressed(self.job, self._now, self.ladders)
            self._downs[part] = Down(part, None, self._fullest(part), refers=False)
            self._down.pop(0)
        return None

    def takes(self, found: Carried | RafterstayError) -> bool:
        """Whether what was found passes everything that is asked."""
        return not isinstance(found, RafterstayError) and not self._refused(found.checks)

    def learn(self, found: Carried | RafterstayError) -> bool:
        """Take what a whole check, or a first look that does not pass, found of the last job.

        Returns:
            True where the job is taken as the answer so far.

        Raises:
            RafterstayError: A fault that no size can mend.
        """
        if isinstance(found, RafterstayError):
            self._learn_fault(found)
            return False
        refused = self._refused(found.checks)
        self._note_best(found.checks)
        if self._taken is not None and (refused or self._down[0][0] in FOLLOW):
            part, name = self._down.pop(0)
            # A smaller thimble or sleeve only ever fits another rope.
            worst = refused[0].id if refused else "eye-fit"
            refers = bool(refused) and refused[0].status == "refer"
            self._downs[part] = Down(part, name, worst, refers=refers)
            return False
        if self._taken is None:
            self._note_lessons(found.checks)
        if not refused:
            self._settle(found)
            return True
        self._tried.append(found.checks)
        return False

    def sizes(self) -> Sizes:
        """The answer.

        Raises:
            RafterstayError: No choice could be rigged or stands.
        """
        found, taken = self._settled()
        asked_less = [key for key, level in self._asked.items() if level != PASS]
        unmet = [self._best[key] for key in asked_less if key in self._best]
        fail = {check.id for check in found.checks.checks if _falls_short(check)}
        return Sizes(
            job=dressed(self.job, taken, self.ladders),
            sized=tuple(self.ladders.rungs),
            found=found,
            downs=tuple(self._downs[part] for part in (*self.ladders.rungs, *FOLLOW)),
            unmet=tuple(self._told(one) for one in unmet if one.check in fail),
        )

    def _told(self, unmet: Unmet) -> Unmet:
        """With whether every size was seen not to meet it."""
        return replace(unmet, alone=self._blocks([k for k in self._lessons if k[0] == unmet.check]))

    def _settled(self) -> tuple[Carried, Choice]:
        """What was taken; where nothing was, the fault of the last trial is raised."""
        if self._found is not None and self._taken is not None:
            return self._found, self._taken
        if self.fault is not None:
            raise self.fault
        raise InternalError(
            Finding("CL-006", bound="no trial was checked", remedy="Please report this job.")
        )

    def _choices(self) -> Iterator[Choice]:
        parts = tuple(self.ladders.rungs)
        for names in product(*self.ladders.rungs.values()):
            yield dict(zip(parts, names, strict=True))

    def _sized(self, check_id: str) -> frozenset[str]:
        more = BESIDES[check_id] if check_id in self._closer else frozenset()
        return (reads(check_id, self._ring) | more) & frozenset(self.ladders.rungs)

    def _note_lessons(self, found: Checks) -> None:
        """What a trial rules out, of checks that are given up too: they may be asked again."""
        for check in found.checks:
            status = status_of(check)
            if check.decides and status != "passes" and self._sized(check.id):
                known = self._lessons.setdefault((check.id, status), set())
                known.update(self._taught(check))
        self._known = None

    def _taught(self, check: Check) -> Iterator[Lesson]:
        """What a check that does not pass rules out: these sizes, and what only makes it worse."""
        parts = self._blamed(check)
        columns = []
        for part in sorted(parts):
            names = self.ladders.rungs[part]
            place = names.index(self._now[part])
            out = names[place:] if thicker_is_worse(check.id, part) else names[place : place + 1]
            if len(out) < len(names):
                columns.append([(part, name) for name in out])
        return map(frozenset, product(*columns))

    def _blamed(self, check: Check) -> frozenset[str]:
        """Parts without which a check would pass no better, left out."""
        parts = self._sized(check.id)
        if check.id not in {"eye-fit", "eye-pin"}:
            return parts
        jaw = self.job.catalogue.find("turnbuckle", self._now["turnbuckle"])
        if check.status == "refer" and jaw.pin is None:
            return frozenset({"turnbuckle"})  # whatever is held by it
        if check.id == "eye-pin" and "ring_bar" in parts:
            # Of all pins in the eyes the thinnest counts.
            is_bar = check.capacity == parse(self._now["ring_bar"], "length")
            return frozenset({"rope", "ring_bar"}) if is_bar else parts - {"ring_bar"}
        return parts

    def _level(self, check_id: str) -> int:
        return self._asked.get(check_id, PASS if self._sized(check_id) else ANY)

    def _refused(self, found: Checks) -> list[Check]:
        """Deciding checks that give less than is asked, worst first."""
        return [
            check
            for check in found.checks
            if check.decides
            and status_of(check) != "passes"
            and self._asks((check.id, check.status))
        ]

    def _asks(self, key: _Key) -> bool:
        """Whether a check is still asked not to give this."""
        check_id, status = key
        return self._level(check_id) < (ANY if status == "fails" else REFER)

    def _ruled_out(self, choice: Choice) -> bool:
        if self._known is None:
            self._known = _by_parts(self._lessons[key] for key in self._lessons if self._asks(key))
        return _holds(self._known, choice)

    def _ask_less(self) -> bool:
        """Give up on what no choice can meet; False where nothing is left to give up."""
        known = sorted(key for key in self._lessons if key[0] != _FAULT and self._asks(key))
        if not known:
            return False
        for key in known:
            if self._blocks([key]):
                self._give_up(key)
                return True
        for check_id, _ in known:
            if self._blocks([key for key in known if key[0] == check_id]):
                self._give_up((check_id, "refer"))
                return True
        never = [key for key in known if self._met.get(key[0], ANY) > _STATUSES.index(key[1]) - 1]
        if never:
            self._give_up(max(never, key=self._overdone))
            return True
        # Each can be met, but not all together: first what leaves it to an engineer, not failed.
        for keys in _left_to_an_engineer(known):
            rest = [key for key in self._lessons if self._asks(key) and key not in keys]
            if not self._blocks(rest):
                for key in keys:
                    self._give_up(key)
                return True
        # Then the trial that came nearest says what to leave.
        nearest = min(self._tried, key=self._misses)
        for check in self._refused(nearest):
            self._give_up((check.id, check.status))
        return True

    def _overdone(self, key: _Key) -> tuple[bool, float]:
        best = self._best.get(key[0])
        return key[1] == "refer", best.utilisation if best else 0.0

    def _misses(self, tried: Checks) -> tuple[int, float]:
        """How many checks of a trial give less than is asked, and by how much together."""
        refused = self._refused(tried)
        over = sum(check.utilisation or 0.0 for check in refused)
        return len(refused) or _MANY, over

    def _blocks(self, keys: list[_Key]) -> bool:
        known = _by_parts(self._lessons[key] for key in keys)
        parts = sorted({part for among in known for part in among})
        rungs = [self.ladders.rungs[part] for part in parts]
        return all(_holds(known, dict(zip(parts, names, strict=True))) for names in product(*rungs))

    def _give_up(self, key: _Key) -> None:
        check_id, status = key
        if check_id in BESIDES and check_id not in self._closer:
            # First lay it to what it depends on less, too.
            self._closer |= {check_id}
            for each in _STATUSES:
                self._lessons.pop((check_id, each), None)
            self._known = None
            return
        self._asked[check_id] = ANY if status == "fails" else REFER
        self._given_up.append(key)
        self._known = None

    def _ask_again(self) -> bool:
        """Ask once more for what was given up: what was given up after it may have opened it.

        Checks that fail before those that leave it to an engineer, each in its order.
        """
        found, taken = self._settled()
        self._given_up.sort(key=lambda key: key[1] != "fails")
        while self._given_up:
            check_id, status = self._given_up.pop(0)
            gives = {check.id: status_of(check) for check in found.checks.checks if check.decides}
            if _STATUSES.index(gives.get(check_id, "passes")) < _STATUSES.index(status):
                continue
            self._held = taken, found, dict(self._asked)
            self._asked[check_id] = REFER if status == "fails" else PASS
            self._taken, self._known = None, None
            self._ahead = self._choices()
            return True
        return False

    def _take_back(self) -> None:
        """What was asked again cannot be had: the answer stands as it was."""
        if self._held is not None:
            self._now, found, self._asked = self._held
            self._known = None
            self._settle(found)

    def _note_best(self, found: Checks) -> None:
        """Keep the best that was seen of every check."""
        for check in found.checks:
            level = _STATUSES.index(status_of(check))
            self._met[check.id] = min(level, self._met.get(check.id, ANY))
            share = share_of(check)
            if not check.decides or share is None:
                continue
            best = self._best.get(check.id)
            if best is None or share < best.utilisation:
                chosen = {part: self._now[part] for part in sorted(self._sized(check.id))}
                self._best[check.id] = Unmet(check.id, share, chosen)

    def _settle(self, found: Carried) -> None:
        self._taken, self._found, self._held = dict(self._now), found, None
        self._downs, self._down = {}, []
        for part, names in self.ladders.rungs.items():
            place = names.index(self._now[part])
            self._down.append((part, names[place - 1] if place else None))
        worn = dressed(self.job, self._now, self.ladders).parts
        self._down += [(part, self.ladders.below[getattr(worn, part)]) for part in FOLLOW]

    def _fullest(self, part: str) -> str:
        """The deciding check of a part that is used most; of thimble and sleeve, their fit."""
        found, _ = self._settled()
        used = {
            check.id: share_of(check) or 0.0
            for check in found.checks.checks
            if check.decides
            and part in reads(check.id, self._ring)
            and not thicker_is_worse(check.id, part)
        }
        return max(used, key=lambda check_id: used[check_id]) if used else "eye-fit"

    def _learn_fault(self, fault: RafterstayError) -> None:
        """A choice that cannot be rigged, or that does not stand."""
        self.fault = fault
        if self._taken is not None:
            part, name = self._down.pop(0)
            self._downs[part] = Down(part, name, fault.findings[0].code, refers=False)
            return
        parts = _LOOSE if isinstance(fault, Mechanism) else _LOOSE | set(STEEL)
        if isinstance(fault, InputError):
            of_plate = _AT_PLATE if self._ring == "plate" else {}
            parts = of_plate.get(fault.findings[0].code, _SHORT_LEG)
        lesson = frozenset(pair for pair in self._now.items() if pair[0] in parts)
        if not lesson:
            raise fault
        self._lessons.setdefault((_FAULT, "fails"), set()).add(lesson)
        self._known = None


def _left_to_an_engineer(keys: list[_Key]) -> list[list[_Key]]:
    """What may be given up without a check that fails: one by one, then several together.

    What is asked of the tie once a part is gone is practice and no code: that before others.
    """
    refer = sorted((key for key in keys if key[1] == "refer"), key=lambda k: k[0] not in OF_A_LOSS)
    lost = [key for key in refer if key[0] in OF_A_LOSS]
    return [*([key] for key in refer), lost, refer]


def _by_parts(lessons: Iterable[Iterable[Lesson]]) -> _ByParts:
    """Lessons by the parts they name, so that a choice is looked up and not compared with each."""
    found: _ByParts = {}
    for known in lessons:
        for lesson in known:
            pairs = sorted(lesson)
            parts = tuple(part for part, _ in pairs)
            found.setdefault(parts, set()).add(tuple(name for _, name in pairs))
    return found


def _holds(known: _ByParts, choice: Choice) -> bool:
    """Whether a choice has the very sizes of a lesson."""
    return any(tuple(choice[part] for part in parts) in names for parts, names in known.items())


def _falls_short(check: Check) -> bool:
    """Whether a check fails, or is referred because it gives less than is asked."""
    return status_of(check) == "fails" or (
        status_of(check) == "refer" and (check.utilisation or 0.0) > 1.0
    )
