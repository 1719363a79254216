"""How other people's words get into a packet: literally, or shortened with a mark, and told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from rafterstay.packet.nouns import Told

__all__ = ["LONGEST", "Words", "drawn"]

LONGEST: Final = 80  # characters of a name, a note or a tool that are printed

# What both of the packet's lettering styles draw, in every weight; the rest is spelled out.
_DRAWN: Final = (
    (0x20, 0x7E),
    (0xA1, 0xAC),
    (0xAE, 0x17F),
    (0x391, 0x3A1),
    (0x3A3, 0x3CE),
    (0x400, 0x45F),
    (0x5D0, 0x5EA),
    (0x621, 0x63A),
    (0x641, 0x64A),
    (0x2010, 0x2015),
    (0x2018, 0x201E),
    (0x2020, 0x2022),
    (0x2026, 0x2026),
    (0x2032, 0x2033),
    (0x20AC, 0x20AC),
    (0x2153, 0x2154),
    (0x215B, 0x215E),
    (0x2190, 0x2193),
    (0x2264, 0x2265),
)
_LACKED: Final = re.compile(
    "[^" + "".join(f"{re.escape(chr(low))}-{re.escape(chr(high))}" for low, high in _DRAWN) + "]"
)
_LACKED_IN_LINES: Final = re.compile(_LACKED.pattern.replace("[^", "[^\\n", 1))
_RUN: Final = 18  # characters after which a word without a blank may be broken
_BREAK: Final = "\u200b"
_MARK: Final = " [shortened]"


def drawn(character: str) -> bool:
    """Whether the packet's lettering has the character."""
    return _LACKED.fullmatch(character) is None


def _spelled(lacked: re.Match[str]) -> str:
    return ascii(lacked[0])[1:-1]


class Words:
    """Other people's words, and a count of what had to be done to them."""

    def __init__(self) -> None:
        self._shortened: list[str] = []
        self._spelled: list[str] = []

    def literal(self, text: str, what: str, *, longest: int = LONGEST) -> str:
        r"""A text as it is printed.

        Args:
            text: Anything.
            what: Which text it is, for the reader of the warning.
            longest: Characters that are kept. [-]

        Returns:
            One line; what the lettering lacks is spelled as its code, a word without blanks
            may break, and a text that is too long ends in ``[shortened]``.

        >>> words = Words()
        >>> words.literal("Barn \U0001f3da #strong[x]", "job.title")
        'Barn \\U0001f3da #strong[x]'
        >>> words.literal("a" * 10_000, "who").replace(chr(0x200b), "") == "a" * 80 + " [shortened]"
        True
        >>> [told.code for told in words.told()]
        ['text-shortened', 'text-spelled-out']
        """
        kept = text[:longest]
        said = _LACKED.sub(_spelled, kept)
        if said != kept:
            self._spelled.append(what)
        if len(text) > longest:
            self._shortened.append(what)
            said += _MARK
        return _breakable(said)

    def in_drawing(self, svg: str, what: str) -> str:
        """A drawing whose lettering is spelled out where the packet lacks it.

        Args:
            svg: The drawing.
            what: Which one it is.

        Returns:
            The same markup.
        """
        said = _LACKED_IN_LINES.sub(_spelled, svg)
        if said != svg:
            self._spelled.append(what)
        return said

    def note(self, shortened: Iterable[str]) -> None:
        """Count texts that a sheet has shortened already."""
        self._shortened += shortened

    def told(self) -> tuple[Told, ...]:
        """What was done, by its code, with how often."""
        found = []
        if self._shortened:
            found.append(
                Told(
                    "text-shortened",
                    f"Printed shortened, marked [shortened]: {_counted(self._shortened)}.",
                )
            )
        if self._spelled:
            found.append(
                Told(
                    "text-spelled-out",
                    "Printed with codes in place of characters the lettering lacks: "
                    f"{_counted(self._spelled)}.",
                )
            )
        return tuple(found)


def _counted(names: list[str]) -> str:
    """Names once each, with how often."""
    times = {name: names.count(name) for name in names}
    return ", ".join(name if n == 1 else f"{name} ({n} times)" for name, n in times.items())


def _breakable(text: str) -> str:
    """Text in which long words may break."""
    return " ".join(
        _BREAK.join(word[k : k + _RUN] for k in range(0, len(word), _RUN))
        for word in text.split(" ")
    )
