"""Empty vessels written as 0.000: a way of weighing, or a zero that was not of this vessel."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection
from pathlib import Path

import pytest

from tarebook.api import report
from tarebook.api.bench.say import known_before, look_at_group
from tarebook.api.folder import DEFINITION, READINGS
from tarebook.api.reduce_series import check, reduce_table
from tarebook.diagnosis.acid import slips_and_cause
from tarebook.diagnosis.checks import check_table
from tarebook.diagnosis.slips.robust import handle
from tarebook.diagnosis.tares import zero_tares_contradicted
from tarebook.findings.finding import Severity
from tarebook.records.complete import completed
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
STATED = '\n[weighing]\ntare = "zeroed on the cup"\n'
CODE = "zero-not-of-this-vessel"
ALL = ("1", "2", "3", "4", "5", "6", "7", "8")
WHICH = {"all": ALL, "the first three": ALL[:3], "every second": ALL[::2], "one": ("4",)}

by_which = pytest.mark.parametrize("runs", WHICH.values(), ids=WHICH.keys())
by_statement = pytest.mark.parametrize("stated", [False, True], ids=["not stated", "stated"])


def definition(*, stated: bool = False) -> str:
    return (EXAMPLE / DEFINITION).read_text(encoding="utf-8") + (STATED if stated else "")


def sheet(zeroed: Collection[str] = (), really: Collection[str] = (), more: float = 0.0) -> str:
    """The example's sheet with empty vessels of 0.000, on which the balance was zeroed really.

    `more` grams stand on the last mass of run 4 by a slip.
    """
    rows = list(csv.DictReader(io.StringIO((EXAMPLE / READINGS).read_text(encoding="utf-8"))))
    for row in rows:
        tare = float(row["tare_g"])
        if row["run"] == "4":
            row["final_g"] = f"{float(row['final_g']) + more:.3f}"
        if row["run"] in really:
            for column in ("vessel_liquid_g", "final_g"):
                row[column] = f"{float(row[column]) - tare:.3f}"
        if row["run"] in zeroed:
            row["tare_g"] = "0.000"
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def reduced(text: str, *, stated: bool = False) -> Outcome:
    return reduce_table(
        parse_definition(definition(stated=stated)),
        parse_sheet(text),
        seed=1,
        draws=1000,
        made_on="",
        pictures=False,
    )


def contents(outcome: Outcome) -> tuple[float, float, float]:
    """Content of the joint fit, its uncertainty, and that of the textbook calculation."""
    assert outcome.full.series is not None
    assert outcome.usual.series is not None
    full = outcome.full.series.sample_mass_fraction
    return full.value, full.u, outcome.usual.series.sample_mass_fraction.value


def severe(outcome: Outcome) -> dict[str, tuple[str, ...]]:
    return {f.code: f.all_runs for f in outcome.findings if f.severity is not Severity.NOTE}


@by_statement
@by_which
def test_a_balance_zeroed_on_some_cups_is_a_way_of_weighing(
    runs: tuple[str, ...], stated: bool
) -> None:
    usual, zeroed = reduced(sheet()), reduced(sheet(runs, runs), stated=stated)
    assert severe(zeroed) == severe(usual) == {}
    assert contents(zeroed) == pytest.approx(contents(usual), rel=1e-6)


@by_statement
@by_which
def test_a_zero_that_the_later_masses_contradict_is_named_and_left_out(
    runs: tuple[str, ...], stated: bool
) -> None:
    """The vessel shows in every mass after it; what is made of differences stands."""
    usual, wrong = reduced(sheet()), reduced(sheet(runs), stated=stated)
    assert severe(wrong) == {CODE: runs}
    (found,) = (f for f in wrong.findings if f.code == CODE)
    assert set(found.readings) == {(run, Quantity.TARE) for run in runs}
    assert 15.0 < float(found.evidence["vessel_g"]) < 16.5
    content, u, textbook = contents(wrong)
    expected = contents(usual)
    assert abs(content - expected[0]) < 0.5 * u
    # With no empty vessel at all nothing says what the pours left behind.
    assert u < (2.5 if runs == ALL else 1.2) * expected[1]
    assert textbook == expected[2]


def test_zeros_of_both_kinds_in_one_row() -> None:
    """Zeroed on cups 1 to 5, and forgotten on cup 6; the others were weighed empty."""
    mixed = reduced(sheet(("1", "2", "3", "4", "5", "6"), ("1", "2", "3", "4", "5")))
    assert severe(mixed) == {CODE: ("6",)}


def test_a_volume_that_is_off_in_a_zeroed_row_is_no_vessel() -> None:
    """One cup alone may have been filled too far: its zero is not called wrong."""
    lines = sheet(ALL, ALL).replace("3,0.000,14.5,25.5", "3,0.000,14.5,15.5")
    assert lines != sheet(ALL, ALL)
    outcome = reduced(lines, stated=True)
    assert CODE not in severe(outcome)
    stops = {f.all_runs for f in outcome.findings if f.severity is Severity.STOP}
    assert stops == {("3",)}


def test_a_volume_below_zero_says_nothing_of_a_vessel() -> None:
    """Its liquid would have a negative mass, from which no density is computed."""
    text = sheet(ALL).replace("3,0.000,14.5,25.5", "3,0.000,-500.0,501.0")
    assert text != sheet(ALL)
    found = zero_tares_contradicted(EXPERIMENT, completed(EXPERIMENT, parse_sheet(text)))
    assert found is not None
    assert found.runs == tuple(run for run in ALL if run != "3")


def test_a_slip_beside_such_zeros_is_found() -> None:
    outcome = reduced(sheet(("1", "2"), more=9.0))
    found = severe(outcome)
    assert found.pop(CODE) == ("1", "2")
    assert [runs for code, runs in found.items() if code.startswith("slip-")] == [("4",)]


def so_far(text: str, upto: int) -> RunTable:
    """The sheet when the liquid of run `upto` has just been weighed, in the order of the runs."""
    table = completed(EXPERIMENT, parse_sheet(text))
    later = (Quantity.SAMPLE, Quantity.FINAL)
    readings = tuple(
        r
        for r in table.readings
        if int(r.run) < upto or (int(r.run) == upto and r.quantity not in later)
    )
    return RunTable(runs=table.runs, readings=readings, notes=table.notes)


EXPERIMENT = parse_definition(definition())


def test_at_the_bench_a_zeroed_cup_is_left_in_peace() -> None:
    before = known_before(EXPERIMENT)
    for upto in (1, 4):
        table = so_far(sheet(ALL[:3], ALL[:3]), upto)
        slips = slips_and_cause(EXPERIMENT, table, None)
        assert [f for f in slips if f.severity is not Severity.NOTE] == []
        assert look_at_group(EXPERIMENT, table, before, slips).odd_liquids == ()
        handled = handle(table, check_table(EXPERIMENT, table), slips)
        assert not any(f.severity is Severity.STOP for f in handled.findings)


def test_at_the_bench_a_zero_of_no_vessel_is_named_while_the_cup_stands_there() -> None:
    table = so_far(sheet(("4",)), 4)
    found = slips_and_cause(EXPERIMENT, table, None)
    assert [(f.code, f.run) for f in found] == [(CODE, "4")]
    look = look_at_group(EXPERIMENT, table, known_before(EXPERIMENT), found)
    assert [f.code for f in look.slips["4"]] == [CODE]
    assert look.odd_liquids == ()


def test_report_and_check_of_a_folder_with_zeros_of_both_kinds(tmp_path: Path) -> None:
    (tmp_path / DEFINITION).write_text(definition(), encoding="utf-8")
    (tmp_path / READINGS).write_text(sheet(("1", "2", "6"), ("1", "2")), encoding="utf-8")
    found = check(tmp_path)
    assert [(f.code, f.run) for f in found if f.severity is Severity.STOP] == [(CODE, "6")]
    assert report(tmp_path)
