"""The two lines through the readings of a row, and which runs lie on neither."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.chemistry.substances import carbonate
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase, beyond_range
from tarebook.core.units import millilitres
from tarebook.measurement.effects import Shape
from tarebook.model.limiting import lag_of
from tarebook.model.own_acid import own_acid
from tarebook.reduction.broken_line import N_DISTINCT
from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverFit, ChangeoverNotFound
from tarebook.reduction.reading_errors import (
    ErrorSource,
    Target,
    declared_acid,
    error_sources,
    own_variance,
)
from tarebook.reduction.results import CurvePoint
from tarebook.reduction.row_axis import (
    RowAxis,
    expected_rise,
    rounds_of,
    row_axis,
    slope_beyond,
)
from tarebook.reduction.usual import UsualReadings, usual_amounts
from tarebook.series.experiment import Experiment

HARDLY_ANY = 0.1
"""Part of the largest loss below which a cup lies before the start of a rising line that has one:
what evaporates, and gas that stays dissolved."""

MODEL_ERROR = 0.01
"""What two straight lines are off for being straight, as a part of the plateau: computed from the
gas that the cups of docs/model.md keep, which bends their rising line by 5 of 740 mg."""

KEPT_APART = 0.15
"""What one cup keeps of its CO2 more than another, [g/L] of its liquid: computed, 6 mg in the cups
of 40 mL of docs/model.md. Along the rise 5 to 14 mg lie in such a vessel, and cups with more sample
are colder and keep more of the 50 mg that are dissolved."""

HELD_BACK = "gas that one cup keeps more than another"
"""Line of the budget of a row in which the sample grows."""

LITTLE_ACID = "acid that the sample may bring although nobody says so"

MOST_ROUNDS = 5

WEIGHTING_ROUNDS = 3
"""Which side a run lies on hardly ever changes after one."""

BEFORE_GAS: Final = Phrase.of("before-gas")
"""Why the lines do not use a run of a base with two steps."""

STAYS_DISSOLVED: Final = Phrase.of("stays-dissolved")
"""Why the lines do not use a run with little sample, of a row in which the sample grows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedLines:
    """The two lines through the best readings.

    Attributes
    ----------
    fit : ChangeoverFit or None
        In units of the row's axis; None where the row shows no equivalence point.
    why_not : Phrase or None
    variance : ndarray, shape (n,)
        Of the mass lost in these units.
    """

    fit: ChangeoverFit | None
    why_not: Phrase | None
    variance: FloatArray

    @property
    def own_scale(self) -> float:
        """Factor on the errors that are own to each run: they scatter so much about the lines."""
        return 1.0 if self.fit is None else max(1.0, self.fit.birge)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Points:
    """The runs as the row's axis has them; arrays of shape (n,).

    Attributes
    ----------
    x, y : ndarray
        What grows and the mass lost, for one unit of what stays the same.
    shares : ndarray
        How many of these units each run has.
    """

    x: FloatArray
    y: FloatArray
    shares: FloatArray


def points_of(experiment: Experiment, readings: UsualReadings) -> Points:
    """Return the runs as the row's axis has them.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
        n runs.
    """
    axis, amounts = row_axis(experiment), usual_amounts(experiment, readings)
    shares = axis.shares(amounts.volume, amounts.sample)
    x = axis.grown(amounts.volume, amounts.sample) / shares
    return Points(x=x[:, 0], y=(amounts.gas / shares)[:, 0], shares=shares[:, 0])


def line_sources(experiment: Experiment, readings: UsualReadings) -> tuple[ErrorSource, ...]:
    """Return what the lines may err by: the readings, and the gas that the cups keep.

    Where the sample grows the content is that of the slope. It does not mind what all cups keep,
    but all the more what one keeps more than another: the lines then carry that as an error. And a
    sample of which nobody said that it brings acid may bring a little, which shifts the break.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
    """
    sources = error_sources(experiment, readings.volume, readings.counts)
    if row_axis(experiment).grows == "reagent" or not readings.runs:
        return sources
    points = points_of(experiment, readings)
    apart = KEPT_APART if carbonate(experiment.reaction.analyte) is not None else 0.0
    bend = MODEL_ERROR * max(float(np.max(points.y)), 0.0)
    kept = max(bend, apart * experiment.total_volume) * points.shares
    beside = [ErrorSource(label=HELD_BACK, target=Target.FINAL, shape=Shape.NORMAL, u=kept)]
    if declared_acid(experiment) is None and not experiment.sample.acid_is_open:
        little = np.array([own_acid(experiment).protons.u])
        beside.append(
            ErrorSource(label=LITTLE_ACID, target=Target.OWN_ACID, shape=Shape.NORMAL, u=little)
        )
    return (*sources, *(source for source in beside if np.any(source.u > 0)))


