"""The parts of the study of laboratories: truths, the physics that is not ours, the bounds."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from scripts.study_laboratories.agreement import Agreement, agreement
from scripts.study_laboratories.laboratory import laboratories
from scripts.study_laboratories.metals import HEAT, HEAT_CAPACITY, VESSEL_HEAT, warm_cups
from scripts.study_laboratories.page import apart
from scripts.study_laboratories.pairs import with_pairs
from scripts.study_laboratories.physics import OTHER, OWN
from scripts.study_laboratories.plans import Judgement
from scripts.study_laboratories.series import One, generator
from scripts.study_laboratories.tally import Line, Verdict, line_of
from scripts.study_laboratories.truth import spread_of
from scripts.study_laboratories.words import broken, table

from tarebook.model.cup import Contents, cup_state
from tarebook.model.cup_chemistry import cup_chemistry
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.release import Doubt, Mixture, by_equilibrium

LABORATORIES = {laboratory.name: laboratory for laboratory in laboratories()}


def a_series(**values: object) -> One:
    clean = One(
        number=0,
        content=0.9,
        found=0.9,
        u=0.01,
        low=0.88,
        high=0.92,
        usual=0.85,
        why_none="",
        stops=(),
        looks=(),
        seconds=0.1,
    )
    return replace(clean, **values)  # type: ignore[arg-type]


def a_line(n: int, **values: object) -> Line:
    """Nineteen of twenty intervals hold; the rest as asked for."""
    found = [a_series(number=i, **values) for i in range(n)]
    missed = {i for i in range(n) if i % 20 == 0}
    found = [replace(one, low=0.91) if one.number in missed else one for one in found]
    return line_of("somewhere", "own", found)


@pytest.mark.parametrize("name", LABORATORIES)
def test_every_laboratory_says_that_it_is_invented(name: str) -> None:
    text = LABORATORIES[name].path("experiment.toml").read_text(encoding="utf-8")
    assert "invented scenario" in text.splitlines()[0]
    truth = LABORATORIES[name].truths
    assert "content" in truth


def test_there_are_at_least_twelve() -> None:
    assert len(LABORATORIES) >= 12


def test_a_truth_is_drawn_as_its_file_says() -> None:
    _, even = spread_of("here", "content", {"low": 0.5, "high": 0.7})
    _, normal = spread_of("here", "hold_up_reagent_mL", {"mean": 0.3, "u": 0.05})
    _, skewed = spread_of("here", "degassing_per_minute", {"median": 0.01, "relative_u": 0.4})
    rng = np.random.Generator(np.random.SFC64(1))
    drawn = np.array([[s.drawn(rng) for s in (even, normal, skewed)] for _ in range(4000)])
    assert drawn[:, 0].min() > 0.5
    assert drawn[:, 0].max() < 0.7
    assert drawn[:, 1].mean() == pytest.approx(0.0003, rel=0.01)
    assert drawn[:, 1].std() == pytest.approx(0.00005, rel=0.05)
    assert np.log(drawn[:, 2]).mean() == pytest.approx(np.log(0.01), abs=0.03)
    assert np.log(drawn[:, 2]).std() == pytest.approx(0.4, rel=0.05)


@pytest.mark.parametrize(
    ("key", "row"), [("contents", {"low": 0.1, "high": 0.2}), ("content", {"low": 0.1, "u": 1.0})]
)
def test_a_truth_that_cannot_be_read_is_refused(key: str, row: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="here: content"):
        spread_of("here", key, row)


def test_what_is_so_elsewhere_counts_only_there() -> None:
    laboratory = LABORATORIES["warm-room"]
    here, there = (
        np.array([float(laboratory.drawn(rng, elsewhere=e).degassing) for _ in range(300)])
        for e, rng in ((e, np.random.Generator(np.random.SFC64(2))) for e in (False, True))
    )
    assert np.median(here) == pytest.approx(0.02, rel=0.15)
    assert np.median(there) == pytest.approx(0.012, rel=0.15)


def test_one_seed_one_series_and_no_two_alike() -> None:
    laboratory = LABORATORIES["cold-room"]
    tables = [
        OWN.series(laboratory, generator(laboratory, seed, number))[1].table
        for seed, number in ((20, 0), (20, 0), (20, 1), (21, 0))
    ]
    assert tables[0] == tables[1]
    assert tables[0] not in tables[2:]


def mixture(pressure: float, carbonic: float, ion: float) -> Mixture:
    """Sodium hydrogen carbonate with hydrochloric acid under CO2."""
    experiment = LABORATORIES["labels-only"].experiment
    chemistry = cup_chemistry(experiment.reaction)
    assert chemistry is not None
    one = np.ones(3)
    names = [i.name for i in chemistry.system.strong_ions]
    positive = next(name for name in names if name.endswith("+"))
    negative = next(name for name in names if name.endswith("-"))
    return Mixture(
        chemistry=chemistry,
        totals={"carbonic": carbonic * one},
        strong={positive: carbonic * one, negative: ion * one},
        water=0.04 * one,
        temperature=np.array([288.15, 293.15, 298.15]),
        pressure=pressure * one,
        doubt=Doubt(first_pk_shift=0.0 * one, activity=0.0 * one, saturation=0.0 * one),
        left_over={},
    )


def test_the_other_chemistry_agrees_where_there_are_few_ions() -> None:
    """Beside excess acid, weak: no pair forms, and CO2 alone is dissolved."""
    made = mixture(101325.0, 0.05, 0.06)
    theirs, ours = with_pairs(made), by_equilibrium(made)
    held = [0.05 * made.water - released.gas for released in (theirs, ours)]
    # acid salts CO2 out less than PHREEQC's 0.1 for every ion says
    np.testing.assert_allclose(held[0], held[1], rtol=0.01)
    np.testing.assert_allclose(theirs.ph, ours.ph, atol=0.02)


def test_chalk_left_over_dissolves_in_the_other_chemistry_too() -> None:
    """Under 1 atm of CO2 some 10 mmol/kg of calcium go into solution as hydrogen carbonate."""
    bare = mixture(101325.0, 0.07, 0.07)
    chalk = replace(bare, left_over={"CaCO3": np.full(3, 0.05)})
    # each CO3^2- takes one CO2 along
    taken = (with_pairs(bare).gas - with_pairs(chalk).gas) / bare.water
    assert np.all((taken > 0.009) & (taken < 0.014))


def test_pairs_hold_some_of_the_carbonate_back() -> None:
    """Where bicarbonate is left over in a strong solution the pairs show."""
    made = mixture(101325.0, 0.9, 0.3)
    theirs, ours = with_pairs(made), by_equilibrium(made)
    assert np.all(theirs.ph > ours.ph - 0.2)
    assert np.all(np.abs(theirs.ph - ours.ph) > 0.002)


def test_heat_of_a_metal_that_loses_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """With no way out for the heat the liquid is as much warmer as the reaction gave."""
    monkeypatch.setattr("scripts.study_laboratories.metals.TO_ROOM", (0.0, 0.0))
    monkeypatch.setattr("scripts.study_laboratories.metals.EVAPORATION_HEAT", 0.0)
    laboratory = LABORATORIES["zinc-filings-in-acid"]
    rng = np.random.Generator(np.random.SFC64(3))
    truth = laboratory.drawn(rng)
    contents = Contents(
        reagent=np.full(3, 0.03),
        diluent=np.full(3, 0.03),
        sample=np.array([0.1, 0.5, 0.9]),
        temperature=np.full(3, 294.15),
        minutes=np.array([5.0, 10.0, 15.0]),
    )
    experiment = laboratory.experiment
    warm = warm_cups(rng)(experiment, truth, contents, ALL_EFFECTS)
    made = warm.gas_released / experiment.reaction.gas_molar_mass.value
    capacity = HEAT_CAPACITY * warm.liquid + VESSEL_HEAT
    # a first-order fizz of five times its constant leaves 0.7 %
    rise = HEAT["Zn"] * made / capacity
    np.testing.assert_allclose(warm.temperature - 294.15, rise, rtol=0.01)
    plain = cup_state(experiment, truth, contents, ALL_EFFECTS)
    np.testing.assert_array_equal(warm.gas_released, plain.gas_released)


def test_a_warm_cup_loses_more_water_than_a_cold_one() -> None:
    laboratory = LABORATORIES["magnesium-turnings-in-acid"]
    own, other = (
        physics.series(laboratory, generator(laboratory, 4, 0))[1].state for physics in (OWN, OTHER)
    )
    assert np.all(other.temperature[-3:] > 300.0)
    assert other.evaporated[-1] > 2.0 * other.evaporated[0]
    assert np.all(own.evaporated > 0.0)


def test_bounds_are_held_with_the_noise_of_few_series() -> None:
    assert set(a_line(200).verdicts().values()) == {Verdict.MET}
    looked = a_line(200, looks=("scatter",))
    assert looked.verdicts()["look"] is Verdict.BROKEN
    assert looked.look_codes == Counter({"scatter": 200})
    # one of twenty may be chance at one in a hundred, one of two hundred is within the bound
    few = [a_series(stops=("content-above-one",)), *[a_series() for _ in range(19)]]
    assert line_of("x", "own", few).verdicts()["stop"] is Verdict.CHANCE
    assert line_of("x", "own", few * 10).verdicts()["stop"] is Verdict.BROKEN
    assert a_line(200, found=0.906).verdicts()["bias"] is Verdict.BROKEN
    # within a fifth of a u that is large
    assert a_line(200, found=0.906, u=0.04).verdicts()["bias"] is Verdict.MET
    assert a_line(200, high=0.89).verdicts()["coverage"] is Verdict.BROKEN


def test_a_series_without_a_result_counts_as_none() -> None:
    nothing = {name: float("nan") for name in ("found", "u", "low", "high", "usual")}
    line = line_of("x", "own", [a_series(why_none="no fit", **nothing), a_series(), a_series()])
    assert (line.n, line.n_results, line.covered) == (3, 2, 2)
    assert line.reasons == Counter({"no fit": 1})
    assert "33.3" in table([line])


def test_what_is_broken_is_said_in_words() -> None:
    line = a_line(100, stops=("content-above-one",))
    assert broken([line]) == ["somewhere (own): 100 of 100 clean series are stopped"]
    assert broken([a_line(100)]) == []
    refuses = {"somewhere": Judgement(refuses=True, because="water-rivals-gas", u=float("nan"))}
    assert broken([a_line(100)], refuses) == [
        "somewhere (own): 100 contents stated though the plan refuses it"
    ]


def test_outputs_of_a_laboratory_are_held_against_one_another() -> None:
    (five,) = (one for one in laboratories() if one.name == "short-row-of-five")
    found = agreement(five)
    assert found.apart == ()
    assert found.quantities > 500
    spoilt = {five.name: Agreement(found.quantities, ("content: 92.1 %, 92.2 %",))}
    assert apart(spoilt) == ["short-row-of-five: content: 92.1 %, 92.2 %"]
