"""What liquids lack before any is poured: no good group is accused, and the finding agrees."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.diagnosis.liquid import check_liquid, compare_liquid
from tarebook.diagnosis.liquid_planned import LiquidToCome, liquid_to_come
from tarebook.model.parameters import NAMES
from tarebook.model.priors import drawn_parameters, priors
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

LABORATORIES = Path(__file__).parents[1] / "laboratories"
EXAMPLES = Path(__file__).parents[2] / "examples"
N_GROUPS = 150

WAYS = ("clean-pool-granules", "burette-and-pipettes", "soda-grows-in-acid", "small-cups-many")
"""Cylinders; a burette and a pipette; one vessel poured from alone; ware that is filled twice."""


def read(name: str) -> Experiment:
    folder = next(at for at in (LABORATORIES / name, EXAMPLES / name)
                  if (at / "experiment.toml").exists())  # fmt: skip
    return parse_definition((folder / "experiment.toml").read_text(encoding="utf-8"))


def good_groups(experiment: Experiment) -> list[RunTable]:
    """Return groups without a slip: their ware, hands and balances as the priors have them."""
    rng = np.random.Generator(np.random.SFC64(12))
    drawn = drawn_parameters(experiment, rng, N_GROUPS)
    return [
        simulate(
            experiment,
            drawn.with_values(**{name: getattr(drawn, name)[one, 0] for name in NAMES}),
            rng,
        ).table
        for one in range(N_GROUPS)
    ]


@pytest.mark.parametrize("name", WAYS)
def test_a_good_group_is_not_accused(name: str) -> None:
    """Of vessels and of groups in the room no more than 1 in 100 is beyond its limit."""
    experiment = read(name)
    ahead = liquid_to_come(experiment, 10)
    assert ahead.beside_others
    groups = [compare_liquid(experiment, table).difference for table in good_groups(experiment)]
    most_alike = len(groups[0])
    apart = np.array([np.abs(each - np.median(each)).max() for each in groups])
    if ahead.least == ahead.most:  # All vessels are poured alike.
        assert np.mean(apart > ahead.of_vessel) <= 0.01 * most_alike
        assert np.mean(apart > 0.5 * ahead.of_vessel) > 0.01, "nor is the limit out of reach"
    medians = np.array([np.median(each) for each in groups]).reshape(-1, 10)
    beyond = np.abs(medians - np.median(medians, axis=1, keepdims=True)) > ahead.of_group
    assert beyond.mean() <= 0.01
    lacking = -np.array([each.min() for each in groups])
    assert 0.7 <= np.mean(lacking < ahead.usual) <= 1.0


@pytest.mark.slow
def test_half_a_gram_less_is_nothing_with_a_cylinder_and_much_with_a_burette() -> None:
    """A 50 mL cylinder keeps 0.25 mL at each of two pours; a burette 0.02 mL."""
    cylinder, burette = read("clean-pool-granules"), read("burette-and-pipettes")
    beyond = [
        np.mean([np.median(compare_liquid(one, table).difference) < -0.5
                 for table in good_groups(one)])
        for one in (cylinder, burette)
    ]  # fmt: skip
    assert beyond[0] > 0.3
    assert beyond[1] < 0.02
    of_cylinder, of_burette = liquid_to_come(cylinder), liquid_to_come(burette)
    assert of_cylinder.least == pytest.approx(0.506, rel=0.02)
    assert of_cylinder.most + of_cylinder.of_group > 2.0
    assert of_burette.most + of_burette.of_group < 0.5


def test_the_spread_of_two_pours_counts_that_one_hand_drains_both() -> None:
    experiment = read("clean-pool-granules")
    held = {one.name: one for one in priors(experiment) if one.name.startswith("hold_up")}
    u, together = (held["hold_up_reagent"].u, held["hold_up_diluent"].correlation)
    assert together > 0.5
    both = 1000.0 * u * np.sqrt(2.0 + 2.0 * together)
    ahead = liquid_to_come(experiment)
    assert both < (ahead.usual - ahead.most) / 1.96 < 1.1 * both


@pytest.mark.parametrize(("part", "is_odd"), [(0.75, False), (1.2, True)])
def test_the_finding_begins_where_the_limit_says(part: float, is_odd: bool) -> None:
    experiment = read("clean-pool-granules")
    ahead = liquid_to_come(experiment)
    table = _exact(experiment, ahead, 4, part * ahead.of_vessel)
    assert [one.run for one in check_liquid(experiment, table)] == (["5"] if is_odd else [])


def _exact(experiment: Experiment, ahead: LiquidToCome, place: int, less: float) -> RunTable:
    """Return readings in which every liquid lacks what is expected, and one lacks more."""
    table = good_groups(experiment)[0]
    check = compare_liquid(experiment, table)
    off = dict(zip(check.runs, check.difference + ahead.most, strict=True))
    off[table.runs[place]] += less
    return replace(
        table,
        readings=tuple(
            replace(one, value=one.value - off[one.run]) if one.quantity is Quantity.LIQUID else one
            for one in table.readings
        ),
    )
