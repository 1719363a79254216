"""Work that takes a while, asked for again and again."""

from __future__ import annotations

import threading

from rafterstay.web.errands import Errands


def test_an_errand_is_run_once_and_waited_for() -> None:
    errands = Errands()
    ran: list[int] = []
    gate = threading.Event()

    def work() -> int:
        ran.append(1)
        gate.wait(10.0)
        return 41

    first = errands.ask("sizes", work, patience=0.01)
    assert (first.done.is_set(), first.result) == (False, None)
    assert errands.ask("sizes", work, patience=0.01) is first
    gate.set()
    assert errands.ask("sizes", work, patience=10.0).result == 41
    assert ran == [1]


def test_what_goes_wrong_is_kept_for_whoever_asks() -> None:
    errands = Errands()

    def work() -> None:
        raise LookupError("no such size")

    found = errands.ask("sizes", work, patience=10.0)
    assert found.done.is_set()
    assert isinstance(found.fault, LookupError)
    assert errands.ask("others", lambda: 7, patience=10.0).result == 7


def test_the_oldest_are_forgotten() -> None:
    errands = Errands()
    first = errands.ask(0, lambda: 0, patience=10.0)
    for number in range(1, 40):
        errands.ask(number, lambda: 0, patience=10.0)
    assert errands.ask(0, lambda: 0, patience=10.0) is not first
