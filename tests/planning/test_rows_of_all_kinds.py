"""Plans of rows that are not the usual ones: a growing sample, metals, pieces, bought stocks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.phrase import Phrase
from tarebook.measurement.instruments import balance
from tarebook.planning.changes import (
    other_samples,
    other_stocks,
    row_of,
    samples_of,
    with_balances,
    with_sample,
)
from tarebook.planning.contents import content_range
from tarebook.planning.information import expected_u
from tarebook.planning.judge import faults
from tarebook.planning.plan import Plan
from tarebook.planning.refusals import ImpossibleWishError
from tarebook.planning.rules_content import content_unsure
from tarebook.planning.wishes import Wishes
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Bought, Experiment, Piece

ROOT = Path(__file__).parents[2]
PATHS = {
    path.parent.name: path
    for folder in (ROOT / "tests" / "laboratories", ROOT / "examples")
    for path in sorted(folder.glob("*/experiment.toml"))
}
Planned = Callable[..., Plan]


def of(name: str) -> Experiment:
    return parse_definition(PATHS[name].read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", ["soda-grows-in-acid", "baking-soda-grows-in-vinegar"])
def test_a_row_in_which_the_sample_grows_is_planned_along_the_sample(
    name: str, planned: Planned
) -> None:
    experiment = of(name)
    plan = planned(experiment)
    assert plan.works
    assert 0.0 < plan.place < 1.0
    assert [row.name for row in plan.rows] == ["given"]
    low, high = (experiment.sample_asked(run) for run in sorted(plan.between, key=str))
    nominal, poured = experiment.sample.nominal_mass, experiment.planned[0].reagent
    grams = nominal * poured / plan.expected.equivalence.value
    assert min(low, high) <= grams <= max(low, high)
    assert plan.expected.curve[0].sample == 0.0
    assert plan.expected.curve[-1].sample == max(run.sample for run in experiment.planned)


def test_more_sample_than_the_row_reaches_is_said_in_grams() -> None:
    experiment = of("soda-grows-in-acid")
    little = with_sample(experiment, 0.2 * experiment.sample.nominal_mass)
    found = {one.code: one for one in faults(little, content_range(little))}
    values = found["change-over-outside"].values
    assert (values["side"], values["limits"]) == ("larger", "sample")
    at, end = values["at"], values["end"]
    assert isinstance(at, Phrase)
    assert isinstance(end, Phrase)
    assert at.key == end.key == "plan-portion"
    assert at.values["sample_g"] > end.values["sample_g"]  # type: ignore[operator]


def test_a_growing_row_is_not_laid_out_by_wishes(planned: Planned) -> None:
    with pytest.raises(ImpossibleWishError) as caught:
        planned(of("soda-grows-in-acid"), Wishes(stock=0.5))
    assert caught.value.because == Phrase("refusal-sample-grows")
    assert caught.value.nearest is None


def test_the_information_of_a_growing_row_is_that_of_its_own_portions(planned: Planned) -> None:
    experiment = of("soda-grows-in-acid")
    contents, row = content_range(experiment).scenarios, row_of(experiment)
    own = expected_u(experiment, row, contents, samples_of(experiment)).content
    alike = expected_u(experiment, row, contents).content
    assert planned(experiment).rows[0].u_content == pytest.approx(own)
    assert abs(alike - own) > 0.1 * own


@pytest.mark.slow
def test_a_row_that_cannot_give_the_content_is_stopped_before_anything_is_poured(
    planned: Planned,
) -> None:
    """0.1 g of magnesium on a centigram balance: some 10 mg of gas, known to 7 mg."""
    coarse = with_balances(of("magnesium-turnings-in-acid"), main=balance(0.01), own=balance(0.01))
    plan = planned(with_sample(coarse, 0.1))
    found = {one.code: one for one in plan.findings}
    assert not plan.works
    assert found["content-stays-unsure"].severity == "stop"
    do = found["content-stays-unsure"].do
    assert do is not None
    ways = do.values["ways"]
    assert isinstance(ways, tuple)
    assert ways[-1] == Phrase("plan-larger-amounts")
    assert len(ways) > 1
    fine = of("clean-pool-granules")
    assert list(content_unsure(fine, content_range(fine))) == []


def test_a_bought_stock_has_the_strength_that_it_has() -> None:
    experiment = of("clean-pool-granules")
    as_it_comes = Bought(name="household vinegar", is_the_stock=True)
    ready = replace(experiment, preparation=replace(experiment.preparation, bought=as_it_comes))
    assert other_stocks(ready) == ()
    assert len(other_stocks(experiment)) > 3


def test_portions_of_tablets_are_whole_halves() -> None:
    experiment = of("fizzing-tablet-hand-soak")
    tablets = replace(experiment.sample, nominal_mass=3.2, piece=Piece(mass=3.2, part=0.5))
    masses = np.array(other_samples(replace(experiment, sample=tablets), (1.0, 1.3, 4.2)))
    np.testing.assert_allclose(masses / 1.6, np.round(masses / 1.6))
    assert masses[0] == 3.2
