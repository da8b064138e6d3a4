"""The result as one JSON object: the form that scripts and spreadsheets rely on.

A quantity is ``{"value", "u", "low", "high", "unit"}``: `u` the standard uncertainty, `low` and
`high` the ends of the 95 % interval. Keys carry the unit they are in.
"""

from __future__ import annotations

from collections.abc import Iterable

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding
from tarebook.records.source import ReadingsSource
from tarebook.records.stage import stage_of_run
from tarebook.reduction.joint.results import FullReduction, FullSeries
from tarebook.reduction.results import (
    BudgetShare,
    ClaimComparison,
    RunAmounts,
    UsualReduction,
    UsualSeries,
)
from tarebook.report.handover.payload import cup_payload, row_payload
from tarebook.report.languages.writing import Writing, in_files
from tarebook.report.noticed import message, to_do
from tarebook.report.outcome import Outcome
from tarebook.report.payload_model import missing_payload, model_of_run, parameters_payload
from tarebook.report.payload_quantities import (
    Json,
    in_millilitres,
    in_unit,
    measured,
    plain,
    quantity,
)
from tarebook.report.run_results import RunResult, run_results

__all__ = ["Json", "findings_payload", "main_budget", "main_result", "payload"]


def payload(outcome: Outcome) -> Json:
    """Return an outcome as plain dicts, lists, strings and numbers.

    Parameters
    ----------
    outcome : Outcome

    Returns
    -------
    dict
        Keys ``experiment``, ``runs``, ``series``, ``budget``, ``findings``, ``method``. The numbers
        of a run are the model's where it was fitted; those of the textbook calculation alone stand
        under ``usual``. What is lacking is null: ``left_out`` of a run says why nothing was found,
        ``not_in_full`` why the fit did not use it, ``usual.left_out`` and ``usual.not_in_fit`` the
        same of the textbook calculation. ``stage`` says how far a run and the row have come, and
        ``handover`` what is known of a cup and a row that are not finished
        (see `tarebook.report.handover.payload`). ``grows`` of the row is what grows along it; where
        it is the sample, ``equivalence_g`` is the sample that uses up the reagent of a cup, else
        null; ``equivalence_mL`` is always the reagent for the nominal sample.
    """
    experiment, usual, full = outcome.experiment, outcome.usual, outcome.full
    return {
        "experiment": {
            "title": experiment.title,
            "equation": experiment.reaction.equation.text,
            "hash": experiment.digest,
            "invented": experiment.invented,
        },
        "runs": [_run(outcome, result) for result in run_results(outcome)],
        "series": {
            "stage": outcome.stage.stage.value,
            "furthest_stage": outcome.stage.furthest.value,
            "grows": outcome.experiment.grows,
            "usual": _usual_series(usual),
            "full": _full_series(full),
            "handover": row_payload(outcome.handover),
        },
        "budget": _budget(main_budget(outcome)),
        "findings": findings_payload(outcome.findings),
        "method": {
            "version": outcome.version,
            "seed": usual.seed,
            "draws": usual.draws,
            "readings": source_payload(outcome.source),
            "content_basis": usual.content_basis,
            "main_result": main_result(outcome),
            "full": "joint weighted least squares of all readings and priors by the model of the "
            "cup",
            "usual": "two lines through the mass lost, uncertainty by Monte Carlo",
        },
    }


def main_result(outcome: Outcome) -> str | None:
    """Return which of the two results is the answer: the model's where there is one."""
    if outcome.series is None:
        return None
    return "full" if outcome.full.series is not None else "usual"


def main_budget(outcome: Outcome) -> tuple[BudgetShare, ...]:
    """Return the budget of the main result; empty if there is none."""
    series = outcome.series
    return series.budget if series else ()


def findings_payload(
    findings: Iterable[Finding], *, of_one_run: bool = False, how: Writing | None = None
) -> list[Json]:
    """Return findings as plain dicts.

    Parameters
    ----------
    findings : iterable of Finding
    of_one_run : bool
        Whether they stand where everybody sees which run they are about.
    how : Writing, optional
        As in files if not given.
    """
    how = how or in_files()
    return [
        {
            "code": finding.code,
            "severity": finding.severity.value,
            "run": finding.run or None,
            "reading": finding.reading or None,
            "message": message(finding, how, names_run=not of_one_run),
            "evidence": {name: plain(value) for name, value in finding.evidence.items()},
            "do": to_do(finding, how),
        }
        for finding in findings
    ]


def _run(outcome: Outcome, result: RunResult) -> Json:
    found = [finding for finding in outcome.findings if finding.run == result.run]
    claim = result.usual.yield_of_claim_percent if result.usual else None
    nothing = result.usual is None and result.full is None
    cup = cup_payload(outcome, result.run)
    return {
        "run": result.run,
        "stage": stage_of_run(outcome.table, result.run).value,
        "reagent_mol": quantity(result.reagent) or (cup or {}).get("reagent_mol"),
        "sample_mol": quantity(result.sample),
        "limiting": result.limiting,
        "p_reagent_limiting": result.p_reagent_limiting,
        "gas_usual_g": quantity(result.lost),
        "gas_expected_g": quantity(result.gas_expected),
        "yield_percent": quantity(result.yield_percent),
        "yield_of_claim_percent": quantity(claim),
        **model_of_run(result),
        "usual": _usual_run(result.usual) if result.usual else _no_usual(result.why_not_usual),
        "left_out": _why(result.why_not_usual) if nothing else None,
        "not_in_full": _why(result.why_not_full),
        "handover": cup,
        "findings": findings_payload(found),
    }


