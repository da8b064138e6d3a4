"""What the model of the cup says beside the textbook calculation, in words and rounded numbers."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.reduction.joint.results import FullSeries, ReadingResidual
from tarebook.reduction.results import ClaimComparison
from tarebook.report import model_words, numbers, typeset
from tarebook.report.axis_words import axis_words
from tarebook.report.derivation import model_steps
from tarebook.report.derivation_lines import Step
from tarebook.report.equipment import Table, source_in_words
from tarebook.report.languages.writing import Writing
from tarebook.report.model_words import Drop
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


def tell_model(outcome: Outcome, how: Writing) -> ModelStory | None:
    """Return what the model says; None if it could not be fitted.

    Parameters
    ----------
    outcome : Outcome
    how : Writing
    """
    series = outcome.full.series
    if series is None:
        return None
    bars = model_words.drops(series, how)
    return ModelStory(
        about=how("model.about"),
        usual=_usual(outcome, series, how),
        waterfall=bars,
        waterfall_note=how("model.waterfall_note") if bars else "",
        steps=model_steps(outcome, series, how),
        fit=_fit(series, how),
        interval="" if series.interval_method == "linear" else how("model.interval"),
        residuals=residuals_table(outcome, how),
        parameters=parameters_table(outcome, series, how),
        lessons=_lessons(outcome, series, how),
        waterfall_alt=_waterfall_alt(bars, how),
        ph_alt=_ph_alt(outcome, how),
    )


def _usual(outcome: Outcome, series: FullSeries, how: Writing) -> str:
    """Return the textbook calculation beside the model."""
    usual, content = outcome.usual.series, series.sample_mass_fraction
    if usual is None:
        why = how.say(outcome.usual.no_series_because)
        return how("model.usual_open", why=why.rstrip("."))
    apart = usual.sample_mass_fraction.value - content.value
    parts = [
        how(
            "model.usual",
            gas=typeset.formula(outcome.experiment.reaction.gas),
            found=usual.sample_mass_fraction,
            apart=numbers.plain(abs(100.0 * apart), 100.0 * content.u, how.style),
            way="lower" if apart < 0 else "higher",
        )
    ]
    if usual.claim is not None and series.claim is not None:
        parts.append(_two_verdicts(usual.claim, series.claim, how))
    worst = model_words.largest(series, how)
    if usual.axis.grows == "sample":
        parts.append(how("model.usual_slope"))
    elif worst:
        parts.append(how("model.usual_leaves_out", effect=worst))
    return " ".join(parts)


def _two_verdicts(usual: ClaimComparison, full: ClaimComparison, how: Writing) -> str:
    times = numbers.with_unit(numbers.fixed(usual.how_many_u, 1, how.style), "u", how.style)
    if usual.agrees and full.agrees:
        which = "both_agree"
    elif full.agrees:
        which = "full_agrees"
    else:
        which = "usual_agrees" if usual.agrees else "none_agrees"
    return how(f"model.verdicts_{which}", times=times)


def _fit(series: FullSeries, how: Writing) -> str:
    if series.dof == 0:
        return how("model.fit_untested")
    how_well = "good"
    if series.p_chi2 < GOOD_P:
        how_well = "poor" if series.p_chi2 < POOR_P else "fair"
    elif series.p_chi2 > TOO_GOOD_P and not series.missing:
        # What stands in for a reading is wide on purpose.
        how_well = "too_good"
    return how(
        "model.fit",
        how_well=how_well,
        chi2=numbers.fixed(series.chi2, 1, how.style),
        dof=series.dof,
        chance=numbers.probability(series.p_chi2, how.style),
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


def _reading(name: str, outcome: Outcome, how: Writing) -> str:
    """Return a reading by its column, in words."""
    return how(f"model.reading_{name}", diluent=outcome.experiment.diluent)


def residuals_table(outcome: Outcome, how: Writing) -> Table | None:
    """Return the readings that fit worst; None if there are none."""
    rows, style = [], how.style
    for run, residual, others in worst_readings(outcome):
        is_volume = residual.reading.endswith("_mL")
        factor, unit = (1000.0, "mL") if is_volume else (1.0, "g")
        decimals = numbers.places(residual.observed * factor, residual.u * factor) - 1
        read, expected = (
            numbers.with_unit(numbers.fixed(value * factor, decimals, style), unit, style)
            for value in (residual.observed, residual.expected)
        )
        times = numbers.with_unit(model_words.signed(residual.standardised, 1, style), "u", style)
        alike = ", ".join(_reading(name, outcome, how) for name in others) or "–"
        rows.append((run, _reading(residual.reading, outcome, how), read, expected, times, alike))
    if not rows:
        return None
    heads = ("reading", "read", "expected", "off", "alike")
    return Table(
        caption=how("model.residuals_note"),
        columns=(how("tables.run"), *(how(f"model.column_{head}") for head in heads)),
        rows=tuple(rows),
        words=(0, 1, 5),
    )


def parameters_table(outcome: Outcome, series: FullSeries, how: Writing) -> Table:
    """Return what was known of each parameter, and what the readings taught."""
    rows = tuple(
        (
            model_words.parameter_name(parameter.name, outcome.experiment, how),
            model_words.before(parameter, how),
            model_words.after(parameter, how),
            how("model.nothing")
            if parameter.name in series.uninformed
            else numbers.share(parameter.learned, how.style),
            source_in_words(parameter.source, how.words),
        )
        for parameter in series.parameters
        if parameter.name != "content" and parameter.acts
    )
    heads = ("before", "after", "learned", "source")
    return Table(
        caption=how("model.parameters_note"),
        columns=(how("report.column_what"), *(how(f"model.column_{head}") for head in heads)),
        rows=rows,
        words=(0, 4),
    )


def _lessons(outcome: Outcome, series: FullSeries, how: Writing) -> tuple[str, ...]:
    def name(parameter: str) -> str:
        return model_words.parameter_name(parameter, outcome.experiment, how)

    said = []
    acting = {parameter.name for parameter in series.parameters if parameter.acts}
    uninformed = [each for each in series.uninformed if each in acting]
    if uninformed:
        said.append(how("model.uninformed", names=tuple(name(each) for each in uninformed)))
    if series.confounded:
        pairs = "; ".join(
            how(
                "model.pair",
                first=name(pair.first),
                second=name(pair.second),
                correlation=model_words.signed(pair.correlation, 2, how.style),
            )
            for pair in series.confounded
        )
        said.append(how("model.confounded", pairs=pairs))
    if series.missing:
        said.append(_cost_of_missing(outcome, series, how))
    said += [how("model.assumed", assumption=each) for each in series.assumptions]
    return tuple(said)


def _cost_of_missing(outcome: Outcome, series: FullSeries, how: Writing) -> str:
    """Return how much surer the content would be with the reading that is missed most."""
    dearest, many = series.missing[0], len(series.missing)
    u, u_with = series.sample_mass_fraction.u, dearest.u_if_taken
    with_it, without = (numbers.plain(100.0 * each, 100.0 * u, how.style) for each in (u_with, u))
    one = "_one" if many == 1 else ""
    little = "_little" if u_with > (1.0 - WORTH_READING) * u else ""
    return how(
        f"model.missing{one}{little}",
        n=many,
        which=how("model.of_run", reading=_reading(dearest.reading, outcome, how), run=dearest.run),
        with_it=with_it,
        without=without,
    )


def _waterfall_alt(bars: tuple[Drop, ...], how: Writing) -> str:
    each = "; ".join(f"{bar.label} {bar.shown}" for bar in bars)
    return how("model.waterfall_alt", each=each) if bars else ""


def _ph_alt(outcome: Outcome, how: Writing) -> str:
    each = "; ".join(
        f"{how('tables.run')} {run.run} {numbers.plus_minus(run.ph.value, run.ph.u, how.style)}"
        for run in outcome.full.runs
        if run.ph is not None
    )
    along = axis_words(outcome.experiment, how).along
    return how("model.ph_alt", along=along, each=each) if each else ""
