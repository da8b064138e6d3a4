"""Which runs a result does not use, and why, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from tarebook.core.phrase import Phrase
from tarebook.report.languages.writing import Writing
from tarebook.report.noticed import runs_named
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results


@dataclass(frozen=True, slots=True)
class NotUsed:
    """Why a result does not use a run.

    Attributes
    ----------
    run : str
    who : {"none", "textbook", "both", "lines", "model"}
        The results that do not.
    why : str
    """

    run: str
    who: Literal["none", "textbook", "both", "lines", "model"]
    why: str


def not_used(outcome: Outcome, how: Writing) -> Iterator[NotUsed]:
    """Yield each run that a result does not use, and why."""
    fitted = outcome.full.series is not None
    for result in run_results(outcome):
        run, usual = result.run, result.usual
        if usual is None:
            why = _in_words(result.why_not_usual, how)
            yield NotUsed(run, "none" if result.full is None else "textbook", why)
        elif usual.not_in_fit is not None:
            why = _in_words(usual.not_in_fit, how)
            yield NotUsed(run, "both" if fitted and result.full is None else "lines", why)
        elif fitted and result.full is None:
            yield NotUsed(run, "model", _in_words(result.why_not_full, how))


def sentences(found: Iterable[NotUsed], how: Writing) -> tuple[str, ...]:
    """Return the sentences; runs that are left out alike share one."""
    alike: dict[NotUsed, list[str]] = {}
    for each in found:
        alike.setdefault(replace(each, run=""), []).append(each.run)
    return tuple(sentence(said, tuple(runs), how) for said, runs in alike.items())


def sentence(said: NotUsed, runs: tuple[str, ...], how: Writing) -> str:
    """Return what is said of runs that are left out alike."""
    return how(f"report.unused_{said.who}", runs=runs_named(runs, how), why=said.why)


def _in_words(why: Phrase | None, how: Writing) -> str:
    """Return a reason as the end of a sentence that has named the run."""
    return how.say(why).rstrip(".")