def _usual_run(run: RunAmounts) -> Json:
    return {
        "reagent_mol": quantity(run.reagent),
        "sample_mol": quantity(run.sample),
        "limiting": run.limiting,
        "p_reagent_limiting": run.p_reagent_limiting,
        "gas_expected_g": quantity(run.gas_expected),
        "yield_percent": quantity(run.yield_percent),
        "left_out": None,
        "not_in_fit": _why(run.not_in_fit),
    }


def _why(phrase: Phrase | None) -> str | None:
    return in_files().say(phrase) or None


def _no_usual(why: Phrase | None) -> Json:
    nothing = ("reagent_mol", "sample_mol", "limiting", "p_reagent_limiting", "gas_expected_g",
               "yield_percent")  # fmt: skip
    return {**dict.fromkeys(nothing), "left_out": _why(why), "not_in_fit": _why(why)}


def _usual_series(usual: UsualReduction) -> Json:
    if usual.series is None:
        nothing: Json = {"sample_mass_fraction": None, "equivalence_mL": None,
                         "equivalence_g": None, "budget": []}  # fmt: skip
        return {**nothing, "no_result_because": _why(usual.no_series_because)}
    return _usual(usual.series)


def _usual(series: UsualSeries) -> Json:
    return {
        "sample_mass_fraction": quantity(series.sample_mass_fraction),
        "equivalence_mL": in_millilitres(series.equivalence),
        "equivalence_g": quantity(series.equivalence_sample),
        "content_from_equivalence": quantity(series.content_from_equivalence),
        "nominal_mass_g": series.nominal_mass,
        "scatter_ratio": series.birge,
        "chi2": series.fit.rss,
        "dof": series.fit.dof,
        "shapes": [
            {
                "shape": fit.shape.value,
                "parameters": fit.n_parameters,
                "chi2": fit.rss,
                "aic": fit.aic,
                "weight": fit.weight,
            }
            for fit in series.shapes
        ],
        "claim": _claim(series.claim) if series.claim else None,
        "budget": _budget(series.budget),
    }


def _full_series(full: FullReduction) -> Json:
    if full.series is None:
        nothing = ("sample_mass_fraction", "equivalence_mL", "equivalence_g",
                   "own_acid_mmol_per_g", "holdup_mL", "chi2", "dof")  # fmt: skip
        fit = full.rejected
        misfit = {"chi2": fit.chi2, "dof": fit.dof, "p_chi2": fit.p_chi2} if fit else {}
        why = {"no_result_because": _why(full.no_series_because)}
        return {**dict.fromkeys(nothing), **misfit, **why}
    return _full(full.series)


def _full(series: FullSeries) -> Json:
    return {
        "sample_mass_fraction": quantity(series.sample_mass_fraction),
        "equivalence_mL": in_millilitres(series.equivalence),
        "equivalence_g": quantity(series.equivalence_sample),
        "own_acid_mmol_per_g": in_unit(series.own_acid, 1000.0, "mmol/g"),
        "holdup_mL": in_millilitres(series.hold_up),
        "holdup_diluent_mL": in_millilitres(series.hold_up_diluent),
        "chi2": series.chi2,
        "dof": series.dof,
        "p_chi2": series.p_chi2,
        "interval_method": series.interval_method,
        "claim": _claim(series.claim) if series.claim else None,
        "waterfall": [
            {"label": step.label, "mass_fraction": step.content, "change": step.change}
            for step in series.waterfall
        ],
        "parameters": parameters_payload(series.parameters),
        "confounded": [
            {"first": pair.first, "second": pair.second, "correlation": pair.correlation}
            for pair in series.confounded
        ],
        "uninformed": list(series.uninformed),
        "assumptions": [in_files().say(each) for each in series.assumptions],
        "missing": missing_payload(series.missing),
    }


def _budget(shares: Iterable[BudgetShare]) -> list[Json]:
    return [{"source": item.source, "share": item.share} for item in shares]


def _claim(claim: ClaimComparison) -> Json:
    return {
        "claimed_mass_fraction": measured(claim.claimed),
        "difference": claim.difference,
        "u_difference": claim.u_difference,
        "how_many_u": plain(claim.how_many_u),
        "agrees": claim.agrees,
    }


def source_payload(source: ReadingsSource) -> Json:
    """Return which readings were used."""
    head = source.head
    return {
        "from": "sheet" if head is None else "record",
        "group": source.group,
        "events": head.count if head else 0,
        "last_hash": head.hash if head else "",
        "definitions": [
            {"event": one.event, "sha256": one.digest, "events": one.n_events}
            for one in source.taken_by
        ],
        "definition_now_sha256": source.definition_now,
    }
