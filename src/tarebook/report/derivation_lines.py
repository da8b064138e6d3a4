"""How the two lines and the contents that they say were made, step by step."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import UsualSeries
from tarebook.report import numbers, typeset
from tarebook.report.axis_words import AxisWords, axis_words
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the sum.

    Attributes
    ----------
    name : str
    rule : str
        The step in words and symbols.
    worked : str
        The same with the numbers of this experiment.
    """

    name: str
    rule: str
    worked: str


def line_steps(outcome: Outcome, series: UsualSeries, style: NumberStyle) -> tuple[Step, ...]:
    """Return the steps from the gas of each run to the content, by the two lines.

    Parameters
    ----------
    outcome : Outcome
    series : UsualSeries
    style : NumberStyle
    """
    if series.axis.grows == "reagent":
        return (
            _two_lines(series, style),
            _changeover(series, style),
            _content_from_level(outcome, series, style),
            _second_content(outcome, series, style),
        )
    words = axis_words(outcome.experiment)
    return (
        _two_lines_of_sample(words, series, style),
        _changeover_of_sample(series, style),
        _content_from_slope(outcome, series, style),
        _second_content(outcome, series, style),
    )


def shown_in(value: float, unit: str, style: NumberStyle, digits_u: float = 0.0) -> str:
    """Return a number with its unit, as exact as its u says."""
    return numbers.with_unit(numbers.plain(value, digits_u, style), unit, style)


MORE_ON_THE_WAY = 1
"""Decimals that a number on the way has beyond those that its u allows: whoever works with what is
printed comes to the printed result."""

LONGER = " The next steps take these numbers one digit longer than their u allows."


def on_the_way(value: float, u: float, style: NumberStyle) -> str:
    """Return a number that a sum goes on with.

    Parameters
    ----------
    value, u : float
        In the same unit.
    style : NumberStyle
    """
    decimals = numbers.places(value, u) + MORE_ON_THE_WAY
    return numbers.fixed(value, min(max(decimals, 0), numbers.MOST_PLACES), style)


def strength_of(outcome: Outcome, style: NumberStyle) -> str:
    """Return the strength of the reagent with its unit."""
    strength = outcome.experiment.reagent.concentration
    return shown_in(strength.value, "mol/L", style, strength.u)


def _two_lines(series: UsualSeries, style: NumberStyle) -> Step:
    fit = series.fit
    a, b = _start_and_rise(series, style)
    p = numbers.plus_minus(fit.plateau, fit.plateau_u, style)
    sign = "+" if fit.slope >= 0 else style.minus
    return Step(
        name="Two lines",
        rule="Divide gas and volume by the sample mass of the run. While the reagent limits, "
        f"gas = a + b × volume; once the sample limits, gas = p.{LONGER}",
        worked=f"per gram of sample: a + b × volume = {a}{style.gap}g {sign} {b} × volume; "
        f"p = {p} g of gas",
    )


def _changeover(series: UsualSeries, style: NumberStyle) -> Step:
    fit, minus = series.fit, style.minus
    a, slope = _start_and_rise(series, style)
    p = on_the_way(fit.plateau, fit.plateau_u, style)
    top = f"({p} {minus} {_bracketed(a, minus)})"
    mass = shown_in(series.nominal_mass, "g", style)
    return Step(
        name="Equivalence point",
        rule=f"the lines meet at (p {minus} a) / b; times the nominal sample mass",
        worked=f"{top} / ({slope}) × {mass} = {numbers.quantity(series.equivalence, style)}",
    )


def _start_and_rise(series: UsualSeries, style: NumberStyle) -> tuple[str, str]:
    """Return start and slope of a rising line along the reagent."""
    u = float(series.fit.covariance[1, 1]) ** 0.5 / 1000.0
    slope = on_the_way(series.fit.slope / 1000.0, u, style)
    return _line_number(series, 0, style), numbers.with_unit(slope, "g/mL", style)


def _bracketed(number: str, minus: str) -> str:
    return f"({number})" if number.startswith(minus) else number


def _content_from_level(outcome: Outcome, series: UsualSeries, style: NumberStyle) -> Step:
    reaction = outcome.experiment.reaction
    analyte, gas = typeset.formula(reaction.analyte), typeset.formula(reaction.gas)
    ratio = _coefficients(reaction.analyte_coefficient, reaction.gas_coefficient)
    p = on_the_way(series.fit.plateau, series.fit.plateau_u, style)
    return Step(
        name="Content from the plateau",
        rule=f"w = p{ratio} × M({analyte}) / M({gas})",
        worked=f"{p}{ratio} × {_molar_masses(outcome, style)} = "
        f"{numbers.quantity(series.sample_mass_fraction, style)}",
    )


def _two_lines_of_sample(words: AxisWords, series: UsualSeries, style: NumberStyle) -> Step:
    fit = series.fit
    a, b = (_line_number(series, part, style) for part in (0, 1))
    portion = words.portion(style)
    beyond, falls = _beyond(series, style)
    why = ""
    if falls:
        why = (
            " There each gram more takes acid from the hydrogen carbonate of the others, so the "
            "gas falls as steeply as it rose."
        )
    elif fit.right_slope > 0:
        why = " There only the acid that each gram more brings itself makes gas."
    return Step(
        name="Two lines",
        rule=f"Scale gas and sample of each run to {portion} of reagent. While the sample limits, "
        f"gas = a + b × sample; once the {words.acid} is used up, gas = {beyond}.{why}"
        f"{LONGER}",
        worked=f"for {portion} of reagent: a + b × sample = {a}{style.gap}g + "
        f"{numbers.with_unit(b, 'g/g', style)} × sample; {_beyond_worked(series, style)}",
    )


