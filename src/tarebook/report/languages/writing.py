"""How numbers, dates and times are written in one place of the world."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Final

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_time
from babel.numbers import get_decimal_symbol

from tarebook.core.csv_text import WITH_COMMAS, WITH_SEMICOLONS, CsvWay
from tarebook.core.errors import Fault, InputError
from tarebook.core.phrase import Phrase, Value
from tarebook.core.quantity import Estimate, Measured
from tarebook.report import numbers
from tarebook.report.languages.catalogue import Catalogue, catalogue
from tarebook.report.languages.words import Words, phrase, words
from tarebook.report.numbers import NumberStyle
from tarebook.series.experiment import Course, Experiment

FEWEST_DIGITS, MOST_DIGITS = 2, 4
"""Significant digits of a value that stands alone on a sheet."""


def known_digits(quantity: Measured) -> int:
    """Return to how many significant digits a quantity is known: to the second of its u.

    Parameters
    ----------
    quantity : Measured
        Two digits at least, four at most.
    """
    before = int(f"{quantity.value:.{MOST_DIGITS - 1}e}".partition("e")[2]) + 1
    digits = before + numbers.places(quantity.value, quantity.u)
    return min(max(digits, FEWEST_DIGITS), MOST_DIGITS)


@dataclass(frozen=True, slots=True)
class Writing:
    """Words, numbers, dates and times for one language and place.

    Attributes
    ----------
    words : Words
    locale : str
        Such as ``"en_GB"``.
    style : NumberStyle
    """

    words: Words
    locale: str
    style: NumberStyle

    def __call__(self, key: str, part: str = "", **values: Value) -> str:
        """Return a text with its places filled, its numbers written as here.

        Parameters
        ----------
        key : str
            As for `Words`.
        part : str
            Another text of the same message, such as the ``rule`` of a step; empty if it has none.
        **values
            For the places.

        Examples
        --------
        >>> writing("de")("labels.strength", value="0,1")
        '0,1 mol/L'
        """
        said = phrase(key, values)
        return self.also(said, part) if part else self.say(said)

    def say(self, what: Phrase | str | None) -> str:
        """Return a phrase as text, a name that people gave as it is; empty for nothing to say."""
        if isinstance(what, Phrase):
            return self._catalogue(what)
        return what or ""

    def also(self, what: Phrase, attribute: str) -> str:
        """Return another text of the same message, such as what to ``do``; empty if it has none."""
        return self._catalogue.also(what, attribute)

    def quantity(self, of: Estimate | Measured) -> str:
        """Return a value with its uncertainty, in bench units."""
        return numbers.quantity(of, self.style, self.words("numbers.not_known"))

    def interval(self, of: Estimate | Measured) -> str:
        """Return the 95 % interval of a quantity, in bench units."""
        to, not_known = self.words("handover.to"), self.words("numbers.not_known")
        return numbers.interval(of, self.style, to, not_known)

    @property
    def _catalogue(self) -> Catalogue:
        return catalogue(self.words.language, self.locale, self.style)

    def date(self, day: dt.date) -> str:
        """Return a date in full."""
        return format_date(day, "full", locale=self.locale)

    def short_date(self, day: dt.date) -> str:
        """Return a date with its month as a number or short word."""
        return format_date(day, "medium", locale=self.locale)

    def time(self, moment: dt.time) -> str:
        """Return a time of day, in 24 or 12 hours as the place has it."""
        return format_time(moment, "short", locale=self.locale)

    def number(self, value: float, digits: int = 3) -> str:
        """Return a number with so many significant digits, zeros at its end dropped.

        Examples
        --------
        >>> writing("de").number(12.3456), writing("en").number(1500.0)
        ('12,3', '1500')
        """
        if value == 0:
            return "0"
        decimals = digits - 1 - int(f"{value:.{digits - 1}e}".partition("e")[2])
        # Zeros stand for digits that nobody promised.
        text = numbers.fixed(round(value, decimals), max(decimals, 0), self.style)
        if self.style.decimal in text:
            text = text.rstrip("0").removesuffix(self.style.decimal)
        return text

    def fixed(self, value: float, decimals: int) -> str:
        """Return a number with so many decimals."""
        return numbers.fixed(value, decimals, self.style)

    def with_unit(self, value: float, unit: str, digits: int = 3) -> str:
        """Return a number and its unit."""
        return numbers.with_unit(self.number(value, digits), unit, self.style)

    def volume(self, litres: float, digits: int = 3) -> str:
        """Return a volume in mL, or in L from one litre up."""
        if abs(litres) >= 1.0:
            return self.with_unit(litres, "L", digits)
        return self.with_unit(1000.0 * litres, "mL", digits)

    def mass(self, grams: float, digits: int = 3) -> str:
        """Return a mass in g, or in kg from one kilogram up."""
        if abs(grams) >= 1000.0:
            return self.with_unit(grams / 1000.0, "kg", digits)
        return self.with_unit(grams, "g", digits)

    def millimoles(self, moles: float, digits: int = 4) -> str:
        """Return an amount in mmol."""
        return self.with_unit(1000.0 * moles, "mmol", digits)

    def percent(self, part: float, digits: int = 3) -> str:
        """Return a share in per cent."""
        return self.with_unit(100.0 * part, "%", digits)

    def known(self, quantity: Measured) -> str:
        """Return a value as far as its uncertainty lets it be known, without unit.

        Examples
        --------
        >>> from tarebook.core.quantity import Source
        >>> label = Source("the label", "declared")
        >>> writing("en").known(Measured(value=0.8326, u=0.033, unit="mol/L", source=label))
        '0.833'
        """
        return self.number(quantity.value, known_digits(quantity))

    def plus_minus(self, quantity: Measured) -> str:
        """Return value and standard uncertainty, without unit."""
        return numbers.plus_minus(quantity.value, quantity.u, self.style)


def csv_way(course: Course) -> CsvWay:
    """Return how a CSV for people is written where a course is held.

    A place that is not one of its language counts for nothing here; it is refused where something
    is printed.
    """
    try:
        decimal = writing(course.language, "a4", course.locale).style.decimal
    except InputError:
        return WITH_COMMAS
    return WITH_SEMICOLONS if decimal == WITH_SEMICOLONS.decimal else WITH_COMMAS


def usual_place(language: str, paper: str) -> str:
    """Return the place that a language and a paper suggest, such as ``"en_GB"``."""
    return words(language)(f"language.locale_{paper}")


def in_english(style: NumberStyle) -> Writing:
    """Return how things are written where the program itself speaks: English, its own numbers.

    Parameters
    ----------
    style : NumberStyle
    """
    return replace(ENGLISH, style=style)


def in_files() -> Writing:
    """Return how things are written in JSON and CSV: English, as in a terminal."""
    return in_english(numbers.TERMINAL)


def writing(language: str, paper: str = "a4", locale: str = "") -> Writing:
    r"""Return how things are written.

    Parameters
    ----------
    language : str
    paper : str
        ``"a4"`` or ``"letter"``, which suggests the United States for English.
    locale : str
        A place that wins over that, such as ``"en_CA"``; empty for the usual one.

    Raises
    ------
    InputError
        If the locale is not known or is one of another language.

    Examples
    --------
    >>> at = dt.time(14, 5)
    >>> writing("en").time(at), writing("de").time(at)
    ('14:05', '14:05')
    >>> writing("en", "letter").time(at).replace("\u202f", " ")
    '2:05 PM'
    """
    name = locale.replace("-", "_") or usual_place(language, paper)
    try:
        known = Locale.parse(name)
    except (UnknownLocaleError, ValueError):
        known = None
    if known is None or known.language != language:
        fault = Fault(
            where="experiment.toml, key course.locale",
            found=repr(locale),
            allowed=f"a place where the sheets' language ({language}) is written",
            do=f"For example {usual_place(language, 'a4')}, or leave it out.",
        )
        raise InputError([fault])
    style = numbers.PRINT.with_decimal(get_decimal_symbol(name))
    return Writing(Words(language, name, style), name, style)


def course_writing(experiment: Experiment, paper: str = "a4") -> Writing:
    """Return how things are written in the course of an experiment.

    Parameters
    ----------
    experiment : Experiment
    paper : str
    """
    course = experiment.preparation.course
    return writing(course.language, paper, course.locale)


ENGLISH: Final = writing("en")
"""How the program speaks where nobody says otherwise."""
