"""Each rule of the judge, and that its remedies do what they say."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.measurement.instruments import balance, volume_instrument
from tarebook.planning.advice import Advice
from tarebook.planning.changes import (
    with_balances,
    with_row,
    with_sample,
    with_stock,
    with_total,
    with_vessel,
    with_ware,
)
from tarebook.planning.contents import content_range
from tarebook.planning.judge import faults
from tarebook.planning.remedies import with_remedies, works
from tarebook.planning.rows import Best
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

LABORATORIES = Path(__file__).parents[1] / "laboratories"


def found(experiment: Experiment) -> dict[str, Advice]:
    contents = content_range(experiment)
    advices = with_remedies(experiment, contents, Best.CONTENT, faults(experiment, contents))
    return {advice.code: advice for advice in advices}


def test_examples_work(pool: Experiment, bath: Experiment) -> None:
    for experiment in (pool, bath):
        assert {advice.severity for advice in found(experiment).values()} == {"note"}


def test_stock_too_weak(pool: Experiment) -> None:
    weak = with_stock(pool, 0.3)
    advice = found(weak)["change-over-outside"]
    assert advice.severity == "stop"
    assert "beyond your last cup (35 mL)" in advice.message
    assert {remedy.kind for remedy in advice.remedies} == {"stock", "sample"}
    for remedy in advice.remedies:
        change = with_stock if remedy.kind == "stock" else with_sample
        assert works(change(weak, remedy.value), content_range(weak), "change-over-outside")
        assert 0.005 < remedy.equivalence < 0.035
        assert f"{remedy.value:g}" in advice.do


def test_stock_too_strong_for_the_row(pool: Experiment) -> None:
    short = with_row(with_stock(pool, 1.2), np.linspace(0.02, 0.03, 6))
    advice = found(short)["change-over-outside"]
    assert "before your first cup (20 mL)" in advice.message
    kinds = [remedy.kind for remedy in advice.remedies]
    assert "row" in kinds


def test_change_over_near_the_edge(pool: Experiment) -> None:
    advice = found(with_stock(pool, 0.55))["change-over-near-edge"]
    assert advice.severity == "look"
    assert "only 1 of the cups is beyond that" in advice.message


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ((0.005, 0.011, 0.017, 0.023, 0.0235), "the highest contents the reagent would limit"),
        ((0.021, 0.0225, 0.028, 0.033, 0.038), "the lowest contents the sample would limit"),
    ],
)
def test_a_side_without_any_cup_is_said_in_words(
    pool: Experiment, row: tuple[float, ...], said: str
) -> None:
    """Never "only 0 of the cups"."""
    experiment = with_row(pool, np.array(row))
    advice = found(experiment)["change-over-near-edge"]
    assert 0.0 in (advice.evidence["runs_before"], advice.evidence["runs_after"])
    assert said in advice.message
    assert " 0 of the cups" not in advice.message


def test_sample_below_what_the_balance_can_weigh(pool: Experiment) -> None:
    coarse = balance(0.1)
    advice = found(with_balances(pool, main=coarse, own=coarse))["sample-too-small-for-balance"]
    assert advice.severity == "stop"
    assert advice.evidence["least_for_5_percent_g"] == pytest.approx(4.0)
    finer = next(remedy for remedy in advice.remedies if remedy.kind == "balance")
    other = balance(finer.value)
    mended = with_balances(pool, main=other, own=other)
    assert "sample-too-small-for-balance" not in found(mended)


def test_loss_below_what_the_balance_resolves(pool: Experiment) -> None:
    coarse = balance(0.1)
    advices = found(with_balances(pool, main=coarse))
    assert advices["mass-lost-too-small"].severity == "stop"
    assert "sample-too-small-for-balance" not in advices


@pytest.mark.parametrize(
    ("name", "severity"),
    [("magnesium-turnings-in-acid", "stop"), ("zinc-filings-in-acid", "stop"), ("cold-room", "")],
)
def test_water_that_rivals_the_gas(name: str, severity: str) -> None:
    """A metal heats its cup: the hydrogen weighs less than the water that leaves with it."""
    path = LABORATORIES / name / "experiment.toml"
    advices = found(parse_definition(path.read_text(encoding="utf-8")))
    if not severity:
        assert "water-rivals-gas" not in advices
        return
    advice = advices["water-rivals-gas"]
    assert advice.severity == severity
    assert float(advice.evidence["water_over_gas"]) > 1.0


def test_water_rivals_the_gas_less_if_weighed_at_once() -> None:
    path = LABORATORIES / "zinc-filings-in-acid" / "experiment.toml"
    text = path.read_text(encoding="utf-8")
    assert "minutes = 20" in text
    sooner = parse_definition(text.replace("minutes = 20", "minutes = 2"))
    assert found(sooner)["water-rivals-gas"].severity == "look"


def test_vessel_that_foams_over(pool: Experiment) -> None:
    advice = found(with_vessel(pool, 0.06))["vessel-foams-over"]
    assert advice.severity == "stop"
    larger = next(remedy for remedy in advice.remedies if remedy.kind == "vessel")
    assert "vessel-foams-over" not in found(with_vessel(pool, larger.value))
    less = next(remedy for remedy in advice.remedies if remedy.kind == "sample")
    assert less.value < pool.sample.nominal_mass


def test_vessel_that_may_foam_over_is_a_caution_only(pool: Experiment) -> None:
    assert found(with_vessel(pool, 0.1))["vessel-foams-over"].severity == "look"


def test_vessel_rather_full(pool: Experiment) -> None:
    small = with_sample(with_vessel(pool, 0.07), 0.3)
    assert found(small)["vessel-rather-full"].severity == "look"


def test_sample_that_does_not_dissolve(pool: Experiment) -> None:
    """9.6 g in 100 g of water: 20 mL hold 1.92 g, and the first cup leaves more than that."""
    total = with_total(with_row(pool, np.linspace(0.002, 0.01, 8)), 0.02)
    much = with_sample(with_stock(total, 1.0), 2.3)
    advice = found(much)["sample-does-not-dissolve"]
    assert advice.severity == "stop"
    assert all(remedy.value < 2.3 for remedy in advice.remedies)
    assert advice.evidence["holds_g"] == pytest.approx(1.92)


def test_volume_that_cannot_be_read(pool: Experiment) -> None:
    row = np.array([0.005, 0.01, 0.01437, 0.018, 0.022, 0.026, 0.03, 0.035])
    changed = with_row(pool, row)
    advices = faults(changed, content_range(changed))
    said = {a.message: a for a in advices if a.code == "volume-not-readable"}
    reagent, diluent = sorted(said, key=len)
    assert reagent.endswith("14.37 mL of reagent.")
    assert diluent.endswith("25.63 mL of diluent.")
    assert "14.4 mL" in said[reagent].do
    assert {advice.severity for advice in said.values()} == {"look"}


def test_volume_that_a_pipette_cannot_give_stops(pool: Experiment) -> None:
    pipette = volume_instrument("transfer pipette", 0.005, grade="A")
    advice = found(with_ware(pool, reagent=pipette))["volume-not-readable"]
    assert advice.severity == "stop"
    assert "14, 18, 22, 26 mL" in advice.message


def test_ware_filled_twice(pool: Experiment) -> None:
    small = volume_instrument("graduated cylinder", 0.025, grade="A")
    advices = found(with_ware(pool, reagent=small))
    assert "35 mL of reagent do not fit" in advices["ware-filled-twice"].message
    assert "filled" in advices["ware-filled-twice"].message
    assert "20 + 15" in advices["ware-filled-twice"].do


def test_balance_overloaded(pool: Experiment) -> None:
    light = replace(pool.equipment.balance, capacity=40.0)
    assert found(with_balances(pool, main=light))["balance-overloaded"].severity == "stop"


def test_too_few_runs(pool: Experiment) -> None:
    assert found(with_row(pool, [0.01, 0.02, 0.03]))["too-few-runs"].severity == "stop"


def test_strength_without_uncertainty(pool: Experiment) -> None:
    unsure = replace(pool, reagent=replace(pool.reagent, strength_is_sure=False))
    assert found(unsure)["strength-not-sure"].severity == "look"


def test_nothing_claimed_widens_the_range(pool: Experiment, unclaimed: Experiment) -> None:
    assert found(unclaimed)["content-unknown"].severity == "note"
    wide, narrow = content_range(unclaimed), content_range(pool)
    assert (wide.low, wide.high) == (0.6, 1.0)
    assert narrow.low == pytest.approx(0.855)
    assert narrow.high == 1.0


def test_a_stop_that_only_a_caution_replaces_is_mended_by_that(pool: Experiment) -> None:
    """On a 0.01 g balance no mass that the row can hold is known to 1 %, but some are to 5 %."""
    coarse = balance(0.01)
    tiny = with_sample(with_balances(pool, main=coarse, own=coarse), 0.01)
    advice = found(tiny)["sample-too-small-for-balance"]
    assert advice.severity == "stop"
    (remedy,) = advice.remedies
    assert remedy.kind == "sample"
    assert 0.02 / remedy.value <= 0.05
    assert f"{remedy.value:g} g of sample" in advice.do


def test_a_cup_without_reagent_tells_the_acid_of_the_sample() -> None:
    """The fizzing tablet has such a cup; one of unknown acid without it is told to plan one."""
    folder = Path(__file__).parents[2] / "examples" / "fizzing-tablet-hand-soak"
    text = (folder / "experiment.toml").read_text(encoding="utf-8")
    unknown = text.replace("mass_fraction = 0.20\nu_mass_fraction = 0.006\n", "")
    assert unknown != text
    for definition, words in (
        (text, "Run 1 holds no"),
        (unknown.replace("reagent_mL = [0, 4,", "reagent_mL = [2, 4,"), "no cup shows it alone"),
    ):
        one = parse_definition(definition)
        found = faults(one, content_range(one))
        (note,) = [advice for advice in found if advice.code == "acid-of-the-sample"]
        assert note.severity == "note"
        assert words in note.message
