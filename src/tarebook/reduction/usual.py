"""The textbook calculation: the mass lost is taken for the gas made.

The functions here do the textbook's arithmetic on arrays of runs x draws. The best estimate is that
arithmetic without errors, the Monte Carlo is the same with random errors, the budget is the same
with one error at a time; `tarebook.reduction.usual_series` puts the three together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import extents
from tarebook.model.priors import central_parameters
from tarebook.reduction.drawn_changeovers import DrawnChangeovers, changeover_of_draws
from tarebook.reduction.reading_errors import Shifts, Target, declared_acid
from tarebook.reduction.row_axis import (
    RowAxis,
    expected_rise,
    rounds_of,
    row_axis,
    slope_beyond,
)
from tarebook.series.experiment import Experiment

PIECE = 16_384
"""Draws of one run at a time."""

NO_SHIFTS: Mapping[Target, FloatArray] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualReadings:
    """The readings that the textbook calculation needs, of the runs that have them all.

    Attributes
    ----------
    runs : tuple of str
    volume : ndarray, shape (n,), [L]
        Reagent poured.
    liquid, sample, final : ndarray, shape (n,), [g]
        Vessel with liquid, sample, vessel after the reaction.
    counts : mapping of Target to ndarray, shape (n,)
        How often each was read; half a time where it is a difference of two readings.
    """

    runs: tuple[str, ...]
    volume: FloatArray
    liquid: FloatArray
    sample: FloatArray
    final: FloatArray
    counts: Mapping[Target, FloatArray]

    def only(self, keep: BoolArray) -> UsualReadings:
        """Return the readings of some of the runs."""
        return UsualReadings(
            runs=tuple(run for run, kept in zip(self.runs, keep, strict=True) if kept),
            volume=self.volume[keep],
            liquid=self.liquid[keep],
            sample=self.sample[keep],
            final=self.final[keep],
            counts={target: count[keep] for target, count in self.counts.items()},
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualAmounts:
    """The textbook's amounts, for every run and draw.

    Attributes
    ----------
    reagent : ndarray, shape (n, d), [mol]
    gas : ndarray, shape (n, d), [g]
        Mass lost.
    sample : ndarray, shape (n, d), [g]
        Sample mass.
    volume : ndarray, shape (n, d), [L]
        Reagent delivered.
    mass_ratio : ndarray, shape (1, d), [1]
        M(analyte) / M(gas).
    concentration : ndarray, shape (1, d), [mol/L]
    own_acid : ndarray, shape (1, d), [mol/g]
        Protons that the sample brings, as far as the definition says.
    """

    reagent: FloatArray
    gas: FloatArray
    sample: FloatArray
    volume: FloatArray
    mass_ratio: FloatArray
    concentration: FloatArray
    own_acid: FloatArray

    def only(self, keep: BoolArray) -> UsualAmounts:
        """Return the amounts of some of the runs."""
        if keep.all():
            return self
        return UsualAmounts(
            reagent=self.reagent[keep],
            gas=self.gas[keep],
            sample=self.sample[keep],
            volume=self.volume[keep],
            mass_ratio=self.mass_ratio,
            concentration=self.concentration,
            own_acid=self.own_acid,
        )


def usual_amounts(
    experiment: Experiment, readings: UsualReadings, shifts: Shifts = NO_SHIFTS
) -> UsualAmounts:
    """Return amounts from readings: c V, and the mass lost.

    Parameters
    ----------
    experiment : Experiment
    readings : UsualReadings
        n runs.
    shifts : mapping of Target to ndarray, shape (n, d) or (1, d)
        Errors to add to the readings.
    """
    none = np.zeros((1, 1))

    def shift(target: Target) -> FloatArray:
        return shifts.get(target, none)

    size = max(each.shape[1] for each in (none, *shifts.values()))
    volume, sample, lost = np.empty((3, len(readings.runs), size))
    np.multiply(readings.volume[:, None], 1.0 + shift(Target.SCALE), out=volume)
    volume += shift(Target.VOLUME)
    np.add(readings.sample[:, None], shift(Target.SAMPLE), out=sample)
    np.add(sample, (readings.liquid - readings.final)[:, None], out=lost)
    lost += shift(Target.LIQUID)
    lost -= shift(Target.FINAL)
    concentration = experiment.reagent.concentration.value + shift(Target.CONCENTRATION)
    mass_ratio = experiment.reaction.mass_ratio.value + shift(Target.MASS_RATIO)
    declared = declared_acid(experiment)
    acid = (declared.value if declared is not None else 0.0) + shift(Target.OWN_ACID)
    return UsualAmounts(
        reagent=concentration * volume,
        gas=lost,
        sample=sample,
        volume=volume,
        mass_ratio=np.broadcast_to(mass_ratio[:1], (1, size)),
        concentration=np.broadcast_to(concentration[:1], (1, size)),
        own_acid=np.broadcast_to(acid[:1], (1, size)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualLine:
    """The two lines through a series and what they say, for every draw.

    Attributes
    ----------
    content : ndarray, shape (d,), [g/g]
        From the plateau; from the rising line where the sample grows.
    meets_at : ndarray, shape (d,), [L] or [g]
        What grows, where both reactants are just used up: of the reagent for the nominal sample
        mass, of the sample for the reagent of each cup.
    content_from_equivalence : ndarray, shape (d,), [g/g]
    found : ndarray of bool, shape (d,)
        Whether the draw shows a change-over at all; the others mean nothing.
    """

    content: FloatArray
    meets_at: FloatArray
    content_from_equivalence: FloatArray
    found: BoolArray


def usual_lines(experiment: Experiment, amounts: UsualAmounts, weights: FloatArray) -> UsualLine:
    """Return the content of the sample from the lines through the row.

    Both coordinates are taken per portion of the reactant that stays the same, so that unequal
    portions of it do not bend the lines. Where the reagent grows the rising line then depends on
    the reagent alone and the plateau on the content alone; where the sample grows the rising line
    depends on the content alone and what lies beyond on the reagent.

    Parameters
    ----------
    experiment : Experiment
    amounts : UsualAmounts
        n runs x d draws.
    weights : ndarray, shape (n,), [1]
        Weight of each run in the fit.
    """
    reaction, axis = experiment.reaction, row_axis(experiment)
    lines, beyond = _drawn_lines(experiment, axis, amounts, weights)
    per_gas = reaction.analyte_coefficient / reaction.gas_coefficient
    of_a_gram = lines.plateau if axis.grows == "reagent" else lines.slope + beyond
    reagent = axis.reagent_per_gram(lines.breakpoint)
    by_reagent = reagent * amounts.concentration[0] / reaction.reagent_coefficient
    protons = protons_of_extent(reaction)
    by_own_acid = amounts.own_acid[0] / protons if protons else 0.0
    analyte_mass = reaction.analyte_coefficient * reaction.analyte_molar_mass.value
    return UsualLine(
        content=of_a_gram * amounts.mass_ratio[0] * per_gas,
        meets_at=lines.breakpoint * axis.portion,
        content_from_equivalence=(by_reagent + by_own_acid) * analyte_mass,
        found=lines.found,
    )


def _drawn_lines(
    experiment: Experiment, axis: RowAxis, amounts: UsualAmounts, weights: FloatArray
) -> tuple[DrawnChangeovers, FloatArray]:
    """Return the lines with what is known of their right side taken off, and its slope, (d,)."""
    reaction = experiment.reaction
    shares = axis.shares(amounts.volume, amounts.sample)
    x, y = axis.grown(amounts.volume, amounts.sample) / shares, amounts.gas / shares
    rise = np.full(x.shape[1], expected_rise(experiment))
    for _ in range(rounds_of(axis, reaction)):
        beyond = slope_beyond(axis, reaction, rise, amounts.own_acid[0])
        level = y if axis.grows == "reagent" else y - beyond * x
        lines = changeover_of_draws(x.T, level.T, weights)
        rise = lines.slope + beyond
    return lines, beyond


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualRun:
    """Limiting reactant and yield of one run, for every draw.

    Attributes
    ----------
    analyte : ndarray, shape (d,), [mol]
    reagent_limits : ndarray of bool, shape (d,)
    gas_expected : ndarray, shape (d,), [g]
    yield_percent : ndarray, shape (d,), [%]
    """

    analyte: FloatArray
    reagent_limits: BoolArray
    gas_expected: FloatArray
    yield_percent: FloatArray


def usual_run(
    experiment: Experiment,
    *,
    reagent: FloatArray,
    sample: FloatArray,
    gas: FloatArray,
    content: FloatArray,
    own_acid: FloatArray,
) -> UsualRun:
    """Return which reactant limits and what gas it can give.

    Parameters
    ----------
    experiment : Experiment
    reagent : ndarray, shape (d,), [mol]
    sample, gas : ndarray, shape (d,), [g]
        Sample mass and mass lost.
    content : ndarray, shape (d,), [g/g]
        Mass fraction of the analyte in the sample.
    own_acid : ndarray, shape (d,) or (1,), [mol/g]
        Protons that the sample brings itself: they count with the reagent.
    """
    reaction = experiment.reaction
    per_gas = reaction.gas_coefficient * reaction.gas_molar_mass.value
    central = central_parameters(experiment)
    own_acid = np.broadcast_to(own_acid, reagent.shape)
    analyte, expected, percent = np.empty((3, reagent.size))
    reagent_limits = np.empty(reagent.size, dtype=np.bool_)
    # Piece by piece: the arrays are as long as the Monte Carlo, a piece is not.
    for start in range(0, reagent.size, PIECE):
        at = slice(start, start + PIECE)
        of_sample = central.with_values(content=content[at], own_acid=own_acid[at])
        reach = extents(experiment, of_sample, reagent[at], sample[at])
        np.multiply(reach.by_analyte, reaction.analyte_coefficient, out=analyte[at])
        np.less(reach.by_acid, reach.by_analyte, out=reagent_limits[at])
        gas_made = np.multiply(reach.gas, per_gas, out=expected[at])
        with np.errstate(divide="ignore", invalid="ignore"):
            # A run without gas to expect has no yield that means anything; it is not shown.
            np.divide(100.0 * gas[at], gas_made, out=percent[at])
    return UsualRun(
        analyte=analyte,
        reagent_limits=reagent_limits,
        gas_expected=expected,
        yield_percent=percent,
    )
