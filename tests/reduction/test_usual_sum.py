"""The usual sum of a series, against sums written out in this file."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from uncertainties import ufloat

from tarebook.core.arrays import FloatArray
from tarebook.core.phrase import Phrase
from tarebook.measurement.effects import Shape
from tarebook.measurement.montecarlo import blocks, coverage_interval
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction import usual_draws
from tarebook.reduction.reading_errors import Target, drawn_shifts, error_sources
from tarebook.reduction.results import SetAside, UsualReduction
from tarebook.reduction.row_axis import row_axis
from tarebook.reduction.usual_series import reduce_usual, usual_readings
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
NOTHING = SetAside(unusable={}, doubtful={})
SODIUM_BICARBONATE, CARBON_DIOXIDE = 84.006, 44.009
"""g/mol, from the IUPAC 2021 abridged atomic weights."""


def load() -> tuple[Experiment, RunTable]:
    return (
        parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8")),
        parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8")),
    )


@pytest.fixture(scope="module")
def reduced() -> UsualReduction:
    return reduce_usual(*load(), NOTHING, seed=20, draws=200_000)


def numbers(column: str) -> FloatArray:
    """Return a column of the sheet as a spreadsheet would see it."""
    lines = (POOL / "readings.csv").read_text("utf-8").splitlines()
    index = lines[0].split(",").index(column)
    return np.array([float(line.split(",")[index]) for line in lines[1:]])


def test_three_runs_have_no_two_lines() -> None:
    """And the reason is a sentence, not a set of numbers."""
    experiment, table = load()
    few = replace(
        table,
        runs=table.runs[:3],
        readings=tuple(r for r in table.readings if r.run in table.runs[:3]),
    )
    found = reduce_usual(experiment, few, NOTHING, seed=20, draws=1000)
    assert found.series is None
    assert found.no_series_because == Phrase.of("too-few-for-lines", runs=3, needed=4)
    assert len(found.runs) == 3


def test_a_sample_that_reads_nothing_has_no_amounts() -> None:
    """Left out with its reading, and no division by it."""
    experiment, table = load()
    readings = tuple(
        replace(r, value=0.0) if r.run == "3" and r.quantity is Quantity.SAMPLE else r
        for r in table.readings
    )
    found = reduce_usual(experiment, replace(table, readings=readings), NOTHING, seed=20, draws=999)
    assert [(one.run, one.why) for one in found.left_out] == [
        ("3", Phrase.of("sample-read-as", sample_g=0.0))
    ]
    assert found.series is not None


def test_one_run_by_hand(reduced: UsualReduction) -> None:
    """Run 5: 22.2 mL, 55.942 g, 1.514 g, 56.779 g."""
    assert reduced.series is not None
    content = reduced.series.sample_mass_fraction.value
    run = reduced.runs[4]
    acid = 0.0222 * 0.2000 * (18.75 + 18.80 + 18.75) / 3 / 5.00
    lost = 55.942 + 1.514 - 56.779
    bicarbonate = 1.514 * content / SODIUM_BICARBONATE
    assert run.reagent.value == pytest.approx(acid, rel=1e-9)
    assert run.gas_found.value == pytest.approx(lost, rel=1e-9)
    assert run.sample.value == pytest.approx(bicarbonate, rel=2e-6)
    expected = min(acid, bicarbonate) * CARBON_DIOXIDE
    assert run.gas_expected is not None
    assert run.gas_expected.value == pytest.approx(expected, rel=2e-6)
    assert run.yield_percent is not None
    assert run.yield_percent.value == pytest.approx(100 * lost / expected, rel=3e-6)
    assert run.yield_of_claim_percent is not None
    claimed = min(acid, 1.514 * 0.95 / SODIUM_BICARBONATE) * CARBON_DIOXIDE
    assert run.yield_of_claim_percent.value == pytest.approx(100 * lost / claimed, rel=3e-6)


def test_the_plateau_by_hand(reduced: UsualReduction) -> None:
    """Runs 5 to 8 lie after the change-over: their weighted mean is the plateau.

    The weights by hand: the masses of vessel and sample err alike in every run (0.001 g steps,
    repeatability s), so the variance of lost/sample is (2 + (1 - y)^2) s'^2 / sample^2.
    """
    liquid, sample, final = (numbers(c) for c in ("vessel_liquid_g", "sample_g", "final_g"))
    y = ((liquid + sample - final) / sample)[4:]
    weight = sample[4:] ** 2 / (2 + (1 - y) ** 2)
    x = numbers("reagent_mL") / sample
    assert reduced.series is not None
    fit = reduced.series.fit
    # Run 5 lies at 22.2 mL / 1.514 g, left of the change-over: the plateau is that of runs 6 to 8.
    on_plateau = x > 1000 * fit.breakpoint
    assert list(on_plateau) == [False] * 5 + [True] * 3
    plateau = float((weight[1:] * y[1:]).sum() / weight[1:].sum())
    assert fit.plateau == pytest.approx(plateau, rel=1e-9)
    content = plateau * SODIUM_BICARBONATE / CARBON_DIOXIDE
    assert reduced.series.sample_mass_fraction.value == pytest.approx(content, rel=2e-6)
    assert reduced.series.equivalence.value == pytest.approx(fit.breakpoint * 1.5)
    from_acid = fit.breakpoint * 0.2 * (18.75 + 18.80 + 18.75) / 3 / 5 * SODIUM_BICARBONATE
    assert reduced.series.content_from_equivalence.value == pytest.approx(from_acid, rel=2e-6)


def test_u_of_one_run_against_the_package_uncertainties(reduced: UsualReduction) -> None:
    """Amount of acid, mass lost and yield of run 2, with the errors that the runs share.

    `uncertainties` propagates to first order with correlations, so it must have the content with
    its own dependence on the balance; run 2 expects what the acid gives, so the content is out.
    """
    experiment, table = load()
    readings, _ = usual_readings(table, NOTHING, row_axis(experiment))
    sources = error_sources(experiment, readings.volume, readings.counts)

    def error(target: Target) -> Any:
        """Return all errors of one target of run 2 as one independent number."""
        here = [source for source in sources if source.target is target]
        return sum(ufloat(0.0, float(s.u[0] if s.shared else s.u[1])) for s in here)

    sample_error = error(Target.SAMPLE)
    volume = 0.0105 * (1 + error(Target.SCALE)) + error(Target.VOLUME)
    strength = experiment.reagent.concentration
    acid = (strength.value + error(Target.CONCENTRATION)) * volume
    lost = 55.509 - 56.726 + 1.506 + sample_error + error(Target.LIQUID) - error(Target.FINAL)
    # The definition says 0.00 ± 0.03 mmol/g of acid in the sample: it counts with the acid poured.
    all_acid = acid + (1.506 + sample_error) * error(Target.OWN_ACID)
    percent = 100 * lost / (all_acid * CARBON_DIOXIDE)
    run = reduced.runs[1]
    assert run.reagent.u == pytest.approx(acid.std_dev, rel=0.01)
    assert run.gas_found.u == pytest.approx(lost.std_dev, rel=0.01)
    assert run.yield_percent is not None
    assert run.yield_percent.value == pytest.approx(percent.nominal_value, rel=3e-6)
    assert run.yield_percent.u == pytest.approx(percent.std_dev, rel=0.01)


def linear_variance(experiment: Experiment, table: RunTable) -> float:
    """Return the variance of the content to first order, by differences of the whole reduction.

    Each reading of each run is moved by its own standard uncertainty in the sheet itself, and each
    shared error in all runs at once: nothing of the budget's own code is used.
    """
    readings, _ = usual_readings(table, NOTHING, row_axis(experiment))
    sources = error_sources(experiment, readings.volume, readings.counts)

    def content(moved: RunTable) -> float:
        series = reduce_usual(experiment, moved, NOTHING, seed=1, draws=1000).series
        assert series is not None
        return series.sample_mass_fraction.value

    columns = {
        Target.VOLUME: Quantity.REAGENT,
        Target.LIQUID: Quantity.LIQUID,
        Target.SAMPLE: Quantity.SAMPLE,
        Target.FINAL: Quantity.FINAL,
    }
    total = 0.0
    for target, quantity in columns.items():
        own = math.fsum(s.u[0] ** 2 for s in sources if s.target is target and not s.shared)
        for run in table.runs if target is not Target.VOLUME else ():
            up, down = (content(shifted(table, quantity, {run}, f * own**0.5)) for f in (1, -1))
            total += ((up - down) / 2) ** 2
        shared = math.fsum(s.u[0] ** 2 for s in sources if s.target is target and s.shared)
        every = set(table.runs)
        up, down = (content(shifted(table, quantity, every, f * shared**0.5)) for f in (1, -1))
        total += ((up - down) / 2) ** 2
    ratio = experiment.reaction.mass_ratio
    return total + (content(table) * ratio.u / ratio.value) ** 2


def shifted(table: RunTable, quantity: Quantity, runs: set[str], by: float) -> RunTable:
    readings = tuple(
        replace(r, value=r.value + by) if r.quantity is quantity and r.run in runs else r
        for r in table.readings
    )
    return replace(table, readings=readings)


@pytest.mark.slow
def test_monte_carlo_variance_against_first_order() -> None:
    """Far from the kink the content is a smooth function: both agree within a few percent."""
    experiment, table = load()
    reduction = reduce_usual(experiment, table, NOTHING, seed=3, draws=200_000)
    assert reduction.series is not None
    assert reduction.series.birge < 1.2
    u = reduction.series.sample_mass_fraction.u
    own = reduction.series.birge
    first_order = math.sqrt(linear_variance(experiment, table))
    assert first_order < u < first_order * max(1.0, own) * 1.03
    low, high = (
        reduction.series.sample_mass_fraction.low,
        reduction.series.sample_mass_fraction.high,
    )
    assert (high - low) / 2 == pytest.approx(1.96 * u, rel=0.03)


def test_the_budget_is_the_whole_variance_and_names_its_largest_part_first(
    reduced: UsualReduction,
) -> None:
    assert reduced.series is not None
    shares = [item.share for item in reduced.series.budget]
    assert sum(shares) == pytest.approx(1.0, abs=1e-12)
    assert shares == sorted(shares, reverse=True)
    assert all(0 < share <= 1 for share in shares)
    assert len({item.source for item in reduced.series.budget}) == len(shares)


def test_the_budget_against_the_variance_without_one_source(reduced: UsualReduction) -> None:
    """Linearity of the balance is 61 % of the variance: without it the variance is 39 % of that."""
    experiment, table = load()
    assert reduced.series is not None
    share = next(b.share for b in reduced.series.budget if "linearity" in b.source)
    perfect = replace(experiment.equipment.balance, linearity=0.0)
    better = replace(
        experiment,
        equipment=replace(experiment.equipment, balance=perfect, sample_balance=perfect),
    )
    without = reduce_usual(better, table, NOTHING, seed=20, draws=200_000).series
    assert without is not None
    ratio = (without.sample_mass_fraction.u / reduced.series.sample_mass_fraction.u) ** 2
    assert ratio == pytest.approx(1.0 - share, abs=0.02)


def test_doubling_the_runs_does_not_shrink_what_they_share() -> None:
    """Each run twice over: the runs' own part of the variance halves, the shared part stays."""
    experiment, table = load()
    names = {run: f"{run} again" for run in table.runs}
    doubled = replace(
        table,
        runs=(*table.runs, *names.values()),
        readings=(*table.readings, *(replace(r, run=names[r.run]) for r in table.readings)),
    )
    once = reduce_usual(experiment, table, NOTHING, seed=5, draws=100_000).series
    twice = reduce_usual(experiment, doubled, NOTHING, seed=6, draws=100_000).series
    assert once is not None
    assert twice is not None
    assert twice.sample_mass_fraction.value == pytest.approx(once.sample_mass_fraction.value)
    shared = sum(b.share for b in once.budget if "linearity" in b.source or "molar" in b.source)
    # Birge widens only what is the runs' own, and differs a little: 13 degrees of freedom, not 5.
    own_once = (1 - shared) * once.sample_mass_fraction.u**2 / max(1.0, once.birge) ** 2
    own_twice = own_once / 2 * max(1.0, twice.birge) ** 2
    expected = shared * once.sample_mass_fraction.u**2 + own_twice
    assert twice.sample_mass_fraction.u**2 == pytest.approx(expected, rel=0.03)
    assert twice.sample_mass_fraction.u > once.sample_mass_fraction.u * math.sqrt(shared) * 0.99


