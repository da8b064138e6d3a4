"""What the command line calls what it is asked for, and an error in its words."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from tarebook import api

WISHES: Final = {
    api.Wished.TOTAL_VOLUME: "--total-mL",
    api.Wished.N_RUNS: "--runs",
    api.Wished.SAMPLE_MASS: "--sample-g",
    api.Wished.STOCK: "--stock-mol-per-L",
}
"""The option of each wish of a row; each names its unit."""

OPTIONS: Final = {
    api.AskedFor.ADDRESS: "--address",
    api.AskedFor.BALANCES: "--balances",
    api.AskedFor.DATE: "--date",
    api.AskedFor.DRAWS: "--draws",
    api.AskedFor.EVERY_GROUP: "--every-group",
    api.AskedFor.EXAMPLE: "--like",
    api.AskedFor.GROUP: "--group",
    api.AskedFor.GROUPS: "--groups",
    api.AskedFor.LANGUAGE: "--language",
    api.AskedFor.SEED: "--seed",
    api.AskedFor.TIME: "--time",
    api.AskedFor.WHO: "--who",
}
"""The option of everything else that is asked of an action."""


def said(error: api.TarebookError) -> str:
    """Return what an error says, with the names of options where it is about one.

    Parameters
    ----------
    error : TarebookError
    """
    if isinstance(error, api.ImpossibleWishError | api.PlanBeyondModelError):
        return api.refusal_in_words(error, _called)
    if isinstance(error, api.InputError):
        return str(api.InputError(_named(fault) for fault in error.faults))
    return str(error)


def _called(amount: api.Amount) -> str:
    return f"{WISHES[amount.of]} {api.number_typed(amount)}"


def _named(fault: api.Fault) -> api.Fault:
    if isinstance(fault.where, api.AskedFor):
        return replace(fault, where=OPTIONS[fault.where])
    return fault
