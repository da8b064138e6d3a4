"""Names of effects and parameters of the model of the cup, as a student would say them."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.quantity import Estimate
from tarebook.model.effects import CupEffect
from tarebook.model.parameters import SCALES, Scale
from tarebook.reduction.joint.results import FullSeries, ParameterEstimate
from tarebook.reduction.joint.waterfall import NO_EFFECTS, USUAL
from tarebook.report import numbers, typeset
from tarebook.report.numbers import NumberStyle
from tarebook.series.experiment import Experiment

_EFFECTS = {
    CupEffect.BUOYANCY.value: "buoyancy of the air",
    CupEffect.CALIBRATION.value: "scales of the vessels",
    CupEffect.HOLD_UP.value: "liquid left at each pour",
    CupEffect.OWN_ACID.value: "acid of the sample itself",
    CupEffect.DISSOLVED_GAS.value: "gas that stays dissolved",
    CupEffect.COOLING.value: "cooling by the reaction",
    CupEffect.HEAD_GAS.value: "gas lying in the vessel",
    CupEffect.VAPOUR.value: "vapour leaving with the gas",
    CupEffect.EVAPORATION.value: "water that evaporates",
    USUAL: "textbook calculation",
    NO_EFFECTS: "all readings together",
}

ALL_TOGETHER = (
    "The textbook calculation reads the content off the level part of the row alone. Here every "
    "reading of every run speaks, as loudly as it is exact: the rising part too, where volume and "
    "strength of the reagent say how much reacted."
)
"""What the first step of the waterfall is."""

ALL_TOGETHER_SAMPLE = (
    "The textbook calculation reads the content off the slope of the rising line alone. Here every "
    "reading of every run speaks, as loudly as it is exact: those beyond the rise too, where "
    "volume and strength of the reagent say how much reacted."
)
"""The same for a row in which the sample grows."""

WHOLE = "model of the cup"


def effect_label(label: str) -> str:
    """Return the name of a step of the waterfall."""
    return _EFFECTS.get(label, label)


def effect_words(label: str, series: FullSeries) -> str:
    """Return what a step of a row's waterfall is, in a sentence; empty for the ends."""
    if label == NO_EFFECTS:
        return ALL_TOGETHER if series.equivalence_sample is None else ALL_TOGETHER_SAMPLE
    known = {effect.value: effect.words for effect in CupEffect}
    return known.get(label, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """One bar of the waterfall, in per cent of the sample.

    Attributes
    ----------
    label : str
    words : str
        What the effect is.
    content, change : float, [%]
        With it and all before it; from the step before.
    is_total : bool
        Whether it is an end: a result, not an effect.
    shown : str
        The content of an end, the change of an effect, rounded, with its sign.
    """

    label: str
    words: str
    content: float
    change: float
    is_total: bool
    shown: str


def drops(series: FullSeries, style: NumberStyle) -> tuple[Drop, ...]:
    """Return the waterfall from the textbook calculation to the model, ready to be drawn."""
    if not series.waterfall:
        return ()
    out = numbers.outward(series.sample_mass_fraction)
    decimals = numbers.places(out.value, out.u)
    bars = []
    for place, step in enumerate(series.waterfall):
        is_total = place == 0
        content, change = 100.0 * step.content, 100.0 * step.change
        bars.append(
            Drop(
                label=effect_label(step.label),
                words="" if is_total else effect_words(step.label, series),
                content=content,
                change=change,
                is_total=is_total,
                shown=_total(content, decimals, style)
                if is_total
                else signed(change, decimals, style),
            )
        )
    whole = Drop(
        label=WHOLE,
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


def largest(series: FullSeries) -> str:
    """Return the name of the effect that moves the content most; empty if there is none."""
    effects = {effect.value for effect in CupEffect}
    steps = [step for step in series.waterfall[1:] if step.label in effects]
    if not steps:
        return ""
    return effect_label(max(steps, key=lambda step: abs(step.change)).label)


PURE = ("first_pk_shift", "waiting", "saturation", "activity")
"""Parameters without unit that are no share of anything."""

_OUTWARD = {"Pa": ("kPa", 0.001), "g/min": ("mg/min", 1000.0)}


def parameter_name(name: str, experiment: Experiment) -> str:
    """Return what a parameter is."""
    gas = typeset.formula(experiment.reaction.gas)
    diluent = experiment.diluent
    return {
        "content": f"{typeset.formula(experiment.reaction.analyte)} in the sample",
        "own_acid": "acid of the sample itself",
        "concentration": "strength of the reagent",
        "scale_reagent": "scale error, vessel of the reagent",
        "scale_diluent": f"scale error, vessel of the {diluent}",
        "hold_up_reagent": "reagent left at each pour",
        "hold_up_diluent": f"{diluent} left at each pour",
        "gas_pressure": f"{gas} pressure in the liquid",
        "degassing": "how fast that pressure falls",
        "head_fraction": f"head space still full of {gas}",
        "evaporation": "water that evaporates",
        "vapour_saturation": "moisture of the leaving gas",
        "heat_kept": "heat of reaction kept by the liquid",
        "waiting": "waiting time where not read, times planned",
        "first_pk_shift": "shift of carbonic acid's first pK",
        "activity": "gas kept for the activities, in u of the model",
        "saturation": "ln of the saturation with the solid left over",
    }.get(name, name.replace("_", " "))


def before(parameter: ParameterEstimate, style: NumberStyle) -> str:
    """Return what was known of a parameter before any reading."""
    scale = SCALES.get(parameter.name, Scale.LINEAR)
    centre, u = parameter.prior, parameter.prior_u
    if u == float("inf"):
        return "nothing"
    if scale is Scale.LOGARITHMIC:
        u *= centre
    elif scale is Scale.LOGISTIC:
        u *= centre * (1.0 - centre)
    return _quantity(parameter.name, centre, u, parameter.value.unit, style)


def after(parameter: ParameterEstimate, style: NumberStyle) -> str:
    """Return what is known of it with the readings."""
    found: Estimate = parameter.value
    return _quantity(parameter.name, found.value, found.u, found.unit, style)


def _quantity(name: str, value: float, u: float, unit: str, style: NumberStyle) -> str:
    if name in PURE:
        return numbers.plus_minus(value, u, style)
    shown_unit, factor = _OUTWARD.get(unit, (unit, 1.0))
    estimate = Estimate(value=value * factor, u=u * factor, low=value, high=value, unit=shown_unit)
    return numbers.quantity(estimate, style)
