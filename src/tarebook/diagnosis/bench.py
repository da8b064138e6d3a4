"""What the readings of one run lead to expect of the next: ranges, before it is read."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.liquid import LiquidCheck
from tarebook.measurement.volumes import VolumeInstrument, own_u
from tarebook.model.cup import Contents, cup_state
from tarebook.model.delivery import delivered, liquid_mass, liquid_reading, reagent_density
from tarebook.model.observables import expected_readings
from tarebook.model.parameters import Parameters
from tarebook.model.priors import Prior
from tarebook.model.simulate import POURING_STEPS, SAMPLE_SPREAD
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

COVERAGE = 2.0
"""Half-length of a range in standard uncertainties: 95 %."""

PERCENT = (2.5, 97.5)

MEDIAN_OVER_MEAN = math.sqrt(math.pi / 2.0)
"""Standard error of a median over that of a mean, for normal values."""

WILD = 100.0
"""A cup with so many times more or less in it than was asked for is a slip of the pen, and has its
own finding; the model is not asked about it."""

MINUTES_SPREAD = 0.2
"""Where the waiting time was not read: the definition's, give or take a fifth, as simulated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """A 95 % range of a reading, in the memory unit of its quantity."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Return whether a value lies in it; its ends, read to nine digits, belong to it."""
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        return self.low - slack <= value <= self.high + slack


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """What is known of the sample before a run is weighed for the last time.

    Attributes
    ----------
    content : tuple of (float, float), [g/g]
        Lowest and highest, all between equally likely; or value and u of a fit.
    own_acid : tuple of (float, float) or None, [mol/g]
        Value and u of a fit; None for the prior.
    fitted : bool
        Whether `content` is value and u.
    """

    content: tuple[float, float]
    own_acid: tuple[float, float] | None = None
    fitted: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidInCup:
    """Liquid by its two volumes beside what the balance showed.

    Attributes
    ----------
    by_volume : float, [g]
        What a balance would show for the volumes as they were read.
    shift : float, [g]
        By which the weighed liquid is expected to differ: what stays in the vessels at a pour, from
        the priors and from the other runs.
    u : float, [g]
    """

    by_volume: float
    shift: float
    u: float


def expected_next(
    experiment: Experiment,
    table: RunTable,
    run: str,
    belief: Belief,
    liquid: LiquidInCup | None,
    parameters: Parameters,
    rng: np.random.Generator,
    *,
    final: Callable[..., Range | None] | None = None,
) -> Mapping[Quantity, Range]:
    """Return the ranges that can be given for a run, each from what is read before it.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Of the group.
    run : str
    belief : Belief
    liquid : LiquidInCup or None
        Of the run; see `liquid_in_cup`.
    parameters : Parameters
        Draws from the priors, arrays of shape (n, 1).
    rng : numpy.random.Generator
    final : callable, optional
        Gives what `expected_final` gives, from the same arguments; perhaps it knows it already.

    Returns
    -------
    mapping of Quantity to Range
        Without the quantities of which nothing can be said yet.

    Raises
    ------
    OutOfRangeError
        If the readings are beyond what the model holds for.
    """
    ranges: dict[Quantity, Range] = {}
    targets = _targets(experiment, run)
    for quantity, instrument in (
        (Quantity.REAGENT, experiment.equipment.reagent),
        (Quantity.DILUENT, experiment.equipment.diluent),
    ):
        if quantity in targets:
            ranges[quantity] = _pour(instrument, targets[quantity])
    ranges[Quantity.SAMPLE] = _portion(experiment, run)
    tare = table.mean_of(run, Quantity.TARE)
    if liquid is not None and tare is not None:
        middle = tare + liquid.by_volume + liquid.shift
        half = COVERAGE * liquid.u
        ranges[Quantity.LIQUID] = Range(low=middle - half, high=middle + half)
    last = (final or expected_final)(experiment, table, run, belief, parameters, rng)
    if last is not None:
        ranges[Quantity.FINAL] = last
    return ranges


