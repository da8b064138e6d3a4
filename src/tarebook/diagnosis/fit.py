"""Checks of the joint fit: whether it holds, and what it had to bend for that."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from tarebook.core.phrase import Phrase, beyond_range
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


class _Known(NamedTuple):
    """The unit in which a parameter is spoken of, and the factor to it."""

    unit: str
    factor: float


_KNOWN: Final = {
    "own_acid": _Known("mmol/g", 1e3),
    "concentration": _Known("mol/L", 1.0),
    "scale_reagent": _Known("%", 1e2),
    "scale_diluent": _Known("%", 1e2),
    "hold_up_reagent": _Known("mL", 1e3),
    "hold_up_diluent": _Known("mL", 1e3),
    "gas_pressure": _Known("kPa", 1e-3),
    "degassing": _Known("1/min", 1.0),
    "head_fraction": _Known("%", 1e2),
    "evaporation": _Known("mg/min", 1e3),
    "vapour_saturation": _Known("%", 1e2),
    "heat_kept": _Known("%", 1e2),
    "waiting": _Known("", 1.0),
    "first_pk_shift": _Known("", 1.0),
    "activity": _Known("", 1.0),
    "saturation": _Known("", 1.0),
}
"""The parameters of which something is said if they are pulled far."""


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
    return Finding(
        code="cup-beyond-model",
        severity=Severity.LOOK,
        run=beyond.run,
        evidence={error.name.replace(" ", "_"): error.value, "allowed": error.allowed},
        values={"because": beyond_range(error)},
    )


def _fit_evidence(series: FullSeries) -> dict[str, float | str]:
    return {"chi2": series.chi2, "dof": float(series.dof), "p": series.p_chi2}


def _impossible(series: FullSeries, runs: tuple[FullRun, ...]) -> Finding:
    evidence = _fit_evidence(series)
    bent = sorted(series.parameters, key=lambda each: -abs(each.pull))[:WORST]
    bent = [each for each in bent if abs(each.pull) > PULLED and each.name in _KNOWN]
    evidence |= {f"pull_of_{each.name}": each.pull for each in bent}
    worst = worst_residual(runs)
    if worst is not None:
        evidence |= {"worst_run": worst[0], "worst_reading": worst[1], "worst_misfit_u": worst[2]}
    return Finding(
        code="model-impossible",
        severity=Severity.STOP,
        evidence=evidence,
        values={
            "n_bent": len(bent),
            "bent": tuple(Phrase(f"parameter-{each.name}") for each in bent),
        },
    )


def _misfit(series: FullSeries, runs: tuple[FullRun, ...]) -> Finding:
    evidence = _fit_evidence(series)
    worst = worst_residual(runs)
    if worst is not None:
        evidence |= {"worst_run": worst[0], "worst_reading": worst[1], "worst_misfit_u": worst[2]}
    return Finding(
        code="model-misfit",
        severity=Severity.LOOK,
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
    suffix = f"_{known.unit}" if known.unit else ""
    return Finding(
        code="known-value-contradicted",
        severity=Severity.LOOK,
        evidence={
            f"found{suffix}": found,
            f"u{suffix}": u,
            f"known{suffix}": before,
            f"known_u{suffix}": before_u,
            "how_many_u": abs(parameter.pull),
            "parameter": parameter.name,
        },
        values={
            "named": Phrase(f"parameter-{parameter.name}"),
            "found": found,
            "u": u,
            "before": before,
            "before_u": before_u,
            "unit": known.unit,
            "source": parameter.source.work,
        },
        do=Phrase(f"check-{parameter.name}"),
    )
