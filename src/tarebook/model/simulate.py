"""Realistic readings from the forward model: hands pour near the target, instruments round."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.units import celsius, millilitres
from tarebook.measurement.effects import Shape, draw
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.model.contents import Contents, Portions, planned_fillings, pour
from tarebook.model.cup import CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.observables import Seen
from tarebook.model.parameters import Parameters
from tarebook.model.release import Release, by_equilibrium
from tarebook.records.complete import completed
from tarebook.records.instruments import balance_of, ware_of
from tarebook.records.readings import MASSES, PAIRS, Quantity, RunTable, table_of
from tarebook.series.experiment import Experiment, ReadAs, SampleIn, Tare

POURING_STEPS = 4.0
"""Standard deviation of a pour about its target, in finest readable steps."""

SAMPLE_SPREAD = 0.01
"""Relative standard deviation of a weighed portion about the mass asked for."""

Cups: TypeAlias = Callable[[Experiment, Parameters, Contents, frozenset[CupEffect]], CupState]
"""What works out the cups: `cup_state`, or, in a study, a physics that is not ours."""


HOLDER = 2.5
HOLDER_RESIDUE = 0.02
"""g: a made-up weighing boat, and at most so much powder that stays on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulated:
    """Readings and the truth behind them.

    Attributes
    ----------
    table : RunTable
        As a person would have written them down.
    parameters : Parameters
    contents : Contents
        What was really in each vessel.
    state : CupState
        What really happened there.
    """

    table: RunTable
    parameters: Parameters
    contents: Contents
    state: CupState


def simulate(
    experiment: Experiment,
    parameters: Parameters,
    rng: np.random.Generator,
    *,
    minutes: FloatArray | None = None,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
    release: Release = by_equilibrium,
    cups: Cups | None = None,
) -> Simulated:
    """Return readings of the planned series as they might have been taken.

    Parameters
    ----------
    experiment : Experiment
    parameters : Parameters
        The truth: numbers.
    rng : numpy.random.Generator
    minutes : ndarray, shape (n,), [min], optional
        Waiting time of each run; else that of the definition give or take a fifth.
    effects : frozenset of CupEffect
    release : Release
        The chemistry of the liquid.
    cups : Cups, optional
        What works out the cups; else `cup_state` with that chemistry.

    Returns
    -------
    Simulated
        Volumes rounded to what is read on the scale, masses to the readability of the balance.
    """
    planned, equipment = experiment.planned, experiment.equipment
    n = len(planned)
    if minutes is None:
        spread = experiment.procedure.minutes / 5.0
        minutes = np.round(experiment.procedure.minutes + spread * rng.uniform(-1.0, 1.0, n))
    temperature = np.full(n, experiment.room.temperature)
    targets = np.array([[run.reagent, run.diluent, run.sample] for run in planned]).T
    reagent = _poured(equipment.reagent, targets[0], rng)
    diluent = _poured(equipment.diluent, targets[1], rng)
    fillings = planned_fillings(experiment, targets[0], targets[1])
    portions = Portions(
        reagent=_truly(equipment.reagent, fillings[0], reagent, rng),
        diluent=_truly(equipment.diluent, fillings[1], diluent, rng),
        fillings=fillings,
        sample=targets[2] * (1.0 + spread_of_portions(experiment) * rng.standard_normal(n)),
        temperature=temperature,
        minutes=minutes,
        sealed=np.array([experiment.is_sealed(run.run) for run in planned]),
    )
    contents = pour(portions, parameters, effects)
    happens = cups or partial(cup_state, release=release)
    state = happens(experiment, parameters, contents, effects)
    tare = _tares(experiment, n, rng)
    seen = Seen(experiment, parameters, contents, tare, state, effects)
    main, own = equipment.balance, equipment.sample_balance
    # Linearity enters each difference once: the vessel with liquid is the point of comparison.
    linear = draw(Shape.RECTANGULAR, main.linearity_u, rng, 2)
    linear_own = draw(Shape.RECTANGULAR, own.linearity_u, rng, 1)
    lines = {
        Quantity.TARE: linear[0],
        Quantity.SAMPLE: linear_own[0],
        Quantity.FINAL: linear[1],
    }
    masses = {
        quantity: _weighed(
            balance_of(experiment, quantity), seen.of(quantity) + lines.get(quantity, 0.0), rng
        )
        for quantity in MASSES
    }
    if experiment.weighing.sample_in is SampleIn.HOLDER:
        holder = HOLDER + HOLDER_RESIDUE * rng.uniform(0.0, 1.0, n)
        masses[Quantity.HOLDER_BEFORE] = _weighed(
            own, holder + seen.of(Quantity.SAMPLE) + linear_own[0], rng
        )
        masses[Quantity.HOLDER_AFTER] = _weighed(own, holder, rng)
        del masses[Quantity.SAMPLE]
    if experiment.weighing.tare is Tare.ZEROED:
        for quantity in (Quantity.LIQUID, Quantity.FINAL):
            masses[quantity] -= masses[Quantity.TARE]
        del masses[Quantity.TARE]
    typed = {quantity: _typed(values, experiment, quantity) for quantity, values in masses.items()}
    typed |= {
        Quantity.REAGENT: _typed(reagent, experiment, Quantity.REAGENT),
        Quantity.DILUENT: _typed(diluent, experiment, Quantity.DILUENT),
        Quantity.TEMPERATURE: [f"{celsius(t):.1f}" for t in seen.of(Quantity.TEMPERATURE)],
        Quantity.MINUTES: [f"{m:.0f}" for m in minutes],
    }
    for quantity, read_as in (
        (Quantity.REAGENT, equipment.reagent_read),
        (Quantity.DILUENT, equipment.diluent_read),
    ):
        if read_as is ReadAs.START_AND_END:
            typed |= _two_ends(experiment, quantity, typed.pop(quantity), rng)
    # Nothing is weighed and nothing written down where no sample goes in.
    for quantity in {Quantity.SAMPLE, *PAIRS[Quantity.SAMPLE].in_order} & typed.keys():
        typed[quantity] = [
            "" if run.is_blank else number
            for run, number in zip(planned, typed[quantity], strict=True)
        ]
    return Simulated(
        table=completed(experiment, table_of([run.run for run in planned], typed)),
        parameters=parameters,
        contents=contents,
        state=state,
    )


