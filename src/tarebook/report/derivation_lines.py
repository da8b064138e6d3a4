"""How the two lines and the contents that they say were made, step by step."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tarebook.core.phrase import Value
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import UsualSeries
from tarebook.report import numbers, typeset
from tarebook.report.axis_words import AxisWords, axis_words
from tarebook.report.languages.writing import Writing
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


def line_steps(outcome: Outcome, series: UsualSeries, how: Writing) -> tuple[Step, ...]:
    """Return the steps from the gas of each run to the content, by the two lines.

    Parameters
    ----------
    outcome : Outcome
    series : UsualSeries
    how : Writing
    """
    if series.axis.grows == "reagent":
        return (
            _two_lines(series, how),
            _changeover(series, how),
            _content_from_level(outcome, series, how),
            _second_content(outcome, series, how),
        )
    words = axis_words(outcome.experiment, how)
    return (
        _two_lines_of_sample(words, series, how),
        _changeover_of_sample(series, how),
        _content_from_slope(outcome, series, how),
        _second_content(outcome, series, how),
    )


def step(name: str, how: Writing, worked: str = "", **values: Value) -> Step:
    """Return a step by the name of its message.

    Parameters
    ----------
    name : str
    how : Writing
    worked : str
        With numbers, where these are symbols alone; else the message has the words.
    **values
        For the places.
    """
    key = f"derivation.{name}"
    return Step(
        name=how(key, "", **values),
        rule=how(key, "rule", **values),
        worked=worked or how(key, "worked", **values),
    )


def of_run(name: str, run: str, worked: str, how: Writing, **values: Value) -> Step:
    """Return a step that is worked out for one run."""
    return step(name, how, how("derivation.of_run", run=run, worked=worked), **values)


def shown_in(value: float, unit: str, how: Writing, digits_u: float = 0.0) -> str:
    """Return a number with its unit, as exact as its u says."""
    return numbers.with_unit(numbers.plain(value, digits_u, how.style), unit, how.style)


MORE_ON_THE_WAY = 1
"""Decimals that a number on the way has beyond those that its u allows: whoever works with what is
printed comes to the printed result."""


def on_the_way(value: float, u: float, how: Writing) -> str:
    """Return a number that a sum goes on with.

    Parameters
    ----------
    value, u : float
        In the same unit.
    how : Writing
    """
    decimals = numbers.places(value, u) + MORE_ON_THE_WAY
    return numbers.fixed(value, min(max(decimals, 0), numbers.MOST_PLACES), how.style)


def strength_of(outcome: Outcome, how: Writing) -> str:
    """Return the strength of the reagent with its unit."""
    strength = outcome.experiment.reagent.concentration
    return shown_in(strength.value, "mol/L", how, strength.u)


def _longer(made: Step, how: Writing, why: str = "") -> Step:
    """Return a step whose rule says, too, why it is so and how far its numbers are written."""
    said = (made.rule, how(f"derivation.{why}") if why else "", how("derivation.longer"))
    return replace(made, rule=" ".join(filter(None, said)))


def _two_lines(series: UsualSeries, how: Writing) -> Step:
    fit, style = series.fit, how.style
    a, b = _start_and_rise(series, how)
    p = numbers.plus_minus(fit.plateau, fit.plateau_u, style)
    made = step(
        "lines",
        how,
        a=numbers.with_unit(a, "g", style),
        rise=f"{'+' if fit.slope >= 0 else style.minus} {b}",
        p=numbers.with_unit(p, "g", style),
    )
    return _longer(made, how)


def _changeover(series: UsualSeries, how: Writing) -> Step:
    fit, minus = series.fit, how.style.minus
    a, slope = _start_and_rise(series, how)
    p = on_the_way(fit.plateau, fit.plateau_u, how)
    top = f"({p} {minus} {_bracketed(a, minus)})"
    mass = shown_in(series.nominal_mass, "g", how)
    return step("meet", how, f"{top} / ({slope}) × {mass} = {how.quantity(series.equivalence)}")


def _start_and_rise(series: UsualSeries, how: Writing) -> tuple[str, str]:
    """Return start and slope of a rising line along the reagent."""
    u = float(series.fit.covariance[1, 1]) ** 0.5 / 1000.0
    slope = on_the_way(series.fit.slope / 1000.0, u, how)
    return _line_number(series, 0, how), numbers.with_unit(slope, "g/mL", how.style)


def _bracketed(number: str, minus: str) -> str:
    return f"({number})" if number.startswith(minus) else number


def _content_from_level(outcome: Outcome, series: UsualSeries, how: Writing) -> Step:
    ratio, formula = _content_formula(outcome, "p")
    p = on_the_way(series.fit.plateau, series.fit.plateau_u, how)
    worked = f"{p}{ratio} × {_molar_masses(outcome, how)}"
    return Step(
        name=how("derivation.plateau"),
        rule=formula,
        worked=f"{worked} = {how.quantity(series.sample_mass_fraction)}",
    )


def _content_formula(outcome: Outcome, start: str) -> tuple[str, str]:
    """Return the ratio of the coefficients, and the content in symbols."""
    reaction = outcome.experiment.reaction
    analyte, gas = typeset.formula(reaction.analyte), typeset.formula(reaction.gas)
    ratio = _coefficients(reaction.analyte_coefficient, reaction.gas_coefficient)
    return ratio, f"w = {start}{ratio} × M({analyte}) / M({gas})"


def _two_lines_of_sample(words: AxisWords, series: UsualSeries, how: Writing) -> Step:
    slope = series.fit.right_slope
    shape = "level" if slope == 0.0 else "rising" if slope > 0.0 else "falling"
    a, b = (_line_number(series, part, how) for part in (0, 1))
    made = step(
        "lines_of_sample",
        how,
        portion=words.portion,
        acid=words.acid,
        shape=shape,
        a=numbers.with_unit(a, "g", how.style),
        b=numbers.with_unit(b, "g/g", how.style),
        beyond=_beyond_worked(series, how),
    )
    return _longer(made, how, "" if shape == "level" else f"why_{shape}")


def _line_number(series: UsualSeries, part: int, how: Writing) -> str:
    """Return start (0) or slope (1) of the rising line."""
    value = (series.fit.intercept, series.fit.slope)[part]
    return on_the_way(value, float(series.fit.covariance[part, part]) ** 0.5, how)


def _at_no_sample(series: UsualSeries) -> float:
    """Return where the line beyond the break would meet the axis, [g]."""
    return series.fit.plateau - series.fit.right_slope * series.fit.breakpoint


def _beyond_worked(series: UsualSeries, how: Writing) -> str:
    fit, style = series.fit, how.style
    if fit.right_slope == 0.0:
        level = numbers.plus_minus(fit.plateau, fit.plateau_u, style)
        return how("derivation.level_of_gas", p=numbers.with_unit(level, "g", style))
    p = on_the_way(_at_no_sample(series), fit.plateau_u, how)
    k = on_the_way(abs(fit.right_slope), float(fit.covariance[1, 1]) ** 0.5, how)
    return f"p = {numbers.with_unit(p, 'g', style)}, k = {numbers.with_unit(k, 'g/g', style)}"


def _changeover_of_sample(series: UsualSeries, how: Writing) -> Step:
    fit, minus = series.fit, how.style.minus
    a, b = (_line_number(series, part, how) for part in (0, 1))
    p = on_the_way(_at_no_sample(series), fit.plateau_u, how)
    u = float(fit.covariance[1, 1]) ** 0.5
    k = on_the_way(abs(fit.right_slope), u, how)
    sign = "" if fit.right_slope == 0.0 else f" {minus if fit.right_slope > 0 else '+'} "
    below, worked = (f"(b{sign}k)", f"({b}{sign}{k})") if sign else ("b", b)
    top = f"({p} {minus} {_bracketed(a, minus)}){how.style.gap}g"
    summed = f"{top} / {worked} = {how.quantity(series.meets_at)}"
    return step("meet_of_sample", how, below=below, sum=summed)


def _content_from_slope(outcome: Outcome, series: UsualSeries, how: Writing) -> Step:
    ratio, formula = _content_formula(outcome, "b")
    worked = f"{_line_number(series, 1, how)}{ratio} × {_molar_masses(outcome, how)}"
    return step(
        "slope",
        how,
        f"{worked} = {how.quantity(series.sample_mass_fraction)}",
        gas=typeset.formula(outcome.experiment.reaction.gas),
        formula=formula,
    )


def _molar_masses(outcome: Outcome, how: Writing) -> str:
    reaction = outcome.experiment.reaction
    return (
        f"{shown_in(reaction.analyte_molar_mass.value, 'g/mol', how, 0.01)} / "
        f"{shown_in(reaction.gas_molar_mass.value, 'g/mol', how, 0.01)}"
    )


def _second_content(outcome: Outcome, series: UsualSeries, how: Writing) -> Step:
    experiment, reaction = outcome.experiment, outcome.experiment.reaction
    ratio = _coefficients(reaction.analyte_coefficient, reaction.reagent_coefficient)
    at, nominal, volume, sample = _amounts_at_changeover(outcome, series, how)
    strength = strength_of(outcome, how)
    mass = shown_in(reaction.analyte_molar_mass.value, "g/mol", how, 0.01)
    found = how.quantity(series.content_from_equivalence)
    declared, protons = declared_acid(experiment), protons_of_extent(reaction)
    rule, share = "rule", ""
    worked = f"{strength} × {at}{ratio} × {mass} / {nominal} = {found}"
    if declared is not None and protons and declared.value != 0.0:
        rule, share = "rule_with_acid", _coefficients(reaction.analyte_coefficient, round(protons))
        own = shown_in(1000.0 * declared.value, "mmol/g", how)
        worked = f"({strength} × {at}{ratio} / {nominal} + {own}{share}) × {mass} = {found}"
    return Step(
        name=how("derivation.second"),
        rule=how(
            "derivation.second",
            rule,
            volume=volume,
            ratio=ratio,
            analyte=typeset.formula(reaction.analyte),
            sample=sample,
            share=share,
        ),
        worked=worked,
    )


def _amounts_at_changeover(
    outcome: Outcome, series: UsualSeries, how: Writing
) -> tuple[str, str, str, str]:
    """Return volume and sample at the equivalence point, and what to call them."""
    there = numbers.outward(series.meets_at)
    place = numbers.with_unit(on_the_way(there.value, there.u, how), there.unit, how.style)
    same = axis_words(outcome.experiment, how).portion
    by_reagent = series.axis.grows == "reagent"
    names = ("volume_there", "sample_mass") if by_reagent else ("volume", "sample_there")
    volume, sample = (how(f"derivation.{name}") for name in names)
    return (place, same, volume, sample) if by_reagent else (same, place, volume, sample)


def _coefficients(over: int, under: int) -> str:
    return "" if over == under else f" × {over}/{under}"
