"""The texts of one language."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

LANGUAGES = ("en", "de")
"""Languages with a complete file."""


@dataclass(frozen=True, slots=True)
class Words:
    """All texts of a language.

    Attributes
    ----------
    language : str
    texts : mapping of str to str
        ``"table.key"`` to text with ``{places}``.
    """

    language: str
    texts: Mapping[str, str]

    def __call__(self, key: str, **values: object) -> str:
        """Return a text with its places filled.

        Parameters
        ----------
        key : str
            ``"table.key"``; spaces in it stand for underscores.
        **values
            For the places; more may be given than the text has.

        Raises
        ------
        KeyError
            If there is no such text, or a place has no value: a fault of the program.

        Examples
        --------
        >>> words("de")("bench.stand", vessel="Becher")
        'Hier abstellen: Becher'
        """
        return self.texts[key.replace(" ", "_")].format(**values)


@cache
def words(language: str) -> Words:
    """Return the texts of a language.

    Parameters
    ----------
    language : str
        One of `LANGUAGES`.
    """
    text = (resources.files(__package__) / f"{language}.toml").read_text(encoding="utf-8")
    return Words(language, _flat(tomllib.loads(text)))


def _flat(table: Mapping[str, Any]) -> dict[str, str]:
    return {
        f"{name}.{key}": text for name, entries in table.items() for key, text in entries.items()
    }
