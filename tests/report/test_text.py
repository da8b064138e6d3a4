"""The result on a terminal."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from rich.cells import cell_len

from tarebook.report.outcome import Outcome
from tarebook.report.text import findings_text, text


@pytest.mark.parametrize("width", [80, 100])
def test_no_line_is_wider_than_the_terminal(
    outcome: Outcome, odd_outcome: Outcome, open_outcome: Outcome, width: int
) -> None:
    for each in (outcome, odd_outcome, open_outcome):
        shown = text(each, width=width)
        assert max(cell_len(line) for line in shown.splitlines()) <= width
        assert "…" not in shown


def test_narrow_numbers_stand_in_brackets_and_that_is_explained(fine_outcome: Outcome) -> None:
    shown = text(fine_outcome, width=80)
    assert max(cell_len(line) for line in shown.splitlines()) <= 80
    assert "…" not in shown
    assert "stands for" in shown
    assert "stands for" not in text(fine_outcome, width=110)


def test_the_answer_comes_before_the_runs(outcome: Outcome) -> None:
    shown = text(outcome)
    assert shown.index("We found") < shown.index("The label says") < shown.index("Runs")
    assert outcome.experiment.invented in shown
    assert "seed 20" in shown
    assert "4000 Monte Carlo draws" in shown


def test_the_two_ways_to_the_content_are_compared(outcome: Outcome) -> None:
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


def test_a_run_that_is_not_used_is_named(outcome: Outcome, odd_outcome: Outcome) -> None:
    assert "Run 9 is left out: not read: the final mass" in text(outcome)
    odd = " ".join(text(odd_outcome).split())
    assert "Run 3 is left out: 10.4 g were lost" in odd
    assert "do not rely on the result" in odd


def test_a_run_that_only_the_lines_leave_out_keeps_its_amounts(outcome: Outcome) -> None:
    first = replace(outcome.usual.runs[0], not_in_fit="Run 1: the liquid weighs too little.")
    usual = replace(outcome.usual, runs=(first, *outcome.usual.runs[1:]))
    shown = text(replace(outcome, usual=usual))
    assert "The two lines do not use run 1: the liquid weighs too little." in shown
    assert "\n1* " in shown


def test_a_row_without_changeover_gives_no_content(open_outcome: Outcome) -> None:
    shown = text(open_outcome)
    assert "does not tell how much NaHCO₃" in shown
    assert "We found" not in shown
    assert "Change-over\n" not in shown


def test_findings_alone(odd_outcome: Outcome) -> None:
    shown = findings_text(odd_outcome.findings)
    assert shown.startswith("stop")
    assert shown.count("Do: ") == len(odd_outcome.findings)
    assert findings_text(()) == "Nothing odd was noticed in the readings.\n"
