"""Chemical formulas, read strictly: what could mean two things is refused with a hint.

A misread formula gives a wrong molar mass without any sign of it. So a text is read only if it
has one meaning; a zero for the letter O, a missing dot before the water of a hydrate or a charge
that could be a count is an error that says what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from typing import NoReturn

from tarebook.chemistry.spelling import (
    FormulaError,
    check_counts_of_whole,
    read_charge,
    read_count,
    spellings_of,
)
from tarebook.chemistry.weights import ELEMENTS

__all__ = ["Formula", "FormulaError", "as_formula", "parse_formula"]

_PLAIN = str.maketrans("₀₁₂₃₄₅₆₇₈₉∙⋅•·−", "0123456789....-")
_STATE = re.compile(r"\s*(\((s|l|g|aq)\)|[↑↓])\s*$")
_CLOSER = {"(": ")", "[": "]"}
_AFTER_DECIMAL_DOT = (frozenset({("H", 2), ("O", 1)}), frozenset({("N", 1), ("H", 3)}))
"""Water and ammonia: what may follow a plain dot between two digits (CuSO4.5H2O)."""


@dataclass(frozen=True, slots=True)
class Formula:
    """A chemical species: what it is made of and its charge.

    Attributes
    ----------
    text : str
        As it was written, without the mark of its state.
    counts : tuple of (str, int)
        Element symbol and number of atoms, in the order of first appearance.
    charge : int
        Charge in elementary charges.
    """

    text: str
    counts: tuple[tuple[str, int], ...]
    charge: int = 0

    def count(self, symbol: str) -> int:
        """Return the number of atoms of an element; 0 if it has none."""
        return dict(self.counts).get(symbol, 0)

    @property
    def composition(self) -> tuple[frozenset[tuple[str, int]], int]:
        """What spellings of one composition share: CH3COOH and C2H4O2 (and every isomer)."""
        return frozenset(self.counts), self.charge

    def __str__(self) -> str:
        return self.text


def as_formula(formula: Formula | str) -> Formula:
    """Return a formula as it is, or the text parsed.

    Raises
    ------
    FormulaError
        If the text is no formula.
    """
    return formula if isinstance(formula, Formula) else parse_formula(formula)


@lru_cache(maxsize=1024)
def parse_formula(text: str) -> Formula:
    """Read a chemical formula.

    Brackets ``()`` and ``[]`` nest; a hydrate is written with a dot (``CuSO4.5H2O`` holds five
    waters); digits may be subscripts. A charge is written ``Ca^2+`` or ``Ca²⁺``; a single sign at
    the end is one charge (``Na+``, ``HCO3-``). A state ``(s) (l) (g) (aq)`` is dropped.

    Parameters
    ----------
    text : str
        The formula.

    Returns
    -------
    Formula
        Exact whole counts and the charge.

    Raises
    ------
    FormulaError
        If the text is no formula or could mean two things.

    Examples
    --------
    >>> parse_formula("CuSO4.5H2O").counts
    (('Cu', 1), ('S', 1), ('O', 9), ('H', 10))
    >>> parse_formula("SO4^2-(aq)").charge
    -2
    >>> parse_formula("NaHC03")
    Traceback (most recent call last):
    ...
    tarebook.chemistry.spelling.FormulaError: formula 'NaHC03': '03' at character 5 cannot be read.
      NaHC03
          ^^
    A count does not begin with zero. For oxygen write the letter O: NaHCO3.
    """
    plain = text.translate(_PLAIN)
    start, end = len(plain) - len(plain.lstrip()), len(plain.rstrip())
    if state := _STATE.search(plain):
        end = len(plain[: state.start()].rstrip())
    if start >= end:
        raise FormulaError(text, 0, "", "Write a formula such as NaHCO3.")
    charge, body_end = read_charge(text, plain, start, end)
    reader = _Reader(text, plain, body_end)
    counts = reader.read(start)
    check_counts_of_whole(text, plain[:body_end], start)
    return Formula(text[start:end], tuple(counts.items()), charge)


@dataclass(slots=True)
class _Reader:
    """Recursive descent over `plain`, which has one character for each of `text`."""

    text: str
    plain: str
    end: int

    def read(self, position: int) -> dict[str, int]:
        """Read the parts between the dots and add them up."""
        counts, position = self._group(position, "")
        while position < self.end:
            dot = position
            position = self._skip_blanks(dot + 1)
            coefficient, after = 1, position
            if self._at(position).isdigit():
                coefficient, after = read_count(self.text, self.plain, position)
            part, position = self._group(after, "")
            self._refuse_decimal(dot, after, part)
            _add(counts, part, coefficient)
        return counts

    def _group(self, position: int, closer: str) -> tuple[dict[str, int], int]:
        """Read units up to `closer`, or up to a dot or the end if there is none to close."""
        counts: dict[str, int] = {}
        begin = position
        while position < self.end:
            character = self.plain[position]
            if character in _CLOSER:
                opened = position
                part, position = self._group(position + 1, _CLOSER[character])
                if self._at(position) != _CLOSER[character]:
                    self._fail(opened, character, f"Close it with '{_CLOSER[character]}'.")
                position += 1
            elif character.isalpha() and character.isascii():
                symbol = self._symbol(position)
                part, position = {symbol: 1}, position + len(symbol)
            else:
                break
            number, position = self._count(position)
            _add(counts, part, number)
        self._check_stop(begin, position, closer, counts)
        # Blanks are allowed around the dot of a hydrate and nowhere else.
        if not closer and self._at(self._skip_blanks(position)) == ".":
            position = self._skip_blanks(position)
        return counts, position

    def _check_stop(
        self, begin: int, position: int, closer: str, counts: Mapping[str, int]
    ) -> None:
        """Refuse whatever ended a group that may not end it."""
        found = self._at(position)
        if not counts:
            found = found or self._at(begin - 1)
            self._fail(max(min(position, self.end - 1), 0), found, _hint_for_start(found))
        if found.isspace():
            found = self._at(self._skip_blanks(position))
            if found == "." and not closer:
                return
            self._fail(position, self.plain[position], "A formula has no blanks inside.")
        if found and found != closer and (closer or found != "."):
            self._fail(position, self.text[position], _hint_for_character(found, closer))

    def _symbol(self, position: int) -> str:
        match = re.compile(r"[A-Z][a-z]*|[a-z]+[A-Za-z]*").match(self.plain, position, self.end)
        word = match[0] if match else self.plain[position]
        if word not in ELEMENTS:
            self._fail(position, word, self._hint_for_letters(position, word))
        return word

    def _hint_for_letters(self, position: int, word: str) -> str:
        run = re.compile(r"[A-Za-z]+").match(self.plain, position, self.end)
        letters = run[0] if run else word
        meant = list(islice(spellings_of(letters), 3))
        hint = "Element symbols have one capital, then at most one small letter."
        if meant:
            hint += f" Did you mean {' or '.join(meant)}?"
        return hint

    def _count(self, position: int) -> tuple[int, int]:
        if not self._at(position).isdigit():
            return 1, position
        return read_count(self.text, self.plain, position)

    def _refuse_decimal(self, dot: int, after: int, part: Mapping[str, int]) -> None:
        """Tell CuSO4.5H2O from Na1.5O: between digits a plain dot may only bring water."""
        between_digits = self._at(dot - 1).isdigit() and self._at(dot + 1).isdigit()
        if not between_digits or self.text[dot] != ".":
            return
        explicit_one = re.search(r"(?<!\d)1$", self.plain[:dot])
        if explicit_one or frozenset(part.items()) not in _AFTER_DECIMAL_DOT:
            self._fail(
                dot,
                self.plain[dot:after],
                "Counts are whole numbers. For an adduct write the raised dot: '·'.",
            )

    def _skip_blanks(self, position: int) -> int:
        while position < self.end and self.plain[position].isspace():
            position += 1
        return position

    def _at(self, position: int) -> str:
        return self.plain[position] if 0 <= position < self.end else ""

    def _fail(self, position: int, found: str, hint: str) -> NoReturn:
        raise FormulaError(self.text, position, found, hint)


def _hint_for_start(found: str) -> str:
    if found.isdigit():
        return (
            "A formula begins with an element; the coefficient of an equation does not belong "
            "to it, and oxygen is the letter O."
        )
    if found in {"(", "[", ")", "]"}:
        return "A bracket holds at least one element."
    return "An element symbol is expected here."


def _hint_for_character(found: str, closer: str) -> str:
    if found in ")]":
        wanted = f"'{closer}' is open here." if closer else "No such bracket is open."
        return f"The brackets do not match: {wanted}"
    if found in "*x×":
        return "Write the dot of a hydrate as '.': CuSO4.5H2O."
    if found == ".":
        return "A dot joins whole parts; it may not stand inside a bracket."
    if found in "+-^⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹":
        return "A charge stands once, at the end: Ca^2+ or Ca²⁺, Na+, SO4^2-."
    return "Allowed: element symbols, whole counts, ( ) [ ], a dot for a hydrate, a charge."


def _add(counts: dict[str, int], part: Mapping[str, int], times: int) -> None:
    for symbol, number in part.items():
        counts[symbol] = counts.get(symbol, 0) + number * times
