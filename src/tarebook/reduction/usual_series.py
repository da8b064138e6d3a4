"""The usual sum of a whole series: best estimate, Monte Carlo and budget of one model."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.units import millilitres
from tarebook.model.limiting import lag_of
from tarebook.records.readings import Origin, Quantity, RunTable
from tarebook.reduction.broken_line import N_DISTINCT
from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverFit, ChangeoverNotFound
from tarebook.reduction.claim import compare_with_claim
from tarebook.reduction.reading_errors import (
    ErrorSource,
    Target,
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
from tarebook.reduction.shapes import ShapeFit, compare_shapes
from tarebook.reduction.usual import UsualReadings, usual_amounts, usual_lines
from tarebook.reduction.usual_draws import (
    SeriesDraws,
    SeriesModel,
    best_series,
    drawn_series,
    estimate,
    in_threads,
    run_amounts,
)
from tarebook.series.experiment import Experiment

DEFAULT_DRAWS = 100_000
MOST_DRAWS_WITHOUT_CHANGEOVER = 0.05
"""Above this fraction of draws that show no change-over the series is said to show none."""

HARDLY_ANY = 0.1
"""Part of the largest loss below which a cup lies before the start of a rising line that has one:
what evaporates, and gas that stays dissolved."""

MODEL_ERROR = 0.01
"""What two straight lines are off for being straight, as a part of the plateau: computed from the
gas that the cups of docs/model.md keep, which bends their rising line by 5 of 740 mg."""

MOST_ROUNDS = 5

BEFORE_GAS = (
    "The first half of the acid only turns carbonate into hydrogen carbonate, so this cup makes "
    "no gas, or hardly any."
)
"""Why the lines do not use a run of a base with two steps."""

NEEDED = {
    Target.VOLUME: Quantity.REAGENT,
    Target.LIQUID: Quantity.LIQUID,
    Target.SAMPLE: Quantity.SAMPLE,
    Target.FINAL: Quantity.FINAL,
}
"""The readings of the usual sum, and what their errors shift."""


SEALED: Final = "Weighed in a closed vessel: its gas is weighed with it, so it lies on no line."


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
    closed = {run: SEALED for run in table.runs if experiment.is_sealed(run)}
    set_aside = replace(set_aside, unusable={**set_aside.unusable, **closed})
    readings, left_out = usual_readings(table, set_aside)
    in_fit = np.array([run not in set_aside.doubtful for run in readings.runs], dtype=np.bool_)
    before_gas = _before_gas(experiment, readings, in_fit)
    in_fit &= ~before_gas
    sources = error_sources(experiment, readings.volume, readings.counts)
    fitted = _fit(experiment, readings.only(in_fit))
    model = SeriesModel(
        experiment=experiment,
        readings=readings,
        in_fit=in_fit,
        weights=1.0 / fitted.variance if fitted.fit else None,
        sources=sources,
        own_scale=fitted.own_scale,
    )
    best, drawn = best_series(model), drawn_series(model, seed, draws)
    series, why_not = _series(model, fitted, best, drawn)
    if series is None:
        # A row that hardly ever changes over does not say what the sample holds.
        best, drawn = replace(best, lines=None), replace(drawn, lines=None)

    def amounts(index: int) -> RunAmounts:
        doubt = set_aside.doubtful.get(readings.runs[index], "")
        doubt = doubt or (BEFORE_GAS if before_gas[index] else "")
        return run_amounts(model, best, drawn, index, doubt)

    claimed = experiment.sample.claimed_mass_fraction
    return UsualReduction(
        runs=tuple(in_threads(amounts, range(len(readings.runs)))),
        left_out=left_out,
        series=series,
        no_series_because=why_not,
        content_basis="found" if series else "claimed" if claimed else "pure",
        seed=seed,
        draws=draws,
    )


def _before_gas(experiment: Experiment, readings: UsualReadings, usable: BoolArray) -> BoolArray:
    """Return which cups lie on no line since no gas comes before half of the acid is in.

    A dissolved carbonate takes up its first proton without giving off gas. The rising line of such
    a row starts there and not where the acid does, and cups before it would bend it. Where that
    start lies follows from the equivalence point, and this from the lines: a few rounds settle it.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
        n runs.
    usable : ndarray of bool, shape (n,)
    """
    out = np.zeros(len(readings.runs), dtype=np.bool_)
    lag = lag_of(experiment.reaction)
    if lag == 0.0:
        return out
    lost = (readings.liquid + readings.sample - readings.final) / readings.sample
    per_gram = readings.volume / readings.sample
    most = float(np.max(lost[usable], initial=0.0))
    # To begin with: what has hardly lost anything has made no gas.
    out = usable & (lost < HARDLY_ANY * most)
    for _ in range(MOST_ROUNDS):
        fitted = _fit(experiment, readings.only(usable & ~out))
        if fitted.fit is None:
            return out
        start = lag * fitted.fit.breakpoint
        now = usable & ((per_gram < start) | (lost < HARDLY_ANY * most))
        if np.array_equal(now, out):
            return out
        out = now
    return out


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
        # Of a difference of two weighings, say, there is half a reading.
        counts={target: 1.0 / table.noise(quantity) for target, quantity in NEEDED.items()},
    )
    return whole.only(keep), left_out


def _why_no_amounts(table: RunTable, set_aside: SetAside, run: str) -> str:
    if run in set_aside.unusable:
        return set_aside.unusable[run]
    lacking = [
        f"{quantity.words} ({quantity.value})"
        for quantity in NEEDED.values()
        if not table.of(run, quantity)
    ]
    if lacking:
        return f"Not read: {', '.join(lacking)}."
    portions = table.of(run, Quantity.SAMPLE)
    if all(portion.origin is Origin.PLAN for portion in portions):
        return "A cup without sample: it shows what evaporates."
    sample = float(np.mean([portion.value for portion in portions]))
    return "" if sample > 0.0 else f"The sample is read as {sample:g} g."


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
    if n_runs < N_DISTINCT:
        why = f"usable runs are too few for the two lines: {n_runs} of {N_DISTINCT} needed"
        return _Fitted(fit=None, why_not=why, variance=np.ones(n_runs))
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
        # Where it goes on changing, lines and weights still belong together: the draws start here.
        with np.errstate(divide="raise", invalid="raise"):
            fit = fit_changeover(x, y, np.diag(variance), right="plateau")
            for _ in range(3):
                variance = in_y + np.where(x < fit.breakpoint, fit.slope**2, 0.0) * in_x
                fit = fit_changeover(x, y, np.diag(variance), right="plateau")
    except FloatingPointError:
        why = "two runs have so nearly the same reagent per gram of sample that no line holds"
        return _Fitted(fit=None, why_not=why, variance=in_y)
    except ChangeoverNotFound as error:
        why = _no_break(error, experiment.sample.nominal_mass)
        return _Fitted(fit=None, why_not=why, variance=variance)
    except OutOfRangeError as error:
        return _Fitted(fit=None, why_not=str(error), variance=variance)
    if fit.slope <= 0:
        why = "the mass lost does not grow with the reagent"
        return _Fitted(fit=None, why_not=why, variance=variance)
    return _Fitted(fit=fit, why_not="", variance=variance)


def _no_break(found: ChangeoverNotFound, nominal: float) -> str:
    """Return what the row lacks, for the nominal sample mass."""
    if found.side == "both":
        return (
            "all runs follow one straight line, so the same reactant limits in each of them. "
            f"{found.fix}"
        )
    low, high = (millilitres(end) * nominal for end in (found.low, found.high))
    beyond = "less" if found.side == "left" else "more"
    return (
        f"the two lines would meet between {low:.1f} and {high:.1f} mL of reagent for "
        f"{nominal:g} g of sample, and fewer than two runs have {beyond} than that. {found.fix}"
    )


def _series(
    model: SeriesModel, fitted: _Fitted, best: SeriesDraws, drawn: SeriesDraws
) -> tuple[UsualSeries | None, str]:
    fit, here, lines = fitted.fit, best.lines, drawn.lines
    if fit is None or here is None or lines is None:
        return None, fitted.why_not
    lost = 1.0 - float(lines.found.mean())
    if lost > MOST_DRAWS_WITHOUT_CHANGEOVER:
        why = (
            f"within the uncertainty of the readings, {100 * lost:.0f} % of repetitions of this "
            "row would show no change-over"
        )
        return None, why
    kept = drawn.kept
    content = estimate(here.content[0], lines.content, kept, "g/g")
    claimed = model.experiment.sample.claimed_mass_fraction
    series = UsualSeries(
        fit=fit,
        nominal_mass=model.experiment.sample.nominal_mass,
        sample_mass_fraction=content,
        equivalence=estimate(here.equivalence[0], lines.equivalence, kept, "L"),
        content_from_equivalence=estimate(
            here.content_from_equivalence[0], lines.content_from_equivalence, kept, "g/g"
        ),
        birge=fit.birge,
        budget=_budget(model.experiment, model.readings.only(model.in_fit), fitted),
        claim=compare_with_claim(content, claimed) if claimed else None,
        curve=_curve(model.experiment, model.readings.only(model.in_fit), fitted, fit),
        shapes=_shapes(model, fitted, fit),
    )
    return series, ""


def _shapes(model: SeriesModel, fitted: _Fitted, fit: ChangeoverFit) -> tuple[ShapeFit, ...]:
    """Return the two lines beside simpler curves through the same points."""
    amounts = usual_amounts(model.experiment, model.readings.only(model.in_fit))
    x = (amounts.volume / amounts.sample)[:, 0]
    y = (amounts.gas / amounts.sample)[:, 0]
    # What all three curves are off for being simple is as good as an error of each point.
    bend = (MODEL_ERROR * fit.plateau) ** 2
    covariance = np.diag(fitted.variance + bend)
    try:
        lines = fit_changeover(x, y, covariance, right="plateau")
    except (ChangeoverNotFound, OutOfRangeError):
        return ()
    return compare_shapes(x, y, lines, covariance)


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