def test_repeats_count_as_their_mean_and_halve_what_is_their_own() -> None:
    experiment, table = load()
    step = 2 * experiment.equipment.balance.readability
    extra = tuple(
        replace(r, value=r.value + step) for r in table.readings if r.quantity is Quantity.FINAL
    )
    twice = replace(table, readings=(*table.readings, *extra))
    once, many = (usual_readings(t, NOTHING, row_axis(experiment))[0] for t in (table, twice))
    np.testing.assert_allclose(once.final + step / 2, many.final, rtol=0, atol=1e-12)
    u = {
        len(r.runs) and int(r.counts[Target.FINAL][0]): {
            s.label: float(s.u[0])
            for s in error_sources(experiment, r.volume, r.counts)
            if s.target is Target.FINAL
        }
        for r in (once, many)
    }
    name = experiment.equipment.balance.name
    assert u[2][f"{name}: rounding"] == pytest.approx(u[1][f"{name}: rounding"] / math.sqrt(2))
    assert u[2][f"{name}: linearity"] == u[1][f"{name}: linearity"]


def test_the_drawn_errors_have_the_stated_spread_and_sharing() -> None:
    experiment, table = load()
    readings, _ = usual_readings(table, NOTHING, row_axis(experiment))
    sources = error_sources(experiment, readings.volume, readings.counts)
    rng = np.random.Generator(np.random.SFC64(4))
    shifts = drawn_shifts(sources, rng, 8, 100_000)
    assert shifts[Target.SCALE].shape == (1, 100_000)
    for target, drawn in shifts.items():
        variance = sum(np.broadcast_to(s.u, (8,)) ** 2 for s in sources if s.target is target)
        spread = np.broadcast_to(drawn.std(axis=1), (8,))
        np.testing.assert_allclose(spread, np.sqrt(variance), rtol=0.02)
    together = np.asarray(np.corrcoef(shifts[Target.FINAL]))[0, 1]
    linearity = experiment.equipment.balance.linearity_u
    assert together == pytest.approx(linearity**2 / shifts[Target.FINAL][0].var(), abs=0.02)


