"""The usual sum of a whole series: best estimate, Monte Carlo and budget of one model."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Estimate, Measured
from tarebook.measurement.montecarlo import blocks, coverage_interval
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.changeover import ChangeoverFit, ChangeoverNotFound, fit_changeover
from tarebook.reduction.claim import compare_with_claim
from tarebook.reduction.reading_errors import (
    ErrorSource,
    Target,
    drawn_shifts,
    error_sources,
    own_variance,
    single_labels,
    single_shifts,
)
from tarebook.reduction.results import (
    BudgetShare,
    CurvePoint,
    LeftOut,
    RunAmounts,
    SetAside,
    UsualReduction,
    UsualSeries,
)
from tarebook.reduction.usual import (
    UsualAmounts,
    UsualLine,
    UsualReadings,
    usual_amounts,
    usual_lines,
    usual_runs,
)
from tarebook.series.experiment import Experiment

ContentBasis: TypeAlias = Literal["found", "claimed", "pure"]

DEFAULT_DRAWS = 100_000
MOST_DRAWS_WITHOUT_CHANGEOVER = 0.05
"""Above this fraction of draws that show no change-over the series is said to show none."""

NEEDED = {
    Target.VOLUME: Quantity.REAGENT,
    Target.LIQUID: Quantity.LIQUID,
    Target.SAMPLE: Quantity.SAMPLE,
    Target.FINAL: Quantity.FINAL,
}
"""The readings of the usual sum, and what their errors shift."""


def reduce_usual(
    experiment: Experiment,
    table: RunTable,
    set_aside: SetAside,
    *,
    seed: int,
    draws: int = DEFAULT_DRAWS,
) -> UsualReduction:
    """Return the usual sum of a series.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    set_aside : SetAside
        Runs whose readings must not shape the two lines.
    seed : int
        Of the Monte Carlo.
    draws : int

    Returns
    -------
    UsualReduction
    """
    readings, left_out = usual_readings(table, set_aside)
    in_fit = np.array([run not in set_aside.doubtful for run in readings.runs], dtype=np.bool_)
    fitted = _fit(experiment, readings.only(in_fit))
    simulation = _simulate(experiment, readings, in_fit, fitted, seed, draws)
    series, why_not = _series(experiment, readings.only(in_fit), fitted, simulation)
    return UsualReduction(
        runs=tuple(
            _run(experiment, readings, simulation, index, set_aside.doubtful.get(run, ""))
            for index, run in enumerate(readings.runs)
        ),
        left_out=left_out,
        series=series,
        no_series_because=why_not,
        content_basis=simulation.basis,
        seed=seed,
        draws=draws,
    )


def usual_readings(
    table: RunTable, set_aside: SetAside
) -> tuple[UsualReadings, tuple[LeftOut, ...]]:
    """Return the readings of the runs that have all the usual sum needs, and the other runs."""
    why_not = {run: _why_no_amounts(table, set_aside, run) for run in table.runs}
    left_out = tuple(LeftOut(run=run, why=why) for run, why in why_not.items() if why)
    keep = np.array([not why_not[run] for run in table.runs], dtype=np.bool_)
    columns = {target: table.mean(q, missing=0.0) for target, q in NEEDED.items()}
    whole = UsualReadings(
        runs=table.runs,
        volume=columns[Target.VOLUME],
        liquid=columns[Target.LIQUID],
        sample=columns[Target.SAMPLE],
        final=columns[Target.FINAL],
        counts={target: table.count(quantity) for target, quantity in NEEDED.items()},
    )
    return whole.only(keep), left_out


def _why_no_amounts(table: RunTable, set_aside: SetAside, run: str) -> str:
    if run in set_aside.unusable:
        return set_aside.unusable[run]
    lacking = [quantity.words for quantity in NEEDED.values() if not table.of(run, quantity)]
    return f"Not read: {', '.join(lacking)}." if lacking else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fitted:
    """The two lines through the best readings; `fit` is None where the row shows no change-over."""

    fit: ChangeoverFit | None
    why_not: str
    variance: FloatArray

    @property
    def own_scale(self) -> float:
        return 1.0 if self.fit is None else max(1.0, self.fit.birge)


def _fit(experiment: Experiment, readings: UsualReadings) -> _Fitted:
    """Fit the two lines; the error of the volume counts on the rising line alone."""
    sources = error_sources(experiment, readings.volume, readings.counts)
    n_runs = len(readings.runs)
    amounts = usual_amounts(experiment, readings)
    x = (amounts.volume / amounts.sample)[:, 0]
    y = (amounts.gas / amounts.sample)[:, 0]
    u2 = {target: own_variance(sources, target, n_runs) for target in Target}
    sample = readings.sample
    in_y = (u2[Target.LIQUID] + u2[Target.FINAL] + (1.0 - y) ** 2 * u2[Target.SAMPLE]) / sample**2
    in_x = u2[Target.VOLUME] / sample**2
    variance = in_y
    try:
        # Three rounds settle the weights: which side a run lies on hardly ever changes after one.
        for _ in range(3):
            fit = fit_changeover(x, y, np.diag(variance), right="plateau")
            variance = in_y + np.where(x < fit.breakpoint, fit.slope**2, 0.0) * in_x
    except (ChangeoverNotFound, OutOfRangeError) as error:
        return _Fitted(fit=None, why_not=str(error), variance=variance)
    if fit.slope <= 0:
        why = "the mass lost does not grow with the reagent"
        return _Fitted(fit=None, why_not=why, variance=variance)
    return _Fitted(fit=fit, why_not="", variance=variance)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Simulation:
    """Samples of everything that is reported, and the values without errors."""

    best: Mapping[str, FloatArray]
    samples: Mapping[str, FloatArray]
    found: BoolArray
    basis: ContentBasis


def _simulate(
    experiment: Experiment,
    readings: UsualReadings,
    in_fit: BoolArray,
    fitted: _Fitted,
    seed: int,
    draws: int,
) -> _Simulation:
    sources = error_sources(experiment, readings.volume, readings.counts)
    weights = 1.0 / fitted.variance
    claimed = experiment.sample.claimed_mass_fraction
    basis: ContentBasis = "found" if fitted.fit else ("claimed" if claimed else "pure")

    def everything(amounts: UsualAmounts, rng: np.random.Generator | None) -> dict[str, FloatArray]:
        size = amounts.reagent.shape[1]
        result: dict[str, FloatArray] = {"reagent": amounts.reagent, "gas": amounts.gas}
        content = np.ones(size)
        if basis == "found":
            lines = usual_lines(experiment, _rows(amounts, in_fit), weights)
            result |= _as_rows(lines)
            content = lines.content
        elif claimed:
            content = _claimed(claimed, size, rng)
        runs = usual_runs(experiment, amounts, content)
        result |= {"analyte": runs.analyte, "expected": runs.gas_expected}
        result |= {"yield": runs.yield_percent, "limits": runs.reagent_limits.astype(np.float64)}
        if claimed:
            against = usual_runs(experiment, amounts, _claimed(claimed, size, rng))
            result["yield of claim"] = against.yield_percent
        return result

    best = everything(usual_amounts(experiment, readings), None)
    parts: dict[str, list[FloatArray]] = defaultdict(list)
    for rng, size in blocks(seed, draws):
        shifts = drawn_shifts(sources, rng, len(readings.runs), size, fitted.own_scale)
        for name, part in everything(usual_amounts(experiment, readings, shifts), rng).items():
            parts[name].append(part)
    samples = {name: np.concatenate(part, axis=1) for name, part in parts.items()}
    found = samples.pop("found")[0] > 0 if "found" in samples else np.ones(draws, dtype=np.bool_)
    return _Simulation(best=best, samples=samples, found=found, basis=basis)


def _claimed(claimed: Measured, size: int, rng: np.random.Generator | None) -> FloatArray:
    """Return the claimed content, with its error if there is a source of chance."""
    noise = np.zeros(size) if rng is None else rng.standard_normal(size)
    return np.asarray(claimed.value + claimed.u * noise)


def _rows(amounts: UsualAmounts, keep: BoolArray) -> UsualAmounts:
    return UsualAmounts(
        reagent=amounts.reagent[keep],
        gas=amounts.gas[keep],
        sample=amounts.sample[keep],
        volume=amounts.volume[keep],
        mass_ratio=amounts.mass_ratio,
        concentration=amounts.concentration,
    )


def _as_rows(lines: UsualLine) -> dict[str, FloatArray]:
    return {
        "content": lines.content[None, :],
        "equivalence": lines.equivalence[None, :],
        "content from equivalence": lines.content_from_equivalence[None, :],
        "found": lines.found.astype(np.float64)[None, :],
    }


def _estimate(simulation: _Simulation, name: str, index: int, unit: str) -> Estimate:
    """Return value, u and 95 % interval of one reported number from its draws."""
    drawn = simulation.samples[name][index]
    if simulation.basis == "found":
        drawn = drawn[simulation.found]
    low, high = coverage_interval(drawn)
    return Estimate(
        value=float(simulation.best[name][index, 0]),
        u=float(drawn.std(ddof=1)),
        low=float(low),
        high=float(high),
        unit=unit,
    )


def _run(
    experiment: Experiment, readings: UsualReadings, simulation: _Simulation, index: int, why: str
) -> RunAmounts:
    limits = simulation.samples["limits"][index]
    if simulation.basis == "found":
        limits = limits[simulation.found]
    p_reagent = float(limits.mean())
    expects_gas = readings.volume[index] > 0
    has_claim = experiment.sample.claimed_mass_fraction is not None
    return RunAmounts(
        run=readings.runs[index],
        reagent=_estimate(simulation, "reagent", index, "mol"),
        sample=_estimate(simulation, "analyte", index, "mol"),
        limiting="reagent" if p_reagent > 0.5 else "sample",
        p_reagent_limiting=p_reagent,
        gas_found=_estimate(simulation, "gas", index, "g"),
        gas_expected=_estimate(simulation, "expected", index, "g"),
        yield_percent=_estimate(simulation, "yield", index, "%") if expects_gas else None,
        yield_of_claim_percent=(
            _estimate(simulation, "yield of claim", index, "%")
            if expects_gas and has_claim
            else None
        ),
        not_in_fit=why,
    )


def _series(
    experiment: Experiment, readings: UsualReadings, fitted: _Fitted, simulation: _Simulation
) -> tuple[UsualSeries | None, str]:
    if fitted.fit is None:
        return None, fitted.why_not
    lost = 1.0 - float(simulation.found.mean())
    if lost > MOST_DRAWS_WITHOUT_CHANGEOVER:
        why = (
            f"within the uncertainty of the readings, {100 * lost:.0f} % of repetitions of this "
            "row would show no change-over"
        )
        return None, why
    content = _estimate(simulation, "content", 0, "g/g")
    claimed = experiment.sample.claimed_mass_fraction
    series = UsualSeries(
        fit=fitted.fit,
        nominal_mass=experiment.sample.nominal_mass,
        sample_mass_fraction=content,
        equivalence=_estimate(simulation, "equivalence", 0, "L"),
        content_from_equivalence=_estimate(simulation, "content from equivalence", 0, "g/g"),
        birge=fitted.fit.birge,
        budget=_budget(experiment, readings, fitted),
        claim=compare_with_claim(content, claimed) if claimed else None,
        curve=_curve(experiment, readings, fitted, fitted.fit),
    )
    return series, ""


def _budget(
    experiment: Experiment, readings: UsualReadings, fitted: _Fitted
) -> tuple[BudgetShare, ...]:
    """Return what each source adds to the variance of the content, one source at a time."""
    sources = error_sources(experiment, readings.volume, readings.counts)
    n_runs = len(readings.runs)
    shifts = single_shifts(sources, n_runs)
    amounts = usual_amounts(experiment, readings, shifts)
    content = usual_lines(experiment, amounts, 1.0 / fitted.variance).content
    effect = (content[0::2] - content[1::2]) / 2.0
    own = np.array(_own(sources, n_runs))
    variance = effect**2 * np.where(own, fitted.own_scale**2, 1.0)
    totals: dict[str, float] = defaultdict(float)
    for label, part in zip(single_labels(sources, n_runs), variance, strict=True):
        totals[label] += float(part)
    whole = sum(totals.values())
    shares = [
        BudgetShare(source=label, share=part / whole) for label, part in totals.items() if part > 0
    ]
    return tuple(sorted(shares, key=lambda share: -share.share))


def _own(sources: tuple[ErrorSource, ...], n_runs: int) -> list[bool]:
    return [not source.shared for source in sources for _ in range(1 if source.shared else n_runs)]


def _curve(
    experiment: Experiment, readings: UsualReadings, fitted: _Fitted, fit: ChangeoverFit
) -> tuple[CurvePoint, ...]:
    sources = error_sources(experiment, readings.volume, readings.counts)
    nominal, n_runs = experiment.sample.nominal_mass, len(readings.runs)
    scale = nominal / readings.sample
    gas = (readings.liquid + readings.sample - readings.final) * scale
    own = {target: own_variance(sources, target, n_runs) for target in Target}
    u_gas = scale * np.sqrt(own[Target.LIQUID] + own[Target.FINAL] + own[Target.SAMPLE])
    u_volume = scale * np.sqrt(own[Target.VOLUME])
    volume = readings.volume * scale
    lines = np.minimum(fit.intercept * nominal + fit.slope * volume, fit.plateau * nominal)
    return tuple(
        CurvePoint(
            run=run,
            reagent=float(volume[index]),
            u_reagent=float(u_volume[index]),
            gas=float(gas[index]),
            u_gas=float(u_gas[index]),
            fitted=float(lines[index]),
            weight=float(1.0 / fitted.variance[index]),
        )
        for index, run in enumerate(readings.runs)
    )
