"""The texts of one language for whatever is made of them: sheets, labels, headings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from tarebook.core.phrase import Phrase, Value
from tarebook.report import numbers
from tarebook.report.languages.catalogue import Catalogue, catalogue
from tarebook.report.languages.known import LANGUAGES
from tarebook.report.numbers import NumberStyle

_PARTS: Final = str.maketrans({".": "-", " ": "_", "+": "_"})


def phrase(key: str, values: Mapping[str, Value]) -> Phrase:
    """Return a phrase by the key that `Words` takes."""
    return Phrase(key.translate(_PARTS), values)


@dataclass(frozen=True, slots=True)
class Words:
    """All texts of a language.

    Attributes
    ----------
    language : str
    locale : str
        The place, such as ``"en_GB"``; empty where only its language is known.
    style : NumberStyle
        In which numbers are set that a text itself holds.
    """

    language: str
    locale: str = ""
    style: NumberStyle = numbers.PRINT

    def __call__(self, key: str, **values: Value) -> str:
        """Return a text with its places filled.

        Parameters
        ----------
        key : str
            ``"file.key"``; spaces in it stand for underscores.
        **values
            For the places; more may be given than the text has.

        Raises
        ------
        MissingTextError
            If there is no such text, or a place has no value: a fault of the program.

        Examples
        --------
        >>> words("de")("bench.stand", vessel="Becher")
        'Hier abstellen: Becher'
        """
        return self._catalogue(phrase(key, values))

    def has(self, key: str) -> bool:
        """Return whether there is such a text."""
        return self._catalogue.has(key.translate(_PARTS))

    @property
    def _catalogue(self) -> Catalogue:
        return catalogue(self.language, self.locale or self.language, self.style)


@cache
def words(language: str) -> Words:
    """Return the texts of a language.

    Parameters
    ----------
    language : str
        One of `LANGUAGES`.
    """
    return Words(language)


def language_names() -> dict[str, str]:
    """Return every language with what it calls itself, by its code.

    Examples
    --------
    >>> language_names()["de"]
    'Deutsch'
    """
    return {language: words(language)("language.name") for language in LANGUAGES}
