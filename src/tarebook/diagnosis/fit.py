"""Checks of the joint fit: whether it holds, and what it had to bend for that."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from tarebook.findings.finding import Finding, Severity
from tarebook.model.parameters import SCALES, Scale
from tarebook.reduction.joint.results import (
    BeyondModel,
    FullReduction,
    FullRun,
    FullSeries,
    ParameterEstimate,
)

MISFIT_P: Final = 0.001
"""Chance of a worse misfit below which the model and the readings are said to disagree."""

PULLED: Final = 3.0
"""Multiples of the prior uncertainty from which a value contradicts what was known beforehand.

Chance alone does it to one fully learned value in 370."""

WORST: Final = 2
"""Values that a finding names as bent most."""


@dataclass(frozen=True, slots=True)
class _Known:
    """A parameter in words, in the unit it is spoken of, and what to do if it cannot be so."""

    words: str
    unit: str
    factor: float
    do: str


_KNOWN: Final = {
    "own_acid": _Known(
        "acid of the sample itself",
        "mmol/g",
        1e3,
        'Write what the label says of acid in the sample into [sample], or own_acid = "unknown".',
    ),
    "concentration": _Known(
        "strength of the stock",
        "mol/L",
        1.0,
        "Look at the bottle and at how the stock was made; measure its strength again.",
    ),
    "scale_reagent": _Known(
        "scale error of the vessel for the reagent",
        "%",
        1e2,
        "Check the vessel: weigh the water that it delivers.",
    ),
    "scale_diluent": _Known(
        "scale error of the vessel for the diluent",
        "%",
        1e2,
        "Check the vessel: weigh the water that it delivers.",
    ),
    "hold_up_reagent": _Known(
        "reagent left behind at each pour",
        "mL",
        1e3,
        "Was the vessel drained, and rinsed or wiped between the pours? Weigh what it delivers.",
    ),
    "hold_up_diluent": _Known(
        "diluent left behind at each pour",
        "mL",
        1e3,
        "Was the vessel drained, and rinsed or wiped between the pours? Weigh what it delivers.",
    ),
    "gas_pressure": _Known(
        "pressure of the gas that the liquid still holds",
        "kPa",
        1e-3,
        "In an open cup it cannot be far above that of the air. Did every cup stop fizzing and "
        "was it swirled? Did all of the solid dissolve? Is the strength of the stock right?",
    ),
    "degassing": _Known(
        "rate at which the liquid lost its dissolved gas",
        "1/min",
        1.0,
        "Are the minutes right? Were the cups swirled or stirred while they stood?",
    ),
    "head_fraction": _Known(
        "part of the air space still full of gas",
        "%",
        1e2,
        "Fan the gas out of each cup before the last weighing, and say so in [waiting].",
    ),
    "evaporation": _Known(
        "water that evaporates",
        "mg/min",
        1e3,
        "Was there a draught, or warm liquid? A cup of plain water weighed with the others tells.",
    ),
    "vapour_saturation": _Known(
        "moisture of the leaving gas",
        "%",
        1e2,
        "Was the liquid warm, or did spray leave with the gas?",
    ),
    "heat_kept": _Known(
        "part of the heat of reaction that stays in the liquid",
        "%",
        1e2,
        "Read the temperature of a cup when the fizzing stops. Is the solid what it should be?",
    ),
    "waiting": _Known(
        "waiting time where it was not read, over the planned one",
        "",
        1.0,
        "Write down the minutes from the end of the fizzing to the last weighing.",
    ),
    "first_pk_shift": _Known(
        "first pK of carbonic acid",
        "",
        1.0,
        "The chemistry of the cup is probably not what the definition says.",
    ),
    "activity": _Known(
        "gas that the liquid keeps for its activities, in standard uncertainties of the model",
        "",
        1.0,
        "The chemistry of the cup is probably not what the definition says.",
    ),
    "saturation": _Known(
        "ln of the saturation with the solid that is left over",
        "",
        1.0,
        "Was it ground, and did it lie in the liquid long enough? Is the solid what it should be?",
    ),
}


def check_fit(full: FullReduction, *, is_explained: bool = False) -> Iterator[Finding]:
    """Yield what is odd about the joint fit.

    Parameters
    ----------
    full : FullReduction
    is_explained : bool
        Whether another finding names the cause of a fit that was rejected.
    """
    for beyond in full.beyond:
        yield _beyond(beyond)
    if full.rejected is not None and not is_explained:
        yield _impossible(full.rejected, full.rejected_runs)
    if full.series is not None:
        if full.series.p_chi2 < MISFIT_P:
            yield _misfit(full.series, full.runs)
        for parameter in full.series.parameters:
            if abs(parameter.pull) > PULLED and parameter.name in _KNOWN:
                yield _contradicted(parameter)


def worst_residual(runs: tuple[FullRun, ...]) -> tuple[str, str, float] | None:
    """Return run, reading and misfit in u of the reading that fits worst; None without readings."""
    found = [
        (run.run, residual.reading, residual.standardised)
        for run in runs
        for residual in run.residuals
    ]
    return max(found, key=lambda each: abs(each[2]), default=None)


def _beyond(beyond: BeyondModel) -> Finding:
    error = beyond.error
    unit = "" if error.unit == "1" else f" {error.unit}"
    return Finding(
        code="cup-beyond-model",
        severity=Severity.LOOK,
        run=beyond.run,
        message=f"Run {beyond.run}: the model does not hold for this cup ({error.name} "
        f"{error.value:.3g}{unit}, allowed {error.allowed}); the full result leaves it out.",
        do="Look at its readings; if they are right, make such a cup with less solid or with more "
        "liquid next time. The other cups are used as they are.",
        evidence={error.name.replace(" ", "_"): error.value, "allowed": error.allowed},
    )


def _fit_evidence(series: FullSeries) -> dict[str, float | str]:
    return {"chi2": series.chi2, "dof": float(series.dof), "p": series.p_chi2}


def _impossible(series: FullSeries, runs: tuple[FullRun, ...]) -> Finding:
    evidence = _fit_evidence(series)
    bent = sorted(series.parameters, key=lambda each: -abs(each.pull))[:WORST]
    bent = [each for each in bent if abs(each.pull) > PULLED and each.name in _KNOWN]
    strained = ""
    if bent:
        named = " and ".join(f"the {_KNOWN[each.name].words}" for each in bent)
        strained = f" Even so the fit bends {named} far from what was known."
        evidence |= {f"pull_of_{each.name}": each.pull for each in bent}
    worst = worst_residual(runs)
    if worst is not None:
        evidence |= {"worst_run": worst[0], "worst_reading": worst[1], "worst_misfit_u": worst[2]}
    return Finding(
        code="model-impossible",
        severity=Severity.STOP,
        message="The readings and the model of the cup cannot both be right: no content, with all "
        f"else as uncertain as it is, comes near these readings.{strained} So the model's content "
        "is withheld, and the textbook calculation is not to be relied on either.",
        do="Settle the other findings first. Then check the definition: the equation, the strength "
        "of the stock, acid that the sample brings itself, units and times.",
        evidence=evidence,
    )


def _misfit(series: FullSeries, runs: tuple[FullRun, ...]) -> Finding:
    evidence = _fit_evidence(series)
    worst = worst_residual(runs)
    if worst is not None:
        evidence |= {"worst_run": worst[0], "worst_reading": worst[1], "worst_misfit_u": worst[2]}
    return Finding(
        code="model-misfit",
        severity=Severity.LOOK,
        message="The readings do not fit the model of the cup as well as their uncertainties "
        "promise; one of them may be wrong.",
        do="Look at the readings with the largest misfit; take them again if the cup still "
        "stands there.",
        evidence=evidence,
    )


def _contradicted(parameter: ParameterEstimate) -> Finding:
    known = _KNOWN[parameter.name]
    before_u = parameter.prior_u
    scale = SCALES.get(parameter.name, Scale.LINEAR)
    if scale is Scale.LOGARITHMIC:
        before_u *= parameter.prior
    elif scale is Scale.LOGISTIC:
        before_u *= parameter.prior * (1.0 - parameter.prior)
    found, u, before, before_u = (
        known.factor * each
        for each in (parameter.value.value, parameter.value.u, parameter.prior, before_u)
    )
    unit = f" {known.unit}" if known.unit else ""
    suffix = f"_{known.unit}" if known.unit else ""
    return Finding(
        code="known-value-contradicted",
        severity=Severity.LOOK,
        message=f"To fit the readings the {known.words} has to be {found:.3g} ± {u:.2g}{unit}; "
        f"beforehand {before:.3g} ± {before_u:.2g}{unit} was known ({parameter.source.work}). "
        "Something else may be wrong that hides behind it.",
        do=known.do,
        evidence={
            f"found{suffix}": found,
            f"u{suffix}": u,
            f"known{suffix}": before,
            f"known_u{suffix}": before_u,
            "how_many_u": abs(parameter.pull),
            "parameter": parameter.name,
        },
    )