def spread_of_portions(experiment: Experiment) -> float:
    """Return the relative standard deviation of a portion about the mass asked for."""
    piece = experiment.sample.piece
    return SAMPLE_SPREAD if piece is None else piece.spread


def _poured(
    instrument: VolumeInstrument, target: FloatArray, rng: np.random.Generator
) -> FloatArray:
    """Return the reading of a pour that was meant to be `target`: near it, and read to a step."""
    step = instrument.finest_reading or instrument.capacity
    noise = POURING_STEPS * step * rng.standard_normal(target.shape)
    # Nothing is poured where nothing was asked for; ware with one mark is filled to it.
    if instrument.finest_reading == 0.0:
        return target
    near = np.where(target > 0, np.maximum(target + noise, step), 0.0)
    return np.round(near / step) * step


def _truly(
    instrument: VolumeInstrument,
    fillings: FloatArray,
    reading: FloatArray,
    rng: np.random.Generator,
) -> FloatArray:
    """Return what ware without an error of its own would have shown of a pour."""
    # Each filling is read anew: the errors of n of them come to the root of n times that of one.
    error = np.zeros(reading.shape)
    for own in instrument.own_errors(reading / np.maximum(fillings, 1)):
        error += draw(own.shape, own.u, rng, reading.shape) * np.sqrt(fillings)
    return np.maximum(reading + np.where(reading > 0, error, 0.0), 0.0)


def _two_ends(
    experiment: Experiment, quantity: Quantity, poured: list[str], rng: np.random.Generator
) -> dict[Quantity, list[str]]:
    """Return the readings of a burette at the start and at the end of each pour."""
    instrument, pair = ware_of(experiment, quantity), PAIRS[quantity]
    capacity = Decimal(f"{millilitres(instrument.capacity):g}")
    starts, ends = [], []
    for typed in poured:
        step = Decimal(typed).as_tuple().exponent
        free = max(float(capacity - Decimal(typed)), 0.0)
        start = Decimal(free * rng.uniform(0.0, 1.0)).quantize(Decimal(1).scaleb(int(step)))
        nothing = not float(typed)
        starts.append("" if nothing else str(start))
        ends.append("" if nothing else str(start + Decimal(typed)))
    return {pair.less: starts, pair.more: ends}


def _weighed(balance: Balance, mass: FloatArray, rng: np.random.Generator) -> FloatArray:
    shown = mass + draw(Shape.NORMAL, balance.repeatability, rng, mass.shape)
    return np.round(shown / balance.readability) * balance.readability


def _tares(experiment: Experiment, n: int, rng: np.random.Generator) -> FloatArray:
    """Return the masses of the empty vessels: a made-up 0.08 g for each mL they hold."""
    usual = 80.0 * experiment.vessel.capacity
    return usual * (1.0 + 0.02 * rng.standard_normal(n))


def _typed(values: FloatArray, experiment: Experiment, quantity: Quantity) -> list[str]:
    if quantity.is_mass:
        step = balance_of(experiment, quantity).readability
        return [f"{v:.{_decimals(step)}f}" for v in values]
    instrument = ware_of(experiment, quantity)
    decimals = _decimals(millilitres(instrument.finest_reading or instrument.capacity))
    return [f"{millilitres(v):.{decimals}f}" for v in values]


def _decimals(step: float) -> int:
    """Return how many decimals a multiple of a step needs.

    Examples
    --------
    >>> [_decimals(step) for step in (0.01, 0.05, 0.5, 1.0)]
    [2, 2, 1, 0]
    """
    for decimals in range(7):
        if abs(step * 10**decimals - round(step * 10**decimals)) < 1e-9:
            return decimals
    return 7
