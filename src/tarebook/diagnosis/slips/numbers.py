"""Numbers that may have been meant by a number that was written down.

Each has the chance that a person who makes this kind of slip with the meant number writes exactly
what was written.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.odds import slip_table

PLAIN = re.compile(r"\d+(\.\d+)?")
"""Numbers whose digits can have been mixed up: no sign, no exponent."""

NOBODY_WRITES = re.compile(r"0\d")
"""A number that begins with a nought that is no unit was meant by nobody: 017.8."""

_KEYPAD: Final = ("789", "456", "123")
_LOOK_ALIKE: Final = ("17", "38", "56", "49", "06", "08", "27", "35", "68")

POINT_SHIFTS: Final = {1: 0.4, -1: 0.4, 2: 0.1, -2: 0.1}
"""Places by which the point moves and how that is shared out."""

THOUSAND: Final = 3
"""Places between a unit and its milli."""


@dataclass(frozen=True, slots=True)
class Meant:
    """A number that may have been meant.

    Attributes
    ----------
    kind : SlipKind
    text : str
        The number as it would stand on the sheet.
    chance : float, [1]
        That this slip, made with this number, gives what was written.
    """

    kind: SlipKind
    text: str
    chance: float


def _close_digits() -> dict[str, frozenset[str]]:
    close: dict[str, set[str]] = {digit: set() for digit in "0123456789"}
    pairs = [*_LOOK_ALIKE, "01", "02"]
    pairs += [row[i : i + 2] for row in _KEYPAD for i in range(2)]
    for above, below in itertools.pairwise(_KEYPAD):
        pairs += [above[i] + below[i] for i in range(3)]
    for pair in pairs:
        close[pair[0]].add(pair[1])
        close[pair[1]].add(pair[0])
    return {digit: frozenset(found) for digit, found in close.items()}


CLOSE: Final = _close_digits()
"""Digits that are neighbours on a keypad or look alike by hand."""


def meant_numbers(written: str) -> tuple[Meant, ...]:
    """Return the numbers that may have been meant.

    Parameters
    ----------
    written : str
        As it was typed.

    Returns
    -------
    tuple of Meant
        None for a number with a sign or an exponent.

    Examples
    --------
    >>> [m.text for m in meant_numbers("18.7") if m.kind is SlipKind.DIGITS_SWAPPED]
    ['81.7', '17.8', '78.1']
    """
    text = written.strip()
    if not PLAIN.fullmatch(text) or float(text) == 0.0:
        return ()
    value = float(text)
    return tuple(
        meant
        for maker in (_swapped, _wrong_digit, _extra, _missing, _point, _unit)
        for meant in maker(text)
        if float(meant.text) != value and not NOBODY_WRITES.match(meant.text)
    )


def _places(text: str) -> list[int]:
    return [i for i, letter in enumerate(text) if letter != "."]


def _swapped(text: str) -> Iterator[Meant]:
    published = slip_table()["published"]
    jump = published["jump_swapped"] / (published["jump_swapped"] + published["adjacent_swapped"])
    places = _places(text)
    for apart, share in ((1, 1.0 - jump), (2, jump)):
        n = len(places) - apart
        for first, second in zip(places, places[apart:], strict=False):
            letters = list(text)
            letters[first], letters[second] = letters[second], letters[first]
            yield Meant(SlipKind.DIGITS_SWAPPED, "".join(letters), share / n)


def _wrong_digit(text: str) -> Iterator[Meant]:
    close_share = slip_table()["digits"]["close_share"]
    places = _places(text)
    for place in places:
        written = text[place]
        for digit in "0123456789":
            if digit == written:
                continue
            near = CLOSE[digit]
            if written in near:
                chance = close_share / len(near)
            else:
                chance = (1.0 - close_share) / (9 - len(near))
            meant = text[:place] + digit + text[place + 1 :]
            yield Meant(SlipKind.DIGIT_WRONG, meant, chance / len(places))


def _extra(text: str) -> Iterator[Meant]:
    """Yield what is left when one digit of what was written is taken out."""
    places = _places(text)
    if len(places) < 2:
        return
    chances: dict[str, float] = {}
    for place in places:
        left = (text[:place] + text[place + 1 :]).strip(".") or "0"
        if left.startswith("."):
            left = "0" + left
        chances[left] = chances.get(left, 0.0) + 0.1 / len(places)
    for left, chance in chances.items():
        yield Meant(SlipKind.DIGIT_EXTRA, left, chance)


def _missing(text: str) -> Iterator[Meant]:
    """Yield what is meant when one digit was left out of it."""
    chances: dict[str, float] = {}
    n = len(_places(text)) + 1
    for place in range(len(text) + 1):
        for digit in "0123456789":
            meant = text[:place] + digit + text[place:]
            chances[meant] = chances.get(meant, 0.0) + 1.0 / n
    for meant, chance in chances.items():
        yield Meant(SlipKind.DIGIT_MISSING, meant, chance)


def _point(text: str) -> Iterator[Meant]:
    for shift, chance in POINT_SHIFTS.items():
        yield Meant(SlipKind.POINT_SHIFTED, shifted(text, -shift), chance)


def _unit(text: str) -> Iterator[Meant]:
    for shift in (THOUSAND, -THOUSAND):
        yield Meant(SlipKind.OTHER_UNIT, shifted(text, shift), 0.5)


def shifted(text: str, places: int) -> str:
    """Return a number with its point moved to the right, all its digits kept.

    Examples
    --------
    >>> shifted("17.8", -1), shifted("17.8", 1), shifted("1510", -3)
    ('1.78', '178', '1.510')
    """
    whole, _, part = text.partition(".")
    point = len(whole) + places
    digits = whole + part
    if point <= 0:
        digits, point = "0" * (1 - point) + digits, 1
    digits = digits.ljust(point, "0")
    whole = digits[:point].lstrip("0") or "0"
    part = digits[point:]
    return f"{whole}.{part}" if part else whole
