"""What a report says, in words and rounded numbers, before anyone decides how it looks.

The terminal, the paper and the page tell the same story: they set the parts of one `Story`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tarebook.core.quantity import Estimate
from tarebook.reduction.claim import AGREES_WITHIN
from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.results import ClaimComparison, UsualSeries
from tarebook.report import numbers, typeset
from tarebook.report.alternatives import budget_alt, curve_alt, limiting_alt, liquid_alt
from tarebook.report.cup_tables import open_cups
from tarebook.report.derivation import derivation
from tarebook.report.derivation_lines import Step
from tarebook.report.equipment import Table, constants_table, instruments_table, sources
from tarebook.report.facts import Fact, facts
from tarebook.report.languages.words import words
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.model_story import ModelStory, tell_model
from tarebook.report.next_steps import next_steps
from tarebook.report.not_used import not_used, sentences
from tarebook.report.noticed import Said, say_all, warning
from tarebook.report.outcome import Outcome
from tarebook.report.rests_on import rests_on
from tarebook.report.run_tables import (
    amounts_table,
    gas_table,
    readings_table,
    runs_table,
)
from tarebook.report.shares import Share, budget_lines
from tarebook.report.sheets.cautions import always, cautions_of_gas


@dataclass(frozen=True, slots=True, kw_only=True)
class Headline:
    """The main result, taken apart for large type.

    Attributes
    ----------
    label : str
        What the number is.
    value, u, unit : str
    interval : str
        The 95 % interval with its unit.
    """

    label: str
    value: str
    u: str
    unit: str
    interval: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """Everything a report says, in the order in which it says it.

    Attributes
    ----------
    language : str
        Such as ``"en"``.
    said : mapping of str to str
        What stands over the parts, and the like.
    invented : str
        Not empty if the data are invented; stands on every page.
    headline : Headline or None
        None if the series has no result; `answer` then says why.
    claim, second_way, warning, caveat, about_u, about_budget, method : str
        Sentences; `claim` is empty if nothing is claimed, `warning` if no finding says stop,
        `second_way` and `caveat` where the model of the cup has the answer.
    agrees : bool or None
        Whether result and claim agree; None if there is no claim or no result.
    runs : tuple of Table
    not_used : tuple of str
        One sentence for each run that a result does not use.
    open_cups : tuple of Table
        What is in the cups that were begun and are not finished, and what to expect of them.
    next_steps : tuple of str
        What is still to be done; none where every cup is finished.
    model : ModelStory or None
        What the model of the cup adds; None where only the textbook calculation speaks.
    """

    language: str
    said: Mapping[str, str]
    title: str
    equation: str
    invented: str
    made_on: str
    headline: Headline | None
    answer: str
    claim: str
    agrees: bool | None
    second_way: str
    warning: str
    caveat: str
    facts: tuple[Fact, ...]
    about_u: str
    about_budget: str
    runs: tuple[Table, ...]
    open_cups: tuple[Table, ...]
    next_steps: tuple[str, ...]
    readings: Table
    not_used: tuple[str, ...]
    findings: tuple[Said, ...]
    steps: tuple[Step, ...]
    budget: tuple[Share, ...]
    instruments: Table
    constants: Table
    sources: tuple[str, ...]
    safety_language: str
    safety_title: str
    safety: tuple[str, ...]
    method: str
    curve_alt: str
    limiting_alt: str
    budget_alt: str
    liquid_alt: str
    model: ModelStory | None


TITLES: Final = (
    "answer", "waterfall", "runs", "open", "beside", "model", "fit", "worst", "taught", "budget",
    "how", "constants", "sources",
)  # fmt: skip
OF_HANDOVER: Final = (
    "next", "noticed", "liquid", "liquid_note", "readings", "instruments", "invented", "table",
)  # fmt: skip
"""What stands over the parts of a report, and the like; the latter as on the page of a row that is
not finished."""


def tell(outcome: Outcome, how: Writing | None = None) -> Story:
    """Return what there is to say about an outcome.

    Parameters
    ----------
    outcome : Outcome
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    how = how or course_writing(outcome.experiment)
    experiment, usual, series = outcome.experiment, outcome.usual, outcome.series
    model, steps = tell_model(outcome, how), derivation(outcome, how)
    claim = series.claim if series else None
    by_lines = usual.series if series is usual.series else None
    language = experiment.preparation.course.language
    return Story(
        language=how.words.language,
        said=_titles(how, series, len(steps), len(model.steps) if model else 0),
        title=experiment.title,
        equation=typeset.equation(experiment.reaction.equation),
        invented=experiment.invented,
        made_on=outcome.made_on,
        headline=_headline(outcome, series.sample_mass_fraction, how) if series else None,
        answer=_answer(outcome, how),
        claim=_claim(claim, how) if claim else "",
        agrees=claim.agrees if claim else None,
        second_way=_second_way(by_lines, how) if by_lines else "",
        warning=warning(outcome.findings, how),
        caveat=_caveat(outcome, how) if by_lines else "",
        facts=facts(outcome, how),
        about_u=how("handover.about_u"),
        about_budget=how("report.about_budget"),
        runs=(
            (amounts_table(outcome, how), gas_table(outcome, how))
            if model
            else (runs_table(outcome, how),)
        ),
        open_cups=open_cups(outcome, how),
        next_steps=next_steps(experiment, outcome.stage, how) if outcome.handover else (),
        readings=readings_table(outcome, how),
        not_used=sentences(not_used(outcome, how), how),
        findings=say_all(outcome.findings, how),
        steps=steps,
        budget=budget_lines(outcome, how),
        instruments=instruments_table(experiment, how),
        constants=constants_table(experiment, how),
        sources=sources(experiment, how, with_model=model is not None),
        safety_language=language,
        safety_title=words(language)("safety.title"),
        safety=(*cautions_of_gas(experiment), *always(words(language))),
        method=_method(outcome, how),
        curve_alt=curve_alt(outcome, how),
        limiting_alt=limiting_alt(outcome, how),
        budget_alt=budget_alt(outcome, how),
        liquid_alt=liquid_alt(outcome, how),
        model=model,
    )