def liquid_in_cup(
    experiment: Experiment,
    table: RunTable,
    run: str,
    check: LiquidCheck,
    before: Iterable[Prior],
) -> LiquidInCup | None:
    """Return what the liquid of a run should weigh by its volumes; None before both are read.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Of the group.
    run : str
    check : LiquidCheck
        Of the group; its other runs say how much liquid stays behind at a pour.
    before : iterable of Prior
        What is known of that before any reading.
    """
    reagent, diluent = (table.mean_of(run, q) for q in (Quantity.REAGENT, Quantity.DILUENT))
    if reagent is None or diluent is None or min(reagent, diluent) < 0 or reagent + diluent <= 0:
        return None
    equipment, room = experiment.equipment, experiment.room
    at_room = np.array(room.temperature)
    volumes = np.array([reagent, diluent])
    per_litre = np.array(
        [
            float(reagent_density(experiment, at_room)),
            float(liquid_mass(experiment, *_ONE, at_room)),
        ]
    )
    mass = float(per_litre @ volumes)
    by_volume = float(
        liquid_reading(np.array(mass), np.array(mass / volumes.sum()), experiment.room)
    )
    poured = volumes > 0
    own = np.array(
        [
            float(own_u(instrument, np.array(volume)))
            for instrument, volume in zip(
                (equipment.reagent, equipment.diluent), volumes, strict=True
            )
        ]
    )
    known = {prior.name: prior for prior in before}
    scale = np.array([known["scale_reagent"].u, known["scale_diluent"].u])
    held = np.array([known["hold_up_reagent"].centre, known["hold_up_diluent"].centre])
    held_u = np.array([known["hold_up_reagent"].u, known["hold_up_diluent"].u])
    single = float(np.sum((per_litre * own * poured) ** 2)) + 2.0 * equipment.balance.weighing_u**2
    of_scale = float(np.sum((per_litre * scale * volumes) ** 2))
    shift = -float(np.sum(per_litre * held * poured))
    shift_u2 = float(np.sum((per_litre * held_u * poured) ** 2))
    others = np.array([other != run for other in check.runs], dtype=bool)
    if others.any() and poured.all():
        own_u2 = float(np.mean(check.u[others] ** 2)) / int(others.sum())
        median_u2 = MEDIAN_OVER_MEAN**2 * own_u2 + of_scale
        weights = np.array([1.0 / max(shift_u2, 1e-12), 1.0 / median_u2])
        shift = float(
            weights @ np.array([shift, np.median(check.difference[others])]) / weights.sum()
        )
        shift_u2 = float(1.0 / weights.sum())
    return LiquidInCup(by_volume=by_volume, shift=shift, u=math.sqrt(single + of_scale + shift_u2))


_ONE = (np.array(0.0), np.array(1.0))
"""No reagent and one litre of diluent, to ask for the density of the diluent alone."""


FINAL_RESTS_ON = (
    Quantity.REAGENT,
    Quantity.DILUENT,
    Quantity.LIQUID,
    Quantity.SAMPLE,
    Quantity.TEMPERATURE,
    Quantity.MINUTES,
)
"""The readings of a run on which the range of its last mass rests, and no others."""


