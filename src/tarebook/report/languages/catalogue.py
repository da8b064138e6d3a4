"""The sentences of one language, and how phrases become text: the only place where they do.

The messages are in Project Fluent's format: one folder a language, one file a subject. A message
chooses its own plural and its own wording for what it is about; numbers come to it raw and are set
by the functions below.

References
----------
.. [1] Project Fluent, Fluent Syntax 1.0 (2019).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import cache, partial
from importlib import resources
from typing import Any, Final

from babel import Locale
from babel.lists import format_list
from fluent.runtime import FluentBundle, FluentResource, resolver
from fluent.runtime.types import FluentType, fluent_number

from tarebook.core.phrase import Phrase, Value
from tarebook.core.quantity import Estimate, Measured
from tarebook.records.readings import QUANTITY_OF_COLUMN
from tarebook.report import numbers
from tarebook.report.numbers import NumberStyle

OF_FINDINGS: Final = ("names", "findings", "reasons", "slips", "plan", "at_the_bench")
"""Files whose messages have the codes of findings and reasons for keys, in the order in which they
are looked through. Every other key begins with the name of its file. A file is read when it is
first needed, since reading takes time."""

USUAL_DIGITS: Final = 3

resolver.MAX_PART_LENGTH = 1_000_000
# The runtime refuses longer parts (2500), against catalogues by strangers that fill the memory.
# Ours is our own, and what people type into it, notes above all, is bounded where it is taken.


class MissingTextError(KeyError):
    """A language lacks a sentence, or a sentence a value: a fault of the program."""


class _Number(float, FluentType):
    """A number; a message sets it with a function, else it has three digits."""

    style: NumberStyle

    @classmethod
    def of(cls, value: float, style: NumberStyle) -> _Number:
        """Return a number with the style in which it is set."""
        number = cls(value)
        number.style = style
        return number

    def format(self, locale: Locale) -> str:  # noqa: ARG002 (Fluent's own signature)
        return numbers.rounded(self, USUAL_DIGITS, self.style)


@dataclass(frozen=True, slots=True)
class _WithU(FluentType):
    """A value with its uncertainty, in bench units."""

    quantity: Estimate | Measured
    style: NumberStyle
    not_known: str

    def format(self, locale: Locale) -> str:  # noqa: ARG002
        return numbers.quantity(self.quantity, self.style, self.not_known)


@dataclass(frozen=True, slots=True)
class _Several(FluentType):
    """Several things; "a, b and c" unless a function sets them otherwise."""

    texts: tuple[str, ...]

    def format(self, locale: Locale) -> str:
        return format_list(self.texts, "standard", locale)


class Catalogue:
    """What is said in one language, with numbers written in one style.

    Parameters
    ----------
    language : str
        One of the folders beside this file.
    locale : str
        The place, for plurals and lists, such as ``"en_GB"``.
    style : NumberStyle
    """

    def __init__(self, language: str, locale: str, style: NumberStyle) -> None:
        self.style, self.locale = style, Locale.parse(locale)
        self._language, self._read = language, set[str]()
        self._bundle = FluentBundle(
            [locale.replace("_", "-")], functions=self._functions(), use_isolating=False
        )

    def __call__(self, phrase: Phrase) -> str:
        """Return a phrase as text.

        Raises
        ------
        MissingTextError
            If there is no such message, or one of its values was not given.
        """
        return self._said(phrase, "")

    def also(self, phrase: Phrase, attribute: str) -> str:
        """Return another text of the same message, such as what to ``do``; empty if it has none."""
        return (
            self._said(phrase, attribute) if attribute in self._find(phrase.key).attributes else ""
        )

    def _said(self, phrase: Phrase, attribute: str) -> str:
        message = self._find(phrase.key)
        pattern = message.attributes[attribute] if attribute else message.value
        if pattern is None:
            raise MissingTextError(phrase.key)
        values = {_name(name): self._fluent(value) for name, value in phrase.values.items()}
        text, errors = self._bundle.format_pattern(pattern, values)
        if errors:
            raise MissingTextError(f"{phrase.key} ({self._language}): {errors[0]}")
        return str(text)

    def has(self, key: str) -> bool:
        """Return whether there is a message with this key."""
        if self._bundle.has_message(key):
            return True
        for subject in (key.partition("-")[0], *OF_FINDINGS):
            if subject in subjects(self._language) and subject not in self._read:
                # Another thread may read the same file meanwhile: marked before, it seems read.
                self._bundle.add_resource(_resource(self._language, subject))
                self._read.add(subject)
                if self._bundle.has_message(key):
                    return True
        return self._bundle.has_message(key)

    def _find(self, key: str) -> Any:
        if not self.has(key):
            raise MissingTextError(f"no message {key!r} in {self._language}")
        return self._bundle.get_message(key)

    def _fluent(self, value: Value) -> Any:
        """Return a value as a message can use it."""
        if isinstance(value, Phrase):
            return self(value)
        if isinstance(value, Enum):
            return str(value.value)
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, str):
            return value
        if isinstance(value, int):
            return fluent_number(value, useGrouping=False)
        if isinstance(value, float):
            return _Number.of(value, self.style)
        if isinstance(value, tuple):
            return _Several(tuple(self._text(each) for each in value))
        return _WithU(value, self.style, self(Phrase("numbers-not_known")))

    def _text(self, value: Value) -> str:
        made = self._fluent(value)
        return made.format(self.locale) if isinstance(made, FluentType) else str(made)

    def _functions(self) -> dict[str, Callable[..., Any]]:
        style = self.style
        return {
            "SIG": partial(_digits, style),
            "FIX": partial(_decimals, style),
            "PERCENT": partial(_percent, style),
            "CHANCE": partial(_chance, style),
            "PM": partial(_plus_minus, style),
            "ANY": partial(_joined, self.locale, "or"),
            "EACH": lambda several: "; ".join(_texts(several)),
            "READING": partial(_reading, style),
            "RANGE": self._range,
            "NAME": self._name_of,
        }

    def _range(self, low: Any, high: Any, column: Any) -> str:
        """Return two numbers as typed, from one to the other; one alone if they are the same."""
        if low == high:
            return _reading(self.style, low, column)
        mark = self.style.decimal
        ends = {"low": str(low).replace(".", mark), "high": str(high).replace(".", mark)}
        unit = QUANTITY_OF_COLUMN[str(column)].unit
        return numbers.with_unit(self(Phrase("from-to", ends)), unit, self.style)

    def _name_of(self, kind: Any, of: Any) -> str:
        """Return the name of one of a set: NAME("quantity", $quantity)."""
        if isinstance(of, _Several):
            return _Several(tuple(self._name_of(kind, each) for each in of.texts)).format(
                self.locale
            )
        return self(Phrase(f"{kind}-{of}"))


def _name(name: str) -> str:
    """Return the name of a value as a message can have it."""
    return name.replace("/", "_per_").replace("%", "percent").replace("°", "")


def _texts(several: Any) -> tuple[str, ...]:
    return several.texts if isinstance(several, _Several) else (str(several),)


def _joined(locale: Locale, how: str, several: Any) -> str:
    return format_list(_texts(several), how, locale)  # type: ignore[arg-type]


def _digits(style: NumberStyle, number: Any, digits: int = USUAL_DIGITS, unit: str = "") -> str:
    return numbers.with_unit(numbers.rounded(float(number), int(digits), style), unit, style)


def _decimals(style: NumberStyle, number: Any, decimals: int = 2, unit: str = "") -> str:
    return numbers.with_unit(numbers.fixed(float(number), int(decimals), style), unit, style)


def _percent(style: NumberStyle, part: Any, digits: int = USUAL_DIGITS) -> str:
    return numbers.with_unit(numbers.rounded(100.0 * float(part), int(digits), style), "%", style)


def _chance(style: NumberStyle, part: Any) -> str:
    return numbers.probability(float(part), style)


def _plus_minus(style: NumberStyle, value: Any, u: Any, unit: str = "") -> str:
    return numbers.with_unit(numbers.plus_minus(float(value), float(u), style), unit, style)


def _reading(style: NumberStyle, typed: Any, column: Any) -> str:
    """Return a number as it was typed, with the decimal mark of the place and its unit."""
    unit = QUANTITY_OF_COLUMN[str(column)].unit
    return numbers.with_unit(str(typed).replace(".", style.decimal), unit, style)


@cache
def catalogue(language: str, locale: str, style: NumberStyle) -> Catalogue:
    """Return what is said in a language; kept, since reading it takes time."""
    return Catalogue(language, locale, style)


@cache
def _resource(language: str, subject: str) -> Any:
    folder = resources.files(__package__) / language
    return FluentResource((folder / f"{subject}.ftl").read_text(encoding="utf-8"))


@cache
def subjects(language: str) -> frozenset[str]:
    """Return the names of the files of a language."""
    folder = resources.files(__package__) / language
    names = (file.name.partition(".") for file in folder.iterdir())
    return frozenset(name for name, _, ending in names if ending == "ftl")