def _titles(
    how: Writing, series: UsualSeries | FullSeries | None, n_usual: int, n_model: int
) -> dict[str, str]:
    said = {name: how(f"report.title_{name}") for name in TITLES}
    said |= {name: how(f"handover.{name}") for name in OF_HANDOVER}
    said |= {"page": how("sheet.page"), "of": how("sheet.of")}
    said["nothing_odd"] = how("report.nothing_odd")
    said["equivalence"] = how("report.fact_equivalence")
    said["steps_note"] = how("report.steps_note", first=n_usual, last=n_model)
    content = series.sample_mass_fraction if series else None
    interval = how.interval(content) if content else ""
    said["interval"] = how("report.title_interval", interval=interval)
    return said


def _headline(outcome: Outcome, content: Estimate, how: Writing) -> Headline:
    out = numbers.outward(content)
    value, u = numbers.value_and_u(out.value, out.u, how.style)
    analyte = typeset.formula(outcome.experiment.reaction.analyte)
    return Headline(
        label=how("report.content_label", analyte=analyte),
        value=value,
        u=u,
        unit=out.unit,
        interval=how.interval(content),
    )


def _answer(outcome: Outcome, how: Writing) -> str:
    experiment, usual, series = outcome.experiment, outcome.usual, outcome.series
    analyte, name = typeset.formula(experiment.reaction.analyte), experiment.sample.name
    if outcome.full.is_withheld:
        why = how.say(outcome.full.no_series_because)
        return how("report.withheld", why=why.rstrip("."))
    if series is None:
        why = how.say(usual.no_series_because)
        return how("report.answer_open", analyte=analyte, name=name, why=why.rstrip("."))
    return how("report.answer", content=series.sample_mass_fraction, analyte=analyte, name=name)


def _claim(claim: ClaimComparison, how: Writing) -> str:
    style = how.style
    return how(
        "report.claim",
        said=claim.claimed,
        apart=numbers.plain(abs(100.0 * claim.difference), 100.0 * claim.u_difference, style),
        way="lower" if claim.difference < 0 else "higher",
        times=numbers.with_unit(numbers.fixed(claim.how_many_u, 1, style), "u", style),
        limit=numbers.with_unit("2", "u", style),
        agrees=claim.agrees,
    )


def _second_way(series: UsualSeries, how: Writing) -> str:
    """Return what the equivalence point says of the content, and whether the plateau agrees."""
    first, second = series.sample_mass_fraction, series.content_from_equivalence
    u = math.hypot(first.u, second.u)
    times = abs(first.value - second.value) / u if u > 0 else 0.0
    return how(
        "report.second_way",
        found=second,
        times=numbers.with_unit(numbers.fixed(times, 1, how.style), "u", how.style),
        agree=times <= AGREES_WITHIN,
    )


def _caveat(outcome: Outcome, how: Writing) -> str:
    gas = typeset.formula(outcome.experiment.reaction.gas)
    return how("report.caveat", gas=gas, grows=outcome.usual.axis.grows)


def _method(outcome: Outcome, how: Writing) -> str:
    usual = outcome.usual
    date = f", {outcome.made_on}" if outcome.made_on else ""
    said = (
        how("report.method", version=outcome.version, date=date),
        how("report.method_model") if outcome.full.series else "",
        how(
            "report.method_usual",
            draws=usual.draws,
            seed=usual.seed,
            digest=outcome.experiment.digest[:8],
        ),
    )
    return f"{' '.join(filter(None, said))}{rests_on(outcome.source, how.words)}"
