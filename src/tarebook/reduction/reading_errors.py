"""The errors that the readings of a series may carry, as one list for every calculation.

Each `ErrorSource` says which reading it shifts, by how much, and whether the runs share it. The
usual sum is a function of the shifts; a Monte Carlo gives it random ones, a budget gives it one
source at a time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.quantity import Measured
from tarebook.measurement.effects import Shape, draw
from tarebook.measurement.own_errors import Instrument
from tarebook.model.own_acid import own_acid
from tarebook.series.experiment import Experiment


class Target(StrEnum):
    """What an error shifts."""

    VOLUME = "reagent volume"
    SCALE = "scale of the reagent vessel"
    LIQUID = "vessel with liquid"
    SAMPLE = "sample mass"
    FINAL = "final mass"
    CONCENTRATION = "strength of the stock"
    MASS_RATIO = "ratio of molar masses"
    OWN_ACID = "acid of the sample"


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorSource:
    """One source of error of a series.

    Attributes
    ----------
    label : str
        Line of the budget that it belongs to.
    target : Target
    shape : Shape
    u : ndarray, shape (n,) if own to each run, (1,) if shared
        Standard uncertainty in the unit of the target.
    """

    label: str
    target: Target
    shape: Shape
    u: FloatArray

    @property
    def shared(self) -> bool:
        """Whether one error holds for all runs."""
        return self.u.shape == (1,)


Shifts = Mapping[Target, FloatArray]
"""Errors to add, per target: shape (n, d), or (1, d) where all runs share them."""


def error_sources(
    experiment: Experiment, volumes: FloatArray, counts: Mapping[Target, FloatArray]
) -> tuple[ErrorSource, ...]:
    """Return the sources of error of the usual sum.

    Parameters
    ----------
    experiment : Experiment
    volumes : ndarray, shape (n,), [L]
        Reagent volumes as read.
    counts : mapping of Target to ndarray, shape (n,)
        How often each reading was taken; a mean of k has 1/sqrt(k) of the error that is its own.
    """
    equipment, reaction = experiment.equipment, experiment.reaction
    sources = [
        *_own_sources(equipment.reagent, Target.VOLUME, volumes, counts[Target.VOLUME]),
        _shared(
            f"{equipment.reagent.name}: calibration",
            Target.SCALE,
            equipment.reagent.tolerance_shape,
            equipment.reagent.scale_u,
        ),
        *_own_sources(equipment.balance, Target.LIQUID, volumes, counts[Target.LIQUID]),
        *_own_sources(equipment.sample_balance, Target.SAMPLE, volumes, counts[Target.SAMPLE]),
        *_own_sources(equipment.balance, Target.FINAL, volumes, counts[Target.FINAL]),
        # Linearity enters a difference once: the liquid is the point that the final mass and the
        # sample are compared with.
        _shared(
            f"{equipment.balance.name}: linearity",
            Target.FINAL,
            Shape.RECTANGULAR,
            equipment.balance.linearity_u,
        ),
        _shared(
            f"{equipment.sample_balance.name}: linearity",
            Target.SAMPLE,
            Shape.RECTANGULAR,
            equipment.sample_balance.linearity_u,
        ),
        _shared(
            "strength of the stock",
            Target.CONCENTRATION,
            Shape.NORMAL,
            experiment.reagent.concentration.u,
        ),
        _shared(
            "acid of the sample itself",
            Target.OWN_ACID,
            Shape.NORMAL,
            declared.u if (declared := declared_acid(experiment)) is not None else 0.0,
        ),
        _shared("molar masses", Target.MASS_RATIO, Shape.RECTANGULAR, reaction.mass_ratio.u),
    ]
    return tuple(source for source in sources if np.any(source.u > 0))


def declared_acid(experiment: Experiment) -> Measured | None:
    """Return the protons that a gram of sample gives as the definition has it, [mol/g].

    None where it says nothing of acid, or where the amount is for the fit to find: the textbook
    calculation then counts none.

    Parameters
    ----------
    experiment : Experiment
    """
    sample = experiment.sample
    if sample.acid_is_open or (sample.own_acid is None and not sample.acids):
        return None
    return own_acid(experiment).protons


def _shared(label: str, target: Target, shape: Shape, u: float) -> ErrorSource:
    return ErrorSource(label=label, target=target, shape=shape, u=np.array([u]))


def _own_sources(
    instrument: Instrument, target: Target, values: FloatArray, count: FloatArray
) -> Iterable[ErrorSource]:
    """Yield the errors that each reading of an instrument has of its own."""
    for error in instrument.own_errors(values):
        u = error.u / np.sqrt(count) if error.averages else np.asarray(error.u)
        # Where nothing was poured there is no line and no meniscus to err about.
        if target is Target.VOLUME:
            u = u * (values > 0)
        label = f"{instrument.name}: {error.label}"
        yield ErrorSource(label=label, target=target, shape=error.shape, u=u)


def own_variance(sources: Iterable[ErrorSource], target: Target, n_runs: int) -> FloatArray:
    """Return the variance that each run's reading has of its own, shape (n,)."""
    total = np.zeros(n_runs)
    for source in sources:
        if source.target is target and not source.shared:
            total += source.u**2
    return total


def drawn_shifts(
    sources: Iterable[ErrorSource],
    rng: np.random.Generator,
    n_runs: int,
    n_draws: int,
    own_scale: float = 1.0,
) -> dict[Target, FloatArray]:
    """Return random shifts of every target.

    Parameters
    ----------
    sources : iterable of ErrorSource
    rng : numpy.random.Generator
    n_runs, n_draws : int
    own_scale : float, [1]
        Factor on the errors that are own to each run (a scatter larger than the instruments').

    Returns
    -------
    dict of Target to ndarray, shape (n_runs, n_draws) or (1, n_draws)
    """
    shifts: dict[Target, FloatArray] = {}
    for source in sources:
        rows = 1 if source.shared else n_runs
        width = source.u[:, None] * (1.0 if source.shared else own_scale)
        error = draw(source.shape, width, rng, (rows, n_draws))
        _add(shifts, source.target, error)
    return shifts


def single_shifts(sources: tuple[ErrorSource, ...], n_runs: int) -> dict[Target, FloatArray]:
    """Return shifts by plus and minus one standard uncertainty, one source of one run at a time.

    Returns
    -------
    dict of Target to ndarray, shape (n_runs, d)
        d = 2 (own sources x runs + shared sources); column 2k is plus, column 2k + 1 minus, in the
        order of `single_labels`.
    """
    n_draws = 2 * len(single_labels(sources, n_runs))
    shifts: dict[Target, FloatArray] = {}
    column = 0
    for source in sources:
        error = np.zeros((n_runs, n_draws))
        for run in [slice(None)] if source.shared else range(n_runs):
            u = source.u[0] if source.shared else source.u[run]
            error[run, column], error[run, column + 1] = u, -u
            column += 2
        _add(shifts, source.target, error)
    return shifts


def single_labels(sources: tuple[ErrorSource, ...], n_runs: int) -> tuple[str, ...]:
    """Return the budget line of each pair of columns of `single_shifts`."""
    return tuple(source.label for source in sources for _ in range(1 if source.shared else n_runs))


def _add(shifts: dict[Target, FloatArray], target: Target, error: FloatArray) -> None:
    if target not in shifts:
        shifts[target] = error
    elif shifts[target].shape == error.shape:
        shifts[target] += error
    else:
        shifts[target] = shifts[target] + error
