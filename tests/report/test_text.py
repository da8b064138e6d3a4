"""The result on a terminal."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from rich.cells import cell_len

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding, Severity
from tarebook.report import numbers
from tarebook.report.outcome import Outcome
from tarebook.report.text import findings_text, text


@pytest.mark.parametrize("width", [80, 100])
def test_no_line_is_wider_than_the_terminal(
    outcome: Outcome,
    odd_outcome: Outcome,
    open_outcome: Outcome,
    usual_outcome: Outcome,
    width: int,
) -> None:
    for each in (outcome, odd_outcome, open_outcome, usual_outcome):
        shown = text(each, width=width)
        assert max(cell_len(line) for line in shown.splitlines()) <= width
        assert "…" not in shown


def test_each_example_fits_eighty_columns(example: Outcome) -> None:
    shown = text(example)
    assert max(cell_len(line) for line in shown.splitlines()) <= 80
    assert "…" not in shown
    assert example.experiment.invented in shown


def test_on_sixty_columns_nothing_is_wider_than_they_are(example: Outcome) -> None:
    shown = text(example, width=60)
    assert max(cell_len(line) for line in shown.splitlines()) <= 60


def test_narrow_numbers_stand_in_brackets_and_that_is_explained(example: Outcome) -> None:
    shown = text(example, width=80)
    assert max(cell_len(line) for line in shown.splitlines()) <= 80
    assert "…" not in shown
    assert "stands for" in shown
    assert "stands for" not in text(example, width=110)


def test_the_answer_comes_before_the_runs(outcome: Outcome) -> None:
    shown = text(outcome)
    assert shown.index("We found") < shown.index("The label says") < shown.index("Run by run")
    assert outcome.experiment.invented in shown
    assert "seed 20" in shown
    assert "4000 Monte Carlo draws" in " ".join(shown.split())


def test_the_two_ways_to_the_content_are_compared(usual_outcome: Outcome) -> None:
    outcome = usual_outcome
    shown = " ".join(text(outcome).split())
    assert "The two agree: they are 0.3 u of their difference apart." in shown
    series = outcome.usual.series
    assert series is not None
    far = replace(series.content_from_equivalence, value=1.1)
    usual = replace(outcome.usual, series=replace(series, content_from_equivalence=far))
    shown = " ".join(text(replace(outcome, usual=usual)).split())
    first = series.sample_mass_fraction
    times = (1.1 - first.value) / math.hypot(first.u, far.u)
    assert f"The two do not agree: they are {times:.1f} u of their difference" in shown


def test_colour_only_where_asked(outcome: Outcome) -> None:
    assert "\x1b[" not in text(outcome)
    assert "\x1b[" in text(outcome, colour=True)


def test_the_model_has_the_say_and_the_usual_sum_stands_beside_it(outcome: Outcome) -> None:
    shown = " ".join(text(outcome).split())
    usual, full = outcome.usual.series, outcome.full.series
    assert usual is not None
    assert full is not None
    assert f"We found {numbers.quantity(full.sample_mass_fraction, numbers.TERMINAL)}" in shown
    beside = numbers.quantity(usual.sample_mass_fraction, numbers.TERMINAL)
    assert f"counts the mass lost as the CO₂ made and gives {beside}" in shown
    assert "A second way" not in shown


def test_the_waterfall_has_a_bar_for_each_step(outcome: Outcome) -> None:
    lines = text(outcome).splitlines()
    start = lines.index("From the textbook calculation to the model of the cup") + 1
    assert outcome.full.series is not None
    steps = outcome.full.series.waterfall
    rows = lines[start : start + len(steps) + 1]
    assert rows[0].startswith("textbook calculation")
    assert rows[-1].startswith("model of the cup")
    assert rows[0].endswith("◆")
    assert rows[-1].endswith("◆")
    for row, step in zip(rows[1:-1], steps[1:], strict=True):
        assert row.endswith("█" if step.change >= 0 else "▒")


def test_without_the_model_it_is_what_the_usual_sum_says(usual_outcome: Outcome) -> None:
    shown = text(usual_outcome)
    assert "From the textbook calculation" not in shown
    assert "What the readings taught" not in shown
    assert "The ± does not cover these two." in " ".join(shown.split())


def test_a_run_that_is_not_used_is_named(
    outcome: Outcome, odd_outcome: Outcome, usual_outcome: Outcome
) -> None:
    assert "No result uses run 9: not read: the final mass" in text(usual_outcome)
    shown = " ".join(text(outcome).split())
    assert "The textbook calculation cannot use run 9: not read: the final mass. The model" in shown
    odd = " ".join(text(odd_outcome).split())
    assert "The textbook calculation cannot use run 3: 10.4 g was lost" in odd
    assert "The full model does not use run 3: the vessel with the liquid" in odd
    assert "do not rely on the result" in odd


def test_a_run_that_only_the_lines_leave_out_keeps_its_amounts(usual_outcome: Outcome) -> None:
    first = replace(usual_outcome.usual.runs[0], not_in_fit=Phrase("stays-dissolved"))
    usual = replace(usual_outcome.usual, runs=(first, *usual_outcome.usual.runs[1:]))
    shown = text(replace(usual_outcome, usual=usual))
    assert "The two lines do not use run 1: so little sample" in shown
    assert "\n1* " in shown


def test_why_there_is_no_result_is_said_in_volumes(open_outcome: Outcome) -> None:
    shown = " ".join(text(open_outcome).split())
    assert "the two lines would meet between 13.9 and 18.3 mL of reagent for 1.5 g" in shown
    assert "best break" not in shown


def test_a_row_without_changeover_gives_no_content(open_outcome: Outcome) -> None:
    shown = text(open_outcome)
    assert "does not tell how much NaHCO₃" in shown
    assert "We found" not in shown
    assert "Equivalence point\n" not in shown


def test_findings_alone(odd_outcome: Outcome) -> None:
    shown = findings_text(odd_outcome.findings)
    assert shown.startswith("stop")
    assert shown.count("Do: ") == len(odd_outcome.findings)
    assert findings_text(()) == "Nothing odd was noticed in the readings.\n"


def test_what_holds_of_several_runs_is_said_once() -> None:
    def missing(run: str, reading: str = "final_g") -> Finding:
        return Finding(
            code="reading-missing",
            severity=Severity.LOOK,
            run=run,
            reading=reading,
        )

    odd = replace(missing("4"), evidence={"final_g": "1"})
    shown = findings_text([missing("1"), missing("2"), odd, missing("3"), missing("3", "tare_g")])
    assert [line for line in shown.splitlines() if "Run" in line] == [
        "look  Runs 1, 2 and 3: the final mass was not read.",
        "look  Run 4: the final mass was not read.",
        "look  Run 3: the empty vessel was not read.",
    ]
