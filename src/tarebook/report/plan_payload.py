"""The plan as one JSON object; keys carry the unit they are in."""

from __future__ import annotations

import math

from tarebook.core.quantity import Estimate
from tarebook.core.units import celsius, millilitres
from tarebook.planning.exactness import KindCare, ReadingCare
from tarebook.planning.plan import Lesson, Plan
from tarebook.planning.prepare.amounts import equivalence_mass, equivalence_volume
from tarebook.planning.remedies import Remedy, RemedyKind
from tarebook.planning.rows import Best, Row
from tarebook.planning.variants import Variant
from tarebook.records.readings import VOLUMES
from tarebook.report import typeset
from tarebook.report.languages.writing import Writing, in_files
from tarebook.report.payload import Json, findings_payload
from tarebook.report.plan_outcome import PlanOutcome

_UNITS = {
    RemedyKind.STOCK: "mol/L",
    RemedyKind.SAMPLE: "g",
    RemedyKind.ROW: "mL",
    RemedyKind.BALANCE: "g",
    RemedyKind.VESSEL: "mL",
}
"""Units in which what would mend a row is told."""


def plan_payload(outcome: PlanOutcome) -> Json:
    """Return a plan as plain dicts, lists, strings and numbers.

    Parameters
    ----------
    outcome : PlanOutcome

    Returns
    -------
    dict
        Keys ``experiment``, ``works``, ``wishes``, ``content_planned_for``, ``equivalence_mL``,
        ``equivalence_g`` (both as the ware is read), ``equivalence_by_equation_mL``,
        ``equivalence_by_equation_g``, ``runs``, ``curve``, ``vessel``, ``consumption``, ``rows``,
        ``other_sample``, ``exactness``, ``upgrades``, ``what_if``, ``findings``, ``method``.
    """
    plan = outcome.plan
    experiment, expected = plan.experiment, plan.expected
    how = in_files()
    findings = findings_payload(plan.findings)
    for said, finding in zip(findings, plan.findings, strict=True):
        said["remedies"] = _remedies(plan.remedies.get(finding.code, ()), how)
    return {
        "experiment": {
            "title": experiment.title,
            "invented": experiment.invented or None,
            "equation": typeset.equation(experiment.reaction.equation),
            "hash": experiment.digest,
        },
        "works": plan.works,
        "laid_out_anew": plan.laid_out_anew,
        "wishes": _wishes(plan),
        "stock_mol_per_L": experiment.reagent.concentration.value,
        "sample_g": experiment.sample.nominal_mass,
        "total_mL": millilitres(experiment.total_volume),
        "content_planned_for": {
            "low": plan.contents.low,
            "centre": plan.contents.centre,
            "high": plan.contents.high,
            "claimed": plan.contents.claimed,
            "unit": "g/g",
        },
        "equivalence_mL": {
            **_millilitres(expected.equivalence),
            "place_in_row": _number(plan.place),
            "between_runs": list(plan.between) or None,
        },
        "equivalence_g": _quantity(grams) if (grams := expected.equivalence_sample) else None,
        "equivalence_by_equation_mL": millilitres(equivalence_volume(experiment)),
        "equivalence_by_equation_g": (
            _number(equivalence_mass(experiment)) if expected.equivalence_sample else None
        ),
        "runs": _runs(plan),
        "curve": [
            {
                "reagent_mL": millilitres(point.reagent),
                "sample_g": point.sample,
                "lost_g": point.lost,
                "low_g": point.low,
                "high_g": point.high,
            }
            for point in expected.curve
        ],
        "vessel": _vessel(plan),
        "consumption": {
            "stock_mL": millilitres(plan.consumption.stock),
            "diluent_mL": millilitres(plan.consumption.diluent),
            "sample_g": plan.consumption.sample,
        },
        "rows": [_row(row, plan) for row in plan.rows],
        "other_sample": (
            {"sample_g": plan.other_sample.mass, **_row(plan.other_sample.row, None)}
            if plan.other_sample
            else None
        ),
        "exactness": {
            "u": _wanted(plan, plan.exactness.u),
            "kinds": [_kind(kind) for kind in plan.exactness.kinds],
            "readings": [_reading(care, plan) for care in plan.exactness.readings],
        },
        "upgrades": [
            {
                "instrument": how.say(upgrade.what),
                "instead_of": upgrade.replaces,
                "u": _wanted(plan, upgrade.u),
                "gain": upgrade.gain,
            }
            for upgrade in plan.upgrades
        ],
        "what_if": [_variant(variant, how) for variant in plan.variants],
        "findings": findings,
        "method": {
            "version": outcome.version,
            "seed": outcome.seed,
            "draws": expected.n_draws,
            "best_for": plan.wishes.best.value,
        },
    }


def _wishes(plan: Plan) -> Json:
    wishes = plan.wishes
    total = wishes.total_volume
    return {
        "total_mL": None if total is None else millilitres(total),
        "runs": wishes.n_runs,
        "sample_g": wishes.sample_mass,
        "stock_mol_per_L": wishes.stock,
        "best": wishes.best.value,
    }


