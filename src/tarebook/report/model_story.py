"""What the model of the cup says beside the textbook calculation, in words and rounded numbers."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.reduction.joint.results import FullSeries, ReadingResidual
from tarebook.reduction.results import ClaimComparison
from tarebook.report import model_words, numbers, typeset
from tarebook.report.derivation import model_steps
from tarebook.report.derivation_lines import Step
from tarebook.report.equipment import Table
from tarebook.report.languages.writing import in_english
from tarebook.report.model_words import Drop
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome

FAR_OFF = 2.0
"""Standardised misfit from which a reading is named."""

LOOSE = 0.9
"""Above this leverage a reading's expected value only follows the reading itself."""

ALIKE = 0.8
"""Readings of one run that fit as badly as this part of the worst are named with it."""

WORTH_READING = 0.02
"""A reading that takes less than this part off u is not worth a word."""

POOR_P, GOOD_P, TOO_GOOD_P = 0.001, 0.05, 0.999

READINGS = {
    "tare_g": "empty vessel",
    "reagent_mL": "volume of reagent",
    "diluent_mL": "volume of diluent",
    "vessel_liquid_g": "vessel with liquid",
    "sample_g": "sample",
    "final_g": "vessel at the end",
}
"""Readings by their column, in words."""

ABOUT = (
    "The model of the cup follows every run from the pour to the last weighing: what stays behind "
    "in the measuring vessel, what acid and sample do to each other, how much gas stays dissolved "
    "or lies in the vessel, what evaporates, what a balance shows of it all.",
    "It is fitted to all readings of all runs at once, together with what is known beforehand of "
    "the instruments and of the cup.",
    "How it is derived, what it assumes and when not to trust it stands in the documentation, in "
    "the chapter on the model of the cup.",
)
"""What the model is, in three sentences."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelStory:
    """What the model of the cup adds to the story.

    Attributes
    ----------
    about : str
        What the model is.
    usual : str
        The textbook calculation beside it: value, claim, what it leaves out. Empty without one.
    waterfall : tuple of Drop
        From the textbook calculation to the model.
    waterfall_note : str
    steps : tuple of Step
        How the model's numbers were made.
    fit : str
        How well the readings fit.
    interval : str
        How the interval was found, where that needs saying.
    residuals : Table or None
        The readings that fit worst.
    parameters : Table
    lessons : tuple of str
        What the readings did not teach, what they cannot tell apart, what is taken for granted.
    waterfall_alt, ph_alt : str
    """

    about: str
    usual: str
    waterfall: tuple[Drop, ...]
    waterfall_note: str
    steps: tuple[Step, ...]
    fit: str
    interval: str
    residuals: Table | None
    parameters: Table
    lessons: tuple[str, ...]
    waterfall_alt: str
    ph_alt: str


def tell_model(outcome: Outcome, style: NumberStyle) -> ModelStory | None:
    """Return what the model says; None if it could not be fitted.

    Parameters
    ----------
    outcome : Outcome
    style : NumberStyle
    """
    series = outcome.full.series
    if series is None:
        return None
    bars = model_words.drops(series, style)
    return ModelStory(
        about=" ".join(ABOUT),
        usual=_usual(outcome, series, style),
        waterfall=bars,
        waterfall_note=_waterfall_note(bars),
        steps=model_steps(outcome, series, style),
        fit=_fit(series, style),
        interval=_interval(series),
        residuals=residuals_table(outcome, style),
        parameters=parameters_table(outcome, series, style),
        lessons=_lessons(outcome, series, style),
        waterfall_alt=_waterfall_alt(bars),
        ph_alt=_ph_alt(outcome, style),
    )


def _usual(outcome: Outcome, series: FullSeries, style: NumberStyle) -> str:
    """Return the textbook calculation beside the model."""
    usual = outcome.usual.series
    gas = typeset.formula(outcome.experiment.reaction.gas)
    if usual is None:
        why = in_english(style).say(outcome.usual.no_series_because)
        return f"The textbook calculation has no result for this row: {why.rstrip('.')}."
    found = numbers.quantity(usual.sample_mass_fraction, style)
    apart = usual.sample_mass_fraction.value - series.sample_mass_fraction.value
    parts = [
        f"The textbook calculation takes the mass lost for the {gas} made and gives {found}, "
        f"{_points(apart, series.sample_mass_fraction.u, style)}."
    ]
    if usual.claim is not None and series.claim is not None:
        parts.append(_two_verdicts(usual.claim, series.claim, style))
    worst = model_words.largest(series)
    if usual.axis.grows == "sample":
        parts.append(
            "It comes from the slope of the rising line, which gas that all cups keep alike does "
            "not touch. What one cup keeps more than another its ± counts as an error of each cup; "
            "cups with more sample keep more, so it is too low by 1 to 3\u00a0% as a rule."
        )
    elif worst:
        parts.append(f"What it leaves out, most of all {worst}, its ± does not cover.")
    return " ".join(parts)


def _points(difference: float, u: float, style: NumberStyle) -> str:
    size = numbers.plain(abs(100.0 * difference), 100.0 * u, style)
    return f"{size} percentage points {'lower' if difference < 0 else 'higher'}"


def _two_verdicts(usual: ClaimComparison, full: ClaimComparison, style: NumberStyle) -> str:
    times = f"{numbers.fixed(usual.how_many_u, 1, style)}{style.gap}u apart"
    if usual.agrees and full.agrees:
        return f"By that calculation too the sample agrees with its label ({times})."
    if full.agrees:
        return f"By that calculation alone the label would look wrong ({times})."
    if usual.agrees:
        return f"By that calculation alone the label would look right ({times})."
    return f"By that calculation too the sample does not agree with its label ({times})."


def _waterfall_note(bars: tuple[Drop, ...]) -> str:
    if not bars:
        return ""
    return (
        "Each bar is what one effect changes in the content, in percentage points, once all above "
        "it are counted; how much each adds depends a little on the order."
    )


def _fit(series: FullSeries, style: NumberStyle) -> str:
    chi2 = numbers.fixed(series.chi2, 1, style)
    times = f"χ² = {chi2} for {series.dof} degrees of freedom"
    if series.dof == 0:
        return "The row has no reading to spare, so the fit cannot be put to the test."
    chance = f"{numbers.probability(series.p_chi2, style)} of such rows would lie farther off"
    if series.p_chi2 < POOR_P:
        word = "farther from the model than their uncertainties allow: a reading is wrong, or the "
        word += "model does not hold here"
    elif series.p_chi2 < GOOD_P:
        word = "a little farther from the model than their uncertainties promise"
    elif series.p_chi2 > TOO_GOOD_P and not series.missing:
        # What stands in for a reading is wide on purpose.
        word = "closer to the model than their uncertainties promise: these may be stated too wide"
    else:
        word = "as close to the model as their uncertainties promise"
    return f"The readings lie {word} ({times}; {chance})."


def _interval(series: FullSeries) -> str:
    if series.interval_method == "linear":
        return ""
    return (
        "The 95\u00a0% interval is a profile: the content was held at one value after the other "
        "and all else fitted again, because the fit is too bent for value ± 1.96 u to be right."
    )


def worst_readings(outcome: Outcome) -> tuple[tuple[str, ReadingResidual, tuple[str, ...]], ...]:
    """Return the readings that fit worst: one for each run, with those that fit as badly.

    The readings of a run are tied together, so that a misfit shows in several of them; the one
    named first is the worst of those whose expected value does not merely follow the reading.

    Returns
    -------
    tuple of (str, ReadingResidual, tuple of str)
        Run, reading, and other readings of the run that could be the odd one as well.
    """
    found = []
    for run in outcome.full.runs:
        odd = [r for r in run.residuals if abs(r.standardised) > FAR_OFF and r.leverage < LOOSE]
        if not odd:
            continue
        first = max(odd, key=lambda residual: abs(residual.standardised))
        others = tuple(
            residual.reading
            for residual in run.residuals
            if residual is not first
            and abs(residual.standardised) > max(FAR_OFF, ALIKE * abs(first.standardised))
        )
        found.append((run.run, first, others))
    return tuple(sorted(found, key=lambda row: -abs(row[1].standardised)))


def residuals_table(outcome: Outcome, style: NumberStyle) -> Table | None:
    """Return the readings that fit worst; None if there are none."""
    rows = []
    for run, residual, others in worst_readings(outcome):
        is_volume = residual.reading.endswith("_mL")
        factor, unit = (1000.0, "mL") if is_volume else (1.0, "g")
        decimals = numbers.places(residual.observed * factor, residual.u * factor) - 1
        read, expected = (
            numbers.with_unit(numbers.fixed(value * factor, decimals, style), unit, style)
            for value in (residual.observed, residual.expected)
        )
        times = model_words.signed(residual.standardised, 1, style)
        alike = ", ".join(READINGS.get(name, name) for name in others) or "–"
        rows.append(
            (run, READINGS.get(residual.reading, residual.reading), read, expected,
             f"{times}{style.gap}u", alike)
        )  # fmt: skip
    if not rows:
        return None
    return Table(
        caption="Readings more than 2 u from what the model expects with all the others. Where "
        "others of the run fit as badly, the odd one may be any of them.",
        columns=("run", "reading", "read", "expected", "off by", "or as well"),
        rows=tuple(rows),
        words=(0, 1, 5),
    )


def parameters_table(outcome: Outcome, series: FullSeries, style: NumberStyle) -> Table:
    """Return what was known of each parameter, and what the readings taught."""
    rows = tuple(
        (
            model_words.parameter_name(parameter.name, outcome.experiment),
            model_words.before(parameter, style),
            model_words.after(parameter, style),
            "nothing"
            if parameter.name in series.uninformed
            else numbers.share(parameter.learned, style),
            typeset.source(parameter.source),
        )
        for parameter in series.parameters
        if parameter.name != "content" and parameter.acts
    )
    return Table(
        caption="Before and after the readings; learned is the part of the variance that they took "
        "away.",
        columns=("what", "before", "after", "learned", "what was known before is from"),
        rows=rows,
        words=(0, 4),
    )


def _lessons(outcome: Outcome, series: FullSeries, style: NumberStyle) -> tuple[str, ...]:
    def name(parameter: str) -> str:
        return model_words.parameter_name(parameter, outcome.experiment)

    said = []
    acting = {parameter.name for parameter in series.parameters if parameter.acts}
    uninformed = [each for each in series.uninformed if each in acting]
    if uninformed:
        names = typeset.listed([name(each) for each in uninformed])
        said.append(
            f"Not informed by the readings: {names}. What the result owes to these rests on what "
            "was known before."
        )
    if series.confounded:
        pairs = "; ".join(
            f"{name(pair.first)} and {name(pair.second)} "
            f"({model_words.signed(pair.correlation, 2, style)})"
            for pair in series.confounded
        )
        said.append(
            f"The readings alone cannot tell apart, with their correlation: {pairs}. Below zero, "
            "one larger and the other smaller would look the same; above zero, both larger."
        )
    if series.missing:
        said.append(_cost_of_missing(series, style))
    said += [f"Taken for granted: {sentence}" for sentence in series.assumptions]
    return tuple(said)


def _cost_of_missing(series: FullSeries, style: NumberStyle) -> str:
    """Return how much surer the content would be with the reading that is missed most."""
    dearest, many = series.missing[0], len(series.missing)
    which = f"the {READINGS.get(dearest.reading, dearest.reading)} of run {dearest.run}"
    u, u_with = series.sample_mass_fraction.u, dearest.u_if_taken
    with_it, without = (numbers.plain(100.0 * each, 100.0 * u, style) for each in (u_with, u))
    gain = f"u of the content would be {with_it} instead of {without} percentage points"
    little = u_with > (1.0 - WORTH_READING) * u
    if many == 1:
        head = f"Not used: {which}. With it"
        return f"{head} the content would hardly be surer." if little else f"{head} {gain}."
    head = f"{many} readings were not taken or are not used."
    if little:
        return f"{head} With any one of them the content would hardly be surer."
    return f"{head} Missed most is {which}: with it {gain}."


def _waterfall_alt(bars: tuple[Drop, ...]) -> str:
    each = "; ".join(f"{bar.label} {bar.shown}" for bar in bars)
    return f"Bars from the textbook calculation to the model, content in %: {each}." if bars else ""


def _ph_alt(outcome: Outcome, style: NumberStyle) -> str:
    each = "; ".join(
        f"run {run.run} {numbers.plus_minus(run.ph.value, run.ph.u, style)}"
        for run in outcome.full.runs
        if run.ph is not None
    )
    if not each:
        return ""
    along = "the sample" if outcome.usual.axis.grows == "sample" else "the reagent poured"
    return f"Chart of the pH at the last weighing against {along}: {each}."
