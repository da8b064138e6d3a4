"""The JSON object keeps the contract."""

from __future__ import annotations

import json
from typing import Any

import pytest
from tests.words import said

from tarebook.model.parameters import SCALES
from tarebook.report.outcome import Outcome
from tarebook.report.payload import payload

QUANTITY = {"value", "u", "low", "high", "unit"}
RUN_QUANTITIES = {
    "reagent_mol": "mol", "sample_mol": "mol", "gas_usual_g": "g", "gas_full_g": "g",
    "gas_expected_g": "g", "retained_g": "g", "yield_percent": "%", "pH_expected": "1",
}  # fmt: skip
RUN = {"run", "limiting", "p_reagent_limiting", "findings", "usual", *RUN_QUANTITIES}
USUAL_RUN = {
    "reagent_mol", "sample_mol", "limiting", "p_reagent_limiting", "gas_expected_g",
    "yield_percent",
}  # fmt: skip
FULL = {
    "sample_mass_fraction": "g/g", "equivalence_mL": "mL", "own_acid_mmol_per_g": "mmol/g",
    "holdup_mL": "mL",
}  # fmt: skip
FINDING = {"code", "severity", "run", "reading", "message", "evidence", "do"}


def in_order(quantity: dict[str, Any], unit: str) -> None:
    assert set(quantity) == QUANTITY
    assert quantity["unit"] == unit
    assert quantity["u"] >= 0
    assert quantity["low"] <= quantity["value"] <= quantity["high"]


def test_each_example_keeps_the_contract(example: Outcome) -> None:
    made = json.loads(json.dumps(payload(example), allow_nan=False))
    assert set(made) == {"experiment", "runs", "series", "budget", "findings", "method"}
    assert {"title", "equation", "hash"} <= set(made["experiment"])
    assert [run["run"] for run in made["runs"]] == list(example.table.runs)
    for run in made["runs"]:
        assert set(run) >= RUN
        assert set(run["usual"]) >= USUAL_RUN
        assert all(set(finding) == FINDING for finding in run["findings"])
        # A doubtful reading that the full result leaves out leaves no mass lost to show.
        if run["left_out"] or run["gas_usual_g"] is None:
            continue
        for name, unit in RUN_QUANTITIES.items():
            in_order(run[name], unit)
        assert run["limiting"] in ("reagent", "sample")
        assert 0 <= run["p_reagent_limiting"] <= 1
        assert 0 < run["retained_g"]["value"] < run["gas_full_g"]["value"]
    usual, full = made["series"]["usual"], made["series"]["full"]
    in_order(usual["sample_mass_fraction"], "g/g")
    in_order(usual["equivalence_mL"], "mL")
    for name, unit in FULL.items():
        in_order(full[name], unit)
    assert full["chi2"] > 0
    assert isinstance(full["dof"], int)
    assert full["interval_method"] in ("linear", "profile")
    assert set(full["claim"]) == set(usual["claim"])
    for budget in (made["budget"], usual["budget"]):
        assert sum(item["share"] for item in budget) == pytest.approx(1.0)
    assert made["budget"] != usual["budget"]
    assert {"version", "seed", "draws"} <= set(made["method"])
    assert made["method"]["main_result"] == "full"
    assert all(set(finding) == FINDING for finding in made["findings"])


def test_the_waterfall_ends_at_the_full_content(example: Outcome) -> None:
    series = payload(example)["series"]
    steps = series["full"]["waterfall"]
    assert steps[0]["mass_fraction"] == series["usual"]["sample_mass_fraction"]["value"]
    total = steps[0]["mass_fraction"] + sum(step["change"] for step in steps)
    full = series["full"]["sample_mass_fraction"]["value"]
    assert total == pytest.approx(full, abs=1e-4)


def test_the_corrections_lead_from_the_mass_lost_to_the_gas_made(example: Outcome) -> None:
    for run in payload(example)["runs"]:
        if run["gas_full_g"] is None:
            continue
        parts = run["corrections"]
        made = (
            run["gas_usual_g"]["value"]
            + parts["dissolved_g"]
            + parts["head_gas_g"]
            - parts["vapour_g"]
            - parts["evaporated_g"]
            + parts["rest_g"]
        )
        assert made == pytest.approx(run["gas_full_g"]["value"])
        held = parts["dissolved_g"] + parts["head_gas_g"]
        assert held == pytest.approx(run["retained_g"]["value"])
        # Buoyancy of less than a gram of gas is below 1 mg; the balance errs by its linearity.
        assert abs(parts["rest_g"]) < 1e-3 + 2 * example.experiment.equipment.balance.linearity_u