def _line_number(series: UsualSeries, part: int, style: NumberStyle) -> str:
    """Return start (0) or slope (1) of the rising line."""
    value = (series.fit.intercept, series.fit.slope)[part]
    return on_the_way(value, float(series.fit.covariance[part, part]) ** 0.5, style)


def _beyond(series: UsualSeries, style: NumberStyle) -> tuple[str, bool]:
    """Return the line beyond the break in symbols, and whether it falls."""
    slope = series.fit.right_slope
    if slope == 0.0:
        return "p", False
    sign = "+" if slope > 0 else style.minus
    return f"p {sign} k × sample", slope < 0


def _at_no_sample(series: UsualSeries) -> float:
    """Return where the line beyond the break would meet the axis, [g]."""
    return series.fit.plateau - series.fit.right_slope * series.fit.breakpoint


def _beyond_worked(series: UsualSeries, style: NumberStyle) -> str:
    fit = series.fit
    p = on_the_way(_at_no_sample(series), fit.plateau_u, style)
    if fit.right_slope == 0.0:
        return f"p = {numbers.plus_minus(fit.plateau, fit.plateau_u, style)} g of gas"
    k = on_the_way(abs(fit.right_slope), float(fit.covariance[1, 1]) ** 0.5, style)
    return f"p = {p}{style.gap}g, k = {numbers.with_unit(k, 'g/g', style)}"


def _changeover_of_sample(series: UsualSeries, style: NumberStyle) -> Step:
    fit, minus = series.fit, style.minus
    a, b = (_line_number(series, part, style) for part in (0, 1))
    p = on_the_way(_at_no_sample(series), fit.plateau_u, style)
    u = float(fit.covariance[1, 1]) ** 0.5
    k = on_the_way(abs(fit.right_slope), u, style)
    sign = "" if fit.right_slope == 0.0 else f" {minus if fit.right_slope > 0 else '+'} "
    below, worked = (f"(b{sign}k)", f"({b}{sign}{k})") if sign else ("b", b)
    return Step(
        name="Equivalence point",
        rule=f"the lines meet at (p {minus} a) / {below}: there both are just used up",
        worked=f"({p} {minus} {_bracketed(a, minus)}){style.gap}g / {worked} = "
        f"{numbers.quantity(series.meets_at, style)} of sample",
    )


def _content_from_slope(outcome: Outcome, series: UsualSeries, style: NumberStyle) -> Step:
    reaction = outcome.experiment.reaction
    analyte, gas = typeset.formula(reaction.analyte), typeset.formula(reaction.gas)
    ratio = _coefficients(reaction.analyte_coefficient, reaction.gas_coefficient)
    b = _line_number(series, 1, style)
    return Step(
        name="Content from the slope",
        rule=f"each gram of sample makes b gram of {gas}: w = b{ratio} × M({analyte}) / M({gas})",
        worked=f"{b}{ratio} × {_molar_masses(outcome, style)} = "
        f"{numbers.quantity(series.sample_mass_fraction, style)}",
    )


def _molar_masses(outcome: Outcome, style: NumberStyle) -> str:
    reaction = outcome.experiment.reaction
    return (
        f"{shown_in(reaction.analyte_molar_mass.value, 'g/mol', style, 0.01)} / "
        f"{shown_in(reaction.gas_molar_mass.value, 'g/mol', style, 0.01)}"
    )


def _second_content(outcome: Outcome, series: UsualSeries, style: NumberStyle) -> Step:
    experiment, reaction = outcome.experiment, outcome.experiment.reaction
    analyte = typeset.formula(reaction.analyte)
    ratio = _coefficients(reaction.analyte_coefficient, reaction.reagent_coefficient)
    at, nominal, volume, sample = _amounts_at_changeover(outcome, series, style)
    strength = strength_of(outcome, style)
    mass = shown_in(reaction.analyte_molar_mass.value, "g/mol", style, 0.01)
    found = numbers.quantity(series.content_from_equivalence, style)
    declared, protons = declared_acid(experiment), protons_of_extent(reaction)
    if declared is None or not protons or declared.value == 0.0:
        return Step(
            name="Content from the equivalence point",
            rule=f"w = strength × {volume}{ratio} × M({analyte}) / {sample}",
            worked=f"{strength} × {at}{ratio} × {mass} / {nominal} = {found}",
        )
    own = shown_in(1000.0 * declared.value, "mmol/g", style)
    share = _coefficients(reaction.analyte_coefficient, round(protons))
    return Step(
        name="Content from the equivalence point",
        rule=f"w = (strength × {volume}{ratio} / {sample} + acid of the sample{share}) × "
        f"M({analyte})",
        worked=f"({strength} × {at}{ratio} / {nominal} + {own}{share}) × {mass} = {found}",
    )


def _amounts_at_changeover(
    outcome: Outcome, series: UsualSeries, style: NumberStyle
) -> tuple[str, str, str, str]:
    """Return volume and sample at the equivalence point, and what to call them."""
    there = numbers.outward(series.meets_at)
    place = numbers.with_unit(on_the_way(there.value, there.u, style), there.unit, style)
    same = axis_words(outcome.experiment).portion(style)
    if series.axis.grows == "reagent":
        return place, same, "volume at the equivalence point", "sample mass"
    return same, place, "volume of reagent", "sample at the equivalence point"


def _coefficients(over: int, under: int) -> str:
    return "" if over == under else f" × {over}/{under}"
