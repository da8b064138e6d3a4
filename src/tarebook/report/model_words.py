"""Names of effects and parameters of the model of the cup, as a student would say them."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.quantity import Estimate
from tarebook.model.effects import CupEffect
from tarebook.model.parameters import SCALES, Scale
from tarebook.reduction.joint.results import FullSeries, ParameterEstimate
from tarebook.reduction.joint.waterfall import NO_EFFECTS
from tarebook.report import numbers, typeset
from tarebook.report.languages.writing import ENGLISH, Writing
from tarebook.report.numbers import NumberStyle
from tarebook.series.experiment import Experiment

WHOLE = "whole"
"""Label of the last bar of the waterfall, which is no step of it."""


def effect_label(label: str, how: Writing = ENGLISH) -> str:
    """Return the name of a step of the waterfall."""
    return how("model.whole" if label == WHOLE else f"model.effect_{label}")


def effect_words(label: str, series: FullSeries, how: Writing = ENGLISH) -> str:
    """Return what a step of a row's waterfall is, in a sentence; empty for the ends."""
    by_sample = label == NO_EFFECTS and series.equivalence_sample is not None
    return how(f"model.effect_{label}", "words_sample" if by_sample else "words")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """One bar of the waterfall, in per cent of the sample.

    Attributes
    ----------
    code : str
        Of the step; `WHOLE` for the last bar.
    label : str
        Its name.
    words : str
        What the effect is.
    content, change : float, [%]
        With it and all before it; from the step before.
    is_total : bool
        Whether it is an end: a result, not an effect.
    shown : str
        The content of an end, the change of an effect, rounded, with its sign.
    """

    code: str
    label: str
    words: str
    content: float
    change: float
    is_total: bool
    shown: str


def drops(series: FullSeries, how: Writing) -> tuple[Drop, ...]:
    """Return the waterfall from the textbook calculation to the model, ready to be drawn."""
    if not series.waterfall:
        return ()
    out = numbers.outward(series.sample_mass_fraction)
    decimals, style = numbers.places(out.value, out.u), how.style
    bars = []
    for place, step in enumerate(series.waterfall):
        is_total = place == 0
        content, change = 100.0 * step.content, 100.0 * step.change
        bars.append(
            Drop(
                code=step.label,
                label=effect_label(step.label, how),
                words="" if is_total else effect_words(step.label, series, how),
                content=content,
                change=change,
                is_total=is_total,
                shown=_total(content, decimals, style)
                if is_total
                else signed(change, decimals, style),
            )
        )
    whole = Drop(
        code=WHOLE,
        label=effect_label(WHOLE, how),
        words="",
        content=out.value,
        change=0.0,
        is_total=True,
        shown=_total(out.value, decimals, style),
    )
    return (*bars, whole)


def _total(percent: float, decimals: int, style: NumberStyle) -> str:
    return numbers.with_unit(numbers.fixed(percent, decimals, style), "%", style)


def signed(value: float, decimals: int, style: NumberStyle) -> str:
    """Return a change with its sign; none where it rounds to zero.

    Examples
    --------
    >>> [signed(value, 2, numbers.TERMINAL) for value in (5.058, -1.082, 0.001)]
    ['+5.06', '−1.08', '0.00']
    """
    text = numbers.fixed(value, decimals, style)
    return f"+{text}" if round(value, decimals) > 0 else text


def largest(series: FullSeries, how: Writing) -> str:
    """Return the name of the effect that moves the content most; empty if there is none."""
    effects = {effect.value for effect in CupEffect}
    steps = [step for step in series.waterfall[1:] if step.label in effects]
    if not steps:
        return ""
    return effect_label(max(steps, key=lambda step: abs(step.change)).label, how)


PURE = ("first_pk_shift", "waiting", "saturation", "activity")
"""Parameters without unit that are no share of anything."""

_OUTWARD = {"Pa": ("kPa", 0.001), "g/min": ("mg/min", 1000.0)}


def parameter_name(name: str, experiment: Experiment, how: Writing = ENGLISH) -> str:
    """Return what a parameter is."""
    return how(
        f"model.of_{name}",
        analyte=typeset.formula(experiment.reaction.analyte),
        gas=typeset.formula(experiment.reaction.gas),
        diluent=experiment.diluent,
    )


def before(parameter: ParameterEstimate, how: Writing) -> str:
    """Return what was known of a parameter before any reading."""
    scale = SCALES.get(parameter.name, Scale.LINEAR)
    centre, u = parameter.prior, parameter.prior_u
    if u == float("inf"):
        return how("model.nothing")
    if scale is Scale.LOGARITHMIC:
        u *= centre
    elif scale is Scale.LOGISTIC:
        u *= centre * (1.0 - centre)
    return _quantity(parameter.name, centre, u, parameter.value.unit, how)


def after(parameter: ParameterEstimate, how: Writing) -> str:
    """Return what is known of it with the readings."""
    found: Estimate = parameter.value
    return _quantity(parameter.name, found.value, found.u, found.unit, how)


def _quantity(name: str, value: float, u: float, unit: str, how: Writing) -> str:
    if name in PURE:
        return numbers.plus_minus(value, u, how.style)
    shown_unit, factor = _OUTWARD.get(unit, (unit, 1.0))
    estimate = Estimate(value=value * factor, u=u * factor, low=value, high=value, unit=shown_unit)
    return how.quantity(estimate)
