"""What the bench page is told: ranges that hold, the fit so far, and what is never said twice."""

from __future__ import annotations

import re
import uuid
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tarebook.api import bench, load
from tarebook.api.bench.belief import finished, fit_so_far
from tarebook.api.bench.reductions import reduce_for_page
from tarebook.diagnosis.bench import expected_next, liquid_in_cup
from tarebook.diagnosis.liquid import compare_liquid
from tarebook.diagnosis.to_come import Belief, Range
from tarebook.model.priors import drawn_parameters, priors
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import write_sheet

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"


def rng(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(seed))


def test_ranges_of_simulated_cups_hold_their_readings() -> None:
    experiment, _ = load(EXAMPLE)
    inside = {Quantity.LIQUID: 0, Quantity.FINAL: 0}
    n = 0
    draws, known = drawn_parameters(experiment, rng(1), 400), priors(experiment)
    for series in range(40):
        one = {
            name: float(getattr(drawn_parameters(experiment, rng(100 + series), 1), name)[0, 0])
            for name in type(draws).__dataclass_fields__
        }
        # The contents that the belief holds for equally likely.
        one["content"] = 0.855 + 0.145 * float(rng(500 + series).random())
        truth = type(draws)(**{name: np.array(value) for name, value in one.items()})
        table = simulate(experiment, truth, rng(900 + series)).table
        check = compare_liquid(experiment, table)
        belief = Belief(content=(0.855, 1.0))
        for run in table.runs:
            liquid = liquid_in_cup(experiment, table, run, check, known)
            found = expected_next(experiment, table, run, belief, liquid, draws, rng(2))
            for quantity in inside:
                (reading,) = table.of(run, quantity)
                inside[quantity] += found[quantity].holds(reading.value)
            n += 1
    # 95 % ranges over 320 cups that share 40 series: the share may be off by a few per cent.
    for quantity, count in inside.items():
        assert 0.90 <= count / n <= 0.995, (quantity, count / n)


def test_the_fit_of_other_cups_narrows_the_last_range(workspace: bench.Workspace) -> None:
    sheet = (EXAMPLE / "readings.csv").read_text()
    lines = sheet.splitlines()
    last = lines[-1].split(",")
    begun = ",".join([*last[:6], "", *last[7:]])
    bench.take_sheet(workspace, "1", "\n".join([*lines[:-1], begun, ""]).encode(), "readings.csv")
    before = _range(workspace, "8")
    event = {
        "id": str(uuid.uuid4()), "kind": "reading", "run": "8", "quantity": "note",
        "typed": "a look", "taken_at": "2026-10-05T14:03:21Z", "device": "phone",
    }  # fmt: skip
    bench.record_events(workspace, "1", [event])  # begins the fit of the seven finished cups
    after = _range(workspace, "8")
    assert after["high"] - after["low"] < 0.5 * (before["high"] - before["low"])
    assert after["low"] <= float(last[6]) <= after["high"]
    belief = workspace.beliefs.of_run("1", "8", workspace.contents)
    assert belief.fitted
    assert belief.content[0] == pytest.approx(0.9476, abs=0.01)
    # A cup that the fit rests on is judged by what was believed without it.
    assert not workspace.beliefs.of_run("1", "3", workspace.contents).fitted


def _range(workspace: bench.Workspace, run: str) -> dict[str, float]:
    view = bench.series_view(workspace, "1")
    (found,) = [one["expected"]["final_g"] for one in view["runs"] if one["run"] == run]
    return dict(found)


def test_finished_needs_every_reading() -> None:
    experiment, table = load(EXAMPLE)
    assert finished(table) == set("12345678")
    less = RunTable(
        runs=table.runs,
        readings=tuple(r for r in table.readings if (r.run, r.quantity) != ("3", Quantity.SAMPLE)),
    )
    assert finished(less) == set("1245678")
    found = fit_so_far(experiment, less)
    assert found.runs == set("1245678")
    assert found.belief is not None


