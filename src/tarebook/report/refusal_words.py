"""Refusals of a wished row in words; whoever shows them says what each wish is called there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeAlias

from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.planning.refusals import (
    Amount,
    ImpossibleWishError,
    Nearest,
    PlanBeyondModelError,
    Wished,
)
from tarebook.report.languages.writing import Writing, in_files

Called: TypeAlias = Callable[[Amount], str]
"""What an amount is called where it is shown, with its number."""

UNITS = {
    Wished.TOTAL_VOLUME: "mL",
    Wished.N_RUNS: "",
    Wished.SAMPLE_MASS: "g",
    Wished.STOCK: "mol/L",
}
"""Units in which each wish is typed."""


def number_typed(amount: Amount) -> str:
    """Return the number of an amount as it is typed.

    Examples
    --------
    >>> number_typed(Amount(of=Wished.TOTAL_VOLUME, value=0.04))
    '40'
    """
    if amount.of is Wished.N_RUNS:
        return str(int(amount.value))
    value = millilitres(amount.value) if amount.of is Wished.TOTAL_VOLUME else amount.value
    return f"{value:g}"


def refusal_in_words(
    error: ImpossibleWishError | PlanBeyondModelError, called: Called, how: Writing | None = None
) -> str:
    """Return why a row is not possible, and what is.

    Parameters
    ----------
    error : ImpossibleWishError or PlanBeyondModelError
    called : callable of Amount
        The name of a wish and its number, as the reader knows them.
    how : Writing, optional
        Plain English if it is not given.

    Examples
    --------
    >>> many, most = (Amount(of=Wished.N_RUNS, value=n) for n in (80, 60))
    >>> because = Phrase.of("refusal-too-many-runs", most=60)
    >>> nearest = Nearest(amounts=(most,), checked=False)
    >>> error = ImpossibleWishError([many], because, nearest)
    >>> refusal_in_words(error, lambda amount: f"runs {number_typed(amount)}")
    'runs 80 is not possible. A row can have at most 60 runs. Use runs 60.'
    """
    how = how or in_files()
    if isinstance(error, ImpossibleWishError):
        phrases = _of_wish(error, called)
    else:
        phrases = _of_row(error, called)
    return " ".join(how.say(phrase) for phrase in phrases)


def _of_wish(error: ImpossibleWishError, called: Called) -> Iterator[Phrase]:
    wished = tuple(called(amount) for amount in error.wished)
    yield Phrase.of("refusal-wish", n=len(wished), wished=wished)
    yield error.because
    if error.nearest is not None:
        yield _instead(error.nearest, called)


def _of_row(error: PlanBeyondModelError, called: Called) -> Iterator[Phrase]:
    yield from (finding.phrase for finding in error.first)
    yield Phrase.of("refusal-row", n=len(error.runs), runs=error.runs)
    yield error.because
    if error.nearest is None:
        yield Phrase.of("refusal-ask-for-less")
    else:
        yield _instead(error.nearest, called)


def _instead(nearest: Nearest, called: Called) -> Phrase:
    """Return what works instead."""
    if not nearest.amounts:
        return Phrase.of("refusal-nothing-near")
    return Phrase.of(
        "refusal-instead",
        amounts=tuple(called(amount) for amount in nearest.amounts),
        checked=nearest.checked,
        as_defined=nearest.all_else_as_defined,
    )