def test_parameters_say_what_was_known_and_what_was_learned(outcome: Outcome) -> None:
    full = payload(outcome)["series"]["full"]
    by_name = {parameter["name"]: parameter for parameter in full["parameters"]}
    assert by_name["content"]["prior_u"] is None
    for name, scale in SCALES.items():
        assert by_name[name]["scale"] == scale.value
    assert by_name["concentration"]["scale"] == "linear"
    for parameter in by_name.values():
        in_order(parameter["value"], parameter["value"]["unit"])
        assert 0 <= parameter["learned"] <= 1
        assert parameter["source"]
        assert parameter["basis"]
    assert set(full["uninformed"]) <= set(by_name)
    assert full["holdup_mL"]["value"] == pytest.approx(
        1000 * by_name["hold_up_reagent"]["value"]["value"]
    )
    assert full["own_acid_mmol_per_g"]["u"] == pytest.approx(
        1000 * by_name["own_acid"]["value"]["u"]
    )


def test_residuals_stand_in_the_unit_of_their_column(outcome: Outcome) -> None:
    first = payload(outcome)["runs"][0]
    read = {row["reading"]: row["observed"] for row in first["residuals"]}
    assert read == pytest.approx(
        {"tare_g": 12.16, "reagent_mL": 6.0, "diluent_mL": 34.4, "vessel_liquid_g": 52.35,
         "sample_g": 1.49, "final_g": 53.66}
    )  # fmt: skip


def test_numbers_are_those_of_the_outcome_in_the_unit_of_the_key(outcome: Outcome) -> None:
    made, series = payload(outcome), outcome.usual.series
    assert series is not None
    equivalence = made["series"]["usual"]["equivalence_mL"]
    assert equivalence["value"] == pytest.approx(1000 * series.equivalence.value)
    third = made["runs"][2]
    assert third["reagent_mol"]["value"] == outcome.full.runs[2].reagent.value
    assert third["usual"]["reagent_mol"]["value"] == outcome.usual.runs[2].reagent.value
    ratio = third["gas_usual_g"]["value"] / third["gas_expected_g"]["value"]
    assert third["yield_percent"]["value"] == pytest.approx(100 * ratio)


def test_without_the_model_the_usual_sum_answers(usual_outcome: Outcome) -> None:
    made = json.loads(json.dumps(payload(usual_outcome), allow_nan=False))
    full = made["series"]["full"]
    assert full["sample_mass_fraction"] is None
    assert full["no_result_because"] == said(usual_outcome.full.no_series_because)
    third = made["runs"][2]
    assert third["reagent_mol"] == third["usual"]["reagent_mol"]
    assert third["gas_full_g"] is third["retained_g"] is third["pH_expected"] is None
    assert made["budget"] == made["series"]["usual"]["budget"]
    assert made["method"]["main_result"] == "usual"


def test_a_run_that_only_the_model_can_use_stays_with_its_amounts(outcome: Outcome) -> None:
    last = payload(outcome)["runs"][-1]
    assert last["run"] == "9"
    assert last["gas_usual_g"] is last["gas_full_g"] is last["yield_percent"] is None
    in_order(last["gas_expected_g"], "g")
    in_order(last["pH_expected"], "1")
    assert last["left_out"] is None
    assert "the final mass" in last["usual"]["left_out"]
    assert [finding["code"] for finding in last["findings"]] == ["reading-missing"]


def test_a_run_that_nothing_can_use_stays_with_nulls_and_why(usual_outcome: Outcome) -> None:
    last = payload(usual_outcome)["runs"][-1]
    assert last["gas_usual_g"] is last["limiting"] is last["gas_expected_g"] is None
    assert "the final mass" in last["left_out"]


def test_a_row_without_changeover_says_so(open_outcome: Outcome) -> None:
    made = payload(open_outcome)
    assert made["series"]["usual"]["sample_mass_fraction"] is None
    assert made["series"]["usual"]["no_result_because"]
    assert made["series"]["usual"]["budget"] == []
    assert json.dumps(made, allow_nan=False)
