"""The JSON object keeps the contract."""

from __future__ import annotations

import json

import pytest

from tarebook.report.outcome import Outcome
from tarebook.report.payload import payload

QUANTITY = {"value", "u", "low", "high", "unit"}
RUN = {
    "run", "reagent_mol", "sample_mol", "limiting", "p_reagent_limiting", "gas_usual_g",
    "gas_expected_g", "yield_percent", "findings",
}  # fmt: skip


def test_it_is_json_with_the_keys_of_the_contract(outcome: Outcome) -> None:
    made = json.loads(json.dumps(payload(outcome), allow_nan=False))
    assert set(made) == {"experiment", "runs", "series", "budget", "findings", "method"}
    assert {"title", "equation", "hash"} <= set(made["experiment"])
    assert all(set(run) >= RUN for run in made["runs"])
    usual = made["series"]["usual"]
    assert set(usual["sample_mass_fraction"]) == set(usual["equivalence_mL"]) == QUANTITY
    assert {"version", "seed", "draws"} <= set(made["method"])
    keys = {"code", "severity", "run", "reading", "message", "evidence", "do"}
    assert made["findings"]
    assert all(set(finding) == keys for finding in made["findings"])


def test_numbers_are_those_of_the_outcome_in_the_unit_of_the_key(outcome: Outcome) -> None:
    made, series = payload(outcome), outcome.usual.series
    assert series is not None
    equivalence = made["series"]["usual"]["equivalence_mL"]
    assert equivalence["unit"] == "mL"
    assert equivalence["value"] == pytest.approx(1000 * series.equivalence.value)
    assert equivalence["low"] < equivalence["value"] < equivalence["high"]
    assert made["runs"][2]["reagent_mol"]["value"] == outcome.usual.runs[2].reagent.value
    assert sum(item["share"] for item in made["budget"]) == pytest.approx(1.0)


def test_a_run_that_is_left_out_stays_with_nulls_and_why(outcome: Outcome) -> None:
    last = payload(outcome)["runs"][-1]
    assert last["run"] == "9"
    assert last["gas_usual_g"] is None
    assert last["limiting"] is None
    assert "the final mass" in last["left_out"]
    assert [finding["code"] for finding in last["findings"]] == ["reading-missing"]


def test_a_row_without_changeover_says_so(open_outcome: Outcome) -> None:
    made = payload(open_outcome)
    assert made["series"]["usual"]["sample_mass_fraction"] is None
    assert made["series"]["usual"]["no_result_because"]
    assert made["budget"] == []
    assert json.dumps(made, allow_nan=False)
