"""What the model of the cup says of a run and of its parameters, as plain dicts."""

from __future__ import annotations

from collections.abc import Iterable

from tarebook.core.units import millilitres
from tarebook.model.parameters import SCALES, Scale
from tarebook.reduction.joint.results import MissingReading, ParameterEstimate, ReadingResidual
from tarebook.report.payload_quantities import Json, plain, quantity
from tarebook.report.run_results import RunResult


def model_of_run(result: RunResult) -> Json:
    """Return the part of a run that only the model knows; null throughout where it has none.

    ``corrections`` are what turns the mass lost into the gas made: lost + dissolved + head gas -
    vapour - evaporated + rest, the last being the buoyancy of the air and what the fit finds the
    balances to be off.
    """
    run = result.full
    if run is None:
        nothing = ("gas_full_g", "retained_g", "pH_expected", "corrections", "extrapolated",
                   "residuals")  # fmt: skip
        return dict.fromkeys(nothing)
    return {
        "gas_full_g": quantity(run.gas_full),
        "retained_g": quantity(run.retained),
        "pH_expected": quantity(run.ph),
        "corrections": {
            "dissolved_g": run.dissolved,
            "head_gas_g": run.head_gas,
            "vapour_g": run.vapour,
            "evaporated_g": run.evaporated,
            "rest_g": result.rest,
        },
        "extrapolated": run.extrapolated,
        "residuals": [_residual(residual) for residual in run.residuals],
    }


def _residual(residual: ReadingResidual) -> Json:
    factor = float(millilitres(1.0)) if residual.reading.endswith("_mL") else 1.0
    return {
        "reading": residual.reading,
        "observed": residual.observed * factor,
        "expected": residual.expected * factor,
        "u": plain(residual.u * factor),
        "standardised": residual.standardised,
        "leverage": residual.leverage,
    }


def parameters_payload(parameters: Iterable[ParameterEstimate]) -> list[Json]:
    """Return what was known of each parameter and what the readings made of it.

    ``prior_u`` is on the scale named beside it: relative on the logarithmic, of the logit on the
    logistic one; null where nothing was known.
    """
    return [
        {
            "name": parameter.name,
            "value": quantity(parameter.value),
            "prior": parameter.prior,
            "prior_u": plain(parameter.prior_u),
            "scale": SCALES.get(parameter.name, Scale.LINEAR).value,
            "learned": parameter.learned,
            "source": parameter.source.work,
            "basis": parameter.source.basis,
        }
        for parameter in parameters
    ]


def missing_payload(missing: Iterable[MissingReading]) -> list[Json]:
    """Return the readings that were not taken, with the u of the content if one had been."""
    return [
        {"run": each.run, "reading": each.reading, "content_u_if_taken": each.u_if_taken}
        for each in missing
    ]
