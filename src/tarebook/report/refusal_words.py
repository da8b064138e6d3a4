"""Refusals of a wished row in words; whoever shows them says what each wish is called there."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from tarebook.core.errors import OutOfRangeError
from tarebook.core.units import millilitres
from tarebook.planning.refusals import (
    Amount,
    BetweenPieces,
    BetweenSteps,
    BeyondModel,
    ImpossibleWishError,
    ModelEnds,
    Nearest,
    NoAmount,
    NoRoomForWater,
    NoSuchSolution,
    NotMeasurable,
    OutOfReach,
    PlanBeyondModelError,
    Reason,
    SampleGrows,
    Stopped,
    StrongerThanBottle,
    TooFewRuns,
    TooManyRuns,
    VesselTooSmall,
    Wished,
)
from tarebook.report.typeset import listed

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
    return f"{_as_typed(amount.of, amount.value):g}"


def refusal_in_words(error: ImpossibleWishError | PlanBeyondModelError, called: Called) -> str:
    """Return why a row cannot be had, and what can.

    Parameters
    ----------
    error : ImpossibleWishError or PlanBeyondModelError
    called : callable of Amount
        The name of a wish and its number, as the reader knows them.

    Examples
    --------
    >>> many, most = (Amount(of=Wished.N_RUNS, value=n) for n in (80, 60))
    >>> error = ImpossibleWishError([many], TooManyRuns(most=60), Nearest(amounts=(most,)))
    >>> refusal_in_words(error, lambda amount: f"runs {number_typed(amount)}")
    'runs 80 cannot be had: a row of more than 60 cannot be laid out. Use runs 60.'
    """
    if isinstance(error, ImpossibleWishError):
        wished = listed(called(amount) for amount in error.wished)
        because = _because(error.because, error.wished[0].of)
        return f"{wished} cannot be had: {because}. {_instead(error, called)}".rstrip()
    first = " ".join(advice.message for advice in error.first)
    cups = f" in {'cup' if len(error.runs) == 1 else 'cups'} {', '.join(error.runs)}"
    nearest = "Ask for less." if error.nearest is None else _works_instead(error.nearest, called)
    text = (
        f"{first} This row cannot be judged{cups if error.runs else ''}: "
        f"{beyond_model(error.because)}. {nearest}"
    )
    return text.strip()


def beyond_model(because: ModelEnds) -> str:
    """Return where the model ends, as a clause.

    Parameters
    ----------
    because : ModelEnds
    """
    if isinstance(because, NoRoomForWater):
        return "so strong a stock leaves no room for water: there is no such solution"
    error = because.error
    where = (
        f"{error.found} is outside {error.allowed}"
        if isinstance(error, OutOfRangeError)
        else str(error).rstrip(".")
    )
    return f"the solution is beyond what the model of the cup holds for ({where})"


def clause(message: str) -> str:
    """Return the sentence of a finding as a part of another.

    Examples
    --------
    >>> clause("No cup loses more than 2 g.")
    'no cup loses more than 2 g'
    """
    text = message.rstrip(".")
    return text[0].lower() + text[1:]


def _because(reason: Reason, of: Wished) -> str:
    """Return why a wish cannot be had, as a clause."""
    match reason:
        case SampleGrows():
            return "a row in which the sample grows is not laid out by wishes"
        case TooFewRuns():
            return "fewer than two runs on either side show no equivalence point"
        case TooManyRuns():
            return f"a row of more than {reason.most} cannot be laid out"
        case NoAmount():
            least, most = (_as_typed(of, end) for end in (reason.least, reason.most))
            return f"it must be a number above zero, from {least:g} to {most:.0f} {UNITS[of]}"
        case NoSuchSolution():
            return f"no solution of {reason.reagent} holds more than {reason.strongest:.3g} mol/L"
        case StrongerThanBottle():
            bottle = reason.bottle or "what the stock is made from"
            return f"{bottle} holds {reason.strength:.3g} mol/L, and it can only be diluted"
        case BetweenSteps():
            return f"the {reason.balance} shows no such mass"
        case BetweenPieces():
            return (
                f"a piece weighs about {reason.piece:g} g, and a portion is a whole number of "
                f"{reason.part:g} g"
            )
        case VesselTooSmall():
            return f"the {reason.vessel} holds {_mL(reason.capacity)}"
        case NotMeasurable():
            ware = listed(f"the {name}" for name in reason.ware)
            return (
                f"with {ware} a row of {reason.n_runs} different pours to {_mL(reason.total)} "
                "cannot be measured"
            )
        case Stopped():
            return clause(reason.advice.message)
        case BeyondModel() | NoRoomForWater():
            return beyond_model(reason)
        case OutOfReach():
            return (
                f"the equivalence point lies at {millilitres(reason.low):.3g} to "
                f"{millilitres(reason.high):.3g} mL of reagent, and with this ware and "
                f"{_mL(reason.total)} in all a row can go from {millilitres(reason.first):g} to "
                f"{_mL(reason.last)}, with at least two runs on either side"
            )


def _instead(error: ImpossibleWishError, called: Called) -> str:
    """Return what to do instead, as a sentence; empty where any amount would do."""
    match error.because:
        case NoAmount():
            return ""
        case SampleGrows():
            return "Change sample_g in the definition."
        case TooFewRuns() | TooManyRuns():
            return f"Use {', or '.join(called(amount) for amount in error.nearest.amounts)}."
        case _:
            return _works_instead(error.nearest, called)


def _works_instead(nearest: Nearest, called: Called) -> str:
    if not nearest.amounts:
        return "No single other amount mends it; change two at once."
    rest = ", all else as in the definition" if nearest.all_else_as_defined else ""
    amounts = ", or ".join(called(amount) for amount in nearest.amounts)
    return f"Works instead{rest} (checked with the model): {amounts}."


def _as_typed(of: Wished, value: float) -> float:
    return millilitres(value) if of is Wished.TOTAL_VOLUME else value


def _mL(volume: float) -> str:  # noqa: N802 - the unit is part of the name
    return f"{millilitres(volume):g} mL"
