"""Work of more than a second: begun once, waited for by whoever asks, told how long it takes."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, Final

__all__ = ["Errand", "Errands"]

_KEPT: Final = 24  # finished errands kept
_PATIENCE: Final = 0.9  # [s] a page is held back for an answer that may come at once


@dataclass
class Errand:
    """One piece of work.

    Attributes:
        begun: When, on the machine's steady clock. [s]
        done: It is finished.
        result: What it came to.
        fault: What it raised instead.
    """

    begun: float = field(default_factory=time.monotonic)
    done: threading.Event = field(default_factory=threading.Event)
    result: Any = None
    fault: BaseException | None = None

    @property
    def seconds(self) -> int:
        """How long it has been at work. [s]"""
        return int(time.monotonic() - self.begun)


class Errands:
    """The errands of one run, one at a time, so that the page itself is not kept waiting."""

    def __init__(self) -> None:
        self._known: OrderedDict[Hashable, Errand] = OrderedDict()
        self._busy = threading.Lock()
        self._turn = threading.Semaphore(1)

    def ask(self, key: Hashable, work: Callable[[], Any], *, patience: float = _PATIENCE) -> Errand:
        """The errand of a key, begun if it is not known yet.

        Args:
            key: What it is and of which job.
            work: What is to be done.
            patience: How long to wait for its end. [s]

        Returns:
            The errand, finished or not.
        """
        with self._busy:
            errand = self._known.get(key)
            if errand is None:
                errand = self._known[key] = Errand()
                self._let_go()
                threading.Thread(target=self._run, args=(errand, work), daemon=True).start()
        errand.done.wait(patience)
        return errand

    def _run(self, errand: Errand, work: Callable[[], Any]) -> None:
        with self._turn:
            try:
                errand.result = work()
            except Exception as fault:  # noqa: BLE001 - raised where it is asked for
                errand.fault = fault
            finally:
                errand.done.set()

    def _let_go(self) -> None:
        """Forget the oldest that are finished."""
        for key in [key for key, one in self._known.items() if one.done.is_set()]:
            if len(self._known) <= _KEPT:
                return
            del self._known[key]
