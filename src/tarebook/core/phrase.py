"""What there is to say, as data: which sentence of the catalogue, and the values it needs.

Everything below the renderers hands on phrases, never text. `tarebook.report.languages` holds the
sentences, one folder a language.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias, Union

from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Estimate, Measured

Value: TypeAlias = Union[
    bool, int, float, str, Enum, Estimate, Measured, "Phrase", tuple["Value", ...]
]
"""What a sentence may need: a count, a number in the unit that its name says, a name that people
gave, one of a set, a value with its uncertainty, another phrase, or several of these."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A sentence or a part of one, without its words.

    Attributes
    ----------
    key : str
        Of the message in the catalogue.
    values : mapping of str to Value
        Names of numbers carry their unit, as in ``lost_g``.

    Examples
    --------
    >>> Phrase.of("reading-often", times=3).values["times"]
    3
    """

    key: str
    values: Mapping[str, Value] = field(default_factory=dict, hash=False)

    @classmethod
    def of(cls, key: str, **values: Value) -> Phrase:
        """Return a phrase with its values by name."""
        return cls(key, values)


def beyond_range(error: OutOfRangeError) -> Phrase:
    """Return what is out of range, as a phrase."""
    return Phrase.of(
        "out-of-range",
        name=error.name,
        value=float(error.value),
        unit=error.unit,
        allowed=error.allowed,
    )