def test_the_same_seed_gives_the_same_digits_whatever_the_threads(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    experiment, table = load()
    first = reduce_usual(experiment, table, NOTHING, seed=8, draws=50_000)
    monkeypatch.setattr(usual_draws, "THREADS", 1)
    assert reduce_usual(experiment, table, NOTHING, seed=8, draws=50_000).runs == first.runs
    monkeypatch.setattr(usual_draws, "THREADS", 5)
    again = reduce_usual(experiment, table, NOTHING, seed=8, draws=50_000)
    assert again.runs == first.runs
    assert again.series is not None
    assert first.series is not None
    assert again.series.sample_mass_fraction == first.series.sample_mass_fraction


def test_another_seed_changes_digits_within_the_noise_of_the_draws() -> None:
    """u of 20,000 draws is known to 1/sqrt(2 x 20,000) = 0.5 %; the values are not drawn at all."""
    experiment, table = load()
    one, other = (reduce_usual(experiment, table, NOTHING, seed=s, draws=20_000) for s in (1, 2))
    for a, b in zip(one.runs, other.runs, strict=True):
        assert a.gas_found.value == b.gas_found.value
        assert a.gas_found.u != b.gas_found.u
        assert a.gas_found.u == pytest.approx(b.gas_found.u, rel=4 * 0.005 * math.sqrt(2))
        assert a.gas_found.low == pytest.approx(b.gas_found.low, abs=0.15 * a.gas_found.u)


def test_the_chance_that_the_reagent_limits_by_hand(reduced: UsualReduction) -> None:
    """Normal approximation of the difference of both amounts, run by run, sharing left out."""
    for run in reduced.runs:
        u = math.hypot(run.reagent.u, run.sample.u)
        z = (run.sample.value - run.reagent.value) / u
        normal = 0.5 * (1 + math.erf(z / math.sqrt(2)))
        assert run.p_reagent_limiting is not None
        assert run.p_reagent_limiting == pytest.approx(normal, abs=0.02)
        assert run.limiting == ("reagent" if run.p_reagent_limiting > 0.5 else "sample")


def test_near_the_change_over_it_is_not_certain_which_reactant_limits() -> None:
    """A run poured to the equivalence point: about even."""
    experiment, table = load()
    series = reduce_usual(experiment, table, NOTHING, seed=1, draws=5_000).series
    assert series is not None
    at = series.sample_mass_fraction.value / SODIUM_BICARBONATE * 1.514
    volume = at / experiment.reagent.concentration.value
    moved = shifted(table, Quantity.REAGENT, {"5"}, volume - 0.0222)
    run = reduce_usual(experiment, moved, SetAside(unusable={}, doubtful={"5": Phrase("moved")}),
                       seed=1, draws=20_000).runs[4]  # fmt: skip
    assert run.p_reagent_limiting is not None
    assert 0.4 < run.p_reagent_limiting < 0.6
    assert run.not_in_fit == Phrase("moved")


def test_a_run_set_aside_does_not_shape_the_lines() -> None:
    experiment, table = load()
    wrong = shifted(table, Quantity.FINAL, {"7"}, -0.2)
    aside = SetAside(unusable={}, doubtful={"7": Phrase("why")})
    series = reduce_usual(experiment, wrong, aside, seed=1, draws=2_000).series
    six = reduce_usual(experiment, without(table, "7"), NOTHING, seed=1, draws=2_000).series
    assert series is not None
    assert six is not None
    assert series.fit.plateau == six.fit.plateau
    assert {point.run for point in series.curve} == set("1234568")


def without(table: RunTable, *runs: str) -> RunTable:
    return replace(
        table,
        runs=tuple(run for run in table.runs if run not in runs),
        readings=tuple(r for r in table.readings if r.run not in runs),
    )


def test_runs_that_lack_a_reading_are_left_out_with_the_reason() -> None:
    experiment, table = load()
    readings = tuple(
        r for r in table.readings if not (r.run == "3" and r.quantity is Quantity.FINAL)
    )
    found = reduce_usual(experiment, replace(table, readings=readings), NOTHING, seed=1, draws=1000)
    (left_out,) = found.left_out
    assert left_out.run == "3"
    assert left_out.why == Phrase.of("not-read", lacking=(Quantity.FINAL,))
    assert "3" not in {run.run for run in found.runs}


def test_without_a_change_over_the_claim_stands_in_and_that_is_said() -> None:
    experiment, table = load()
    few = without(table, "6", "7", "8")
    found = reduce_usual(experiment, few, NOTHING, seed=1, draws=2_000)
    assert found.series is None
    assert found.no_series_because
    assert found.content_basis == "claimed"
    assert found.runs[0].sample.value == pytest.approx(1.488 * 0.95 / SODIUM_BICARBONATE, rel=2e-6)
    no_claim = replace(experiment, sample=replace(experiment.sample, claimed_mass_fraction=None))
    pure = reduce_usual(no_claim, few, NOTHING, seed=1, draws=2_000)
    assert pure.content_basis == "pure"
    assert pure.runs[0].yield_of_claim_percent is None
    assert pure.runs[0].sample.value == pytest.approx(1.488 / SODIUM_BICARBONATE, rel=2e-6)


def test_a_change_over_that_hardly_ever_shows_is_not_reported() -> None:
    """Only one run, just right of the change-over: many repetitions would show none."""
    experiment, table = load()
    found = reduce_usual(experiment, without(table, "7", "8"), NOTHING, seed=1, draws=4_000)
    if found.series is None:
        assert found.content_basis == "claimed"
        assert found.no_series_because is not None
        assert found.no_series_because.key in {"repetitions-without-point", "no-break"}
    else:
        assert found.content_basis == "found"


def test_a_run_without_reagent_expects_no_gas() -> None:
    experiment, table = load()
    none = replace(
        table,
        readings=tuple(
            replace(r, value=0.0) if r.run == "1" and r.quantity is Quantity.REAGENT else r
            for r in table.readings
        ),
    )
    run = reduce_usual(experiment, none, NOTHING, seed=1, draws=1000).runs[0]
    assert run.yield_percent is None
    assert run.yield_of_claim_percent is None
    assert run.reagent.value == 0.0
    assert run.reagent.u == 0.0  # nothing was poured, so no scale and no eye can err
    assert run.gas_expected is not None
    assert run.gas_expected.value == 0.0
    assert run.p_reagent_limiting == 1.0


def test_what_the_lines_are_drawn_through(reduced: UsualReduction) -> None:
    assert reduced.series is not None
    point = reduced.series.curve[1]
    scale = 1.5 / 1.506
    assert point.grown == pytest.approx(0.0105 * scale)
    assert point.gas == pytest.approx((55.509 + 1.506 - 56.726) * scale)
    fit = reduced.series.fit
    # On the rising line an error of the volume counts as the slope turns it into one of the gas.
    own = math.hypot(point.u_gas, fit.slope * point.u_grown) / 1.5
    assert point.weight == pytest.approx(1.0 / own**2, rel=0.05)
    assert point.fitted == pytest.approx(1.5 * (fit.intercept + fit.slope * point.grown / 1.5))


def test_the_lines_are_those_that_the_result_is_read_off() -> None:
    """Also where the weights do not settle: a run changes sides with every round."""
    path = (
        Path(__file__).parents[1]
        / "laboratories"
        / "potash-soda-and-citric-acid"
        / "experiment.toml"
    )
    experiment = parse_definition(path.read_text(encoding="utf-8"))
    claimed = experiment.sample.claimed_mass_fraction
    assert claimed is not None
    truth = central_parameters(experiment).with_values(content=np.array(claimed.value))
    table = simulate(experiment, truth, np.random.Generator(np.random.SFC64(3))).table
    series = reduce_usual(experiment, table, NOTHING, seed=4, draws=100).series
    assert series is not None
    at = series.fit.breakpoint * series.nominal_mass
    assert series.equivalence.value == pytest.approx(at, rel=1e-9)


def test_every_shape_is_drawn_once_a_source() -> None:
    """The blocks of the Monte Carlo are those of `blocks`: a run can be repeated by hand."""
    experiment, table = load()
    readings, _ = usual_readings(table, NOTHING, row_axis(experiment))
    sources = error_sources(experiment, readings.volume, readings.counts)
    ((rng, size),) = blocks(8, 5_000, usual_draws.BLOCK)
    assert {s.shape for s in sources} == {Shape.NORMAL, Shape.RECTANGULAR, Shape.TRIANGULAR}
    series = reduce_usual(experiment, table, NOTHING, seed=8, draws=5_000)
    assert series.series is not None
    # A single reading is as sure as its instrument makes it, however the row scatters.
    assert series.series.birge > 1.05
    shifts = drawn_shifts(sources, rng, 8, size)
    concentration = experiment.reagent.concentration.value + shifts[Target.CONCENTRATION]
    volume = readings.volume[:, None] * (1 + shifts[Target.SCALE]) + shifts[Target.VOLUME]
    spread = (concentration * volume).std(axis=1, ddof=1)
    np.testing.assert_allclose([run.reagent.u for run in series.runs], spread, rtol=1e-12)


@pytest.mark.parametrize(
    "kind", ["normal", "skewed", "many ties", "constant", "two heaps", "sorted"]
)
@pytest.mark.parametrize("n", [20, 999, 32_768, 100_001])
def test_an_interval_without_a_whole_sort_is_the_same_two_draws(kind: str, n: int) -> None:
    """Against `coverage_interval`, which sorts (JCGM 101:2008, 7.7), draw for draw."""
    rng = np.random.Generator(np.random.SFC64(12))
    samples = {
        "normal": rng.standard_normal(n),
        "skewed": rng.exponential(size=n) ** 3,
        "many ties": rng.integers(0, 5, n).astype(float),
        "constant": np.full(n, 3.0),
        "two heaps": np.where(rng.random(n) < 0.03, -1e6, 1.0) + rng.standard_normal(n),
        "sorted": np.sort(rng.standard_normal(n)),
    }[kind]
    low, high = coverage_interval(samples)
    assert usual_draws.interval_of_many(samples) == (float(low), float(high))