def test_the_first_cup_is_not_blamed_for_what_every_pour_leaves_behind(
    workspace: bench.Workspace, new_event: Any, cup: Any
) -> None:
    for quantity, typed in cup:
        answer = bench.record_events(workspace, "1", [new_event("1", quantity, typed)])
    assert {one["severity"] for one in answer["runs"][0]["said"]} == {"note"}


def test_a_poured_volume_that_is_a_slip_of_the_pen_shows_at_the_next_weighing(
    workspace: bench.Workspace, new_event: Any, cup: Any
) -> None:
    for quantity, typed in dict(cup).items():
        wrong = "43.5" if quantity == "diluent_mL" else typed  # 34.5 with its digits swapped
        answer = bench.record_events(workspace, "1", [new_event("1", quantity, wrong)])
    odd = [one for one in answer["runs"][0]["said"] if one["severity"] != "note"]
    volume = next(one for one in odd if one["reading"] == "diluent_mL")
    assert volume["code"] == "slip-digits-swapped"
    assert "34.5 mL would fit the other readings" in volume["message"]
    assert "If it was 34.5 mL, enter that as a correction" in volume["do"]


def test_ranges_are_the_same_each_time(
    workspace: bench.Workspace, new_event: Any, cup: Any
) -> None:
    for quantity, typed in cup[:-1]:
        bench.record_events(workspace, "1", [new_event("1", quantity, typed)])
    assert _range(workspace, "1") == _range(workspace, "1")


def test_a_range_holds_its_own_ends() -> None:
    assert Range(low=0.1 + 0.2, high=0.7).holds(0.3)
    assert Range(low=0.0, high=0.0).holds(0.0)
    assert not Range(low=0.1, high=0.2).holds(0.2001)


def test_a_sheet_of_simulated_readings_round_trips_through_the_app(
    workspace: bench.Workspace,
) -> None:
    experiment, _ = load(EXAMPLE)
    draws = drawn_parameters(experiment, rng(3), 1)
    one = type(draws)(
        **{name: getattr(draws, name)[0, 0] for name in type(draws).__dataclass_fields__}
    )
    sheet = write_sheet(simulate(experiment, one, rng(4)).table)
    bench.take_sheet(workspace, "3", sheet.encode(), "readings.csv")
    table, odds = bench.table_of_group(workspace, "3"), workspace.odds
    assert bench.report_file(experiment, table, odds, "readings.csv", "")
    kept = bench.report_file(experiment, table, odds, "readings.csv", "2026-10-05")
    assert kept.decode() == sheet