def bend_beside(axis: RowAxis, fit: ChangeoverFit) -> float:
    """Return what the lines are off for being straight, beside the variance that they know of.

    Parameters
    ----------
    axis : RowAxis
    fit : ChangeoverFit
    """
    return MODEL_ERROR * fit.plateau if axis.grows == "reagent" else 0.0


def fit_lines(experiment: Experiment, readings: UsualReadings) -> FittedLines:
    """Fit the two lines; an error along the axis counts as far as the line there slopes.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
        Of the runs that the lines use.
    """
    axis, n_runs = row_axis(experiment), len(readings.runs)
    if n_runs < N_DISTINCT:
        why = Phrase.of("too-few-for-lines", runs=n_runs, needed=N_DISTINCT)
        return FittedLines(fit=None, why_not=why, variance=np.ones(n_runs))
    sources = line_sources(experiment, readings)
    points = points_of(experiment, readings)
    variance = _variance(axis, readings, points, sources, np.zeros(n_runs))
    try:
        with np.errstate(divide="raise", invalid="raise"):
            fit, variance = _weighted_lines(experiment, readings, points, sources)
    except FloatingPointError:
        why = Phrase.of("runs-alike", grows=axis.grows)
        return FittedLines(fit=None, why_not=why, variance=variance)
    except ChangeoverNotFound as error:
        return FittedLines(fit=None, why_not=_no_break(error, axis), variance=variance)
    except OutOfRangeError as error:
        return FittedLines(fit=None, why_not=beyond_range(error), variance=variance)
    if fit.slope <= 0:
        why = Phrase.of("loss-does-not-grow", grows=axis.grows)
        return FittedLines(fit=None, why_not=why, variance=variance)
    return FittedLines(fit=fit, why_not=None, variance=variance)


def _weighted_lines(
    experiment: Experiment,
    readings: UsualReadings,
    points: Points,
    sources: tuple[ErrorSource, ...],
) -> tuple[ChangeoverFit, FloatArray]:
    """Return the lines with weights that suit them, and the variances behind these weights."""
    axis, reaction, x = row_axis(experiment), experiment.reaction, points.x
    declared = declared_acid(experiment)
    acid = np.array(declared.value if declared is not None else 0.0)
    rise, slopes = np.array(expected_rise(experiment)), np.zeros(len(readings.runs))
    # Where a run goes on changing sides, lines and weights still belong together: the draws take
    # these weights.
    for _ in range(1 + max(WEIGHTING_ROUNDS, rounds_of(axis, reaction))):
        variance = _variance(axis, readings, points, sources, slopes)
        beyond = float(slope_beyond(axis, reaction, rise, acid))
        level = points.y if beyond == 0.0 else points.y - beyond * x
        fit = fit_changeover(x, level, np.diag(variance), right="plateau")
        fit = fit if beyond == 0.0 else fit.tilted(beyond)
        rise = np.array(fit.slope)
        slopes = np.where(x < fit.breakpoint, fit.slope, beyond)
    return fit, variance


def _variance(
    axis: RowAxis,
    readings: UsualReadings,
    points: Points,
    sources: tuple[ErrorSource, ...],
    slopes: FloatArray,
) -> FloatArray:
    """Return the variance of each run's distance from a line that has a slope there."""
    u2 = {target: own_variance(sources, target, len(readings.runs)) for target in Target}
    weighed, shares2 = u2[Target.LIQUID] + u2[Target.FINAL], points.shares**2
    if axis.grows == "reagent":
        in_y = (weighed + (1.0 - points.y) ** 2 * u2[Target.SAMPLE]) / shares2
        return in_y + slopes**2 * (u2[Target.VOLUME] / shares2)
    in_y = (weighed + (1.0 - slopes) ** 2 * u2[Target.SAMPLE]) / shares2
    along = points.y - slopes * points.x
    return in_y + along**2 * (u2[Target.VOLUME] / readings.volume**2)


