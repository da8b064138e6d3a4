"""The result as one JSON object: the form that scripts and spreadsheets rely on.

A quantity is ``{"value", "u", "low", "high", "unit"}``: `u` the standard uncertainty, `low` and
`high` the ends of the 95 % interval. Keys carry the unit they are in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, TypeAlias

from tarebook.core.quantity import Estimate, Measured
from tarebook.core.units import millilitres
from tarebook.diagnosis.findings import Finding
from tarebook.reduction.results import (
    ClaimComparison,
    LeftOut,
    RunAmounts,
    UsualReduction,
    UsualSeries,
)
from tarebook.report.outcome import Outcome

Json: TypeAlias = dict[str, Any]


def payload(outcome: Outcome) -> Json:
    """Return an outcome as plain dicts, lists, strings and numbers.

    Parameters
    ----------
    outcome : Outcome

    Returns
    -------
    dict
        Keys ``experiment``, ``runs``, ``series``, ``budget``, ``findings``, ``method``. A run that
        has no amounts is there with null for each of them and ``left_out`` saying why.
    """
    experiment, usual = outcome.experiment, outcome.usual
    return {
        "experiment": {
            "title": experiment.title,
            "equation": experiment.reaction.equation.text,
            "hash": experiment.digest,
            "invented": experiment.invented,
        },
        "runs": _runs(outcome),
        "series": _series(usual),
        "budget": [
            {"source": item.source, "share": item.share}
            for item in (usual.series.budget if usual.series else ())
        ],
        "findings": findings_payload(outcome.findings),
        "method": {
            "version": outcome.version,
            "seed": usual.seed,
            "draws": usual.draws,
            "content_basis": usual.content_basis,
        },
    }


def findings_payload(findings: Iterable[Finding]) -> list[Json]:
    """Return findings as plain dicts."""
    return [
        {
            "code": finding.code,
            "severity": finding.severity.value,
            "run": finding.run or None,
            "reading": finding.reading or None,
            "message": finding.message,
            "evidence": {name: _plain(value) for name, value in finding.evidence.items()},
            "do": finding.do,
        }
        for finding in findings
    ]


def _runs(outcome: Outcome) -> list[Json]:
    amounts = {run.run: run for run in outcome.usual.runs}
    left_out = {run.run: run for run in outcome.usual.left_out}
    rows = []
    for run in outcome.table.runs:
        found = [finding for finding in outcome.findings if finding.run == run]
        row = _run(amounts[run]) if run in amounts else _empty_run(left_out[run])
        rows.append({**row, "findings": findings_payload(found)})
    return rows


# A model of the whole series adds gas_full_g, retained_g and pH_expected to each run, and "full"
# beside "usual" in the series.
def _run(run: RunAmounts) -> Json:
    return {
        "run": run.run,
        "reagent_mol": _quantity(run.reagent),
        "sample_mol": _quantity(run.sample),
        "limiting": run.limiting,
        "p_reagent_limiting": run.p_reagent_limiting,
        "gas_usual_g": _quantity(run.gas_found),
        "gas_expected_g": _quantity(run.gas_expected),
        "yield_percent": _quantity(run.yield_percent),
        "yield_of_claim_percent": _quantity(run.yield_of_claim_percent),
        "left_out": None,
        "not_in_fit": run.not_in_fit or None,
    }


def _empty_run(left_out: LeftOut) -> Json:
    quantities = (
        "reagent_mol",
        "sample_mol",
        "limiting",
        "p_reagent_limiting",
        "gas_usual_g",
        "gas_expected_g",
        "yield_percent",
        "yield_of_claim_percent",
    )
    return {
        "run": left_out.run,
        **dict.fromkeys(quantities),
        "left_out": left_out.why,
        "not_in_fit": left_out.why,
    }


def _series(usual: UsualReduction) -> Json:
    if usual.series is None:
        nothing = {"sample_mass_fraction": None, "equivalence_mL": None}
        return {"usual": {**nothing, "no_result_because": usual.no_series_because}}
    return {"usual": _usual(usual.series)}


def _usual(series: UsualSeries) -> Json:
    return {
        "sample_mass_fraction": _quantity(series.sample_mass_fraction),
        "equivalence_mL": _in_millilitres(series.equivalence),
        "content_from_equivalence": _quantity(series.content_from_equivalence),
        "nominal_mass_g": series.nominal_mass,
        "scatter_ratio": series.birge,
        "chi2": series.fit.rss,
        "dof": series.fit.dof,
        "claim": _claim(series.claim) if series.claim else None,
    }


def _claim(claim: ClaimComparison) -> Json:
    return {
        "claimed_mass_fraction": _measured(claim.claimed),
        "difference": claim.difference,
        "u_difference": claim.u_difference,
        "how_many_u": _plain(claim.how_many_u),
        "agrees": claim.agrees,
    }


def _quantity(estimate: Estimate | None) -> Json | None:
    if estimate is None:
        return None
    return {
        "value": estimate.value,
        "u": estimate.u,
        "low": estimate.low,
        "high": estimate.high,
        "unit": estimate.unit,
    }


def _in_millilitres(estimate: Estimate) -> Json:
    return {
        "value": millilitres(estimate.value),
        "u": millilitres(estimate.u),
        "low": millilitres(estimate.low),
        "high": millilitres(estimate.high),
        "unit": "mL",
    }


def _measured(measured: Measured) -> Json:
    return {"value": measured.value, "u": measured.u, "unit": measured.unit}


def _plain(value: float | str) -> float | str | None:
    """Return a value that JSON can hold; a number without bound has none."""
    if isinstance(value, str):
        return value
    return float(value) if math.isfinite(value) else None
