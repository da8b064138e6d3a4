"""The parts of slips: numbers, odds, habits, the shared unknowns, what is left out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.diagnosis.checks import check_table
from tarebook.diagnosis.slips.check import check_slips
from tarebook.diagnosis.slips.cups import (
    GAS_GAP,
    LIQUID_GAP,
    REAGENT,
    SAMPLE,
    TARE,
    cups_of,
    shared_prior,
    view,
)
from tarebook.diagnosis.slips.habits import habits_of
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.numbers import meant_numbers, shifted
from tarebook.diagnosis.slips.odds import IN_A_RUN, chances, default_odds, slip_table, updated_odds
from tarebook.diagnosis.slips.robust import handle, say_left_out
from tarebook.diagnosis.slips.shared import fit_shared
from tarebook.findings.finding import Finding, Severity
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.problem import joint_problem
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
NUMBERS = st.from_regex(r"\A[1-9][0-9]{0,2}\.[0-9]{1,3}\Z")


def example(name: str) -> tuple[Experiment, RunTable]:
    folder = EXAMPLES / name
    experiment = parse_definition((folder / "experiment.toml").read_text(encoding="utf-8"))
    return experiment, parse_sheet((folder / "readings.csv").read_text(encoding="utf-8"))


# Numbers -----------------------------------------------------------------------------------------


@given(NUMBERS)
def test_every_swap_is_undone_by_a_swap(text: str) -> None:
    for meant in meant_numbers(text):
        if meant.kind is SlipKind.DIGITS_SWAPPED:
            back = {m.text for m in meant_numbers(meant.text) if m.kind is meant.kind}
            assert text in back


@given(NUMBERS)
def test_what_was_meant_is_never_what_was_written(text: str) -> None:
    found = meant_numbers(text)
    assert found
    for meant in found:
        assert float(meant.text) != float(text)
        assert 0 < meant.chance <= 1


def test_chances_of_one_wrong_digit_add_up() -> None:
    """Of 16.38 a person who gets one digit wrong writes one of 36 numbers: the chances add to 1."""
    total = 0.0
    text = "16.38"
    for place in (0, 1, 3, 4):
        for digit in "0123456789":
            if digit != text[place]:
                written = text[:place] + digit + text[place + 1 :]
                total += sum(
                    meant.chance
                    for meant in meant_numbers(written)
                    if meant.kind is SlipKind.DIGIT_WRONG and meant.text == text
                )
    assert total == pytest.approx(1.0)


def test_a_sign_or_an_exponent_is_left_alone() -> None:
    for text in ("-1.5", "1e3", "0", "0.00", "", "12,5"):
        assert meant_numbers(text) == ()


@given(NUMBERS, st.integers(-3, 3))
def test_a_point_moved_there_and_back(text: str, places: int) -> None:
    there = shifted(text, places)
    assert float(there) == pytest.approx(float(text) * 10.0**places)
    assert float(shifted(there, -places)) == pytest.approx(float(text))


# Odds --------------------------------------------------------------------------------------------


def test_every_kind_has_a_rate_with_a_source() -> None:
    rows = {row["name"]: row for row in slip_table()["kind"]}
    assert set(rows) == {kind.value for kind in SlipKind}
    for row in rows.values():
        assert 0 < row["rate"] < 0.05
        assert row["per"] in {*IN_A_RUN, "series"}
        assert row["source"]
        assert row["basis"] in ("read", "secondary", "common practice")


def test_nobody_means_a_number_with_a_nought_before_it() -> None:
    meant = {one.text: one.kind for one in meant_numbers("420.82")}
    assert meant["20.82"] is SlipKind.DIGIT_EXTRA
    assert "020.82" not in meant
    # Below one the nought is the unit's place.
    assert {one.text: one.kind for one in meant_numbers("1.52")}["0.52"] is SlipKind.DIGIT_WRONG


def test_the_digit_rates_are_the_published_shares_of_their_rate() -> None:
    table, odds = slip_table(), default_odds()
    rate, shares = table["digits"]["rate"], table["published"]
    swapped = shares["adjacent_swapped"] + shares["jump_swapped"]
    assert odds.rate(SlipKind.DIGIT_WRONG) == pytest.approx(rate * shares["single_digit"], rel=0.01)
    assert odds.rate(SlipKind.DIGITS_SWAPPED) == pytest.approx(rate * swapped, abs=0.000_05)
    assert shares["single_entry"] < rate < shares["record_abstraction"]


def test_a_course_learns_its_own_odds() -> None:
    before = default_odds()
    tries = chances(n_runs=8_000, n_series=1_000)
    after = updated_odds(before, {SlipKind.COPIED: 480}, tries)
    assert after.rate(SlipKind.COPIED) == pytest.approx(0.01, rel=0.02)
    assert after.rate(SlipKind.SAMPLE_TWICE) == pytest.approx(0.001 * 500 / 8500)
    assert updated_odds(before, {}, {}).rates == before.rates
    with pytest.raises(OutOfRangeError, match="confirmed slips"):
        updated_odds(before, {SlipKind.COPIED: 2}, {SlipKind.COPIED: 1})


def test_odds_of_a_course_change_what_is_named_first() -> None:
    """A course whose students often swap digits reads the messy example otherwise."""
    experiment, table = example("messy-pool-granules")
    often = updated_odds(
        default_odds(), {SlipKind.DIGITS_SWAPPED: 60}, {SlipKind.DIGITS_SWAPPED: 1000}
    )
    fourth = next(f for f in check_slips(experiment, table, often) if f.run == "4")
    assert fourth.code == "slip-digits-swapped"
    assert fourth.values["meant"] == "17.8"


# Habits and views --------------------------------------------------------------------------------


def test_what_people_usually_do() -> None:
    experiment, table = example("clean-pool-granules")
    cups = cups_of(joint_problem(experiment, table, table.runs, ALL_EFFECTS))
    habits = habits_of(experiment, table.runs, cups)
    target = experiment.planned[3].reagent
    at_target, a_little_off, far_off, farther_off = (
        float(habits.log_density(REAGENT, 3, np.array(target + off)))
        for off in (0.0, 0.0005, 0.01, 0.015)
    )
    assert at_target > a_little_off > far_off + 3
    assert far_off == pytest.approx(farther_off, abs=0.2), "all that keeps to no plan is alike"
    assert habits.odd(SAMPLE, 0, 2.0 * experiment.sample.nominal_mass) > 10
    assert abs(habits.odd(TARE, 2, float(cups.observed[TARE, 2]))) < 3


def test_slopes_of_the_two_differences_are_those_of_the_model() -> None:
    """A millilitre more of reagent, read or shared by concentration: found by brute force."""
    experiment, table = example("clean-pool-granules")
    problem = joint_problem(experiment, table, table.runs, ALL_EFFECTS)
    prior, cups = shared_prior(problem), cups_of(problem)
    shared = np.zeros(len(prior.centre))
    before = view(experiment, prior, shared, cups)
    more = cups_of(problem)
    moved = more.pick(np.arange(more.n))
    moved.observed[REAGENT] += 1e-4
    after = view(experiment, prior, shared, moved)
    found = (after.gap - before.gap) / 1e-4
    np.testing.assert_allclose(before.by_own[:, :, REAGENT], found, rtol=0.02, atol=1.0)
    for index in range(len(prior.centre)):
        stepped = shared.copy()
        stepped[index] += 0.01
        change = (before.gap - view(experiment, prior, stepped, cups).gap) / 0.01
        if index < len(prior.centre) - 3:
            np.testing.assert_allclose(
                before.by_shared[:, :, index], change, rtol=0.03, atol=2e-5, err_msg=str(index)
            )
    assert before.known.all()
    assert {LIQUID_GAP, GAS_GAP} == {0, 1}


@pytest.mark.parametrize("name", ["clean-pool-granules", "weak-acid-foot-bath"])
def test_the_quick_fit_is_the_joint_fit(name: str) -> None:
    experiment, table = example(name)
    problem = joint_problem(experiment, table, table.runs, ALL_EFFECTS)
    fit = fit_shared(experiment, shared_prior(problem), cups_of(problem))
    solution = solve(problem)
    content, u = fit.content(*fit.without([]))
    assert fit.kept.all()
    u_joint = float(np.sqrt(solution.covariance.shared[CONTENT, CONTENT]))
    assert content == pytest.approx(float(solution.unknowns[CONTENT]), abs=0.1 * u_joint)
    assert u == pytest.approx(u_joint, rel=0.05)


# What the results rest on ------------------------------------------------------------------------


def test_doubtful_readings_are_left_out_and_said_to_be() -> None:
    experiment, table = example("messy-pool-granules")
    plain = check_table(experiment, table)
    handled = handle(table, plain, check_slips(experiment, table))
    assert handled.left_out == (("4", Quantity.REAGENT), ("6", Quantity.SAMPLE))
    assert len(handled.table.readings) == len(table.readings) - 2
    assert handled.full_aside.unusable == {}
    assert handled.full_aside.doubtful == {}
    assert set(handled.usual_aside.doubtful) | set(handled.usual_aside.unusable) == {"4", "6"}
    codes = [(finding.code, finding.run) for finding in handled.findings]
    assert ("liquid-mass-disagrees", "4") not in codes, "told by the slip"
    assert ("reading-missing", "2") in codes
    full = reduce_full(experiment, handled.table, handled.full_aside, None)
    assert full.series is not None
    assert len(full.runs) == len(table.runs), "no run is lost"
    assert full.series.sample_mass_fraction.value == pytest.approx(0.944, abs=0.011)
    (note,) = say_left_out(experiment, table, handled, full.series)
    assert note.severity is Severity.NOTE
    assert note.values["named"] == tuple(
        Phrase.of("of-run-reading", run=run, quantity=quantity)
        for run, quantity in handled.left_out
    )


@pytest.mark.parametrize(("off", "makes_sense"), [(0.1, True), (0.3, False)])
def test_what_the_result_would_be_with_a_doubtful_reading_is_told(
    off: float, makes_sense: bool
) -> None:
    """With a last mass 0.3 g too light the fit ends at the largest content that it looks at."""
    experiment, table = example("clean-pool-granules")
    text = (EXAMPLES / "clean-pool-granules" / "readings.csv").read_text(encoding="utf-8")
    row = text.splitlines()[7]
    final = row.split(",")[6]
    wrong = parse_sheet(text.replace(final, f"{float(final) - off:.3f}"))
    plain = check_table(experiment, wrong)
    handled = handle(wrong, plain, check_slips(experiment, wrong))
    full = reduce_full(experiment, handled.table, handled.full_aside, None)
    clean = reduce_full(experiment, table, handled.full_aside, None)
    assert full.series is not None
    assert clean.series is not None
    (note,) = say_left_out(experiment, wrong, handled, full.series)
    truth, u = clean.series.sample_mass_fraction.value, clean.series.sample_mass_fraction.u
    assert full.series.sample_mass_fraction.value == pytest.approx(truth, abs=u)
    if makes_sense:
        assert abs(float(note.evidence["content_as_read"]) - truth) > 3 * u
        assert note.values["makes_sense"] is True
    else:
        assert "content_as_read" not in note.evidence
        assert note.values["makes_sense"] is False


def test_a_slip_is_as_severe_as_the_check_whose_place_it_takes() -> None:
    _, table = example("clean-pool-granules")
    plain = Finding(code="liquid-mass-disagrees", severity=Severity.STOP, run="3")
    slip = Finding(
        code="slip-digit-wrong", severity=Severity.LOOK, run="3", reading="tare_g",
        readings=(("3", Quantity.TARE),),
    )  # fmt: skip
    handled = handle(table, (plain,), (slip,))
    assert [(f.code, f.severity) for f in handled.findings] == [("slip-digit-wrong", Severity.STOP)]
    assert handled.left_out == (("3", Quantity.TARE),)
    alone = handle(table, (), (slip,))
    assert alone.left_out == ()
    assert alone.usual_aside.doubtful == {}


@pytest.mark.parametrize("name", ["4, big cup", '4 "big", cup', "4; ä — 四"])
def test_a_run_may_have_any_name(name: str) -> None:
    """What a run is called changes neither what is left out nor what is found."""
    experiment, table = example("messy-pool-granules")
    plain = handle(table, check_table(experiment, table), check_slips(experiment, table))
    planned = tuple(replace(p, run=name) if p.run == "4" else p for p in experiment.planned)
    named = replace(experiment, planned=planned)
    readings = tuple(replace(r, run=name) if r.run == "4" else r for r in table.readings)
    runs = tuple(name if run == "4" else run for run in table.runs)
    other = replace(table, readings=readings, runs=runs)
    handled = handle(other, check_table(named, other), check_slips(named, other))
    renamed = {(name if run == "4" else run, quantity) for run, quantity in plain.left_out}
    assert set(handled.left_out) == renamed
    assert (name, Quantity.REAGENT) in renamed
    full = reduce_full(named, handled.table, handled.full_aside, None)
    before = reduce_full(experiment, plain.table, plain.full_aside, None)
    assert full.series is not None
    assert before.series is not None
    found, expected = full.series.sample_mass_fraction, before.series.sample_mass_fraction
    assert found.value == pytest.approx(expected.value, rel=1e-9)


def test_two_exchanged_runs_of_any_name_are_both_told_and_left_out() -> None:
    """Their names hold what separates names in a sentence."""
    experiment, table = example("clean-pool-granules")
    names = {"3": "3, left", "6": "6, right"}
    planned = tuple(replace(p, run=names.get(p.run, p.run)) for p in experiment.planned)
    # The last masses of the two stand in each other's row.
    swap = {"3": "6", "6": "3"}
    readings = tuple(
        replace(r, run=swap.get(r.run, r.run)) if r.quantity is Quantity.FINAL else r
        for r in table.readings
    )
    readings = tuple(replace(r, run=names.get(r.run, r.run)) for r in readings)
    runs = tuple(names.get(run, run) for run in table.runs)
    named = replace(experiment, planned=planned)
    (found,) = check_slips(named, replace(table, readings=readings, runs=runs))
    assert found.code == "slip-runs-exchanged"
    assert found.runs == tuple(names.values())
    assert set(found.readings) == {(name, Quantity.FINAL) for name in names.values()}
    handled = handle(replace(table, readings=readings, runs=runs), (), (found,))
    assert set(handled.left_out) == set(found.readings)
