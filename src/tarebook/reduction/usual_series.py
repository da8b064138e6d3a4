"""The textbook calculation of a series: best estimate, Monte Carlo and budget of one model."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import Final

import numpy as np

from tarebook.core import defaults
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.records.readings import Origin, Quantity, RunTable
from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverFit, ChangeoverNotFound
from tarebook.reduction.claim import compare_with_claim
from tarebook.reduction.reading_errors import (
    ErrorSource,
    Shifts,
    Target,
    error_sources,
    single_labels,
    single_shifts,
)
from tarebook.reduction.results import (
    BudgetShare,
    LeftOut,
    RunAmounts,
    SetAside,
    UsualReduction,
    UsualSeries,
)
from tarebook.reduction.row_axis import RowAxis, row_axis
from tarebook.reduction.shapes import ShapeFit, compare_shapes
from tarebook.reduction.usual import UsualReadings, usual_amounts, usual_lines
from tarebook.reduction.usual_draws import (
    FEW_RUNS,
    SeriesDraws,
    SeriesModel,
    best_series,
    drawn_series,
    estimate,
    in_threads,
    run_amounts,
)
from tarebook.reduction.usual_fit import (
    FittedLines,
    bend_beside,
    curve_points,
    fit_lines,
    line_sources,
    on_no_line,
    points_of,
)
from tarebook.series.experiment import Experiment

FEWEST_BY_DEFAULT = 5_000
MOST_DRAWN = 2_500_000
"""Runs times draws of a long row: each draw then costs more, and 5,000 give a standard uncertainty
to 1 %."""

MOST_DRAWS_WITHOUT_CHANGEOVER = 0.05
"""Above this fraction of draws that show no equivalence point the series is said to show none."""

NEEDED = {
    Target.VOLUME: Quantity.REAGENT,
    Target.LIQUID: Quantity.LIQUID,
    Target.SAMPLE: Quantity.SAMPLE,
    Target.FINAL: Quantity.FINAL,
}
"""The readings of the textbook calculation, and what their errors shift."""


SEALED: Final = Phrase.of("weighed-closed")


def draws_of(n_runs: int) -> int:
    """Return how many draws are made of a row if nobody says.

    Examples
    --------
    >>> draws_of(8), draws_of(100), draws_of(500)
    (100000, 25000, 5000)
    """
    return min(defaults.DRAWS, max(MOST_DRAWN // max(n_runs, 1), FEWEST_BY_DEFAULT))


def reduce_usual(
    experiment: Experiment,
    table: RunTable,
    set_aside: SetAside,
    *,
    seed: int,
    draws: int | None = None,
    withheld: Phrase | None = None,
) -> UsualReduction:
    """Return the textbook calculation of a series.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    set_aside : SetAside
        Runs whose readings must not shape the two lines.
    seed : int
        Of the Monte Carlo.
    draws : int, optional
        Else as `draws_of` says.
    withheld : Phrase, optional
        Why nothing may be taken from the two lines, where the model of the cup has shown that the
        row is not to be relied on.

    Returns
    -------
    UsualReduction
    """
    draws = draws_of(len(table.runs)) if draws is None else draws
    closed = {run: SEALED for run in table.runs if experiment.is_sealed(run)}
    set_aside = replace(set_aside, unusable={**set_aside.unusable, **closed})
    readings, left_out = usual_readings(table, set_aside, row_axis(experiment))
    in_fit = np.array([run not in set_aside.doubtful for run in readings.runs], dtype=np.bool_)
    off = on_no_line(experiment, readings, in_fit)
    in_fit &= np.array([why is None for why in off], dtype=np.bool_)
    fitted = fit_lines(experiment, readings.only(in_fit))
    model = SeriesModel(
        experiment=experiment,
        readings=readings,
        in_fit=in_fit,
        weights=1.0 / fitted.variance if fitted.fit else None,
        sources=error_sources(experiment, readings.volume, readings.counts),
        line_sources=line_sources(experiment, readings),
        own_scale=fitted.own_scale,
    )
    best, drawn = best_series(model), drawn_series(model, seed, draws)
    series, why_not = (
        (None, withheld) if withheld is not None else _series(model, fitted, best, drawn)
    )
    if series is None:
        # A row that hardly ever changes over does not say what the sample holds.
        best, drawn = replace(best, lines=None), replace(drawn, lines=None)

    def amounts(index: int) -> RunAmounts:
        doubt = set_aside.doubtful.get(readings.runs[index])
        found = run_amounts(model, best, drawn, index, doubt if doubt is not None else off[index])
        return found if withheld is None else found.without_content()

    claimed = experiment.sample.claimed_mass_fraction
    return UsualReduction(
        runs=tuple(in_threads(amounts, range(len(readings.runs)))),
        left_out=left_out,
        axis=row_axis(experiment),
        series=series,
        no_series_because=why_not,
        content_basis="found" if series else "claimed" if claimed else "pure",
        seed=seed,
        draws=draws,
    )


def usual_readings(
    table: RunTable, set_aside: SetAside, axis: RowAxis
) -> tuple[UsualReadings, tuple[LeftOut, ...]]:
    """Return the readings of the runs that have all it needs, and the other runs."""
    why_not = {run: _why_no_amounts(table, set_aside, axis, run) for run in table.runs}
    left_out = tuple(LeftOut(run=run, why=why) for run, why in why_not.items() if why is not None)
    keep = np.array([why_not[run] is None for run in table.runs], dtype=np.bool_)
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


def _why_no_amounts(table: RunTable, set_aside: SetAside, axis: RowAxis, run: str) -> Phrase | None:
    if run in set_aside.unusable:
        return set_aside.unusable[run]
    lacking = tuple(quantity for quantity in NEEDED.values() if not table.of(run, quantity))
    if lacking:
        return Phrase.of("not-read", lacking=lacking)
    portions = table.of(run, Quantity.SAMPLE)
    if all(portion.origin is Origin.PLAN for portion in portions):
        return Phrase.of("cup-without-sample")
    sample = float(np.mean([portion.value for portion in portions]))
    if sample <= 0.0:
        return Phrase.of("sample-read-as", sample_g=sample)
    poured = float(np.mean([portion.value for portion in table.of(run, Quantity.REAGENT)]))
    if axis.grows == "sample" and poured <= 0.0:
        return Phrase.of("no-reagent-poured")
    return None


def _series(
    model: SeriesModel, fitted: FittedLines, best: SeriesDraws, drawn: SeriesDraws
) -> tuple[UsualSeries | None, Phrase | None]:
    fit, here, lines = fitted.fit, best.lines, drawn.lines
    if fit is None or here is None or lines is None:
        return None, fitted.why_not
    lost = 1.0 - float(lines.found.mean())
    if lost > MOST_DRAWS_WITHOUT_CHANGEOVER:
        return None, Phrase.of("repetitions-without-point", part=lost)
    kept = drawn.kept
    content = estimate(here.content[0], lines.content, kept, "g/g")
    claimed = model.experiment.sample.claimed_mass_fraction
    axis, nominal = row_axis(model.experiment), model.experiment.sample.nominal_mass
    series = UsualSeries(
        axis=axis,
        fit=fit,
        nominal_mass=nominal,
        sample_mass_fraction=content,
        equivalence=estimate(
            axis.reagent_for(here.meets_at[0], nominal),
            axis.reagent_for(lines.meets_at, nominal),
            kept,
            "L",
        ),
        equivalence_sample=(
            estimate(here.meets_at[0], lines.meets_at, kept, "g")
            if axis.grows == "sample"
            else None
        ),
        content_from_equivalence=estimate(
            here.content_from_equivalence[0], lines.content_from_equivalence, kept, "g/g"
        ),
        birge=fit.birge,
        budget=_budget(model.experiment, model.readings.only(model.in_fit), fitted),
        claim=compare_with_claim(content, claimed) if claimed else None,
        curve=curve_points(model.experiment, model.readings.only(model.in_fit), fitted, fit),
        shapes=_shapes(model, fitted, fit),
    )
    return series, None


def _shapes(model: SeriesModel, fitted: FittedLines, fit: ChangeoverFit) -> tuple[ShapeFit, ...]:
    """Return the two lines beside simpler curves through the same points."""
    points = points_of(model.experiment, model.readings.only(model.in_fit))
    # What all three curves are off for being simple is as good as an error of each point.
    bend = bend_beside(row_axis(model.experiment), fit) ** 2
    covariance = np.diag(fitted.variance + bend)
    level = points.y - fit.right_slope * points.x
    try:
        lines = fit_changeover(points.x, level, covariance, right="plateau")
    except (ChangeoverNotFound, OutOfRangeError):
        return ()
    return compare_shapes(points.x, points.y, lines, covariance)


def _budget(
    experiment: Experiment, readings: UsualReadings, fitted: FittedLines
) -> tuple[BudgetShare, ...]:
    """Return what each source adds to the variance of the content, one source at a time."""
    sources = line_sources(experiment, readings)
    n_runs = len(readings.runs)
    parts = (sources,) if n_runs <= FEW_RUNS else tuple((source,) for source in sources)
    effect = np.concatenate(
        [_effects(experiment, readings, fitted, single_shifts(part, n_runs)) for part in parts]
    )
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


def _effects(
    experiment: Experiment, readings: UsualReadings, fitted: FittedLines, shifts: Shifts
) -> FloatArray:
    """Return what one standard uncertainty of each error does to the content."""
    amounts = usual_amounts(experiment, readings, shifts)
    content = usual_lines(experiment, amounts, 1.0 / fitted.variance).content
    return (content[0::2] - content[1::2]) / 2.0


def _own(sources: tuple[ErrorSource, ...], n_runs: int) -> list[bool]:
    return [not source.shared for source in sources for _ in range(1 if source.shared else n_runs)]