def test_sums_that_fail_are_said_and_tried_again_with_new_readings(
    workspace: bench.Workspace, new_event: Any, monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    def broken(*_: object) -> None:
        raise ZeroDivisionError("a fault of ours")

    bench.record_events(workspace, "1", [new_event("1", "tare_g", "15.79")])
    with monkeypatch.context() as patch:
        patch.setattr("tarebook.api.bench.reductions.reduce_for_page", broken)
        result = bench.group_result(workspace, "1")
        result = bench.group_result(workspace, "1")
    assert not result.pending
    assert "all of them are kept" in result.why_not
    assert "a fault of ours" in caplog.text
    bench.record_events(workspace, "1", [new_event("2", "tare_g", "15.79")])
    assert bench.group_result(workspace, "1").reduced is not None


def test_cups_still_to_be_weighed_are_no_fault(workspace: bench.Workspace, new_event: Any) -> None:
    experiment, table = load(EXAMPLE)
    begun = replace(table, readings=tuple(r for r in table.readings if r.run in ("1", "2")))
    odds = workspace.odds
    so_far = reduce_for_page(experiment, begun, odds)
    assert so_far.story.warning == ""
    assert so_far.story.findings == ()
    lacking = [r for r in table.readings if (r.run, r.quantity) != ("3", Quantity.TARE)]
    whole = reduce_for_page(experiment, replace(table, readings=tuple(lacking)), odds)
    assert "reading-missing" in {found.code for found in whole.story.findings}
    bench.record_events(workspace, "1", [new_event("1", "tare_g", "15.79")])
    assert bench.weighed(workspace.of_group("1")) == 0
    bench.record_events(workspace, "1", [new_event("1", "final_g", "57.79")])
    assert bench.weighed(workspace.of_group("1")) == 1


def test_a_run_is_asked_only_for_what_its_plan_asks(
    tmp_path: Path,
) -> None:
    """A burette, a holder, a blank cup: steps, targets and ranges follow the plan of the run."""
    text = (EXAMPLE / "experiment.toml").read_text(encoding="utf-8")
    ware = '[instruments.reagent]\nkind = "burette"\ncapacity_mL = 50\nread = "start and end"\n'
    text = re.sub(r"\[instruments.reagent\]\n.*?\n(?=\n*\[)", ware, text, flags=re.DOTALL)
    text = re.sub(r"reagent_mL = .*", "reagent_mL = [0, 20]\nsample_g = [0, 1.5]", text)
    text += '\n[weighing]\nsample_in = "holder before and after"\n'
    (tmp_path / "experiment.toml").write_text(text, encoding="utf-8")
    with bench.open_workspace(tmp_path, workers=False) as workspace:
        view = bench.series_view(workspace, "1")
        blank, poured = view["runs"]
        assert blank["not_asked"] == [
            "reagent_start_mL", "reagent_end_mL", "holder_before_g", "holder_after_g",
        ]  # fmt: skip
        assert "evaporates" in blank["hints"]["final_g"]
        assert poured["not_asked"] == []
        assert poured["hints"] == {}
        assert poured["next"] == "tare_g"
        ends = {step["quantity"]: step for step in view["steps"]}
        assert ends["reagent_end_mL"]["from"] == "reagent_start_mL"
        assert ends["holder_before_g"]["counts"] == "sample_g"
        readings = {"tare_g": "12.3", "diluent_mL": "20", "reagent_start_mL": "2.35"}
        for column, typed in readings.items():
            _record(workspace, "2", column, typed)
        (after,) = [one for one in bench.series_view(workspace, "1")["runs"] if one["run"] == "2"]
        assert after["next"] == "reagent_end_mL"
        assert after["expected"]["reagent_end_mL"]["low"] < 22.35
        assert after["expected"]["reagent_end_mL"]["high"] > 22.35
        _record(workspace, "2", "reagent_end_mL", "52.35")
        (odd,) = [one for one in bench.series_view(workspace, "1")["runs"] if one["run"] == "2"]
        assert "reagent_end_mL" in {said["reading"] for said in odd["said"]}


def _record(workspace: bench.Workspace, run: str, column: str, typed: str) -> None:
    event = {
        "id": str(uuid.uuid4()), "kind": "reading", "run": run, "quantity": column,
        "typed": typed, "taken_at": "2026-10-05T14:03:21Z", "device": "phone",
    }  # fmt: skip
    answer = bench.record_events(workspace, "1", [event])
    assert answer["refused"] == []


NAMES = ["1, big cup", 'the "red" one', "Blåbær; 3", "4/x", "=5+1", "Ω", "7?#", "8 '"]


def test_runs_of_any_name_are_recorded_and_shown(tmp_path: Path) -> None:
    text = (EXAMPLE / "experiment.toml").read_text(encoding="utf-8")
    quoted = ", ".join("'''" + name + "'''" if "'" not in name else f'"{name}"' for name in NAMES)
    row, names = re.search(r"reagent_mL = .*", text), f"runs = [{quoted}]"
    assert row is not None
    text = text.replace(row[0], f"{row[0]}\n{names}")
    (tmp_path / "experiment.toml").write_text(text, encoding="utf-8")
    with bench.open_workspace(tmp_path, workers=False) as workspace:
        for name in NAMES:
            _record(workspace, name, "tare_g", "12.31")
        runs = bench.series_view(workspace, "1")["runs"]
        assert [run["run"] for run in runs] == NAMES
        assert {run["next"] for run in runs} == {"diluent_mL"}