def expected_final(
    experiment: Experiment,
    table: RunTable,
    run: str,
    belief: Belief,
    parameters: Parameters,
    rng: np.random.Generator,
) -> Range | None:
    """Return the range of a run's last mass; None where the model cannot say anything of it.

    The arguments are those of `expected_next`. Of the table only `FINAL_RESTS_ON` of this run
    matter.

    Raises
    ------
    OutOfRangeError
        If the readings are beyond what the model holds for.
    """
    liquid, sample = (table.mean_of(run, q) for q in (Quantity.LIQUID, Quantity.SAMPLE))
    if liquid is None or sample is None or sample <= 0:
        return None
    targets = _targets(experiment, run)
    volumes = {}
    for quantity in (Quantity.REAGENT, Quantity.DILUENT):
        read = table.mean_of(run, quantity)
        read = targets.get(quantity) if read is None else read
        if read is None or read < 0:
            return None
        volumes[quantity] = read
    asked = (experiment.total_volume, experiment.sample_asked(run) or sample)
    for found, usual in zip((sum(volumes.values()), sample), asked, strict=True):
        if not usual / WILD <= found <= usual * WILD:
            return None
    parameters = _believed(parameters, belief, rng)
    n = len(parameters.content)
    contents = _contents(experiment, table, run, parameters, volumes, sample, rng)
    state = cup_state(experiment, parameters, contents)
    shown = expected_readings(experiment, parameters, contents, np.array(0.0), state)
    lost = (shown.liquid + shown.sample - shown.final)[:, 0]
    equipment = experiment.equipment
    u = math.hypot(
        math.sqrt(2.0) * equipment.balance.weighing_u,
        equipment.balance.linearity_u,
        equipment.sample_balance.weighing_u,
    )
    low, high = np.percentile(liquid + sample - lost + u * rng.standard_normal(n), PERCENT)
    return Range(low=float(low), high=float(high))


def _believed(parameters: Parameters, belief: Belief, rng: np.random.Generator) -> Parameters:
    first, second = belief.content
    shape = np.shape(parameters.content)
    if not belief.fitted:
        return parameters.with_values(content=rng.uniform(first, second, shape))
    values = {"content": np.clip(first + second * rng.standard_normal(shape), 1e-6, None)}
    if belief.own_acid is not None:
        acid, u = belief.own_acid
        values["own_acid"] = acid + u * rng.standard_normal(shape)
    return parameters.with_values(**values)


def _contents(
    experiment: Experiment,
    table: RunTable,
    run: str,
    parameters: Parameters,
    volumes: Mapping[Quantity, float],
    sample: float,
    rng: np.random.Generator,
) -> Contents:
    equipment = experiment.equipment
    each = np.ones_like(parameters.content)
    temperature = table.mean_of(run, Quantity.TEMPERATURE) or experiment.room.temperature
    minutes = table.mean_of(run, Quantity.MINUTES)
    waited = max(minutes, 0.0) * each if minutes is not None else None
    if waited is None:
        usual = experiment.procedure.minutes
        waited = usual * (1.0 + MINUTES_SPREAD * rng.uniform(-1.0, 1.0, each.shape))

    def truly(
        instrument: VolumeInstrument, read: float, scale: FloatArray, held: FloatArray
    ) -> FloatArray:
        own = float(own_u(instrument, np.array(read))) if read > 0 else 0.0
        noisy = read + own * rng.standard_normal(each.shape)
        return np.maximum(delivered(np.maximum(noisy, 0.0), scale, held), 0.0)

    return Contents(
        reagent=truly(
            equipment.reagent,
            volumes[Quantity.REAGENT],
            parameters.scale_reagent,
            parameters.hold_up_reagent,
        ),
        diluent=truly(
            equipment.diluent,
            volumes[Quantity.DILUENT],
            parameters.scale_diluent,
            parameters.hold_up_diluent,
        ),
        sample=sample * each,
        temperature=temperature * each,
        minutes=waited,
    )


def _pour(instrument: VolumeInstrument, target: float) -> Range:
    step = instrument.finest_reading
    if target == 0.0 or step == 0.0:
        return Range(low=target, high=target)
    half = COVERAGE * POURING_STEPS * step
    return Range(low=max(target - half, 0.0), high=target + half)


def _portion(experiment: Experiment, run: str) -> Range:
    asked = experiment.sample_asked(run)
    if asked == 0.0:
        return Range(low=0.0, high=0.0)
    half = COVERAGE * max(SAMPLE_SPREAD * asked, experiment.equipment.sample_balance.readability)
    return Range(low=max(asked - half, 0.0), high=asked + half)


def _targets(experiment: Experiment, run: str) -> dict[Quantity, float]:
    for planned in experiment.planned:
        if planned.run == run:
            return {Quantity.REAGENT: planned.reagent, Quantity.DILUENT: planned.diluent}
    return {}