def _no_break(found: ChangeoverNotFound, axis: RowAxis) -> Phrase:
    """Return what the row lacks, for the portion that it is drawn for."""
    if found.side == "both":
        return Phrase.of("one-straight-line", grows=axis.grows)
    low, high = (end * axis.portion for end in (found.low, found.high))
    if axis.grows == "reagent":
        low, high = millilitres(low), millilitres(high)
    fixed = axis.fixed if axis.grows == "reagent" else millilitres(axis.fixed)
    return Phrase.of("no-break", side=found.side, grows=axis.grows, low=low, high=high, fixed=fixed)


def on_no_line(
    experiment: Experiment, readings: UsualReadings, usable: BoolArray
) -> tuple[Phrase | None, ...]:
    """Return why a cup lies on neither line although nothing is wrong with it; None if it does.

    A dissolved carbonate takes up its first proton without giving off gas. The rising line of such
    a row starts there and not where the acid does, and cups before it would bend it; of a row in
    which the sample grows these are the last cups. Where that start lies follows from the
    equivalence point, and this from the lines: a few rounds settle it. In a row in which the sample
    grows, the first cups may make so little gas that it stays dissolved.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
        n runs.
    usable : ndarray of bool, shape (n,)
    """
    dissolved = _stays_dissolved(experiment, readings, usable)
    before = _before_gas(experiment, readings, usable & ~dissolved)
    return tuple(
        STAYS_DISSOLVED if little else BEFORE_GAS if none else None
        for little, none in zip(dissolved, before, strict=True)
    )


def _stays_dissolved(
    experiment: Experiment, readings: UsualReadings, usable: BoolArray
) -> BoolArray:
    """Return the cups of a row in which the sample grows that come before its rising line."""
    if row_axis(experiment).grows == "reagent" or not usable.any():
        return np.zeros(len(readings.runs), dtype=np.bool_)
    points = points_of(experiment, readings)
    y = np.where(usable, points.y, -np.inf)
    first = float(np.min(points.x[y >= HARDLY_ANY * np.max(y)]))
    return usable & (points.x < first)


def _before_gas(experiment: Experiment, readings: UsualReadings, usable: BoolArray) -> BoolArray:
    """Return the cups whose acid does not get a base with two steps as far as the gas."""
    out = np.zeros(len(readings.runs), dtype=np.bool_)
    lag = lag_of(experiment.reaction)
    if lag == 0.0:
        return out
    axis = row_axis(experiment)
    lost = (readings.liquid + readings.sample - readings.final) / readings.sample
    per_gram = readings.volume / readings.sample
    most = float(np.max(lost[usable], initial=0.0))
    # To begin with: what has hardly lost anything has made no gas.
    out = usable & (lost < HARDLY_ANY * most)
    for _ in range(MOST_ROUNDS):
        fitted = fit_lines(experiment, readings.only(usable & ~out))
        if fitted.fit is None:
            return out
        start = lag * float(axis.reagent_per_gram(np.array(fitted.fit.breakpoint)))
        now = usable & ((per_gram < start) | (lost < HARDLY_ANY * most))
        if np.array_equal(now, out):
            return out
        out = now
    return out


def curve_points(
    experiment: Experiment, readings: UsualReadings, fitted: FittedLines, fit: ChangeoverFit
) -> tuple[CurvePoint, ...]:
    """Return the runs as the picture has them, for one portion of what stays the same.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
        Of the runs that the lines use.
    fitted : FittedLines
    fit : ChangeoverFit
        That of `fitted`.
    """
    axis, points = row_axis(experiment), points_of(experiment, readings)
    sources = error_sources(experiment, readings.volume, readings.counts)
    own = {target: own_variance(sources, target, len(readings.runs)) for target in Target}
    scale = axis.portion / points.shares
    grown, gas = points.x * axis.portion, points.y * axis.portion
    u_gas = scale * np.sqrt(own[Target.LIQUID] + own[Target.FINAL] + own[Target.SAMPLE])
    u_grown = scale * np.sqrt(own[Target.VOLUME])
    if axis.grows == "sample":
        # An error of the volume moves a run towards zero or away from it.
        poured = np.sqrt(own[Target.VOLUME]) / readings.volume
        u_gas = np.hypot(u_gas, gas * poured)
        u_grown = np.hypot(scale * np.sqrt(own[Target.SAMPLE]), grown * poured)
    lines = fit.height(points.x) * axis.portion
    return tuple(
        CurvePoint(
            run=run,
            grown=float(grown[index]),
            u_grown=float(u_grown[index]),
            gas=float(gas[index]),
            u_gas=float(u_gas[index]),
            fitted=float(lines[index]),
            weight=float(1.0 / fitted.variance[index]),
        )
        for index, run in enumerate(readings.runs)
    )
