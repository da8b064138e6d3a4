"""What a cup will lose and weigh at the end: from what is read of it, or is planned for it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.quantity import Estimate
from tarebook.measurement.own_errors import own_u
from tarebook.measurement.weighing import mass_loss_u
from tarebook.model.contents import Contents, Portions, pour
from tarebook.model.cup import cup_state
from tarebook.model.observables import Seen
from tarebook.model.parameters import Parameters
from tarebook.records.instruments import ware_of
from tarebook.records.pours import fillings
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.series.experiment import Experiment

PERCENT = (2.5, 97.5)

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


FINAL_RESTS_ON = (
    Quantity.REAGENT,
    Quantity.DILUENT,
    Quantity.LIQUID,
    Quantity.SAMPLE,
    Quantity.TEMPERATURE,
    Quantity.MINUTES,
)
"""The readings of a run on which the range of its last mass rests, and no others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCome:
    """What a cup will lose and weigh at the end, as the balance will show it.

    Attributes
    ----------
    sample : float, [g]
        The portion that this is for: as it was weighed, or as it is asked for.
    lost : Estimate, [g]
    final : Estimate or None, [g]
        None where the cup was not weighed with its liquid.
    """

    sample: float
    lost: Estimate
    final: Estimate | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """What the expectation of a cup rests on.

    Attributes
    ----------
    run : str
    volumes : mapping of Quantity to float, [L]
        Reagent and diluent as read.
    sample : float, [g]
    """

    run: str
    volumes: Mapping[Quantity, float] = field(default_factory=dict)
    sample: float = 0.0


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
    sample = table.mean_of(run, Quantity.SAMPLE)
    if table.mean_of(run, Quantity.LIQUID) is None or sample is None or sample <= 0:
        return None
    found = to_come(experiment, table, run, belief, parameters, rng)
    if found is None or found.final is None:
        return None
    return Range(low=found.final.low, high=found.final.high)


def to_come(
    experiment: Experiment,
    table: RunTable,
    run: str,
    belief: Belief,
    parameters: Parameters,
    rng: np.random.Generator,
    *,
    recovered: Mapping[Quantity, float] | None = None,
) -> ToCome | None:
    """Return what a cup will lose and weigh; None where the model cannot say anything of it.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    run : str
    belief : Belief
    parameters : Parameters
        Draws from the priors, arrays of shape (n, 1).
    rng : numpy.random.Generator
    recovered : mapping of Quantity to float, [L], optional
        Volumes that were not read and follow from the mass; else the plan stands in.

    Raises
    ------
    OutOfRangeError
        If the readings are beyond what the model holds for.
    """
    cup = _cup(experiment, table, run, recovered or {})
    if cup is None:
        return None
    parameters = _believed(parameters, belief, rng)
    contents = _contents(experiment, table, cup, parameters, rng)
    state = cup_state(experiment, parameters, contents)
    seen = Seen(experiment, parameters, contents, np.array(0.0), state)
    equipment = experiment.equipment
    u = mass_loss_u(equipment.balance, equipment.sample_balance)
    noise = u * rng.standard_normal(len(parameters.content))
    lost = seen.lost[:, 0] - noise
    liquid = table.mean_of(run, Quantity.LIQUID)
    final = None if liquid is None else _of_draws(liquid + cup.sample - lost)
    return ToCome(sample=cup.sample, lost=_of_draws(lost), final=final)


def _of_draws(draws: FloatArray) -> Estimate:
    low, high = np.percentile(draws, PERCENT)
    return Estimate(
        value=float(draws.mean()), u=float(draws.std()), low=float(low), high=float(high), unit="g"
    )


def _cup(
    experiment: Experiment, table: RunTable, run: str, recovered: Mapping[Quantity, float]
) -> Cup | None:
    """Return the cup as read, as recovered or as planned; None where that makes no sense."""
    sample = table.mean_of(run, Quantity.SAMPLE)
    sample = experiment.sample_asked(run) if sample is None else sample
    volumes = targets(experiment, run) | dict(recovered)
    for quantity in VOLUMES:
        read = table.mean_of(run, quantity)
        if read is not None:
            volumes[quantity] = read
    if len(volumes) < len(VOLUMES) or sample < 0 or min(volumes.values()) < 0:
        return None
    asked = (experiment.total_volume, experiment.sample_asked(run) or sample)
    for found, usual in zip((sum(volumes.values()), sample), asked, strict=True):
        if not usual / WILD <= found <= usual * WILD:
            return None
    return Cup(run=run, volumes=volumes, sample=sample)


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
    cup: Cup,
    parameters: Parameters,
    rng: np.random.Generator,
) -> Contents:
    each = np.ones_like(parameters.content)
    temperature = table.mean_of(cup.run, Quantity.TEMPERATURE) or experiment.room.temperature
    minutes = table.mean_of(cup.run, Quantity.MINUTES)
    waited = max(minutes, 0.0) * each if minutes is not None else None
    if waited is None:
        usual = experiment.procedure.minutes
        waited = usual * (1.0 + MINUTES_SPREAD * rng.uniform(-1.0, 1.0, each.shape))

    def truly(quantity: Quantity) -> tuple[FloatArray, int]:
        read = cup.volumes[quantity]
        readings = table.of(cup.run, quantity)
        parts = np.array(
            fillings(experiment, cup.run, quantity, read, readings[0] if readings else None)
        )
        own = math.sqrt(float(np.sum(own_u(ware_of(experiment, quantity), parts) ** 2)))
        noisy = read + own * rng.standard_normal(each.shape)
        return np.maximum(noisy, 0.0), len(parts)

    (reagent, of_reagent), (diluent, of_diluent) = (truly(quantity) for quantity in VOLUMES)
    portions = Portions(
        reagent=reagent,
        diluent=diluent,
        fillings=np.array([[of_reagent], [of_diluent]], dtype=np.float64),
        sample=cup.sample * each,
        temperature=temperature * each,
        minutes=waited,
        sealed=np.array(experiment.is_sealed(cup.run)),
    )
    return pour(portions, parameters)


def targets(experiment: Experiment, run: str) -> dict[Quantity, float]:
    """Return the volumes that the plan asks a run for, [L]; none for a run that is not planned."""
    for planned in experiment.planned:
        if planned.run == run:
            return {Quantity.REAGENT: planned.reagent, Quantity.DILUENT: planned.diluent}
    return {}
