"""Which runs a result does not use, and why, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from tarebook.core.phrase import Phrase
from tarebook.report import typeset
from tarebook.report.languages.writing import Writing
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results


@dataclass(frozen=True, slots=True)
class NotUsed:
    """Why a result does not use a run.

    Attributes
    ----------
    run : str
    who : str
        The results that do not, as the beginning of a sentence.
    why : str
    but : str
        A sentence more, or empty.
    """

    run: str
    who: str
    why: str
    but: str = ""


def not_used(outcome: Outcome, how: Writing) -> Iterator[NotUsed]:
    """Yield each run that a result does not use, and why."""
    fitted = outcome.full.series is not None
    for result in run_results(outcome):
        run, usual = result.run, result.usual
        if usual is None:
            why = _in_words(result.why_not_usual, how)
            if result.full is not None:
                yield NotUsed(run, "The textbook calculation cannot use", why, "The model can.")
            else:
                yield NotUsed(run, "No result uses", why)
        elif usual.not_in_fit is not None:
            why = _in_words(usual.not_in_fit, how)
            neither = fitted and result.full is None
            who = (
                "Neither the two lines nor the model use" if neither else "The two lines do not use"
            )
            yield NotUsed(run, who, why)
        elif fitted and result.full is None:
            yield NotUsed(run, "The model does not use", _in_words(result.why_not_full, how))


def sentences(found: Iterable[NotUsed]) -> tuple[str, ...]:
    """Return the sentences; runs that are left out alike share one."""
    alike: dict[NotUsed, list[str]] = {}
    for each in found:
        alike.setdefault(replace(each, run=""), []).append(each.run)
    return tuple(sentence(said, runs) for said, runs in alike.items())


def sentence(said: NotUsed, runs: Sequence[str]) -> str:
    """Return what is said of runs that are left out alike."""
    which = f"runs {typeset.listed(runs)}" if len(runs) > 1 else f"run {runs[0]}"
    return f"{said.who} {which}: {said.why}. {said.but}".rstrip()


def _in_words(why: Phrase | None, how: Writing) -> str:
    """Return a reason as the end of a sentence that has named the run."""
    return how.say(why).rstrip(".")
