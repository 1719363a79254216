"""The smallest parts that pass together: what to try next, and what every trial teaches.

Whoever checks the trials asks for the next and tells what was found; nothing is checked here.
A check that does not pass rules out every choice with the same sizes of the parts it reads.
docs/sizing.md.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import TYPE_CHECKING, Final

from rafterstay.core.errors import Finding, InputError, InternalError, RafterstayError
from rafterstay.sizing.ladder import dressed, ladders
from rafterstay.sizing.nouns import Down, Sizes, Unmet
from rafterstay.sizing.reads import FOLLOW, reads

if TYPE_CHECKING:
    from rafterstay.checks import Checks
    from rafterstay.checks.nouns import Check
    from rafterstay.job import Job
    from rafterstay.sizing.nouns import Carried

__all__ = ["Search"]

Choice = dict[str, str]
Lesson = frozenset[tuple[str, str]]  # parts with sizes that do not pass together

PASS, REFER, ANY = 0, 1, 2
"""What is asked of a check: to pass, not to fail, nothing."""

_FAULT: Final = "fault"  # a choice that cannot be rigged or does not stand
_STATUSES: Final = ("passes", "refer", "fails")
_MANY: Final = 10**6
_SHORT_LEG: Final = frozenset({"rope", "turnbuckle"})
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
        self.fault: RafterstayError | None = None
        self._asked: dict[str, int] = {}
        self._lessons: dict[tuple[str, str], set[Lesson]] = {}
        self._best: dict[str, Unmet] = {}
        self._met: dict[str, int] = {}
        self._tried: list[Checks] = []
        self._ahead: Iterator[Choice] = self._choices()
        self._now: Choice = {}
        self._taken: Choice | None = None
        self._found: Carried | None = None
        self._down: list[tuple[str, str | None]] = []
        self._downs: dict[str, Down] = {}

    def propose(self) -> Job | None:
        """The job to check next; None when the answer stands, or there is none."""
        if self._taken is not None:
            while self._down:
                part, name = self._down[0]
                if name is not None:
                    self._now = self._taken | {part: name}
                    return dressed(self.job, self._now, self.ladders)
                self._downs[part] = Down(part, None, self._fullest(part), refers=False)
                self._down.pop(0)
            return None
        while True:
            for choice in self._ahead:
                if not self._ruled_out(choice):
                    self._now = choice
                    return dressed(self.job, choice, self.ladders)
            if not self._ask_less():
                return None
            self._ahead = self._choices()

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
        if not refused:
            self._settle(found)
            return True
        self._tried.append(found.checks)
        for check in refused:
            lesson = frozenset((part, self._now[part]) for part in self._sized(check.id))
            self._lessons.setdefault((check.id, check.status), set()).add(lesson)
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
            unmet=tuple(one for one in unmet if one.check in fail),
        )

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
        rungs = frozenset(self.ladders.rungs)
        if check_id == "ring-lost" and "ring_rope" not in rungs:
            return frozenset()  # of a ring of steel, which is not sized
        return reads(check_id) & rungs

    def _level(self, check_id: str) -> int:
        return self._asked.get(check_id, PASS if self._sized(check_id) else ANY)

    def _refused(self, found: Checks) -> list[Check]:
        """Deciding checks that give less than is asked, worst first."""
        return [
            check
            for check in found.checks
            if check.decides
            and check.status != "passes"
            and self._level(check.id) < (ANY if check.status == "fails" else REFER)
        ]

    def _ruled_out(self, choice: Choice) -> bool:
        pairs = frozenset(choice.items())
        return any(lesson <= pairs for known in self._lessons.values() for lesson in known)

    def _ask_less(self) -> bool:
        """Give up on what no choice can meet; False where nothing is left to give up."""
        known = sorted(key for key in self._lessons if key[0] != _FAULT)
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
        # Each can be met, but not all together: the trial that came nearest says what to leave.
        nearest = min(self._tried, key=self._misses)
        for check in self._refused(nearest):
            self._give_up((check.id, check.status))
        return True

    def _overdone(self, key: tuple[str, str]) -> tuple[bool, float]:
        best = self._best.get(key[0])
        return key[1] == "refer", best.utilisation if best else 0.0

    def _misses(self, tried: Checks) -> tuple[int, float]:
        """How many checks of a trial give less than is asked, and by how much together."""
        refused = self._refused(tried)
        over = sum(check.utilisation or 0.0 for check in refused)
        return len(refused) or _MANY, over

    def _blocks(self, keys: list[tuple[str, str]]) -> bool:
        known = [lesson for key in keys for lesson in self._lessons[key]]
        return all(
            any(lesson <= frozenset(choice.items()) for lesson in known)
            for choice in self._choices()
        )

    def _give_up(self, key: tuple[str, str]) -> None:
        check_id, status = key
        self._asked[check_id] = ANY if status == "fails" else REFER
        self._lessons.pop((check_id, "refer"), None)
        if status == "fails":
            self._lessons.pop(key, None)

    def _note_best(self, found: Checks) -> None:
        """Keep the best that was seen of every check."""
        for check in found.checks:
            level = _STATUSES.index(check.status)
            self._met[check.id] = min(level, self._met.get(check.id, ANY))
            if not check.decides or check.utilisation is None:
                continue
            best = self._best.get(check.id)
            if best is None or check.utilisation < best.utilisation:
                chosen = {part: self._now[part] for part in sorted(self._sized(check.id))}
                self._best[check.id] = Unmet(check.id, check.utilisation, chosen)

    def _settle(self, found: Carried) -> None:
        self._taken, self._found = dict(self._now), found
        self._downs, self._down = {}, []
        for part, names in self.ladders.rungs.items():
            place = names.index(self._now[part])
            self._down.append((part, names[place - 1] if place else None))
        worn = dressed(self.job, self._now, self.ladders).parts
        self._down += [(part, self.ladders.below[getattr(worn, part)]) for part in FOLLOW]

    def _fullest(self, part: str) -> str:
        """The deciding check of a part that is used most; of thimble and sleeve, their fit."""
        found, _ = self._settled()
        used = [
            check
            for check in found.checks.checks
            if check.decides and part in reads(check.id) and check.utilisation is not None
        ]
        return max(used, key=lambda check: check.utilisation or 0.0).id if used else "eye-fit"

    def _learn_fault(self, fault: RafterstayError) -> None:
        """A choice that cannot be rigged, or that does not stand."""
        self.fault = fault
        if self._taken is not None:
            part, name = self._down.pop(0)
            self._downs[part] = Down(part, name, fault.findings[0].code, refers=False)
            return
        parts = _SHORT_LEG if isinstance(fault, InputError) else _LOOSE
        lesson = frozenset(pair for pair in self._now.items() if pair[0] in parts)
        if not lesson:
            raise fault
        self._lessons.setdefault((_FAULT, "fails"), set()).add(lesson)


def _falls_short(check: Check) -> bool:
    """Whether a check fails, or is referred because it gives less than is asked."""
    return check.status == "fails" or (
        check.status == "refer" and check.utilisation is not None and check.utilisation > 1.0
    )
