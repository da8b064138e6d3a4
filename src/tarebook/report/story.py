"""What a report says, in words and rounded numbers, before anyone decides how it looks.

The terminal, the paper and the page tell the same story: they set the parts of one `Story`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tarebook.core.quantity import Estimate
from tarebook.reduction.claim import AGREES_WITHIN
from tarebook.reduction.results import ClaimComparison, UsualSeries
from tarebook.report import numbers, typeset
from tarebook.report.alternatives import budget_alt, curve_alt, limiting_alt, liquid_alt
from tarebook.report.cup_tables import open_cups
from tarebook.report.derivation import derivation
from tarebook.report.derivation_lines import Step
from tarebook.report.equipment import Table, constants_table, instruments_table, sources
from tarebook.report.facts import Fact, facts
from tarebook.report.languages.words import words
from tarebook.report.languages.writing import in_english
from tarebook.report.model_story import ModelStory, tell_model
from tarebook.report.next_steps import next_steps
from tarebook.report.not_used import not_used, sentences
from tarebook.report.noticed import Said, say_all, warning
from tarebook.report.numbers import NumberStyle
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
from tarebook.report.standing_words import ABOUT_U


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


ABOUT_BUDGET = (
    "Share of each source in the variance of the content. To know better what stands at the top, "
    "by a better instrument or by measuring it by itself, helps most; at the bottom it changes "
    "nothing."
)


def tell(outcome: Outcome, style: NumberStyle = numbers.PRINT) -> Story:
    """Return what there is to say about an outcome.

    Parameters
    ----------
    outcome : Outcome
    style : NumberStyle
        How the numbers are set.
    """
    experiment, usual = outcome.experiment, outcome.usual
    analyte = typeset.formula(experiment.reaction.analyte)
    model = tell_model(outcome, style)
    series = outcome.series
    claim = series.claim if series else None
    language = experiment.preparation.course.language
    return Story(
        title=experiment.title,
        equation=typeset.equation(experiment.reaction.equation),
        invented=experiment.invented,
        made_on=outcome.made_on,
        headline=(
            _headline(series.sample_mass_fraction, f"{analyte} in the sample", style)
            if series
            else None
        ),
        answer=_answer(outcome, style),
        claim=_claim(claim, style) if claim else "",
        agrees=claim.agrees if claim else None,
        second_way=(
            _second_way(usual.series, style) if usual.series and series is usual.series else ""
        ),
        warning=warning(outcome.findings),
        caveat=_caveat(outcome) if usual.series and series is usual.series else "",
        facts=facts(outcome, style),
        about_u=ABOUT_U,
        about_budget=ABOUT_BUDGET,
        runs=(
            (amounts_table(outcome, style), gas_table(outcome, style))
            if model
            else (runs_table(outcome, style),)
        ),
        open_cups=open_cups(outcome, style),
        next_steps=(
            next_steps(experiment, outcome.stage, in_english(style)) if outcome.handover else ()
        ),
        readings=readings_table(outcome, style, words("en")),
        not_used=sentences(not_used(outcome, in_english(style))),
        findings=say_all(outcome.findings, in_english(style)),
        steps=derivation(outcome, style),
        budget=budget_lines(outcome, style),
        instruments=instruments_table(experiment, style, words("en")),
        constants=constants_table(experiment, style),
        sources=sources(experiment, with_model=model is not None),
        safety_language=language,
        safety_title=words(language)("safety.title"),
        safety=(*cautions_of_gas(experiment), *always(words(language))),
        method=_method(outcome),
        curve_alt=curve_alt(outcome, style),
        limiting_alt=limiting_alt(outcome, style),
        budget_alt=budget_alt(outcome, style),
        liquid_alt=liquid_alt(outcome, style, words("en")),
        model=model,
    )


def _headline(content: Estimate, label: str, style: NumberStyle) -> Headline:
    out = numbers.outward(content)
    value, u = numbers.value_and_u(out.value, out.u, style)
    return Headline(
        label=label,
        value=value,
        u=u,
        unit=out.unit,
        interval=numbers.interval(content, style),
    )


def _answer(outcome: Outcome, style: NumberStyle) -> str:
    experiment, usual = outcome.experiment, outcome.usual
    analyte = typeset.formula(experiment.reaction.analyte)
    name = experiment.sample.name
    series = outcome.series
    if outcome.full.is_withheld:
        return _withheld(outcome, style)
    if series is None:
        why = in_english(style).say(usual.no_series_because)
        return (
            f"This row does not tell how much {analyte} the sample ({name}) holds: "
            f"{why.rstrip('.')}."
        )
    content = numbers.quantity(series.sample_mass_fraction, style)
    return f"We found {content} {analyte} by mass in the sample ({name})."


def _withheld(outcome: Outcome, style: NumberStyle) -> str:
    """Return why no content is stated although one could be worked out."""
    why = in_english(style).say(outcome.full.no_series_because)
    return f"No content is stated: {why.rstrip('.')}."


def _claim(claim: ClaimComparison, style: NumberStyle) -> str:
    said = numbers.quantity(claim.claimed, style)
    apart = numbers.plain(abs(100.0 * claim.difference), 100.0 * claim.u_difference, style)
    sign = "lower" if claim.difference < 0 else "higher"
    times = numbers.fixed(claim.how_many_u, 1, style)
    result = "agrees" if claim.agrees else "does not agree"
    limit = "up to" if claim.agrees else "more than"
    return (
        f"The label says {said}. The result {result} with it: it is {apart} percentage points "
        f"{sign}, which is {times}{style.gap}u of the difference ({limit} 2{style.gap}u counts "
        f"as {'agreement' if claim.agrees else 'disagreement'})."
    )


def _second_way(series: UsualSeries, style: NumberStyle) -> str:
    """Return what the equivalence point says of the content, and whether the plateau agrees."""
    first, second = series.sample_mass_fraction, series.content_from_equivalence
    u = math.hypot(first.u, second.u)
    times = abs(first.value - second.value) / u if u > 0 else 0.0
    apart = f"they are {numbers.fixed(times, 1, style)}{style.gap}u of their difference apart"
    found = numbers.quantity(second, style)
    way = f"A second way, from the equivalence point and the strength of the reagent, gives {found}"
    if times <= AGREES_WITHIN:
        return f"{way}. The two agree: {apart}."
    return (
        f"{way}. The two do not agree: {apart}. The calculation leaves something out, so do not "
        "hold the first result against the label yet."
    )


def _caveat(outcome: Outcome) -> str:
    gas = typeset.formula(outcome.experiment.reaction.gas)
    if outcome.usual.axis.grows == "sample":
        return (
            f"The textbook calculation takes the mass lost for the {gas} made. Gas that all cups "
            "keep alike moves the rising line and leaves its slope; what one cup keeps more than "
            "another the ± counts as an error of each cup. Cups with more sample are colder and "
            "hold more gas below their rim, so the content comes out too low by 1 to 3\u00a0% as a "
            "rule."
        )
    return (
        f"The textbook calculation takes the mass lost for the {gas} made. Gas that stays in the "
        "liquid or in the vessel makes the content come out too low; water vapour that leaves with "
        "the gas makes it come out too high. The ± does not cover these two."
    )


def _method(outcome: Outcome) -> str:
    usual = outcome.usual
    date = f", {outcome.made_on}" if outcome.made_on else ""
    model = "Model of the cup: joint fit. " if outcome.full.series else ""
    rests = rests_on(outcome.source, words("en"))
    return (
        f"Tarebook {outcome.version}{date}. {model}Textbook calculation: {usual.draws} Monte Carlo "
        f"draws, seed {usual.seed}. Definition {outcome.experiment.digest[:8]}.{rests}"
    )
