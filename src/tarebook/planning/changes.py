"""The same experiment with one thing changed: another stock, sample, row, instrument or room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tarebook.chemistry.substances import strongest_solution
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import InputError, OutOfRangeError
from tarebook.measurement.instruments import is_readable
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.series import schema
from tarebook.series.experiment import Experiment, PlannedRun
from tarebook.series.strength import read_reagent

PLEASING = (
    *(1.0, 1.2, 1.5, 1.6, 1.8, 2.0, 2.2, 2.5, 2.8, 3.0),
    *(3.5, 4.0, 4.5, 5.0, 6.0, 7.0, 7.5, 8.0, 9.0),
)
"""Leading digits of numbers that people like to make up a solution to."""


MOST_PARTS = 12
"""Nobody puts more pieces, or broken parts of them, into one cup."""


def with_stock(experiment: Experiment, concentration: float) -> Experiment:
    """Return the experiment with a stock of another strength, as well known relative to it.

    Parameters
    ----------
    experiment : Experiment
    concentration : float, [mol/L]

    Raises
    ------
    OutOfRangeError
        If no solution of it is as strong.

    Notes
    -----
    The density is that of the table of solutions, or that of water where the table has none.
    """
    reagent, now = experiment.reagent, experiment.reagent.concentration
    bought, preparation = experiment.preparation.bought, experiment.preparation
    if bought is not None and bought.is_the_stock:
        # What was used as it comes is diluted from now on.
        preparation = replace(preparation, bought=replace(bought, is_the_stock=False))
    strength = schema.Molarity(
        given_as="mol per L", mol_per_L=concentration, relative_u=now.u / now.value
    )
    try:
        made = read_reagent(
            schema.ReagentTable(name=reagent.name, strength=strength),
            experiment.reaction.reagent,
            experiment.room.temperature,
        )
    except InputError as error:
        allowed = "; ".join(fault.allowed for fault in error.faults)
        raise OutOfRangeError("strength of the stock", concentration, "mol/L", allowed) from error
    sure = replace(made, strength_is_sure=reagent.strength_is_sure)
    return replace(experiment, reagent=sure, preparation=preparation)


def with_strength_u(experiment: Experiment, factor: float) -> Experiment:
    """Return the experiment with a stock whose strength is known better by a factor."""
    now = experiment.reagent.concentration
    better = replace(now, u=factor * now.u)
    return replace(experiment, reagent=replace(experiment.reagent, concentration=better))


def with_sample(experiment: Experiment, mass: float) -> Experiment:
    """Return the experiment with another nominal sample mass, [g]; what the runs ask for follows.

    A blank cup stays one; what comes in pieces stays a whole number of its parts.
    """
    factor = mass / experiment.sample.nominal_mass
    piece = experiment.sample.piece

    def portion(now: float) -> float:
        if piece is None or now == 0.0:
            return factor * now
        return piece.mass * max(piece.nearest(factor * now), piece.part)

    planned = tuple(replace(run, sample=portion(run.sample)) for run in experiment.planned)
    sample = replace(experiment.sample, nominal_mass=mass)
    return replace(experiment, sample=sample, planned=planned)


def samples_of(experiment: Experiment) -> FloatArray:
    """Return the sample asked for in each planned run, shape (n,), [g]."""
    return np.array([run.sample for run in experiment.planned])


def sealed_of(experiment: Experiment) -> BoolArray:
    """Return whether each planned run is weighed in a closed vessel, shape (n,)."""
    return np.array([experiment.is_sealed(run.run) for run in experiment.planned])


def strongest_stock(experiment: Experiment) -> float:
    """Return the strength of what the stock is made from, or is: no stock is stronger, [mol/L].

    Where it is made from a solid, or where the definition does not say from what: the most that
    any solution of it holds, infinite where that is not known.
    """
    bought = experiment.preparation.bought
    most = strongest_solution(experiment.reaction.reagent)
    if bought is None or bought.solution is None:
        return most
    return min(bought.solution.concentration.value, most)


def other_stocks(experiment: Experiment, reach: float = 100.0) -> tuple[float, ...]:
    """Return strengths that a stock could be made up to, the nearest first, [mol/L].

    None if the stock is used as it was bought: nobody sells household vinegar of another strength.
    None either above what the stock is made from.
    """
    bought = experiment.preparation.bought
    if bought is not None and bought.is_the_stock:
        return ()
    strongest = strongest_stock(experiment)
    every = pleasing_numbers(experiment.reagent.concentration.value, reach=reach)
    return tuple(strength for strength in every if strength <= strongest)


def other_samples(
    experiment: Experiment, mantissas: Sequence[float], reach: float = 100.0
) -> tuple[float, ...]:
    """Return sample masses that can be taken, the nearest to the nominal one first, [g].

    Of a sample that comes in pieces these are whole numbers of its parts; of a powder whole steps
    of the balance.

    Parameters
    ----------
    experiment : Experiment
    mantissas : sequence of float
        Leading digits that please, where the sample is a powder.
    reach : float
        Largest ratio to the nominal mass, of a powder.
    """
    nominal, piece = experiment.sample.nominal_mass, experiment.sample.piece
    if piece is None:
        every = pleasing_numbers(nominal, mantissas, reach)
        return tuple(mass for mass in every if can_be_taken(experiment, mass))
    portions = piece.part * piece.mass * np.arange(1, MOST_PARTS + 1)
    order = np.argsort(np.abs(np.log(portions / nominal)), kind="stable")
    return tuple(float(f"{portions[i]:.6g}") for i in order)


def can_be_taken(experiment: Experiment, mass: float) -> bool:
    """Return whether a portion is a whole number of pieces' parts, or of steps of the balance.

    Parameters
    ----------
    experiment : Experiment
    mass : float, [g]
    """
    piece, own = experiment.sample.piece, experiment.equipment.sample_balance
    finest = own.readability if piece is None else piece.part * piece.mass
    return mass >= finest * (1.0 - 1e-9) and bool(is_readable(mass, finest))


def with_total(experiment: Experiment, total: float) -> Experiment:
    """Return the experiment with another total volume, [L]; its row is cut to fit."""
    planned = tuple(
        replace(run, reagent=min(run.reagent, total), diluent=total - min(run.reagent, total))
        for run in experiment.planned
    )
    return replace(experiment, total_volume=total, planned=planned)


def with_row(experiment: Experiment, reagent: Sequence[float] | FloatArray) -> Experiment:
    """Return the experiment with another row; runs keep their names if there are as many.

    Parameters
    ----------
    experiment : Experiment
    reagent : sequence of float, [L]
    """
    names = [run.run for run in experiment.planned]
    masses = [run.sample for run in experiment.planned]
    if len(names) != len(reagent):
        names = [str(number + 1) for number in range(len(reagent))]
        masses = [experiment.sample.nominal_mass] * len(reagent)
    total = experiment.total_volume
    planned = tuple(
        PlannedRun(run=name, reagent=float(volume), diluent=total - float(volume), sample=mass)
        for name, volume, mass in zip(names, reagent, masses, strict=True)
    )
    return replace(experiment, planned=planned)


def with_balances(
    experiment: Experiment, *, main: Balance | None = None, own: Balance | None = None
) -> Experiment:
    """Return the experiment with other balances."""
    equipment = experiment.equipment
    new = replace(
        equipment, balance=main or equipment.balance, sample_balance=own or equipment.sample_balance
    )
    return replace(experiment, equipment=new)


def with_ware(
    experiment: Experiment,
    *,
    reagent: VolumeInstrument | None = None,
    diluent: VolumeInstrument | None = None,
) -> Experiment:
    """Return the experiment with other volumetric ware."""
    equipment = experiment.equipment
    new = replace(
        equipment, reagent=reagent or equipment.reagent, diluent=diluent or equipment.diluent
    )
    return replace(experiment, equipment=new)


def with_room(experiment: Experiment, temperature: float) -> Experiment:
    """Return the experiment in a room of another temperature, [K]."""
    return replace(experiment, room=replace(experiment.room, temperature=temperature))


def with_vessel(experiment: Experiment, capacity: float) -> Experiment:
    """Return the experiment with a larger vessel of the same shape, [L]."""
    vessel = experiment.vessel
    wider = (capacity / vessel.capacity) ** (1.0 / 3.0)
    larger = replace(
        vessel,
        capacity=capacity,
        opening_diameter=wider * vessel.opening_diameter,
        height=wider * vessel.height,
    )
    return replace(experiment, vessel=larger)


def row_of(experiment: Experiment) -> FloatArray:
    """Return the reagent volumes of the planned row, shape (n,), [L]."""
    return np.array([run.reagent for run in experiment.planned])


def places_of(experiment: Experiment) -> FloatArray:
    """Return where the runs stand against the equivalence point: reagent for the nominal sample.

    A run with half of the nominal sample stands where one with twice its reagent would. Blank cups
    and closed vessels stand nowhere and are left out.

    Returns
    -------
    ndarray, shape (open runs with sample,), [L]
    """
    sample = samples_of(experiment)
    there = (sample > 0) & ~sealed_of(experiment)
    return experiment.sample.nominal_mass * row_of(experiment)[there] / sample[there]


def pleasing_numbers(
    about: float, mantissas: Sequence[float] = PLEASING, reach: float = 100.0
) -> tuple[float, ...]:
    """Return pleasing numbers up to so many times larger or smaller, the nearest first.

    Parameters
    ----------
    about : float
    mantissas : sequence of float
        Leading digits that please.
    reach : float
        Largest ratio to `about`.

    Examples
    --------
    >>> pleasing_numbers(0.52)[:4]
    (0.5, 0.6, 0.45, 0.4)
    """
    decade, decades = np.floor(np.log10(about)), np.ceil(np.log10(reach)) + 1
    powers = 10.0 ** np.arange(decade - decades, decade + decades + 1)
    every = np.outer(powers, mantissas).ravel()
    near = every[(every >= about / reach) & (every <= about * reach)]
    order = np.argsort(np.abs(np.log(near / about)), kind="stable")
    return tuple(float(f"{value:.6g}") for value in near[order])


TWO_DIGITS = tuple(np.round(np.arange(1.0, 10.0, 0.1), 1).tolist())
"""Leading digits of numbers with two digits: masses are weighed to any of them."""
