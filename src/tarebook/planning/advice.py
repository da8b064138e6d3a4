"""What is wrong with a plan and what to do about it; pure values, worded for a reader."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Severity: TypeAlias = Literal["stop", "look", "note"]
RemedyKind: TypeAlias = Literal["stock", "sample", "row", "balance", "vessel"]

ORDER: Mapping[str, int] = {"stop": 0, "look": 1, "note": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A change that makes a plan work; the same model has checked that it does.

    Attributes
    ----------
    kind : {"stock", "sample", "row", "balance", "vessel"}
    words : str
        The change, as the end of a sentence that begins with "use".
    value : float
        The new amount in its memory unit; the step of an even row.
    equivalence : float, [L]
        Where the equivalence point then lies.
    """

    kind: RemedyKind
    words: str
    value: float
    equivalence: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One thing that a look at the plan found.

    Attributes
    ----------
    code : str
        The heading under which the documentation explains it.
    severity : {"stop", "look", "note"}
    message, do : str
    run : str
        Empty for the whole row.
    evidence : mapping of str to float or str
        Names carry their unit.
    remedies : tuple of Remedy
    """

    code: str
    severity: Severity
    message: str
    do: str
    run: str = ""
    evidence: Mapping[str, float | str] = field(default_factory=dict)
    remedies: tuple[Remedy, ...] = ()


def most_severe_first(advices: Iterable[Advice]) -> tuple[Advice, ...]:
    """Return advices by severity, those of one severity in the order they were given."""
    return tuple(sorted(advices, key=lambda advice: ORDER[advice.severity]))
