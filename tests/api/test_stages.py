"""A row at any stage, through the functions and commands that people use."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from tests.poured_rows import LABORATORIES, changed, poured, simulated, without

from tarebook import api
from tarebook.api.bench.say import known_before, look_at_group, look_at_run
from tarebook.api.reduce_series import must_stop, reduce_table
from tarebook.cli import main
from tarebook.diagnosis.handover import Fitness
from tarebook.diagnosis.to_come import Belief, Range
from tarebook.findings.finding import Severity
from tarebook.planning.contents import content_range
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import write_sheet
from tarebook.records.stage import Stage
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition

NEVER = {"no-change-over", "no-full-result", "few-runs-on-a-side"}
"""Findings that would accuse a row which nobody has begun."""


def outcome_of(name: str, table: RunTable) -> Outcome:
    experiment = parse_definition(LABORATORIES[name])
    return reduce_table(experiment, table, seed=1, draws=1_000, made_on="")


def codes(outcome: Outcome) -> set[str]:
    return {finding.code for finding in outcome.findings}


@pytest.fixture(params=sorted(LABORATORIES))
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_clean_rows_of_filled_cups_are_fit(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    verdicts = []
    for seed in range(20):
        outcome = outcome_of(name, poured(experiment, 100 + seed).table)
        assert outcome.stage.stage is Stage.POURED
        assert outcome.handover is not None
        assert not codes(outcome) & NEVER
        verdicts.append(outcome.handover.fitness)
    # Of 8 cups each, one liquid in 370 lies beyond 3 u by chance.
    assert verdicts.count(Fitness.FIT) >= 18
    assert Fitness.NOT_FIT not in verdicts


def test_a_wrong_tare_is_said_and_its_mass_is_not_used(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    made = poured(experiment, 7)
    clean = outcome_of(name, made.table)
    spoilt = outcome_of(name, changed(made.table, "3", Quantity.TARE, 1.0))
    assert clean.handover is not None
    assert spoilt.handover is not None
    assert spoilt.handover.fitness is not Fitness.FIT
    assert ["3"] in [list(reason.runs) for reason in spoilt.handover.reasons]
    cup, clean_cup = spoilt.handover.poured.cup("3"), clean.handover.poured.cup("3")
    assert cup is not None
    assert clean_cup is not None
    assert cup.mass_is_doubtful
    # The tare does not change what was poured: the amount stays, less surely known perhaps.
    assert abs(cup.amount.value - clean_cup.amount.value) < 2.0 * cup.amount.u
    both = clean.handover.poured.hold_up_both
    assert abs(spoilt.handover.poured.hold_up_both.value - both.value) < both.u


def test_a_missing_volume_is_recovered_and_not_asked_for(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    made = poured(experiment, 8)
    outcome = outcome_of(name, without(made.table, "5", Quantity.REAGENT))
    assert outcome.handover is not None
    assert outcome.handover.fitness is Fitness.FIT_WITH_REMARKS
    assert [reason.code for reason in outcome.handover.reasons] == ["volume-recovered"]
    assert "reading-missing" not in codes(outcome)
    found = api.payload(outcome)["runs"][4]["handover"]["recovered"]["reagent_mL"]
    read = made.table.mean_of("5", Quantity.REAGENT)
    assert read is not None
    assert found["low"] - 0.3 <= 1000.0 * read <= found["high"] + 0.3


def test_a_volume_that_nothing_tells_is_still_asked_for(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    made = poured(experiment, 8)
    table = without(made.table, "5", Quantity.REAGENT, Quantity.LIQUID)
    outcome = outcome_of(name, table)
    missing = {(f.run, f.reading) for f in outcome.findings if f.code == "reading-missing"}
    assert missing == {("5", "reagent_mL"), ("5", "vessel_liquid_g")}


def test_what_a_cup_should_weigh_at_the_end_holds_what_it_does_weigh(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    hits, n = 0, 0
    for seed in range(8):
        made = simulated(experiment, 300 + seed)
        filled = tuple(r for r in made.table.readings if r.quantity not in
                       (Quantity.FINAL, Quantity.MINUTES))  # fmt: skip
        outcome = outcome_of(name, replace(made.table, readings=filled))
        assert outcome.stage.stage is Stage.SAMPLE_WEIGHED
        assert outcome.handover is not None
        for run, coming in outcome.handover.to_come.items():
            final = made.table.mean_of(run, Quantity.FINAL)
            assert final is not None
            assert coming.final is not None
            n += 1
            hits += coming.final.low <= final <= coming.final.high
    assert n == 64
    # 95 % of cups that share all that is not known beforehand.
    assert hits / n >= 0.85


def test_the_bench_and_the_page_give_the_same_range_of_a_last_mass(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    made = simulated(experiment, 44)
    waiting = without(made.table, "4", Quantity.FINAL, Quantity.MINUTES)
    alone = replace(waiting, readings=tuple(r for r in waiting.readings if r.run == "4"))
    outcome = outcome_of(name, alone)
    assert outcome.handover is not None
    final = outcome.handover.to_come["4"].final
    contents = content_range(experiment)
    before = known_before(experiment)
    ranges, _ = look_at_run(
        experiment, alone, "4", Belief(content=(contents.low, contents.high)), (),
        look_at_group(experiment, alone, before, ()),
    )  # fmt: skip
    assert final is not None
    assert ranges[Quantity.FINAL] == Range(low=final.low, high=final.high)


def test_every_planned_cup_has_something_to_come(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    made = poured(experiment, 3)
    outcome = outcome_of(name, replace(made.table, readings=()))
    assert outcome.stage.stage is Stage.PLANNED
    assert outcome.findings == () or not must_stop(outcome.findings)
    assert outcome.handover is not None
    assert list(outcome.handover.to_come) == [run.run for run in experiment.planned]
    assert all(one.final is None for one in outcome.handover.to_come.values())


def test_a_row_that_was_filled_on_one_side_only_is_not_fit() -> None:
    name = "hydrochloric acid"
    experiment = parse_definition(LABORATORIES[name])
    few = replace(
        experiment,
        planned=tuple(replace(one, reagent=0.3 * one.reagent) for one in experiment.planned),
    )
    table = poured(few, 5).table
    outcome = outcome_of(name, table)
    assert outcome.handover is not None
    assert outcome.handover.fitness is Fitness.NOT_FIT
    assert "row-misses-equivalence" in {reason.code for reason in outcome.handover.reasons}
    assert must_stop(outcome.findings)


def test_a_cup_far_from_its_plan_is_told_and_whether_it_matters() -> None:
    name = "hydrochloric acid"
    experiment = parse_definition(LABORATORIES[name])
    made = poured(experiment, 9)
    far = changed(made.table, "6", Quantity.REAGENT, -0.005)
    far = changed(far, "6", Quantity.LIQUID, -5.07)
    outcome = outcome_of(name, far)
    assert outcome.handover is not None
    one = outcome.handover.difference("6")
    assert one is not None
    assert one.differs
    assert one.changes_side
    near = outcome.handover.difference("1")
    assert near is not None
    assert not near.changes_side


def test_a_row_that_is_half_done_is_not_accused(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    made = simulated(experiment, 12)
    later = {"3", "4", "5", "6", "7", "8"}
    kept = tuple(
        r for r in made.table.readings if r.run not in later or r.quantity in
        (Quantity.TARE, Quantity.REAGENT, Quantity.DILUENT, Quantity.LIQUID)
    )  # fmt: skip
    outcome = outcome_of(name, replace(made.table, readings=kept))
    assert outcome.stage.is_mixed
    assert not codes(outcome) & NEVER
    assert "row-under-way" in codes(outcome)
    assert not must_stop(outcome.findings)
    found = api.payload(outcome)
    assert found["series"]["stage"] == "poured"
    assert found["series"]["furthest_stage"] == "finished"
    assert found["runs"][0]["handover"] is None
    assert found["runs"][4]["handover"]["to_come"]["final_g"]["value"] > 0


def test_a_finished_row_hands_nothing_on(name: str) -> None:
    experiment = parse_definition(LABORATORIES[name])
    outcome = outcome_of(name, simulated(experiment, 13).table)
    assert outcome.stage.stage is Stage.FINISHED
    assert outcome.handover is None
    assert api.payload(outcome)["series"]["handover"] is None


@pytest.fixture
def folder(tmp_path: Path, name: str) -> Path:
    experiment = parse_definition(LABORATORIES[name])
    (tmp_path / "experiment.toml").write_text(LABORATORIES[name], encoding="utf-8")
    sheet = write_sheet(poured(experiment, 21).table)
    (tmp_path / "readings.csv").write_text(sheet, encoding="utf-8")
    return tmp_path


def test_reduce_and_check_serve_filled_cups(folder: Path) -> None:
    runner = CliRunner()
    reduced = runner.invoke(main, ["reduce", str(folder)])
    assert reduced.exit_code == 0
    assert "Stage: poured" in reduced.output
    assert "shows no equivalence point" not in reduced.output
    checked = runner.invoke(main, ["check", str(folder), "--json"])
    assert checked.exit_code == 0
    found = json.loads(checked.output)["findings"]
    assert not [one for one in found if one["severity"] == Severity.STOP.value]
    told = json.loads(runner.invoke(main, ["reduce", str(folder), "--json"]).output)
    assert told["series"]["stage"] == "poured"
    assert {run["stage"] for run in told["runs"]} == {"poured"}
    for run in told["runs"]:
        assert run["reagent_mol"] == run["handover"]["reagent_mol"]


def test_the_report_of_filled_cups_is_a_page_and_a_csv(folder: Path) -> None:
    done = api.report(folder)
    names = {path.name for path, _ in done.files}
    assert {"report.pdf", "report.html", "results.csv"} <= names
    page = (folder / "out" / "report.html").read_text(encoding="utf-8")
    assert "What each cup should lose, and weigh at the end" in page
    rows = list(csv.DictReader(io.StringIO((folder / "out" / "results.csv").read_text("utf-8"))))
    told = api.payload(api.reduce(folder))
    for row, run in zip(rows, told["runs"], strict=True):
        known = run["handover"]
        assert row["stage"] == "poured"
        assert float(row["reagent_amount_mmol"]) == pytest.approx(
            1000.0 * known["reagent_mol"]["value"], rel=1e-5, abs=1e-6
        )
        assert float(row["final_g_high" if "final_g_high" in row else "final_high_g"]) == (
            pytest.approx(known["to_come"]["final_g"]["high"], rel=1e-5)
        )


@pytest.mark.parametrize("command", ["reduce", "check", "report"])
def test_a_folder_that_was_only_begun_is_served(tmp_path: Path, command: str) -> None:
    folder = tmp_path / "new"
    runner = CliRunner()
    assert runner.invoke(main, ["start", str(folder)]).exit_code == 0
    found = runner.invoke(main, [command, str(folder)])
    assert found.exception is None
    assert found.exit_code == 0
    if command == "report":
        page = (folder / "out" / "report.html").read_text(encoding="utf-8")
        assert "What is planned" in page
        assert "nothing has been poured yet" in page.lower()
