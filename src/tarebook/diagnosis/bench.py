"""What the readings of one run lead to expect of the next: ranges, before it is read."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from tarebook.core.quantity import COVERAGE_95
from tarebook.diagnosis.left_behind import grams_per_litre, left_behind
from tarebook.diagnosis.liquid import MEDIAN_OVER_MEAN, LiquidCheck
from tarebook.diagnosis.to_come import Belief, Range, expected_final, targets
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.model.delivery import liquid_reading
from tarebook.model.parameters import Parameters
from tarebook.model.priors import Prior
from tarebook.model.simulate import POURING_STEPS, spread_of_portions
from tarebook.records.pours import pours
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.series.experiment import Experiment


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
    asked = targets(experiment, run)
    for quantity, instrument in (
        (Quantity.REAGENT, experiment.equipment.reagent),
        (Quantity.DILUENT, experiment.equipment.diluent),
    ):
        if quantity in asked:
            ranges[quantity] = pour(instrument, asked[quantity])
    ranges[Quantity.SAMPLE] = _portion(experiment, run)
    tare = table.mean_of(run, Quantity.TARE)
    if liquid is not None and tare is not None:
        middle = tare + liquid.by_volume + liquid.shift
        half = COVERAGE_95 * liquid.u
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
    equipment = experiment.equipment
    volumes = np.array([reagent, diluent])
    per_litre = grams_per_litre(experiment)
    mass = float(per_litre @ volumes)
    by_volume = float(
        liquid_reading(np.array(mass), np.array(mass / volumes.sum()), experiment.room)
    )
    found = [pours(experiment, table.only(run), liquid) for liquid in VOLUMES]
    own = np.array([each.own_u[0] for each in found])
    # So often liquid stayed behind.
    poured = np.array([each.fillings[0] for each in found])
    known = {prior.name: prior for prior in before}
    scale = np.array([known["scale_reagent"].u, known["scale_diluent"].u])
    lacks, lacks_u = left_behind(experiment, known.values()).of(poured[:, np.newaxis])
    single = float(np.sum((per_litre * own) ** 2)) + 2.0 * equipment.balance.weighing_u**2
    of_scale = float(np.sum((per_litre * scale * volumes) ** 2))
    shift, shift_u2 = -float(lacks[0]), float(lacks_u[0]) ** 2
    # Only cups that both vessels poured into tell what one pour of each leaves behind.
    others = check.both & np.array([other != run for other in check.runs], dtype=bool)
    if others.any() and bool((poured == check.pours).all()):
        own_u2 = float(np.mean(check.u[others] ** 2)) / int(others.sum())
        median_u2 = MEDIAN_OVER_MEAN**2 * own_u2 + of_scale
        weights = np.array([1.0 / max(shift_u2, 1e-12), 1.0 / median_u2])
        shift = float(
            weights @ np.array([shift, np.median(check.difference[others])]) / weights.sum()
        )
        shift_u2 = float(1.0 / weights.sum())
    return LiquidInCup(by_volume=by_volume, shift=shift, u=math.sqrt(single + of_scale + shift_u2))


def pour(instrument: VolumeInstrument, target: float) -> Range:
    """Return where the reading of a pour usually lies about its target, [L]."""
    step = instrument.finest_reading
    if target == 0.0 or step == 0.0:
        return Range(low=target, high=target)
    half = COVERAGE_95 * POURING_STEPS * step
    return Range(low=max(target - half, 0.0), high=target + half)


def _portion(experiment: Experiment, run: str) -> Range:
    asked = experiment.sample_asked(run)
    if asked == 0.0:
        return Range(low=0.0, high=0.0)
    spread = spread_of_portions(experiment)
    half = COVERAGE_95 * max(spread * asked, experiment.equipment.sample_balance.readability)
    return Range(low=max(asked - half, 0.0), high=asked + half)
