"""What the report says of the model of the cup, in words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tarebook.api.reduce_series import reduce
from tarebook.core.phrase import Phrase
from tarebook.model.effects import CupEffect
from tarebook.model.parameters import NAMES
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.results import Confounded, FullReduction, FullSeries, MissingReading
from tarebook.reduction.results import SetAside
from tarebook.report import model_words, numbers
from tarebook.report.languages.writing import in_files
from tarebook.report.model_story import FAR_OFF, ModelStory, tell_model, worst_readings
from tarebook.report.outcome import Outcome


def series_of(outcome: Outcome) -> FullSeries:
    assert outcome.full.series is not None
    return outcome.full.series


def told(outcome: Outcome, **changes: object) -> ModelStory:
    """Return what is said of an outcome whose full series is changed."""
    series = replace(series_of(outcome), **changes)  # type: ignore[arg-type]
    full = FullReduction(runs=outcome.full.runs, series=series, no_series_because=None)
    story = tell_model(replace(outcome, full=full), in_files())
    assert story is not None
    return story


@pytest.mark.parametrize(
    ("usual", "full", "words"),
    [
        (False, True, "By that calculation alone the label would look wrong"),
        (True, False, "By that calculation alone the label would look right"),
        (True, True, "By that calculation too the sample agrees with its label"),
        (False, False, "By that calculation too the sample does not agree with its label"),
    ],
)
def test_the_claim_is_held_against_both(
    outcome: Outcome, usual: bool, full: bool, words: str
) -> None:
    before, series = outcome.usual.series, series_of(outcome)
    assert before is not None
    assert before.claim is not None
    assert series.claim is not None
    changed = replace(before, claim=replace(before.claim, agrees=usual))
    both = replace(outcome, usual=replace(outcome.usual, series=changed))
    assert words in told(both, claim=replace(series.claim, agrees=full)).usual


def test_the_effect_that_moves_the_content_most_is_named(example: Outcome) -> None:
    effects = {effect.value for effect in CupEffect}
    steps = [step for step in series_of(example).waterfall if step.label in effects]
    most = max(steps, key=lambda step: abs(step.change))
    assert f"most of all {model_words.effect_label(most.label)}" in told(example).usual


def test_every_effect_and_every_parameter_has_words_of_its_own(example: Outcome) -> None:
    for effect in CupEffect:
        assert model_words.effect_label(effect.value) != effect.value
        assert model_words.effect_words(effect.value, series_of(example)).endswith(".")
    for name in NAMES:
        assert model_words.parameter_name(name, example.experiment) != name.replace("_", " ")


@pytest.mark.parametrize(
    ("p", "words"),
    [
        (0.5, "as close to the model as their uncertainties promise"),
        (0.01, "a little farther from the model"),
        (0.0001, "a reading is wrong, or the model does not hold here"),
        (0.9999, "these may be stated too wide"),
    ],
)
def test_the_fit_is_said_in_words(outcome: Outcome, p: float, words: str) -> None:
    assert words in told(outcome, p_chi2=p, missing=()).fit


def test_without_a_reading_to_spare_nothing_is_claimed(outcome: Outcome) -> None:
    assert "no reading to spare" in told(outcome, dof=0).fit


def test_the_interval_is_explained_where_it_is_a_profile(outcome: Outcome) -> None:
    assert told(outcome, interval_method="linear").interval == ""
    assert "profile" in told(outcome, interval_method="profile").interval


def test_parameters_are_shown_before_and_after(outcome: Outcome) -> None:
    rows = {row[0]: row for row in told(outcome).parameters.rows}
    held = next(p for p in series_of(outcome).parameters if p.name == "hold_up_reagent")
    row = rows["reagent left at each pour"]
    assert row[1] == numbers.quantity(
        replace(held.value, value=held.prior, u=held.prior_u), numbers.TERMINAL
    )
    assert row[2] == numbers.quantity(held.value, numbers.TERMINAL)
    assert row[3] == numbers.share(held.learned, numbers.TERMINAL)
    assert "content" not in rows


def test_what_the_readings_do_not_tell_is_said(outcome: Outcome) -> None:
    pair = Confounded(first="evaporation", second="degassing", correlation=-0.987)
    lessons = told(
        outcome,
        uninformed=("own_acid", "first_pk_shift"),
        confounded=(pair,),
        assumptions=(Phrase("model-acid_without_name"),),
        missing=(),
    ).lessons
    assert lessons[0].startswith(
        "The readings say nothing about: acid of the sample itself and shift of"
    )
    assert "water that evaporates and how fast that pressure falls (−0.99)" in lessons[1]
    assert lessons[2] == (
        "Taken for granted: The definition does not name the acid of the sample; it is taken for "
        "citric acid."
    )
    quiet = told(outcome, uninformed=(), confounded=(), assumptions=(), missing=())
    assert quiet.lessons == ()


def lacking(run: str, u_if_taken: float) -> MissingReading:
    return MissingReading(run=run, reading="final_g", u_if_taken=u_if_taken)


def test_what_was_not_read_is_priced(outcome: Outcome) -> None:
    u = series_of(outcome).sample_mass_fraction.u
    quiet = {"uninformed": (), "confounded": (), "assumptions": ()}

    def said(*missing: MissingReading) -> str:
        return told(outcome, missing=missing, **quiet).lessons[0]

    halved = f"u of the content would be {numbers.plain(50.0 * u, 100.0 * u)} instead of"
    one = said(lacking("9", u / 2))
    assert one.startswith(f"Not used: vessel at the end of run 9. With it {halved}")
    two = said(lacking("9", u / 2), lacking("2", u))
    assert two.startswith("2 readings were not taken or are not used. The one missed most is ")
    assert halved in two
    assert "With it the content would hardly be known better" in said(lacking("9", u))
    assert "With any one of them the content" in said(lacking("9", u), lacking("2", u))


def test_one_reading_a_run_is_named_as_fitting_worst(example: Outcome) -> None:
    worst = worst_readings(example)
    assert len({run for run, _, _ in worst}) == len(worst)
    by_run = {run.run: run for run in example.full.runs}
    for name, residual, _ in worst:
        odd = [r for r in by_run[name].residuals if r.leverage < 0.9]
        assert abs(residual.standardised) == max(abs(r.standardised) for r in odd) > FAR_OFF
    quiet = [run for run in by_run if run not in {name for name, _, _ in worst}]
    for name in quiet:
        assert all(
            abs(r.standardised) <= FAR_OFF for r in by_run[name].residuals if r.leverage < 0.9
        )
    table = told(example).residuals
    assert (table is None) is (not worst)


def test_the_reading_with_swapped_digits_fits_worst() -> None:
    """The example's maker swapped two digits of the reagent's volume in run 4."""
    messy = Path(__file__).parents[2] / "examples" / "messy-pool-granules"
    outcome = reduce(messy, draws=2_000)
    assert worst_readings(outcome) == (), "the doubtful readings are left out of the fit"
    only_sixth_aside = SetAside(unusable={"6": Phrase("unit-mixed-up")}, doubtful={})
    full = reduce_full(outcome.experiment, outcome.table, only_sixth_aside, None)
    run, residual, _ = worst_readings(replace(outcome, full=full))[0]
    assert (run, residual.reading) == ("4", "reagent_mL")


def test_without_the_model_there_is_nothing_to_tell(usual_outcome: Outcome) -> None:
    assert tell_model(usual_outcome, in_files()) is None


def test_where_the_usual_sum_has_no_result_the_model_says_why(outcome: Outcome) -> None:
    usual = replace(
        outcome.usual,
        series=None,
        no_series_because=Phrase.of("loss-does-not-grow", grows="reagent"),
    )
    said = told(replace(outcome, usual=usual)).usual
    assert said == (
        "The textbook calculation has no result for this row: the mass lost does not grow with "
        "the reagent."
    )