def _runs(plan: Plan) -> list[Json]:
    rows = []
    for run, lesson in zip(plan.expected.runs, plan.lessons, strict=True):
        rows.append(
            {
                "run": run.run,
                "reagent_mL": millilitres(run.reagent),
                "diluent_mL": millilitres(run.diluent),
                "sample_g": plan.experiment.sample_asked(run.run),
                "lost_g": _quantity(run.lost),
                "lost_over_u": run.lost.value / run.lost_u,
                "p_reagent_limiting": run.p_reagent_limiting,
                "pH_expected": run.ph,
                "gas_mL": millilitres(run.gas),
                "undissolved_g": run.undissolved,
                **_lesson(lesson),
            }
        )
    return rows


def _lesson(lesson: Lesson) -> Json:
    return {
        "without_it_u_content_grows_by": lesson.content,
        "without_it_u_equivalence_grows_by": lesson.equivalence,
    }


def _vessel(plan: Plan) -> Json:
    experiment = plan.experiment
    return {
        "capacity_mL": millilitres(experiment.vessel.capacity),
        "liquid_mL": millilitres(experiment.total_volume),
        "fill_height_mm": 1000.0 * plan.expected.runs[0].fill_height,
        "height_mm": 1000.0 * experiment.vessel.height,
        "foam_mL": millilitres(max(run.foam for run in plan.expected.runs)),
        "room_C": celsius(experiment.room.temperature),
    }


def _row(row: Row, plan: Plan | None) -> Json:
    said: Json = {
        "name": row.name,
        "reagent_mL": [round(millilitres(volume), 6) for volume in row.reagent],
        "u_content": row.u_content,
        "u_equivalence_mL": millilitres(row.u_equivalence),
        "runs_before": row.before,
        "runs_after": row.after,
    }
    if plan is not None:
        said["gain_over_equal_steps"] = plan.gain(row.name)
    return said


def _wanted(plan: Plan, u: float) -> Json:
    if plan.wishes.best is Best.CONTENT:
        return {"of": "content", "value": u, "unit": "g/g"}
    return {"of": "equivalence", "value": millilitres(u), "unit": "mL"}


def _kind(kind: KindCare) -> Json:
    factor = 1000.0 if kind.quantity in VOLUMES else 1.0
    return {
        "reading": kind.quantity.value,
        "unit": kind.quantity.unit,
        "run": kind.run,
        "harmless_misreading": _number(factor * kind.read_to),
        "u_of_one_reading": _number(factor * kind.instrument_u),
        "harmless_miss": None if kind.miss is None else factor * kind.miss,
        "harmless_miss_run": kind.miss_run or None,
    }


def _reading(care: ReadingCare, plan: Plan) -> Json:
    factor = 1000.0 if care.quantity in VOLUMES else 1.0
    out = 1.0 if plan.wishes.best is Best.CONTENT else 1000.0

    def scaled(value: float | None) -> float | None:
        return None if value is None else factor * value

    return {
        "run": care.run,
        "reading": care.quantity.value,
        "unit": care.quantity.unit,
        "target": scaled(care.target),
        "target_low": scaled(care.target_low),
        "target_high": scaled(care.target_high),
        "shift_per_unit": care.influence * out / factor,
        "harmless_misreading": _number(factor * care.read_to),
    }


def _variant(variant: Variant, how: Writing) -> Json:
    return {
        "what": how.say(variant.what),
        "u_content": variant.u_content,
        "u_equivalence_mL": millilitres(variant.u_equivalence),
        "equivalence_mL": millilitres(variant.equivalence),
        "place_in_row": variant.place,
        "largest_loss_g": variant.lost,
        "runs": variant.runs,
        "stock_mL": millilitres(variant.stock),
        "sample_g": variant.sample,
    }


def _remedies(remedies: tuple[Remedy, ...], how: Writing) -> list[Json]:
    return [
        {
            "kind": remedy.kind.value,
            "use": how.say(remedy.use),
            "value": (millilitres(remedy.value) if _UNITS[remedy.kind] == "mL" else remedy.value),
            "unit": _UNITS[remedy.kind],
            "equivalence_mL": millilitres(remedy.equivalence),
        }
        for remedy in remedies
    ]


def _quantity(estimate: Estimate) -> Json:
    return {
        "value": estimate.value,
        "u": estimate.u,
        "low": estimate.low,
        "high": estimate.high,
        "unit": estimate.unit,
    }


def _millilitres(estimate: Estimate) -> Json:
    return {
        "value": millilitres(estimate.value),
        "u": millilitres(estimate.u),
        "low": millilitres(estimate.low),
        "high": millilitres(estimate.high),
        "unit": "mL",
    }


def _number(value: float) -> float | None:
    """Return a number that JSON can hold: one without bound has none."""
    return value if math.isfinite(value) else None
